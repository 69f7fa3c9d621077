"""Which part of the program a module belongs to: told by its path, before and after a move."""

from __future__ import annotations

from collections.abc import Iterable

PACKAGE = "patterns/"
ROOMS = (
    ("formulas", ("formulas/",)),
    ("parts", ("parts/", "structures/shared/")),
    ("structures", ("structures/", "catalogue", "template")),
    ("sewing", ("sewing/",)),
    ("book", ("book/", "book.py", "spine.py")),
    (
        "drafting",
        ("drafting", "combining", "job.py", "output.py"),
    ),
    ("record", ("record", "interview")),
    ("traced", ("traced/",)),
    ("stock", ("stock/", "materials", "cautions", "paper.py", "printer")),
    ("writers", ("writers/", "render/")),
    ("tiling", ("sheets/til", "layout/til")),
    ("sheets", ("sheets/", "layout/")),
    ("examine", ("examine",)),
    ("sketch", ("sketch/",)),
    ("gallery", ("gallery/", "redraft", "thumbnail")),
    ("report", ("report",)),
    ("model", ("model/", "drawing.py", "piece.py", "lettering")),
    ("foundations", ("units.py", "errors.py", "values.py", "files.py", "reading.py")),
    ("commands", ("commands/", "cli.py", "__main__.py")),
)
"""Rooms with the beginnings of their modules' paths; the first that fits is taken."""


def room(path: str) -> str:
    """Return the room of a module; one that is not listed is named after its first folder.

    >>> room("patterns/layout/tile.py"), room("patterns/sheets/tiles/marks.py")
    ('tiling', 'tiling')
    >>> room("patterns/bench/server.py"), room("patterns/new.py")
    ('bench', 'new')
    """
    inside = path.removeprefix(PACKAGE)
    for name, starts in ROOMS:
        if inside.startswith(starts):
            return name
    return inside.split("/")[0].removesuffix(".py")


def in_order(names: Iterable[str]) -> list[str]:
    """Return rooms in the table's order, those that it does not list at the end."""
    listed = [name for name, _ in ROOMS]
    return sorted(set(names), key=lambda name: (listed.index(name) if name in listed else 99, name))
