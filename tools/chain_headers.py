#!/usr/bin/env python3
"""Chains headers, so that one run of the compiler sees several of them compile alone.

    chain_headers.py SOURCES FOLDER HEADER...

Each header of a chain includes the one before it, itself or by way of others. So, compiled in this order in one file, a header finds
before its own first line nothing that its own includes do not give it: it compiles there only where it compiles alone. Writes for each
chain FOLDER/<the last header>.cpp, which includes each header twice, so that a missing #pragma once shows too; prints these files
in one line, parted by semicolons. As few chains as can be: a least cover of the headers by paths, by a largest matching.

The headers, as an include spells them, lie under SOURCES. Nothing is written where nothing changed.
"""
import re
import sys
from functools import cache
from pathlib import Path

INCLUDE = re.compile(r'^#include "([^"]+)"$', re.MULTILINE)
# What stands below the first declaration gives that one nothing.
FIRST_DECLARATION = re.compile(r"^(?!#|//|\s|$)", re.MULTILINE)


def reach_in(sources: Path):
    """A function: the headers that one includes before its first declaration, and those that these include."""
    @cache
    def reach(header: str) -> frozenset[str]:
        file = sources / header
        if not file.exists():
            return frozenset()
        text = file.read_text(encoding="utf-8")
        first = FIRST_DECLARATION.search(text)
        direct = INCLUDE.findall(text[:first.start()] if first else text)
        return frozenset(direct).union(*map(reach, direct))
    return reach


def is_chain(headers: list[str], reach) -> bool:
    return all(before in reach(after) for before, after in zip(headers, headers[1:]))


def chains(headers: list[str], reach) -> list[list[str]]:
    """Each header in one chain."""
    after = {one: [other for other in headers if one in reach(other)] for one in headers}
    before: dict[str, str] = {}

    def extend(one: str, seen: set[str]) -> bool:
        for other in after[one]:
            if other not in seen:
                seen.add(other)
                if other not in before or extend(before[other], seen):
                    before[other] = one
                    return True
        return False

    for one in headers:
        extend(one, set())
    inside = set(before.values())
    found = []
    for last in headers:
        if last not in inside:
            chain = [last]
            while chain[0] in before:
                chain.insert(0, before[chain[0]])
            found.append(chain)
    return found


def main() -> None:
    sources, folder = Path(sys.argv[1]), Path(sys.argv[2])
    written = []
    for chain in chains(sys.argv[3:], reach_in(sources)):
        file = folder / f"{chain[-1]}.cpp"
        file.parent.mkdir(parents=True, exist_ok=True)
        text = "".join(2 * f'#include "{header}"\n' for header in chain)
        if not file.exists() or file.read_text(encoding="utf-8") != text:
            file.write_text(text, encoding="utf-8")
        written.append(file)
    print(";".join(map(str, written)), end="")


if __name__ == "__main__":
    main()
