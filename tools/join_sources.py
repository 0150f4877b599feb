#!/usr/bin/env python3
"""Joins the sources of one target into fewer files, so that their headers are parsed and their templates made once for several.

    join_sources.py FOLDER NAME LINES SOURCE...

Writes FOLDER/NAME_1.cpp, ... and prints what is to be compiled in place of the sources, in one line, parted by semicolons.
A joined file takes sources of LINES lines at most (comments not counted). A source whose own names, those of its unnamed
namespace, occur in another one is not joined with that: nothing clashes, nothing is shadowed and no call changes its meaning, and no
name has to be chosen with an eye to another file. A source with a pragma, which may speak of all that follows, is joined with no
other; one that is joined with no other stands for itself.

The sources lie under src/, which the include path names. Nothing is written where nothing changed.
"""
import re
import sys
from dataclasses import dataclass
from pathlib import Path

NOISE = re.compile(r'R"(\w*)\(.*?\)\1"|"(?:\\.|[^"\\\n])*"|\'(?:\\.|[^\'\\])\'|//[^\n]*|/\*.*?\*/', re.DOTALL)
WORD = re.compile(r"[A-Za-z_]\w*")
# What stands at the left margin of an unnamed namespace and makes a name; .clang-format puts every declaration there.
TYPE = re.compile(r"(?:template <.*> *)?(?:struct|class|enum class|enum|union|using) (\w+)")
OTHER = re.compile(r"(\w+)(?:\[\w*\])* ?[({=;]")
NO_NAME = re.compile(r"$|[ #}]|namespace |using [^=]*$|static_assert")


def without_noise(text: str) -> str:
    """Without comments and without what stands in quotation marks."""
    return NOISE.sub(lambda found: '""' if found[0][0] in "R\"'" else "", text)


def own_names(code: str) -> set[str]:
    """The names declared in unnamed namespaces of a source, noise taken out."""
    names, depth = set(), None
    for line in code.split("\n"):
        if line.startswith("namespace {"):
            depth = 0
            continue
        if depth is None:
            continue
        if depth == 0 and not NO_NAME.match(line):
            found = TYPE.match(line) or OTHER.search(line)
            # A macro for a test declares a name of its own.
            if found and not found[1].isupper():
                names.add(found[1])
        depth += line.count("{") - line.count("}")
        if depth < 0:
            depth = None
    return names


@dataclass
class Joined:
    sources: list[Path]
    own: set[str]
    words: set[str]
    lines: int

    def admits(self, other: "Joined", limit: int) -> bool:
        return (self.lines + other.lines <= limit and not self.own & other.words and not self.words & other.own
                and "pragma" not in self.words | other.words)

    def take(self, other: "Joined") -> None:
        self.sources += other.sources
        self.own |= other.own
        self.words |= other.words
        self.lines += other.lines


def alone(source: Path) -> Joined:
    code = without_noise(source.read_text(encoding="utf-8"))
    lines = sum(1 for line in code.split("\n") if line.strip())
    return Joined([source], own_names(code), set(WORD.findall(code)), lines)


def join(sources: list[Path], limit: int) -> list[Joined]:
    """Each source into the first that admits it."""
    joined: list[Joined] = []
    for source in sources:
        new = alone(source)
        first = next((each for each in joined if each.admits(new, limit)), None)
        if first:
            first.take(new)
        else:
            joined.append(new)
    return joined


def include_of(source: Path) -> str:
    parts = source.parts
    return "/".join(parts[len(parts) - parts[::-1].index("src"):])


def main() -> None:
    folder, name, limit = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
    folder.mkdir(parents=True, exist_ok=True)
    compiled = []
    for number, joined in enumerate(join([Path(word) for word in sys.argv[4:]], limit), 1):
        if len(joined.sources) == 1:
            compiled += joined.sources
            continue
        file = folder / f"{name}_{number}.cpp"
        text = "".join(f'#include "{include_of(source)}"\n' for source in joined.sources)
        if not file.exists() or file.read_text(encoding="utf-8") != text:
            file.write_text(text, encoding="utf-8")
        compiled.append(file)
    print(";".join(map(str, compiled)), end="")


if __name__ == "__main__":
    main()
