#!/usr/bin/env python3
"""`omniway debrief` as its user meets it.

    debrief_test.py OMNIWAY SHARE_FOLDER [unittest arguments]

Tracks come from `rehearse --example --gpx`, from files written here, and from the tracks of the test data. Whether a track so far off a line is
told as so far off is held against geodesics in src/debrief; here the cross-track distance of a rehearsed flight is reckoned once more, on a sphere
(Ed Williams, Aviation Formulary, cross-track error, from memory), from the track's file and the plan's places alone.
"""
import copy
import json
import math
import os
import pathlib
import subprocess
import sys
import tempfile
import unittest
import xml.etree.ElementTree

OMNIWAY = pathlib.Path(sys.argv.pop(1)).resolve()
SHARE = pathlib.Path(sys.argv.pop(1)).resolve()
sys.argv = [sys.argv[0], OMNIWAY, SHARE, *sys.argv[1:]]
sys.path.insert(0, str(pathlib.Path(__file__).parent))
from command_test import check_schema, schema_of  # noqa: E402  (takes the two arguments)

DEMO = os.environ.get("OMNIWAY_DEMO_ATLAS", SHARE / "demo.atlas")
REAL = pathlib.Path(os.environ.get("OMNIWAY_REAL_DATA", pathlib.Path(__file__).resolve().parents[3] / "shared" / "navdata"))
FLIGHT = ("XDOV", "XMRA", "--wind", "270/20", "--date", "2026-11-25")
FOLDER = tempfile.TemporaryDirectory()
GPX = "{http://www.topografix.com/GPX/1/1}"
NOON = 43200


def environment():
    return {key: value for key, value in os.environ.items() if key not in ("OMNIWAY_ATLAS", "XDG_DATA_HOME")}


def run(*words, atlas=DEMO):
    return subprocess.run([OMNIWAY, *map(str, words), "--atlas", atlas], capture_output=True, text=True, timeout=300, check=False,
                          env=environment())


def good(*words):
    done = run(*words)
    if done.returncode != 0:
        raise AssertionError(f"{words}: status {done.returncode}: {done.stdout[:300]}{done.stderr}")
    return done.stdout


def written(name, text):
    file = pathlib.Path(FOLDER.name) / name
    file.write_text(text)
    return file


def card():
    file = pathlib.Path(FOLDER.name) / "flight.card.json"
    if not file.exists():
        good("plan", *FLIGHT, "--card", file)
    return file


def rehearsed(number, *words):
    """A rehearsed flight as the world had it, and its track."""
    file = pathlib.Path(FOLDER.name) / f"flight{number}{''.join(words)}.gpx"
    told = json.loads(good("rehearse", card(), "--example", number, "--gpx", file, "--json", *words))
    return told, file


def debrief(*words):
    return json.loads(good("debrief", *words, "--json"))


def codes(*words):
    done = run("debrief", *words, "--json")
    return done.returncode, [error["code"] for error in json.loads(done.stdout)["errors"]]


def points_of(file):
    points = []
    for point in xml.etree.ElementTree.parse(file).iter(f"{GPX}trkpt"):
        hours, minutes, rest = point.find(f"{GPX}time").text.split("T")[1].rstrip("Z").split(":")
        points.append((float(point.get("lat")), float(point.get("lon")), float(point.find(f"{GPX}ele").text),
                       int(hours) * 3600 + int(minutes) * 60 + float(rest)))
    return points


def csv_of(points):
    rows = ["time_of_day_s,latitude_deg,longitude_deg,altitude_m"]
    rows += [f"{time},{lat:.7f},{lon:.7f},{height}" for lat, lon, height, time in points]
    return "\n".join(rows) + "\n"


