"""One search: can the common heights be shared out so that a distance and a pitch are kept?

Gathering by gathering, from the first, each takes some of the heights that its neighbours leave
free. A state that failed once is remembered, and counting shows early where no layout can exist.
The search is stopped by a count of steps, never by the clock, so that the same book gives the same
layout on every machine. All measures are whole numbers of one small unit; distances are compared
by their squares.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache, reduce
from itertools import pairwise, takewhile
from math import isqrt
from operator import and_, or_

from patterns.sewing.meter import Meter

__all__ = ["Attempt", "Columns", "HeightChoice", "spaced"]

USUAL_HEIGHTS, USUAL_REACH = 8, 8
"""Common heights, and following gatherings that one must mind, up to which a step costs about the same."""

Column = tuple[int, ...]  # the centres of one gathering
Columns = tuple[Column, ...]


@dataclass(frozen=True, slots=True)
class HeightChoice:
    """One choice of common heights and what each gathering may do with them."""

    places: tuple[int, ...]
    """Of the gatherings on the girth."""
    heights: tuple[int, ...]
    """Common heights, rising."""
    rooms: tuple[int, ...]
    """Which heights are free in each gathering, one bit a height."""
    counts: tuple[int, ...]
    """How many heights each gathering takes, pinned stitches not counted."""
    pins: Columns
    stitch: int
    apart: int
    """Least pitch allowed in a fold."""


class Attempt:
    """The search for the first layout of one choice of heights that keeps a distance and a pitch."""

    def __init__(self, choice: HeightChoice, strips: int | None, square: int, pitch: int) -> None:
        self.choice, self.strips, self.square = choice, strips, square
        self.within = max(choice.apart, pitch, _reach(choice.stitch, square, 0))
        self.inner = self._above(self.within)
        self.rows = _reaches(choice.places, choice.stitch, square)
        self.left: dict[tuple[int, ...], dict[int, tuple[int, ...]]] = {r: {} for r in self.rows}
        self.packed: dict[tuple[int, int], int] = {}
        self.rooms = self._rooms_beside_pins()

    def _above(self, reach: int) -> tuple[int, ...]:
        """For every height, the higher-numbered ones that are nearer than `reach`."""
        heights = self.choice.heights
        return tuple(
            sum(1 << q for q in range(p, bisect_left(heights, y + reach)))
            for p, y in enumerate(heights)
        )

    def _around(self, y: int, reach: int) -> int:
        """The heights nearer to `y` than `reach`."""
        heights = self.choice.heights
        low, high = bisect_right(heights, y - reach), bisect_left(heights, y + reach)
        return ((1 << high) - 1) & ~((1 << low) - 1) if low < high else 0

    def _rooms_beside_pins(self) -> list[int]:
        rooms = list(self.choice.rooms)
        if not any(self.choice.pins):
            return rooms
        for i, row in enumerate(self.rows):
            for pin in self.choice.pins[i]:
                rooms[i] &= ~self._around(pin, self.within)
            for j, reach in enumerate(row, i + 1):
                for pin in self.choice.pins[i]:
                    rooms[j] &= ~self._around(pin, reach)
                for pin in self.choice.pins[j]:
                    rooms[i] &= ~self._around(pin, reach)
        return rooms

    def _packing(self, room: int, reach: int) -> int:
        """How many heights of a room can be taken, each `reach` from the next."""
        key = room, reach
        if (count := self.packed.get(key)) is None:
            count, heights, rest = 0, self.choice.heights, room
            while rest:
                low = (rest & -rest).bit_length() - 1
                count += 1
                rest &= -1 << bisect_left(heights, heights[low] + reach, low + 1)
            self.packed[key] = count
        return count

    def _subsets(self, room: int, count: int) -> Iterator[int]:
        """Yield what a gathering may take of its room, the first in order first."""
        if not count:
            yield 0
            return
        while room.bit_count() >= count:
            low = room & -room
            room ^= low
            rest = room & ~self.inner[low.bit_length() - 1]
            for others in self._subsets(rest, count - 1):
                yield low | others

    def _hopeless(self, first: int, rooms: tuple[int, ...]) -> bool:
        """Tell from counts alone that the gatherings from `first` on cannot all be sewn."""
        counts = self.choice.counts[first : first + len(rooms)]
        together = wanted = 0
        for room, count, reach in zip(rooms, counts, (self.within, *self.rows[first]), strict=True):
            if self._packing(room, self.within) < count:
                return True
            together |= room
            wanted += count
            if self._packing(together, reach) < wanted:
                return True
        return False

    @property
    def _price(self) -> int:
        """What one height taken in trial costs: more among many heights, and where many gatherings are near."""
        near = max(map(len, self.rows), default=0)
        return max(1, len(self.choice.heights) // USUAL_HEIGHTS) * (1 + near // USUAL_REACH)

    def first(self, meter: Meter) -> Columns | None:
        """Return the first layout in order, or None; raises Spent when the meter runs out."""
        meter.take(sum(map(len, self.rows)) // USUAL_REACH)
        price = self._price
        rooms = self._entering(0, ())
        if self._pins_collide() or self._hopeless(0, rooms):
            return None
        failed: set[tuple[int, tuple[int, ...], frozenset[int]]] = set()
        used: frozenset[int] = frozenset()
        frames = [(self._options(0, rooms[0], used), rooms, used)]
        chosen: list[int] = []
        while frames:
            options, rooms, used = frames[-1]
            i = len(frames) - 1
            del chosen[i:]
            subset = next(options, None)
            if subset is None:
                failed.add((i, rooms, used))
                frames.pop()
                continue
            meter.take(price)
            chosen.append(subset)
            if len(chosen) == len(self.rooms):
                return tuple(self._strip(k, taken) for k, taken in enumerate(chosen))
            rooms = self._entering(i + 1, self._left(i, subset, rooms))
            if self.strips and not self.choice.pins[i]:
                used = used | {subset}
            if (i + 1, rooms, used) not in failed and not self._hopeless(i + 1, rooms):
                frames.append((self._options(i + 1, rooms[0], used), rooms, used))
        return None

    def _options(self, i: int, room: int, used: frozenset[int]) -> Iterator[int]:
        """Yield what gathering `i` may take of its room, the first in order first."""
        if not self.strips or len(used) < self.strips or self.choice.pins[i]:
            return self._subsets(room, self.choice.counts[i])
        count = self.choice.counts[i]
        fitting = (subset for subset in sorted(used, key=_in_order) if not subset & ~room)
        return (subset for subset in fitting if subset.bit_count() == count)

    def _strip(self, i: int, subset: int) -> Column:
        taken = (y for q, y in enumerate(self.choice.heights) if subset >> q & 1)
        return tuple(sorted((*self.choice.pins[i], *taken)))

    def _left(self, i: int, subset: int, rooms: tuple[int, ...]) -> tuple[int, ...]:
        """What is left of the rooms after gathering `i` when it takes a subset of its own."""
        known = self.left[self.rows[i]]
        if (left := known.get(subset)) is None:
            taken = [y for q, y in enumerate(self.choice.heights) if subset >> q & 1]
            left = known[subset] = tuple(
                ~reduce(or_, (self._around(y, reach) for y in taken), 0) for reach in self.rows[i]
            )
        return tuple(map(and_, rooms[1:], left))

    def _entering(self, i: int, rooms: tuple[int, ...]) -> tuple[int, ...]:
        """Add the rooms of the gatherings that gathering `i` is the first to reach."""
        return rooms + tuple(self.rooms[i + len(rooms) : i + 1 + len(self.rows[i])])

    def _pins_collide(self) -> bool:
        """Tell whether two pins break what is asked; heights beside pins are another matter."""
        if not any(self.choice.pins):
            return False
        for i, pins in enumerate(self.choice.pins):
            if any(b - a < self.within for a, b in pairwise(pins)):
                return True
            for j, reach in enumerate(self.rows[i], i + 1):
                if any(abs(a - b) < reach for a in pins for b in self.choice.pins[j]):
                    return True
        return False


def _reach(stitch: int, square: int, offset: int, neighbours: bool = False) -> int:
    """How far apart the centres of two stitches must be at an offset along the girth."""
    short = square - offset * offset
    free = stitch if neighbours else 0
    return stitch + isqrt(short - 1) + 1 if short > 0 else free


@lru_cache(maxsize=64)
def _reaches(places: tuple[int, ...], stitch: int, square: int) -> list[tuple[int, ...]]:
    """For every gathering, what the following ones must keep from it, while it matters.

    Attempts for one distance and several pitches ask for the same.
    """
    rows = []
    for i, place in enumerate(places, 1):
        following = enumerate(places[i:], i)
        row = (_reach(stitch, square, other - place, k == i) for k, other in following)
        rows.append(tuple(takewhile(bool, row)))
    return rows


def _in_order(subset: int) -> list[int]:
    """The heights of a subset by number, so that subsets sort from the head."""
    return [q for q in range(subset.bit_length()) if subset >> q & 1]


def spaced(heights: Sequence[int], gap: int) -> int:
    count, k = 0, 0
    while k < len(heights):
        count += 1
        k = bisect_left(heights, heights[k] + gap, k + 1)
    return count
