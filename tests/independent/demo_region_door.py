"""The demo region for the tests written in Python: its airports, its rows moved in longitude, plans over its pairs."""
import concurrent.futures
import itertools
import json
import os
import subprocess
from pathlib import Path

AIRPORTS = ("XMRA", "XDOV", "XKEL", "XNOR", "XSUL", "XPIR", "XGIL", "XBRE")
OUTLYING = ("XEDD", "XURL", "XICO", "XALD", "XORR", "XADR", "XOMB")
# All ordered pairs of the first eight; each of the others to and from the two cities, and to the next.
PAIRS = (*itertools.permutations(AIRPORTS, 2),
         *(pair for city in ("XMRA", "XDOV") for end in OUTLYING for pair in ((city, end), (end, city))),
         *zip(OUTLYING, (*OUTLYING[1:], OUTLYING[0])))
AIRCRAFT = ("trainer", "single", "twin", "jet")
# One day for all, so that the variation of a plan does not move with the calendar.
DATE = ("--date", "2026-12-01")


def write_rows(generator, file: Path, east_deg: int = 0) -> list[str]:
    """The rows of the country, moved east, as its generator writes them."""
    subprocess.run([generator, "--out", file, "--shift-longitude", str(east_deg)], check=True)
    return file.read_text(encoding="latin-1").splitlines()


def import_rows(omniway, file: Path, atlas: Path) -> subprocess.CompletedProcess:
    return subprocess.run([omniway, "import", file, "--out", atlas], check=True, capture_output=True, text=True)


def import_region(generator, omniway, folder: Path, atlas: Path, east_deg: int = 0) -> subprocess.CompletedProcess:
    """Rows, terrain and coastline of the country, moved east; the terrain is two files where it lies across the antimeridian."""
    folder.mkdir()
    files = {"--out": "rows.txt", "--terrain": "ground.tif", "--coastline": "coast.geojson"}
    words = [word for option, name in files.items() for word in (option, folder / name)]
    subprocess.run([generator, *words, "--shift-longitude", str(east_deg)], check=True)
    return subprocess.run([omniway, "import", *sorted(folder.iterdir()), "--out", atlas], check=True, capture_output=True, text=True)


def plan(omniway, atlas: Path, *words) -> dict:
    """The plan as JSON; its exit status must be the one of its verdict."""
    command = [omniway, "plan", *map(str, words), *DATE, "--json", "--atlas", atlas]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    answer = json.loads(done.stdout)
    if answer["kind"] != "plan" or done.returncode != (1 if answer["verdict"] == "not flyable" else 0):
        raise AssertionError(f"{command}: exit {done.returncode}\n{done.stdout[:2000]}{done.stderr}")
    return answer


def plans(omniway, questions) -> list[dict]:
    """The plans of many questions (atlas, words), as many at once as there are processors, in the order asked."""
    with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
        return list(pool.map(lambda question: plan(omniway, question[0], *question[1]), questions))


def stations(part) -> list[dict]:
    """Every station named anywhere in a piece of a plan."""
    if isinstance(part, dict):
        here = [part] if "morse" in part and "site" in part else []
        return here + [s for value in part.values() for s in stations(value)]
    return [s for value in part for s in stations(value)] if isinstance(part, list) else []


def named(answer: dict) -> set[str]:
    """The idents of the stations that a plan's flight stands on."""
    return {station["ident"] for station in stations(answer["flight"] or {})}
