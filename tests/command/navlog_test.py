#!/usr/bin/env python3
"""omniway navlog as its user meets it: text, JSON, CSV, winds by level, passages; bad input.

    navlog_test.py OMNIWAY SHARE_FOLDER [unittest arguments]
"""
import csv
import datetime
import io
import json
import math
import pathlib
import tempfile
import unittest

from command_test import DEMO, check_schema, run, schema_of

WAY = ("XDOV", "XMRA", "--date", "2026-11-26", "--reception", "horizon")
WINDS = ("--wind", "270/15", "--winds", "3000 280/25, 6000 290/35", "--winds", "12000 300/50")
BULLETIN = """DATA BASED ON 261200Z
VALID 261800Z   FOR USE 1400-2100Z. TEMPS NEG ABV 24000

FT  3000    6000    9000   12000   18000   24000  30000  34000  39000
XDV 2825 2935-02 2941-08 3050-14 2960-25 2975-37 780252 781160 771962
XHI              2940-08 3050-14 2960-25 2975-37 780252 781160 771962
"""


def navlog(*words, way=WAY):
    return run("navlog", *way, *words, "--atlas", DEMO)


def moment(text):
    return datetime.datetime.strptime(text, "%Y-%m-%dT%H:%M:%SZ")


class NavLog(unittest.TestCase):
    def document(self, *words, status=0, way=WAY):
        result = navlog(*words, "--json", way=way)
        self.assertEqual(result.returncode, status, result.stderr)
        document = json.loads(result.stdout)
        self.assertEqual((document["kind"], check_schema(document, schema_of("navlog"))), ("navlog", []))
        return document

    def rows(self, *words):
        return self.document(*words)["log"]["rows"]

    def refuses(self, code, *words, said=()):
        result = navlog(*words)
        self.assertEqual((result.returncode, result.stdout), (2, ""), result.stderr)
        for word in (f"[{code}]", *said):
            self.assertIn(word, result.stderr)


