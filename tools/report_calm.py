#!/usr/bin/env python3
"""Flies admitted flights by needle in calm air with perfect instruments, of the demo region, of varied worlds and of the real FAA part, and
writes the report.

    report_calm.py OMNIWAY FLY_CALM OUT

OMNIWAY and FLY_CALM are the two programs of a build, OUT the report. The folder of real data is
OMNIWAY_REAL_DATA, else ../shared/navdata beside the checkout. Exit status 1 where a flight does not arrive.
"""
import concurrent.futures
import os
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
TABLES = ("navaids.csv", "airports_medium_large_only.csv", "runways.csv", "airport-frequencies.csv")
DEMO = (("270/20", "single"), ("000/00", "twin"), ("090/15", "single"), ("180/25", "jet"), ("330/10", "trainer"))
VARIED = ("200", "1")
REAL = (("270/20", "single"), ("000/00", "twin"))


def main() -> int:
    omniway, fly_calm = Path(sys.argv[1]), sys.argv[2]
    out = Path(sys.argv[3])
    data = Path(os.environ.get("OMNIWAY_REAL_DATA") or ROOT / ".." / "shared" / "navdata")
    share = omniway.parent / "share" / "omniway"
    with tempfile.TemporaryDirectory() as folder:
        real = Path(folder) / "real.atlas"
        files = [data / "cifp" / "faa_cifp_2101_part.txt", *(data / "ourairports" / table for table in TABLES)]
        subprocess.run([omniway, "import", *files, "--out", real], check=True, capture_output=True)
        demo = share / "demo.atlas"
        asked = [("Demo region, all pairs", demo, (*how, "all")) for how in DEMO]
        asked.append(("Varied demo worlds", demo, ("varied", *VARIED)))
        asked += [("Real part, pairs of airports with an approach, 40 to 250 NM", real, (*how, "procedures")) for how in REAL]

        def flown(job: tuple) -> subprocess.CompletedProcess:
            return subprocess.run([fly_calm, job[1], share, *job[2]], capture_output=True, text=True, check=False)

        with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
            done = list(pool.map(flown, asked))
    rows, failures = [], []
    for (what, _, words), result in zip(asked, done):
        lines = result.stdout.strip().splitlines()
        if result.returncode not in (0, 1) or not lines or " admitted flights arrive, " not in lines[-1]:
            sys.exit(f"{what} {words}: exit {result.returncode}: {result.stdout}{result.stderr}")
        count = lines[-1].split()
        rows.append(f"| {what} | {' '.join(words)} | {count[13]} | {count[2]} | {count[0]} | {count[6]} of {count[8]} |")
        failures += [f"- {line}" for line in lines[:-1]]
    out.write_text(f"""# Calm air, perfect instruments

Every flight that the planner admits is flown once by needle alone, in the wind of the forecast and without any error; each that does not arrive
is a fault of the planner or of the rehearsal. Written by `tools/report_calm.py`; do not edit. For simulation and training, not for real
navigation.

To run it again, with the real data beside the checkout or named by `OMNIWAY_REAL_DATA`:

    ninja -C build/release omniway fly_calm omniway_demo_atlas
    tools/report_calm.py build/release/omniway build/release/tests/rehearsed/fly_calm OUT

`varied N SEED` draws N admitted flights: pair, aircraft (single, twin, trainer, jet) and wind (up to 30 kt) at random, in a world where of the
stations that are no localizers a tenth is out of service, a tenth has another frequency and a twentieth stands up to 3 NM elsewhere.

| flights | how | asked | admitted | arrived | flew their missed approach |
|---|---|---|---|---|---|
{chr(10).join(rows)}

{"What did not arrive:" if failures else "Every admitted flight arrived."}

{chr(10).join(failures)}
""".rstrip() + "\n", encoding="utf-8")
    print("\n".join(rows + failures))
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
