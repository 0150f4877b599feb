#!/usr/bin/env python3
"""`omniway find` as its user meets it.

    find_test.py OMNIWAY SHARE_FOLDER [unittest arguments]

Where the aircraft really is stands here, and what its instruments then show is reckoned here, on a sphere, from where `omniway show` says the
stations are and how their zero radials lie: within 0.4 % and 0.2 degrees of the ellipsoid, which is less than whole degrees on a card.
"""
import json
import math
import os
import pathlib
import re
import subprocess
import sys
import tempfile
import unittest

OMNIWAY = pathlib.Path(sys.argv.pop(1)).resolve()
SHARE = pathlib.Path(sys.argv.pop(1)).resolve()
sys.argv = [sys.argv[0], OMNIWAY, SHARE, *sys.argv[1:]]
sys.path.insert(0, str(pathlib.Path(__file__).parent))
from command_test import check_schema, schema_of  # noqa: E402  (takes the two arguments)

DEMO = os.environ.get("OMNIWAY_DEMO_ATLAS", SHARE / "demo.atlas")
DAY = ("--date", "2026-11-25")
FOLDER = tempfile.TemporaryDirectory()
RADIUS_NM = 3440.065
NM_OF_FEET = 1 / 6076.115


def run_bare(*words, **keywords):
    environment = {key: value for key, value in os.environ.items() if key not in ("OMNIWAY_ATLAS", "XDG_DATA_HOME")}
    return subprocess.run([OMNIWAY, *map(str, words), "--atlas", DEMO], capture_output=True, text=True, timeout=300,
                          check=False, env=environment, **keywords)


def run(*words, **keywords):
    return run_bare("find", *words, *DAY, **keywords)


def find(*words):
    done = run(*words, "--json")
    document = json.loads(done.stdout)
    expected = 2 if document["kind"] == "errors" else 1 if document["contradiction"] else 0
    if done.returncode != expected:
        raise AssertionError(f"{words}: status {done.returncode}: {done.stdout[:300]}{done.stderr}")
    return document


def refusals(*words):
    return [(error["code"], error["where"], error["message"]) for error in find(*words).get("errors", [])]


def codes(*words):
    return [code for code, _, _ in refusals(*words)]


def batch(text, *words):
    """Its exit status, and the document of each line."""
    done = run("--batch", "-", *words, input=text)
    return done.returncode, [json.loads(line) for line in done.stdout.splitlines()]


def planned_card():
    card = pathlib.Path(FOLDER.name) / "flight.card.json"
    if not card.exists():
        planned = run_bare("plan", "XDOV", "XMRA", "--wind", "270/20", *DAY, "--card", card)
        if planned.returncode != 0:
            raise AssertionError(planned.stderr)
    return card


STATIONS = {}


def station(ident):
    if ident not in STATIONS:
        found = json.loads(run_bare("show", ident, "--json").stdout)["found"]
        STATIONS[ident] = next(each["station"] for each in found if each["kind"] == "station")
    return STATIONS[ident]


def degrees(place):
    return (place["latitude_deg"], place["longitude_deg"])


def polar(a, b):
    """Distance in NM and true bearing from a to b on the sphere: the haversine and the formula of the initial course."""
    la, lb = math.radians(a[0]), math.radians(b[0])
    dlon = math.radians(b[1] - a[1])
    h = math.sin((lb - la) / 2) ** 2 + math.cos(la) * math.cos(lb) * math.sin(dlon / 2) ** 2
    bearing = math.atan2(math.sin(dlon) * math.cos(lb), math.cos(la) * math.sin(lb) - math.sin(la) * math.cos(lb) * math.cos(dlon))
    return 2 * RADIUS_NM * math.asin(math.sqrt(h)), math.degrees(bearing) % 360


def moved(place, true_bearing, distance_nm):
    north = distance_nm * math.cos(math.radians(true_bearing)) / 60
    east = distance_nm * math.sin(math.radians(true_bearing)) / 60 / math.cos(math.radians(place[0] + north / 2))
    return (place[0] + north, place[1] + east)


def radial(ident, place):
    from_zero = polar(degrees(station(ident)["site"]), place)[1] - station(ident)["declination_east_deg"]
    return f"{round(from_zero) % 360 or 360:03d}"


def dme(ident, place, altitude_ft):
    over_ground = polar(degrees(station(ident)["dme_site"]), place)[0]
    up = (altitude_ft - station(ident)["dme_elevation_msl_ft"]) * NM_OF_FEET
    return f"{math.hypot(over_ground, up):.1f}"


