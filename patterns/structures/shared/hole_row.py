"""The row of holes that a strip of cloth is sewn through along the base of the shoulder."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import floor

from patterns.errors import SettingError
from patterns.units import tenth

PITCH_MM = 12.0
"""Holes along the base of the shoulder (E. Burdett; A. W. Johnson, second-hand)."""
LEAST_HOLES = 3
"""Fewer are no row."""


@dataclass(frozen=True, slots=True)
class HoleRow:
    """The holes along the base of the shoulder, in mm below the head."""

    heights_mm: tuple[float, ...]
    supports_mm: tuple[float, ...]
    """Middles of the supports that lie under the row: the holes are spaced between them."""

    @property
    def pitches_mm(self) -> tuple[float, ...]:
        """Return the distance of every hole from the next."""
        return tuple(b - a for a, b in pairwise(self.heights_mm))

    @property
    def spacing_words(self) -> str:
        """Say how far apart the holes are.

        >>> HoleRow((12.0, 24.0, 36.5), ()).spacing_words
        '12.0 to 12.5 mm apart'
        """
        least, most = tenth(min(self.pitches_mm)), tenth(max(self.pitches_mm))
        return f"{least} mm apart" if least == most else f"{least} to {most} mm apart"


def hole_heights(
    height_mm: float, end_mm: float, supports_mm: Sequence[float] = (), off_mm: float = 0.0
) -> tuple[float, ...]:
    """Return the heights of the row from `end` below the head to `end` above the tail, in mm.

    No hole is nearer than `off_mm` to the middle of a support, nor than half a pitch: each stretch of the
    fold between two supports has ⌊length/12⌋ + 1 holes from its one end to the other, a stretch
    shorter than a pitch one in its middle. Raises SettingError where no row is left.

    >>> len(hole_heights(240, 12)), hole_heights(240, 12)[1]
    (19, 24.0)
    >>> hole_heights(100, 12, [50], 10)
    (12.0, 26.0, 40.0, 60.0, 74.0, 88.0)
    """
    off = max(off_mm, PITCH_MM / 2)
    row = _row(height_mm, end_mm, supports_mm, off)
    if len(row) < LEAST_HOLES:
        raise SettingError(_no_row(height_mm, end_mm, supports_mm, off))
    return row


def _row(
    height_mm: float, end_mm: float, supports_mm: Sequence[float], off: float
) -> tuple[float, ...]:
    row: list[float] = []
    top = end_mm
    for support in (*sorted(supports_mm), None):
        bottom = height_mm - end_mm if support is None else min(support - off, height_mm - end_mm)
        row.extend(_stretch(top, bottom))
        if support is not None:
            top = max(top, support + off)
    return tuple(row)


def _no_row(height_mm: float, end_mm: float, supports_mm: Sequence[float], off: float) -> str:
    """Say why no row is left, and up to which end one is: tried by half millimetres."""
    beside = " beside the supports" if supports_mm else ""
    left = tenth(max(0.0, height_mm - 2 * end_mm))
    words = f"sewn_cloth_joint.end: {tenth(end_mm)} mm at head and tail leave {left} mm for a row of holes{beside}"
    tried = (half / 2 for half in range(floor(2 * end_mm), -1, -1))
    fits = (end for end in tried if len(_row(height_mm, end, supports_mm, off)) >= LEAST_HOLES)
    most = next(fits, None)
    if most is None:
        return f"{words}; no end leaves one: so short a fold takes a joint of another kind"
    return f"{words}; allowed is up to {tenth(most)}"


def _stretch(top: float, bottom: float) -> tuple[float, ...]:
    """Return the holes of one stretch of the fold, evenly from its one end to the other."""
    length = bottom - top
    if length < -1e-9:
        return ()
    steps = floor(length / PITCH_MM + 1e-9)
    if not steps:
        return ((top + bottom) / 2,)
    return tuple(round(top + length * k / steps, 6) for k in range(steps + 1))
