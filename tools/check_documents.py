#!/usr/bin/env python3
"""Holds what the repository says of its own documents against what is there.

    check_documents.py [ROOT]

Every page of docs/ named anywhere - in a comment, a sentence of the program, a script, a page - is a file, and every
relative link of a page leads to one. Nothing larger than any of them lies in the root: what a debugger or a build left there does
not belong. Reports (docs/reports/) are written by a tool from real data: they are asked for as soon
as that folder is there. Exit status 0 when all do, 1 otherwise.
"""
import re
import sys
from pathlib import Path

FOLDERS = ("api", "bench", "cmake", "data", "docs", "src", "tests", "tools")
REPORTS = "docs/reports/"
NOT_READ = {".json", ".csv", ".wmm", ".pyc", ".atlas"}
NAMED = re.compile(r"\bdocs/[A-Za-z0-9_./-]*\.md\b")
LINK = re.compile(r"\]\(([^)#\s]+)(?:#[^)]*)?\)")
ELSEWHERE = re.compile(r"^[a-z]+:")
LARGEST_IN_ROOT = 200_000  # bytes
CODE = re.compile(r"```.*?```|^    .*$|`[^`\n]*`", re.DOTALL | re.MULTILINE)


def files(root: Path) -> list[Path]:
    found = [path for path in root.iterdir() if path.is_file()]
    for folder in FOLDERS:
        found += [path for path in (root / folder).rglob("*") if path.is_file()]
    return sorted(path for path in found if path.suffix not in NOT_READ)


def check(root: Path) -> list[str]:
    faults = []
    for path in files(root):
        if path.parent == root and path.stat().st_size > LARGEST_IN_ROOT:
            faults.append(f"{path.name}: {path.stat().st_size} bytes, which no document has: take it away")
            continue
        text = path.read_text(encoding="utf-8", errors="replace")

        def fault(at: int, sentence: str) -> None:
            line = text.count("\n", 0, at) + 1
            faults.append(f"{path.relative_to(root)}:{line}: {sentence}")

        for named in NAMED.finditer(text):
            is_report = named.group().startswith(REPORTS) and not (root / REPORTS).is_dir()
            if not is_report and not (root / named.group()).is_file():
                fault(named.start(), f"{named.group()} is named and is not there")
        if path.suffix == ".md":
            # Blanked, not cut, so that places stay.
            prose = CODE.sub(lambda code: re.sub(r"[^\n]", " ", code.group()), text)
            for link in LINK.finditer(prose):
                if not ELSEWHERE.match(link[1]) and not (path.parent / link[1]).exists():
                    fault(link.start(), f"the link to {link[1]} leads nowhere")
    return faults


def main() -> int:
    root = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).resolve().parent.parent
    faults = check(root)
    for fault in faults:
        print(fault)
    print(f"documents: {len(faults)} faults" if faults else "documents: every one that is named is there")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
