"""What a layout is made of: rectangles in whole tenths of a millimetre, the gap in each.

`across` runs across the grain of the stock and `along` runs along it, both from the corner at
which cutting begins. Whole numbers compare exactly: two edges are level or they are not; and what
a list of cuts tells in tenths adds up without a rest, however many cuts there are.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import ceil
from typing import NamedTuple

UNIT = 10
"""Tenths of a millimetre in one: the finest that a person cuts by."""


def units(mm: float) -> int:
    """Return a length in whole tenths of a millimetre, never less than it is.

    >>> units(69.04), units(69.0)
    (691, 690)
    """
    return ceil(round(mm * UNIT, 4))


@dataclass(frozen=True, slots=True)
class Kind:
    """Pieces that are alike: their size with the gap, how many, and whether they may turn by 90°."""

    across: int
    along: int
    count: int
    turns: bool = False

    @property
    def area(self) -> int:
        """Area of one."""
        return self.across * self.along


class Shape(NamedTuple):
    """One way to lay a kind of piece, named by the kind's place in its list."""

    across: int
    along: int
    kind: int
    turned: bool = False


class LaidShape(NamedTuple):
    """Where one piece lies: the corner nearest to the beginning."""

    shape: Shape
    across: int
    along: int


class Region(NamedTuple):
    """A rectangle of stock that a through cut has parted or will part; sizes hold one gap."""

    across: int
    along: int
    width: int
    length: int


class Parted(NamedTuple):
    """What became of a region: the piece at its corner, and which cut comes first.

    `lengthwise`: the first cut runs along the grain over the whole region, the second parts what
    lies beside the piece's length; else the other way round. No spot: nothing was laid there.
    """

    region: Region
    spot: LaidShape | None = None
    lengthwise: bool = False


@dataclass(frozen=True, slots=True)
class Filled:
    """One rectangle of stock with what was laid on it; `parted` only for through cuts.

    `empty` is the area given up, where nothing found a place.
    """

    spots: tuple[LaidShape, ...]
    parted: tuple[Parted, ...] = ()
    empty: int = 0

    @property
    def used_length(self) -> int:
        """How far along the grain anything reaches, one gap included."""
        return max((one.along + one.shape.along for one in self.spots), default=0)


NOTHING = Filled(())

ANY_AREA = 1 << 62
"""More than any stock has."""

Fill = Callable[[Sequence[Shape], Sequence[bool], list[int], int, int, int], Filled]
"""Lay what is left on one rectangle: shapes in the order of their turn, a mark for each (whether its
first cut runs lengthwise, or whether it is laid at once), how many of each kind are left (counted
down), width and length, and the area that may stay empty: it is broken off when more does."""


def shapes_of(kinds: Sequence[Kind]) -> tuple[Shape, ...]:
    """Return every way to lay each kind: as it is, and turned where it may and that differs."""
    found: list[Shape] = []
    for number, kind in enumerate(kinds):
        found.append(Shape(kind.across, kind.along, number))
        if kind.turns and kind.across != kind.along:
            found.append(Shape(kind.along, kind.across, number, turned=True))
    return tuple(found)
