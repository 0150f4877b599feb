#!/usr/bin/env python3
"""`omniway why` as its user meets it: a route built by hand beside what is offered, in time, work and margin.

    why_test.py OMNIWAY SHARE_FOLDER [unittest arguments]
"""
import json
import os
import pathlib
import subprocess
import sys
import unittest

OMNIWAY = pathlib.Path(sys.argv.pop(1)).resolve()
SHARE = pathlib.Path(sys.argv.pop(1)).resolve()
DEMO = os.environ.get("OMNIWAY_DEMO_ATLAS", SHARE / "demo.atlas")
DAY = ("--date", "2026-11-25")
ROUTE = "DCT XDV V14 XKE DCT XHU DCT XODEL V12 XOBAN"


def run(*words):
    environment = {key: value for key, value in os.environ.items() if key not in ("OMNIWAY_ATLAS", "XDG_DATA_HOME")}
    return subprocess.run([OMNIWAY, *map(str, words), "--atlas", DEMO, *DAY], capture_output=True, text=True,
                          timeout=120, check=False, env=environment)


def why(from_, to, route, *options):
    done = run("why", from_, to, route, *options, "--json")
    if done.returncode not in (0, 1):
        raise AssertionError(f"{route}: {done.returncode}: {done.stderr}")
    document = json.loads(done.stdout)
    if (document["by_hand"]["verdict"] == "not flyable") != (done.returncode == 1):
        raise AssertionError(f"{route}: {document['by_hand']['verdict']} with status {done.returncode}")
    return document


def errors(*words):
    done = run("why", *words, "--json")
    if done.returncode != 2:
        raise AssertionError(f"{words}: status {done.returncode}, not 2: {done.stdout[:500]}")
    return json.loads(done.stdout)["errors"]


PLANS = [
    ("XDOV", "XMRA", "--wind", "270/20"),
    ("XDOV", "XKEL"),
    ("XSUL", "XDOV"),
    ("XDOV", "XNOR"),
    ("XICO", "XURL"),
    ("XPIR", "XADR"),
]


class WhatIsOfferedIsTheSame(unittest.TestCase):
    def test_the_route_of_a_plan_given_back_is_the_flight_that_is_offered(self):
        for from_, to, *options in PLANS:
            with self.subTest(way=f"{from_} {to} {options}"):
                flight = json.loads(run("plan", from_, to, *options, "--json").stdout)["flight"]
                document = why(from_, to, flight["route"], *options, "--altitude", flight["cruise_altitude_msl_ft"],
                               "--runway", flight["departure_runway"]["ident"])
                self.assertEqual(document["standing"], "the same", document["says"])
                self.assertEqual(document["says"], ["This is the flight that is offered."])
                self.assertEqual(document["better_in"], [])
                self.assertEqual(document["by_hand"]["costs"], document["offered"][0]["costs"])
                # The time of the plan itself, worked elsewhere (flight/flight_track.hpp).
                self.assertAlmostEqual(document["by_hand"]["costs"]["time_min"], flight["time_min"], delta=0.02)


