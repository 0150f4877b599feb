#!/usr/bin/env python3
"""Plans every pair of airports of the real FAA part that can be planned, checks each plan from the raw rows, writes the report.

    report_pairs.py OMNIWAY CHECK_PLAN [OUT]

OMNIWAY and CHECK_PLAN are the two programs of a build, OUT the report (default docs/reports/real-pairs.md). The folder of
real data is OMNIWAY_REAL_DATA, else ../shared/navdata beside the checkout. Exit status 1 where the checker finds a value wrong.
"""
import collections
import concurrent.futures
import csv
import json
import math
import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
TABLES = ("navaids.csv", "airports_medium_large_only.csv", "runways.csv", "airport-frequencies.csv")
AIRCRAFT = ("single", "trainer")
WINDS = ("270/15", "000/00")
NEAREST_NM, FARTHEST_NM = 40.0, 250.0
# ARINC 424-18 5.7: the route types of approaches that need no area navigation.
CONVENTIONAL = set("BDILNQSTUVX")


def angle(text: str) -> float:
    degrees = 2 if text[0] in "NS" else 3
    value = int(text[1 : 1 + degrees]) + int(text[1 + degrees : 3 + degrees]) / 60 + int(text[3 + degrees :]) / 360000
    return -value if text[0] in "SW" else value


def rows_of(file: Path) -> list[str]:
    return [row for row in file.read_text(encoding="latin-1").splitlines() if row[:1] == "S"]


def candidates(rows: list[str], airports: Path) -> dict[str, tuple[float, float]]:
    """Airports with a coded conventional approach, and where they stand by either source."""
    with_approach = {row[6:10].strip() for row in rows if row[4] == "P" and row[12] == "F" and row[19] in CONVENTIONAL}
    places = {}
    with airports.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            for ident in (row["ident"], row["gps_code"]):
                places[ident] = (float(row["latitude_deg"]), float(row["longitude_deg"]))
    for row in rows:
        if row[4] == "P" and row[12] == "A" and row[32] in "NS":
            places[row[6:10].strip()] = (angle(row[32:41]), angle(row[41:51]))
    return {ident: places[ident] for ident in sorted(with_approach) if ident in places}


def is_conventional(approach: dict) -> bool:
    return not approach["name"].startswith(("RNAV", "GPS", "RNP", "GLS"))


def roughly_nm(a: tuple[float, float], b: tuple[float, float]) -> float:
    """Great circle on a sphere: only for choosing the pairs."""
    (p, q), (r, s) = ([math.radians(x) for x in place] for place in (a, b))
    haversine = math.sin((r - p) / 2) ** 2 + math.cos(p) * math.cos(r) * math.sin((s - q) / 2) ** 2
    return 2 * 3440.065 * math.asin(math.sqrt(haversine))


class Programs:
    def __init__(self, omniway: str, checker: str, data: Path, folder: str):
        self.omniway, self.checker = omniway, checker
        self.part = data / "cifp" / "faa_cifp_2101_part.txt"
        self.tables = [data / "ourairports" / table for table in TABLES]
        self.folder = Path(folder)
        self.atlas = self.folder / "pairs.atlas"

    def bring_in(self) -> None:
        subprocess.run(
            [self.omniway, "import", self.part, *self.tables, "--out", self.atlas], check=True, capture_output=True
        )

    def plan(self, start: str, end: str, *options: str) -> dict:
        done = subprocess.run(
            [self.omniway, "plan", start, end, *options, "--atlas", self.atlas, "--json"],
            capture_output=True, text=True, check=False,
        )
        try:
            return json.loads(done.stdout)
        except json.JSONDecodeError:
            sys.exit(f"{start} to {end} {options}: exit {done.returncode}, no JSON: {done.stderr.strip()}")

    def check(self, plan: dict) -> list[str]:
        handle, file = tempfile.mkstemp(suffix=".json", dir=self.folder)
        with os.fdopen(handle, "w", encoding="utf-8") as stream:
            json.dump(plan, stream)
        done = subprocess.run(
            [self.checker, "--arinc", self.part, "--navaids", self.tables[0], file],
            capture_output=True, text=True, check=False,
        )
        return (done.stdout + done.stderr).strip().splitlines()


def has_whole_approach(plan: dict) -> bool:
    return any(approach["flyable"] for approach in plan.get("approaches", []))


def blocking(plan: dict) -> str:
    if plan["kind"] == "errors":
        return "; ".join(f"{error['message']} [{error['code']}]" for error in plan["errors"])
    blocks = [f"{f['about']}: {f['text']}" for f in plan["findings"] if f["grade"] == "blocks"]
    more = f" (and {len(blocks) - 1} more)" if len(blocks) > 1 else ""
    return (blocks[0] if blocks else "no reason given") + more


