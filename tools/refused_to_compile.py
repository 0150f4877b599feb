#!/usr/bin/env python3
"""Sees that the compiler refuses wrong code, and for the reason that was meant.

    refused_to_compile.py FILE NUMBER COMPILER FLAGS...

FILE holds snippets between #if SNIPPET == 0, #elif SNIPPET == 1, ... and #endif. Snippet 0 is the control: right code that
differs from the wrong as little as can be, and must compile. Every other must be refused, and where its line says so, the
compiler must say these words:

    #elif SNIPPET == 2  // a length is not a speed; says: no match for 'operator='
"""
import re
import subprocess
import sys

LINE = re.compile(r"^#(?:el)?if SNIPPET ==\s+(\d+)(?:\s*//\s*(.*?)(?:;\s*says:\s*(.*?))?)?\s*$", re.MULTILINE)


def snippets(text: str) -> dict[int, tuple[str, str]]:
    """Number -> what it is, the words the compiler must say (none: empty)."""
    joined = text.replace("\\\n", "")  # the formatter breaks a long line so
    return {int(number): (what or "", words or "") for number, what, words in LINE.findall(joined)}


def verdict(file: str, number: int, compile_command: list[str]) -> str:
    """Empty where the compiler did what it should, else what it did instead."""
    with open(file, encoding="utf-8") as opened:
        known = snippets(opened.read())
    if number not in known:
        return f"{file} has no snippet {number}"
    what, words = known[number]
    done = subprocess.run([*compile_command, f"-DSNIPPET={number}", "-fsyntax-only", file],
                          capture_output=True, text=True)
    if number == 0:
        return "" if done.returncode == 0 else f"the control does not compile:\n{done.stderr}"
    if done.returncode == 0:
        return f"snippet {number} compiles, though it should not: {what}"
    said = done.stderr.replace("\u2018", "'").replace("\u2019", "'")
    if words and words not in said:
        return f"snippet {number} is refused, but not with the words \"{words}\":\n{said}"
    return ""


if __name__ == "__main__":
    if len(sys.argv) < 4:
        sys.exit(__doc__)
    sys.exit(verdict(sys.argv[1], int(sys.argv[2]), sys.argv[3:]) or 0)
