#!/usr/bin/env python3
"""omniway show AIRPORT PROCEDURE as its user meets it: words, JSON, the picture; bad input.

    procedure_test.py OMNIWAY SHARE_FOLDER [unittest arguments]
"""
import json
import math
import pathlib
import re
import tempfile
import unittest
import xml.etree.ElementTree as Xml

from command_test import DEMO, check_schema, run, schema_of

SVG = "{http://www.w3.org/2000/svg}"
WORDS = ("--aircraft", "twin", "--wind", "270/20", "--reception", "horizon")
AIRPORTS = ("XMRA", "XDOV")


def show(*words):
    return run("show", *words, "--atlas", DEMO)


def apart_nm(a, b):
    """On a sphere: within 0.6 %, enough to tell whether ends meet."""
    (p, q), (r, s) = ([math.radians(x) for x in place] for place in (a, b))
    haversine = math.sin((r - p) / 2) ** 2 + math.cos(p) * math.cos(r) * math.sin((s - q) / 2) ** 2
    return 2 * 3440.065 * math.asin(math.sqrt(haversine))


class Procedure(unittest.TestCase):
    def document(self, *words, kind="procedure"):
        result = show(*words, *WORDS, "--json")
        self.assertEqual(result.returncode, 0, result.stderr)
        document = json.loads(result.stdout)
        self.assertEqual((document["kind"], check_schema(document, schema_of(kind))), (kind, []))
        return document

    def every_procedure(self):
        for airport in AIRPORTS:
            for entry in self.document(airport, "--procedures", kind="procedures")["procedures"]:
                yield airport, entry

    def drawn(self, *words):
        with tempfile.TemporaryDirectory() as folder:
            picture = pathlib.Path(folder) / "procedure.svg"
            result = show(*words, *WORDS, "--svg", picture)
            self.assertEqual(result.returncode, 0, result.stderr)
            return picture.read_bytes()

    def refuses(self, words, code, *said):
        result = show(*words)
        self.assertEqual((result.returncode, result.stdout), (2, ""))
        for word in (f"[{code}]", *said):
            self.assertIn(word, result.stderr)
        errors = json.loads(show(*words, "--json").stdout)
        self.assertEqual(check_schema(errors, schema_of("errors")), [])
        self.assertIn(code, {each["code"] for each in errors["errors"]})


class Documents(Procedure):
    def test_every_procedure_fits_its_schema_and_the_list_agrees_with_it(self):
        count = 0
        for airport, entry in self.every_procedure():
            document = self.document(airport, entry["procedure"])
            if document["procedure_kind"] != entry["procedure_kind"]:
                continue  # a departure and an arrival of one ident: the first of them is shown
            self.assertEqual(document["flyable"], entry["flyable"])
            self.assertEqual([(w["name"], w["flyable"]) for w in document["ways"]],
                             [(w["name"], w["flyable"]) for w in entry["ways"]])
            for way in document["ways"]:
                self.assertEqual(way["flyable"], way["blocked_by"] is None, way["name"])
                self.assertEqual([leg["number"] for leg in way["legs"]], list(range(1, len(way["legs"]) + 1)))
            count += 1
        self.assertGreater(count, 5)

    def test_the_track_of_each_leg_begins_where_the_one_before_ends_and_is_as_long_as_is_said(self):
        legs = 0
        for airport, entry in self.every_procedure():
            for way in self.document(airport, entry["procedure"])["ways"]:
                before = None
                for leg in way["legs"]:
                    if not leg["track"]:
                        continue
                    if before is not None and before["drawn_simpler"] is None and leg["drawn_simpler"] is None:
                        self.assertLess(apart_nm(before["track"][-1], leg["track"][0]), 0.02, (way["name"], leg["number"]))
                    along = sum(apart_nm(a, b) for a, b in zip(leg["track"], leg["track"][1:]))
                    self.assertAlmostEqual(along, leg["flown_distance_nm"], delta=0.02 + 0.01 * along)
                    before = leg
                    legs += 1
        self.assertGreater(legs, 30)

    def test_area_navigation_is_drawn_and_refused_by_name(self):
        document = self.document("XMRA", "R27")
        self.assertTrue(document["area_navigation"])
        self.assertFalse(document["flyable"])
        for way in document["ways"]:
            self.assertEqual(way["blocked_by"]["code"], "approach.area_navigation")
            self.assertIn("RNAV (GPS)", way["blocked_by"]["text"])
            self.assertTrue(any(leg["track"] for leg in way["legs"]), way["name"])

    def test_one_transition_alone(self):
        document = self.document("XMRA", "I27", "--via", "XOBAN")
        self.assertEqual([way["transition"] for way in document["ways"]], ["XOBAN"])

    def test_wind_ahead_lengthens_the_final(self):
        def final_s(wind):
            ways = json.loads(show("XMRA", "I27", "--aircraft", "twin", "--wind", wind, "--json").stdout)["ways"]
            return next(leg for leg in ways[0]["legs"] if leg["missed_approach_point"])["flown_time_s"]

        self.assertGreater(final_s("279/30"), final_s("000/00") + 10)
        self.assertLess(final_s("099/30"), final_s("000/00") - 10)

    def test_both_manners_of_a_procedure_turn_differ(self):
        def turn(manner):
            ways = json.loads(show("XMRA", "I27", *WORDS, "--reversal", manner, "--via", "XMR", "--json").stdout)["ways"]
            return next(leg for leg in ways[0]["legs"] if leg["path_terminator"] == "PI")

        slow, quick = turn("45/180"), turn("80/260")
        self.assertNotEqual(slow["track"], quick["track"])
        self.assertTrue(slow["paper"] and quick["paper"])

    def test_a_trainer_without_a_glideslope_is_told_so(self):
        result = show("XMRA", "I27", "--aircraft", "trainer", "--json")
        document = json.loads(result.stdout)
        self.assertEqual(result.returncode, 0)
        if not document["flyable"]:
            self.assertIn("needs", document["ways"][0]["blocked_by"]["text"])


