#!/usr/bin/env python3
"""The README's printed card is what the program prints for the command named above it.

    readme_test.py OMNIWAY DEMO_ATLAS [--write]

--write puts the program's answer into the README.
"""
import pathlib
import re
import shlex
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parents[2]
BLOCK = re.compile(r"^`build/release/(omniway plan [^`]*)`([^\n]*\n[^\n]+\n\n)((?:    [^\n]*\n|\n)+)", re.M)


def main() -> int:
    omniway, atlas = sys.argv[1:3]
    readme = ROOT / "README.md"
    text = readme.read_text(encoding="utf-8")
    blocks = list(BLOCK.finditer(text))
    if len(blocks) != 1:
        print(f"README.md: one printed plan is expected, {len(blocks)} found")
        return 1
    block = blocks[0]
    words = shlex.split(block[1])[1:]
    words[words.index("--atlas") + 1] = atlas
    answer = subprocess.run([omniway, *words], capture_output=True, text=True, timeout=60, check=True).stdout
    expected = "".join(f"    {line}".rstrip() + "\n" for line in answer.splitlines()) + "\n"
    if block[3] == expected:
        return 0
    if "--write" in sys.argv:
        readme.write_text(text[: block.start(3)] + expected + text[block.end(3) :], encoding="utf-8")
        return 0
    print("README.md: the printed plan is no longer what the program prints; tests/command/readme_test.py --write renews it")
    for printed, now in zip(block[3].splitlines(), expected.splitlines()):
        if printed != now:
            print(f"  README: {printed}\n  now:    {now}")
            break
    return 1


if __name__ == "__main__":
    sys.exit(main())
