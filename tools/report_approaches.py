#!/usr/bin/env python3
"""Asks of every conventional approach of the real FAA part which of the shipped aircraft can fly it, and writes the report.

    report_approaches.py OMNIWAY [OUT]

OUT is the report (default docs/reports/approaches.md); what a person wrote on reading it stands in approaches-read.md beside it
and is taken in as it is. The folder of real data is OMNIWAY_REAL_DATA, else ../shared/navdata beside the checkout.
"""
import collections
import concurrent.futures
import json
import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
TABLES = ("navaids.csv", "airports_medium_large_only.csv", "runways.csv")
AIRCRAFT = ("trainer", "single", "twin", "jet")
# ARINC 424-18 5.7: the route types of approaches flown by ground aids.
CONVENTIONAL = set("BDILNQSUVX")


def airports_of(part: Path) -> list[str]:
    rows = [row for row in part.read_text(encoding="latin-1").splitlines() if row[:1] == "S"]
    return sorted({row[6:10].strip() for row in rows if row[4] == "P" and row[12] == "F" and row[19] in CONVENTIONAL})


class Asked:
    """The answers of the program: one for each airport and aircraft."""

    def __init__(self, omniway: str, data: Path, folder: str):
        self.omniway = omniway
        self.atlas = Path(folder) / "approaches.atlas"
        part = data / "cifp" / "faa_cifp_2101_part.txt"
        tables = [data / "ourairports" / table for table in TABLES]
        subprocess.run([omniway, "import", part, *tables, "--out", self.atlas], check=True, capture_output=True)
        self.airports = airports_of(part)
        self.unknown: set[str] = set()

    def procedures(self, airport: str, aircraft: str) -> list[dict]:
        done = subprocess.run(
            [self.omniway, "show", airport, "--procedures", "--aircraft", aircraft, "--atlas", self.atlas, "--json"],
            capture_output=True, text=True, check=False)
        document = json.loads(done.stdout)
        if document["kind"] == "errors":
            codes = {error["code"] for error in document["errors"]}
            if codes != {"app.unknown_ident"}:
                sys.exit(f"{airport} {aircraft}: {done.stderr.strip()}")
            self.unknown.add(airport)
            return []
        return [p for p in document["procedures"] if p["procedure_kind"] == "approach" and not p["area_navigation"]]


def leg_of(finding: dict) -> str:
    found = re.search(r", (leg \d+ .*)$", finding["about"])
    return found[1] + ": " if found else ""


def best_way(procedure: dict) -> dict:
    """The way that decides: the shortest that can be flown, else the first (the part that all share)."""
    flyable = [way for way in procedure["ways"] if way["flyable"]]
    return min(flyable, key=lambda way: way["distance_nm"]) if flyable else procedure["ways"][0]


def main() -> int:
    omniway = str(Path(sys.argv[1]).resolve())
    out = Path(sys.argv[2]) if len(sys.argv) > 2 else ROOT / "docs" / "reports" / "approaches.md"
    data = Path(os.environ.get("OMNIWAY_REAL_DATA") or ROOT / ".." / "shared" / "navdata")
    with tempfile.TemporaryDirectory() as folder:
        asked = Asked(omniway, data, folder)
        jobs = [(airport, aircraft) for airport in asked.airports for aircraft in AIRCRAFT]
        with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
            answers = dict(zip(jobs, pool.map(lambda job: asked.procedures(*job), jobs)))
    matrix: dict[tuple[str, str], dict[str, dict]] = collections.defaultdict(dict)
    for (airport, aircraft), procedures in answers.items():
        for procedure in procedures:
            matrix[(airport, procedure["procedure"])][aircraft] = procedure
    out.parent.mkdir(parents=True, exist_ok=True)
    read = out.with_name("approaches-read.md")
    out.write_text(page(matrix, asked.unknown, read.read_text(encoding="utf-8") if read.exists() else ""), encoding="utf-8")
    print(f"{len(matrix)} approaches of {len(asked.airports)} airports, {len(AIRCRAFT)} aircraft")
    return 0


def reasons_of(matrix: dict) -> str:
    """By the first finding that blocks the shared part, where no way at all can be flown."""
    table: dict[str, collections.Counter] = collections.defaultdict(collections.Counter)
    example: dict[str, str] = {}
    for (airport, ident), row in matrix.items():
        for aircraft, procedure in row.items():
            if procedure["flyable"]:
                continue
            why = best_way(procedure)["blocked_by"]
            table[why["code"]][aircraft] += 1
            example.setdefault(why["code"], f"{airport} {ident}: {leg_of(why)}{why['text']}")
    lines = [f"| `{code}` | " + " | ".join(str(table[code][a]) for a in AIRCRAFT) + f" | {example[code]} |"
             for code in sorted(table, key=lambda c: -sum(table[c].values()))]
    return "\n".join(lines)


