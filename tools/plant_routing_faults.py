#!/usr/bin/env python3
"""Plants faults in the sources one by one, and names the test that notices each.

    plant_routing_faults.py [--list] [--only NAME ...] [--jobs N] [--out FILE] [--keep FOLDER]

Works in a copy of its own: a git worktree of HEAD in a folder for temporary files, configured with the release preset and removed at
the end (--keep makes or takes up a folder of that name, brings it to HEAD and leaves it). The checkout itself is not touched. Each
fault is one exact replacement in one file; a text that is not there exactly once is an error, so that a fault cannot vanish when the
code moves. For each fault its test programs are built and run in the order given, the suites nearest to it first, until a test
fails. A test that fails without any fault does not count. --out writes what was found as a page; what it holds of faults that
--only leaves out stays, each with its commit. Exit status 1 where a fault lives through all of its programs or could not be
planted or built, and where a test fails without any.
"""
import argparse
import dataclasses
import os
import re
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent


@dataclasses.dataclass(frozen=True)
class Fault:
    name: str
    what: str
    file: str
    old: str
    new: str
    programs: tuple[str, ...]  # the nearest first
    near: str = "*"  # of the first program the suites to begin with, as --gtest_filter has them


FAULTS = (
    Fault("true-for-magnetic", "a course is told true where magnetic is meant", "src/base/bearing.hpp",
          "return MagneticBearing::degrees(b.degrees() - v.east().degrees());",
          "return MagneticBearing::degrees(b.degrees() - 0.0 * v.east().degrees());", ("base_test",)),
    Fault("step-true-for-magnetic", "the course of a step is told true", "src/flight/flight_track.cpp",
          "step.course = base::to_magnetic(piece.track, step.variation);",
          "step.course = base::to_magnetic(piece.track, base::Variation());", ("flight_test",), "*FlightTrack*:TruthCardGuidance*"),
    Fault("hold-true-for-magnetic", "the card gives the course of a hold true", "src/flight/detail/guidance_on_paper.cpp",
          "whole_degrees(base::to_magnetic(bearing, step_.variation))",
          "whole_degrees(base::to_magnetic(bearing, base::Variation()))", ("flight_test",), "TruthCardGuidance*"),
    Fault("declination-sign", "a station's declination is taken the other way round", "src/base/bearing.hpp",
          "return Radial::degrees(b.degrees() - d.east().degrees());",
          "return Radial::degrees(b.degrees() + d.east().degrees());", ("base_test",)),
    Fault("declination-dropped", "a VOR's radials are counted from true north", "src/navdata/station.cpp",
          "if (const auto* azimuth = vor(station)) {\n        return base::to_radial(earth::bearing(azimuth->position, place), "
          "azimuth->declination);",
          "if (const auto* azimuth = vor(station)) {\n        return base::to_radial(earth::bearing(azimuth->position, place), "
          "base::Declination());",
          ("navdata_test",), "*Station*"),
    Fault("other-direction-minimum", "the minimum of the other direction is taken", "src/flight/en_route.cpp",
          "forward ? segment.minimum_forward : segment.minimum_backward",
          "forward ? segment.minimum_backward : segment.minimum_forward", ("flight_test",), "*AirwayLeg*"),
    Fault("one-way-reversed", "a one-way airway is flown against its direction", "src/flight/en_route.cpp",
          "navdata::AirwayDirection::forward_only && !forward)", "navdata::AirwayDirection::forward_only && forward)",
          ("flight_test",), "*AirwayLeg*"),
    Fault("unknown-minimum-zero", "a minimum that is not published counts as zero", "src/flight/en_route.cpp",
          "leg.minimum = {MinimumFrom::published_unknown, std::nullopt};",
          "leg.minimum = {MinimumFrom::published_unknown, Altitude()};", ("flight_test",), "*AirwayLeg*"),
    Fault("maximum-ignored", "an airway is flown above its maximum", "src/flight/en_route.cpp",
          "if (segment.maximum && altitude > *segment.maximum) {",
          "if (segment.maximum && altitude > *segment.maximum + Length::feet(1e5)) {", ("flight_test",), "*AirwayLeg*"),
    Fault("area-navigation-flown", "an RNAV route is taken for a conventional airway", "src/flight/en_route.cpp",
          "if (airway.area_navigation) {", "if (airway.area_navigation && !forward) {", ("flight_test",), "*AirwayLeg*"),
    Fault("changeover-misplaced", "the changeover is not midway between the aids", "src/flight/en_route.cpp",
          "(ends.behind->away + leg.length + ends.ahead->away) * 0.5",
          "(ends.behind->away + leg.length + ends.ahead->away) * 0.4", ("flight_test",), "*AirwayLeg*"),
    Fault("dead-reckoning-unlimited", "a leg is laid out over any stretch without signal", "src/flight/en_route.cpp",
          "if (gap > limit) {", "if (gap > limit * 100.0) {", ("flight_test",), "*DirectLeg*"),
    Fault("dead-reckoning-not-judged", "the judge lets dead reckoning go on without end", "src/flight/judge_guidance.cpp",
          "if (reckoned_ > limit + join_tolerance) {", "if (reckoned_ > limit * 100.0) {", ("flight_test",), "*JudgeGuidance*"),
    Fault("hole-joined", "an airway is joined across a missing row", "src/navdata/snapshot.cpp",
          "largest_distance_disagreement_nm = 0.15;", "largest_distance_disagreement_nm = 150.0;",
          ("navdata_test",), "*Airway*"),
    Fault("gap-joined", "an airway is joined across a published gap", "src/navdata/snapshot.cpp",
          "row.designator == next.designator && !row.ends_continuous_part;",
          "row.designator == next.designator;", ("navdata_test",), "*Airway*"),
    Fault("grid-cell-beside", "the grid minimum of the cell east of the place is taken", "src/navdata/snapshot.cpp",
          "std::floor(place.longitude_deg())", "std::ceil(place.longitude_deg())", ("navdata_test",), "*Grid*"),
    Fault("beacon-errs-as-vor", "an NDB is taken to be as true as a VOR", "src/radio/error_budget.cpp",
          "return {5.0, 5.0};", "return {4.5, 3.6};", ("radio_test",), "*ErrorBudget*"),
    Fault("crossing-limit-dropped", "lines that cross under any angle tell a fix", "src/fixing/detail/survey.cpp",
          "if (crossing < smallest) {", "if (crossing < smallest * 0.01) {", ("fixing_test",), "*Telling*:*Catalogue*"),
    Fault("crossing-limit-not-judged", "the judge lets lines cross under any angle", "src/flight/judge_fixes.cpp",
          "least_crossing_en_route = Angle::degrees(30.0);", "least_crossing_en_route = Angle::degrees(0.3);",
          ("flight_test",), "*JudgeFixes*"),
    Fault("ground-for-slant", "a DME is taken to read over the ground", "src/radio/reception.cpp",
          "return Length::metres(std::hypot(to_m - from_m, 2.0 * half_chord * std::sqrt(from_m * to_m)));",
          "return Length::metres(std::hypot(0.0 * (to_m - from_m), 2.0 * half_chord * std::sqrt(from_m * to_m)));",
          ("radio_test",), "*Reception*"),
    Fault("earth-too-large", "radio sees as far as over an earth of half the bulge", "src/radio/detail/effective_earth.hpp",
          "effective_radius_m = 4.0 / 3.0 * 6371008.8;", "effective_radius_m = 8.0 / 3.0 * 6371008.8;", ("radio_test",), "*Terrain*:*Sweep*"),
    Fault("mountains-as-plains", "mountains are cleared by 1,000 ft", "src/flight/off_airway_minimum.cpp",
          "Length::feet(mountains ? 2000.0 : 1000.0)", "Length::feet(mountains ? 1000.0 : 1000.0)",
          ("flight_test",), "*OffAirwayMinimum*"),
    Fault("no-splay", "the corridor does not widen where nothing guides", "src/flight/off_airway_minimum.cpp",
          "base::tan(unguided_splay)", "(0.0 * base::tan(unguided_splay))", ("flight_test",), "*OffAirwayMinimum*"),
    Fault("wind-reversed", "the wind blows toward where it comes from", "src/aircraft/wind_triangle.cpp",
          "const base::Angle off_course = wind.from - course;",
          "const base::Angle off_course = wind.from.reciprocal() - course;", ("aircraft_test",), "*WindTriangle*"),
    Fault("semicircles-exchanged", "odd thousands are flown westbound", "src/flight/judge_altitudes.cpp",
          "course.degrees() < 180.0;", "course.degrees() >= 180.0;", ("flight_test",), "*JudgeAltitudes*"),
    Fault("retuned-too-low", "a receiver is retuned down to the ground", "src/flight/radio_needs.cpp",
          "lowest_retuning = Length::feet(500.0);", "lowest_retuning = Length::feet(0.0);", ("flight_test",), "*RadioNeeds*"),
    Fault("back-course-sense", "inbound on a back course the needle is not reversed", "src/procedure/guidance.cpp",
          "return OnLocalizer{station, flown_inward != back_course, back_course};",
          "return OnLocalizer{station, flown_inward, back_course};", ("procedure_test",), "*Guidance*"),

    # The judge, heights and levels.
    Fault("unguided-part-not-judged", "the judge lets the end of a leg be flown with nothing that guides",
          "src/flight/judge_guidance.cpp", "if (leg.length - covered > join_tolerance) {",
          "if (leg.length - covered > leg.length) {", ("flight_test",), "*Judge*:*Flight.*"),
    Fault("intercept-too-steep", "the judge lets a radial be met at any angle", "src/flight/judge_guidance.cpp",
          "steepest_intercept = Angle::degrees(45.0);", "steepest_intercept = Angle::degrees(145.0);", ("flight_test",),
          "*JudgeGuidance*"),
    Fault("climb-ends-late", "a climb begins at the fix at which it has to end", "src/flight/detail/level_line.cpp",
          "if (after > end) {", "if (after > end + Length::feet(1e5)) {", ("flight_test",), "*LevelChange*"),
    Fault("maximum-climbed-through", "the climb to the next level does not heed the maximum of the leg it is on",
          "src/flight/detail/level_line.cpp",
          "end = std::max(end, here.maximum ? std::min(after, *here.maximum) : after);", "end = std::max(end, after);",
          ("flight_test",), "*LevelChange*"),
    Fault("station-out-of-service-heard", "a station taken out of service is still there", "src/navdata/snapshot.cpp",
          "records.stations[id.index].out_of_service = true;", "records.stations[id.index].out_of_service = false;",
          ("navdata_test",), "*Without*"),

    # Costs.
    Fault("tighter-dominates", "of two flights the tighter one is taken for the better", "src/flight/costs.cpp",
          "left_a >= left_b &&", "left_a <= left_b &&", ("flight_test",), "*Costs*"),
    Fault("ident-costs-nothing", "to hear an ident is no work", "src/flight/costs.cpp",
          "return WorkScale::retune + WorkScale::ident;", "return WorkScale::retune;", ("flight_test",), "*Costs*"),
    Fault("margin-upside-down", "what is used up counts as what is left", "src/flight/costs.cpp",
          "std::clamp(1.0 - used / of, 0.0, 1.0)", "std::clamp(used / of, 0.0, 1.0)", ("flight_test",), "*Costs*"),

    # The network and the graph of a question.
    Fault("segment-one-way-in-network", "an airway is listed forward at both its ends", "src/routing/network.cpp",
          "all.push_back({to, {a, i, from, false}});", "all.push_back({to, {a, i, from, true}});", ("routing_test",),
          "*Network*"),
    Fault("one-way-reversed-in-graph", "the published graph has one-way airways the other way round",
          "src/routing/detail/graph.cpp", "direction != (of.forward ?", "direction != (!of.forward ?", ("routing_test",),
          "*ShortestWay*"),
    Fault("line-too-long-in-graph", "stations up to 140 NM apart are joined", "src/routing/detail/graph.cpp",
          "longest_line_nm = 130.0;", "longest_line_nm = 140.0;", ("routing_test",), "*ShortestWay*"),
    Fault("reverse-turn-flown", "turns of 175 degrees are flown en route", "src/procedure/reversal_rules.hpp",
          "largest_turn_at_fix = base::Angle::degrees(120.0);", "largest_turn_at_fix = base::Angle::degrees(175.0);",
          ("routing_test",), "*Search*"),
    Fault("turn-at-untold-fix", "a turn is flown at a fix that nothing tells", "src/routing/detail/graph.cpp",
          "return slot(edge, level).told == Slot::Told::yes;", "return slot(edge, level).told != Slot::Told::unknown;",
          ("routing_test",), "*Search*"),
    Fault("entry-turn-ignored", "an approach is entered by any turn", "src/routing/detail/graph.cpp",
          "abs(turn) > entry.largest_turn", "abs(turn) > entry.largest_turn * 10.0", ("routing_test",), "*Search*"),
    Fault("own-legs-half-price", "of two own legs only the second costs", "src/routing/search.cpp",
          "return weighted(own.front()) + turn_cost(own.back().track - own.front().arrival) + weighted(own.back());",
          "return weighted(own.back());", ("routing_test",), "BruteSearch*:*Search*"),
    Fault("own-legs-beside-direct", "own legs are looked for where a direct leg serves", "src/routing/detail/graph.cpp",
          "if (direct_serves(edge.from, edge.to, onward, level)) {", "if (direct_serves(edge.from, edge.to, onward, level) && level > 9) {",
          ("routing_test",), "BruteSearch*:*Search*"),
    Fault("own-pair-forbidden-flown", "two own legs that the judge refused are offered again", "src/routing/detail/graph.cpp",
          "(edges_[next].kind == Kind::own && follows(ahead.front(), ahead.back()))", "false", ("routing_test",), "*Search*"),
    Fault("forbidden-pair-flown", "what the judge refused is offered again", "src/routing/detail/graph.cpp",
          "if (forbidden_.empty()) {", "if (!forbidden_.empty()) {", ("routing_test",), "*Front*"),

    # The search for one way, and for choices.
    Fault("bound-too-high", "what is to go is taken for a tenth more than the distance", "src/routing/detail/graph.cpp",
          "at_least = Network::at_least;", "at_least = 1.1;", ("routing_test",), "*Search*:*Front*"),
    Fault("heading-reckoned-thrice", "what is beyond the reach of the aids counts three times", "src/routing/search.cpp",
          "on_heading * guided.on_heading_nm", "3.0 * on_heading * guided.on_heading_nm", ("routing_test",), "*BruteSearch*"),
    Fault("beacon-reckoned-where-a-vor-reaches", "a leg from a beacon to a VOR is reckoned by the beacon alone",
          "src/routing/detail/graph.cpp", " - beyond(to, ahead_nm)", "", ("routing_test",), "*BruteSearch*"),
    Fault("gap-not-bridged", "dead reckoning bridges nothing between two aids", "src/routing/detail/graph.cpp",
          "ahead_nm > 0.0 ? settings_.dead_reckoning_distance.nautical_miles() : no_gap_nm",
          "no_gap_nm", ("routing_test",), "*Search*"),
    Fault("forbidden-not-looked-back", "the way to go is longer by a leg that is not forbidden", "src/routing/detail/graph.cpp",
          "return pair.anywhere && pair.after.start == node(edge.from).fix.position &&",
          "return pair.anywhere &&", ("routing_test",), "*BruteSearch*"),
    Fault("explored-too-far", "what the backward search has not come to is taken for farther than it is",
          "src/routing/detail/least_to_go.cpp", "explored_nm_ - from_departure_nm(at)",
          "1.3 * explored_nm_ - from_departure_nm(at)", ("routing_test",), "*Search*"),
    Fault("coarse-ground-too-narrow", "the coarse look sees half of the corridor", "src/earth/corridor.cpp",
          "half_width.metres() * 1.01 + 1852.0", "half_width.metres() * 0.5 - 4000.0", ("earth_test",), "*Corridor*"),
    Fault("rough-minimum-told", "the minimum of a leg is left at what the coarse look gave", "src/routing/detail/graph.cpp",
          "if (flight::is_rough(leg.minimum)) {", "if (false) {", ("routing_test", "plan_test"), "*Search*"),
    Fault("corridor-too-wide", "ways are looked for in a corridor a tenth wider", "src/routing/detail/graph.cpp",
          "corridor_nm_ = longest_way(Length::nautical_miles(along_nm)).nautical_miles();",
          "corridor_nm_ = 1.1 * longest_way(Length::nautical_miles(along_nm)).nautical_miles();", ("routing_test",),
          "*Search*:*Front*"),
    Fault("turns-cost-late", "a turn costs only beyond 90 degrees", "src/routing/search.cpp",
          "std::max(0.0, turn_deg - 60.0) * 0.2", "std::max(0.0, turn_deg - 90.0) * 0.2", ("routing_test",), "*Search*"),
    Fault("point-asked-for-left-out", "the last of the points asked for is not flown over", "src/routing/search.cpp",
          "if (at.passed + 1 < states_) {", "if (at.passed + 2 < states_) {", ("routing_test",), "*Search*"),
    Fault("front-tighter-dominates", "of two ways the tighter one is kept", "src/routing/front.cpp",
          "cell(by.margin + rounding, q.margin) >= cell(costs.margin, q.margin)",
          "cell(by.margin, q.margin) <= cell(costs.margin + rounding, q.margin)", ("routing_test",), "*Front*"),
    Fault("front-without-work", "a quicker way hides an easier one", "src/routing/front.cpp",
          "cell(by.work, q.work) <= cell(costs.work + rounding, q.work) &&", "", ("routing_test",), "*Front*"),
    Fault("front-bound-too-high", "no way is taken to be flown as fast as it is", "src/routing/front.cpp",
          "miles * 1852.0 / fastest_mps_", "miles * 2222.0 / fastest_mps_", ("routing_test",), "*Front*"),
    Fault("front-quantum-too-coarse", "costs that differ by ten quanta are one", "src/routing/front.cpp",
          "std::floor(cost / quantum)", "std::floor(cost / (10.0 * quantum))", ("routing_test",), "*Front*"),
    Fault("front-rounding-decides", "a way that is better by rounding only is offered", "src/routing/front.cpp",
          "constexpr double rounding = 1e-7;", "constexpr double rounding = 0.0;", ("routing_test",), "CaseFront*"),
    Fault("front-climb-free", "a climb on the way takes no time", "src/routing/front.cpp",
          "(question_.levels[*level].climb_takes - question_.levels[before.level].climb_takes).count();",
          "0.0 * (question_.levels[*level].climb_takes - question_.levels[before.level].climb_takes).count();",
          ("routing_test",), "*Front*"),

    # The memo of judged edges.
    Fault("memo-without-altitude", "an edge is remembered for every altitude", "src/routing/edge_memo.cpp",
          "->value({rules, false, altitude.feet(), edge},", "->value({rules, false, 0.0 * altitude.feet(), edge},",
          ("routing_test",), "*EdgeMemo*"),
    Fault("memo-without-rules", "an edge is remembered for any equipment", "src/routing/edge_memo.cpp",
          "const auto found = std::find(known.begin(), known.end(), asked);", "const auto found = known.begin();",
          ("routing_test",), "*EdgeMemo*"),
    Fault("memo-without-direction", "an airway is remembered for both its directions", "src/routing/detail/graph.cpp",
          "return EdgeMemo::Edge(*edge.airway);",
          "return EdgeMemo::Edge(AirwayEdge{edge.airway->airway, edge.airway->index, true});", ("routing_test",),
          "*Search*:*Front*"),
    Fault("memo-without-dead-reckoning", "what a fast aircraft bridges is remembered for a slow one",
          "src/routing/detail/graph.cpp", "DirectEdge{*from.point, *to.point, dead_reckoning}",
          "DirectEdge{*from.point, *to.point, dead_reckoning * 0.0}", ("routing_test",), "*Search*"),
    Fault("memo-with-constraints", "a fix told by a station is remembered for one who avoids it",
          "src/routing/detail/graph.cpp", "unconstrained_ && rules_ && edges_[index].kind",
          "rules_ && edges_[index].kind", ("routing_test",), "*Search*"),

    # What is asked of a way.
    Fault("area-half-as-wide", "an area is avoided by half its radius", "src/routing/constraints.cpp",
          "if (nearest < circle.radius) {", "if (nearest < circle.radius * 0.5) {", ("routing_test",), "*Constrain*"),
    Fault("avoided-station-tells", "a station that is avoided still tells a fix", "src/routing/constraints.cpp",
          "return may_use(constraints, world, station_of(telling));",
          "return may_use(constraints, world, station_of(telling)) || !ways.empty();", ("routing_test",), "*Constrain*"),
    Fault("no-ndb-not-heeded", "without NDBs the VORs are left out", "src/routing/constraints.cpp",
          "!(constraints.no_beacon && navdata::ndb(world[station]) != nullptr)",
          "!(constraints.no_beacon && navdata::vor(world[station]) != nullptr)", ("routing_test",), "*Constrain*"),
    Fault("points-in-any-order", "points asked for count in any order on one leg", "src/routing/constraints.cpp",
          "> over || along + over < passed) {", "> over) {", ("routing_test",), "*Constrain*"),

    # What is offered.
    Fault("choices-alike", "ways that share all but a tenth are offered as choices", "src/plan/choices.cpp",
          "most_shared = 0.7;", "most_shared = 0.9;", ("plan_test",), "*Choices*"),
)


