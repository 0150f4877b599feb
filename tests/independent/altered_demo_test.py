#!/usr/bin/env python3
"""Takes out, moves and retunes each station that demo plans stand on, one at a time, and sees the answers change as they must.

    altered_demo_test.py OMNIWAY CHECK_PLAN DEMO_REGION

The like of altered_rows_test.py without real data, and for every station of several plans. Each plan of altered rows must
agree with the altered rows by the independent checker, and the first plan must no longer agree with them.
"""
import concurrent.futures
import copy
import json
import os
import subprocess
import sys
import tempfile
import threading
import unittest
from pathlib import Path

from demo_region_door import import_rows, named, plan, stations, write_rows

# Over the range to an ILS by an arc, along a one-way airway, to a locator, by beacons, to a localizer without DME.
PAIRS = (("XDOV", "XMRA"), ("XNOR", "XDOV"), ("XMRA", "XNOR"), ("XPIR", "XSUL"), ("XMRA", "XKEL"))
OPTIONS = ("--aircraft", "single", "--wind", "270/15")
ORDER = ("flyable", "flyable if", "not flyable")
MOVED_MINUTES = 5  # of latitude, northwards: 5 NM


def is_row(row: str, ident: str) -> bool:
    """The record of an aid: VHF (the DME of an ILS has one of its own too), beacon, beacon of an airport, localizer."""
    kind = row[4:6] in ("D ", "DB", "PN") or (row[4] == "P" and row[12] == "I")
    return row[0] == "S" and kind and row[13:17].strip() == ident


def replaced(row: str, first: int, text: str) -> str:
    """The row with other text from a column (1-based, as ARINC 424 counts)."""
    return row[: first - 1] + text + row[first - 1 + len(text):]


def is_beacon(row: str) -> bool:
    return row[4:6] in ("DB", "PN")


def retuned(row: str) -> str:
    """50 kHz up, 200 kHz for a localizer, which keeps an odd tenth (ICAO Annex 10); a beacon 7 kHz."""
    raised = 70 if is_beacon(row) else 20 if row[4] == "P" or row[27] == " " else 5
    return replaced(row, 23, f"{int(row[22:27]) + raised:05d}")


def moved(row: str) -> str:
    for column in (33, 56):  # the aid; its DME or its glideslope
        text = row[column - 1: column + 8]
        if text.strip():
            minutes = int(text[1:3]) * 60 + int(text[3:5]) + MOVED_MINUTES
            row = replaced(row, column, f"{text[0]}{minutes // 60:02d}{minutes % 60:02d}{text[5:]}")
    return row


def frequency(station: dict) -> float:
    return station.get("frequency_mhz", station.get("frequency_khz"))


