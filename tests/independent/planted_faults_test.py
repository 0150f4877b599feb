#!/usr/bin/env python3
"""Changes one value of a good plan at a time and sees the independent checker find each.

    planted_faults_test.py OMNIWAY CHECK_PLAN
"""
import copy
import json
import subprocess
import sys
import tempfile
from pathlib import Path

from real_data_door import real_data_folder


def steps_with(plan: dict, wanted) -> dict:
    for step in plan["flight"]["steps"] + plan["flight"]["missed_approach"]:
        if wanted(step):
            return step
    raise AssertionError("the good plan has no step to plant this fault in")


def radial(step: dict) -> bool:
    return step["guidance"]["kind"] == "radial" and step["distance_nm"] > 10


def told_by_dme(step: dict) -> bool:
    return step["end"].get("told_by", {}).get("kind") == "dme"


def airway(step: dict) -> bool:
    return step["via"].startswith("V") and step["minimum_msl_ft"] is not None and step["from"] and step["to"]


def turn_radial(plan: dict) -> None:
    guidance = steps_with(plan, radial)["guidance"]
    guidance["course_to_set_deg"] = (guidance["course_to_set_deg"] + 3) % 360
    guidance["radial_deg"] = (guidance["radial_deg"] + 3) % 360


def swap_to_and_from(plan: dict) -> None:
    guidance = steps_with(plan, radial)["guidance"]
    guidance["direction"] = "from" if guidance["direction"] == "to" else "to"


def swap_to_and_from_and_course(plan: dict) -> None:
    swap_to_and_from(plan)
    guidance = steps_with(plan, radial)["guidance"]
    guidance["course_to_set_deg"] = (guidance["course_to_set_deg"] + 180) % 360


def retune(plan: dict) -> None:
    steps_with(plan, radial)["guidance"]["station"]["frequency_mhz"] += 0.1


def turn_the_declination_round(plan: dict) -> None:
    """A declination taken west for east: the radial is wrong by twice its size (13 W at MAD)."""
    guidance = steps_with(plan, radial)["guidance"]
    for key in ("course_to_set_deg", "radial_deg"):
        guidance[key] = (guidance[key] - 26) % 360


def turn_the_variation_round(plan: dict) -> None:
    step = steps_with(plan, radial)
    variation = step["variation_east_deg"]
    step["variation_east_deg"] = -variation
    step["course_magnetic_deg"] = (step["course_magnetic_deg"] + 2 * variation) % 360
    step["heading_magnetic_deg"] = (step["heading_magnetic_deg"] + 2 * variation) % 360


def ground_for_slant(plan: dict) -> None:
    step = steps_with(plan, lambda s: told_by_dme(s) and s["altitude_msl_ft"] >= 7000 and radial(s))
    step["end"]["told_by"]["slant_range_nm"] = step["distance_nm"]


def key_another_letter(plan: dict) -> None:
    station = steps_with(plan, radial)["guidance"]["station"]
    station["morse"] = station["morse"][:-1] + ("-" if station["morse"].endswith(".") else ".")


def lengthen(plan: dict) -> None:
    steps_with(plan, radial)["distance_nm"] += 0.1


def below_the_minimum(plan: dict) -> None:
    step = steps_with(plan, airway)
    step["altitude_msl_ft"] = step["minimum_msl_ft"] - 500
    step["minimum_msl_ft"] = step["altitude_msl_ft"]  # the printed minimum hides it: the row does not


def begin_below_the_minimum(plan: dict) -> None:
    """The step before an airway ends too low: the climb would go on along it."""
    steps = plan["flight"]["steps"]
    for before, step in zip(steps, steps[1:]):
        if airway(step) and before["minimum_msl_ft"] is None or airway(step) and before["minimum_msl_ft"] < step["minimum_msl_ft"] - 200:
            before["altitude_msl_ft"] = step["minimum_msl_ft"] - 100
            return
    raise AssertionError("the good plan has no step to plant this fault in")


def dip_below_the_minimum(plan: dict) -> None:
    step = steps_with(plan, airway)
    step["lowest_msl_ft"] = step["minimum_msl_ft"] - 500


