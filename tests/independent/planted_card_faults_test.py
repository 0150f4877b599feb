#!/usr/bin/env python3
"""Plants one fault at a time in cards that are otherwise good and sees the independent checker find each by the check that must.

    planted_card_faults_test.py OMNIWAY CHECK_CARD ATLAS DEMO_ROWS

Prints the table of faults and what found them. Where the real part lies beside the checkout, its cards are tried as well.
"""
import collections
import json
import os
import subprocess
import sys
import tempfile
from pathlib import Path

from card_door import Checked, equipment, plan
from card_faults import FAULTS, Case, NotHere
from demo_region_door import DATE, import_rows
from real_data_door import ROOT

# So chosen that every fault has a card it can be planted in: ILS by an arc, beacons by each kind of ADF, a back course and
# localizers flown outbound with a CDI and with an HSI, crossing radials, a jet high above its DMEs.
DEMO = (
    ("XDOV", "XMRA", "single", "270/20"), ("XMRA", "XDOV", "single", "100/15"), ("XNOR", "XDOV", "single", "270/15"),
    ("XMRA", "XNOR", "single", "270/15"), ("XPIR", "XSUL", "single", "270/15"), ("XMRA", "XKEL", "trainer", "270/15"),
    ("XKEL", "XMRA", "trainer", "180/10"), ("XDOV", "XNOR", "twin", "300/20"), ("XMRA", "XDOV", "jet", "270/30"),
    ("XDOV", "XMRA", "jet", "090/20"), ("XURL", "XMRA", "single", "070/12"), ("XMRA", "XORR", "single", "250/15"), ("XMRA", "XICO", "twin", "270/20"),
    ("XMRA", "XALD", "twin", "270/00", "--altitude", "16000"),
)
REAL = (("KBOS", "KJFK", "single", "270/15"), ("KALB", "KBOS", "trainer", "000/00"))
BIAS_NM = 0.4


def with_biased_dmes(rows: Path, out: Path) -> None:
    """The same country, the DME of each ILS set to read 0.4 NM less (columns 86-87: tenths)."""
    changed = []
    for row in rows.read_text(encoding="latin-1").splitlines():
        if row[4:6] == "D " and row[27:29] == " I":
            row = row[:85] + f"{round(BIAS_NM * 10):02d}" + row[87:]
        changed.append(row)
    out.write_text("\n".join(changed) + "\n", encoding="latin-1")


# Each fault is planted in the first so many cards that have a place for it.
CARDS_PER_FAULT = 3


def main() -> int:
    omniway, checker, atlas, rows = Path(sys.argv[1]), sys.argv[2], Path(sys.argv[3]), Path(sys.argv[4])
    missed, found_by, planted_in = [], collections.defaultdict(collections.Counter), collections.Counter()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        with_biased_dmes(rows, folder / "biased.txt")
        import_rows(omniway, folder / "biased.txt", folder / "biased.atlas")
        questions = [(atlas, question, DATE) for question in DEMO] + [(folder / "biased.atlas", DEMO[0], DATE)]
        part = Path(os.environ.get("OMNIWAY_REAL_DATA") or ROOT / ".." / "shared" / "navdata") / "cifp" / "faa_cifp_2101_part.txt"
        if part.is_file():
            subprocess.run([omniway, "import", part, "--out", folder / "real.atlas"], check=True, capture_output=True)
            questions += [(folder / "real.atlas", question, DATE) for question in REAL]
        else:
            print("the cards of the real part are NOT CHECKED: it is not beside the checkout")
        cases = []
        for number, (world, (start, end, aircraft, wind, *more), date) in enumerate(questions):
            words = [start, end, "--aircraft", aircraft, "--wind", wind, *more, *date]
            answer = plan(omniway, world, words, folder, f"good-{number}")
            if answer is None:
                print(f"{start} {end} {aircraft} {wind}: not admitted, no card of it")
                continue
            file, good = answer
            said = Checked(checker, world, [file])
            print(f"{start} {end} {aircraft} {wind}: {said.values} values in {said.steps} steps, {len(said.wrong)} wrong")
            if said.status == 2:
                missed.append(f"the good card {start} {end} {aircraft} cannot be checked: {said.errors}")
                continue
            if said.wrong:
                # It fails the test; faults are planted in it all the same, and judged by the lines that were not there before.
                missed += [f"the good card {start} {end} {aircraft}: {line}" for _, line in said.wrong]
            known = frozenset(line for _, line in said.wrong)
            cases.append((f"{start} {end} {aircraft}", world, good, equipment(aircraft), known))
        for fault, checks in FAULTS:
            for title, world, good, aboard, known in cases:
                if planted_in[fault.__name__] == CARDS_PER_FAULT:
                    break
                case = Case(title, good, world, aboard)
                try:
                    fault(case)
                except NotHere:
                    continue
                planted_in[fault.__name__] += 1
                file = folder / "planted.json"
                file.write_text(json.dumps(case.plan), encoding="utf-8")
                said = Checked(checker, world, [file])
                by = [check for check in said.checks(known) if check in checks]
                for check in by:
                    found_by[fault.__name__][check] += 1
                if said.status != 1 or not by:
                    missed.append(f"{fault.__name__} in {title}: exit {said.status}, found by {said.checks(known)} {said.errors}")
            if not planted_in[fault.__name__]:
                missed.append(f"{fault.__name__}: no card has a place for it")
    print("\n| fault planted | cards | found by |\n|---|---|---|")
    for fault, _ in FAULTS:
        by = ", ".join(f"`{check}` {number}" for check, number in found_by[fault.__name__].most_common())
        print(f"| {fault.__name__.replace('_', ' ')} | {planted_in[fault.__name__]} | {by or 'NOTHING'} |")
    total = sum(planted_in.values())
    print("\n" + ("\n".join(missed) if missed else f"{len(FAULTS)} faults planted {total} times in {len(cases)} cards, all found"))
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
