#!/usr/bin/env python3
"""`omniway divert` as its user meets it.

    divert_test.py OMNIWAY SHARE_FOLDER [unittest arguments]
"""
import json
import math
import os
import pathlib
import subprocess
import sys
import unittest

OMNIWAY = pathlib.Path(sys.argv.pop(1)).resolve()
SHARE = pathlib.Path(sys.argv.pop(1)).resolve()
sys.argv = [sys.argv[0], OMNIWAY, SHARE, *sys.argv[1:]]
sys.path.insert(0, str(pathlib.Path(__file__).parent))
from command_test import check_schema, schema_of  # noqa: E402  (takes the two arguments)

DEMO = os.environ.get("OMNIWAY_DEMO_ATLAS", SHARE / "demo.atlas")
DAY = ("--date", "2026-11-25")


def run_bare(*words):
    environment = {key: value for key, value in os.environ.items() if key not in ("OMNIWAY_ATLAS", "XDG_DATA_HOME")}
    return subprocess.run([OMNIWAY, *map(str, words), "--atlas", DEMO], capture_output=True, text=True, timeout=300,
                          check=False, env=environment)


def run(*words):
    return run_bare(*words, *DAY)


def divert(*words):
    done = run("divert", *words, "--json")
    document = json.loads(done.stdout)
    expected = 2 if document["kind"] == "errors" else 0 if document["airports"] else 1
    if done.returncode != expected:
        raise AssertionError(f"{words}: status {done.returncode}: {done.stdout[:300]}{done.stderr}")
    return document


def codes(*words):
    document = divert(*words)
    return [error["code"] for error in document.get("errors", [])]


def nautical_miles(a, b):
    """On a sphere of 3440.065 NM: within 0.6 % of the ellipsoid."""
    la, lb = math.radians(a["latitude_deg"]), math.radians(b["latitude_deg"])
    dlon = math.radians(b["longitude_deg"] - a["longitude_deg"])
    h = math.sin((lb - la) / 2) ** 2 + math.cos(la) * math.cos(lb) * math.sin(dlon / 2) ** 2
    return 2 * 3440.065 * math.asin(math.sqrt(h))


QUESTIONS = (
    ("XDOV", "XMRA", "--at", "4", "--wind", "270/20"),
    ("XDOV", "XMRA", "--at", "60NM"),
    ("XMRA", "XPIR", "--at", "30NM", "--aircraft", "twin"),
    ("--position", "XKE090015", "--altitude", "8000"),
    ("--position", "N4030W168", "--altitude", "9000", "--aircraft", "twin"),
)


