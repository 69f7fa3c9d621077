"""Laying pieces from one end of the stock on, each on the lowest level that the others leave.

Own heuristic after the idea of scoring what fits a gap (Leung, Zhang & Sim, European Journal of
Operational Research 215, 2011): the lowest gap is filled by what fits its width, best with its end
level with a neighbour or with the end of the stock; else by what ends level; else by the first in
turn that leaves room for another beside it. A gap that nothing fits is given up to its lower
neighbour. Cut free: no cut need run through.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from patterns.cutting.shapes import ANY_AREA, Filled, LaidShape, Shape

_FAR = 1 << 60
"""Higher than any stock: the level beyond its sides."""


def fill(
    order: Sequence[Shape],
    at_once: Sequence[bool],
    left: list[int],
    width: int,
    length: int,
    spare: int = ANY_AREA,
) -> Filled:
    """Lay what is left on a rectangle; `left` is counted down. See `shapes.Fill`.

    A shape marked `at_once` is laid as soon as it is the first in turn and fits, whatever fits better.
    """
    skyline, choice = _Skyline([0], [0], [width]), _Choice.of(order, left)
    if any(at_once):
        choice.at_once = {shape for shape, now in zip(order, at_once, strict=True) if now}
    spots: list[LaidShape] = []
    empty = 0
    while choice.waiting and empty <= spare:
        gap = skyline.lowest(length)
        if gap.room <= 0:
            break
        found = choice.best(gap)
        if found is None:
            empty += skyline.give_up(gap)
            continue
        shape, at_right = found
        choice.take(shape)
        start = gap.start + (gap.width - shape.across if at_right else 0)
        spots.append(LaidShape(shape, start, gap.level))
        skyline.lay(gap, shape, at_right)
    return Filled(tuple(spots), empty=empty)


class _Gap(NamedTuple):
    """The lowest level: its place in the skyline, and how far its neighbours and the end rise."""

    place: int
    start: int
    level: int
    width: int
    left: int
    right: int
    room: int


@dataclass(slots=True)
class _Skyline:
    """The levels that pieces end at, from one side of the stock to the other."""

    starts: list[int]
    levels: list[int]
    widths: list[int]

    def lowest(self, length: int) -> _Gap:
        level = min(self.levels)
        place = self.levels.index(level)
        before = self.levels[place - 1] if place else _FAR
        after = self.levels[place + 1] if place + 1 < len(self.levels) else _FAR
        start, width = self.starts[place], self.widths[place]
        return _Gap(place, start, level, width, before - level, after - level, length - level)

    def lay(self, gap: _Gap, shape: Shape, at_right: bool) -> None:
        """Raise the level where a piece was laid at one end of a gap."""
        place, level, across = gap.place, gap.level + shape.along, shape.across
        if across < gap.width:
            start = gap.start + (gap.width - across if at_right else 0)
            if not at_right:
                self.starts[place] += across
            self.widths[place] -= across
            place += at_right
            self.starts.insert(place, start)
            self.levels.insert(place, level)
            self.widths.insert(place, across)
        else:
            self.levels[place] = level
        self._merge(place)

    def give_up(self, gap: _Gap) -> int:
        """Raise a gap to its lower neighbour or the end of the stock; return the area left empty."""
        rise = min(gap.left, gap.right, gap.room)
        self.levels[gap.place] += rise
        self._merge(gap.place)
        return rise * gap.width

    def _merge(self, place: int) -> None:
        """Join a stretch with neighbours of its level."""
        levels = self.levels
        level = levels[place]
        if place + 1 < len(levels) and levels[place + 1] == level:
            self._join(place)
        if place and levels[place - 1] == level:
            self._join(place - 1)

    def _join(self, place: int) -> None:
        """Make one stretch of two beside each other."""
        self.widths[place] += self.widths[place + 1]
        del self.starts[place + 1], self.levels[place + 1], self.widths[place + 1]


@dataclass(slots=True)
class _Choice:
    """Shapes still to be laid, in turn, and again by their size each way."""

    left: list[int]
    waiting: list[Shape]
    by_across: dict[int, list[Shape]] = field(default_factory=dict)
    by_along: dict[int, list[Shape]] = field(default_factory=dict)
    narrowest: int = 0
    at_once: set[Shape] = field(default_factory=set)

    @classmethod
    def of(cls, order: Sequence[Shape], left: list[int]) -> _Choice:
        made = cls(left, [shape for shape in order if left[shape.kind]])
        for shape in made.waiting:
            made.by_across.setdefault(shape.across, []).append(shape)
            made.by_along.setdefault(shape.along, []).append(shape)
        made.narrowest = min((shape.across for shape in made.waiting), default=0)
        return made

    def take(self, shape: Shape) -> None:
        """Count one piece down; a kind that is used up waits no more."""
        self.left[shape.kind] -= 1
        if not self.left[shape.kind]:
            gone = [one for one in self.waiting if one.kind == shape.kind]
            self.waiting = [one for one in self.waiting if one.kind != shape.kind]
            if any(one.across == self.narrowest for one in gone):
                self.narrowest = min((one.across for one in self.waiting), default=0)

    def best(self, gap: _Gap) -> tuple[Shape, bool] | None:
        """Return what is laid into a gap, and whether at its right end; None when nothing fits."""
        to_higher = gap.right > gap.left
        if self.at_once and (found := self._now(gap)):
            return found, to_higher and found.across < gap.width
        exact, score = self._exact(gap)
        if score < 3 and (level := self._level(gap, to_higher)):
            return level
        if exact is not None:
            return exact, False
        first = self._first(gap)
        return None if first is None else (first, to_higher)

    def _now(self, gap: _Gap) -> Shape | None:
        """Return the first in turn where it is marked and fits."""
        first = self.waiting[0]
        fits = first.across <= gap.width and first.along <= gap.room
        return first if fits and first in self.at_once else None

    def _exact(self, gap: _Gap) -> tuple[Shape | None, int]:
        """Return the best of what fills the width: level is best, then higher than a neighbour."""
        best: Shape | None = None
        score = -1
        for shape in self.by_across.get(gap.width, ()):
            along = shape.along
            if along > gap.room or not self.left[shape.kind]:
                continue
            if along in (gap.left, gap.right, gap.room):
                own = 5 if gap.left == gap.right else 4
            else:
                own = 2 if along < gap.left and along < gap.right else 3
            if own > score:
                best, score = shape, own
                if own == 5:
                    break
        return best, score

    def _level(self, gap: _Gap, to_higher: bool) -> tuple[Shape, bool] | None:
        """Return what ends level with a neighbour, the lower first, or with the end of the stock."""
        sides = ((gap.left, False), (gap.right, True))
        if gap.left > gap.right:
            sides = ((gap.right, True), (gap.left, False))
        for along, at_right in (*sides, (gap.room, to_higher)):
            if along > gap.room:
                continue
            for shape in self.by_along.get(along, ()):
                if self.left[shape.kind] and shape.across < gap.width:
                    return shape, at_right
        return None

    def _first(self, gap: _Gap) -> Shape | None:
        """Return the first in turn that fits, before it any that leaves room beside it."""
        narrow: Shape | None = None
        for shape in self.waiting:
            if shape.across >= gap.width or shape.along > gap.room:
                continue
            if gap.width - shape.across >= self.narrowest:
                return shape
            narrow = narrow or shape
        return narrow
