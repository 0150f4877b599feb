#!/usr/bin/env python3
"""Plans between all ordered pairs of the demo's airports with all shipped aircraft, through the independent checker.

    demo_pairs_test.py OMNIWAY CHECK_PLAN DEMO_ROWS WIND odd|even

The trainer, which finds no way for most and is the slowest to be refused, asks every other pair: of two winds one the odd, one the even.
"""
import collections
import json
import re
import subprocess
import sys
import tempfile
from pathlib import Path

from demo_region_door import AIRCRAFT, PAIRS, import_rows, plans

# Found 292 flights and 84,741 values in the two winds of this test; a checker that skips most of a plan must not pass.
FEWEST_FLIGHTS = 120
FEWEST_VALUES = 30_000
FEWEST_VALUES_OF_A_FLIGHT = 60


def main() -> int:
    omniway, checker, rows, wind = Path(sys.argv[1]), sys.argv[2], Path(sys.argv[3]), sys.argv[4]
    with tempfile.TemporaryDirectory() as folder:
        atlas = Path(folder) / "demo.atlas"
        import_rows(omniway, rows, atlas)
        questions = [(start, end, aircraft) for number, (start, end) in enumerate(PAIRS) for aircraft in AIRCRAFT
                     if aircraft != "trainer" or number % 2 == ("even", "odd").index(sys.argv[5])]
        answers = plans(omniway, [(atlas, (start, end, "--aircraft", aircraft, "--wind", wind))
                                  for start, end, aircraft in questions])
        files, verdicts = [], collections.Counter()
        for question, answer in zip(questions, answers):
            verdicts[question[2], answer["verdict"]] += 1
            if answer["flight"] is None and answer["verdict"] != "not flyable":
                raise AssertionError(f"{question}: {answer['verdict']}, and no flight")
            # One that is not flyable may show what comes nearest to it, with what blocks it.
            blocked = any(finding["grade"] == "blocks" for finding in answer["findings"])
            if blocked != (answer["verdict"] == "not flyable"):
                raise AssertionError(f"{question}: {answer['verdict']}, and what blocks against it")
            if answer["flight"] is not None and not blocked:
                files.append(Path(folder) / ("-".join(question) + ".json"))
                files[-1].write_text(json.dumps(answer), encoding="utf-8")
        done = subprocess.run([checker, "--arinc", rows, "--plans", *files], capture_output=True, text=True, check=False)
    for (aircraft, verdict), number in sorted(verdicts.items()):
        print(f"{aircraft}: {number} {verdict}")
    said = [line for line in done.stdout.splitlines() if line.startswith(("WRONG", "plan "))]
    wrong = [line for line in said if line.startswith("WRONG")]
    for before, line in zip(said, said[1:]):
        if line in wrong:
            print(f"{Path(before).name if before.startswith('plan ') else ' ' * 20} {line}")
    checked = [int(number) for number in re.findall(r"checked (\d+) values", done.stdout)]
    print(f"{len(PAIRS)} pairs in wind {wind}: {len(checked)} flights, {sum(checked)} values checked, {len(wrong)} wrong")
    faults = [
        (done.returncode != 0 or wrong, f"the checker found faults (exit {done.returncode}) {done.stderr}"),
        (len(checked) != len(files), "not every flight was checked"),
        (len(checked) < FEWEST_FLIGHTS, f"fewer than {FEWEST_FLIGHTS} flights"),
        (sum(checked) < FEWEST_VALUES, f"fewer than {FEWEST_VALUES} values"),
        (min(checked, default=0) < FEWEST_VALUES_OF_A_FLIGHT, f"a flight with {min(checked, default=0)} values only"),
    ]
    faults = [text for found, text in faults if found]
    print("\n".join(faults))
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
