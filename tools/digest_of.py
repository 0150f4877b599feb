#!/usr/bin/env python3
"""One digest of files and folders and of all around them that a test may read.

    digest_of.py PATH...

What is around them is as tools/run_tests.py has it: every file of the repository that is not source, the real data, what was built in
share/, the machine's packages, and the settings whose names begin with OMNIWAY_. Folders count by the names and bytes in them.
"""
import hashlib
import sys
from pathlib import Path

from run_tests import Digests, of_surroundings


def digest(root: Path, build: Path, paths: list[Path]) -> str:
    digests = Digests()
    total = hashlib.sha256(of_surroundings(root, build, digests).encode())
    for path in paths:
        total.update(f"{path} {digests.of(path)}\n".encode())
    return total.hexdigest()


if __name__ == "__main__":
    if len(sys.argv) < 2:
        sys.exit(__doc__)
    print(digest(Path.cwd(), Path("build/release"), [Path(name) for name in sys.argv[1:]]))