class Failure(Exception):
    pass


def run(command: list, folder: Path, limit_s: float = 3600.0) -> subprocess.CompletedProcess:
    return subprocess.run([str(word) for word in command], cwd=folder, capture_output=True, text=True, timeout=limit_s)


def need(command: list, folder: Path) -> str:
    done = run(command, folder)
    if done.returncode != 0:
        raise Failure(f"{' '.join(str(word) for word in command[:4])}: {(done.stdout + done.stderr)[-600:]}")
    return done.stdout


def planted(text: str, fault: Fault) -> str:
    """The file with the fault in it."""
    if text.count(fault.old) != 1:
        raise Failure(f"{fault.file} holds its text {text.count(fault.old)} times, not once")
    return text.replace(fault.old, fault.new)


def failing_tests(folder: Path, program: str, suites: str = "*", until_one: bool = False) -> list[str]:
    environment = dict(os.environ, RC_PARAMS=os.environ.get("RC_PARAMS", "seed=6"))
    command = [folder / "build" / "release" / program, "--gtest_brief=1", f"--gtest_filter={suites}-Slow*:*RealData*"]
    done = subprocess.run(command + ["--gtest_fail_fast"] * until_one, cwd=folder, capture_output=True, text=True, timeout=1800,
                          env=environment)
    failed = list(dict.fromkeys(re.findall(r"^\[  FAILED  \] (\w+\.\w+)", done.stdout, re.MULTILINE)))
    if done.returncode != 0 and not failed:
        failed = [f"{program} ends with status {done.returncode}"]
    return failed


