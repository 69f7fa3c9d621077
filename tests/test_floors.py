"""Imports point down only, floor by floor; structures never import each other."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import patterns
from patterns.structures import catalogue

PACKAGE = Path(patterns.__file__).parent
FLOORS = (
    ("errors", "units", "files", "locks", "one_at_a_time", "reading", "unfinished"),
    ("model", "formulas"),
    ("record", "stock", "traced", "sketch", "writers"),
    ("book", "sheets"),
    ("sewing",),
    ("structures",),
    ("examine", "drafting"),
    ("gallery", "report"),
    ("cutting", "survey", "bench"),
    ("commands", "cli", "__main__"),
)
"""Lowest first. Modules of one floor may import each other; no module imports from above."""


def modules() -> Iterator[tuple[str, Path]]:
    """Yield every module of the package with its dotted name below `patterns`."""
    for path in sorted(PACKAGE.rglob("*.py")):
        parts = path.relative_to(PACKAGE).with_suffix("").parts
        name = ".".join(part for part in parts if part != "__init__")
        if name:
            yield name, path


def floor(name: str) -> int:
    """Return the floor of a module: that of its own dotted name, else of its package."""
    for known in (name, name.split(".")[0]):
        found = [number for number, names in enumerate(FLOORS) if known in names]
        if found:
            return found[0]
    raise AssertionError(f"{name} stands on no floor: give it one in tests/test_floors.py")


def imports(path: Path) -> set[str]:
    """Return every module of the package imported anywhere in a file, functions included."""
    known = {name for name, _ in modules()}
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[0] == "patterns":
            base = (node.module or "").removeprefix("patterns").removeprefix(".")
            for alias in node.names:
                dotted = f"{base}.{alias.name}" if base else alias.name
                if dotted in known:
                    found.add(dotted)
                elif base:
                    found.add(base)
        if isinstance(node, ast.Import):
            names = (alias.name for alias in node.names)
            found |= {n.removeprefix("patterns.") for n in names if n.startswith("patterns.")}
    return found


def test_imports_point_down() -> None:
    """No module imports from a higher floor."""
    wrong = [
        f"{name} imports {other}"
        for name, path in modules()
        for other in imports(path)
        if floor(other) > floor(name)
    ]
    assert not wrong, "\n".join(wrong)


def structure(name: str) -> str:
    """Return the structure a module belongs to, drafting, sewing or asking for it; "" for others."""
    stem = name.removeprefix("structures.").removeprefix("suits.").removeprefix("sewings.")
    known = name.startswith("structures.") and (catalogue.folder() / f"{stem}.toml").exists()
    return stem if known else ""


def test_structures_do_not_import_each_other() -> None:
    """A structure stands by itself: it can be added or taken away with its own files."""
    wrong = [
        f"{name} imports {other}"
        for name, path in modules()
        if (own := structure(name))
        for other in imports(path)
        if other.startswith("structures.")
        and not other.startswith("structures.shared")
        and not (structure(other) == own and name != f"structures.suits.{own}")
    ]
    assert not wrong, "\n".join(wrong)


def test_there_is_no_circle() -> None:
    """Following imports never comes back to where it started."""
    graph = {name: imports(path) for name, path in modules()}
    done: set[str] = set()

    def visit(name: str, trail: tuple[str, ...]) -> None:
        assert name not in trail, " → ".join((*trail[trail.index(name) :], name))
        if name in done:
            return
        for other in sorted(graph.get(name, ())):
            visit(other, (*trail, name))
        done.add(name)

    for name in graph:
        visit(name, ())


def rooms() -> set[str]:
    """Return every package and module at the top of the program."""
    return {name.split(".")[0] for name, _ in modules()} - {"__main__"}


def test_the_picture_shows_every_room_on_its_floor() -> None:
    """The picture in DEVELOPERS.md: a number, the rooms of that floor, and what they are."""
    text = (PACKAGE.parent / "DEVELOPERS.md").read_text(encoding="utf-8")
    drawn = {
        room: int(number) - 1
        for number, row in re.findall(r"^ *(\d+) {2}(.+)$", text.split("```")[1], re.MULTILINE)
        for room in re.split(r" {2,}", row)
    }
    assert {room: drawn.get(room) for room in rooms()} == {room: floor(room) for room in rooms()}


def test_every_room_opens_with_one_paragraph() -> None:
    """What lives there, what it may touch, where to begin reading."""
    for room in rooms():
        opening = PACKAGE / room / "__init__.py"
        if opening.exists():
            words = ast.get_docstring(ast.parse(opening.read_text(encoding="utf-8"))) or ""
            assert re.search(r"\b[Tt]ouch", words), room
            assert re.search(r"Begin\s+with\s+`", words), room
