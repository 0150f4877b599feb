#!/usr/bin/env python3
"""`omniway rehearse` and `omniway plan --prove` as their user meets them.

    rehearse_test.py OMNIWAY SHARE_FOLDER [unittest arguments]

What a wrong card does to a flight is asked here of the program as a whole: a card as it was planned arrives, and with one course, one
frequency or one TO/FROM wrong it collapses in the very step that is wrong. How wrong errors are in the first place, and how they spread, is
held against closed forms in src/rehearsal.
"""
import copy
import json
import os
import pathlib
import signal
import subprocess
import sys
import tempfile
import time
import unittest
import xml.etree.ElementTree

OMNIWAY = pathlib.Path(sys.argv.pop(1)).resolve()
SHARE = pathlib.Path(sys.argv.pop(1)).resolve()
sys.argv = [sys.argv[0], OMNIWAY, SHARE, *sys.argv[1:]]
sys.path.insert(0, str(pathlib.Path(__file__).parent))
from command_test import check_schema, schema_of  # noqa: E402  (takes the two arguments)

DEMO = os.environ.get("OMNIWAY_DEMO_ATLAS", SHARE / "demo.atlas")
DAY = ("--date", "2026-11-25")
FLIGHT = ("XDOV", "XMRA", "--wind", "270/20", *DAY)
FOLDER = tempfile.TemporaryDirectory()
GPX = "{http://www.topografix.com/GPX/1/1}"


def environment():
    return {key: value for key, value in os.environ.items() if key not in ("OMNIWAY_ATLAS", "XDG_DATA_HOME")}


def run(*words):
    return subprocess.run([OMNIWAY, *map(str, words), "--atlas", DEMO], capture_output=True, text=True, timeout=300, check=False,
                          env=environment())


def rehearse(*words):
    done = run("rehearse", *words, "--json")
    if done.returncode != 0:
        raise AssertionError(f"{words}: status {done.returncode}: {done.stdout[:300]}{done.stderr}")
    return json.loads(done.stdout)


def codes(*words):
    done = run("rehearse", *words, "--json")
    return done.returncode, [error["code"] for error in json.loads(done.stdout)["errors"]]


def written(name, text):
    file = pathlib.Path(FOLDER.name) / name
    file.write_text(text)
    return file


def planned_card():
    file = pathlib.Path(FOLDER.name) / "planned.card.json"
    if not file.exists():
        done = run("plan", *FLIGHT, "--card", file)
        if done.returncode != 0:
            raise AssertionError(done.stderr)
    return json.loads(file.read_text())


def objects(value):
    if isinstance(value, dict):
        yield value
        for part in value.values():
            yield from objects(part)
    elif isinstance(value, list):
        for part in value:
            yield from objects(part)