class Figures(NavLog):
    def test_every_row_solves_its_wind_triangle_and_the_rows_add_up(self):
        log = self.document(*WINDS, "--alternate", "none", "--depart", "14:00Z")["log"]
        rows = log["rows"]
        self.assertGreater(len(rows), 5)
        self.assertEqual({"TOC", "TOD"} - {row["to"] for row in rows}, set())
        total = minutes = 0.0
        used = log["fuel"]["taxi_lb"]
        for row in rows:
            total, minutes, used = total + row["distance_nm"], minutes + row["time_min"], used + row["fuel_lb"]
            self.assertAlmostEqual(row["total_nm"], total, delta=0.1)
            self.assertAlmostEqual(row["elapsed_min"], minutes, delta=0.2)
            self.assertAlmostEqual(row["fuel_used_lb"], used, delta=1.0)
            self.assertAlmostEqual(row["fuel_left_lb"], log["fuel"]["usable_lb"] - row["fuel_used_lb"], delta=0.11)
            self.assertAlmostEqual(row["fuel_lb"], row["fuel_flow_lb_per_h"] * row["time_min"] / 60, delta=0.1)
            self.assertAlmostEqual((moment(row["eta"]) - moment(log["take_off"])).total_seconds() / 60, row["elapsed_min"],
                                   delta=0.02)
            if row["hold"]:
                continue
            # Trade handbooks: WCA = asin(W/TAS sin(wind from - course)), GS = TAS cos WCA - W cos(wind from - course).
            angle = math.radians(row["wind"]["from_true_deg"] - row["track_true_deg"])
            wca = math.asin(row["wind"]["speed_kt"] / row["true_airspeed_kt"] * math.sin(angle))
            speed = row["true_airspeed_kt"] * math.cos(wca) - row["wind"]["speed_kt"] * math.cos(angle)
            self.assertAlmostEqual(row["correction_deg"], math.degrees(wca), delta=0.2)
            self.assertAlmostEqual(row["groundspeed_kt"], speed, delta=0.3)
            self.assertAlmostEqual(row["time_min"], row["distance_nm"] / speed * 60, delta=0.05)
            heading = row["track_true_deg"] + row["correction_deg"] - row["variation_east_deg"]
            self.assertLess(abs((row["heading_magnetic_deg"] - heading + 180) % 360 - 180), 0.21)
        self.assertAlmostEqual(log["distance_nm"], total, delta=0.1)
        fuel = log["fuel"]
        self.assertAlmostEqual(fuel["needed_lb"], fuel["taxi_lb"] + fuel["trip_lb"] + fuel["reserve_lb"], delta=0.2)
        self.assertAlmostEqual(fuel["extra_lb"], fuel["usable_lb"] - fuel["needed_lb"], delta=0.2)

    def test_the_wind_is_that_of_the_altitude(self):
        document = self.document(*WINDS, "--alternate", "none", "--altitude", "6000")
        self.assertEqual(document["wind"], "270/15")
        self.assertEqual([(level["altitude_msl_ft"], level["wind"]) for level in document["winds_aloft"]],
                         [(3000, "280/25"), (6000, "290/35"), (12000, "300/50")])
        level = [row for row in document["log"]["rows"] if row["manner"] == "level"]
        self.assertTrue(level)
        for row in level:
            self.assertEqual((row["wind"]["from_true_deg"], row["wind"]["speed_kt"]), (290.0, 35.0))

    def test_a_bulletin_says_the_same_as_its_levels_typed(self):
        with tempfile.TemporaryDirectory() as folder:
            bulletin = pathlib.Path(folder) / "winds.txt"
            bulletin.write_text(BULLETIN)
            words = ("--wind", "270/15", "--alternate", "none", "--winds-file", bulletin)
            read = self.rows(*words, "--winds-station", "xdv")
            typed = self.rows("--wind", "270/15", "--alternate", "none", "--winds",
                              "3000 280/25, 6000 290/35, 9000 290/41, 12000 300/50, 18000 290/60, 24000 290/75, 30000 280/102, "
                              "34000 280/111, 39000 270/119")
            self.assertEqual(read, typed)
            self.refuses("app.unknown_winds_station", *words, "--winds-station", "XDW", said=("did you mean XDV?",))
            self.refuses("app.winds_incomplete", *words)
            self.refuses("app.two_winds", *words, "--winds-station", "XDV", "--winds", "3000 270/20")
            bulletin.write_text(BULLETIN.replace("2935-02", "2x35-02"))
            self.refuses("read.wind_group", *words, "--winds-station", "XDV", said=("winds.txt:5:10", "2x35-02"))
            bulletin.write_text("no bulletin\n")
            self.refuses("read.winds_no_levels", *words, "--winds-station", "XDV")

    def test_an_alternate_is_planned_on_from_the_destination_and_its_fuel_needed(self):
        none = self.document(*WINDS, "--alternate", "none", "--altitude", "10000")
        given = self.document(*WINDS, "--alternate", "XPIR", "--altitude", "10000")
        self.assertEqual(given["alternate"]["ident"], "XPIR")
        self.assertTrue(given["alternate"]["route"].startswith("XMRA "), given["alternate"]["route"])
        fuel = given["log"]["fuel"]
        self.assertGreater(fuel["alternate_lb"], 1.0)
        self.assertAlmostEqual(fuel["needed_lb"] - none["log"]["fuel"]["needed_lb"], fuel["alternate_lb"], delta=0.2)
        back = self.document(*WINDS, way=("XMRA", "XPIR", *WAY[2:]))
        self.assertAlmostEqual(back["log"]["time_min"], given["alternate"]["time_min"], delta=2.0)

    def test_an_alternate_that_is_not_said_is_asked_for(self):
        said = self.document(*WINDS)
        self.assertIn("fuel.alternate_not_said", {finding["code"] for finding in said["findings"]})
        self.assertEqual(said["log"]["fuel"]["alternate_asked"], "not_said")
        self.assertNotEqual(said["verdict"], "flyable")