def build(folder: Path, program: str, jobs: int) -> None:
    need(["nice", "ninja", "-C", folder / "build" / "release", f"-j{jobs}", program], folder)


def killers(folder: Path, fault: Fault, unsound: set[str], jobs: int) -> tuple[str, list[str]]:
    """The program that notices the fault and its failing tests; empty where none does."""
    file = folder / fault.file
    sound = file.read_text(encoding="utf-8")
    file.write_text(planted(sound, fault), encoding="utf-8")
    try:
        for program in fault.programs:
            build(folder, program, jobs)
            near = fault.near if program == fault.programs[0] else "*"
            for suites in dict.fromkeys((near, "*")):
                failed = [test for test in failing_tests(folder, program, suites, suites == "*" and not unsound)
                          if test not in unsound]
                if failed:
                    return program, failed
        return "", []
    finally:
        file.write_text(sound, encoding="utf-8")


def unsound_tests(folder: Path, faults: list[Fault], jobs: int) -> set[str]:
    """What fails without a fault: it would seem to notice all of them."""
    unsound: set[str] = set()
    for program in dict.fromkeys(program for fault in faults for program in fault.programs):
        build(folder, program, jobs)
        failed = failing_tests(folder, program)
        print(f"{program} without any fault: {', '.join(failed) or 'passes'}", flush=True)
        unsound |= set(failed)
    return unsound


