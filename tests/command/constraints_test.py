#!/usr/bin/env python3
"""What may be asked of a way, as its user meets it: each constraint changes the answer as asked, a route that does not keep to it is not
flyable, what cannot be had together is one sentence. Each flight that is offered goes through the independent checker.

    constraints_test.py OMNIWAY SHARE_FOLDER CHECK_PLAN DEMO_ROWS [unittest arguments]
"""
import json
import math
import os
import pathlib
import subprocess
import sys
import tempfile
import unittest

OMNIWAY = pathlib.Path(sys.argv.pop(1)).resolve()
SHARE = pathlib.Path(sys.argv.pop(1)).resolve()
CHECK_PLAN = pathlib.Path(sys.argv.pop(1)).resolve()
ROWS = pathlib.Path(sys.argv.pop(1)).resolve()
DEMO = os.environ.get("OMNIWAY_DEMO_ATLAS", SHARE / "demo.atlas")
DAY = ("--date", "2026-11-25")
FLIGHT = ("XDOV", "XMRA", "--wind", "270/20")


def run(*words):
    environment = {key: value for key, value in os.environ.items() if key not in ("OMNIWAY_ATLAS", "XDG_DATA_HOME")}
    return subprocess.run([OMNIWAY, *map(str, words), "--atlas", DEMO, *DAY], capture_output=True, text=True,
                          timeout=120, check=False, env=environment)


def document(*words):
    done = run(*words, "--json")
    if done.returncode not in (0, 1):
        raise AssertionError(f"{words}: {done.returncode}: {done.stderr}")
    return json.loads(done.stdout)


def planned(*words):
    """A flight that is offered; the independent checker finds nothing wrong in it."""
    plan = document("plan", *words)
    if plan["verdict"] == "not flyable":
        raise AssertionError(f"{words}: {plan['findings']} {plan['would_unblock']}")
    with tempfile.NamedTemporaryFile("w", suffix=".json") as file:
        json.dump(plan, file)
        file.flush()
        done = subprocess.run([CHECK_PLAN, "--arinc", ROWS, file.name], capture_output=True, text=True, check=False)
    if done.returncode != 0:
        raise AssertionError(f"{words}: {done.stdout} {done.stderr}")
    return plan


def error(*words):
    done = run(*words, "--json")
    if done.returncode != 2:
        raise AssertionError(f"{words}: status {done.returncode}, not 2: {done.stdout[:500]}")
    return json.loads(done.stdout)["errors"]


def codes(findings):
    return [finding["code"] for finding in findings]


def words_of(plan):
    return plan["flight"]["route"].split()


def places(plan):
    """Where the steps begin and end: corners of the way."""
    return [step[end] for step in plan["flight"]["steps"] for end in ("start", "finish")]


def apart_nm(a, b):
    """On a sphere of mean radius (haversine): within 0.6 % of the ellipsoid."""
    lat_a, lat_b = (math.radians(each["latitude_deg"]) for each in (a, b))
    across = math.radians(b["longitude_deg"] - a["longitude_deg"])
    h = math.sin((lat_b - lat_a) / 2) ** 2 + math.cos(lat_a) * math.cos(lat_b) * math.sin(across / 2) ** 2
    return 2 * 6371008.8 / 1852 * math.asin(math.sqrt(h))


def stations_used(plan):
    used = []
    for step in plan["flight"]["steps"] + plan["flight"]["missed_approach"]:
        for part in (step["guidance"], step["end"], step["end"].get("told_by") or {}):
            if "station" in part:
                used.append((part["station"]["ident"], part["station"]["kind"]))
    return used