class AsFlown(NavLog):
    def planned(self):
        return self.rows(*WINDS, "--alternate", "none", "--depart", "14:00Z")

    def test_passages_as_planned_change_nothing_and_later_ones_shift_what_is_ahead(self):
        planned = self.planned()
        passed = next(i for i, row in enumerate(planned) if row["manner"] == "level" and row["distance_nm"] > 10)
        point = planned[passed]["to"]
        words = (*WINDS, "--alternate", "none", "--depart", "14:00Z")
        as_planned = self.document(*words, "--over", f"{point}={planned[passed]['eta']}")["log"]
        self.assertLess(as_planned["found_winds"][0]["change"]["speed_kt"], 3.0)
        late = moment(planned[passed]["eta"]) + datetime.timedelta(minutes=3)
        flown = self.document(*words, "--over", f"{point}={late:%H:%M:%S}")["log"]
        self.assertEqual(moment(flown["rows"][passed]["ata"]), late)
        self.assertIsNotNone(flown["rows"][passed]["groundspeed_made_kt"])
        self.assertFalse(flown["found_winds"][0]["across_found"])
        self.assertGreater(flown["found_winds"][0]["change"]["speed_kt"], 3.0)
        self.assertNotEqual(flown["rows"][-1]["eta"], planned[-1]["eta"])
        self.assertNotEqual(flown["fuel"]["trip_lb"], as_planned["fuel"]["trip_lb"])
        drift = self.document(*words, "--over", f"{point}={late:%H:%M:%S}/2R")["log"]
        self.assertTrue(drift["found_winds"][0]["across_found"])
        self.assertAlmostEqual(drift["rows"][passed]["correction_deg"], -2.0, delta=0.11)

    def test_midnight_passes(self):
        rows = self.rows(*WINDS, "--alternate", "none", "--depart", "2026-11-26T23:55Z")
        self.assertTrue(rows[-1]["eta"].startswith("2026-11-27T01:"), rows[-1]["eta"])
        # A climb in a hold passes its fix twice; the first of a name is meant.
        names = [row["to"] for row in rows]
        point = next(row for row in rows if row["eta"].startswith("2026-11-27T00:") and names.count(row["to"]) == 1)
        again = self.rows(*WINDS, "--alternate", "none", "--depart", "23:55", "--over", f"{point['to']}={point['eta'][11:19]}")
        self.assertEqual(next(row for row in again if row["ata"])["ata"], point["eta"])

    def test_what_cannot_be_is_refused(self):
        words = (*WINDS, "--alternate", "none")
        point = self.planned()[3]["to"]
        first = self.planned()[0]["to"]
        self.refuses("app.passage_form", *words, "--over", point)
        self.refuses("app.passage_form", *words, "--over", f"{point}=14:07/9")
        self.refuses("base.clock_form", *words, "--over", f"{point}=1407", said=("14:07",))
        self.refuses("base.clock_out_of_range", *words, "--depart", "24:00")
        self.refuses("app.unknown_passage", *words, "--over", f"{point}Q=14:07", said=("did you mean",))
        self.refuses("app.passage_order", *words, "--depart", "14:00", "--over", f"{point}=13:55", said=("take-off",))
        self.refuses("app.passage_order", *words, "--over", f"{point}=14:20", "--over", f"{first}=14:30")
        self.refuses("app.passage_implausible", *words, "--depart", "14:00", "--over", f"{point}=14:01", said=("true airspeed",))
        self.refuses("cli.two_dates", *words, "--depart", "2026-11-27T14:00Z")
        self.refuses("app.alternate_is_destination", "--alternate", "XMRA")
        self.refuses("app.unknown_ident", "--alternate", "XPIRR", said=("did you mean XPIR?",))
        self.refuses("weather.winds_form", "--winds", "270/20")
        self.refuses("weather.levels_not_ascending", "--winds", "6000 270/20", "--winds", "3000 270/20")
        self.refuses("weather.level_out_of_range", "--winds", "99000 270/20")
        self.refuses("weather.wind_speed_out_of_range", "--winds", "3000 270/400")


class Papers(NavLog):
    def test_the_csv_holds_the_rows(self):
        with tempfile.TemporaryDirectory() as folder:
            path = pathlib.Path(folder) / "log.csv"
            rows = self.rows(*WINDS, "--alternate", "none", "--depart", "14:00Z", "--csv", path)
            text = path.read_bytes().decode()
        self.assertEqual(text.count("\r\n"), text.count("\n"))
        written = list(csv.DictReader(io.StringIO(text, newline="")))
        self.assertEqual(len(written), len(rows))
        for line, row in zip(written, rows):
            for name in ("to", "via", "eta"):
                self.assertEqual(line[name], row[name] or "")
            for name in ("distance_nm", "groundspeed_kt", "time_min", "fuel_used_lb", "course_magnetic_deg"):
                if row[name] is not None:
                    self.assertAlmostEqual(float(line[name]), row[name], delta=0.051, msg=name)
            self.assertEqual(line["fuel_seen_lb"], "")

    def test_the_paper_names_every_point_and_the_fuel(self):
        rows = self.rows(*WINDS, "--alternate", "none", "--depart", "14:00Z")
        text = navlog(*WINDS, "--alternate", "none", "--depart", "14:00Z").stdout
        for word in ("TOC", "TOD", "take-off 2026-11-26T14:00:00Z", "none needed, as you say", "reserve", "45 min at cruise",
                     "270/15, 3,000 ft 280/25, 6,000 ft 290/35, 12,000 ft 300/50"):
            self.assertIn(word, text)
        for row in rows:
            self.assertIn(row["to"], text)
        self.assertIn("Not for real-world navigation", text)

    def test_without_a_take_off_there_is_no_eta(self):
        for row in self.rows(*WINDS, "--alternate", "none"):
            self.assertIsNone(row["eta"])
            self.assertIsNotNone(row["elapsed_min"])


if __name__ == "__main__":
    unittest.main()
