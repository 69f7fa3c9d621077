"""How much thicker new thread makes the spine, height by height.

Thread outside on a lining lies beside the folds and adds nothing to them. What lies inside a fold
presses the gatherings apart where it lies: at the height y the spine grows by κ·d for each gathering
that has thread inside its fold there, d the thread's diameter, κ from 0.5 in soft paper to 1.0 in hard.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import NamedTuple

SOFT, LIKELY, HARD = 0.5, 0.75, 1.0
"""κ: what of a thread's diameter the paper does not take up."""
ALLOWED_MM, ALLOWED_SHARE = 2.0, 0.03
"""Swell within the greater of these, the second a share of the girth, is let pass (practice)."""
LAID_DRY_MM = 2.0
"""From this most swell on a lining is laid dry and pasted through after the sewing (practice)."""
READ_AGAIN_MM = 1.0
"""From this most swell on what lies above the sewing waits for the strip read after it (practice)."""

Pairs = Sequence[tuple[float, float]]


class Swell(NamedTuple):
    """Added swell where it is largest: so many gatherings have thread inside their fold there."""

    gatherings: int
    at_mm: float
    """Middle of the first stretch of the fold where it is so, below the head."""
    diameter_mm: float
    allowed_mm: float

    @property
    def least_mm(self) -> float:
        """In soft paper."""
        return SOFT * self.gatherings * self.diameter_mm

    @property
    def likely_mm(self) -> float:
        """Half way between soft and hard paper."""
        return LIKELY * self.gatherings * self.diameter_mm

    @property
    def most_mm(self) -> float:
        """In hard paper."""
        return HARD * self.gatherings * self.diameter_mm

    @property
    def within(self) -> bool:
        """True where the likely swell is no more than is let pass."""
        return self.likely_mm <= self.allowed_mm + 1e-9

    @property
    def laid_dry(self) -> bool:
        """True where a lining pasted and dried beforehand would hold the spine back."""
        return self.most_mm > LAID_DRY_MM

    @property
    def read_again(self) -> bool:
        """True where the girth must be read after the sewing before anything is cut for it."""
        return self.most_mm > READ_AGAIN_MM


def allowed_mm(girth_mm: float) -> float:
    """Return the swell that is let pass on a girth: max(2 mm, 3 %).

    >>> round(allowed_mm(73), 2), allowed_mm(40)
    (2.19, 2.0)
    """
    return max(ALLOWED_MM, ALLOWED_SHARE * girth_mm)


def most_level(holes_mm: Mapping[int, Pairs], path: str) -> tuple[int, float]:
    """Return how many gatherings have thread inside their fold at one height at most, and the height.

    `holes_mm` are the holes of every stitch by gathering. Sewn `fold` the thread lies inside from the
    first hole of a gathering to its last; in `loops` its ends are tied inside between the two holes of
    each stitch; sewn `continuous` the stitch itself lies inside, and the travel outside.

    >>> two = {1: [(20, 35), (80, 95)], 4: [(50, 65)], 7: [(85, 100)]}
    >>> most_level(two, "fold"), most_level(two, "loops")
    ((2, 57.5), (2, 90.0))
    """
    spans = [span for pairs in holes_mm.values() for span in _inside(pairs, path)]
    ends = sorted({y for span in spans for y in span})
    best, at = 0, 0.0
    for low, high in pairwise(ends):
        middle = (low + high) / 2
        count = sum(a < middle < b for a, b in spans)
        if count > best:
            best, at = count, middle
    return best, at


def _inside(pairs: Pairs, path: str) -> list[tuple[float, float]]:
    """Return the stretches of one fold along which thread lies inside it."""
    if path == "fold" and pairs:
        return [(pairs[0][0], pairs[-1][1])]
    return list(pairs)