def row(fault: Fault, program: str, failed: list[str], commit: str) -> str:
    killed = f"`{failed[0]}`" if program else failed[0] if failed else "**nothing**"
    others = f"{len(failed) - 1} more of `{program}`" if program and len(failed) > 1 else ""
    return f"| {fault.name} | {fault.what} | `{fault.file}` | {killed} | {others} | {commit} |"


def rows_of(text: str) -> dict[str, str]:
    """The rows of a page by the names of their faults."""
    found = {}
    for line in text.splitlines():
        cells = [cell.strip() for cell in line.split("|")]
        if len(cells) == 8 and cells[1] in {fault.name for fault in FAULTS}:
            found[cells[1]] = line
    return found


def page(rows: dict[str, str], unsound: set[str]) -> str:
    in_order = [rows[fault.name] for fault in FAULTS if fault.name in rows]
    killed = sum(1 for line in in_order if line.split("|")[4].strip().startswith("`"))
    text = f"""# Faults planted in the router, and the tests that kill them

Each fault is planted alone in a copy of the sources, the programs nearest to it are built and their tests run until one
fails; the suites nearest to the fault come first, and "and by" counts only what failed among those. Written by
`tools/plant_routing_faults.py`; do not edit. That every fault still finds its place in the sources is a test of its own
(`tools/plant_routing_faults_test.py`).

    tools/plant_routing_faults.py --out docs/reports/routing-faults.md

{time.strftime("%Y-%m-%d")}: {len(in_order)} faults, {killed} killed, {len(in_order) - killed} not.

"""
    if unsound:
        text += "Failing without any fault, and not counted: " + ", ".join(f"`{test}`" for test in sorted(unsound)) + ".\n\n"
    head = "| fault | what is wrong | file | killed by | and by | commit |\n|---|---|---|---|---|---|\n"
    return text + head + "\n".join(in_order) + "\n"