class ARouteBesideWhatIsOffered(unittest.TestCase):
    def test_costs_stand_side_by_side_and_their_differences_are_theirs(self):
        document = why("XDOV", "XMRA", ROUTE, "--wind", "270/20", "--altitude", "8000")
        mine = document["by_hand"]["costs"]
        self.assertTrue(document["offered"])
        for each in document["offered"]:
            theirs = each["costs"]
            self.assertAlmostEqual(each["by_hand_later_min"], mine["time_min"] - theirs["time_min"], delta=0.02)
            self.assertAlmostEqual(each["by_hand_more_work_points"], mine["work_points"] - theirs["work_points"], delta=0.02)
            self.assertAlmostEqual(each["by_hand_less_margin_share"], theirs["margin_share"] - mine["margin_share"], delta=0.002)
            worse = (each["by_hand_later_min"] > 0.25 or each["by_hand_more_work_points"] > 0.5
                     or each["by_hand_less_margin_share"] > 0.01)
            better = (each["by_hand_later_min"] < -0.25 or each["by_hand_more_work_points"] < -0.5
                      or each["by_hand_less_margin_share"] < -0.01)
            words = {(True, False): "worse", (False, True): "better"}
            if each["by_hand_is"] != "the same":
                self.assertEqual(each["by_hand_is"], words.get((worse, better), "neither"), each)
        for costs in [mine, *(each["costs"] for each in document["offered"])]:
            self.assertAlmostEqual(costs["margin_share"],
                                   min(costs["reception_share"], costs["fix_share"], costs["width_share"]), delta=0.0011)

    def test_the_legs_that_differ_are_named(self):
        document = why("XDOV", "XMRA", ROUTE, "--wind", "270/20", "--altitude", "10000")
        self.assertIn("V14", {run["via"] for run in document["offered"][0]["only_by_hand"]})
        self.assertFalse({run["via"] for run in document["offered"][0]["only_by_hand"]} & {"V99"})
        self.assertIn("V14", " ".join(document["says"]))

    def test_a_detour_is_worse_and_said_to_be(self):
        straight = json.loads(run("plan", "XDOV", "XKEL", "--json").stdout)["flight"]
        document = why("XDOV", "XKEL", "DCT XDV V54 XUM DCT XKE", "--altitude", straight["cruise_altitude_msl_ft"])
        self.assertGreater(document["offered"][0]["by_hand_later_min"], 1.0)
        self.assertIn("min longer", " ".join(document["says"]))

    def test_the_document_fits_its_schema(self):
        sys.argv = [sys.argv[0], OMNIWAY, SHARE]
        sys.path.insert(0, str(pathlib.Path(__file__).parent))
        from command_test import check_schema, schema_of
        for route in (ROUTE, "DCT XDV V45 XBN"):
            self.assertEqual(check_schema(why("XDOV", "XMRA", route), schema_of("why")), [])

    def test_the_text_says_the_same(self):
        done = run("why", "XDOV", "XMRA", ROUTE, "--wind", "270/20", "--altitude", "8000")
        document = why("XDOV", "XMRA", ROUTE, "--wind", "270/20", "--altitude", "8000")
        together = " ".join(done.stdout.split())
        for sentence in document["says"]:
            self.assertIn(" ".join(sentence.split()), together)
        self.assertLessEqual(max(len(line) for line in done.stdout.splitlines()), 100)


def legs_of(offered):
    return " ".join(each["route"] for each in offered).split()


class WhatBindsTheRouteByHandAndWhatBindsBoth(unittest.TestCase):
    """docs/why.md: runways and approach complete the route by hand; what is asked of a flight is asked of both."""

    def test_an_approach_asked_for_is_that_of_the_route_by_hand_alone(self):
        document = why("XDOV", "XMRA", ROUTE, "--wind", "270/20", "--altitude", "8000", "--approach", "L27/XOBAN")
        self.assertEqual(document["by_hand"]["approach"], "LOC RW27 via XOBAN")
        self.assertEqual(document["request"]["approach"], "L27")
        self.assertTrue(document["offered"][0]["approach"].startswith("ILS RW27"), document["offered"][0])
        self.assertIn("ILS RW27 via XOBAN in place of LOC RW27 via XOBAN", " ".join(document["says"]))

    def test_a_runway_asked_for_is_that_of_the_route_by_hand_alone_and_the_other_is_named(self):
        document = why("XDOV", "XMRA", ROUTE, "--wind", "270/04", "--altitude", "8000", "--runway", "07")
        self.assertNotEqual(document["standing"], "the same")
        self.assertIn("The one offered takes off from RW25, this way from RW07.", document["says"])

    def test_what_is_avoided_is_avoided_by_what_is_offered_and_blocks_the_route_by_hand(self):
        document = why("XDOV", "XMRA", ROUTE, "--wind", "270/20", "--avoid-airway", "V14")
        self.assertEqual(document["standing"], "not flyable")
        self.assertEqual({each["code"] for each in document["blocking"]}, {"constraint.avoided_airway"})
        self.assertTrue(document["offered"])
        self.assertNotIn("V14", legs_of(document["offered"]))
        self.assertIn("V14", legs_of(why("XDOV", "XMRA", ROUTE, "--wind", "270/20")["offered"]))

    def test_a_point_to_fly_over_is_flown_over_by_both(self):
        document = why("XDOV", "XMRA", ROUTE, "--wind", "270/20", "--via", "XKE")
        self.assertNotEqual(document["standing"], "not flyable")
        for each in document["offered"]:
            self.assertTrue(any(word.partition("/")[0] == "XKE" for word in each["route"].split()), each["route"])
        past = why("XDOV", "XMRA", "DCT XDV V12 XRG XEMIR1", "--wind", "270/20", "--via", "XKE")
        self.assertIn("constraint.via_not_flown", {each["code"] for each in past["blocking"]})

    def test_what_is_asked_stands_in_the_head(self):
        done = run("why", "XDOV", "XMRA", ROUTE, "--via", "XKE", "--approach", "I27")
        self.assertIn("\nasked: via XKE, approach I27\n", done.stdout)

    def test_contradictions_are_one_sentence_as_for_a_plan(self):
        found = errors("XDOV", "XMRA", ROUTE, "--via", "XKE", "--avoid", "XKE")
        self.assertEqual([(f["code"], f["where"]) for f in found], [("app.contradiction", "--via")])


