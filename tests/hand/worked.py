"""What a book worked out by hand consists of."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

Point = tuple[float, float]
Run = tuple[Point, Point]


def rectangle(left: float, top: float, right: float, bottom: float) -> tuple[Point, ...]:
    """Return the corners of an upright rectangle."""
    return ((left, top), (right, top), (right, bottom), (left, bottom))


@dataclass(frozen=True)
class Zone:
    """A pasted or free part of one face: what it goes to, and its corners."""

    kind: str
    face: str
    to: str
    outline: tuple[Point, ...]


@dataclass(frozen=True)
class Cut:
    """One piece: corners, creases and holes in mm, as its table gives them."""

    outline: tuple[Point, ...]
    folds: tuple[Run, ...] = ()
    holes: tuple[Point, ...] = ()
    old_holes: tuple[Point, ...] = ()
    slits: tuple[Run, ...] = ()
    openings: tuple[tuple[Point, ...], ...] = ()
    zones: tuple[Zone, ...] | None = None
    """None where the table does not say."""
    grain: str = "any"
    quantity: int = 1
    cut_first: tuple[Point, ...] = ()
    kinds: tuple[str, ...] = ()
    """Of each fold, valley or mountain; valley throughout where left empty."""
    left: str = ""
    right: str = ""
    """Words at the left and right edges."""
    head: str = "HEAD"
    tail: str = "TAIL"


@dataclass(frozen=True)
class Worked:
    """A book, what is asked for it, and all that must come of it."""

    record: str
    structures: tuple[str, ...]
    pieces: Mapping[str, Cut]
    quantities: Mapping[str, float] = field(default_factory=dict)
    """Printed figures by their names in pattern.json."""
    settings: Mapping[str, str] = field(default_factory=dict)
    paper: str = "A4"
    said: tuple[str, ...] = ()
    """Words with figures that the steps and sheets must carry."""
    stations: tuple[float, ...] = ()
    within: float = 0.006
    """How far a figure may lie from the table, in mm: the table's own rounding."""
