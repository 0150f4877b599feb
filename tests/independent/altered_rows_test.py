#!/usr/bin/env python3
"""Alters the published rows as an outsider would, imports and plans again, and sees the answer change as it must.

    altered_rows_test.py OMNIWAY CHECK_PLAN

Each plan of altered rows must agree with the altered rows by the independent checker; where a row was altered that the first
plan stands on, the first plan must no longer agree with them.
"""
import json
import subprocess
import sys
import tempfile
import unittest
from pathlib import Path

from real_data_door import real_data_folder

PAIR = ("KBOS", "KJFK")
OPTIONS = ("--aircraft", "single", "--wind", "270/15")


def is_row(row: str, section: str, ident: str) -> bool:
    """The primary row of an aid: D enroute, I the localizers of airports."""
    place = row[4:6] == "D " if section == "D" else row[4] == "P" and row[12] == section
    return row[0] == "S" and place and row[13:17].strip() == ident


def replaced(row: str, first: int, text: str) -> str:
    """The row with other text from a column (1-based, as ARINC 424 counts)."""
    return row[: first - 1] + text + row[first - 1 + len(text) :]


def stations(part) -> list[dict]:
    """Every station named with its place anywhere in a piece of a plan; a card names its aids without one."""
    if isinstance(part, dict):
        here = [part] if "morse" in part and "site" in part else []
        return here + [s for value in part.values() for s in stations(value)]
    return [s for value in part for s in stations(value)] if isinstance(part, list) else []


