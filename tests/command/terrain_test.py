#!/usr/bin/env python3
"""Terrain as its user meets it: rasters through the program beside, errors, signals, a program that crashes or lies.

    terrain_test.py OMNIWAY OMNIWAY_RASTER SHARE_FOLDER [unittest arguments]
"""
import json
import math
import os
import pathlib
import shutil
import signal
import sqlite3
import stat
import struct
import subprocess
import sys
import tempfile
import time
import unittest
import zlib

OMNIWAY = pathlib.Path(sys.argv.pop(1)).resolve()
RASTER = pathlib.Path(sys.argv.pop(1)).resolve()
SHARE = pathlib.Path(sys.argv.pop(1)).resolve()
ROOT = pathlib.Path(__file__).resolve().parents[2]
REGION = OMNIWAY.parent / "tools" / "demo_region" / "demo-region.txt"


def run(*words, program=OMNIWAY, **keywords):
    return subprocess.run([program, *map(str, words)], capture_output=True, text=True, timeout=120, check=False, **keywords)


def height(line, place):
    """A ground of three arc-seconds with a void now and then; line from the north."""
    if (line * 1201 + place) % 977 == 0:
        return -32768
    return round(600 + 400 * math.sin(line / 90) * math.cos(place / 70)) + (line * 7 + place * 13) % 5


def write_hgt(path):
    rows = [struct.pack(">1201h", *(height(line, place) for place in range(1201))) for line in range(1201)]
    path.write_bytes(b"".join(rows))


def tile_of(atlas, south, west):
    """A tile straight from the tables, by docs/atlas.md: nodes to a side and heights."""
    with sqlite3.connect(f"file:{atlas}?mode=ro", uri=True) as database:
        nodes, packed = database.execute(
            "SELECT nodes_per_side, packed FROM terrain_tile JOIN terrain_heights ON terrain_heights_id = terrain_tile_id "
            "WHERE south_quarters = ? AND west_quarters = ?", (south, west)).fetchone()
    planes = zlib.decompress(packed)
    number = nodes * nodes
    heights, before = [], 0
    for i in range(number):
        folded = planes[i] | planes[number + i] << 8
        before = (before + (folded >> 1 ^ (0xFFFF if folded & 1 else 0))) & 0xFFFF
        heights.append(before - 65536 if before >= 32768 else before)
    return nodes, heights