def main() -> int:
    omniway, checker = sys.argv[1:3]
    out = Path(sys.argv[3]) if len(sys.argv) > 3 else ROOT / "docs" / "reports" / "real-pairs.md"
    data = Path(os.environ.get("OMNIWAY_REAL_DATA") or ROOT / ".." / "shared" / "navdata")
    with tempfile.TemporaryDirectory() as folder:
        programs = Programs(omniway, checker, data, folder)
        programs.bring_in()
        places = candidates(rows_of(programs.part), programs.tables[1])
        near = {
            end: [s for s in places if NEAREST_NM <= roughly_nm(places[s], places[end]) <= FARTHEST_NM] for end in places
        }
        # Whether an approach can be flown from end to end is asked of the program: calm, with the best equipped of the
        # shipped aircraft for such runways, from any start in reach.
        whole, none = set(), []
        with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
            in_reach = [end for end in sorted(places) if near[end]]
            calm = ("--aircraft", "single", "--wind", "000/00")
            for end, plan in zip(in_reach, pool.map(lambda end: programs.plan(near[end][0], end, *calm), in_reach)):
                if has_whole_approach(plan):
                    whole.add(end)
                else:
                    tried = [a["why_not"] for a in plan.get("approaches", []) if is_conventional(a)]
                    commonest = collections.Counter(tried).most_common(1)
                    none.append(f"| {end} | {len(tried)} | {commonest[0][0] if commonest else blocking(plan)} |")
        pairs = sorted((s, e) for e in whole for s in near[e] if s in whole)
        jobs = [(s, e, aircraft, wind) for s, e in pairs for wind in WINDS for aircraft in AIRCRAFT]

        def planned(job: tuple) -> tuple[dict, list[str]]:
            start, end, aircraft, wind = job
            plan = programs.plan(start, end, "--aircraft", aircraft, "--wind", wind)
            return plan, programs.check(plan) if plan.get("flight") and plan["verdict"] != "not flyable" else []

        lines, verdicts, reasons, wrong, values, steps = [], collections.Counter(), collections.Counter(), [], 0, 0
        with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
            for (start, end, aircraft, wind), (plan, said) in zip(jobs, pool.map(planned, jobs)):
                verdict, flight = plan.get("verdict", "error"), plan.get("flight")
                verdicts[(aircraft, wind, verdict)] += 1
                if flight and verdict != "not flyable":
                    summary = re.match(r"checked (\d+) values in (\d+) steps: (\d+) wrong", said[-1] if said else "")
                    values += int(summary[1]) if summary else 0
                    steps += int(summary[2]) if summary else 0
                    faults = [line for line in said if line.startswith("WRONG")] if summary else said or ["no answer"]
                    wrong += [f"{start} {end} {aircraft} {wind}: {fault}" for fault in faults]
                    route, last = flight["route"], flight["approach"]
                else:
                    route, last = "", blocking(plan)
                    first = next((f for f in plan.get("findings", []) if f["grade"] == "blocks"), None)
                    reasons[first["code"] if first else "error"] += 1
                nm = roughly_nm(places[start], places[end])
                lines.append(f"| {start} {end} | {nm:.0f} | {aircraft} | {wind} | {verdict} | {route} | {last} |")
    table = "\n".join(lines)
    counts = "\n".join(
        f"| {aircraft} | {wind} | "
        + " | ".join(str(verdicts[(aircraft, wind, verdict)]) for verdict in ("flyable", "flyable if", "not flyable", "error"))
        + " |"
        for wind in WINDS
        for aircraft in AIRCRAFT
    )
    out.parent.mkdir(parents=True, exist_ok=True)
    out.write_text(
        f"""# All pairs of the real FAA part

The published FAA part `faa_cifp_2101_part.txt` joined with four OurAirports tables ({", ".join(TABLES)}): every ordered pair of
airports {NEAREST_NM:.0f} to {FARTHEST_NM:.0f} NM apart of which both have at least one conventional approach that can be flown from
end to end. Each flyable plan is computed again from the raw rows by `check_plan` (tests/independent), which shares no code
with the program. Written by `tools/report_pairs.py`; do not edit. For simulation and training, not for real navigation.

To run it again, with the real data beside the checkout or named by `OMNIWAY_REAL_DATA`:

    ninja -C build/release omniway check_plan
    tools/report_pairs.py build/release/omniway build/release/tests/independent/check_plan

## Counts

- {len(places)} airports with a coded conventional approach, {sum(1 for e in near if near[e])} of them with another in reach;
  {len(whole)} with a whole one: {", ".join(sorted(whole))}.
- {len(pairs)} ordered pairs ({len({frozenset(p) for p in pairs})} unordered), {len(lines)} plans.
- The checker: {values} values in {steps} steps, {len(wrong)} wrong.

| aircraft | wind | flyable | flyable if | not flyable | error |
|---|---|---|---|---|---|
{counts}

First blocking reason of what is not flyable: {", ".join(f"{count} {reason}" for reason, count in reasons.most_common()) or "-"}.

{"Wrong values:" if wrong else "No value was found wrong."}

{chr(10).join("- " + line for line in wrong)}

## Airports in reach of another without an approach that can be flown from end to end

| airport | conventional approaches | commonest reason |
|---|---|---|
{chr(10).join(none)}

## The pairs

| pair | NM | aircraft | wind | verdict | route | approach, or what blocks |
|---|---|---|---|---|---|---|
{table}
""",
        encoding="utf-8",
    )
    print(f"{len(whole)} airports, {len(pairs)} pairs, {len(lines)} plans, {values} values checked, {len(wrong)} wrong")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
