#!/usr/bin/env python3
"""Sees chain_headers.py put into one file only headers that include each other, and the compiler refuse one that stands on its neighbour.

    chain_headers_test.py COMPILER
"""
import subprocess
import sys
import tempfile
import unittest
from pathlib import Path

from chain_headers import chains, is_chain, reach_in

TOOL = Path(__file__).with_name("chain_headers.py")
COMPILER = "g++"
LENGTH = "#pragma once\n\n#include <optional>\n\nstruct Length {};\n"
PLACE = '#pragma once\n\n#include "base/length.hpp"\n\nstruct Place { Length height; };\n'
STATION = '#pragma once\n\n#include "base/place.hpp"\n\nstruct Station { Place place; };\n'


class Chains(unittest.TestCase):
    def setUp(self):
        self.folder = tempfile.TemporaryDirectory(prefix="omniway-chains-")
        self.addCleanup(self.folder.cleanup)
        self.root = Path(self.folder.name)

    def headers(self, **texts: str) -> list[str]:
        (self.root / "src" / "base").mkdir(parents=True, exist_ok=True)
        for name, text in texts.items():
            (self.root / "src" / "base" / f"{name}.hpp").write_text(text, encoding="utf-8")
        return [f"base/{name}.hpp" for name in texts]

    def chains(self, **texts: str) -> list[list[str]]:
        return chains(self.headers(**texts), reach_in(self.root / "src"))

    def written(self, **texts: str) -> list[Path]:
        said = subprocess.run([sys.executable, TOOL, self.root / "src", self.root / "headers", *self.headers(**texts)],
                              capture_output=True, text=True, check=True).stdout
        return [Path(file) for file in said.split(";")]

    def compiles(self, file: Path) -> bool:
        return subprocess.run([COMPILER, "-std=c++20", "-fsyntax-only", f"-I{self.root / 'src'}", file],
                              capture_output=True, check=False).returncode == 0

    def test_a_header_comes_after_those_it_includes_itself_and_by_way_of_others(self):
        self.assertEqual(self.chains(station=STATION, place=PLACE, length=LENGTH),
                         [["base/length.hpp", "base/place.hpp", "base/station.hpp"]])

    def test_of_two_that_include_one_header_only_one_follows_it(self):
        found = self.chains(length=LENGTH, place=PLACE, other=PLACE.replace("Place", "Other"))
        self.assertEqual(sorted(map(len, found)), [1, 2])
        self.assertEqual(sorted(sum(found, [])), ["base/length.hpp", "base/other.hpp", "base/place.hpp"])

    def test_chains_are_as_few_as_can_be(self):
        # Whoever gives b to the first that takes it leaves c or d without: two paths, a-b-d and c by itself, are the least.
        found = self.chains(a="#pragma once\n", b='#pragma once\n#include "base/a.hpp"\n', c='#pragma once\n#include "base/a.hpp"\n',
                            d='#pragma once\n#include "base/b.hpp"\n#include "base/c.hpp"\n')
        self.assertEqual(sorted(map(len, found)), [1, 3])

    def test_what_is_included_below_the_first_declaration_makes_no_chain(self):
        self.headers(length=LENGTH, late='#pragma once\n\nstruct Late {};\n\n#include "base/length.hpp"\n')
        self.assertFalse(is_chain(["base/length.hpp", "base/late.hpp"], reach_in(self.root / "src")))

    def test_a_header_that_stands_on_its_neighbour_does_not_compile(self):
        missing = PLACE.replace('#include "base/length.hpp"\n', "")
        self.assertTrue(all(self.compiles(file) for file in self.written(length=LENGTH, place=PLACE)))
        self.assertFalse(all(self.compiles(file) for file in self.written(length=LENGTH, place=missing)))

    def test_a_header_that_stands_on_a_library_header_of_its_neighbour_does_not_compile(self):
        borrowing = "#pragma once\n\nstruct Borrowing { std::optional<int> value; };\n"
        self.assertFalse(all(self.compiles(file) for file in self.written(length=LENGTH, borrowing=borrowing)))

    def test_a_missing_pragma_once_shows_in_the_middle_of_a_chain_too(self):
        self.assertFalse(all(self.compiles(file) for file in self.written(
            length=LENGTH, place=PLACE.replace("#pragma once\n", ""), station=STATION)))

    def test_what_did_not_change_is_not_written_again(self):
        file, = self.written(length=LENGTH, place=PLACE)
        before = file.stat().st_mtime_ns
        self.written(length=LENGTH, place=PLACE)
        self.assertEqual(file.stat().st_mtime_ns, before)


if __name__ == "__main__":
    if len(sys.argv) > 1:
        COMPILER = sys.argv.pop(1)
    unittest.main()
