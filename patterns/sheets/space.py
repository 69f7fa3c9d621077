"""The free room of a page, as the largest empty rectangles: something is set, the rest remains."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from patterns.sketch.marks import Box

GAP = 5.0
LEAST = 2.0


class Space:
    """The largest rectangles of a page that are still empty."""

    def __init__(self, box: Box, taken: Iterable[Box] = ()) -> None:
        self.free = [box]
        for one in taken:
            self.take(one, gap=0.0)

    def copy(self) -> Space:
        """Return the same free room, to try something in."""
        other = Space(Box(0.0, 0.0, 0.0, 0.0))
        other.free = list(self.free)
        return other

    def take(self, box: Box, gap: float = GAP) -> None:
        """Fill a box and the gap round it."""
        filled = box.grown(gap)
        kept: list[Box] = []
        for free in self.free:
            kept += _rest(free, filled) if free.meets(filled) else [free]
        self.free = [
            one
            for i, one in enumerate(kept)
            if not any(
                other.holds(one) and (i > j or not one.holds(other))
                for j, other in enumerate(kept)
                if i != j
            )
        ]

    def corner(self, width: float, height: float) -> Box | None:
        """Return the highest place, then the leftmost, that takes a box of this size."""
        fitting = [
            Box(f.left, f.top, f.left + width, f.top + height)
            for f in self.free
            if f.width >= width - 1e-6 and f.height >= height - 1e-6
        ]
        return min(fitting, key=lambda b: (round(b.top, 3), b.left), default=None)


def _rest(free: Box, filled: Box) -> Iterator[Box]:
    """Yield what a filled box leaves of a free one: up to four rectangles that may overlap."""
    for one in (
        Box(free.left, free.top, min(free.right, filled.left), free.bottom),
        Box(max(free.left, filled.right), free.top, free.right, free.bottom),
        Box(free.left, free.top, free.right, min(free.bottom, filled.top)),
        Box(free.left, max(free.top, filled.bottom), free.right, free.bottom),
    ):
        if one.width > LEAST and one.height > LEAST:
            yield one