def bearing(ident, place, variation_east):
    return f"{round(polar(place, degrees(station(ident)['site']))[1] - variation_east) % 360 or 360:03d}"


def inside(place, rings):
    """By how often a line to the east crosses the rings: holes run the other way, and are crossed once more."""
    crossings = 0
    for ring in rings:
        corners = [degrees(corner) for corner in ring]
        for (y1, x1), (y2, x2) in zip(corners, corners[1:] + corners[:1]):
            if (y1 > place[0]) != (y2 > place[0]) and x1 + (place[0] - y1) / (y2 - y1) * (x2 - x1) > place[1]:
                crossings += 1
    return crossings % 2 == 1


def ring_square_nm(rings):
    """Of the plane that touches the earth there: good to a hundredth over some tens of miles."""
    total = 0.0
    for ring in rings:
        corners = [degrees(corner) for corner in ring]
        scale = 60 * 60 * math.cos(math.radians(corners[0][0]))
        total += sum(y1 * x2 - y2 * x1 for (y1, x1), (y2, x2) in zip(corners, corners[1:] + corners[:1])) / 2 * scale
    return abs(total)


# Places over the demo region with what is heard there, and what is read of it: v VOR, d DME.
KNOWN = (
    ((40.60, -169.60), 9000, ("vXTE", "vXHU")),
    ((40.60, -169.60), 9000, ("vXTE", "dXTE")),
    ((40.55, -169.95), 8000, ("dXHU", "dXEB", "vXHU")),
    ((40.85, -168.80), 9000, ("vXUM", "dXUM", "vXKE")),
    ((40.62, -167.50), 6000, ("vXDV", "dXDV", "vXAD")),
    ((40.25, -170.70), 6000, ("vXMR", "dXMR", "vXEB")),
    ((41.90, -171.00), 7000, ("vXUR", "dXUR")),
    ((41.30, -166.20), 7000, ("vXPI", "dXPI")),
)


def readings(place, altitude_ft, read):
    words = []
    for each in read:
        ident = each[1:]
        words += ["--vor", f"{ident}={radial(ident, place)}"] if each[0] == "v" else ["--dme", f"{ident}={dme(ident, place, altitude_ft)}"]
    return (*words, "--altitude", altitude_ft)


