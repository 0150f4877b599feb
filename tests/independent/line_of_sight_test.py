"""10,000 lines of sight over a raster: radio::Horizon against a brute-force ray that shares no code with it.

line_of_sight_test.py DOOR RAY_MARCH demo DEMO_REGION.txt DEMO_TERRAIN.tif    stations of the demo region and its ground
line_of_sight_test.py DOOR RAY_MARCH TILE                                     a real tile of a degree: N44W072.hgt, S33W071.tif, N46E008.tif

Where a ray meets unknown ground the two are not compared, but the answer has to say so.
"""
import array
import csv
import itertools
import math
import random
import re
import struct
import subprocess
import sys
import tempfile
import zlib
from pathlib import Path

import real_data_door

PAIRS = 10_000
MADE_UP = 12
MAST_M = 12.0
FARTHEST_NM = 60
UNKNOWN = -32768


class Raster:
    """Nodes in rows from the north."""

    def __init__(self, nodes: array.array, rows: int, columns: int, south: float, west: float, per_degree: int):
        self.nodes, self.rows, self.columns = nodes, rows, columns
        self.south, self.west, self.per_degree = south, west, per_degree
        self.north, self.east = south + (rows - 1) / per_degree, west + (columns - 1) / per_degree

    def ground_m(self, latitude: float, longitude: float) -> float | None:
        """Bilinear; none where a node is unknown."""
        down, across = (self.north - latitude) * self.per_degree, (longitude - self.west) * self.per_degree
        row, column = min(int(down), self.rows - 2), min(int(across), self.columns - 2)
        v, u = down - row, across - column
        corners = [self.nodes[(row + r) * self.columns + column + c] for r in (0, 1) for c in (0, 1)]
        if UNKNOWN in corners:
            return None
        return (1 - v) * ((1 - u) * corners[0] + u * corners[1]) + v * ((1 - u) * corners[2] + u * corners[3])

    def write(self, file) -> None:
        swapped = array.array("h", self.nodes)
        if sys.byteorder == "little":
            swapped.byteswap()
        file.write(swapped.tobytes())
        file.flush()

    def words(self) -> list[str]:
        return [str(word) for word in (self.rows, self.columns, self.south, self.west, self.per_degree)]


def read_hgt(path: Path) -> Raster:
    nodes = array.array("h", path.read_bytes())
    if sys.byteorder == "little":
        nodes.byteswap()
    side = math.isqrt(len(nodes))
    name = re.fullmatch(r"([NS])(\d\d)([EW])(\d\d\d)", path.stem)
    south, west = int(name[2]) * (1 if name[1] == "N" else -1), int(name[4]) * (1 if name[3] == "E" else -1)
    return Raster(nodes, side, side, south, west, side - 1)


def read_tiff(path: Path) -> Raster:
    """As much of TIFF 6.0 and GeoTIFF as these files use: little-endian, strips, 16 bits, plain or deflate with predictor 2."""
    data = path.read_bytes()
    assert data[:4] == b"II*\0", "not a little-endian TIFF"
    at = struct.unpack_from("<I", data, 4)[0]
    tags = {}
    for k in range(struct.unpack_from("<H", data, at)[0]):
        tag, kind, count = struct.unpack_from("<HHI", data, at + 2 + 12 * k)
        letter, size = {2: ("s", 1), 3: ("H", 2), 4: ("I", 4), 12: ("d", 8)}[kind]
        begin = at + 10 + 12 * k
        if count * size > 4:
            begin = struct.unpack_from("<I", data, begin)[0]
        tags[tag] = struct.unpack_from(f"<{count}{letter}", data, begin)
    columns, rows = tags[256][0], tags[257][0]
    nodes = array.array("h")
    for begin, size in zip(tags[273], tags[279]):
        strip = data[begin:begin + size]
        nodes.frombytes(zlib.decompress(strip) if tags[259][0] == 8 else strip)
    if sys.byteorder == "big":
        nodes.byteswap()
    if tags.get(317, (1,))[0] == 2:
        for row in range(rows):
            sums = itertools.accumulate(nodes[row * columns:(row + 1) * columns])
            nodes[row * columns:(row + 1) * columns] = array.array("h", [((v + 32768) & 65535) - 32768 for v in sums])
    per_degree = round(1 / tags[33550][0])
    # Pixels are areas around their node, or the node itself (the key GTRasterType, 1025, says which).
    keys = {tags[34735][k]: tags[34735][k + 3] for k in range(4, len(tags[34735]), 4)}
    half = 0.5 if keys.get(1025) == 1 else 0.0
    west, north = tags[33922][3] + half / per_degree, tags[33922][4] - half / per_degree
    void = int(bytes(tags[42113][0]).rstrip(b"\0 ")) if 42113 in tags else UNKNOWN
    nodes = array.array("h", [UNKNOWN if v == void else v for v in nodes])
    return Raster(nodes, rows, columns, round(4 * (north - (rows - 1) / per_degree)) / 4, round(4 * west) / 4, per_degree)


def demo_stations(rows: Path) -> list[tuple[float, float]]:
    def degrees(sign: str, digits: str) -> float:
        whole = int(digits[:-6]) + int(digits[-6:-4]) / 60 + int(digits[-4:]) / 360_000
        return -whole if sign in "SW" else whole

    found = [re.match(r"SPACD.{27}([NS])(\d{8})([EW])(\d{9})", row) for row in rows.read_text().splitlines()]
    return [(degrees(m[1], m[2]), degrees(m[3], m[4])) for m in found if m]