def nmea_of(points):
    lines = []
    for lat, lon, height, time in points:
        def angle(value, width):
            whole = int(abs(value))
            return f"{whole:0{width}d}{(abs(value) - whole) * 60:07.4f}"
        at = f"{int(time) // 3600:02d}{int(time) // 60 % 60:02d}{time % 60:05.2f}"
        body = (f"GPGGA,{at},{angle(lat, 2)},{'N' if lat >= 0 else 'S'},{angle(lon, 3)},{'E' if lon >= 0 else 'W'},1,08,0.9,"
                f"{height:.1f},M,0.0,M,,")
        checksum = 0
        for character in body:
            checksum ^= ord(character)
        lines.append(f"${body}*{checksum:02X}")
    return "\r\n".join(lines) + "\r\n"


def cross_track_nm(start, end, place):
    """On a sphere; right of the line is positive."""
    def bearing_distance(a, b):
        la, oa, lb, ob = (math.radians(x) for x in (*a, *b))
        distance = 2 * math.asin(math.sqrt(math.sin((la - lb) / 2) ** 2 + math.cos(la) * math.cos(lb) * math.sin((oa - ob) / 2) ** 2))
        return math.atan2(math.sin(ob - oa) * math.cos(lb), math.cos(la) * math.sin(lb) - math.sin(la) * math.cos(lb) * math.cos(ob - oa)), distance
    course, _ = bearing_distance(start, end)
    bearing, distance = bearing_distance(start, place)
    return math.degrees(math.asin(math.sin(distance) * math.sin(bearing - course))) * 60