class WhereElseToLand(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.found = {words: divert(*words) for words in QUESTIONS}

    def each(self):
        return self.found.items()

    def test_the_documents_fit_their_schema(self):
        for words, document in self.each():
            with self.subTest(words=" ".join(words)):
                self.assertEqual(check_schema(document, schema_of("divert")), [])

    def test_airports_with_an_approach_come_first_and_of_these_the_quickest(self):
        for words, document in self.each():
            with self.subTest(words=" ".join(words)):
                self.assertTrue(document["airports"], document["refused"])
                order = [(not each["flight"]["approach"], each["time_min"]) for each in document["airports"]]
                self.assertEqual(order, sorted(order))

    def test_each_says_that_the_weather_is_unknown_and_what_fuel_is_left(self):
        for words, document in self.each():
            for each in document["airports"]:
                with self.subTest(words=" ".join(words), airport=each["airport"]["ident"]):
                    self.assertIs(each["weather_known"], False)
                    self.assertAlmostEqual(each["fuel_left_lb"], document["at"]["fuel_lb"] - each["flight"]["fuel_lb"],
                                           delta=0.2)

    def test_the_first_thing_on_the_radios_is_what_guides_first_after_a_minute_by_heading(self):
        held = 0
        for words, document in self.each():
            for each in document["airports"]:
                with self.subTest(words=" ".join(words), airport=each["airport"]["ident"]):
                    first, steps = each["first_on_the_radios"], each["flight"]["steps"]
                    self.assertIsNotNone(first)
                    guided = next(step for step in steps if step["guidance"]["kind"] != "heading")
                    self.assertEqual(first["aid"]["ident"], guided["guidance"]["station"]["ident"])
                    self.assertEqual(first["hold"], guided["end"]["kind"] == "hold")
                    held += first["hold"]
                    if first["by_heading_nm"] > 0:
                        self.assertEqual(steps[0]["guidance"]["kind"], "heading")
                        self.assertIsNotNone(first["heading_magnetic_deg"])
                        if first["hold"]:
                            self.assertLess(first["heading_time_s"], 100)
                        else:
                            self.assertGreaterEqual(first["heading_time_s"], 60)
        self.assertGreater(held, 0)

    def test_the_refused_are_nearer_than_the_farthest_that_is_ranked(self):
        for words, document in self.each():
            with self.subTest(words=" ".join(words)):
                farthest = max(each["airport"]["direct_nm"] for each in document["airports"])
                for each in document["refused"]:
                    self.assertLessEqual(each["airport"]["direct_nm"], farthest)
                    self.assertTrue(each["why"])

    def test_the_steps_join_and_begin_at_the_place_asked_for(self):
        for words, document in self.each():
            for each in document["airports"]:
                with self.subTest(words=" ".join(words), airport=each["airport"]["ident"]):
                    here, turned = document["at"]["place"], 0.0
                    for step in each["flight"]["steps"]:
                        # A procedure turn is left somewhere on the inbound course: no farther than half its length from where it began.
                        self.assertLess(nautical_miles(here, step["start"]), 0.1 + turned)
                        turned = step["distance_nm"] / 2 if step["end"]["kind"] == "course_reversed" else 0.0
                        here = step["finish"]

    def test_a_bearing_and_distance_is_a_radial_of_the_station(self):
        place = self.found[QUESTIONS[3]]["at"]["place"]
        station = json.loads(run_bare("show", "XKE", "--json").stdout)["found"][0]["station"]
        site = station["site"]
        self.assertAlmostEqual(nautical_miles(site, place), 15.0, delta=0.1)
        east = math.radians(place["longitude_deg"] - site["longitude_deg"]) * math.cos(math.radians(site["latitude_deg"]))
        north = math.radians(place["latitude_deg"] - site["latitude_deg"])
        radial = math.degrees(math.atan2(east, north)) - station["declination_east_deg"]
        self.assertAlmostEqual(radial, 90.0, delta=0.5)

    def test_less_fuel_reaches_no_farther(self):
        few = divert("--position", "XKE090015", "--altitude", "8000", "--fuel", "20")
        many = self.found[QUESTIONS[3]]
        self.assertLessEqual({each["airport"]["ident"] for each in few["airports"]},
                             {each["airport"]["ident"] for each in many["airports"]}
                             | {each["airport"]["ident"] for each in few["refused"]})
        self.assertLess(len(few["airports"]), len(many["airports"]))

    def test_where_nothing_can_be_flown_to_status_is_1_and_each_airport_says_why(self):
        words = ("--position", "40.5,-168.0", "--altitude", "2000", "--aircraft", "trainer")
        document = divert(*words)
        self.assertEqual(document["airports"], [])
        self.assertTrue(document["refused"])
        self.assertTrue(all(each["why"] for each in document["refused"]))
        self.assertEqual(check_schema(document, schema_of("divert")), [])
        text = run("divert", *words).stdout
        self.assertIn("no airport has an approach that can be flown from there", text)
        self.assertNotIn("nearer, and refused", text)

    def test_over_the_aid_of_an_approach_one_holds_and_does_not_fly_away(self):
        """XKEL lies 7 NM from XKE, over which its approach begins; a circuit of four minutes and its reversal are all that it takes."""
        document = divert("--position", "XKE", "--altitude", "8000")
        near = next(each for each in document["airports"] if each["airport"]["ident"] == "XKEL")
        self.assertTrue(near["first_on_the_radios"]["hold"])
        self.assertEqual(near["first_on_the_radios"]["aid"]["ident"], "XKE")
        self.assertLess(near["time_min"], 30)
        self.assertLess({step["to"] for step in near["flight"]["steps"] if step["phase"] == "en route"}, {"XKE", ""})

    def test_the_text_has_short_lines_and_the_caution(self):
        done = run("divert", *QUESTIONS[0])
        self.assertEqual(done.returncode, 0, done.stderr)
        self.assertLessEqual(max(map(len, done.stdout.splitlines())), 100)
        self.assertIn("weather unknown", done.stdout)
        self.assertRegex(done.stdout, r"first: (NAV\d|ADF) (VOR|VOR/DME|NDB) X\w+ \d")
        self.assertIn("Not for real-world navigation", done.stdout)


def stations_of(document):
    """Every station that guides a step or tells its end, of every airport ranked, by ident and kind."""
    used = set()
    for each in document["airports"]:
        for step in each["flight"]["steps"] + each["flight"]["missed_approach"]:
            for part in (step["guidance"], step["end"].get("telling") or {}):
                for station in (value for value in part.values() if isinstance(value, dict) and "ident" in value):
                    used.add((station["ident"], station["kind"]))
    return used


class WhatIsAskedHoldsInTheAir(unittest.TestCase):
    FROM = ("--position", "40.449,-168.349", "--altitude", "8000")  # 15 NM east of XKE

    @classmethod
    def setUpClass(cls):
        cls.free = divert(*cls.FROM)

    def test_no_ndb(self):
        words = ("XDOV", "XMRA", "--at", "4", "--wind", "270/20", "-n", "12")
        self.assertIn("NDB", {kind for _, kind in stations_of(divert(*words))})
        document = divert(*words, "--no-ndb")
        self.assertTrue(document["airports"])
        self.assertNotIn("NDB", {kind for _, kind in stations_of(document)})
        for each in document["airports"]:
            self.assertFalse(each["first_on_the_radios"]["aid"]["kind"].startswith("NDB"))

    def test_a_station_avoided_and_one_out_of_service(self):
        used = {ident for ident, kind in stations_of(self.free) if kind.startswith("VOR")}
        self.assertTrue(used)
        for ident in sorted(used)[:3]:
            for word in ("--avoid", "--without"):
                with self.subTest(word=word, station=ident):
                    self.assertNotIn(ident, {each for each, _ in stations_of(divert(*self.FROM, word, ident))})

    def test_an_area(self):
        """Every straight step off the procedures keeps out, looked at each half mile."""
        centre = json.loads(run_bare("show", "XUM", "--json").stdout)["found"][0]["station"]["site"]

        def nearest(document):
            least = math.inf
            for each in document["airports"]:
                for step in each["flight"]["steps"]:
                    if step["guidance"]["kind"] == "arc" or step["end"]["kind"] in ("course_reversed", "hold"):
                        continue
                    pieces = max(1, int(step["distance_nm"] * 2))
                    for i in range(pieces + 1):
                        place = {key: step["start"][key] + (step["finish"][key] - step["start"][key]) * i / pieces
                                 for key in ("latitude_deg", "longitude_deg")}
                        least = min(least, nautical_miles(centre, place))
            return least

        words = ("XDOV", "XMRA", "--at", "60NM", "--altitude", "10000")
        self.assertLess(nearest(divert(*words, "-n", "8")), 12)
        self.assertGreater(nearest(divert(*words, "-n", "8", "--avoid-area", "XUM/12")), 11.8)

    def test_the_highest_altitude(self):
        document = divert("XDOV", "XMRA", "--at", "45NM", "--highest", "10000")
        self.assertTrue(document["airports"])
        for each in document["airports"]:
            self.assertLessEqual(each["flight"]["cruise_altitude_msl_ft"], 10000)

    def test_no_dead_reckoning_but_the_minute_in_which_the_radios_are_set(self):
        document = divert(*self.FROM, "--no-dead-reckoning")
        self.assertTrue(document["airports"])
        for each in document["airports"]:
            headings = [step for step in each["flight"]["steps"]
                        if step["guidance"]["kind"] == "heading" and step["phase"] in ("departure", "en route")]
            self.assertLessEqual(len(headings), 1)
            for step in headings:
                self.assertEqual(step["number"], 1)
                self.assertLess(step["time_min"], 1.6)


class BadInput(unittest.TestCase):
    def test_nothing_that_says_from_where(self):
        self.assertEqual(codes(), ["app.divert_from"])
        self.assertEqual(codes("XDOV", "XMRA"), ["app.divert_from"])
        self.assertEqual(codes("--position", "XKE"), ["app.divert_from"])
        self.assertEqual(codes("XDOV", "XMRA", "--at", "3", "--position", "XKE", "--altitude", "5000"), ["app.divert_from"])

    def test_what_is_no_position_no_step_no_distance(self):
        for text in ("X-9", "N99W072", "N4470W07200", "91,0", "XKE400010"):
            self.assertEqual(codes("--position", text, "--altitude", "5000"), ["app.position_form"], text)
        for text in ("XKE", "99", "-1", "4KM", "999NM"):
            self.assertEqual(codes("XDOV", "XMRA", f"--at={text}"), ["app.at_form"], text)

    def test_an_unknown_point_is_named_with_a_near_one(self):
        done = run("divert", "--position", "XKF090015", "--altitude", "5000")
        self.assertEqual(done.returncode, 2)
        self.assertIn("app.unknown_ident", done.stderr)
        self.assertIn("XKE", done.stderr)
        gone = run("divert", "--position", "XKE090015", "--altitude", "5000", "--without", "XKE")
        self.assertEqual(gone.returncode, 2)
        self.assertIn("XKE is out of service", gone.stderr)

    def test_what_is_asked_of_a_flight_is_not_asked_of_a_position(self):
        for word in (("--via", "XHU"), ("--approach", "I25"), ("--runway", "25"), ("--departure", "own")):
            done = run("divert", "--position", "XKE", "--altitude", "6000", *word)
            self.assertEqual(done.returncode, 2)
            self.assertIn("app.divert_from", done.stderr)
            self.assertIn(word[0], done.stderr)

    def test_an_area_about_the_airport_beside_a_position_is_no_contradiction(self):
        document = divert("--position", "XKE", "--altitude", "8000", "--avoid-area", "XKEL/2")
        self.assertNotIn("XKEL", [each["airport"]["ident"] for each in document["airports"]])

    def test_fuel_out_of_range(self):
        self.assertEqual(codes("--position", "XKE", "--altitude", "5000", "--fuel=-1"), ["app.out_of_range"])
        self.assertEqual(codes("--position", "XKE", "--altitude", "5000", "-n", "0"), ["app.out_of_range"])

    def test_an_altitude_above_the_ceiling_and_one_out_of_range(self):
        self.assertEqual(codes("--position", "XKE", "--altitude", "59000"), ["app.above_ceiling"])
        self.assertEqual(codes("--position", "XKE", "--altitude", "70000", "--aircraft", "jet"),
                         ["app.out_of_range", "app.above_ceiling"])

    def test_far_from_every_airport(self):
        self.assertEqual(codes("--position", "0,0", "--altitude", "5000"), ["app.divert_from"])


if __name__ == "__main__":
    unittest.main()
