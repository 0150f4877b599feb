#!/usr/bin/env python3
"""Runs the tests of a preset that have not passed before with the same programs and the same data.

    run_tests.py PRESET [--again] [CTEST_ARGUMENT...]

A test asks the same question again where all it may read is the same: the programs, scripts and data in its command, what was built
beside them in share/, every file of the repository that is not source (of those a program is built), the real data, the machine's
packages, and the settings whose names begin with OMNIWAY_. (Properties draw new cases at each run: they then rest on those they drew.)
What passed is kept in build/PRESET/passed-tests.json. Never kept are those that measure time or the machine (NEVER_KEPT), and what
was skipped. --again runs all of them.
Exit status: that of ctest; 0 where nothing is left to run. With --output-junit, what passed before stands in the file too.
"""
import hashlib
import json
import os
import re
import subprocess
import sys
import xml.etree.ElementTree as ElementTree
from pathlib import Path

NEVER_KEPT = re.compile(r"^(Command\.OverHttp$|Tools\.|RefusedToCompile\.)")
# Of these a program is built, or nothing at all.
SOURCE = re.compile(r"^((src|tests|tools)/.*\.[ch]pp|web/.*|bench/.*|CHANGELOG\.md)$")
# A cache that the program fills as it is asked, and can do without.
CACHE = ".horizons"


class Digests:
    """SHA-256 of files, and of folders by name and content."""

    def __init__(self):
        self.known = {}

    def of(self, path: Path) -> str:
        if path not in self.known:
            self.known[path] = self._folder(path) if path.is_dir() else hashlib.sha256(path.read_bytes()).hexdigest()
        return self.known[path]

    def _folder(self, folder: Path) -> str:
        total = hashlib.sha256()
        for path in sorted(folder.rglob("*")):
            if path.is_file() and path.suffix != CACHE:
                total.update(f"{path.relative_to(folder)} {self.of(path)}\n".encode())
        return total.hexdigest()


def of_repository(root: Path, digests: Digests) -> str:
    """Every file of the repository that a test may read as it runs."""
    listed = subprocess.run(["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"], cwd=root, check=True,
                            capture_output=True, text=True).stdout.split("\0")
    total = hashlib.sha256()
    for name in sorted(filter(None, listed)):
        if not SOURCE.match(name) and (root / name).is_file():
            total.update(f"{name} {digests.of(root / name)}\n".encode())
    return total.hexdigest()


def of_real_data(root: Path) -> str:
    """By names, sizes and times: it is large, and nobody here writes to it."""
    folder = root / os.environ.get("OMNIWAY_REAL_DATA", "../shared/navdata")
    lines = []
    for path in sorted(folder.rglob("*")):
        if path.is_file():
            lines.append(f"{path.relative_to(folder)} {path.stat().st_size} {path.stat().st_mtime_ns}")
    return "\n".join(lines)


def of_surroundings(root: Path, build: Path, digests: Digests) -> str:
    packages = Path("/var/lib/dpkg/status")
    share = build / "share"
    settings = sorted(f"{name}={value}" for name, value in os.environ.items() if name.startswith("OMNIWAY_"))
    return "\n".join([of_repository(root, digests), of_real_data(root), digests.of(packages) if packages.is_file() else "",
                      digests.of(share) if share.is_dir() else "", *settings])


def key_of(test: dict, root: Path, surroundings: str, digests: Digests) -> str:
    total = hashlib.sha256(surroundings.encode())
    for word in test["command"]:
        path = Path(word)
        said = digests.of(path) if path.is_absolute() and path.exists() else ""
        total.update(f"{word.replace(str(root), '.')} {said}\n".encode())
    total.update(json.dumps(test.get("properties", []), sort_keys=True).replace(str(root), ".").encode())
    return total.hexdigest()


def listed_tests(ctest: list[str]) -> list[dict]:
    shown = subprocess.run([*ctest, "--show-only=json-v1"], check=True, capture_output=True, text=True).stdout
    return json.loads(shown)["tests"]


def junit_file(arguments: list[str]) -> Path | None:
    return Path(arguments[arguments.index("--output-junit") + 1]) if "--output-junit" in arguments else None


def passed_in(junit: Path) -> set[str]:
    return {case.get("name") for case in ElementTree.parse(junit).getroot().iter("testcase") if case.get("status") == "run"}


def add_to_junit(junit: Path, names: list[str]) -> None:
    tree = ElementTree.parse(junit)
    for name in names:
        ElementTree.SubElement(tree.getroot(), "testcase", name=name, status="run")
    tree.write(junit)


def main() -> int:
    preset, *arguments = sys.argv[1:]
    again = "--again" in arguments
    arguments = [argument for argument in arguments if argument != "--again"]
    root = Path.cwd()
    build = root / "build" / preset
    kept_file = build / "passed-tests.json"
    ctest = ["ctest", "--preset", preset]

    digests = Digests()
    surroundings = of_surroundings(root, build, digests)
    tests = listed_tests(ctest)
    keys = {test["name"]: key_of(test, root, surroundings, digests) for test in tests if not NEVER_KEPT.match(test["name"])}
    kept = set() if again or not kept_file.is_file() else set(json.loads(kept_file.read_text()))
    before = [name for name, key in keys.items() if key in kept]
    left = [number for number, test in enumerate(tests, 1) if keys.get(test["name"]) not in kept]
    print(f"{len(before)} of {len(tests)} tests passed before with the same programs and the same data; {len(left)} are run", flush=True)
    if not left:
        return 0

    junit = junit_file(arguments) or build / "tests.xml"
    junit.unlink(missing_ok=True)
    if "--output-junit" not in arguments:
        arguments += ["--output-junit", str(junit)]
    status = subprocess.run([*ctest, "-I", ",".join(["0", "0", "0", *map(str, left)]), *arguments]).returncode
    passed = passed_in(junit) if junit.is_file() else set()
    kept_file.write_text(json.dumps(sorted({keys[name] for name in before} | {keys[name] for name in passed if name in keys}), indent=0))
    if junit.is_file():
        add_to_junit(junit, before)
    return status


if __name__ == "__main__":
    sys.exit(main())
