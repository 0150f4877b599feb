#!/usr/bin/env python3
"""Takes each station that a demo flight needs out of the rows, imports them anew, and asks there what `omniway losses` said of it.

    station_loss_test.py OMNIWAY DEMO_REGION

What is left after a failure must stand in a world that never had the station: its way, given to `omniway judge` there from the
departure over the first aid that it leads to, has nothing that blocks behind that aid; it is whole, begins where the flight was, and
nowhere flown by heading alone farther than dead reckoning may go. Where the flight is said to be stranded, `omniway divert` from
that place finds no way there to any of the airports that were tried.
"""
import concurrent.futures
import json
import math
import os
import subprocess
import sys
import tempfile
import unittest
from pathlib import Path

from demo_region_door import DATE, import_rows, write_rows

FLIGHTS = (("XDOV", "XMRA"), ("XMRA", "XNOR"), ("XPIR", "XSUL"), ("XMRA", "XKEL"))
OPTIONS = ("--aircraft", "single", "--wind", "270/15")
LONGEST_HEADING_NM = 10.0  # the setting's default; 5 minutes bind first below 120 kt
CUT_NM = 0.15              # what a tenth and the sphere may differ by


def is_row(row, ident):
    """The record of an aid: VHF (the DME of an ILS has one of its own too), beacon, beacon of an airport, localizer."""
    kind = row[4:6] in ("D ", "DB", "PN") or (row[4] == "P" and row[12] == "I")
    return row[0] == "S" and kind and row[13:17].strip() == ident


def nautical_miles(a, b):
    la, lb = math.radians(a["latitude_deg"]), math.radians(b["latitude_deg"])
    dlon = math.radians(b["longitude_deg"] - a["longitude_deg"])
    h = math.sin((lb - la) / 2) ** 2 + math.cos(la) * math.cos(lb) * math.sin(dlon / 2) ** 2
    return 2 * 3440.065 * math.asin(math.sqrt(h))


def ask(*words, date=DATE):
    done = subprocess.run([OMNIWAY, *map(str, words), *date, "--json"], capture_output=True, text=True, check=False)
    if done.returncode not in (0, 1):
        raise AssertionError(f"{words}: {done.returncode}: {done.stdout[:500]}{done.stderr}")
    return json.loads(done.stdout)