class ARehearsedFlightDebriefed(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.flights = {number: rehearsed(number) for number in (1, 2, 5)}
        cls.found = {number: debrief(card(), file) for number, (_, file) in cls.flights.items()}

    def test_the_document_fits_its_schema(self):
        for found in self.found.values():
            self.assertEqual(check_schema(found, schema_of("debrief")), [])

    def test_each_step_was_flown_when_the_rehearsal_flew_it(self):
        # Where a clock or a needle ends a step along one line, nothing on the track tells to a minute; a fix is passed before it is acted on.
        for number, (truth, _) in self.flights.items():
            self.assertEqual(truth["outcome"], "arrived")
            flown = {step["number"]: step for step in self.found[number]["steps"]}
            for step in truth["steps"]:
                told = flown[step["number"]]
                self.assertTrue(told["flown"], told)
                self.assertLess(abs(told["ended_s"] - NOON - step["ended_s"]), 140, (number, step, told["ended_s"]))
                if step["missed_by_nm"] is not None and not told["missed_approach"]:
                    self.assertLess(abs(told["ended_s"] - NOON - step["ended_s"]), 60, (number, step, told["ended_s"]))
            self.assertFalse(any(step["flown"] for step in self.found[number]["steps"] if step["missed_approach"]))

    def test_the_worst_aside_is_that_of_the_sphere(self):
        track = json.loads(card().read_text())["track"]["steps"]
        for number, (_, file) in self.flights.items():
            points = points_of(file)
            checked = 0
            for step, meant in zip(self.found[number]["steps"], track):
                if step["side"] is None or step["side"]["arc"] or step["distance_nm"] < 10:
                    continue
                start, end = ((meant[key]["latitude_deg"], meant[key]["longitude_deg"]) for key in ("start", "finish"))
                began = step["began_s"] + (step["side"]["established_after_s"] or 0)
                asides = [cross_track_nm(start, end, (lat, lon)) for lat, lon, _, time in points if began <= time < step["ended_s"]]
                worst = max(asides, key=abs)
                self.assertAlmostEqual(step["side"]["aside"]["worst_nm"], worst, delta=0.05, msg=(number, step["number"]))
                self.assertAlmostEqual(step["side"]["aside"]["mean_nm"], sum(asides) / len(asides), delta=0.05)
                checked += 1
            self.assertGreaterEqual(checked, 3)

    def test_the_same_flight_as_nmea_and_csv_tells_the_same(self):
        _, file = self.flights[1]
        points = points_of(file)
        for name, text in (("same.nmea", nmea_of(points)), ("same.csv", csv_of(points))):
            found = debrief(card(), written(name, text))
            self.assertEqual(found["track"]["points_used"], len(points))
            for one, other in zip(found["steps"], self.found[1]["steps"]):
                self.assertEqual(one["flown"], other["flown"])
                if one["side"] and one["distance_nm"] > 2:
                    self.assertAlmostEqual(one["side"]["aside"]["worst_nm"], other["side"]["aside"]["worst_nm"], delta=0.02)

    def test_three_exercises_at_most_the_largest_first(self):
        for found in self.found.values():
            self.assertLessEqual(len(found["practise"]), 3)
            for practice in found["practise"]:
                self.assertGreater(practice["of_allowed_share"], 1)
                self.assertTrue(practice["steps"])

    def test_the_text_has_every_part_and_the_caution(self):
        _, file = self.flights[1]
        text = good("debrief", card(), file)
        for words in ("To practise", "aside, NM", "protected", "How each was flown", "What the needles showed", "passed at",
                      "Not for real-world navigation"):
            self.assertIn(words, text)
        for line in text.splitlines():
            self.assertLessEqual(len(line), 112, line)

    def test_in_calm_air_with_perfect_instruments_every_line_is_held(self):
        _, file = rehearsed(1, "--errors", "none")
        for step in debrief(card(), file)["steps"]:
            if step["side"] and step["distance_nm"] > 5:
                self.assertLess(abs(step["side"]["aside"]["mean_nm"]), 0.4, step)
                self.assertEqual(step["side"]["inside_total_share"], 1, step)


class AWrongFlight(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        _, file = rehearsed(1, "--errors", "none")
        cls.points = points_of(file)
        cls.steps = debrief(card(), file)["steps"]

    def long_step(self):
        return max((step for step in self.steps if step["side"]), key=lambda step: step["distance_nm"])

    def test_a_stretch_flown_low_is_told(self):
        step = max((step for step in self.steps if step["heights"] and step["heights"]["off_level"]), key=lambda step: step["distance_nm"])
        middle = (step["began_s"] + step["ended_s"]) / 2
        points = [(lat, lon, height - 100 if abs(time - middle) < 60 else height, time) for lat, lon, height, time in self.points]
        found = debrief(card(), written("low.csv", csv_of(points)))
        self.assertIn("Hold the altitude", [practice["exercise"] for practice in found["practise"]])
        told = found["steps"][step["number"] - 1]["heights"]
        self.assertAlmostEqual(told["off_level"]["worst_ft"], -328, delta=60)
        self.assertAlmostEqual(told["off_by_100_ft_s"], 120, delta=5)

    def test_a_stretch_flown_beside_the_line_is_told(self):
        step = self.long_step()
        first, last = step["began_s"] + 200, step["ended_s"] - 200
        def beside(time):  # a tenth of a degree of latitude, gone to and come back from in five minutes each
            return 0.1 * max(0, min(1, (time - first) / 300, (last - time) / 300))
        points = [(lat + beside(time), lon, height, time) for lat, lon, height, time in self.points]
        found = debrief(card(), written("beside.csv", csv_of(points)))
        told = found["steps"][step["number"] - 1]["side"]
        self.assertGreater(abs(told["aside"]["worst_nm"]), 4)
        self.assertLess(told["inside_primary_share"], 0.9)
        self.assertIn("Hold the line", [practice["exercise"] for practice in found["practise"]])

    def test_a_gap_is_named_and_is_in_no_figure(self):
        step = self.long_step()
        first = step["began_s"] + 200
        points = [point for point in self.points if not first < point[3] < first + 240]
        found = debrief(card(), written("gap.csv", csv_of(points)))
        self.assertEqual(len(found["track"]["gaps"]), 1)
        self.assertAlmostEqual(found["steps"][step["number"] - 1]["unrecorded_s"], 241, delta=2)
        done = run("debrief", card(), pathlib.Path(FOLDER.name) / "gap.csv")
        self.assertIn("nothing was recorded from", done.stdout)

    def test_half_a_flight_is_debriefed_as_far_as_it_goes(self):
        half = self.points[: len(self.points) // 2]
        found = debrief(card(), written("half.csv", csv_of(half)))
        flown = [step["flown"] for step in found["steps"]]
        self.assertTrue(flown[0])
        self.assertFalse(flown[len(self.steps) - 1])
        self.assertNotIn("Follow the card", [practice["exercise"] for practice in found["practise"]])


class BadInput(unittest.TestCase):
    def test_what_is_no_card_or_no_track_is_named(self):
        _, file = rehearsed(1)
        self.assertEqual(codes("nowhere.json", file), (2, ["app.debrief_what"]))
        self.assertEqual(codes(card(), "nowhere.gpx"), (2, ["read.file_missing"]))
        self.assertEqual(codes(written("route.txt", "XDOV DCT XDV V12 XRG DCT XMRA\n"), file)[0], 2)
        self.assertEqual(codes(card(), written("words.txt", "no track\n")), (2, ["track.form_unknown"]))
        self.assertEqual(codes(card(), file, "--gap", "0"), (2, ["app.out_of_range"]))
        self.assertEqual(codes(card(), file, "--track", "1.5"), (2, ["app.out_of_range"]))

    def test_a_card_of_another_atlas_is_refused(self):
        _, file = rehearsed(1)
        other = json.loads(card().read_text())
        other["sources"][0]["checksum"] = "0" * 32
        self.assertEqual(codes(written("other.card.json", json.dumps(other)), file), (2, ["card.other_atlas"]))

    def test_time_that_goes_backward_is_refused_with_its_place(self):
        _, file = rehearsed(1)
        points = points_of(file)[:200]
        points[100], points[101] = points[101], points[100]
        bad = written("back.csv", csv_of(points))
        done = run("debrief", card(), bad, "--json")
        self.assertEqual(done.returncode, 2)
        error = json.loads(done.stdout)["errors"][0]
        self.assertIn("back.csv:103", error["where"])

    def test_two_flights_in_a_file_are_named_and_one_is_chosen(self):
        _, file = rehearsed(1)
        tree = file.read_text()
        track = tree[tree.index("<trk>"):tree.index("</trk>") + len("</trk>")]
        two = written("two.gpx", tree.replace("</trk>", "</trk>\n" + track, 1))
        status, names = codes(card(), two)
        self.assertEqual((status, len(names)), (2, 1))
        self.assertIn("flight", names[0])
        found = debrief(card(), two, "--track", "2")
        self.assertEqual((found["track"]["flight"], found["track"]["flights"]), (2, 2))

    def test_bad_checksums_are_left_out_and_counted(self):
        _, file = rehearsed(1)
        lines = nmea_of(points_of(file)).split("\r\n")
        for i in range(100, 110):
            lines[i] = lines[i][:-2] + ("00" if lines[i][-2:] != "00" else "11")
        found = debrief(card(), written("checksums.nmea", "\r\n".join(lines)))
        self.assertEqual(sum(each["points"] for each in found["track"]["not_used"]), 10)
        self.assertEqual(len(found["track"]["diagnostics"]), 10)
        self.assertIn("checksums.nmea:101", found["track"]["diagnostics"][0]["where"])

    def test_a_track_of_elsewhere_makes_no_figure(self):
        points = [(10 + i * 1e-3, 20, 500, NOON + i) for i in range(300)]
        status, names = codes(card(), written("elsewhere.csv", csv_of(points)))
        self.assertEqual((status, names), (2, ["debrief.elsewhere"]))
        self.assertEqual(codes(card(), written("stands.csv", csv_of([(40.766, -167.14, 50, NOON + i) for i in range(100)]))),
                         (2, ["debrief.not_flown"]))

    def test_tracks_of_the_test_data_are_read_and_refused_by_what_they_are(self):
        tracks = REAL / "tracks"
        if not tracks.is_dir():
            self.skipTest(f"SKIPPED: no tracks in {REAL}")
        for file in sorted(tracks.iterdir()):
            status, names = codes(card(), file)
            self.assertEqual(status, 2, file)
            self.assertTrue(all(name.startswith(("track.", "debrief.")) for name in names), (file, names))


if __name__ == "__main__":
    unittest.main()
