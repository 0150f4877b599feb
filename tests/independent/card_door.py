"""Flights of the demo region and of the real part for the tests of cards: plans asked for, and the checker of cards asked about them."""
import collections
import concurrent.futures
import json
import os
import random
import re
import subprocess
from pathlib import Path

from demo_region_door import AIRCRAFT, AIRPORTS, DATE, OUTLYING

ROOT = Path(__file__).resolve().parent.parent.parent
AIRCRAFT_FILES = sorted((ROOT / "data" / "aircraft").glob("*.toml"))
MAGNETIC = ROOT / "data" / "magnetic"
# Altitudes that an owner might ask for; mostly the planner chooses.
ALTITUDES = {"trainer": (5000, 7000, 8000), "single": (6000, 8000, 10000), "twin": (9000, 12000, 16000), "jet": (15000, 20000, 26000)}


def equipment(aircraft: str) -> dict:
    """What is aboard, as far as a fault asks: how many receivers."""
    text = (ROOT / "data" / "aircraft" / f"{aircraft}.toml").read_text(encoding="utf-8")
    return {"receivers": re.findall(r"^\[\[receiver\]\]", text, re.MULTILINE)}


def plan(omniway, atlas, words, folder: Path, name: str) -> tuple[Path, dict] | None:
    """The file and the answer of a plan that is admitted; none where it is not."""
    done = subprocess.run([omniway, "plan", *map(str, words), "--json", "--atlas", atlas], capture_output=True, text=True, check=False)
    try:
        answer = json.loads(done.stdout)
    except json.JSONDecodeError as broken:
        raise AssertionError(f"{words}: exit {done.returncode}, no JSON: {done.stderr[:500]}") from broken
    if answer["kind"] != "plan" or answer["flight"] is None or answer["verdict"] == "not flyable":
        return None
    file = folder / f"{name}.json"
    file.write_text(done.stdout, encoding="utf-8")
    return file, answer


def random_questions(seed: int, airports=(*AIRPORTS, *OUTLYING)):
    """Questions without end: pair, aircraft, wind and altitude, the same for the same seed."""
    stream = random.Random(seed)
    while True:
        start, end = stream.sample(airports, 2)
        aircraft = stream.choice(AIRCRAFT)
        wind = f"{stream.randrange(0, 360, 10):03d}/{stream.choice((0, 5, 10, 15, 20, 25, 30)):02d}"
        words = [start, end, "--aircraft", aircraft, "--wind", wind, *DATE]
        if stream.random() < 0.3:
            words += ["--altitude", stream.choice(ALTITUDES[aircraft])]
        yield words


def admitted(omniway, atlas, folder: Path, wanted: int, seed: int) -> tuple[list[tuple[Path, dict]], int]:
    """So many admitted flights of random questions, and how many questions it took; as many at once as there are processors."""
    questions, found, asked = random_questions(seed), [], 0
    with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
        while len(found) < wanted:
            batch = [next(questions) for _ in range(min(20, wanted))]
            if asked > 20 * wanted + 200:
                raise AssertionError(f"{len(found)} flights admitted of {asked} asked for")
            named = [(words, f"{asked + i:04d}-{words[0]}-{words[1]}-{words[3]}") for i, words in enumerate(batch)]
            asked += len(batch)
            found += [f for f in pool.map(lambda job: plan(omniway, atlas, job[0], folder, job[1]), named) if f]
    return found[:wanted], asked


class Checked:
    """What the checker said of some cards."""

    def __init__(self, checker, atlas, files):
        command = [checker, "--atlas", atlas, "--magnetic", MAGNETIC, "--aircraft", *AIRCRAFT_FILES, "--cards", *files]
        done = subprocess.run(command, capture_output=True, text=True, check=False)
        self.status, self.errors = done.returncode, done.stderr.strip()
        self.wrong: list[tuple[str, str]] = []  # file, line
        self.values = self.steps = self.cards = 0
        self.fewest = None
        self.skipped, self.counted, self.by_check = (collections.Counter() for _ in range(3))
        file = ""
        for row in done.stdout.splitlines():
            if row.startswith("card "):
                file = Path(row[5:]).name
            elif row.startswith("WRONG"):
                self.wrong.append((file, row))
                self.by_check[row.split()[1].rstrip(",")] += 1
            elif summary := re.match(r"checked (\d+) values of \d+ checks in (\d+) steps: \d+ wrong; skipped (.*); counted (.*)", row):
                values = int(summary[1])
                self.cards += 1
                self.values += values
                self.steps += int(summary[2])
                self.fewest = values if self.fewest is None else min(self.fewest, values)
                for text, counter in ((summary[3], self.skipped), (summary[4], self.counted)):
                    for part in filter(None, text.split(", ")):
                        number, what = part.split(" ", 1)
                        counter[what] += int(number)

    def checks(self, known: frozenset[str] = frozenset()) -> list[str]:
        """The checks that found something, once each; without the lines that were known before."""
        return list(dict.fromkeys(line.split()[1].rstrip(",") for _, line in self.wrong if line not in known))

    def methods(self) -> list[str]:
        """How many steps took the full method, how many a fallback, and why."""
        return [f"{number} {what}" for what, number in sorted(self.counted.items())]
