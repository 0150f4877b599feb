#!/usr/bin/env python3
"""Flights of the demo region that change their level twice, judged from their route, each through the independent checker of cards; then faults
planted in them.

    level_changes_test.py OMNIWAY CHECK_CARD ATLAS
"""
import copy
import json
import subprocess
import sys
import tempfile
from pathlib import Path

from card_door import Checked
from demo_region_door import DATE, PAIRS

# A test of fewer says little; common practice, no source.
FEWEST_FLIGHTS = 10
FEWEST_VALUES_OF_A_FLIGHT = 120
# Aircraft, wind, feet up at one fix and again at a later one.
WAYS = (("single", "270/20", 2000, -1000), ("twin", "100/15", -2000, 3000), ("single", "180/30", 1000, 1000))


def run(omniway, atlas, *words) -> dict:
    done = subprocess.run([omniway, *map(str, words), "--json", "--atlas", atlas, *DATE], capture_output=True, text=True, check=False)
    if done.returncode not in (0, 1):
        raise AssertionError(f"{words}: exit {done.returncode}: {done.stdout[:500]} {done.stderr[:500]}")
    return json.loads(done.stdout)


def with_changes(route: str, levels: list[int]) -> str | None:
    """The route with a change of level at its second fix and at its last but one."""
    words = route.split()
    # Where an NDB and a VOR of one ident follow each other a route cannot say which of them is meant.
    fixes = [i for i in range(2, len(words) - 1, 2)
             if len(words[i]) in (3, 5) and words[i].isalpha() and words.count(words[i]) == 1]
    if len(fixes) < 4:
        return None
    for i, level in zip((fixes[1], fixes[-2]), levels):
        words[i] += f"/N0110A{level // 100:03d}"
    return " ".join(words)


def as_plan(judged: dict) -> dict:
    """What the checker of cards asks of a plan."""
    return {"kind": "plan", "verdict": judged["verdict"], "findings": judged["findings"], "from": {"ident": judged["from"]},
            "to": {"ident": judged["to"]}, "date_decimal_year": judged["date_decimal_year"], "aircraft": judged["aircraft"],
            "wind": judged["wind"], "flight": {key: judged[key] for key in (
                "card", "steps", "missed_approach", "cruise_altitude_msl_ft", "approach", "level_changes")}}


# Faults, each with the check that must find it.

def level_at_another_fix(plan: dict) -> bool:
    for step in plan["flight"]["card"]["steps"]:
        if step["heights"]["level_at"]:
            step["heights"]["level_at"] = "QQQ"
            return True
    return False


def descent_taken_for_a_climb_to_a_level(plan: dict) -> bool:
    for step in plan["flight"]["card"]["steps"]:
        if step["heights"]["vertical"] == "descend" and step["to"] and step["phase"] == "en route":
            step["heights"]["level_at"] = step["to"]
            return True
    return False


def dip_not_said(plan: dict) -> bool:
    for step in plan["flight"]["card"]["steps"]:
        if step["heights"]["between_msl_ft"] is not None:
            step["heights"]["between_msl_ft"] = None
            return True
    return False


def low_all_along_an_airway(plan: dict) -> bool:
    dips = {step["number"] for step in plan["flight"]["card"]["steps"] if step["heights"]["between_msl_ft"] is not None}
    for step in plan["flight"]["steps"]:
        if step["number"] not in dips and step["via"].startswith("V") and step["minimum_msl_ft"] and step["to"] and step["from"]:
            step["lowest_msl_ft"] = step["minimum_msl_ft"] - 1500
            return True
    return False


# Along an airway with a segment of unknown minimum only the dip itself can be found.
FAULTS = ((level_at_another_fix, {"height.level_at"}), (descent_taken_for_a_climb_to_a_level, {"height.level_at"}),
          (dip_not_said, {"height.between"}), (low_all_along_an_airway, {"height.along", "height.between"}))


def main() -> int:
    omniway, checker, atlas = Path(sys.argv[1]), sys.argv[2], sys.argv[3]
    missed, files, judged_in_all = [], [], 0
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for i, (start, end) in enumerate(PAIRS):
            for aircraft, wind, first_ft, then_ft in WAYS[i % len(WAYS):][:1]:
                options = ("--aircraft", aircraft, "--wind", wind)
                planned = run(omniway, atlas, "plan", start, end, *options)
                if planned["flight"] is None or planned["verdict"] == "not flyable":
                    continue
                flight = planned["flight"]
                level = int(flight["cruise_altitude_msl_ft"])
                route = with_changes(flight["route"], [level + first_ft, level + first_ft + then_ft])
                if route is None:
                    continue
                judged = run(omniway, atlas, "judge", route, "--altitude", level, *options)
                judged_in_all += 1
                if len(judged["level_changes"]) != 2:
                    missed.append(f"{route}: changes its level {len(judged['level_changes'])} times")
                if judged["verdict"] != "not flyable":
                    files.append(folder / f"{start}-{end}-{aircraft}-{wind.replace('/', '-')}.json")
                    files[-1].write_text(json.dumps(as_plan(judged)), encoding="utf-8")
        said = Checked(checker, atlas, files)
        missed += [f"{file}: {line}" for file, line in said.wrong]
        if said.status != 0 or said.cards != len(files):
            missed.append(f"the checker: exit {said.status}, {said.cards} cards of {len(files)} {said.errors}")
        print(f"{len(files)} admitted flights of {judged_in_all} judged, {said.steps} steps, {said.values} values, {len(said.wrong)} wrong")
        if len(files) < FEWEST_FLIGHTS or (said.fewest or 0) < FEWEST_VALUES_OF_A_FLIGHT:
            missed.append(f"{len(files)} flights, one with {said.fewest} values: too few")
        known = frozenset(line for _, line in said.wrong)
        for plant, checks in FAULTS:
            planted = 0
            for file in files:
                plan = copy.deepcopy(json.loads(file.read_text(encoding="utf-8")))
                if planted == 3 or not plant(plan):
                    continue
                planted += 1
                (folder / "planted.json").write_text(json.dumps(plan), encoding="utf-8")
                found = Checked(checker, atlas, [folder / "planted.json"]).checks(known)
                if not checks & set(found):
                    missed.append(f"{plant.__name__} in {file.name}: found by {found}")
            print(f"{plant.__name__}: planted {planted} times")
            if not planted:
                missed.append(f"{plant.__name__}: no card has a place for it")
    print("\n".join(missed))
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
