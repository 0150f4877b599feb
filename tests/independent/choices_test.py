#!/usr/bin/env python3
"""The choices of `omniway plan -n 4`: each through the independent checker of cards, and held to what is said of it.

    choices_test.py OMNIWAY CHECK_CARD ATLAS     on the demo region
    choices_test.py OMNIWAY CHECK_CARD real      on pairs of the real part; skipped (77) where it is absent

Of each choice: it is admitted, its costs and way are those it was offered with, no other dominates it, it flies less than 70 % of its
distance where another offered to the same approach flies too, and each figure of its sentence of difference is true of the two plans.
"""
import concurrent.futures
import json
import math
import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path

from card_door import Checked, plan
from demo_region_door import DATE
from real_data_door import real_data_folder

DEMO = [("XDOV", "XMRA", "single", "270/20"), ("XMRA", "XPIR", "twin", "270/20"), ("XSUL", "XDOV", "single", "000/00"),
        ("XICO", "XURL", "single", "100/08"), ("XDOV", "XNOR", "single", "000/00"), ("XMRA", "XICO", "twin", "300/15")]
REAL = [("KSEA", "KPDX", "twin", "180/10"), ("PANC", "PAFA", "twin", "000/00"), ("KBOS", "KALB", "twin", "270/15"),
        ("KALB", "KJFK", "twin", "300/10"), ("KDEN", "KRKS", "twin", "270/10"), ("KSFO", "KSMF", "single", "300/10")]
MOST = 4
# So few would be no test of choices.
FEWEST_CHOICES = {"demo": 10, "real": 4}
FEWEST_VALUES_OF_A_FLIGHT = 100

MOST_SHARED = 0.7
# The share is reckoned here by points a quarter of a mile apart, there by points 2 NM apart: where two ways part each may be off by 2 NM.
SHARED_TOLERANCE_NM = 4.0


def vector(place: dict) -> tuple[float, float, float]:
    latitude, longitude = (math.radians(place[name]) for name in ("latitude_deg", "longitude_deg"))
    return (math.cos(latitude) * math.cos(longitude), math.cos(latitude) * math.sin(longitude), math.sin(latitude))


def lines(flight: dict) -> list:
    """The steps before the approach that lead somewhere: start, finish, track and miles."""
    return [(vector(step["start"]), vector(step["finish"]), step["track_true_deg"], step["distance_nm"]) for step in flight["steps"]
            if step["phase"] not in ("approach", "missed approach") and step["via"] != "climb overhead"
            and step["guidance"]["kind"] != "arc" and step["distance_nm"] > 0.1]


def apart_nm(a, b) -> float:
    return math.dist(a, b) * 3440.07  # chords of some miles


def shared_nm(flight: dict, other: dict) -> tuple[float, float]:
    """How many of its miles are flown by the other too, within 2 NM, tracks within 30 degrees; and how many there are."""
    shared = whole = 0.0
    marks = []
    for start, finish, track, miles in lines(other):
        parts = max(1, round(miles * 4))
        marks += [([a + (b - a) * (i + 0.5) / parts for a, b in zip(start, finish)], track) for i in range(parts)]
    for start, finish, track, miles in lines(flight):
        parts = max(1, round(miles))
        for i in range(parts):
            here = [a + (b - a) * (i + 0.5) / parts for a, b in zip(start, finish)]
            whole += miles / parts
            near = any(abs((track - other_track + 180) % 360 - 180) <= 30 and apart_nm(here, place) <= 2.0 for place, other_track in marks)
            shared += miles / parts if near else 0.0
    return shared, whole


def retunes(flight: dict) -> int:
    return sum(work["kind"] == "tune" for step in flight["card"]["steps"] for work in step["work"])


def off_airways(flight: dict) -> float:
    return sum(step["distance_nm"] for step in flight["steps"] if step["via"] in ("direct", "own departure"))


def figure(sentence: str, pattern: str, more: str, fewer: str) -> float:
    """The figure of a part of the sentence, negative where it says fewer; 0 where it is not said."""
    found = re.search(pattern, sentence)
    return 0.0 if not found else float(found[1]) * {more: 1, fewer: -1}[found[2]]