def stations_of(raster: Raster, folder: Path) -> list[tuple[float, float]]:
    with (folder / "ourairports" / "navaids.csv").open(encoding="utf-8") as rows:
        places = [(float(row["latitude_deg"]), float(row["longitude_deg"])) for row in csv.DictReader(rows)]
    return [place for place in places
            if raster.south + 0.01 < place[0] < raster.north - 0.01 and raster.west + 0.01 < place[1] < raster.east - 0.01]


def apart_nm(a: tuple[float, float], b: tuple[float, float]) -> float:
    return 60 * math.hypot(a[0] - b[0], (a[1] - b[1]) * math.cos(math.radians(a[0])))


def ask(program: str, file: str, raster: Raster, questions: str) -> list[list[float]]:
    done = subprocess.run([program, file, *raster.words()], input=questions, capture_output=True, text=True, check=True)
    return [[float(word) for word in line.split()] for line in done.stdout.splitlines()]


def main() -> int:
    door, ray_march, what, *more = sys.argv[1:]
    chance = random.Random(44)
    if what == "demo":
        raster = read_tiff(Path(more[1]))
        stations = demo_stations(Path(more[0]))
        made_up = 0
    else:
        folder = real_data_door.real_data_folder()
        raster = (read_hgt if what.endswith(".hgt") else read_tiff)(folder / "dem" / what)
        stations = stations_of(raster, folder)
        made_up = MADE_UP
    published = len(stations)

    def anywhere(margin: float) -> tuple[float, float]:
        return (chance.uniform(raster.south + margin, raster.north - margin),
                chance.uniform(raster.west + margin, raster.east - margin))

    while len(stations) < published + made_up:
        place = anywhere(0.05)
        if raster.ground_m(*place) is not None:
            stations.append(place)
    antennas = [(*place, raster.ground_m(*place) + MAST_M) for place in stations if raster.ground_m(*place) is not None]

    pairs = []
    while len(pairs) < PAIRS:
        lat, lon, alt = antennas[len(pairs) % len(antennas)]
        place = anywhere(0.01)
        if 0.6 < apart_nm((lat, lon), place) < FARTHEST_NM:
            pairs.append((lat, lon, alt, *place, (raster.ground_m(*place) or 0.0) + chance.uniform(0.0, 3000.0)))
    def questions(asked, with_neighbours: bool) -> str:
        return "".join(" ".join(f"{value:.9f}" for value in pair[:5]) + f" {int(with_neighbours)}\n" for pair in asked)

    # The eight neighbours cost nine times as much: asked for only where the two answers differ, in what is heard or what is known.
    with tempfile.NamedTemporaryFile(suffix=".raw") as file:
        raster.write(file)
        ours, truth = (ask(program, file.name, raster, questions(pairs, False)) for program in (door, ray_march))
        assert len(ours) == len(truth) == PAIRS, (len(ours), len(truth))
        differ = [k for k in range(PAIRS) if (pairs[k][5] >= ours[k][0]) != (pairs[k][5] >= truth[k][0])
                  or (ours[k][1] == 1) == (truth[k][3] == 1)]
        for k, whole in zip(differ, ask(ray_march, file.name, raster, questions([pairs[k] for k in differ], True))):
            truth[k] = whole

    over_unknown = [mine for mine, true in zip(ours, truth) if true[3] == 1]
    silent = sum(mine[1] == 1 for mine in over_unknown)
    feared = sum(mine[1] == 0 for mine, true in zip(ours, truth) if true[4] == 0)
    known = [(pair, mine[0], true) for pair, mine, true in zip(pairs, ours, truth) if true[4] == 0]
    heard = sum(pair[5] >= true[0] for pair, _, true in known)
    apart = [(pair, mine, true) for pair, mine, true in known if (pair[5] >= mine) != (pair[5] >= true[0])]
    # Within one cell's worth: at the place or one node beside it the brute force says what we say (2 m: the shadow line's own).
    beyond = [(pair, mine, true) for pair, mine, true in apart if not true[1] - 2.0 <= pair[5] <= true[2] + 2.0]
    errors = sorted(mine - true[0] for _, mine, true in known)
    print(f"{published} published and {made_up} made-up stations; {len(over_unknown)} of {PAIRS} pairs meet unknown ground, "
          f"{silent} of them not told, {feared} told of without; {heard} of {len(known)} others heard; "
          f"agree in {100 - 100 * len(apart) / len(known):.2f} %, {len(beyond)} beyond one cell's worth; lowest altitude: "
          f"1 % {errors[len(errors) // 100]:.1f} m, median {errors[len(errors) // 2]:.1f} m, "
          f"99 % {errors[99 * len(errors) // 100]:.1f} m")
    for pair, mine, true in beyond[:5]:
        print(f"  beyond: {pair} ours {mine} brute force {true}")
    assert published >= 1 or what not in ("demo", "N44W072.hgt"), "no station found"
    assert len(known) * 0.1 < heard < len(known) * 0.9, "the pairs do not try both answers"
    assert silent == 0, f"{silent} pairs over unknown ground are not told of"
    assert feared == 0, f"{feared} pairs are told of unknown ground where there is none"
    assert len(apart) <= len(known) * 0.005, f"{len(apart)} pairs disagree"
    assert not beyond, f"{len(beyond)} disagree by more than one cell's worth"
    return 0


if __name__ == "__main__":
    sys.exit(main())
