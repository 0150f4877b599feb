#!/usr/bin/env python3
"""Sees reached_sources.py keep what a test stands on, and leave out what none does."""
import tempfile
import unittest
from pathlib import Path

from reached_sources import reached_sources

TREE = {
    "src/base/length.hpp": "#pragma once\n",
    "src/base/length.cpp": '#include "base/length.hpp"\n',
    "src/base/weight.hpp": "#pragma once\n",
    "src/base/weight.cpp": '#include "base/weight.hpp"\n',
    "src/earth/place.hpp": '#pragma once\n#include "base/length.hpp"\n',
    "src/earth/place.cpp": '#include "earth/place.hpp"\n#include "earth/detail/kernel.hpp"\n',
    "src/earth/place_bytes.cpp": '#include "earth/place.hpp"\n',
    "src/earth/detail/kernel.hpp": "#pragma once\n",
    "src/earth/detail/kernel.cpp": '#include "earth/detail/kernel.hpp"\n',
    "src/skin/show.hpp": '#pragma once\n#include "base/weight.hpp"\n',
    "src/skin/show.cpp": '#include "skin/show.hpp"\n',
    "src/skin/show_more.cpp": '#include "skin/show.hpp"\n#include "earth/place.hpp"\n',
    "src/skin/main.cpp": '#include "skin/show.hpp"\n',
    "src/earth/place_test.cpp": '#include "earth/place.hpp"\n',
}


class Reached(unittest.TestCase):
    def reached(self, *others: str, **changes: str) -> list[str]:
        with tempfile.TemporaryDirectory(prefix="omniway-reached-") as folder:
            root = Path(folder).resolve()
            for name, text in {**TREE, **changes}.items():
                (root / name).parent.mkdir(parents=True, exist_ok=True)
                (root / name).write_text(text, encoding="utf-8")
            return [file.relative_to(root / "src").as_posix()
                    for file in reached_sources(root / "src", [root / other for other in others])]

    def test_a_test_reaches_what_it_includes_and_what_that_stands_on(self):
        self.assertEqual(self.reached(), ["base/length.cpp", "earth/detail/kernel.cpp", "earth/place.cpp", "earth/place_bytes.cpp"])

    def test_a_source_without_a_header_of_its_name_comes_with_a_header_of_its_floor_not_of_another(self):
        said = self.reached()
        self.assertIn("earth/place_bytes.cpp", said)
        self.assertNotIn("skin/show_more.cpp", said)

    def test_what_the_tests_have_outside_the_floors_counts(self):
        said = self.reached("tests/drawn.cpp", **{"tests/drawn.cpp": '#include "tests/drawn.hpp"\n',
                                                   "tests/drawn.hpp": '#pragma once\n#include "base/weight.hpp"\n'})
        self.assertIn("base/weight.cpp", said)

    def test_a_program_is_no_source_of_a_floor(self):
        self.assertNotIn("skin/main.cpp", self.reached(**{"src/skin/show_test.cpp": '#include "skin/show.hpp"\n'}))


if __name__ == "__main__":
    unittest.main()
