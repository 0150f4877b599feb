#!/usr/bin/env python3
"""`omniway plan -n N` as its user meets it: what is offered beside the first, how it is told, and how one of them is chosen.

    choices_test.py OMNIWAY SHARE_FOLDER [unittest arguments]

That each is true and can be flown is asked in tests/independent/choices_test.py.
"""
import json
import os
import pathlib
import re
import subprocess
import sys
import tempfile
import unittest

OMNIWAY = pathlib.Path(sys.argv.pop(1)).resolve()
SHARE = pathlib.Path(sys.argv.pop(1)).resolve()
DEMO = os.environ.get("OMNIWAY_DEMO_ATLAS", SHARE / "demo.atlas")
FLIGHT = ("XDOV", "XMRA", "--wind", "270/20", "--date", "2026-11-25")


def run(*words):
    environment = {key: value for key, value in os.environ.items() if key not in ("OMNIWAY_ATLAS", "XDG_DATA_HOME")}
    return subprocess.run([OMNIWAY, "plan", *map(str, words), "--atlas", DEMO], capture_output=True, text=True, timeout=120, check=False,
                          env=environment)


def planned(*words):
    done = run(*words, "--json")
    if done.returncode not in (0, 1):
        raise AssertionError(f"{words}: {done.returncode}: {done.stderr}")
    return json.loads(done.stdout)


class Choices(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.four = planned(*FLIGHT, "-n", 4)

    def test_one_flight_is_offered_unless_more_are_asked_for(self):
        plan = planned(*FLIGHT)
        self.assertEqual((plan["others"], plan["costs"]), ([], None))
        self.assertEqual(plan["flight"]["route"], self.four["flight"]["route"])
        self.assertEqual(len(planned(*FLIGHT, "-n", 2)["others"]), 1)
        self.assertEqual(len(self.four["others"]), 3)

    def test_the_document_fits_its_schema(self):
        sys.argv = [sys.argv[0], OMNIWAY, SHARE]
        sys.path.insert(0, str(pathlib.Path(__file__).parent))
        from command_test import check_schema, schema_of
        self.assertEqual(check_schema(self.four, schema_of("plan")), [])

    def test_one_that_is_chosen_is_the_flight_and_the_first_stands_among_the_others(self):
        second = self.four["others"][0]
        chosen = planned(*FLIGHT, "-n", 4, "--choose", 2)
        self.assertEqual(chosen["flight"]["route"], second["route"])
        self.assertEqual(chosen["costs"], second["costs"])
        self.assertEqual(chosen["others"][0]["route"], self.four["flight"]["route"])
        self.assertEqual(chosen["others"][0]["costs"], self.four["costs"])

    def test_the_text_tells_each_with_its_costs_and_its_difference_in_100_columns(self):
        text = run(*FLIGHT, "-n", 4).stdout
        told = text.partition("Others (--choose N):\n")[2]
        self.assertTrue(told)
        self.assertLessEqual(max(map(len, told.splitlines())), 100)
        together = " ".join(told.split())
        for number, other in enumerate(self.four["others"], 2):
            self.assertIn(f"{number} {other['route']}", together)
            self.assertIn(other["difference"], together)
            for sentence in other["differences"]:
                self.assertIn(sentence, together)

    def test_what_is_said_of_the_way_is_so(self):
        first = self.four["outline"]
        self.assertEqual(first["departs"].split()[0], self.four["flight"]["departure_runway"]["ident"])
        for other in self.four["others"]:
            outline, said = other["outline"], " ".join(other["differences"])
            words = other["route"].split()
            self.assertEqual(outline["airways"], list(dict.fromkeys(word for word in words if re.fullmatch(r"[VJ]\d+", word))))
            for name in ("airways", "stations"):
                for ident in set(outline[name]) ^ set(first[name]):
                    self.assertRegex(said, rf"\b{ident}\b")
            more = outline["dead_reckoning_nm"] - first["dead_reckoning_nm"]
            self.assertEqual("by heading alone" in said, abs(more) >= 1.0, (more, said))
            self.assertEqual("highest minimum" in said, outline["highest_minimum_msl_ft"] != first["highest_minimum_msl_ft"])
            self.assertEqual({each["grade"] for each in other["findings"]} & {"blocks"}, set())

    def test_what_is_entered_by_own_navigation_is_told_so(self):
        own = [each for each in self.four["others"] if each["approach"] == "ILS RW27"]
        self.assertTrue(own)
        for each in own:
            self.assertIn("ILS RW27 entered by own navigation instead of ILS RW27 via XOBAN", each["difference"])

    def test_a_number_that_cannot_be_is_refused_in_one_sentence(self):
        for words, where in ((("-n", 0), "--choices"), (("-n", 10), "--choices"), (("-n", 2.5), "--choices"), (("--choose", 0), "--choose")):
            done = run(*FLIGHT, *words, "--json")
            self.assertEqual(done.returncode, 2, words)
            errors = json.loads(done.stdout)["errors"]
            self.assertEqual([(each["code"], each["where"]) for each in errors], [("app.choices_out_of_range", where)])
            self.assertIn("1 to 9", errors[0]["message"])


class WhatWasLeftUnjudged(unittest.TestCase):
    def test_where_every_flight_is_refused_the_answer_says_how_many_were_not_judged(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        file = pathlib.Path(folder.name) / "thirsty.toml"
        text = (SHARE / "aircraft" / "single.toml").read_text()
        file.write_text(re.sub(r"^fuel_usable_lb = .*$", "fuel_usable_lb = 90", text, flags=re.MULTILINE))
        plan = planned(*FLIGHT, "--aircraft", file)
        self.assertEqual(plan["verdict"], "not flyable")
        self.assertIn("fuel.too_little", [each["code"] for each in plan["findings"]])
        left = [each for each in plan["findings"] if each["code"] == "route.bound_met"]
        self.assertTrue(left)
        for each in left:
            self.assertRegex(each["text"], r"^12 whole flights at .* were judged and refused, .* \d+ other ways? (was|were) not judged$")
        self.assertIn("warns   XDOV to XMRA: 12 whole flights", run(*FLIGHT, "--aircraft", file).stdout)


if __name__ == "__main__":
    unittest.main()
