#!/usr/bin/env python3
"""Holds what the compiler really included against what the floors declare.

    check_floors.py BUILD_FOLDER

Reads the add_floor lines of the CMakeLists.txt in the root of the repository (tools/floors.py) and, for every object of
the build, the compiler's own include list as ninja keeps it. The build must be complete and up to date, and must compile
every header alone (the release preset does). An object may be compiled of several joined sources of one floor, all tests or none of
them, for which the same holds; or of a chain of headers (tools/chain_headers.py), where the list is that of the last, and the others
stand on what they spell. Refused are:

  1. a file of floor A that includes a header of floor B, where A does not name B in USES (a test: nor in TEST_USES);
  2. an object of floor A whose include list reaches a floor that is not below A at all, by whatever way;
  3. a floor that uses one declared after it, or one that is not declared;
  4. a folder of src/ that is no floor, a source that is not built, a header that is not compiled alone;
  5. a third-party library reached from a public header (tl::expected alone is allowed), or from a source or a header in
     detail/ whose floor does not name it in LINKS (a test: nor in TEST_LINKS); the libraries for tests, outside a test;
  6. a header in detail/ included by another floor;
  7. a header that includes what it does not spell from src/ or as <...>, or below its first declaration; a chain in which a header does
     not include the one before it;
  8. a file of NARROW whose include list reaches a header of src/ beside those that it may see.

Rule 1, which asks which file includes a header itself, looks at text, and so do rules 2 and 5 for a header that is not the last of its
chain: by rule 7 all that it includes stands there. Exit status 0 when nothing is refused, 1 otherwise.
"""
import json
import re
import subprocess
import sys
from functools import cache
from pathlib import Path

from chain_headers import FIRST_DECLARATION, is_chain, reach_in
from floors import closure, read_floors

# How a third-party library shows in an include list, and the target that add_floor must name under LINKS.
# fmt is for every .cpp and needs no naming; tl::expected is for headers too.
LIBRARIES = {
    "GeographicLib/": "GeographicLib::GeographicLib",
    "boost/": "Boost::headers",
    "sqlite3.h": "SQLite::SQLite3",
    "toml++/": "tomlplusplus::tomlplusplus",
    "nlohmann/": "nlohmann_json::nlohmann_json",
    "CLI/": "CLI11::CLI11",
    "xxhash.h": "xxhash::xxhash",
    "zlib.h": "ZLIB::ZLIB",
    "gdal/": "GDAL::GDAL",
    "fmt/": "fmt::fmt",
    "gtest/": "tests",
    "gmock/": "tests",
    "rapidcheck": "tests",
    "benchmark/": "bench",
}
# Files that may see less than their floor does. The needle pilot sees base, cockpit and the card: by construction it cannot know where it is
# (design, idea 3).
CARD = ("flight/card.hpp", "flight/step.hpp", "flight/phase.hpp", "flight/named_aid.hpp", "flight/needle_sense.hpp",
        "flight/radio_setting.hpp", "navdata/turn.hpp", "procedure/hold_entry.hpp")
NARROW = {"rehearsal/pilot": ("base/", "cockpit/", *CARD)}
INCLUDE = re.compile(r'^\s*#\s*include\s*"([^"]+)"', re.MULTILINE)
SYSTEM_INCLUDE = re.compile(r"^#include <([^>]+)>", re.MULTILINE)
ANY_INCLUDE = re.compile(r"^[ \t]*#[ \t]*include.*$", re.MULTILINE)
SPELLED_OUT = re.compile(r'#include (?:"([^"]+)"|<[^>]+>)')
SYSTEM_FOLDERS = ("/usr/include/", "/usr/local/include/")


def library_of(path: str):
    for folder in SYSTEM_FOLDERS:
        if path.startswith(folder):
            inside = path[len(folder):]
            for prefix, target in LIBRARIES.items():
                if inside.startswith(prefix):
                    return prefix, target
    return None


class Report:
    def __init__(self):
        self.refusals = []

    def refuse(self, sentence: str):
        if sentence not in self.refusals:
            self.refusals.append(sentence)


def include_lists(build: Path, report: Report) -> dict[str, list[Path]]:
    """Object -> everything the compiler read for it, for the objects of the build as it is configured now."""
    commands = json.loads((build / "compile_commands.json").read_text(encoding="utf-8"))
    objects = {re.search(r" -o (\S+) -c ", command["command"])[1]: command["file"] for command in commands}
    said = subprocess.run(["ninja", "-C", build, "-t", "deps"], capture_output=True, text=True, check=True).stdout
    lists = {}
    resolved = cache(lambda spelled: (build / spelled).resolve())
    for block in said.split("\n\n"):
        head, *lines = block.strip().split("\n")
        found = re.match(r"(?:ninja: .*\n)?(.+): #deps \d+, deps mtime \d+ \((VALID|STALE)\)$", head)
        if found and found[1] in objects and found[2] == "VALID":
            lists[found[1]] = [resolved(line.strip()) for line in lines]
    for name, source in objects.items():
        if name not in lists:
            report.refuse(f"{name} has no include list: build everything first ({source} is not compiled)")
    return lists


