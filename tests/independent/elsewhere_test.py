#!/usr/bin/env python3
"""Flights in other parts of the world from OurAirports alone, and the demo's plans, through the independent checker.

    elsewhere_test.py OMNIWAY CHECK_PLAN
"""
import json
import subprocess
import sys
import tempfile
import unittest
from pathlib import Path

from real_data_door import real_data_folder

TABLES = ("navaids.csv", "airports_medium_large_only.csv", "runways.csv")


class Elsewhere(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory()
        cls.atlas = Path(cls.folder.name) / "world.atlas"
        subprocess.run([OMNIWAY, "import", *(DATA / "ourairports" / table for table in TABLES), "--out", cls.atlas],
                       check=True, capture_output=True)

    @classmethod
    def tearDownClass(cls):
        cls.folder.cleanup()

    def plan(self, *words):
        result = subprocess.run([OMNIWAY, "plan", *words, "--json", "--atlas", self.atlas], capture_output=True, text=True,
                                check=False)
        self.assertEqual(result.returncode, 0, result.stdout[-2000:] + result.stderr)
        return json.loads(result.stdout)

    def agrees(self, plan):
        file = Path(self.folder.name) / "plan.json"
        file.write_text(json.dumps(plan))
        result = subprocess.run([CHECK_PLAN, "--navaids", DATA / "ourairports" / "navaids.csv", file],
                                capture_output=True, text=True, check=False)
        print(result.stdout.strip().splitlines()[-1])
        self.assertEqual(result.returncode, 0, result.stdout)

    def test_stations_alone_are_enough_across_the_antimeridian(self):
        # Labasa 179 E to Hihifo 176 W: two VORs too far apart to meet, a beacon between, a long stretch by heading.
        plan = self.plan("NFNL", "NLWW", "--aircraft", "twin", "--dead-reckoning-nm", "80", "--dead-reckoning-min", "25",
                         "--minimum", "5000")
        self.assertLess(plan["flight"]["distance_nm"], 360)
        longitudes = [step["start"]["longitude_deg"] for step in plan["flight"]["steps"]]
        self.assertTrue(max(longitudes) > 170 and min(longitudes) < -170, longitudes)
        self.agrees(plan)

    def test_stations_alone_are_enough_in_the_southern_hemisphere(self):
        plan = self.plan("NZWN", "NZCH", "--aircraft", "twin", "--minimum", "7000", "--wind", "300/20")
        self.assertEqual(plan["flight"]["approach"], "")
        self.agrees(plan)


if __name__ == "__main__":
    OMNIWAY, CHECK_PLAN = sys.argv.pop(1), sys.argv.pop(1)
    DATA = real_data_folder()
    unittest.main()