class AlteredDemo(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.scratch = tempfile.TemporaryDirectory()
        cls.count, cls.lock = 0, threading.Lock()
        cls.whole = Path(cls.scratch.name) / "whole.atlas"
        file = Path(cls.scratch.name) / "whole.txt"
        cls.rows = write_rows(DEMO_REGION, file)
        import_rows(OMNIWAY, file, cls.whole)
        cls.pool = concurrent.futures.ThreadPoolExecutor(os.cpu_count())
        cls.first = dict(zip(PAIRS, cls.pool.map(lambda pair: plan(OMNIWAY, cls.whole, *pair, *OPTIONS), PAIRS)))
        cls.cases = [(pair, ident) for pair, answer in cls.first.items() for ident in sorted(named(answer))]

    @classmethod
    def tearDownClass(cls):
        cls.pool.shutdown()
        cls.scratch.cleanup()

    def file(self, name: str) -> Path:
        with self.lock:
            type(self).count += 1
            return Path(self.scratch.name) / f"{self.count}-{name}"

    def faults(self, rows_file: Path, answer: dict) -> list[str]:
        file = self.file("plan.json")
        file.write_text(json.dumps(answer), encoding="utf-8")
        done = subprocess.run([CHECKER, "--arinc", rows_file, file], capture_output=True, text=True, check=False)
        self.assertIn(done.returncode, (0, 1), done.stderr)
        return [line for line in done.stdout.splitlines() if line.startswith("WRONG")]

    def altered(self, pair, ident, change):
        """The rows of one aid changed (None leaves a row out): the file of rows, the plan from them."""
        rows = [change(row) if is_row(row, ident) else row for row in self.rows]
        self.assertNotEqual(rows, self.rows, f"no row of {ident}")
        file, atlas = self.file("rows.txt"), self.file("rows.atlas")
        file.write_text("\n".join(row for row in rows if row is not None) + "\n", encoding="latin-1")
        import_rows(OMNIWAY, file, atlas)
        return file, plan(OMNIWAY, atlas, *pair, *OPTIONS)

    def each(self, work):
        """work(pair, ident) for every case, several at once; then its results one by one."""
        for case, result in zip(self.cases, self.pool.map(lambda each: work(*each), self.cases)):
            with self.subTest(pair=" ".join(case[0]), ident=case[1]):
                yield (*case, result)

    def test_there_are_enough_stations_to_alter(self):
        print(f"{len(self.cases)} stations in {len(PAIRS)} plans")
        self.assertGreaterEqual(len(self.cases), 20)
        kinds = {station["kind"] for answer in self.first.values() for station in stations(answer["flight"])}
        self.assertLessEqual({"VOR", "VOR/DME", "NDB", "ILS", "ILS/DME"}, kinds)

    def test_a_station_out_of_service_is_as_one_left_out_and_never_named(self):
        def work(pair, ident):
            without = plan(OMNIWAY, self.whole, *pair, *OPTIONS, "--without", ident)
            return without, *self.altered(pair, ident, lambda row: None)

        refused = 0
        for pair, ident, (without, file, deleted) in self.each(work):
            first = self.first[pair]
            for answer in (without, deleted):
                self.assertNotIn(ident, named(answer))
                self.assertGreaterEqual(ORDER.index(answer["verdict"]), ORDER.index(first["verdict"]))
                self.assertNotIn(ident, json.dumps((answer["flight"] or {}).get("route", "")).split())
                self.assertEqual(self.faults(file, answer) if answer["flight"] else [], [])
            self.assertTrue(self.faults(file, first), "the first plan agrees with rows it cannot stand on")
            self.assertEqual(without["verdict"], deleted["verdict"])
            self.assertEqual(without["flight"], deleted["flight"])
            self.assertNotEqual(without["flight"], first["flight"])
            refused += without["verdict"] == "not flyable"
        print(f"without one of them: {refused} of {len(self.cases)} refused, the others flown otherwise")
        self.assertGreater(refused, 2)
        self.assertLess(refused, len(self.cases) - 3)

    def test_a_refusal_names_the_station_that_is_out_of_service(self):
        # Without IXNR the approach to the other end is left, and circling from it.
        for pair, ident, verdict, words in (
                (PAIRS[2], "IXNR", "flyable if", "its localizer IXNR is out of service"),
                (PAIRS[3], "XSL", "not flyable", "XSL is out of service"),
                (PAIRS[0], "XMR", "flyable if", "is an arc about XMR, which is out of service")):
            with self.subTest(ident=ident):
                answer = plan(OMNIWAY, self.whole, *pair, *OPTIONS, "--without", ident)
                self.assertEqual(answer["verdict"], verdict)
                self.assertIn(words, " | ".join([each["text"] for each in answer["findings"]]
                                                + [each["why_not"] for each in answer["approaches"]]))

    def test_a_station_retuned_is_tuned_anew_and_nothing_else_changes(self):
        for pair, ident, (file, answer) in self.each(lambda pair, ident: self.altered(pair, ident, retuned)):
            first = self.first[pair]
            heard = {frequency(station) for station in stations(answer["flight"]) if station["ident"] == ident}
            then = {frequency(station) for station in stations(first["flight"]) if station["ident"] == ident}
            self.assertEqual(len(heard), 1)
            self.assertNotEqual(heard, then)
            self.assertEqual(self.faults(file, answer), [])
            self.assertTrue(any("frequency" in fault for fault in self.faults(file, first)))
            # The card says frequencies in words too: it is compared without them (check_card holds them to the records).
            back, before = copy.deepcopy(answer["flight"]), copy.deepcopy(first["flight"])
            self.assertNotEqual(back.pop("card"), before.pop("card"))
            for station in stations(back):
                if station["ident"] == ident:
                    name = "frequency_mhz" if "frequency_mhz" in station else "frequency_khz"
                    station[name] = then.copy().pop()
            self.assertEqual(back, before)

    def test_a_station_moved_five_miles_is_flown_where_it_now_stands_or_not_at_all(self):
        still = 0
        for pair, ident, (file, answer) in self.each(lambda pair, ident: self.altered(pair, ident, moved)):
            first = self.first[pair]
            sites = {station["site"]["latitude_deg"] for station in stations(first["flight"]) if station["ident"] == ident}
            for station in stations(answer["flight"] or {}):
                if station["ident"] == ident:
                    self.assertAlmostEqual(station["site"]["latitude_deg"], min(sites) + MOVED_MINUTES / 60, places=5)
            still += ident in named(answer)
            self.assertEqual(self.faults(file, answer) if answer["flight"] else [], [])
            self.assertTrue(any("from its row" in fault for fault in self.faults(file, first)))
            self.assertNotEqual(answer["flight"], first["flight"])
        print(f"moved {MOVED_MINUTES} NM: {still} of {len(self.cases)} still flown by, from where they now stand")
        self.assertGreater(still, 3)


if __name__ == "__main__":
    OMNIWAY, CHECKER, DEMO_REGION = (Path(word).resolve() for word in sys.argv[1:4])
    unittest.main(argv=sys.argv[:1] + sys.argv[4:])
