#!/usr/bin/env python3
"""`omniway losses` and `omniway plan --survive-any` as their user meets them.

    losses_test.py OMNIWAY SHARE_FOLDER [unittest arguments]
"""
import functools
import json
import os
import pathlib
import re
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


def run(*words):
    environment = {key: value for key, value in os.environ.items() if key not in ("OMNIWAY_ATLAS", "XDG_DATA_HOME")}
    return subprocess.run([OMNIWAY, *map(str, words), "--atlas", DEMO, *DAY], capture_output=True, text=True,
                          timeout=300, check=False, env=environment)


# Each question is asked once; that it has the same answer every time is a test of its own.
ask = functools.cache(run)


def losses(*words):
    done = ask("losses", *words, "--json")
    document = json.loads(done.stdout)
    if done.returncode != (0 if document.get("survives_any") else 2 if document["kind"] == "errors" else 1):
        raise AssertionError(f"{words}: status {done.returncode}: {done.stdout[:300]}{done.stderr}")
    return document


FLIGHTS = (("XDOV", "XMRA", "--wind", "270/15"), ("XMRA", "XPIR"), ("XDOV", "XKEL"), ("XMRA", "XDOV", "--aircraft", "twin"))


class WhatIsLostAndLeft(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.found = {words: losses(*words) for words in FLIGHTS}

    def each(self):
        return [(words, document, station) for words, document in self.found.items() for station in document["stations"]]

    def test_the_documents_fit_their_schema(self):
        for words, document in self.found.items():
            with self.subTest(flight=" ".join(words)):
                self.assertEqual(check_schema(document, schema_of("losses")), [])

    def test_every_station_of_the_card_is_looked_at_and_no_other(self):
        for words, document in self.found.items():
            planned = json.loads(run("plan", *words, "--json").stdout)
            self.assertEqual(document["route"], planned["flight"]["route"])
            on_card = set(re.findall(r'"ident": "([A-Z0-9]+)", "kind"', json.dumps(
                [[s["guidance"], s["end"], s["check"]] for s in
                 planned["flight"]["card"]["steps"] + planned["flight"]["card"]["missed"]])))
            self.assertLessEqual(on_card, {s["aid"]["ident"] for s in document["stations"]})

    def test_a_station_that_only_checks_is_no_loss(self):
        seen = 0
        for _, _, station in self.each():
            if station["only_checks"]:
                seen += 1
                self.assertEqual(station["failures"], [])
                self.assertFalse(station["strands"])
            else:
                self.assertTrue(any(use["use"] != "checks" for use in station["lost"]))
        self.assertGreater(seen, 0)

    def test_what_is_left_never_names_the_station_that_failed(self):
        for _, _, station in self.each():
            for failure in station["failures"]:
                named = re.findall(r'"ident": "([A-Z0-9]+)", "', json.dumps(failure["flight"]))
                self.assertNotIn(station["aid"]["ident"], named)
                if failure["flight"]:
                    self.assertNotIn(station["aid"]["ident"], failure["flight"]["route"].split()[-1:])

    def test_stranded_is_what_has_no_flight_and_says_why_of_each_airport_tried(self):
        for words, document, station in self.each():
            for failure in station["failures"]:
                self.assertEqual(failure["fallback"] == "none", failure["flight"] is None)
                if failure["fallback"] == "none":
                    self.assertTrue(any(why.startswith(words[1]) for why in failure["why_not"]), failure["why_not"])
                    self.assertTrue(any(why.startswith(words[0]) for why in failure["why_not"]), failure["why_not"])
            self.assertEqual(station["strands"], any(f["fallback"] == "none" for f in station["failures"]))
            self.assertEqual(document["survives_any"], not any(s["strands"] for s in document["stations"]))

    def test_what_is_left_begins_where_the_flight_is_with_less_fuel_than_it_had(self):
        for _, _, station in self.each():
            for failure in station["failures"]:
                if failure["flight"]:
                    self.assertEqual(failure["flight"]["steps"][0]["start"], failure["at"]["place"])
                    self.assertNotEqual(failure["flight"]["verdict"], "not flyable")
                    self.assertLess(failure["flight"]["fuel_lb"], failure["at"]["fuel_lb"])

    def test_the_text_names_each_station_once_and_each_line_is_short(self):
        done = run("losses", *FLIGHTS[0])
        document = self.found[FLIGHTS[0]]
        for station in document["stations"]:
            self.assertIn(f" {station['aid']['ident']} ", done.stdout)
        self.assertLessEqual(max(map(len, done.stdout.splitlines())), 100)
        self.assertIn("Not for real-world navigation", done.stdout)

    def test_the_same_question_has_the_same_bytes(self):
        self.assertEqual(ask("losses", *FLIGHTS[1], "--json").stdout, run("losses", *FLIGHTS[1], "--json").stdout)

    def test_no_flight_is_status_1_with_what_blocks(self):
        document = losses("XMRA", "XICO", "--aircraft", "trainer")
        self.assertEqual(document["verdict"], "not flyable")
        self.assertEqual(document["stations"], [])
        self.assertTrue(document["findings"])
        self.assertEqual(check_schema(document, schema_of("losses")), [])

    def test_an_unknown_airport_is_named_with_a_near_one(self):
        done = run("losses", "XDOV", "XMRB")
        self.assertEqual(done.returncode, 2)
        self.assertIn("did you mean XMRA", done.stderr)


class WhatIsAskedHoldsInTheAir(unittest.TestCase):
    def test_what_is_left_uses_no_ndb_and_nothing_that_is_avoided(self):
        free = losses("XDOV", "XMRA", "--wind", "270/15")
        kept = losses("XDOV", "XMRA", "--wind", "270/15", "--no-ndb", "--avoid", "XUM")

        def used(document):
            return {(station["ident"], station["kind"]) for loss in document["stations"] for failure in loss["failures"]
                    if failure["flight"] for step in failure["flight"]["steps"] + failure["flight"]["missed_approach"]
                    for part in (step["guidance"], step["end"].get("telling") or {})
                    for station in part.values() if isinstance(station, dict) and "ident" in station}

        self.assertIn("XUM", {ident for ident, _ in used(free)})
        self.assertIn("NDB", {kind for _, kind in used(free)})
        self.assertTrue(used(kept))
        self.assertNotIn("XUM", {ident for ident, _ in used(kept)})
        self.assertNotIn("NDB", {kind for _, kind in used(kept)})


class ToSurviveAny(unittest.TestCase):
    def test_what_survives_does_so_by_its_own_losses_and_what_does_not_names_what_strands_it(self):
        told = {True: 0, False: 0}
        for words in (("XMRA", "XDOV", "--wind", "270/15"), ("XDOV", "XMRA"), ("XMRA", "XPIR"), ("XDOV", "XKEL")):
            with self.subTest(flight=" ".join(words)):
                done = run("plan", *words, "--survive-any", "--json")
                document = json.loads(done.stdout)
                codes = {finding["code"]: finding for finding in document["findings"]}
                survives = "losses.survives_any" in codes
                told[survives] += 1
                self.assertEqual(done.returncode, 0 if survives else 1, done.stderr)
                self.assertEqual(check_schema(document, schema_of("plan")), [])
                if survives:
                    away = re.search(r"keeps away from (.*)", codes["losses.survives_any"]["text"])
                    without = [w for ident in (away.group(1).split(", ") if away else ()) for w in ("--without", ident)]
                    again = losses(*words, *without)
                    self.assertEqual(again["route"], document["flight"]["route"])
                    self.assertTrue(again["survives_any"])
                else:
                    finding = codes["losses.none_survives"]
                    self.assertEqual(finding["grade"], "blocks")
                    self.assertTrue(finding["about"])
        print(f"survive any: {told[True]} do, {told[False]} do not")

    def test_it_writes_no_card(self):
        done = run("plan", "XDOV", "XMRA", "--survive-any", "--card", "-")
        self.assertEqual(done.returncode, 2)
        self.assertIn("--card", done.stderr)


if __name__ == "__main__":
    sys.argv = [sys.argv[0], *sys.argv[1:]]
    unittest.main()
