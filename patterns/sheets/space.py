"""The free room of a page, as the largest empty rectangles: something is set, the rest remains."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from patterns.sheets.obstacles import Sides
from patterns.sketch.marks import Box

GAP = 5.0
LEAST = 2.0
NEAR = 1e-6


class Space:
    """The largest rectangles of a page that are still empty."""

    def __init__(self, box: Box, taken: Iterable[Box] = ()) -> None:
        self._free: list[Sides] = [(box.left, box.top, box.right, box.bottom)]
        self.drawings: tuple[Box, ...] = ()
        for one in taken:
            self.take(one, gap=0.0)

    def copy(self) -> Space:
        """Return the same free room, to try something in."""
        other = Space.__new__(Space)
        other._free = self._free
        other.drawings = self.drawings
        return other

    def take(self, box: Box, gap: float = GAP, drawing: bool = False) -> None:
        """Fill a box and the gap round it; `drawing` says that words may belong to what stands there."""
        if drawing:
            self.drawings = (*self.drawings, box)
        filled = (box.left - gap, box.top - gap, box.right + gap, box.bottom + gap)
        whole: list[Sides] = []
        parts: list[Sides] = []
        for free in self._free:
            if _meet(free, filled):
                parts += _rest(free, filled)
            else:
                whole.append(free)
        for one in sorted(parts, key=_area, reverse=True):
            if not _held(one, whole):
                whole.append(one)
        self._free = whole

    @property
    def rooms(self) -> list[Box]:
        """The empty rectangles, which overlap, the smallest first."""
        return [Box(*one) for one in sorted(self._free, key=_area)]

    def corner(self, width: float, height: float) -> Box | None:
        """Return the highest place, then the leftmost, that takes a box of this size."""
        best: tuple[float, float] | None = None
        for left, top, right, bottom in self._free:
            if right - left >= width - NEAR and bottom - top >= height - NEAR:
                at = (round(top, 3), left)
                if best is None or at < best:
                    best, exact = at, top
        return None if best is None else Box(best[1], exact, best[1] + width, exact + height)


def _area(one: Sides) -> float:
    return (one[2] - one[0]) * (one[3] - one[1])


def _meet(one: Sides, other: Sides) -> bool:
    return (
        min(one[2], other[2]) - max(one[0], other[0]) > NEAR
        and min(one[3], other[3]) - max(one[1], other[1]) > NEAR
    )


def _held(one: Sides, others: Iterable[Sides]) -> bool:
    """Tell whether one of some rectangles holds another."""
    left, top, right, bottom = one[0] + NEAR, one[1] + NEAR, one[2] - NEAR, one[3] - NEAR
    for other in others:
        if other[0] <= left and other[1] <= top and other[2] >= right and other[3] >= bottom:
            return True
    return False


def _rest(free: Sides, filled: Sides) -> Iterator[Sides]:
    """Yield what a filled box leaves of a free one: up to four rectangles that may overlap."""
    left, top, right, bottom = free
    for one in (
        (left, top, min(right, filled[0]), bottom),
        (max(left, filled[2]), top, right, bottom),
        (left, top, right, min(bottom, filled[1])),
        (left, max(top, filled[3]), right, bottom),
    ):
        if one[2] - one[0] > LEAST and one[3] - one[1] > LEAST:
            yield one
