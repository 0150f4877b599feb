#!/usr/bin/env python3
"""Says how many tests on real data ran, from what ctest wrote down (--output-junit).

    count_real_data.py JUNIT_FILE

With OMNIWAY_REQUIRE_REAL_DATA=1 a skipped one, or none at all, is a failure (exit status 1).
"""
import os
import sys
import xml.etree.ElementTree as ElementTree


def count(junit: str) -> tuple[int, list[str]]:
    """How many ran, and the names of those that did not."""
    ran, skipped = 0, []
    for case in ElementTree.parse(junit).getroot().iter("testcase"):
        name = case.get("name", "")
        if "RealData" not in name.rpartition(".")[0]:
            continue
        if case.get("status") in ("run", "fail"):
            ran += 1
        else:
            skipped.append(name)
    return ran, skipped


def main() -> int:
    ran, skipped = count(sys.argv[1])
    print(f"real data: {ran} tests ran, {len(skipped)} were skipped")
    if os.environ.get("OMNIWAY_REQUIRE_REAL_DATA") != "1":
        return 0
    for name in skipped:
        print(f"real data is required, but skipped: {name}")
    if ran == 0:
        print("real data is required, but no test on it ran")
    return 1 if skipped or ran == 0 else 0


if __name__ == "__main__":
    sys.exit(main())