def ways_of(matrix: dict) -> str:
    """Every way through every approach, by aircraft: how many can be flown, and what stops the others."""
    flown, stopped = collections.Counter(), collections.defaultdict(collections.Counter)
    total = collections.Counter()
    simpler = collections.Counter()
    for row in matrix.values():
        for aircraft, procedure in row.items():
            for way in procedure["ways"]:
                total[aircraft] += 1
                simpler[aircraft] += way["legs_drawn_simpler"] > 0
                if way["flyable"]:
                    flown[aircraft] += 1
                else:
                    stopped[way["blocked_by"]["code"]][aircraft] += 1
    lines = ["| flyable | " + " | ".join(str(flown[a]) for a in AIRCRAFT) + " |"]
    lines += [f"| `{code}` | " + " | ".join(str(stopped[code][a]) for a in AIRCRAFT) + " |"
              for code in sorted(stopped, key=lambda c: -sum(stopped[c].values()))]
    lines.append("| of ways | " + " | ".join(str(total[a]) for a in AIRCRAFT) + " |")
    lines.append("| with a leg drawn simpler | " + " | ".join(str(simpler[a]) for a in AIRCRAFT) + " |")
    return "\n".join(lines)


def cell(procedure: dict | None, letters: dict[str, str]) -> str:
    if procedure is None:
        return "?"
    if not procedure["flyable"]:
        return letters[best_way(procedure)["blocked_by"]["code"]]
    flyable = sum(way["flyable"] for way in procedure["ways"])
    return f"{flyable}/{len(procedure['ways'])}"


def page(matrix: dict, unknown: set[str], read: str) -> str:
    codes = sorted({best_way(p)["blocked_by"]["code"] for row in matrix.values() for p in row.values() if not p["flyable"]})
    letters = {code: chr(ord("a") + i) for i, code in enumerate(codes)}
    counts = "\n".join(
        f"| {a} | {sum(row[a]['flyable'] for row in matrix.values() if a in row)} | "
        f"{sum(not row[a]['flyable'] for row in matrix.values() if a in row)} |" for a in AIRCRAFT)
    by_airport: dict[str, list[str]] = collections.defaultdict(list)
    lines = []
    for (airport, ident), row in sorted(matrix.items()):
        by_airport[airport].append(ident)
        worst = next((row[a] for a in reversed(AIRCRAFT) if a in row and not row[a]["flyable"]), None)
        why = ""
        if worst is not None:
            finding = best_way(worst)["blocked_by"]
            why = f"{leg_of(finding)}{finding['text']}"
        lines.append(f"| {airport} | {ident} | " + " | ".join(cell(row.get(a), letters) for a in AIRCRAFT) + f" | {why} |")
    key = "; ".join(f"{letter} `{code}`" for code, letter in letters.items())
    return f"""# Every conventional approach of the real FAA part, and who can fly it

The approaches of the published FAA part `faa_cifp_2101_part.txt` that are flown by ground aids (route types
{", ".join(sorted(CONVENTIONAL))}), asked of the four shipped aircraft in still air: `omniway show AIRPORT --procedures`. Written by
`tools/report_approaches.py`; what stands under "Read as an instructor" is written by hand in
[approaches-read.md](approaches-read.md). For simulation and training, not for real navigation.

To run it again, with the real data beside the checkout or named by `OMNIWAY_REAL_DATA`:

    ninja -C build/release omniway
    tools/report_approaches.py build/release/omniway

An approach is flyable where at least one way through it (from one of its transitions, or from the first fix of the part that
all share) can be flown from end to end with its missed approach. The data is a part of a country: an approach whose aid or
runway lies outside it is refused for what is not known, which is no fault of the approach.

## Counts

{len(matrix)} approaches at {len(by_airport)} airports. {len(unknown)} more airports have rows of an approach and no record of their own in these
files; nothing is asked of them: {", ".join(sorted(unknown))}.

| aircraft | flyable | not flyable |
|---|---|---|
{counts}

Why not, by the finding that blocks the part that all share:

| finding | {" | ".join(AIRCRAFT)} | for example |
|---|---|---|---|---|---|
{reasons_of(matrix)}

Way by way:

| | {" | ".join(AIRCRAFT)} |
|---|---|---|---|---|
{ways_of(matrix)}

## Read as an instructor

{read.strip()}

## The matrix

Figures: ways that can be flown, of all. Letters: not flyable, because of {key or "nothing"}. The reason is that of the best
equipped aircraft that cannot fly it.

| airport | approach | {" | ".join(AIRCRAFT)} | why not |
|---|---|---|---|---|---|---|
{chr(10).join(lines)}
"""


if __name__ == "__main__":
    sys.exit(main())