class AnAnswerIsAsAsked(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.free = planned(*FLIGHT)

    def test_nothing_asked_is_told_as_nothing(self):
        asked = self.free["request"]
        self.assertEqual(asked["says"], "")
        self.assertEqual(asked["constraints"]["via"], [])
        self.assertIsNone(asked["constraints"]["highest_altitude_msl_ft"])
        self.assertNotIn("asked:", run("plan", *FLIGHT).stdout)

    def test_points_of_the_way_are_flown_over_in_their_order(self):
        self.assertNotIn("XKE", words_of(self.free))
        plan = planned(*FLIGHT, "--via", "XKE,XHU")
        ends = [step["end"].get("fix") for step in plan["flight"]["steps"]]
        self.assertLess(ends.index("XKE"), ends.index("XHU"))
        self.assertEqual([point["ident"] for point in plan["request"]["constraints"]["via"]], ["XKE", "XHU"])
        self.assertIn("asked: via XKE, via XHU", run("plan", *FLIGHT, "--via", "XKE", "--via", "XHU").stdout)

    def test_an_airway_that_is_avoided_is_not_flown(self):
        airway = next(word for word in words_of(self.free) if word.startswith("V"))
        plan = planned(*FLIGHT, "--avoid-airway", airway)
        self.assertNotIn(airway, words_of(plan))
        self.assertIn("constraint.avoided_airway", codes(plan["refused"]))
        self.assertEqual(plan["request"]["constraints"]["avoid_airways"], [airway])
        self.assertIn(f"asked: avoiding {airway}", run("plan", *FLIGHT, "--avoid-airway", airway).stdout)

    def test_a_fix_that_is_avoided_is_not_flown_over_and_the_arrival_over_it_is_refused(self):
        self.assertEqual(self.free["flight"]["arrival"], "XEMIR1")
        plan = planned(*FLIGHT, "--avoid", "XEMIR")
        where = plan["request"]["constraints"]["avoid"][0]["place"]
        for place in places(plan):
            self.assertGreater(apart_nm(place, where), 0.1)
        self.assertIn("constraint.avoided_point", codes(plan["refused"]))
        star = [each for each in plan["arrivals"] if each["name"].startswith("XEMIR1")]
        self.assertTrue(all("XEMIR, which is to be avoided" in each["why_not"] for each in star if not each["flyable"]), star)
        self.assertTrue(star)

    def test_a_station_that_is_avoided_is_not_used(self):
        self.assertIn("XRG", {ident for ident, _ in stations_used(self.free)})
        plan = planned(*FLIGHT, "--avoid", "XRG")
        self.assertNotIn("XRG", {ident for ident, _ in stations_used(plan)})

    def test_an_area_is_kept_out_of(self):
        plan = planned(*FLIGHT, "--avoid-area", "XRG/15")
        area = plan["request"]["constraints"]["avoid_areas"][0]
        self.assertEqual((area["name"], area["radius_nm"]), ("XRG/15", 15))
        for place in places(plan):
            self.assertGreater(apart_nm(place, area["centre"]), 14.9)
        self.assertLess(min(apart_nm(place, area["centre"]) for place in places(self.free)), 15)

    def test_an_area_by_coordinates(self):
        plan = document("plan", *FLIGHT, "--avoid-area", "4030N16815W/3")
        centre = plan["request"]["constraints"]["avoid_areas"][0]["centre"]
        self.assertEqual((centre["latitude_deg"], centre["longitude_deg"]), (40.5, -168.25))

    def test_the_highest_altitude_holds(self):
        cruise = self.free["flight"]["cruise_altitude_msl_ft"]
        plan = document("plan", *FLIGHT, "--highest", cruise - 1000)
        if plan["flight"]:
            self.assertLess(plan["flight"]["cruise_altitude_msl_ft"], cruise)
        self.assertEqual(document("plan", *FLIGHT, "--highest", cruise)["flight"]["route"], self.free["flight"]["route"])

    def test_without_ndbs_none_is_used_and_what_needs_one_is_refused(self):
        free = planned("XDOV", "XNOR")
        plan = document("plan", "XDOV", "XNOR", "--no-ndb")
        self.assertIn("constraint.beacon", codes(plan["refused"]))
        if plan["verdict"] != "not flyable":
            planned("XDOV", "XNOR", "--no-ndb")
            self.assertNotIn("NDB", {kind for _, kind in stations_used(plan)})
        self.assertTrue(free["flight"])
        refused = document("plan", "XDOV", "XSUL", "--no-ndb")
        self.assertEqual(refused["verdict"], "not flyable")
        self.assertIn("constraint.beacon", codes(refused["findings"]))

    def test_without_dead_reckoning_no_step_off_a_procedure_is_a_heading(self):
        plan = planned(*FLIGHT, "--no-dead-reckoning")
        for step in plan["flight"]["steps"]:
            if step["guidance"]["kind"] == "heading" and step["phase"] == "en route":
                self.fail(step)

    def test_a_station_out_of_service_is_in_no_answer(self):
        plan = planned(*FLIGHT, "--without", "XRG")
        self.assertNotIn("XRG", json.dumps(plan["flight"]))

    def test_the_runways_are_those_asked_for(self):
        light = ("XDOV", "XMRA", "--wind", "270/04")
        self.assertEqual(planned(*light)["flight"]["departure_runway"]["ident"], "RW25")
        plan = planned(*light, "--runway", "07", "--landing-runway", "RW09")
        self.assertEqual(plan["flight"]["departure_runway"]["ident"], "RW07")
        self.assertEqual(plan["flight"]["arrival_runway"]["ident"], "RW09")
        self.assertIn("runway.tailwind", codes(plan["findings"]))
        self.assertIn("asked: take-off on RW07, landing on RW09", run("plan", *light, "--runway", "07", "--landing-runway", "09").stdout)

    def test_a_runway_that_does_not_fit_blocks_with_its_figures(self):
        for option in (("--runway", "07"), ("--landing-runway", "09")):
            plan = document("plan", *FLIGHT, *option)
            self.assertEqual(plan["verdict"], "not flyable")
            found = [f for f in plan["findings"] if f["code"] == "runway.tailwind" and f["grade"] == "blocks"]
            self.assertRegex(found[0]["text"], r"tailwind \d+ kt, the limit is \d+ kt")

    def test_the_approach_is_the_one_asked_for(self):
        plan = planned(*FLIGHT, "--approach", "L27")
        self.assertTrue(plan["flight"]["approach"].startswith("LOC RW27"), plan["flight"]["approach"])
        by_name = planned(*FLIGHT, "--approach", plan["flight"]["approach"])
        self.assertEqual(by_name["flight"]["approach"], plan["flight"]["approach"])
        with_transition = planned(*FLIGHT, "--approach", "I27/XALBO")
        self.assertEqual(with_transition["flight"]["approach"], "ILS RW27 via XALBO")

    def test_the_document_fits_its_schema(self):
        sys.argv = [sys.argv[0], OMNIWAY, SHARE]
        sys.path.insert(0, str(pathlib.Path(__file__).parent))
        from command_test import check_schema, schema_of
        for command, words in (("plan", FLIGHT), ("judge", ("XDOV N0110A080 DCT XDV V14 XKE XKEL",))):
            made = document(command, *words, "--via", "XDV", "--avoid", "XRG", "--avoid-airway", "V12", "--avoid-area",
                            "XEB/5,XIC/2", "--highest", "12000", "--no-ndb")
            self.assertEqual(check_schema(made, schema_of(command)), [])

    def test_a_name_of_two_points_is_told(self):
        plan = document("plan", "XMRA", "XEDD", "--avoid", "XUR")
        self.assertEqual(len(plan["request"]["constraints"]["avoid"]), 2)
        self.assertIn("constraint.name_twice", codes(plan["findings"]))


class ARouteThatDoesNotKeepToItIsNotFlyable(unittest.TestCase):
    ROUTE = "XDOV N0110A080 DCT XDV V14 XKE DCT XHU DCT XODEL V12 XOBAN XMRA"

    def blocked(self, code, *options):
        judged = document("judge", self.ROUTE, "--wind", "270/20", *options)
        self.assertEqual(judged["verdict"], "not flyable", options)
        found = [f for f in judged["findings"] if f["code"] == code and f["grade"] == "blocks"]
        self.assertTrue(found, (options, judged["findings"]))
        return found

    def test_each_leg_names_what_it_breaks(self):
        self.assertNotEqual(document("judge", self.ROUTE, "--wind", "270/20")["verdict"], "not flyable")
        self.assertIn("V14 from XDV", self.blocked("constraint.avoided_airway", "--avoid-airway", "V14")[0]["about"])
        self.blocked("constraint.avoided_point", "--avoid", "XHU")
        self.blocked("constraint.avoided_area", "--avoid-area", "XKE/10")
        self.blocked("constraint.above_highest", "--highest", "7000")
        self.assertEqual(self.blocked("constraint.via_not_flown", "--via", "XRG")[0]["about"], "XRG")

    def test_points_of_the_way_in_their_order_are_kept_to(self):
        judged = document("judge", self.ROUTE, "--wind", "270/20", "--via", "XKE,XHU", "--via", "XODEL")
        self.assertNotEqual(judged["verdict"], "not flyable", judged["findings"])
        self.blocked("constraint.via_not_flown", "--via", "XHU,XKE")


class WhatCannotBeHadTogetherIsOneSentence(unittest.TestCase):
    def check(self, code, where, *options, says=()):
        found = error("plan", *FLIGHT, *options)
        self.assertEqual([(f["code"], f["where"]) for f in found], [(code, where)], found)
        for each in says:
            self.assertIn(each, found[0]["message"])

    def test_contradictions(self):
        self.check("app.contradiction", "--via", "--via", "XKE", "--avoid", "XKE", says=("XKE", "leave out one"))
        self.check("app.contradiction", "--avoid-area", "--via", "XKE", "--avoid-area", "XKEL/15", says=("7.", "smaller"))
        self.check("app.contradiction", "--via", "--via", "XKE", "--without", "XKE", says=("out of service",))
        self.check("app.contradiction", "--no-ndb", "--via", "XCO", "--no-ndb", says=("NDB",))
        self.check("app.contradiction", "--highest", "--altitude", "8000", "--highest", "7000", says=("8000", "7000"))
        self.check("app.contradiction", "--avoid-area", "--avoid-area", "XDV/10", says=("XDOV itself",))

    def test_a_highest_altitude_below_the_field(self):
        found = error("plan", "XDOV", "XKEL", "--highest", "2000")
        self.assertEqual(found[0]["code"], "app.contradiction")
        self.assertIn("2486 ft", found[0]["message"])

    def test_names_that_are_not_there_have_near_matches(self):
        self.check("app.unknown_ident", "--via", "--via", "XKF", says=("did you mean", "XKE"))
        self.check("app.unknown_ident", "--avoid", "--avoid", "XRH", says=("XRG",))
        self.check("app.unknown_ident", "--avoid", "--avoid", "XKEL", says=("--avoid-area XKEL/5",))
        self.check("app.unknown_airway", "--avoid-airway", "--avoid-airway", "V112", says=("V12",))
        self.check("app.unknown_runway", "--runway", "--runway", "RW09", says=("RW07, RW25",))
        self.check("app.unknown_approach", "--approach", "--approach", "I28", says=("I27",))
        self.check("app.unknown_approach", "--approach", "--approach", "I27/XKE", says=("XOBAN",))

    def test_areas_that_are_none(self):
        self.check("app.area_form", "--avoid-area", "--avoid-area", "XKE", says=("XKE/15",))
        self.check("app.area_form", "--avoid-area", "--avoid-area", "XKE/far")
        self.check("app.out_of_range", "--avoid-area", "--avoid-area", "XKE/2000", says=("200 NM",))
        self.check("app.out_of_range", "--avoid-area", "--avoid-area", "XKE/nan")
        self.check("app.unknown_ident", "--avoid-area", "--avoid-area", "N44W072/20", says=("40N168W",))

    def test_a_point_too_far_off(self):
        found = error("plan", "XDOV", "XPIR", "--via", "XUR")
        self.assertEqual(found[0]["code"], "app.via_too_far")
        self.assertIn("NM", found[0]["message"])


if __name__ == "__main__":
    unittest.main()