def said_wrong(first: dict, other: dict) -> list[str]:
    """What the difference says that is not true of the two plans; of the first by its costs, of the other as offered."""
    sentence, faults = other["difference"], []
    mine, theirs = other["plan"]["flight"], first["flight"]

    def check(what: str, told: float, true: float, tolerance: float):
        if abs(told - true) > tolerance:
            faults.append(f"{what}: {told:g} is said, {true:.2f} is true")

    costs, before = other["costs"], first["costs"]
    check("minutes", figure(sentence, r"(\d+) min (longer|shorter)", "longer", "shorter"), costs["time_min"] - before["time_min"], 0.51)
    check("points", figure(sentence, r"(\d+) points? (more|less) work", "more", "less"), costs["work_points"] - before["work_points"], 0.51)
    check("retunes", figure(sentence, r"(\d+) (more|fewer) retune", "more", "fewer"), retunes(mine) - retunes(theirs), 0.0)
    miles = off_airways(mine) - off_airways(theirs)
    told = figure(sentence, r"(\d+) NM (more|less) off the airways", "more", "less")
    check("miles off the airways", told, miles, 1.0 if told else 6.0)
    left = re.search(r"of the margin (\d+) % .*left where it is tightest instead of (\d+) %", sentence)
    for text, share in zip(left.groups() if left else (), (costs["margin_share"], before["margin_share"])):
        check("margin", float(text), share * 100, 0.51)
    if not left:
        check("margin", 0.0, (costs["margin_share"] - before["margin_share"]) * 100, 2.0)
    if mine["approach"] != theirs["approach"] and f"{mine['approach']}" not in sentence:
        faults.append(f"the approach {mine['approach']} is not named")
    level = f"at {mine['cruise_altitude_msl_ft']:.0f} ft"
    if mine["cruise_altitude_msl_ft"] != theirs["cruise_altitude_msl_ft"] and level not in sentence:
        faults.append(f"the level is not named: {level}")
    return faults


def dominates(a: dict, b: dict) -> bool:
    as_good = a["time_min"] <= b["time_min"] and a["work_points"] <= b["work_points"] and a["margin_share"] >= b["margin_share"]
    return as_good and a != b


def main() -> int:
    omniway, checker, where = Path(sys.argv[1]), sys.argv[2], sys.argv[3]
    faults, compared, highest = [], 0, 0.0
    with tempfile.TemporaryDirectory() as name:
        folder, atlas = Path(name), Path(where)
        if where == "real":
            data, atlas = real_data_folder(), folder / "real.atlas"
            tables = [data / "ourairports" / f"{table}.csv" for table in ("navaids", "airports_medium_large_only", "runways")]
            subprocess.run([omniway, "import", data / "cifp" / "faa_cifp_2101_part.txt", *tables, "--out", atlas], check=True,
                           capture_output=True)
        pool = concurrent.futures.ThreadPoolExecutor(os.cpu_count())

        def asked(pair, *more):
            start, end, aircraft, wind = pair
            words = [start, end, "--aircraft", aircraft, "--wind", wind, *DATE, "-n", MOST, *more]
            return plan(omniway, atlas, words, folder, "-".join(map(str, [start, end, aircraft, *more])))

        def with_choices(pair):
            found = asked(pair)
            if not found:
                return None
            flights = [{"file": found[0], "plan": found[1]}]
            for number, other in enumerate(found[1]["others"], 2):
                chosen = asked(pair, "--choose", number)
                if not chosen:
                    faults.append(f"{pair} choice {number} is offered and not admitted")
                    continue
                flights.append({"file": chosen[0], "plan": chosen[1], **other})
            return pair, flights

        answers = [each for each in pool.map(with_choices, REAL if where == "real" else DEMO) if each]
        files = [flight["file"] for _, flights in answers for flight in flights]
        checked = Checked(checker, atlas, files)
    for pair, flights in answers:
        first = flights[0]["plan"]
        for number, other in enumerate(flights[1:], 2):
            says = f"{' '.join(pair)} choice {number}"
            flight = other["plan"]["flight"]
            if (flight["route"], flight["approach"], other["plan"]["costs"]) != (other["route"], other["approach"], other["costs"]):
                faults.append(f"{says}: chosen it is another one than offered")
            faults += [f"{says}: {text} ({other['difference']})" for text in said_wrong(first, other)]
            for before in flights[:number - 1]:
                if dominates(before["plan"]["costs"], other["costs"]):
                    faults.append(f"{says} is dominated by another offered")
                if before["plan"]["flight"]["approach"] == flight["approach"]:
                    shared, whole = shared_nm(flight, before["plan"]["flight"])
                    compared, highest = compared + 1, max(highest, shared / whole)
                    if shared - SHARED_TOLERANCE_NM >= MOST_SHARED * whole:
                        faults.append(f"{says} flies {shared / whole:.0%} where an earlier one flies too: {flight['route']}")
    choices = sum(len(flights) - 1 for _, flights in answers)
    print(f"{len(answers)} pairs, {choices} choices, {checked.cards} cards, {checked.values} values, {len(checked.wrong)} wrong; "
          f"{compared} comparisons of ways to one approach, {highest:.0%} shared at most")
    faults += [f"{file}: {line}" for file, line in checked.wrong]
    faults += [text for found, text in (
        (checked.status != 0, f"the checker found faults (exit {checked.status}) {checked.errors}"),
        (checked.cards != len(files), "not every flight was checked"),
        ((checked.fewest or 0) < FEWEST_VALUES_OF_A_FLIGHT, f"a flight with {checked.fewest} values only"),
        (choices < FEWEST_CHOICES["real" if where == "real" else "demo"], f"{choices} choices are too few"),
    ) if found]
    print("\n".join(faults))
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
