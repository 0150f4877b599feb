#!/usr/bin/env python3
"""Holds the error codes in the sources against docs/errors.md: every one is listed, every one listed is used.

    check_errors.py [ROOT]

A code is a literal such as "atlas.foreign" in a source or header under src/ that is no test, where either it is the first
thing given to failure(...) or Error{...}, or its first word (here: atlas) is the name of a floor or the first word of a
code in the table. So a code handed on through a function of a reader's own is found too. The table's rows begin with | `code` |.
Exit status 0 when both sides agree, 1 otherwise.
"""
import re
import sys
from pathlib import Path

CODE = r"[a-z_]+\.[a-z_]+"
ROW = re.compile(rf"^\|\s*`({CODE})`\s*\|(.*)\|\s*$", re.MULTILINE)
GIVEN = re.compile(rf'\b(?:failure\(|Error\s*\{{)\s*(?:\.code\s*=\s*)?"([^"]*)"')
LITERAL = re.compile(rf'"({CODE})"')
FILE_NAME = re.compile(r"\.(atlas|cpp|csv|hpp|json|md|toml|txt)$")
COMMENT = re.compile(r"^\s*//.*", re.MULTILINE)


def check(root: Path) -> list[str]:
    listed = {}
    faults = []
    for code, rest in ROW.findall((root / "docs/errors.md").read_text(encoding="utf-8")):
        if code in listed:
            faults.append(f"docs/errors.md lists {code} twice")
        listed[code] = rest
        cells = [cell.strip() for cell in rest.split("|")]
        if len(cells) != 3 or not all(cells):
            faults.append(f"docs/errors.md: {code} needs three more cells: where it comes from, example, what to do")
    first_words = {code.split(".")[0] for code in listed} | {path.name for path in (root / "src").iterdir()}

    used = {}
    for path in sorted((root / "src").rglob("*.[ch]pp")):
        if path.name.endswith("_test.cpp"):
            continue
        text = COMMENT.sub("", path.read_text(encoding="utf-8"))
        for code in GIVEN.findall(text):
            if not re.fullmatch(CODE, code):
                faults.append(f'{path.relative_to(root)}: "{code}" is no error code (two words and a dot between)')
            else:
                used.setdefault(code, path)
        for code in LITERAL.findall(text):
            if code.split(".")[0] in first_words and not FILE_NAME.search(code):
                used.setdefault(code, path)
    for code in sorted(used.keys() - listed.keys()):
        faults.append(f"{used[code].relative_to(root)}: {code} is not in docs/errors.md")
    for code in sorted(listed.keys() - used.keys()):
        faults.append(f"docs/errors.md lists {code}, which no source gives")
    return faults


def main() -> int:
    root = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).resolve().parent.parent
    faults = check(root)
    for fault in faults:
        print(fault)
    print(f"errors: {len(faults)} faults" if faults else "errors: the sources and docs/errors.md agree")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