def copy_of_head(folder: Path) -> str:
    """Makes or takes up the copy and brings it to HEAD; the commit in short."""
    head = need(["git", "rev-parse", "HEAD"], ROOT).strip()
    if not (folder / "CMakeLists.txt").exists():
        need(["git", "worktree", "add", "--force", "--detach", folder, head], ROOT)
    need(["git", "checkout", "--force", "--detach", head], folder)
    need(["cmake", "--preset", "release"], folder)
    return head[:7]


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--list", action="store_true", help="name the faults, see that each can be planted here, and end")
    parser.add_argument("--only", nargs="+", metavar="NAME", default=[])
    parser.add_argument("--jobs", type=int, default=1)
    parser.add_argument("--out", type=Path)
    parser.add_argument("--keep", type=Path)
    arguments = parser.parse_args()
    unknown = set(arguments.only) - {fault.name for fault in FAULTS}
    if unknown:
        parser.error(f"no fault of the name {', '.join(sorted(unknown))}: see --list")
    faults = [fault for fault in FAULTS if not arguments.only or fault.name in arguments.only]
    if arguments.list:
        lost = 0
        for fault in faults:
            try:
                planted((ROOT / fault.file).read_text(encoding="utf-8"), fault)
                print(f"{fault.name:<28} {fault.what} ({fault.file})")
            except (Failure, OSError) as why:
                lost += 1
                print(f"{fault.name:<28} CANNOT BE PLANTED: {why}")
        return 1 if lost else 0
    folder = (arguments.keep or Path(tempfile.mkdtemp(prefix="omniway-faults-"))).resolve()
    page_before = arguments.out.read_text(encoding="utf-8") if arguments.out and arguments.out.exists() else ""
    rows = rows_of(page_before)
    all_killed = True
    try:
        commit = copy_of_head(folder)
        unsound = unsound_tests(folder, faults, arguments.jobs)
        for fault in faults:
            begin = time.monotonic()
            try:
                program, failed = killers(folder, fault, unsound, arguments.jobs)
            except (Failure, subprocess.TimeoutExpired) as why:
                program, failed = "", [f"not tried: {str(why).splitlines()[0]}"]
            rows[fault.name] = row(fault, program, failed, commit)
            all_killed = all_killed and bool(program)
            said = f"{len(failed)} of {program}: {failed[0]}" if program else (failed[0] if failed else "LIVES")
            print(f"{fault.name:<28} {time.monotonic() - begin:6.0f} s  {said}", flush=True)
            if arguments.out:
                arguments.out.write_text(page(rows, unsound), encoding="utf-8")
    finally:
        if not arguments.keep:
            run(["git", "worktree", "remove", "--force", folder], ROOT)
    return 0 if all_killed and not unsound else 1


if __name__ == "__main__":
    try:
        sys.exit(main())
    except Failure as why:
        print(f"plant_routing_faults: {why}", file=sys.stderr)
        sys.exit(1)