def level_that_no_fix_begins(plan: dict) -> None:
    level = plan["flight"]["cruise_altitude_msl_ft"]
    plan["flight"]["level_changes"].append({"at": "QQQ", "from_msl_ft": level, "to_msl_ft": level - 1000, "fix_from_start_nm": 40,
                                            "begins_from_start_nm": 40, "ends_from_start_nm": 42})


def other_airway(plan: dict) -> None:
    steps_with(plan, airway)["via"] = "V16"


def move_fix(plan: dict) -> None:
    step = steps_with(plan, lambda s: s["end"].get("kind") == "fix" and told_by_dme(s))
    for place in (step["end"]["place"], step["finish"]):
        place["latitude_deg"] += 0.001


def move_station(plan: dict) -> None:
    steps_with(plan, radial)["guidance"]["station"]["site"]["longitude_deg"] += 0.2


def rename_station(plan: dict) -> None:
    steps_with(plan, radial)["guidance"]["station"]["ident"] = "QQX"


def turn_localizer(plan: dict) -> None:
    steps_with(plan, lambda s: s["guidance"]["kind"] == "localizer")["guidance"]["course_to_set_deg"] += 1


def take_heading_for_course(plan: dict) -> None:
    step = steps_with(plan, lambda s: radial(s) and abs(s["heading_magnetic_deg"] - s["course_magnetic_deg"]) > 2)
    step["heading_magnetic_deg"] = step["course_magnetic_deg"]


def forget_the_wind(plan: dict) -> None:
    step = steps_with(plan, lambda s: radial(s) and abs(s["groundspeed_kt"] - s["true_airspeed_kt"]) > 3)
    step["groundspeed_kt"] = step["true_airspeed_kt"]


def shorten_time(plan: dict) -> None:
    steps_with(plan, radial)["time_min"] *= 0.9


def shorten_total(plan: dict) -> None:
    plan["flight"]["distance_nm"] -= 1


# The fault, and a word of the line that must name it.
FAULTS = (
    (turn_radial, "radial"), (swap_to_and_from, "flown"), (swap_to_and_from_and_course, "flown"), (retune, "frequency"),
    (turn_the_declination_round, "radial"), (turn_the_variation_round, "variation"), (ground_for_slant, "slant range"),
    (key_another_letter, "morse"), (lengthen, "distance"), (below_the_minimum, "minimum"), (begin_below_the_minimum, "minimum"),
    (dip_below_the_minimum, "on the way"), (level_that_no_fix_begins, "no step ends"), (other_airway, "V16"),
    (move_fix, "from its row"), (move_station, "from its row"), (rename_station, "no row"),
    (turn_localizer, "localizer course"), (take_heading_for_course, "magnetic heading"), (forget_the_wind, "groundspeed"),
    (shorten_time, "time"), (shorten_total, "totals: distance"),
)


def main() -> int:
    omniway, checker = sys.argv[1:3]
    part = real_data_folder() / "cifp" / "faa_cifp_2101_part.txt"
    with tempfile.TemporaryDirectory() as folder:
        atlas, file = Path(folder) / "part.atlas", Path(folder) / "plan.json"
        subprocess.run([omniway, "import", part, "--out", atlas], check=True, capture_output=True)
        planned = subprocess.run(
            [omniway, "plan", "KBOS", "KJFK", "--wind", "270/15", "--atlas", atlas, "--json"],
            capture_output=True, text=True, check=False,
        )
        good = json.loads(planned.stdout)

        def check(plan: dict) -> tuple[int, str]:
            file.write_text(json.dumps(plan), encoding="utf-8")
            done = subprocess.run([checker, "--arinc", part, file], capture_output=True, text=True, check=False)
            return done.returncode, done.stdout + done.stderr

        status, said = check(good)
        print(said.strip())
        missed = [] if status == 0 else ["the plan is found wrong before any fault is planted"]
        for plant, word in FAULTS:
            plan = copy.deepcopy(good)
            plant(plan)
            status, said = check(plan)
            found = [line for line in said.splitlines() if line.startswith("WRONG") and word in line]
            print(f"{plant.__name__}: {found[0] if found else 'NOT FOUND'}")
            if status != 1 or not found:
                missed.append(f"{plant.__name__}: exit {status}, said:\n{said}")
    print("\n".join(missed) if missed else f"{len(FAULTS)} faults planted, all found")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