class AlteredRows(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.rows = (DATA / "cifp" / "faa_cifp_2101_part.txt").read_text(encoding="latin-1").splitlines()
        cls.folder = tempfile.TemporaryDirectory()
        cls.first, cls.first_rows = cls.plan(cls.rows)
        cls.idents = {s["ident"] for s in stations(cls.first["flight"])}

    @classmethod
    def tearDownClass(cls):
        cls.folder.cleanup()

    @classmethod
    def plan(cls, rows, *options):
        cls.files = getattr(cls, "files", 0) + 1
        file, atlas = Path(cls.folder.name) / f"rows-{cls.files}.txt", Path(cls.folder.name) / "rows.atlas"
        file.write_text("\r\n".join(rows) + "\r\n", encoding="latin-1")
        subprocess.run([OMNIWAY, "import", file, "--out", atlas], check=True, capture_output=True)
        command = [OMNIWAY, "plan", *PAIR, *(options or OPTIONS), "--atlas", atlas, "--json"]
        done = subprocess.run(command, capture_output=True, text=True, check=False)
        return json.loads(done.stdout), file

    def altered(self, section, ident, change):
        """The plan of rows of which those of one aid are changed (None leaves a row out)."""
        self.assertIn(ident, self.idents, "the first plan does not stand on this aid")
        rows = [change(row) if is_row(row, section, ident) else row for row in self.rows]
        self.assertNotEqual(rows, self.rows, f"no row of {ident}")
        plan, file = self.plan([row for row in rows if row is not None])
        self.agrees(plan, file, True)
        self.agrees(self.first, file, False)
        return plan

    def agrees(self, plan, file, expected):
        text = Path(self.folder.name) / "plan.json"
        text.write_text(json.dumps(plan), encoding="utf-8")
        done = subprocess.run([CHECKER, "--arinc", file, text], capture_output=True, text=True, check=False)
        self.assertEqual(done.returncode, 0 if expected else 1, done.stdout + done.stderr)

    def named(self, plan):
        return {s["ident"] for s in stations(plan["flight"] or {})}

    def test_the_first_plan_agrees_with_the_rows(self):
        self.agrees(self.first, self.first_rows, True)

    def test_a_station_left_out_is_never_named_again(self):
        plan = self.altered("D", "MAD", lambda row: None)
        self.assertNotIn("MAD", self.named(plan))
        self.assertNotEqual((plan["flight"] or {}).get("route"), self.first["flight"]["route"])

    def test_a_station_out_of_service_is_as_one_left_out(self):
        deleted, _ = self.plan([row for row in self.rows if not is_row(row, "D", "MAD")])
        without, _ = self.plan(self.rows, *OPTIONS, "--without", "MAD")
        self.assertNotIn("MAD", self.named(without))
        self.assertEqual(deleted["verdict"], without["verdict"])
        self.assertEqual((deleted["flight"] or {}).get("route"), (without["flight"] or {}).get("route"))

    def test_a_localizer_left_out_takes_its_approaches_with_it(self):
        plan = self.altered("I", "IIWY", lambda row: None)
        self.assertFalse([a for a in plan["approaches"] if a["flyable"] and a["name"].startswith("ILS RW22L")])
        self.assertNotEqual((plan["flight"] or {}).get("approach"), self.first["flight"]["approach"])

    def test_a_station_moved_by_a_fifth_of_a_degree_is_flown_where_it_now_stands(self):
        # MAD N41184990, W072413193: 12 minutes of latitude northwards, VOR and DME alike.
        def move(row):
            return replaced(replaced(row, 33, "N41304990"), 56, "N41304990")

        plan = self.altered("D", "MAD", move)
        for station in stations(plan["flight"] or {}):
            if station["ident"] == "MAD":
                self.assertAlmostEqual(station["site"]["latitude_deg"], 41 + 30 / 60 + 49.90 / 3600, places=5)
        self.assertNotEqual((plan["flight"] or {}).get("distance_nm"), self.first["flight"]["distance_nm"])

    def test_a_station_retuned_is_tuned_anew_and_nothing_else_changes(self):
        plan = self.altered("D", "DPK", lambda row: replaced(row, 23, "11325"))
        self.assertEqual(plan["flight"]["route"], self.first["flight"]["route"])
        heard = {s["frequency_mhz"] for s in stations(plan["flight"]) if s["ident"] == "DPK"}
        self.assertEqual(heard, {113.25})
        self.assertEqual(plan["flight"]["distance_nm"], self.first["flight"]["distance_nm"])

    def test_a_station_turned_by_ten_degrees_is_set_ten_degrees_otherwise(self):
        plan = self.altered("D", "PUT", lambda row: replaced(row, 75, "W0040"))  # W0140 as published

        def courses(of):
            return [
                s["guidance"]["course_to_set_deg"] for s in of["flight"]["steps"]
                if s["guidance"]["kind"] == "radial" and s["guidance"]["station"]["ident"] == "PUT"
            ]

        self.assertTrue(courses(plan))
        for now, then in zip(courses(plan), courses(self.first)):
            self.assertAlmostEqual((now - then) % 360, 350, delta=0.05)

    def test_a_station_without_its_dme_tells_no_distance(self):
        def strip(row):  # class VDLW to V LW, the DME's ident and place blank
            return replaced(replaced(row, 28, "V LW "), 52, " " * 23)

        plan = self.altered("D", "MAD", strip)
        steps = (plan["flight"] or {"steps": []})["steps"]
        for step in steps:
            told = step["end"].get("told_by", {})
            self.assertFalse(told.get("kind") == "dme" and told["station"]["ident"] == "MAD", step["says"])

    def test_without_a_dme_aboard_no_distance_is_read(self):
        text = Path(self.folder.name) / "no-dme.toml"
        known = (OMNIWAY.parent / "share" / "omniway" / "aircraft" / "single.toml").read_text(encoding="utf-8")
        self.assertIn('dme = "follows with hold"\n', known)
        text.write_text(known.replace('dme = "follows with hold"\n', ""), encoding="utf-8")
        plan, _ = self.plan(self.rows, "--aircraft", str(text), "--wind", "270/15")
        self.assertEqual(plan["kind"], "plan", plan)
        flight = plan["flight"] or {"steps": [], "missed_approach": []}
        for step in flight["steps"] + flight["missed_approach"]:
            self.assertNotIn("slant_range_nm", json.dumps(step["end"]))
        order = ["flyable", "flyable if", "not flyable"]
        self.assertGreaterEqual(order.index(plan["verdict"]), order.index(self.first["verdict"]))


if __name__ == "__main__":
    OMNIWAY, CHECKER = Path(sys.argv[1]).resolve(), Path(sys.argv[2]).resolve()
    DATA = real_data_folder()
    unittest.main(argv=sys.argv[:1] + sys.argv[3:])
