"""Common heights as the bits of a number: which lie near one another, how many can be taken, and which.

The lowest bit is the height nearest the head. Heights and reaches are whole numbers of one small unit;
two stitches keep a reach when their centres are at least so far apart.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence

__all__ = ["Beside", "Packing", "around", "bits", "subsets"]


def bits(subset: int) -> Iterator[int]:
    """Yield the number of every height of a subset, from the head down.

    >>> list(bits(0b1010))
    [1, 3]
    """
    while subset:
        low = subset & -subset
        yield low.bit_length() - 1
        subset ^= low


def around(heights: Sequence[int], y: int, reach: int) -> int:
    """Return the heights nearer to `y` than `reach`.

    >>> bin(around((0, 10, 20, 30), 12, 10))
    '0b110'
    """
    low, high = bisect_right(heights, y - reach), bisect_left(heights, y + reach)
    return (1 << high) - (1 << low) if low < high else 0


class Packing(dict[int, int]):
    """How many heights of a room can be taken, each `reach` from the next; worked out once each."""

    def __init__(self, heights: Sequence[int], reach: int) -> None:
        super().__init__()
        every = (1 << len(heights)) - 1
        self.beyond = tuple(
            every >> (k := bisect_left(heights, y + reach, p + 1)) << k
            for p, y in enumerate(heights)
        )
        """For every height, those after it that keep the reach from it."""

    def __missing__(self, room: int) -> int:
        count, rest, beyond = 0, room, self.beyond
        while rest:
            count += 1
            rest &= beyond[(rest & -rest).bit_length() - 1]
        self[room] = count
        return count


class Beside(dict[int, int]):
    """What following gatherings may still take beside a subset; worked out once each.

    `row` is the reach that each of them keeps; their rooms stand side by side, the first lowest.
    """

    def __init__(self, heights: Sequence[int], row: Sequence[int]) -> None:
        super().__init__()
        self.heights, self.row = heights, row
        self.every = (1 << len(heights) * len(row)) - 1
        self.near: dict[int, int] = {}

    def __missing__(self, subset: int) -> int:
        near, taken = self.near, 0
        for p in bits(subset):
            if p not in near:
                near[p] = self._near(self.heights[p])
            taken |= near[p]
        self[subset] = left = self.every ^ taken
        return left

    def _near(self, y: int) -> int:
        """Return what is too near a height, for all of the row."""
        found, width = 0, len(self.heights)
        for k, reach in enumerate(self.row):
            found |= around(self.heights, y, reach) << k * width
        return found


def subsets(room: int, count: int, beyond: Sequence[int]) -> Iterator[int]:
    """Yield every way to take so many heights of a room, the first in order first.

    `beyond` gives, for every height, those after it that may be taken beside it.
    """
    if not count:
        yield 0
        return
    rooms, taken, last, level = [room] * count, [0] * count, count - 1, 0
    while level >= 0:
        rest, had = rooms[level], taken[level]
        if level == last:
            while rest:
                low = rest & -rest
                rest ^= low
                yield had | low
            level -= 1
        elif rest.bit_count() < count - level:
            level -= 1
        else:
            low = rest & -rest
            rooms[level] = rest = rest ^ low
            level += 1
            rooms[level], taken[level] = rest & beyond[low.bit_length() - 1], had | low
