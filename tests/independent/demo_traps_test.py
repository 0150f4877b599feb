#!/usr/bin/env python3
"""Traps of docs/demo-region.md that are the planner's to fall into, through the program.

    demo_traps_test.py OMNIWAY DEMO_ROWS
"""
import json
import sys
import tempfile
import unittest
from pathlib import Path

from demo_region_door import import_rows, plan

WESTERLY = ("--wind", "270/20")
EASTERLY = ("--wind", "090/15")


class DemoTraps(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory()
        cls.atlas = Path(cls.folder.name) / "demo.atlas"
        import_rows(OMNIWAY, DEMO_ROWS, cls.atlas)

    @classmethod
    def tearDownClass(cls):
        cls.folder.cleanup()

    def planned(self, start: str, end: str, *words, aircraft: str = "single") -> dict:
        return plan(OMNIWAY, self.atlas, start, end, "--aircraft", aircraft, *(words or WESTERLY))

    def route(self, *words, **more) -> list[str]:
        return self.planned(*words, **more)["flight"]["route"].split()

    def test_the_rnav_airways_are_not_used_whatever_their_route_type(self):
        for start, end in (("XDOV", "XMRA"), ("XICO", "XDOV")):
            route = self.route(start, end)
            self.assertEqual([word for word in route if word[0] in "TQY"], [], route)
        self.assertIn("V12", self.route("XDOV", "XMRA", aircraft="twin"))

    def test_where_only_the_wrong_end_has_an_approach_one_circles_to_the_other(self):
        answer = self.planned("XMRA", "XEDD")
        self.assertEqual(answer["verdict"], "flyable if")
        taken = answer["approaches"][0]
        self.assertEqual((taken["landing"], taken["runway"]), ("circling", "RW28"))
        self.assertIn("the wind favours RW28", json.dumps(answer["findings"]))
        straight_in = self.planned("XMRA", "XEDD", *EASTERLY)["approaches"][0]
        self.assertEqual((straight_in["landing"], straight_in["runway"]), ("straight-in", "RW10"))

    def considered(self, kind: str, ident: str, *words) -> list[dict]:
        return [each for each in self.planned(*words)[kind] if ident in each["name"]]

    def test_a_departure_on_vectors_alone_is_not_flown_and_another_is(self):
        on_vectors = self.considered("departures", "XAMAR1", "XMRA", "XPIR")
        self.assertTrue(on_vectors)
        self.assertEqual({each["why_not"] for each in on_vectors}, {"is flown on radar vectors alone"})
        asked = self.planned("XMRA", "XPIR", *WESTERLY, "--departure", "XAMAR1")
        self.assertEqual(asked["verdict"], "not flyable")
        self.assertIn("departure.not_flown", [finding["code"] for finding in asked["findings"]])
        self.assertNotIn("XAMAR1", self.route("XMRA", "XPIR"))

    def test_an_rnav_departure_and_arrival_are_refused_by_name(self):
        for kind, ident, pair in (("departures", "XWENI1", ("XMRA", "XPIR")), ("arrivals", "XWOLA1", ("XPIR", "XMRA"))):
            named = self.considered(kind, ident, *pair)
            self.assertTrue(named)
            for each in named:
                self.assertFalse(each["flyable"])
                self.assertIn("RNAV", each["why_not"])

    def test_an_arrival_that_ends_in_vectors_is_flown_to_its_last_fix_only_where_an_approach_begins_there(self):
        answer = self.planned("XSUL", "XMRA", *WESTERLY, "--arrival", "XALBO1")
        self.assertEqual(answer["verdict"], "flyable if")
        self.assertIn("via XALBO", answer["flight"]["approach"])
        vias = [step["via"] for step in answer["flight"]["steps"]]
        self.assertIn("XALBO1", vias)

    def test_a_minimum_altitude_not_known_is_asked_for(self):
        answer = self.planned("XPIR", "XBRE")
        self.assertIn("V47", answer["flight"]["route"].split())
        self.assertIn("its minimum altitude is not published", json.dumps(answer["findings"]))

    def test_the_one_way_airway_is_not_flown_back(self):
        self.assertIn("V45", self.route("XNOR", "XDOV"))
        self.assertNotIn("V45", self.route("XDOV", "XNOR"))


if __name__ == "__main__":
    OMNIWAY, DEMO_ROWS = (Path(word).resolve() for word in sys.argv[1:3])
    unittest.main(argv=sys.argv[:1] + sys.argv[3:])