class WithoutTheStationsRows(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.scratch = tempfile.TemporaryDirectory()
        folder = Path(cls.scratch.name)
        cls.whole = folder / "whole.atlas"
        cls.rows = write_rows(DEMO_REGION, folder / "whole.txt")
        import_rows(OMNIWAY, folder / "whole.txt", cls.whole)
        with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
            found = list(pool.map(lambda flight: ask("losses", *flight, *OPTIONS, "--atlas", cls.whole), FLIGHTS))
            cls.cases = [(flight, station) for flight, document in zip(FLIGHTS, found)
                         for station in document["stations"] if not station["only_checks"]]
            idents = sorted({station["aid"]["ident"] for _, station in cls.cases})
            cls.altered = dict(zip(idents, pool.map(lambda ident: cls.without(folder, ident), idents)))

    @classmethod
    def tearDownClass(cls):
        cls.scratch.cleanup()

    @classmethod
    def without(cls, folder, ident):
        rows = [row for row in cls.rows if not is_row(row, ident)]
        if len(rows) == len(cls.rows):
            raise AssertionError(f"no row of {ident}")
        file, atlas = folder / f"{ident}.txt", folder / f"{ident}.atlas"
        file.write_text("\n".join(rows) + "\n", encoding="latin-1")
        import_rows(OMNIWAY, file, atlas)
        return atlas

    def failures(self, stranded):
        return [(flight, station["aid"]["ident"], failure) for flight, station in self.cases
                for failure in station["failures"] if (failure["fallback"] == "none") == stranded]

    def test_there_is_enough_to_look_at(self):
        kinds = {}
        for _, station in self.cases:
            for failure in station["failures"]:
                kinds[failure["fallback"]] = kinds.get(failure["fallback"], 0) + 1
        print(f"{len(self.cases)} stations: {kinds}")
        self.assertGreaterEqual(len(self.cases), 15)
        self.assertGreaterEqual(len(kinds), 3)

    def test_failed_before_the_take_off_the_same_flight_is_planned_without_its_rows(self):
        for flight, station in self.cases:
            with self.subTest(flight=" ".join(flight), station=station["aid"]["ident"]):
                answer = ask("plan", *flight, *OPTIONS, "--atlas", self.altered[station["aid"]["ident"]])
                told = station["from_the_ground"]
                self.assertEqual(answer["verdict"] != "not flyable", told["flyable"])
                if told["flyable"]:
                    self.assertEqual(answer["flight"]["route"], told["route"])

    def test_what_is_left_is_whole_and_flown_by_heading_no_farther_than_allowed(self):
        for _, ident, failure in self.failures(stranded=False):
            flight = failure["flight"]
            here, run, turned = failure["at"]["place"], 0.0, 0.0
            for step in flight["steps"]:
                # A procedure turn is left somewhere on the inbound course: no farther than half its length from where it began.
                self.assertLess(nautical_miles(here, step["start"]), CUT_NM + turned)
                turned = step["distance_nm"] / 2 if step["end"]["kind"] == "course_reversed" else 0.0
                here = step["finish"]
                by_heading = step["guidance"]["kind"] == "heading"
                run = run + step["distance_nm"] if by_heading and step["phase"] != "approach" else 0.0
                self.assertLessEqual(run, LONGEST_HEADING_NM + CUT_NM)
                if not by_heading:
                    self.assertNotEqual(step["guidance"]["station"]["ident"], ident)
                if step["phase"] == "en route" and step["minimum_msl_ft"] is not None:
                    self.assertGreaterEqual(step["altitude_msl_ft"] + 1, step["minimum_msl_ft"])
            self.assertAlmostEqual(sum(step["distance_nm"] for step in flight["steps"]), flight["distance_nm"], delta=0.01)
            first = flight["steps"][0]
            if first["guidance"]["kind"] == "heading" and first["time_min"] is not None and failure["fallback"] != "as_planned":
                self.assertGreater(first["time_min"], 0.0)

    def test_the_judge_of_the_altered_atlas_blocks_nothing_of_the_way_behind_its_first_aid(self):
        judged = 0
        for flight, ident, failure in self.failures(stranded=False):
            words = failure["flight"]["route"].split()
            # The name of the place may be several words: the way begins at the first DCT or airway behind which points stand.
            ends = [step["to"] for step in failure["flight"]["steps"] if step["to"]]
            first = next((word for word in words[1:] if word in ends), None)
            if first is None or failure["to"] == flight[0]:
                continue
            rest = words[words.index(first, 1):]
            route = " ".join((flight[0], "DCT", *rest))
            answer = ask("judge", route, *OPTIONS, "--altitude", round(failure["flight"]["cruise_altitude_msl_ft"]),
                         "--departure", "own", "--approach", self.ident_of(failure), "--atlas", self.altered[ident]) \
                if failure["flight"]["approach"] else None
            if answer is None:
                continue
            begins = next((step["number"] for step in answer["steps"] if step["to"] == first), 0)
            blocks = [f for f in answer["findings"] if f["grade"] == "blocks" and (f["step"] or 0) > begins
                      and not f["code"].startswith(("fuel.", "departure.", "radios.", "altitude.climb"))]
            self.assertEqual(blocks, [], route)
            judged += 1
        print(f"{judged} ways judged in altered atlases")
        self.assertGreater(judged, 10)

    def ident_of(self, failure):
        """The ident of the approach by its name, as the altered atlas lists them."""
        name = failure["flight"]["approach"]
        key = (failure["to"],)
        if not hasattr(self, "procedures"):
            type(self).procedures = {}
        if key not in self.procedures:
            self.procedures[key] = ask("show", failure["to"], "--procedures", "--atlas", self.whole, date=())["procedures"]
        found = [each["procedure"] for each in self.procedures[key] for way in each["ways"] if way["name"] == name]
        self.assertTrue(found, f"{name} is no way of an approach of {failure['to']}")
        return found[0]

    def test_where_it_strands_no_way_is_found_from_there_in_the_altered_atlas(self):
        asked = 0
        for _, ident, failure in self.failures(stranded=True):
            at = failure["at"]
            if at["altitude_msl_ft"] < 500 or failure["when"].startswith("going around"):
                continue
            tried = {why.split(":")[0] for why in failure["why_not"]}
            place = f"{at['place']['latitude_deg']:.6f},{at['place']['longitude_deg']:.6f}"
            answer = ask("divert", f"--position={place}", "--altitude", round(at["altitude_msl_ft"]), "--fuel",
                         at["fuel_lb"], "-n", 20, *OPTIONS, "--atlas", self.altered[ident])
            self.assertEqual(tried & {each["airport"]["ident"] for each in answer["airports"]}, set())
            asked += 1
        print(f"{asked} strandings asked again in altered atlases")


if __name__ == "__main__":
    DEMO_REGION = Path(sys.argv.pop()).resolve()
    OMNIWAY = Path(sys.argv.pop()).resolve()
    unittest.main()