class AFlightRehearsed(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.found = rehearse(*FLIGHT, "--flights", 96)

    def test_the_document_fits_its_schema(self):
        self.assertEqual(check_schema(self.found, schema_of("rehearse")), [])

    def test_it_has_the_same_bytes_on_any_number_of_threads(self):
        words = ("rehearse", *FLIGHT, "--flights", 96, "--json")
        bytes_on = {threads: run(*words, "--threads", threads).stdout for threads in (1, 2, 8)}
        self.assertEqual(len(set(bytes_on.values())), 1)
        self.assertIn('"kind": "rehearse"', bytes_on[1])
        self.assertNotEqual(run(*words, "--seed", 2).stdout, bytes_on[1])

    def test_every_flight_is_counted_once(self):
        rehearsal = self.found["rehearsal"]
        self.assertEqual(rehearsal["flights"], 96)
        self.assertEqual(rehearsal["arrived"]["did"] + sum(each["flights"] for each in rehearsal["failed"]), 96)
        self.assertEqual(rehearsal["steps"][0]["as_meant"]["of"], 96)
        for step in rehearsal["steps"]:
            chance = step["as_meant"]
            self.assertTrue(0 <= chance["low_share"] <= chance["did_share"] <= chance["high_share"] <= 1, chance)

    def test_in_calm_air_with_perfect_instruments_it_always_arrives(self):
        calm = rehearse("XDOV", "XMRA", *DAY, "--errors", "none", "--flights", 8)
        self.assertEqual(calm["rehearsal"]["arrived"]["did_share"], 1)

    def test_the_text_tells_chance_steps_weak_points_and_the_caution(self):
        text = run("rehearse", *FLIGHT, "--flights", 32).stdout
        for words in ("CHANCE TO ARRIVE", "300 ft below", "without its ident", "runway in sight at the end of the card", "half within", "ends as meant", "Weak points", "--example", "Not for real-world navigation"):
            self.assertIn(words, text)
        for line in text.splitlines():
            if "omniway rehearse" not in line:
                self.assertLessEqual(len(line), 104, line)

    def test_narrow_ends_it_early(self):
        found = rehearse(*FLIGHT, "--flights", 20000, "--narrow", 5)["rehearsal"]
        self.assertTrue(found["narrow_enough"])
        self.assertLess(found["flights"], 2000)
        half = (found["arrived"]["high_share"] - found["arrived"]["low_share"]) / 2
        self.assertLessEqual(half, 0.05)

    def test_help_has_an_example(self):
        self.assertIn("omniway rehearse XDOV XMRA", run_bare("rehearse", "--help").stdout)


def run_bare(*words):
    return subprocess.run([OMNIWAY, *words], capture_output=True, text=True, timeout=60, check=False, env=environment())


class OneFlightAgain(unittest.TestCase):
    def test_it_is_told_second_by_second_and_fits_its_schema(self):
        track = pathlib.Path(FOLDER.name) / "flight.gpx"
        flight = rehearse(*FLIGHT, "--example", 5, "--gpx", track)
        self.assertEqual(check_schema(flight, schema_of("rehearse_flight")), [])
        self.assertEqual(flight["flight"], 5)
        times = [moment["time_s"] for moment in flight["moments"]]
        self.assertLess(max(b - a for a, b in zip(times, times[1:])), 1.5)
        self.assertGreater(len(times), 1000)
        points = xml.etree.ElementTree.parse(track).getroot().findall(f"{GPX}trk/{GPX}trkseg/{GPX}trkpt")
        self.assertEqual(len(points), len(times))
        self.assertTrue(points[0].find(f"{GPX}time").text.startswith("2026-11-25T12:00:0"))
        for point, moment in list(zip(points, flight["moments"]))[::100]:
            self.assertAlmostEqual(float(point.get("lat")), moment["place"]["latitude_deg"], delta=1e-6)
            self.assertAlmostEqual(float(point.get("lon")), moment["place"]["longitude_deg"], delta=1e-6)
            self.assertAlmostEqual(float(point.find(f"{GPX}ele").text) / 0.3048, moment["altitude_msl_ft"], delta=1)

    def test_the_command_of_an_example_flies_that_flight(self):
        example = rehearse(*FLIGHT, "--flights", 32, "--errors", "nominal")["rehearsal"]["examples"][0]
        words = example["command"].split()[1:]
        done = subprocess.run([OMNIWAY, *words, "--json"], capture_output=True, text=True, timeout=60, check=False, env=environment())
        self.assertEqual(done.returncode, 0, done.stderr)
        again = json.loads(done.stdout)
        self.assertEqual((again["flight"], again["outcome"]), (example["flight"], example["outcome"]))

    def test_the_text_tells_what_the_cockpit_shows(self):
        text = run("rehearse", *FLIGHT, "--example", 5).stdout
        for words in ("Flight 5", "HDG", "NAV1", "DME"):
            self.assertIn(words, text)


class AWrongCard(unittest.TestCase):
    """The fifth step leads 47 NM from a VOR: ten degrees are 8 NM at its end, where 4 are protected."""

    STEP = 5
    FLIGHTS = ("--flights", 64)

    def as_meant(self, card, name):
        file = written(f"{name}.json", json.dumps(card))
        found = rehearse(file, *self.FLIGHTS)
        self.assertEqual(found["card_file"], str(file))
        steps = found["rehearsal"]["steps"]
        print(f"{name}: as meant " + ", ".join(f"{step['number']}: {step['as_meant']['did_share']}" for step in steps), file=sys.stderr)
        return {step["number"]: step["as_meant"]["did_share"] for step in steps}

    def collapses(self, card, name, step):
        shares = self.as_meant(card, name)
        self.assertLess(shares[step], 0.2)
        for before in range(1, step):
            self.assertGreater(shares[before], 0.9, before)

    def step(self, card, number):
        step = card["card"]["steps"][number - 1]
        self.assertEqual((step["number"], step["guidance"]["kind"]), (number, "follow_radial"))
        return step

    def turned(self, card, number, by_deg):
        """Guidance, needle, work and heading of the step, all by so much: a misread radial."""
        step = self.step(card, number)
        course = step["guidance"]["course_deg"]
        for each in objects(card["card"]["steps"][number - 1:number + 1]):
            if each.get("course_deg") == course:
                each["course_deg"] = (course + by_deg) % 360
        for key in ("course_magnetic_deg", "heading_magnetic_deg"):
            step["expected"][key] = (step["expected"][key] + by_deg) % 360
        return step

    def test_as_it_was_planned_every_step_ends_as_meant(self):
        for number, share in self.as_meant(planned_card(), "as planned").items():
            self.assertGreater(share, 0.9, number)

    def test_a_card_flown_from_its_file_is_the_flight_that_was_planned(self):
        """But for the day, of which a card keeps a thousandth of a year, and with it a hair of the compass: less than a cell of a spread."""
        file = written("same.json", json.dumps(planned_card()))
        from_card, from_plan = (rehearse(*words, *self.FLIGHTS)["rehearsal"] for words in ((file,), FLIGHT))
        self.assertEqual(from_card["arrived"], from_plan["arrived"])
        self.assertEqual(len(from_card["steps"]), len(from_plan["steps"]))
        for one, other in zip(from_card["steps"], from_plan["steps"]):
            self.assertEqual(one["as_meant"], other["as_meant"])
            for key in ("aside_95_percent_nm", "missed_by_95_percent_nm"):
                if one[key] is not None:
                    self.assertAlmostEqual(one[key], other[key], delta=0.05)

    def test_one_course_wrong_by_ten_degrees_collapses_there(self):
        card = copy.deepcopy(planned_card())
        self.turned(card, self.STEP, 10)
        self.collapses(card, "course", self.STEP)

    def test_one_frequency_wrong_collapses_where_it_is_to_guide(self):
        card = copy.deepcopy(planned_card())
        for each in objects(card["card"]):
            if each.get("ident") == "XRG":
                each["frequency_mhz"] = 115.7
        self.assertEqual(self.step(card, 6)["guidance"]["aid"], {**self.step(planned_card(), 6)["guidance"]["aid"], "frequency_mhz": 115.7})
        self.collapses(card, "frequency", 6)

    def test_one_from_for_to_flown_as_such_collapses_there(self):
        """Where the way leads to XRG on 269 the card has "from XRG, radial 089" and the heading for it."""
        card = copy.deepcopy(planned_card())
        step = self.step(card, 6)
        self.assertEqual((step["guidance"]["direction"], step["end"]["kind"]), ("to", "station_passage"))
        step["guidance"]["direction"] = "from"
        step["guidance"]["course_deg"] = (step["guidance"]["course_deg"] + 180) % 360
        for key in ("course_magnetic_deg", "heading_magnetic_deg"):
            step["expected"][key] = (step["expected"][key] + 180) % 360
        self.collapses(card, "from for to", 6)

    def test_one_word_wrong_collapses_in_each_step_that_is_flown_by_it(self):
        """Course and heading right and only TO or FROM wrong: arrows against the card are not followed. In a step of less than two minutes there is
        no telling: so long an ident may take."""
        steps = [step for step in planned_card()["card"]["steps"]
                 if step["guidance"]["kind"] == "follow_radial" and step["expected"]["time_s"] > 120]
        self.assertGreater(len(steps), 3)
        self.assertEqual({step["guidance"]["direction"] for step in steps}, {"to", "from"})
        for number in [step["number"] for step in steps]:
            card = copy.deepcopy(planned_card())
            guidance = self.step(card, number)["guidance"]
            guidance["direction"] = "from" if guidance["direction"] == "to" else "to"
            shares = self.as_meant(card, f"word in {number}")
            self.assertLess(shares.pop(number), 0.05)
            self.assertGreater(min(shares.values()), 0.9)

    def test_a_card_of_other_steps_is_refused_by_name(self):
        card = copy.deepcopy(planned_card())
        del card["card"]["missed"][-1]
        status, faults = codes(written("short.json", json.dumps(card)))
        self.assertEqual((status, faults), (2, ["card.other_steps"]))

    def test_a_card_of_another_atlas_is_refused_by_name(self):
        card = copy.deepcopy(planned_card())
        for source in card["sources"]:
            source["checksum"] = "0" * len(source["checksum"])
        status, faults = codes(written("other.json", json.dumps(card)))
        self.assertEqual((status, faults), (2, ["card.other_atlas"]))


class Failures(unittest.TestCase):
    FLIGHTS = ("--flights", 48)

    def test_the_station_that_guides_collapses_its_step_and_is_named(self):
        found = rehearse(*FLIGHT, *self.FLIGHTS, "--fail", "XRG@6")
        self.assertEqual(check_schema(found, schema_of("rehearse")), [])
        self.assertEqual(found["failures"], [{"what": "XRG", "from_step": 6, "from_min": None}])
        steps = {step["number"]: step["as_meant"] for step in found["rehearsal"]["steps"]}
        self.assertLess(steps[6]["did_share"], 0.1)
        for before in range(1, 6):
            self.assertGreater(steps[before]["did_share"], 0.9, before)
        weak = [each["says"] for each in found["rehearsal"]["weak_points"] if each["step"] == 6]
        self.assertTrue(any("XRG" in says for says in weak), weak)

    def test_what_no_step_uses_changes_nothing_but_the_echo(self):
        whole = rehearse(*FLIGHT, *self.FLIGHTS)
        failing = rehearse(*FLIGHT, *self.FLIGHTS, "--fail", "XHU")
        self.assertEqual(failing.pop("failures"), [{"what": "XHU", "from_step": None, "from_min": 0}])
        self.assertEqual(whole.pop("failures"), [])
        for each in (whole, failing):
            for example in each["rehearsal"]["examples"]:
                example["command"] = example["command"].replace(" --fail XHU", "")
        self.assertEqual(failing, whole)

    def test_an_instrument_from_a_minute_on(self):
        flight = rehearse(*FLIGHT, "--errors", "none", "--example", 1, "--fail", "dme@10min", "--fail", "NAV2@20min")
        self.assertEqual(check_schema(flight, schema_of("rehearse_flight")), [])
        self.assertEqual([each["what"] for each in flight["failures"]], ["DME", "NAV2"])
        for moment in flight["moments"]:
            self.assertTrue(moment["time_s"] < 600 or moment["panel"]["dme"]["flag"], moment["time_s"])
            self.assertTrue(moment["time_s"] < 1200 or moment["panel"]["receivers"][1]["flag"], moment["time_s"])
        self.assertFalse(all(moment["panel"]["dme"]["flag"] for moment in flight["moments"]))
        self.assertIn("FAILED: DME from 10 min, NAV2 from 20 min", run("rehearse", *FLIGHT, "--flights", 4, "--fail", "DME@10min", "--fail", "NAV2@20min").stdout)

    def test_without_the_glideslope_the_missed_approach_is_flown(self):
        found = rehearse(*FLIGHT, *self.FLIGHTS, "--fail", "glideslope")
        self.assertEqual(check_schema(found, schema_of("rehearse")), [])
        rehearsal = found["rehearsal"]
        ended = {each["outcome"]: each["flights"] for each in rehearsal["failed"]}
        self.assertEqual(rehearsal["arrived"]["did"], 0)
        self.assertGreater(ended["missed approach flown"], 45)
        self.assertEqual(rehearsal["missed_flown"]["did"], ended["missed approach flown"])
        final = planned_card()["card"]["steps"][-1]
        self.assertEqual(final["heights"]["vertical"], "on_glideslope")
        weak = [each["says"] for each in rehearsal["weak_points"] if each["step"] == final["number"]]
        self.assertTrue(any("glideslope is flagged" in says and "missed approach" in says for says in weak), weak)

    def test_what_cannot_fail_is_refused_by_name(self):
        self.assertEqual(codes(*FLIGHT, "--fail", "XRH"), (2, ["app.unknown_ident"]))
        self.assertIn("did you mean", run("rehearse", *FLIGHT, "--fail", "XRH").stderr)
        self.assertIn("glideslope", run("rehearse", *FLIGHT, "--fail", "glidslope").stderr)
        self.assertEqual(codes(*FLIGHT, "--fail", "NAV3"), (2, ["app.unknown_ident"]))
        self.assertEqual(codes(*FLIGHT, "--fail", "XRG@soon"), (2, ["app.fail_form"]))
        self.assertEqual(codes(*FLIGHT, "--fail", "XRG@"), (2, ["app.fail_form"]))
        for when in ("99", "0", "1.5", "-1", "1441min", "-1min", "nan", "nanmin"):
            self.assertEqual(codes(*FLIGHT, "--fail", f"XRG@{when}"), (2, ["app.out_of_range"]), when)
        self.assertEqual(codes(*FLIGHT, "--fail", "XRG@99", "--fail", "XRH"), (2, ["app.out_of_range", "app.unknown_ident"]))


class TheMissedApproach(unittest.TestCase):
    def test_without_the_runway_it_is_flown_to_its_end(self):
        found = rehearse(*FLIGHT, "--flights", 64, "--no-runway")
        self.assertEqual(check_schema(found, schema_of("rehearse")), [])
        rehearsal = found["rehearsal"]
        self.assertTrue(found["no_runway"])
        self.assertEqual(rehearsal["arrived"]["did"], 0)
        reached = rehearsal["in_sight"]["of"]
        self.assertGreater(reached, 58)
        self.assertEqual((rehearsal["in_sight"]["did"], rehearsal["missed_flown"]["of"]), (0, reached))
        self.assertGreater(rehearsal["missed_flown"]["did_share"], 0.9)
        self.assertEqual([step["number"] for step in rehearsal["missed_steps"]],
                         [step["number"] for step in planned_card()["card"]["missed"]])
        for step in rehearsal["missed_steps"]:
            self.assertGreater(step["as_meant"]["did_share"], 0.9, step["number"])
        self.assertEqual(sum(each["flights"] for each in rehearsal["failed"]), 64)

    def test_the_card_is_flown_the_same_until_its_end(self):
        with_runway, without = (rehearse(*FLIGHT, "--flights", 64, *words)["rehearsal"] for words in ((), ("--no-runway",)))
        self.assertEqual(with_runway["steps"], without["steps"])
        self.assertEqual(with_runway["in_sight"]["of"], without["in_sight"]["of"])
        self.assertEqual(with_runway["in_sight"]["did"], with_runway["arrived"]["did"])

    def test_one_flight_climbs_away_and_holds(self):
        flight = rehearse(*FLIGHT, "--errors", "none", "--example", 1, "--no-runway")
        self.assertEqual(check_schema(flight, schema_of("rehearse_flight")), [])
        self.assertEqual((flight["outcome"], flight["failed_step"]), ("missed approach flown", None))
        missed = planned_card()["card"]["missed"]
        self.assertEqual(missed[-1]["guidance"]["kind"], "fly_hold")
        lowest = min(moment["altitude_msl_ft"] for moment in flight["moments"][-1200:])
        last = flight["moments"][-1]
        self.assertEqual(last["step"], missed[-1]["number"])
        self.assertLess(lowest, 1000)
        self.assertAlmostEqual(last["altitude_msl_ft"], missed[-1]["heights"]["at_end_msl_ft"], delta=60)
        self.assertIn("missed approach flown,", run("rehearse", *FLIGHT, "--errors", "none", "--example", 1, "--no-runway").stdout)

    def test_the_text_has_its_steps(self):
        text = run("rehearse", *FLIGHT, "--flights", 8, "--no-runway").stdout
        for words in ("RUNWAY NEVER IN SIGHT", "FLY THE MISSED APPROACH TO ITS END", "  missed approach\n"):
            self.assertIn(words, text)


class BadInput(unittest.TestCase):
    def test_a_mistyped_airport_names_its_near_matches(self):
        done = run("rehearse", "XMRA", "XPRI")
        self.assertEqual(done.returncode, 2)
        self.assertIn("did you mean XPIR", done.stderr)

    def test_what_is_no_card(self):
        self.assertEqual(codes("nothing.json"), (2, ["app.rehearse_what"]))
        self.assertEqual(codes(written("route.txt", "XDOV DCT XDV V12 XRG XMRA")), (2, ["app.rehearse_what"]))

    def test_what_is_of_a_flight_is_not_asked_beside_a_card(self):
        file = written("beside.json", json.dumps(planned_card()))
        self.assertEqual(codes(file, "--wind", "270/10"), (2, ["cli.arguments"]))

    def test_numbers_out_of_range(self):
        for words in (("--flights", 0), ("--flights", 1000001), ("--flights", 1.5), ("--time-step", 0.1), ("--time-step", 3),
                      ("--narrow", 0), ("--threads", 1000), ("--example", 0), ("--seed", 2 ** 60)):
            self.assertEqual(codes(*FLIGHT, *words), (2, ["app.out_of_range"]), words)
        self.assertEqual(codes(*FLIGHT, "--gpx", "x.gpx"), (2, ["cli.arguments"]))

    def test_a_flight_that_is_not_flyable_is_1_and_says_why(self):
        done = run("rehearse", "XMRA", "XPIR", "--aircraft", "trainer", *DAY, "--json")
        self.assertEqual(done.returncode, 1)
        document = json.loads(done.stdout)
        self.assertEqual(check_schema(document, schema_of("rehearse")), [])
        self.assertIsNone(document["rehearsal"])
        self.assertIn("blocks", [finding["grade"] for finding in document["findings"]])
        text = run("rehearse", "XMRA", "XPIR", "--aircraft", "trainer", *DAY)
        self.assertEqual(text.returncode, 1)
        self.assertIn("NOT FLYABLE", text.stdout)

    def test_cancelled_tells_what_was_flown_with_3(self):
        with subprocess.Popen([OMNIWAY, "rehearse", *FLIGHT, "--flights", "1000000", "--json", "--atlas", DEMO], stdout=subprocess.PIPE,
                              stderr=subprocess.PIPE, text=True, env=environment()) as process:
            time.sleep(3)
            process.send_signal(signal.SIGINT)
            out, _ = process.communicate(timeout=60)
        self.assertEqual(process.returncode, 3)
        document = json.loads(out)
        self.assertEqual(check_schema(document, schema_of("rehearse")), [])
        self.assertTrue(document["rehearsal"]["cut_short"])
        self.assertLess(document["rehearsal"]["flights"], 1000000)


class Blunders(unittest.TestCase):
    """Without other errors what goes wrong is the pilot's."""

    def with_blunders(self, share, *words):
        file = written(f"blunders{share}.toml", f"[skill]\nblunders_share = {share}\n")
        return rehearse(*FLIGHT, "--flights", 96, "--errors", file, *words)

    def test_none_at_all_are_the_same_bytes(self):
        none = rehearse(*FLIGHT, "--flights", 96, "--errors", "none")["rehearsal"]
        zero = self.with_blunders(0)["rehearsal"]
        for each in (none, zero):
            del each["examples"]
        self.assertEqual(zero, none)

    def test_a_share_shows_in_what_ends_as_meant_in_idents_and_in_heights(self):
        found = self.with_blunders(0.1)
        self.assertEqual(check_schema(found, schema_of("rehearse")), [])
        self.assertEqual(found["skill"]["blunders_share"], 0.1)
        rehearsal = found["rehearsal"]
        self.assertLess(rehearsal["arrived"]["did_share"], 0.95)
        self.assertGreater(rehearsal["arrived"]["did_share"], 0.2)
        sums = {key: sum(step[key]["did"] for step in rehearsal["steps"]) for key in ("unidentified", "below_minimum", "above_maximum")}
        self.assertGreater(sums["unidentified"], 20, sums)
        self.assertGreater(sums["above_maximum"] + sums["below_minimum"], 20, sums)
        self.assertTrue(any("identified" in weak["says"] for weak in rehearsal["weak_points"]))

    def test_the_more_the_worse(self):
        few, many = (self.with_blunders(share)["rehearsal"]["arrived"]["did"] for share in (0.02, 0.3))
        self.assertGreater(few, many + 20)


class TheErrorsFile(unittest.TestCase):
    def test_one_error_alone_is_taken_and_the_others_are_none(self):
        file = written("errors.toml", "wind_kt = 30\nwind_for_min = 30\n")
        errors = rehearse(*FLIGHT, "--flights", 8, "--errors", file)["errors"]
        self.assertEqual((errors["wind_kt"], errors["wind_for_min"], errors["vor_station_deg"], errors["dme_share"]), (30, 30, 0, 0))

    def test_worse_errors_are_worse(self):
        file = written("bad.toml", "vor_station_deg = 8\nvor_receiver_deg = 5\n")
        bad = rehearse(*FLIGHT, "--flights", 32, "--errors", file)["rehearsal"]
        none = rehearse(*FLIGHT, "--flights", 32, "--errors", "none")["rehearsal"]
        self.assertGreater(bad["steps"][4]["aside_95_percent_nm"], 2 * none["steps"][4]["aside_95_percent_nm"])
        self.assertLess(bad["arrived"]["did_share"], none["arrived"]["did_share"])

    def test_each_fault_has_its_place(self):
        file = written("faults.toml", "wind_kn = 5\nadf_deg = 99\ndme_share = \"much\"\n")
        done = run("rehearse", *FLIGHT, "--errors", file)
        self.assertEqual(done.returncode, 2)
        for words in (f"{file}:1:1", "wind_kt", "errors_file.unknown_key", f"{file}:2:11", "0 to 30", "errors_file.out_of_range",
                      f"{file}:3:13", "errors_file.wrong_type"):
            self.assertIn(words, done.stderr)
        self.assertEqual(codes(*FLIGHT, "--errors", written("no.toml", "wind_kt = = 5\n")), (2, ["errors_file.not_toml"]))
        self.assertEqual(codes(*FLIGHT, "--errors", "missing.toml"), (2, ["read.file_missing"]))


class Proved(unittest.TestCase):
    def test_each_flight_offered_has_its_chance(self):
        done = run("plan", *FLIGHT, "-n", 3, "--prove", 24, "--json")
        self.assertEqual(done.returncode, 0, done.stderr)
        plan = json.loads(done.stdout)
        self.assertEqual(check_schema(plan, schema_of("plan")), [])
        self.assertEqual([each["proved"]["of"] for each in (plan, *plan["others"])], [24, 24, 24])
        self.assertIn("of 24 rehearsals", run("plan", *FLIGHT, "--prove", 24).stdout)

    def test_it_is_null_where_it_was_not_asked_for(self):
        plan = json.loads(run("plan", *FLIGHT, "-n", 2, "--json").stdout)
        self.assertEqual((plan["proved"], plan["others"][0]["proved"]), (None, None))


if __name__ == "__main__":
    unittest.main()