def check(root: Path, build: Path) -> Report:
    report = Report()
    floors = read_floors(root / "CMakeLists.txt")
    source_folder = (root / "src").resolve()
    header_folder = (build / "headers").resolve()
    joined_folder = (build / "joined").resolve()

    declared = []
    for floor in floors.values():
        for used in floor.uses:
            if used not in floors:
                report.refuse(f"{floor.name} uses {used}, which is no floor")
            elif used not in declared:
                report.refuse(f"{floor.name} uses {used}, which is declared after it")
        declared.append(floor.name)
    for folder in sorted(path for path in source_folder.iterdir() if path.is_dir()):
        if folder.name not in floors:
            report.refuse(f"src/{folder.name} is no declared floor")

    def floor_of(path: Path):
        return path.relative_to(source_folder).parts[0] if path.is_relative_to(source_folder) else None

    def shown(path: Path):
        return path.relative_to(root.resolve()).as_posix()

    reach = reach_in(source_folder)

    def included_by_text(header: str) -> list[Path]:
        """What a header reaches, for rules 2 and 5: headers of ours and the doors of libraries."""
        ours = sorted({header} | reach(header))
        doors = {Path("/usr/include") / spelled for one in ours if (source_folder / one).exists()
                 for spelled in SYSTEM_INCLUDE.findall((source_folder / one).read_text(encoding="utf-8"))}
        return [source_folder / one for one in ours] + sorted(doors)

    def hold(asking: str, floor_name: str, included: list[Path], is_test: bool, public_header: bool):
        floor = floors[floor_name]
        may_reach = closure(floors, floor_name) | {floor_name}
        links = set(floor.links)
        if is_test:
            for used in floor.test_uses:
                may_reach |= {used} | closure(floors, used)
            links |= set(floor.test_links) | {"tests"}
        own = asking.removeprefix("src/").rsplit(".", 1)[0]
        narrow = NARROW.get(own)
        for path in included:
            reached = floor_of(path)
            within = path.relative_to(source_folder).as_posix() if reached is not None else own
            if narrow and not within.startswith((own, *narrow)):
                report.refuse(f"{asking} reaches src/{within}: it may see {', '.join(narrow)} alone")
            if reached is not None and reached not in may_reach:
                report.refuse(f"{asking} reaches {shown(path)}: {floor_name} does not use {reached}, "
                              "nor does any floor it uses")
            library = library_of(path.as_posix())
            if library is None:
                continue
            prefix, target = library
            if public_header:
                report.refuse(f"{asking} is a public header and reaches <{prefix}...>: third-party types stay in .cpp files")
            elif target != "fmt::fmt" and target not in links:
                report.refuse(f"{asking} reaches <{prefix}...>: {floor_name} does not name {target} in LINKS")

    built, alone = set(), set()
    for name, included in include_lists(build, report).items():
        source = included[0]
        if source.is_relative_to(header_folder):
            headers = list(dict.fromkeys(INCLUDE.findall(source.read_text(encoding="utf-8"))))
            if not is_chain(headers, reach):
                report.refuse(f"{' and '.join(headers)} are compiled in one file, and not each of them includes the one before it")
                continue
            for header in headers:
                path = source_folder / header
                alone.add(path)
                if floor_of(path) in floors:
                    hold(shown(path), floor_of(path), included if header == headers[-1] else included_by_text(header), False,
                         "detail" not in path.parts)
            continue
        parts = [source]
        if source.is_relative_to(joined_folder):
            parts = [source_folder / spelled for spelled in INCLUDE.findall(source.read_text(encoding="utf-8"))]
        built.update(parts)
        if floor_of(parts[0]) not in floors:
            continue  # tests/ and bench/ cross floors by their nature
        hold(" or ".join(map(shown, parts)), floor_of(parts[0]), included, parts[0].name.endswith("_test.cpp"), False)

    for path in sorted(source_folder.rglob("*")):
        if path.suffix not in (".cpp", ".hpp") or floor_of(path) not in floors:
            continue
        floor = floors[floor_of(path)]
        if path.suffix == ".cpp" and path not in built:
            report.refuse(f"{shown(path)} is in no target of the build")
        if path.suffix == ".hpp" and path not in alone:
            report.refuse(f"{shown(path)} is not compiled alone (OMNIWAY_CHECK_HEADERS)")
        if path.suffix == ".hpp":
            text = path.read_text(encoding="utf-8")
            first = FIRST_DECLARATION.search(text)
            for found in ANY_INCLUDE.finditer(text):
                spelled_out = SPELLED_OUT.match(found[0])
                if not spelled_out or (spelled_out[1] and not (source_folder / spelled_out[1]).exists()):
                    report.refuse(f"{shown(path)}: {found[0].strip()} does not spell its file from src/")
                elif first and found.start() > first.start():
                    report.refuse(f"{shown(path)}: {found[0].strip()} stands below the first declaration")
        allowed = {floor.name, *floor.uses}
        if path.name.endswith("_test.cpp"):
            allowed |= set(floor.test_uses)
        for spelled in INCLUDE.findall(path.read_text(encoding="utf-8", errors="replace")):
            candidates = [(source_folder / spelled).resolve(), (path.parent / spelled).resolve()]
            for candidate in candidates:
                included = floor_of(candidate) if candidate.exists() else None
                if included is not None and included not in allowed:
                    report.refuse(f"{shown(path)} includes \"{spelled}\": {floor.name} does not name {included} in USES")
                if included not in (None, floor.name) and "detail" in candidate.parts:
                    report.refuse(f"{shown(path)} includes \"{spelled}\": detail/ is for the floor {included} alone")
    return report


def main() -> int:
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    root = Path(__file__).resolve().parent.parent
    build = Path(sys.argv[1]).resolve()
    if not (build / "compile_commands.json").exists():
        sys.exit(f"{build} is no configured build folder: cmake --preset release")
    report = check(root, build)
    for refusal in report.refusals:
        print(refusal)
    if report.refusals:
        print(f"floors: {len(report.refusals)} refused")
        return 1
    print("floors: every include is within what is declared")
    return 0


if __name__ == "__main__":
    sys.exit(main())