class Terrain(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.keep = tempfile.TemporaryDirectory()
        cls.folder = pathlib.Path(cls.keep.name)
        # A corner in the demo region's part of the earth.
        cls.hgt = cls.folder / "N40W172.hgt"
        write_hgt(cls.hgt)
        cls.atlas = cls.folder / "both.atlas"
        cls.imported = run("import", REGION, cls.hgt, "--out", cls.atlas, "--json")

    @classmethod
    def tearDownClass(cls):
        cls.keep.cleanup()

    def test_every_node_is_the_rasters_own(self):
        self.assertEqual(self.imported.returncode, 0, self.imported.stderr)
        for south in range(160, 164):
            for west in range(-688, -684):
                nodes, heights = tile_of(self.atlas, south, west)
                self.assertEqual(nodes, 301)
                for row in range(301):
                    line = 1200 - ((south - 160) * 300 + row)
                    first = (west + 688) * 300
                    self.assertEqual(heights[row * 301:row * 301 + 301],
                                     [height(line, first + column) for column in range(301)])

    def test_the_counts_are_told_alike_by_import_info_and_verify(self):
        terrain = json.loads(self.imported.stdout)["terrain"]
        voids = sum(tile_of(self.atlas, south, west)[1].count(-32768) for south in range(160, 164) for west in range(-688, -684))
        self.assertEqual((terrain["tiles"], terrain["nodes"], terrain["unknown_nodes"]), (16, 16 * 301 * 301, voids))
        self.assertEqual(terrain["spacings"], [{"spacing_arc_seconds": 3, "tiles": 16}])
        self.assertEqual(json.loads(run("atlas", "info", self.atlas, "--json").stdout)["terrain"], terrain)
        verified = json.loads(run("atlas", "verify", self.atlas, "--json").stdout)
        self.assertEqual((verified["terrain"], verified["tiles_read"], verified["tiles_damaged"], verified["whole"]),
                         (terrain, 16, 0, True))

    def test_a_damaged_tile_is_found_by_verify(self):
        bad = self.folder / "bad.atlas"
        with sqlite3.connect(f"file:{self.atlas}?mode=ro", uri=True) as database:
            packed, = database.execute("SELECT packed FROM terrain_heights WHERE terrain_heights_id = 5").fetchone()
        whole = bytearray(self.atlas.read_bytes())
        whole[whole.index(packed[20:200]) + 50] ^= 4
        bad.write_bytes(whole)
        result = run("atlas", "verify", bad)
        self.assertEqual(result.returncode, 1, result.stderr)
        self.assertIn("16 terrain tiles read, 1 damaged", result.stdout)
        self.assertIn("the terrain tile from 40", result.stdout)

    def test_terrain_alone_makes_an_atlas(self):
        result = run("import", self.hgt, "--out", self.folder / "alone.atlas")
        self.assertEqual(result.returncode, 0, result.stderr)
        self.assertIn("16 terrain tiles of 3 arc-seconds", result.stdout)

    def test_terrain_of_another_part_of_the_earth_is_told(self):
        elsewhere = self.folder / "S10E020.hgt"
        shutil.copy(self.hgt, elsewhere)
        result = run("import", REGION, elsewhere, "--out", self.folder / "apart.atlas", "--list")
        self.assertEqual(result.returncode, 0, result.stderr)
        self.assertIn("[remark.terrain_apart]", result.stdout)
        codes = {each["code"] for each in json.loads(self.imported.stdout)["diagnostics"]}
        self.assertNotIn("remark.terrain_apart", codes)

    def refused(self, code, *files, program=OMNIWAY):
        with tempfile.TemporaryDirectory() as folder:
            result = run("import", REGION, *files, "--out", pathlib.Path(folder) / "x.atlas", program=program)
            self.assertEqual(result.returncode, 2, result.stderr + result.stdout)
            self.assertIn(f"[{code}]", result.stderr)
            self.assertEqual(len(result.stderr.splitlines()), 1)
            self.assertEqual(os.listdir(folder), [])
            return result.stderr

    def test_broken_rasters_are_refused_and_nothing_is_written(self):
        cut = self.folder / "N41W172.hgt"
        cut.write_bytes(self.hgt.read_bytes()[:1_000_000])
        self.assertIn("1000000 bytes", self.refused("raster.damaged", cut))
        (self.folder / "empty.tif").write_bytes(b"")
        self.refused("read.file_empty", self.folder / "empty.tif")
        (self.folder / "tiff").write_bytes(b"II*\0" + bytes(100))  # by its content, whatever its name
        self.refused("raster.damaged", self.folder / "tiff")
        absurd = self.folder / "N42W172.hgt"
        absurd.write_bytes(struct.pack(">h", 20000) * (1201 * 1201))
        self.assertIn("20000 m; allowed -500 to 9000", self.refused("raster.absurd_value", self.hgt, absurd))

    def beside(self, name, script):
        """omniway with another program beside it."""
        place = self.folder / name
        (place / "share").mkdir(parents=True)
        os.symlink(SHARE, place / "share" / "omniway")
        shutil.copy(OMNIWAY, place / "omniway")
        if script is not None:
            (place / "omniway-raster").write_text("#!/bin/sh\n" + script)
            (place / "omniway-raster").chmod(0o755)
        return place / "omniway"

    def test_a_program_that_crashes_lies_or_is_not_there_is_an_error(self):
        self.refused("raster.program_missing", self.hgt, program=self.beside("absent", None))
        said = self.refused("raster.program_failed", self.hgt, program=self.beside("crash", "kill -SEGV $$\n"))
        self.assertIn("signal 11", said)
        later = f"{RASTER} \"$@\" | head -c 1500000\nkill -SEGV $$\n"
        self.refused("raster.program_failed", self.hgt, program=self.beside("later", later))
        self.refused("raster.stream_broken", self.hgt, program=self.beside("short", f"{RASTER} \"$@\" | head -c 1500000\n"))
        self.refused("raster.stream_broken", self.hgt, program=self.beside("silent", "exit 0\n"))
        self.refused("raster.stream_broken", self.hgt, program=self.beside("words", "echo 'omniway terrain 9'\n"))
        self.refused("raster.program_failed", self.hgt, program=self.beside("status", "echo broken >&2; exit 5\n"))
        self.refused("raster.stream_broken", self.hgt, program=self.beside("more", f"{RASTER} \"$@\"; echo x\n"))
        self.refused("raster.program_failed", self.hgt, program=self.beside("late", f"{RASTER} \"$@\"; exit 9\n"))

    def test_an_interrupted_import_ends_both_programs_and_leaves_nothing(self):
        marker = self.folder / "process"
        program = self.beside("slow", f"echo $$ > {marker}\nexec sleep 60\n")
        with tempfile.TemporaryDirectory() as folder:
            started = subprocess.Popen([program, "import", REGION, self.hgt, "--out", pathlib.Path(folder) / "x.atlas"],
                                       stdout=subprocess.PIPE, stderr=subprocess.PIPE)
            while not (marker.exists() and marker.read_text().strip()):
                time.sleep(0.01)
            began = time.monotonic()
            started.send_signal(signal.SIGTERM)
            _, told = started.communicate(timeout=30)
            self.assertEqual(started.returncode, 3, told)
            self.assertLess(time.monotonic() - began, 5)
            self.assertFalse(pathlib.Path(f"/proc/{marker.read_text().strip()}").exists())
            self.assertEqual(os.listdir(folder), [])

    def test_the_main_program_links_no_raster_library(self):
        named = subprocess.run(["ldd", OMNIWAY], capture_output=True, text=True, check=True).stdout
        self.assertNotIn("gdal", named.lower())
        self.assertIn("gdal", subprocess.run(["ldd", RASTER], capture_output=True, text=True, check=True).stdout.lower())

    def test_an_atlas_on_a_read_only_disk_is_read(self):
        place = self.folder / "fixed"
        place.mkdir()
        shutil.copy(self.atlas, place / "a.atlas")
        (place / "a.atlas").chmod(stat.S_IRUSR)
        place.chmod(stat.S_IRUSR | stat.S_IXUSR)
        try:
            self.assertEqual(run("atlas", "verify", place / "a.atlas").returncode, 0)
            self.assertEqual(os.listdir(place), ["a.atlas"])
        finally:
            place.chmod(stat.S_IRWXU)


if __name__ == "__main__":
    unittest.main()