class Words(Procedure):
    def test_the_text_tells_every_leg_and_the_caution(self):
        document = self.document("XMRA", "I27")
        text = show("XMRA", "I27", *WORDS).stdout
        self.assertIn("not for real-world navigation", text)
        self.assertIn("missed approach\n", text)
        for way in document["ways"]:
            self.assertIn(way["name"], text)
            for leg in way["legs"]:
                self.assertIn(f"{leg['sequence']:03} {leg['path_terminator']}", text)
                self.assertIn(leg["until"] or "", text)

    def test_what_is_mistyped_is_met_with_near_matches(self):
        self.refuses(("XMRB", "I27"), "app.unknown_ident", "XMRA")
        self.refuses(("XMRA", "I72"), "app.unknown_ident", "I27")
        self.refuses(("XMRA", "I27", "--via", "XOBAM"), "app.unknown_ident", "XOBAN")
        self.refuses(("XMRA", "I27", "--aircraft", "twni"), "app.unknown_aircraft", "twin")
        self.refuses(("XMRA", "I27", "--wind", "27020"), "weather.wind_form")
        self.refuses(("XMRA", "I27", "--reversal", "90/270"), "app.unknown_word", "80/260")
        self.refuses(("XMRA", "I27", "--criteria", "faa"), "app.unknown_word", "pans-ops")
        self.refuses(("XMRA", "I27", "--reception", "radar"), "app.unknown_reception")
        self.refuses(("XMRA", "I27", "--svg", "/nowhere/at/all.svg"), "app.not_writable")

    def test_words_of_a_procedure_without_one_are_not_passed_over(self):
        self.refuses(("XMRA", "--wind", "270/20"), "cli.arguments", "--wind")
        self.refuses(("XMRA", "--svg", "x.svg"), "cli.arguments", "--svg")
        self.refuses(("XMRA", "--aircraft", "twin"), "cli.arguments", "--aircraft")
        self.refuses(("XMRA", "I27", "--procedures"), "cli.arguments")
        self.refuses(("XMRA", "I27", "--telling"), "cli.arguments")


class Picture(Procedure):
    def test_every_leg_is_drawn_once_or_covered_by_one_that_is(self):
        for airport, entry in self.every_procedure():
            words = (airport, entry["procedure"])
            document, picture = self.document(*words), self.drawn(*words)
            self.assertNotIn(b"nan", picture.lower().replace(b"nance", b""))
            self.assertNotIn(b"inf ", picture.lower())
            root = Xml.fromstring(picture)
            self.assertEqual(root.find(f"{SVG}title").text.split(",")[0], " ".join(words))
            self.assertIn("not for real-world navigation", root.find(f"{SVG}desc").text)
            ids = [each.get("id") for each in root.iter() if each.get("id")]
            self.assertEqual(len(ids), len(set(ids)))
            drawn = {each.get("id") for each in root.iter(f"{SVG}path") if each.get("class") == "leg"}
            known = {}
            for w, way in enumerate(document["ways"], 1):
                for leg in way["legs"]:
                    if not leg["track"]:
                        continue
                    name, ends = f"leg-{w}-{leg['number']}", (leg["track"][0], leg["track"][-1])
                    covered = any(apart_nm(ends[0], a) < 0.21 and apart_nm(ends[1], b) < 0.21 for a, b in known.values())
                    self.assertTrue(name in drawn or covered, (words, name))
                    known[name] = ends
            self.assertLessEqual(drawn, known.keys())

    def test_the_same_question_gives_the_same_bytes(self):
        self.assertEqual(self.drawn("XMRA", "I27"), self.drawn("XMRA", "I27"))

    def test_stations_fixes_scale_and_profile_are_there(self):
        root = Xml.fromstring(self.drawn("XMRA", "I27"))
        classes = [each.get("class") for each in root.iter() if each.get("class")]
        for word in ("station", "fix", "runway", "scale", "arrow", "bound", "glideslope", "missed", "plan", "profile"):
            self.assertIn(word, classes)
        idents = {each.get("data-ident") for each in root.iter() if each.get("class") == "station"}
        self.assertLessEqual({"XMR", "IXMR"}, idents)

    def test_no_vivid_colour(self):
        for red, green, blue in re.findall(r"#([0-9a-f]{2})([0-9a-f]{2})([0-9a-f]{2})", self.drawn("XMRA", "I27").decode()):
            self.assertEqual(red, green)
            self.assertEqual(green, blue)

    def test_words_stand_on_the_page(self):
        root = Xml.fromstring(self.drawn("XMRA", "I27"))
        width, height = float(root.get("width")), float(root.get("height"))
        for text in root.iter(f"{SVG}text"):
            x, y = float(text.get("x")), float(text.get("y"))
            long = 0.602 * float(text.get("font-size")) * len(text.text or "")
            left = x - {"middle": long / 2, "end": long}.get(text.get("text-anchor"), 0)
            self.assertGreaterEqual(left, -1, text.text)
            self.assertLessEqual(left + long, width + 1, text.text)
            self.assertTrue(0 < y < height, text.text)


if __name__ == "__main__":
    unittest.main()
