#!/usr/bin/env python3
"""Names the sources that the tests of the floors can reach, so that a build for these tests alone compiles no other.

    reached_sources.py SOURCES FILE...

Begins at every *_test.cpp under SOURCES and at the files given, and follows what each includes. A source is reached with the header of
its own name; one that has no such header, with any header of its own floor that it includes. Prints those reached in one line, parted
by semicolons. What is left out by mistake does not link.
"""
import re
import sys
from pathlib import Path

INCLUDE = re.compile(r'^#include "([^"]+)"', re.MULTILINE)


def reached_sources(sources: Path, others: list[Path]) -> list[Path]:
    every = sorted(sources.rglob("*.cpp"))
    code = [file for file in every if not file.name.endswith("_test.cpp") and file.name != "main.cpp"]
    without_header = [file for file in code if not file.with_suffix(".hpp").exists()]

    def included(file: Path) -> list[Path]:
        spelled = INCLUDE.findall(file.read_text(encoding="utf-8"))
        return [found for each in spelled for found in (sources / each, sources.parent / each, file.parent / each) if found.exists()]

    def own_floor(file: Path) -> list[Path]:
        floor = file.relative_to(sources).parts[0]
        return [each for each in included(file) if each.is_relative_to(sources / floor)]

    reached: set[Path] = set()
    waiting = [file for file in every if file.name.endswith("_test.cpp")] + others
    while waiting:
        file = waiting.pop()
        if file in reached:
            continue
        reached.add(file)
        waiting += included(file)
        if file.suffix == ".hpp" and file.is_relative_to(sources):
            waiting += [source for source in [file.with_suffix(".cpp")] if source.exists()]
            waiting += [source for source in without_header if file in own_floor(source)]
    return [file for file in code if file in reached]


def main() -> None:
    print(";".join(map(str, reached_sources(Path(sys.argv[1]).resolve(), [Path(word).resolve() for word in sys.argv[2:]]))), end="")


if __name__ == "__main__":
    main()
