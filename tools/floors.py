"""Reads the add_floor lines of a CMakeLists.txt: the one place where the floors and what they use are declared."""
import re
from dataclasses import dataclass, field
from pathlib import Path

LISTS = ("USES", "LINKS", "TEST_USES", "TEST_LINKS")


@dataclass
class Floor:
    name: str
    uses: list[str] = field(default_factory=list)
    links: list[str] = field(default_factory=list)
    test_uses: list[str] = field(default_factory=list)
    test_links: list[str] = field(default_factory=list)


def read_floors(cmake_lists: Path) -> dict[str, Floor]:
    """By name, in the order of declaration: lowest first."""
    text = re.sub(r"#.*", "", cmake_lists.read_text(encoding="utf-8"))
    floors = {}
    for body in re.findall(r"\badd_floor\s*\(([^)]*)\)", text):
        name, *words = body.split()
        floor = Floor(name)
        current = None
        for word in words:
            if word in LISTS:
                current = getattr(floor, word.lower())
            else:
                current.append(word)
        floors[name] = floor
    return floors


def closure(floors: dict[str, Floor], name: str) -> set[str]:
    """Every floor that may be reached from this one by way of the floors it uses."""
    reached = set()
    waiting = list(floors[name].uses)
    while waiting:
        used = waiting.pop()
        if used not in reached and used in floors:
            reached.add(used)
            waiting.extend(floors[used].uses)
    return reached
