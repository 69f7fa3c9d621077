"""One search: can the common heights be shared out so that a distance and a pitch are kept?

Gathering by gathering, from the first, each takes some of the heights that its neighbours leave
free. A state that failed once is remembered, and counting shows early where no layout can exist.
The search is stopped by a count of steps, never by the clock, so that the same book gives the same
layout on every machine. All measures are whole numbers of one small unit; distances are compared
by their squares.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache, partial
from itertools import pairwise, takewhile
from math import isqrt

from patterns.sewing.heights import Beside, Packing, around, bits, subsets
from patterns.sewing.meter import Meter

__all__ = ["Attempt", "Columns", "HeightChoice", "TriedHeights", "spaced"]

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


class TriedHeights:
    """One choice of heights with what every attempt on it goes by: worked out once each."""

    def __init__(self, choice: HeightChoice) -> None:
        self.choice = choice
        self.packing = cache(partial(Packing, choice.heights))
        self.beside = cache(partial(Beside, choice.heights))
        self.rows = cache(partial(_reaches, choice))


class Attempt:
    """The search for the first layout of one choice of heights that keeps a distance and a pitch.

    Which heights are free is one bit a height. The rooms of a gathering and of those within its reach
    stand side by side in one number, its own lowest, so that a step changes them all at once.
    """

    def __init__(self, tried: TriedHeights, strips: int | None, square: int, pitch: int) -> None:
        self.choice = choice = tried.choice
        self.strips = strips
        self.within = max(choice.apart, pitch, _reach(choice, square, 0))
        self.rows = tried.rows(square)
        self.width = len(choice.heights)
        self.room = (1 << self.width) - 1
        reaches = {self.within}.union(*self.rows)
        self.packed = {reach: tried.packing(reach) for reach in reaches}
        self.beside = [tried.beside(row) for row in self.rows]
        self.asked = self._asked()
        self.entering = self._entering(self._rooms_beside_pins())

    def _rooms_beside_pins(self) -> list[int]:
        rooms, heights = list(self.choice.rooms), self.choice.heights
        for i, row in enumerate(self.rows):
            for pin in self.choice.pins[i]:
                rooms[i] &= ~around(heights, pin, self.within)
            for j, reach in enumerate(row, i + 1):
                for pin in self.choice.pins[i]:
                    rooms[j] &= ~around(heights, pin, reach)
                for pin in self.choice.pins[j]:
                    rooms[i] &= ~around(heights, pin, reach)
        return rooms

    def _asked(self) -> list[tuple[tuple[int, Packing], ...]]:
        """For every gathering and those within its reach, what is asked and how close all may lie."""
        return [
            tuple(
                (count, self.packed[reach])
                for count, reach in zip(self.choice.counts[i:], (self.within, *row), strict=False)
            )
            for i, row in enumerate(self.rows)
        ]

    def _entering(self, rooms: Sequence[int]) -> list[int]:
        """For every gathering, the rooms of those that it is the first to reach, side by side."""
        found, reached = [], 0
        for i, row in enumerate(self.rows):
            end = i + 1 + len(row)
            entering = 0
            for j in range(reached, end):
                entering |= rooms[j] << (j - i) * self.width
            found.append(entering)
            reached = end
        return found

    def _hopeless(self, first: int, rooms: int) -> bool:
        """Tell from counts alone that the gatherings from `first` on cannot all be sewn."""
        alone = self.packed[self.within]
        together = wanted = 0
        for count, packed in self.asked[first]:
            room = rooms & self.room
            if alone[room] < count:
                return True
            rooms >>= self.width
            together |= room
            wanted += count
            if packed[together] < wanted:
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
        price, width, last = self._price, self.width, len(self.rows) - 1
        rooms = self.entering[0]
        if self._pins_collide() or self._hopeless(0, rooms):
            return None
        failed: set[tuple[int, int, frozenset[int]]] = set()
        used: frozenset[int] = frozenset()
        frames = [(self._options(0, rooms, used), rooms, used)]
        chosen: list[int] = []
        while frames:
            options, rooms, used = frames[-1]
            i = len(frames) - 1
            del chosen[i:]
            for subset in options:
                meter.take(price)
                if i == last:
                    taken = (*chosen, subset)
                    return tuple(self._strip(k, one) for k, one in enumerate(taken))
                left = rooms >> width & self.beside[i][subset] | self.entering[i + 1]
                now = used | {subset} if self.strips and not self.choice.pins[i] else used
                if (state := (i + 1, left, now)) in failed:
                    continue
                if self._hopeless(i + 1, left):
                    failed.add(state)
                    continue
                chosen.append(subset)
                frames.append((self._options(i + 1, left, now), left, now))
                break
            else:
                failed.add((i, rooms, used))
                frames.pop()
        return None

    def _options(self, i: int, rooms: int, used: frozenset[int]) -> Iterator[int]:
        """Yield what gathering `i` may take of its room, the first in order first."""
        room, count = rooms & self.room, self.choice.counts[i]
        if not self.strips or len(used) < self.strips or self.choice.pins[i]:
            return subsets(room, count, self.packed[self.within].beyond)
        fitting = (subset for subset in sorted(used, key=_in_order) if not subset & ~room)
        return (subset for subset in fitting if subset.bit_count() == count)

    def _strip(self, i: int, subset: int) -> Column:
        taken = (self.choice.heights[p] for p in bits(subset))
        return tuple(sorted((*self.choice.pins[i], *taken)))

    def _pins_collide(self) -> bool:
        """Tell whether two pins break what is asked; heights beside pins are another matter."""
        for i, pins in enumerate(self.choice.pins):
            if any(b - a < self.within for a, b in pairwise(pins)):
                return True
            for j, reach in enumerate(self.rows[i], i + 1):
                if any(abs(a - b) < reach for a in pins for b in self.choice.pins[j]):
                    return True
        return False


def _reach(choice: HeightChoice, square: int, offset: int, neighbours: bool = False) -> int:
    """How far apart the centres of two stitches must be at an offset along the girth."""
    short = square - offset * offset
    free = choice.stitch if neighbours else 0
    return choice.stitch + isqrt(short - 1) + 1 if short > 0 else free


def _reaches(choice: HeightChoice, square: int) -> list[tuple[int, ...]]:
    """For every gathering, what the following ones must keep from it, while it matters."""
    places, rows = choice.places, []
    for i, place in enumerate(places, 1):
        row = (_reach(choice, square, y - place, k == i) for k, y in enumerate(places[i:], i))
        rows.append(tuple(takewhile(bool, row)))
    return rows


def _in_order(subset: int) -> list[int]:
    """The heights of a subset by number, so that subsets sort from the head."""
    return list(bits(subset))


def spaced(heights: Sequence[int], gap: int) -> int:
    count, k = 0, 0
    while k < len(heights):
        count += 1
        k = bisect_left(heights, heights[k] + gap, k + 1)
    return count
