"""The scales a diagram may be drawn at, and the largest of them that its room holds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Scale:
    """A printed scale: `drawn` mm on paper stand for `real` mm of the book; one of them is 1."""

    drawn: int
    real: int = 1

    @property
    def factor(self) -> float:
        """What a length of the book is multiplied by."""
        return self.drawn / self.real

    def __str__(self) -> str:
        return f"{self.drawn}:{self.real}"


ENLARGED = tuple(Scale(n) for n in (10, 8, 6, 5, 4, 3, 2))
REDUCED = tuple(Scale(1, n) for n in (2, 3, 4, 5, 6, 8, 10, 15, 20, 30, 50, 100))
SCALES = (*ENLARGED, Scale(1), *REDUCED)
"""Largest first: whole-number ratios, which a reader can undo in the head."""


NOISE_MM = 1e-6
"""By so much a length may miss its room: a stitch worked out as 15.000000000000007 is one of 15."""


def largest(
    extents: Sequence[tuple[float, float]], most: Scale = Scale(1), least: Scale = REDUCED[-1]
) -> Scale | None:
    """Return the largest scale, from `most` down to `least`, that fits every (length, room) in mm.

    None where not even the least does.

    >>> str(largest([(330.0, 165.0)])), str(largest([(4.0, 40.0), (29.0, 168.0)], Scale(6)))
    ('1:2', '5:1')
    >>> str(largest([(82.0 - 67.000000000000007, 30.0)], Scale(3)))
    '2:1'
    """
    for scale in SCALES:
        within = least.factor <= scale.factor <= most.factor
        if within and all(length * scale.factor <= room + NOISE_MM for length, room in extents):
            return scale
    return None
