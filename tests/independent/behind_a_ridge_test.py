"""The case of docs/methods/behind-a-ridge.md: a real station behind a real ridge, by the printed answer and by a profile of its own.

behind_a_ridge_test.py OMNIWAY

The profile is taken straight from the tile's bytes along a line that is straight in latitude and longitude, over a sphere of the
local mean radius; it shares nothing with src/. Ends with status 77 where the real data is absent.
"""
import json
import math
import re
import subprocess
import sys
import tempfile
from pathlib import Path

import real_data_door

STATION = "BML"
PLACE = (44.235, -71.30)
FLOWN_FT = 5500
SOUTH, WEST, NODES = 44, -72, 1201
ANTENNA_M = 5.0  # above the site's ground: common practice, no source (radio/reception.hpp)
PAGE = real_data_door.ROOT / "docs" / "methods" / "behind-a-ridge.md"


def ground_m(tile: bytes, latitude: float, longitude: float) -> float:
    row, column = (SOUTH + 1 - latitude) * (NODES - 1), (longitude - WEST) * (NODES - 1)
    top, left = int(row), int(column)

    def node(r, c):
        at = 2 * (r * NODES + c)
        return int.from_bytes(tile[at:at + 2], "big", signed=True)

    down, right = row - top, column - left
    upper = node(top, left) * (1 - right) + node(top, left + 1) * right
    lower = node(top + 1, left) * (1 - right) + node(top + 1, left + 1) * right
    return upper * (1 - down) + lower * down


def lowest_in_sight(tile: bytes, station, antenna_msl_m: float) -> tuple[float, float]:
    """The lowest altitude at PLACE that sees the station, in feet, and how far from the station the ground decides, in NM."""
    radius_m = 6371008.8
    middle = math.radians((station[0] + PLACE[0]) / 2)
    north = math.radians(PLACE[0] - station[0]) * 6367382.0  # the meridian's radius of curvature at 44.4 N: 6,367.4 km
    east = math.radians(PLACE[1] - station[1]) * 6388600.0 * math.cos(middle)  # that across it
    away_m = math.hypot(north, east)
    effective_m = 4 / 3 * radius_m
    steepest, where = -math.inf, 0.0
    steps = int(away_m / 20.0)
    for step in range(1, steps):
        share = step / steps
        here = (station[0] + share * (PLACE[0] - station[0]), station[1] + share * (PLACE[1] - station[1]))
        d = share * away_m
        slope = (ground_m(tile, *here) - d * d / (2 * effective_m) - antenna_msl_m) / d
        if slope > steepest:
            steepest, where = slope, d
    lowest_m = antenna_msl_m + steepest * away_m + away_m * away_m / (2 * effective_m)
    return lowest_m / 0.3048, where / 1852.0


def ask(omniway: str, atlas: Path, mode: str) -> dict:
    done = subprocess.run([omniway, "hear", "--at", f"{PLACE[0]},{PLACE[1]},{FLOWN_FT}", "--all", "--reception", mode, "--json",
                           "--atlas", atlas], capture_output=True, text=True, check=True)
    parts = json.loads(done.stdout)["points"][0]["parts"]
    return next(p for p in parts if p["station"]["ident"] == STATION and p["part"] == "azimuth")


def main() -> int:
    omniway = sys.argv[1]
    data = real_data_door.real_data_folder()
    tile = (data / "dem" / "N44W072.hgt").read_bytes()
    with tempfile.TemporaryDirectory(prefix="omniway-ridge-") as folder:
        atlas = Path(folder) / "x.atlas"
        subprocess.run([omniway, "import", data / "ourairports" / "navaids.csv", data / "dem" / "N44W072.hgt", "--out", atlas],
                       capture_output=True, check=True)
        volume, smooth, terrain = (ask(omniway, atlas, mode) for mode in ("volume", "horizon", "terrain"))
    assert volume["heard"] and smooth["heard"], (volume, smooth)
    assert not terrain["heard"] and terrain["silence"] == "behind_terrain" and terrain["ground_known"], terrain

    site = terrain["station"]["site"]
    station = (site["latitude_deg"], site["longitude_deg"])
    # The record says 1,730 ft; the tile's ground stands where it is higher.
    antenna_m = max(1730 * 0.3048, ground_m(tile, *station)) + ANTENNA_M
    lowest_ft, where_nm = lowest_in_sight(tile, station, antenna_m)
    print(f"by its own profile: {lowest_ft:.0f} ft, ground at {where_nm:.1f} NM; printed: {terrain['lowest_sight_msl_ft']} ft, "
          f"{terrain['obstacle_nm']} NM")
    # A node is 93 m wide here, and ground of a 45 degree slope rises by a quarter of that between two rays of the horizon.
    assert abs(lowest_ft - terrain["lowest_sight_msl_ft"]) < 100, lowest_ft
    assert abs(where_nm - terrain["obstacle_nm"]) < 0.2, where_nm

    page = PAGE.read_text(encoding="utf-8")
    printed = [float(number.replace(",", "")) for number in re.findall(r"([\d,]+) ft needed", page)]
    assert printed and all(abs(feet - terrain["lowest_sight_msl_ft"]) < 2 for feet in printed), printed
    return 0


if __name__ == "__main__":
    sys.exit(main())