class ARouteThatCannotBeFlown(unittest.TestCase):
    def test_what_blocks_is_told_with_its_step_and_figures(self):
        document = why("XDOV", "XICO", "N0110A050 DCT XDV V14 XKE V26 XIC")
        self.assertEqual(document["standing"], "not flyable")
        self.assertTrue(document["blocking"])
        self.assertTrue(all(each["grade"] == "blocks" for each in document["blocking"]))
        self.assertRegex(document["says"][0], r"^This way cannot be flown: step [0-9]+, .*ft")
        self.assertEqual(document["better_in"], [])
        self.assertTrue(document["offered"])
        # The other end of the runway needs a turn of 132 degrees there: what another approach spares is not told of the route.
        self.assertEqual({each["code"] for each in document["blocking"]}, {"altitude.below_minimum"})

    def test_what_does_not_lead_to_a_landing_is_not_compared_in_costs(self):
        says = " ".join(why("XDOV", "XMRA", "DCT XDV V14 XKE")["says"])
        self.assertIn("It does not lead to a landing: its costs are not compared.", says)
        self.assertNotIn(" min less", says)

    def test_the_text_tells_what_blocks_once_and_all_of_it_where_it_is_asked_for(self):
        words = ("why", "XDOV", "XICO", "N0110A050 DCT XDV V14 XKE V26 XIC")
        count = len(why(*words[1:])["blocking"])
        short, whole = run(*words).stdout, run(*words, "--all").stdout
        self.assertEqual(" ".join(short.split()).count("its minimum is"), min(count, 3))
        self.assertEqual(whole.partition("what blocks")[2].count("  blocks  "), count)
        self.assertEqual("--all lists" in short, count > 3)
        self.assertNotIn("--why", short + whole)

    def test_an_airway_flown_against_its_one_way_is_the_reason(self):
        document = why("XDOV", "XBRE", "N0110A060 DCT XDV V45 XBN")
        self.assertIn("airway.wrong_direction", [each["code"] for each in document["blocking"]])


class ABadQuestionIsRefusedAtItsWord(unittest.TestCase):
    def test_an_unknown_point_has_near_matches(self):
        found = errors("XDOV", "XMRA", "DCT XDV V14 XKF")
        self.assertEqual((found[0]["code"], found[0]["where"]), ("route.unknown_point", "ROUTE:1:13"))
        self.assertIn("did you mean XKE?", found[0]["message"])

    def test_an_unknown_airport_has_near_matches(self):
        found = errors("XDOW", "XMRA", ROUTE)
        self.assertEqual(found[0]["code"], "app.unknown_ident")
        self.assertIn("XDOV", found[0]["message"])

    def test_no_route_is_no_question(self):
        self.assertEqual(run("why", "XDOV", "XMRA").returncode, 2)


class WhatMattered(unittest.TestCase):
    def test_what_mattered_stands_first_and_is_told_with_what_it_would_save(self):
        plain = json.loads(run("plan", "XDOV", "XMRA", "--aircraft", "trainer", "--json").stdout)
        self.assertEqual((plain["mattered"], plain["lifts_tried"]), ([], 0))
        document = json.loads(run("plan", "XDOV", "XMRA", "--aircraft", "trainer", "--why", "--json").stdout)
        self.assertGreater(document["lifts_tried"], 0)
        first = [f for each in document["mattered"] for f in each["refused"]]
        for each in document["mattered"]:
            self.assertTrue(each["refused"] and each["with_it"], each)
        told = {(f["code"], f["about"]) for f in first}
        places = [(f["code"], f["about"]) in told for f in document["refused"]]
        self.assertEqual(places, sorted(places, reverse=True))


if __name__ == "__main__":
    sys.path.insert(0, str(pathlib.Path(__file__).parent))
    unittest.main()
