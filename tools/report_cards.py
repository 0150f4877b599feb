#!/usr/bin/env python3
"""Sends the cards of 200 random demo flights and of all admitted pairs of the real FAA part through the independent checker of
cards, plants the faults of the tests, and writes the report.

    report_cards.py OMNIWAY CHECK_CARD DEMO_ATLAS DEMO_ROWS [OUT]

OUT is the report (default docs/reports/cards.md). The folder of real data is OMNIWAY_REAL_DATA, else ../shared/navdata beside the
checkout. Exit status 1 where the checker finds a value wrong or misses a planted fault.
"""
import concurrent.futures
import os
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
INDEPENDENT = ROOT / "tests" / "independent"
sys.path[:0] = [str(ROOT / "tools"), str(INDEPENDENT)]

from card_door import Checked, admitted, plan  # noqa: E402
from demo_region_door import DATE  # noqa: E402
from report_pairs import FARTHEST_NM, NEAREST_NM, candidates, roughly_nm, rows_of  # noqa: E402

FLIGHTS, SEED = 200, 5
PAIR_AIRCRAFT, PAIR_WIND = "single", "270/15"
TABLES = ("navaids.csv", "airports_medium_large_only.csv", "runways.csv", "airport-frequencies.csv")


def real_pairs(omniway, data: Path, folder: Path) -> tuple[Path, list[Path], int]:
    """The atlas of the real part, the plans of all its pairs that are admitted, and how many pairs there are."""
    part, tables = data / "cifp" / "faa_cifp_2101_part.txt", [data / "ourairports" / table for table in TABLES]
    atlas = folder / "pairs.atlas"
    subprocess.run([omniway, "import", part, *tables, "--out", atlas], check=True, capture_output=True)
    places = candidates(rows_of(part), tables[1])
    pairs = [(start, end) for start in places for end in places
             if start != end and NEAREST_NM <= roughly_nm(places[start], places[end]) <= FARTHEST_NM]

    def planned(pair: tuple[str, str]) -> Path | None:
        words = [*pair, "--aircraft", PAIR_AIRCRAFT, "--wind", PAIR_WIND, *DATE]
        answer = plan(omniway, atlas, words, folder, "-".join(pair))
        return answer[0] if answer else None

    with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
        return atlas, [file for file in pool.map(planned, pairs) if file], len(pairs)


def part_of(title: str, said: Checked) -> str:
    wrong = "\n".join(f"- {file}: {line}" for file, line in said.wrong)
    return (f"## {title}\n\n{said.cards} cards, {said.steps} steps, {said.values} values checked, {len(said.wrong)} wrong.\n\n"
            f"How the steps are flown:\n\n" + "\n".join(f"- {line}" for line in said.methods())
            + "\n\nNot checked, by reason:\n\n" + "\n".join(f"- {number} {what}" for what, number in said.skipped.most_common())
            + (f"\n\nWrong:\n\n{wrong}" if wrong else "\n\nNo value was found wrong.") + "\n")


def main() -> int:
    omniway, checker, atlas, rows = Path(sys.argv[1]), sys.argv[2], Path(sys.argv[3]), Path(sys.argv[4])
    out = Path(sys.argv[5]) if len(sys.argv) > 5 else ROOT / "docs" / "reports" / "cards.md"
    data = Path(os.environ.get("OMNIWAY_REAL_DATA") or ROOT / ".." / "shared" / "navdata")
    with tempfile.TemporaryDirectory() as name:
        flights, asked = admitted(omniway, atlas, Path(name), FLIGHTS, SEED)
        demo = Checked(checker, atlas, [file for file, _ in flights])
        real_atlas, files, pairs = real_pairs(omniway, data, Path(name))
        real = Checked(checker, real_atlas, files)
    script = INDEPENDENT / "planted_card_faults_test.py"
    faults = subprocess.run([sys.executable, script, omniway, checker, atlas, rows], capture_output=True, text=True, check=False)
    table = [line for line in faults.stdout.splitlines() if line.startswith("|")]
    out.write_text(f"""# Cards through the independent checker

`check_card` (tests/independent) reads a card and the atlas, computes every figure again by GeographicLib and rules of its own, and
replays the radios knob by knob; it shares no code with the program. Written by `tools/report_cards.py`; do not edit. For
simulation and training, not for real navigation.

To run it again, with the real data beside the checkout or named by `OMNIWAY_REAL_DATA`:

    ninja -C build/release omniway check_card omniway_demo_atlas
    tools/report_cards.py build/release/omniway build/release/tests/independent/check_card \\
      build/release/share/omniway/demo.atlas build/release/tools/demo_region/demo-region.txt

{part_of(f"{FLIGHTS} random flights of the demo region ({asked} asked for, seed {SEED})", demo)}
{part_of(f"All {pairs} pairs of the real part, {PAIR_AIRCRAFT}, wind {PAIR_WIND}", real)}
## Planted faults

Each is planted in every card that has a place for it; behind each check the number of cards in which it found the fault.
{"All were found." if faults.returncode == 0 else "NOT ALL WERE FOUND."}

{chr(10).join(table)}
""", encoding="utf-8")
    for title, said in (("demo", demo), ("real", real)):
        print(f"{title}: {said.cards} cards, {said.values} values, {len(said.wrong)} wrong {said.errors}")
    print(faults.stdout.splitlines()[-1] if faults.stdout else faults.stderr)
    return 1 if demo.status or real.status or faults.returncode else 0


if __name__ == "__main__":
    sys.exit(main())
