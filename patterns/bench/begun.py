"""A treatment that was begun on the page and is not kept with its pattern yet: it survives a reload and a crash.

It lies with the drafts of the books; what is kept with the pattern is untouched until a person keeps it.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from patterns.bench.shelf import Shelf
from patterns.errors import MendfoldError
from patterns.files import write_file
from patterns.reading import LARGEST_ADDED_BYTES, read_bytes
from patterns.report.filling import TypedRow


@dataclass(frozen=True, slots=True)
class Begun:
    """What was typed: the head's words, the rows of each table, and which kept state they were typed over."""

    seen: str
    head: TypedRow = field(default_factory=dict)
    rows: Mapping[str, Sequence[TypedRow]] = field(default_factory=dict)


def path(shelf: Shelf, name: str) -> Path:
    """Return where the treatment of a pattern lies until it is kept."""
    return shelf.hidden / f"{name}.treatment.json"


def remember(shelf: Shelf, name: str, begun: Begun) -> None:
    """Write what was typed. Raises WriteError."""
    held = {"seen": begun.seen, "head": begun.head, "rows": begun.rows}
    write_file(path(shelf, name), json.dumps(held, ensure_ascii=False).encode())


def begun(shelf: Shelf, name: str) -> Begun | None:
    """Return what was typed and not kept; None where nothing was, or nothing that can be read."""
    there = path(shelf, name)
    if not there.is_file():
        return None
    try:
        held = json.loads(read_bytes(there, LARGEST_ADDED_BYTES))
        return Begun(str(held["seen"]), held["head"], held["rows"])
    except (MendfoldError, ValueError, KeyError, TypeError):
        return None


def done(shelf: Shelf, name: str) -> None:
    """Forget it: it is kept with its pattern now."""
    path(shelf, name).unlink(missing_ok=True)