class WhereItIs(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.cases = [(place, readings(place, altitude, read)) for place, altitude, read in KNOWN]
        status, documents = batch("\n".join(" ".join(map(str, words)) for _, words in cls.cases))
        if status != 0 or len(documents) != len(cls.cases):
            raise AssertionError(f"status {status}, {len(documents)} answers")
        cls.found = [(place, words, document) for (place, words), document in zip(cls.cases, documents)]

    def test_the_documents_fit_their_schema(self):
        for _, words, document in self.found:
            with self.subTest(words=words):
                self.assertEqual(check_schema(document, schema_of("find")), [])

    def test_a_known_place_is_found_within_a_mile_and_lies_in_the_95_percent(self):
        for place, words, document in self.found:
            with self.subTest(words=words):
                self.assertLess(polar(place, degrees(document["places"][0]["place"]))[0], 1.0)
                self.assertTrue(inside(place, document["most"]["rings"]))
                self.assertEqual(document["most"]["probability_share"], 0.95)
                self.assertEqual(document["half"]["probability_share"], 0.5)

    def test_a_region_is_as_large_as_its_rings_and_the_half_is_the_smaller(self):
        for _, words, document in self.found:
            with self.subTest(words=words):
                for region in (document["half"], document["most"]):
                    self.assertAlmostEqual(ring_square_nm(region["rings"]) / region["area_square_nm"], 1.0, delta=0.15)
                self.assertLess(document["half"]["area_square_nm"], document["most"]["area_square_nm"] / 2)
                self.assertLess(document["half"]["greatest_extent_nm"], document["most"]["greatest_extent_nm"])

    def test_the_place_by_its_station_is_the_place(self):
        for _, words, document in self.found:
            best = document["places"][0]
            by = best["by_station"]
            with self.subTest(words=words, station=by["station"]["ident"]):
                ident = by["station"]["ident"]
                distance, true = polar(degrees(by["station"]["site"]), degrees(best["place"]))
                self.assertAlmostEqual(distance, by["over_ground_nm"], delta=0.005 * distance + 0.02)
                off = (true - station(ident)["declination_east_deg"] - by["radial_deg"] + 180) % 360 - 180
                self.assertLess(abs(off) * distance / 57.3, 0.3)
                if by["slant_range_nm"] is not None:
                    self.assertAlmostEqual(float(dme(ident, degrees(best["place"]), document["altitude_msl_ft"])),
                                           by["slant_range_nm"], delta=0.005 * distance + 0.1)

    def test_alone_and_in_a_batch_the_answer_is_the_same(self):
        _, words, document = self.found[0]
        alone = find(*words)
        self.assertEqual(document["line"], 1)
        self.assertIsNone(document["what_now"])
        self.assertIsNotNone(alone["what_now"])
        self.assertEqual({**alone, "line": 1, "what_now": None}, document)

    def test_what_to_tune_next_shrinks_the_region_that_is_told(self):
        self.assertEqual([words for _, words, document in self.found if not document["next"]],
                         [self.cases[-1][1]])  # nothing but XPI is heard there, and all of it was read
        for _, words, document in self.found:
            with self.subTest(words=words):
                areas = [each["area_expected_square_nm"] for each in document["next"]]
                self.assertEqual(areas, sorted(areas))
                for each in document["next"]:
                    self.assertAlmostEqual(each["area_now_square_nm"] / document["most"]["area_square_nm"], 1.0, delta=0.25)
                    tells_apart = each["expected_places"] < len(document["places"])
                    self.assertTrue(each["area_expected_square_nm"] < each["area_now_square_nm"] or tells_apart, each)

    def test_the_two_engines_agree(self):
        """Least squares by geodesics, and the belief on its grid: within half the deviation that either tells, or 0.2 NM."""
        agreed = 0
        for _, words, document in self.found:
            best = document["places"][0]
            fix = best["least_squares"]
            if fix is not None:
                with self.subTest(words=words):
                    apart = polar(degrees(fix["place"]), degrees(best["place"]))[0]
                    self.assertLess(apart, max(0.2, best["one_deviation"]["major_nm"] / 2))
                    agreed += 1
        self.assertGreater(agreed, 4)

    def test_the_same_question_has_the_same_bytes(self):
        _, words, _ = self.found[3]
        self.assertEqual(run(*words, "--json").stdout, run(*words, "--json").stdout)


class TheWords(unittest.TestCase):
    PLACE = (40.60, -169.60)
    ALTITUDE = ("--altitude", 9000)

    def same(self, *questions):
        answers = [find(*words, *self.ALTITUDE) for words in questions]
        for words, answer in zip(questions, answers):
            self.assertEqual(answer["most"], answers[0]["most"], words)
            self.assertEqual([place["place"] for place in answer["places"]], [place["place"] for place in answers[0]["places"]], words)

    def test_a_radial_is_its_course_with_from_and_the_reciprocal_with_to(self):
        xhu = ("--dme", "XHU=20.5")
        self.same(("--vor", "XHU=057", *xhu), ("--vor", "XHU=057FROM", *xhu), ("--vor", "xhu=237to", *xhu), ("--vor=XHU=57", *xhu))

    def test_an_ident_a_frequency_and_morse_name_the_same_station(self):
        xte = ("--vor", "XTE=264")
        morse = station("XHU")["morse"]
        self.same(("--vor", "XHU=057", *xte), ("--vor", f"{morse}=057", *xte), ("--vor", f"{station('XHU')['frequency_mhz']:.2f}=057", *xte))

    def test_a_frequency_that_two_have_is_resolved_by_the_rest(self):
        """XOB and XUR share 113.90, 160 NM apart: beside a distance of XUR it is XUR."""
        place = (41.90, -171.00)
        self.assertEqual(station("XOB")["frequency_mhz"], station("XUR")["frequency_mhz"])
        words = ("--dme", f"XUR={dme('XUR', place, 7000)}", "--altitude", 7000)
        found = find("--vor", f"113.90={radial('XUR', place)}", *words)
        self.assertEqual(sorted(each["ident"] for each in found["readings"][0]["stations"]), ["XOB", "XUR"])
        taken = {each["reading"]: each["station"]["ident"] for each in found["places"][0]["taken_for"]}
        self.assertEqual(taken, {1: "XUR", 2: "XUR"})
        self.assertLess(polar(place, degrees(found["places"][0]["place"]))[0], 1.0)
        which = next(each for each in found["suspicions"] if each["wrong"] == "station")
        self.assertEqual(which["station"]["ident"], "XUR")
        self.assertGreater(which["probability_share"], 0.9)

    def test_an_adf_by_heading_is_the_sum_of_heading_and_relative_bearing(self):
        by_heading = find("--ndb", "XSL=R150", "--heading", "045", "--vor", "XHU=057", *self.ALTITUDE)["readings"][1]
        self.assertEqual(by_heading["kind"], "bearing")
        self.assertEqual(by_heading["bearing_to_station_magnetic_deg"], 195)
        self.assertIs(by_heading["by_heading"], True)

    def test_over_midnight_is_as_at_noon(self):
        held = ("--heading", "090", "--wind", "270/20")
        self.same(("--vor", "XHU=057@23:58", "--vor", "XTE=264@00:04", *held), ("--vor", "XHU=057@11:58", "--vor", "XTE=264@12:04", *held),
                  ("--vor", "XHU=057@-6", "--vor", "XTE=264", *held), ("--vor", "XHU=057@11:58", "--vor", "XTE=264", "--now", "12:04", *held))

    def test_two_distances_leave_two_places_that_a_radial_tells_apart(self):
        place, altitude = (40.95, -169.45), 9000
        words = ("--dme", f"XHU={dme('XHU', place, altitude)}", "--dme", f"XTE={dme('XTE', place, altitude)}", "--altitude", altitude)
        two = find(*words)["places"]
        self.assertGreaterEqual(len(two), 2)
        self.assertLess(min(polar(place, degrees(each["place"]))[0] for each in two[:2]), 1.0)
        self.assertGreater(polar(degrees(two[0]["place"]), degrees(two[1]["place"]))[0], 10.0)
        self.assertGreater(two[0]["probability_share"] + two[1]["probability_share"], 0.9)
        one = find(*words, "--vor", f"XTE={radial('XTE', place)}")["places"]
        self.assertLess(polar(place, degrees(one[0]["place"]))[0], 1.0)
        self.assertGreater(one[0]["probability_share"], 0.95)

    def test_readings_of_two_times_are_carried_on_by_heading_speed_and_wind(self):
        """Twelve minutes at 120 kt on heading 090 magnetic, 7 degrees east: 097 true, in a wind of 20 kt from 187 true, from the right; so 24 NM through
        the air and 4 NM to the left of it."""
        now = (40.62, -169.50)
        show = json.loads(run_bare("show", "XSL", "--json").stdout)["found"]
        variation = next(each["station"] for each in show if each["kind"] == "station")["variation_east_deg"]
        earlier = moved(moved(now, 90 + variation + 180, 24.0), 187, 4.0)
        # The wind blows from 187 to 007: 4 NM toward 007 since then, so earlier it was 4 NM toward 187 of where it would be.
        found = find("--vor", f"XHU={radial('XHU', earlier)}@14:00", "--vor", f"XEB={radial('XEB', earlier)}@14:00",
                     "--vor", f"XTE={radial('XTE', now)}@14:12", "--heading", "090@13:55", "--airspeed", 120, "--wind", "187/20", *self.ALTITUDE)
        self.assertEqual(found["now"], "14:12Z")
        self.assertEqual([each["before_min"] for each in found["readings"]], [12, 12, 0])
        self.assertLess(polar(now, degrees(found["places"][0]["place"]))[0], 2.0)
        self.assertTrue(inside(now, found["most"]["rings"]))

    def test_a_last_known_place_is_as_good_as_was_said_and_worse_with_time(self):
        at_once = find("--last", "XHU", "--last-within", 3, *self.ALTITUDE)
        # A normal distance in the plane: 95 % within r is an area of pi r squared.
        self.assertAlmostEqual(at_once["most"]["area_square_nm"], math.pi * 9, delta=math.pi * 9 * 0.1)
        later = find("--last", "XHU@-20", "--last-within", 3, "--heading", "090", "--wind", "270/20", *self.ALTITUDE)
        self.assertGreater(later["most"]["area_square_nm"], at_once["most"]["area_square_nm"])

    def test_what_leaves_a_ring_open_has_no_one_place(self):
        ring = find("--dme", "XTE=20", *self.ALTITUDE)
        self.assertIs(ring["places"][0]["is_mean"], False)
        self.assertGreater(ring["most"]["greatest_extent_nm"], 38)
        text = run("--dme", "XTE=20", *self.ALTITUDE).stdout
        self.assertTrue(text.startswith("no one place"), text)
        self.assertIs(find("--dme", "XTE=20", "--vor", "XTE=264", *self.ALTITUDE)["places"][0]["is_mean"], True)

    def test_what_stays_tuned_is_not_asked_for(self):
        """The single has two receivers, a DME and an ADF."""
        words = ("--vor", "XTE=264", "--vor", "XHU=057", *self.ALTITUDE)
        kinds = lambda *kept: {each["kind"] for each in find(*words, *kept)["next"]}  # noqa: E731
        self.assertIn("distance", kinds())
        self.assertNotIn("distance", kinds("--keep", "dme"))
        self.assertEqual(kinds("--keep", "dme", "--keep", "vor", "--keep", "adf"), set())
        self.assertNotIn("distance", kinds("--aircraft", "trainer"))

    def test_a_card_leaves_only_its_way(self):
        card = planned_card()
        steps = {step["number"]: step for step in json.loads(card.read_text())["card"]["steps"]}
        found = find("--card", card, "--dme", "XHU=25", *self.ALTITUDE)
        self.assertEqual((found["wind"], found["wind_known"], found["card"]["within_nm"]), ("270/20", True, 4))
        for each in found["places"]:
            self.assertLess(abs(each["on_card"]["aside_right_nm"]), 5.0)
            step = steps[each["on_card"]["step"]]
            self.assertTrue(-0.001 < each["on_card"]["to_end_nm"] < step["expected"]["distance_nm"] + 0.1, step)
        self.assertLess(found["most"]["area_square_nm"], find("--dme", "XHU=25", *self.ALTITUDE)["most"]["area_square_nm"])
        self.assertEqual(check_schema(found, schema_of("find")), [])

    def test_silence_is_weak_and_says_what_was_not_heard(self):
        with_silence = find("--vor", "XHU=057", "--silent", "XEW/dme", "--silent", "XKE", *self.ALTITUDE)
        self.assertEqual([(each["kind"], each.get("part")) for each in with_silence["readings"]],
                         [("radial", None), ("silence", "distance"), ("silence", "azimuth")])
        self.assertEqual(check_schema(with_silence, schema_of("find")), [])

    def test_every_kind_of_reading_fits_the_schema(self):
        found = find("--vor", "XMR=076", "--dme", "XMR=8.0", "--ndb", "XGA=190", "--loc", "IXMR=left", "--silent", "XKE", "--altitude", 5000)
        self.assertEqual([each["kind"] for each in found["readings"]], ["radial", "distance", "bearing", "localizer", "silence"])
        self.assertEqual(check_schema(found, schema_of("find")), [])
        over = find("--over", "XMR", "--altitude", 5000)
        self.assertLess(polar(degrees(station("XMR")["site"]), degrees(over["places"][0]["place"]))[0], 0.5)
        self.assertEqual(check_schema(over, schema_of("find")), [])

    def test_the_text_has_short_lines_the_place_first_and_the_caution(self):
        done = run("--vor", "XTE=264", "--vor", "XHU=057", *self.ALTITUDE)
        self.assertEqual(done.returncode, 0, done.stderr)
        lines = done.stdout.splitlines()
        self.assertLessEqual(max(map(len, lines)), 104)
        self.assertRegex(lines[0], r"^40°\d\d\.\d\d'N 169°\d\d\.\d\d'W: radial \d{3}, \d+\.\d DME of VOR/DME X")
        for words in ("50 %: ", "95 %: ", "tune next", "read: XTE radial 264, XHU radial 057", "9000 ft", "Not for real-world navigation"):
            self.assertIn(words, done.stdout)


class TheGuide(unittest.TestCase):
    def test_it_prints_what_the_program_prints(self):
        guide = (pathlib.Path(__file__).parents[2] / "docs" / "find.md").read_text()
        words, printed = re.search(r"^`omniway (find [^`]*)` on the demo atlas:\n\n((?:    [^\n]*\n|\n)+)", guide, re.M).groups()
        now = "".join(f"    {line}".rstrip() + "\n" for line in run_bare(*words.split()).stdout.splitlines())
        self.assertEqual(printed.strip(), now.strip())


class WhatToDoNow(unittest.TestCase):
    """What leads back and where one can land is held to other truths in src/plan; here, that it is told of this place."""
    WORDS = ("--vor", "XTE=264", "--vor", "XHU=057", "--dme", "XHU=20.5", "--altitude", 9000)

    @classmethod
    def setUpClass(cls):
        cls.found = find(*cls.WORDS)
        cls.now = cls.found["what_now"]

    def test_it_fits_the_schema_and_no_card_is_led_back_to(self):
        self.assertEqual(check_schema(self.found, schema_of("find")), [])
        self.assertIsNone(self.now["back_to_card"])
        self.assertIs(self.now["sure_enough"], True)

    def test_the_airports_are_those_of_divert_from_the_same_place(self):
        place = degrees(self.found["places"][0]["place"])
        divert = json.loads(run_bare("divert", f"--position={place[0]},{place[1]}", "--altitude", 9000, "-n", 3, *DAY, "--json").stdout)
        self.assertEqual([each["airport"]["ident"] for each in self.now["airports"]], [each["airport"]["ident"] for each in divert["airports"]])
        self.assertEqual([each["time_min"] for each in self.now["airports"]], [each["time_min"] for each in divert["airports"]])

    def test_less_fuel_reaches_no_farther_and_is_kept_account_of(self):
        few = find(*self.WORDS, "--fuel", 60)["what_now"]
        self.assertLess(len(few["airports"]) + few["not_looked_at"], len(self.now["airports"]) + self.now["not_looked_at"] + 1)
        for each in few["airports"]:
            self.assertLessEqual(each["fuel_left_lb"], 60)

    def test_below_the_safe_altitude_one_climbs_first(self):
        low = find(*self.WORDS[:-1], 2500)["what_now"]
        safe = low["safe_altitude"]
        self.assertGreater(safe["altitude_msl_ft"], 2500)
        self.assertEqual(safe["above_ft"], 2500 - safe["altitude_msl_ft"])
        self.assertIs(low["climb_first"], True)
        self.assertIn("now.climb_first", [finding["code"] for finding in low["findings"]])

    def test_a_card_is_led_back_to_with_a_heading_from_the_one_flown(self):
        card = planned_card()
        found = find("--card", card, "--dme", "XHU=20.5", "--vor", "XHU=330", "--heading", "270", "--altitude", 9000)
        back = found["what_now"]["back_to_card"]
        steps = {step["number"] for step in json.loads(card.read_text())["card"]["steps"]}
        self.assertIn(back["step"], steps)
        turn = (back["heading_magnetic_deg"] - 270 + 180) % 360 - 180
        self.assertAlmostEqual(back["turn_right_deg"], turn, delta=0.2)
        self.assertLess(abs(back["off_nm"] - abs(found["places"][0]["on_card"]["aside_right_nm"])), 1.5)
        self.assertEqual(check_schema(found, schema_of("find")), [])
        text = run("--card", card, "--dme", "XHU=20.5", "--vor", "XHU=330", "--heading", "270", "--altitude", 9000).stdout
        self.assertRegex(text, rf"back to the card: step {back['step']}\b")
        self.assertLessEqual(max(map(len, text.replace(str(card), "card").splitlines())), 104)


class WhatCannotBe(unittest.TestCase):
    def test_radials_that_never_meet_are_named_with_status_1(self):
        done = run("--vor", "XKE=090", "--vor", "XUR=090", "--altitude", 9000)
        self.assertEqual(done.returncode, 1, done.stderr)
        self.assertTrue(done.stdout.startswith("CANNOT BE: XKE radial 090 and XUR radial 090"), done.stdout)
        self.assertNotIn("50 %", done.stdout)
        document = find("--vor", "XKE=090", "--vor", "XUR=090", "--altitude", 9000)
        self.assertEqual(document["contradiction"]["readings"], [1, 2])
        self.assertEqual([document[name] for name in ("places", "half", "most", "next", "what_now")], [[], None, None, [], None])
        self.assertEqual(check_schema(document, schema_of("find")), [])

    def test_a_slant_range_below_the_height_above_its_station(self):
        """15,000 ft is 12,385 ft above XHU's DME: 2.0 NM straight down."""
        self.assertEqual(round((15000 - station("XHU")["dme_elevation_msl_ft"]) * NM_OF_FEET, 1), 2.0)
        document = find("--dme", "XHU=0.5", "--altitude", 15000)
        self.assertEqual(document["contradiction"]["readings"], [1])
        self.assertIn("XHU DME 0.5", document["contradiction"]["says"])


class ABatch(unittest.TestCase):
    LINES = "# where\n--vor XTE=264 --vor XHU=057\n\n--vor XTE=264 --vor XHUU=057 # mistyped\n--vor 'XTE=264 --dme XTE=3\n--vor XKE=090 --vor XUR=090\n" \
            "  --dme XTE=16 --altitude 99000\n--vor '- .'=264\n--dme XHU=20.5\n"

    def test_each_line_is_answered_in_order_and_a_bad_one_by_its_place(self):
        status, documents = batch(self.LINES, "--altitude", 9000)
        self.assertEqual(status, 1)
        self.assertEqual([(each["line"], each["kind"]) for each in documents],
                         [(2, "find"), (4, "errors"), (5, "errors"), (6, "find"), (7, "errors"), (8, "errors"), (9, "find")])
        errors = [(error["code"], error["where"]) for each in documents if each["kind"] == "errors" for error in each["errors"]]
        self.assertEqual(errors, [("app.unknown_ident", "-:4:21"), ("app.find_batch_form", "-:5:7"), ("app.out_of_range", "-:7:27"),
                                  ("app.unknown_ident", "-:8:7")])
        self.assertIn("did you mean XHU?", documents[1]["errors"][0]["message"])
        self.assertIsNotNone(documents[3]["contradiction"])
        for each in documents:
            self.assertEqual(check_schema(each, schema_of(each["kind"])), [])

    def test_a_file_is_named_in_its_errors(self):
        file = pathlib.Path(FOLDER.name) / "cases.txt"
        file.write_text("--vor XTE=400\n--vor XTE=264\n")
        done = run("--batch", file, "--altitude", 9000)
        self.assertEqual(done.returncode, 1)
        self.assertEqual(json.loads(done.stdout.splitlines()[0])["errors"][0]["where"], f"{file}:1:7")

    def test_statuses(self):
        self.assertEqual(batch("--vor XTE=264\n--dme XTE=9\n", "--altitude", 9000)[0], 0)
        self.assertEqual(batch("--vor XTE=264\n--dme XTE=9\n")[0], 2)
        self.assertEqual(batch("--vor XTE=264\n--dme XTE=9 --altitude 9000\n")[0], 1)
        empty = run("--batch", "-", "--altitude", 9000, input="# nothing\n\n")
        self.assertEqual((empty.returncode, empty.stdout), (2, ""))
        self.assertIn("app.find_batch_form", empty.stderr)
        missing = run("--batch", "/no/such/cases.txt", "--altitude", 9000)
        self.assertEqual(missing.returncode, 2)
        self.assertIn("read.file_missing", missing.stderr)

    def test_what_a_line_says_holds_over_what_stands_beside_the_batch(self):
        _, documents = batch("--vor XTE=264\n--vor XTE=264 --altitude 10000\n", "--altitude", 9000, "--dme", "XTE=16")
        self.assertEqual([each["altitude_msl_ft"] for each in documents], [9000, 10000])
        self.assertEqual([len(each["readings"]) for each in documents], [2, 2])

    def test_broken_files_have_an_answer_for_each_line(self):
        broken = sorted((pathlib.Path(__file__).parents[1] / "broken").glob("find-*.txt"))
        self.assertGreater(len(broken), 5)
        for file in broken:
            if file.name == "find-expected.txt":
                continue
            with self.subTest(file=file.name):
                done = run("--batch", file, "--altitude", 9000)
                self.assertIn(done.returncode, (1, 2))
                for line in done.stdout.splitlines():
                    document = json.loads(line)
                    self.assertEqual(check_schema(document, schema_of(document["kind"])), [])


class BadInput(unittest.TestCase):
    ALTITUDE = ("--altitude", 9000)

    def refuses(self, code, *words, says=()):
        found = refusals(*words)
        self.assertEqual([each[0] for each in found], [code], found)
        for word in says:
            self.assertIn(word, found[0][2])
        return found[0]

    def test_nothing_that_says_where_and_no_altitude(self):
        self.refuses("app.find_nothing", *self.ALTITUDE)
        self.refuses("app.find_nothing", "--silent", "XKE", *self.ALTITUDE)
        self.refuses("app.altitude_missing", "--vor", "XTE=264", says=("--altitude",))

    def test_every_fault_is_told_with_its_option(self):
        found = refusals("--vor", "XTE=400", "--dme", "XTE=-1", "--ndb", "XSL=east", "--loc", "IXMR=up", "--over", "X/Y", "--silent", "XKE=1",
                         "--heading", "400", "--airspeed", "5", "--wind", "270", "--wind-error", "x", "--altitude", "70000", "--now", "2500",
                         "--last-within", "0", "--keep", "nav", "--reception", "radar", "--criteria", "faa")
        self.assertEqual([(code, where) for code, where, _ in found], [
            ("app.out_of_range", "--vor"), ("app.out_of_range", "--dme"), ("app.out_of_range", "--ndb"), ("app.find_form", "--loc"),
            ("app.find_station", "--over"), ("app.find_form", "--silent"), ("app.out_of_range", "--heading"), ("app.out_of_range", "--airspeed"),
            ("weather.wind_form", "--wind"), ("app.out_of_range", "--wind-error"), ("app.out_of_range", "--altitude"),
            ("base.clock_form", "--now"), ("app.out_of_range", "--last-within"), ("app.unknown_word", "--keep"),
            ("app.unknown_reception", "--reception"), ("app.unknown_word", "--criteria")])

    def test_what_is_not_there_has_near_matches(self):
        self.refuses("app.unknown_ident", "--vor", "XHUU=057", *self.ALTITUDE, says=("did you mean XHU?",))
        self.refuses("app.unknown_ident", "--vor", "-..- -.- .-=057", *self.ALTITUDE, says=("XKE",))
        self.refuses("app.find_frequency", "--vor", "113.25=057", *self.ALTITUDE, says=("113.40 (XMR)",))
        self.refuses("app.find_morse", "--vor", ".-.-.-=057", *self.ALTITUDE)
        self.refuses("app.position_form", "--last", "X-9", *self.ALTITUDE)
        self.refuses("app.find_card", "--card", "/no/such.card.json", *self.ALTITUDE)
        self.refuses("app.unknown_aircraft", "--aircraft", "singel", "--vor", "XHU=057", *self.ALTITUDE, says=("single",))

    def test_a_station_of_another_kind_names_its_option(self):
        self.refuses("app.find_kind", "--vor", "XSL=057", *self.ALTITUDE, says=("--ndb",))
        self.refuses("app.find_kind", "--ndb", "XHU=057", *self.ALTITUDE, says=("--vor",))
        self.refuses("app.find_kind", "--dme", "XKE=5", *self.ALTITUDE, says=("--vor",))
        self.refuses("app.find_kind", "--vor", "XTK=057", *self.ALTITUDE, says=("TACAN",))
        self.refuses("app.find_kind", "--silent", "XEW", "--vor", "XHU=057", *self.ALTITUDE, says=("XEW/dme",))

    def test_a_station_out_of_service_is_said_to_be(self):
        self.refuses("app.find_out_of_service", "--vor", "XHU=057", "--without", "XHU", *self.ALTITUDE, says=("XHU", "out of service"))

    def test_times(self):
        self.refuses("app.find_too_old", "--vor", "XHU=057@14:00", "--now", "16:30", "--heading", "090", *self.ALTITUDE, says=("2 h 30 min",))
        self.refuses("app.find_too_old", "--vor", "XHU=057@14:00", "--now", "13:59", "--heading", "090", *self.ALTITUDE)
        self.refuses("app.out_of_range", "--vor", "XHU=057@-150", "--heading", "090", *self.ALTITUDE)
        self.refuses("app.find_time", "--vor", "XHU=057@-", "--heading", "090", *self.ALTITUDE)

    def test_what_was_read_earlier_needs_what_was_flown_since(self):
        self.refuses("app.find_heading", "--vor", "XHU=057@-6", "--vor", "XTE=264", *self.ALTITUDE, says=("--heading",))
        self.refuses("app.find_heading", "--vor", "XHU=057@-6", "--heading", "090@-3", *self.ALTITUDE, says=("6 to 3 min",))
        self.refuses("app.find_heading", "--ndb", "XSL=R020", "--vor", "XHU=057", *self.ALTITUDE)
        self.refuses("app.find_heading", "--heading", "090", "--heading", "100", "--vor", "XHU=057", *self.ALTITUDE)

    def test_an_option_that_is_not_there(self):
        done = run("--vro", "XHU=057")
        self.assertEqual(done.returncode, 2)
        self.assertIn("cli.arguments", done.stderr)


if __name__ == "__main__":
    unittest.main()
