"""The words of a dimension: over its own interval, or led to it, never over a neighbour's.

Words that fit between the ends of what they measure stand over it. Others stand, in this order:
level beside the line of a side, where the interval is as high as they are; beyond the end of a
row, on its line drawn out beneath them; in a level of their own outside the row, on a shelf whose
stem ends with a dot on the interval.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import pairwise
from typing import Literal

from patterns.model.capitals import BODY
from patterns.model.drawing import Area, Line, LineKind, Mark, Point
from patterns.model.lettering import width_mm
from patterns.model.piece import Dimension, Side
from patterns.sheets.place import CLEAR, Slots, Wanted, WordPlace, joined, line_slots
from patterns.sketch.marks import circle

Footing = Literal["on", "level", "before", "after", "led"]
Ends = tuple[bool, bool]
"""Whether there is room beyond the low and beyond the high end of a side's rows."""

OUTWARD: Mapping[Side, int] = {"head": -1, "tail": 1, "left": -1, "right": 1}
"""Which way a row of each side lies outward, along y or x."""
LEVEL: Mapping[Side, float] = {"head": 5.0, "tail": 6.0, "left": 5.0, "right": 6.0}
"""What a level of led words takes between two rows."""
SHELF: Mapping[Side, float] = {"head": 5.4, "tail": 2.0, "left": 5.4, "right": 2.0}
"""How far outside its row the shelf of led words lies: words stand at the head or left of a line."""
LIFT = BODY * 0.72 + 1.1
"""From a line to the middle of the words at its head or left."""
ON_SHELF = 2.7
"""From a shelf to the middle of the words outside it."""
WHITE = 0.7
"""White at both ends of words between the ends of what they measure."""
TALL = 4.8
"""What level words need beside the line of a side."""
DRAWN_OUT = 1.8
"""White between the end of an interval and words beyond it."""
DOT = 0.4
SHARES = (0.0, 0.18, -0.18, 0.32, -0.32, 0.5, -0.5)
"""Where words are tried over their interval, as shares of the room that they leave of it."""
ASIDE = (0.0, 3.0, -3.0, 6.0, -6.0, 10.0, -10.0, 15.0, -15.0, 22.0, -22.0)
"""How far along their level led words are moved where something is in their way."""


@dataclass(frozen=True, slots=True)
class Worded:
    """How a dimension is told: where its words stand, and where their middle is along the row."""

    footing: Footing
    middle: float
    outermost: bool
    """Nothing lies outside its row, so that its words may be led there."""


@dataclass(frozen=True, slots=True)
class Row:
    """One dimension in its row: the two ends of its line, and its words."""

    dimension: Dimension
    a: Point
    b: Point
    words: Worded

    @property
    def text(self) -> str:
        """What it says."""
        return self.dimension.text

    @property
    def side(self) -> Side:
        """The side of the piece that it stands at."""
        return self.dimension.side

    @property
    def at(self) -> float:
        """Where its line lies, across the row."""
        return self.a[1] if level(self.side) else self.a[0]


def level(side: Side) -> bool:
    """Tell whether the rows of a side run level."""
    return side in ("head", "tail")


def extent(dimension: Dimension) -> tuple[float, float]:
    """Return the two ends of what a dimension measures, along its row."""
    axis = 0 if level(dimension.side) else 1
    low, high = sorted((dimension.start[axis], dimension.end[axis]))
    return low, high


def row_at(dimension: Dimension, at: float, words: Worded) -> Row:
    """Return a dimension in the row whose line lies at `at`, across it."""
    low, high = extent(dimension)
    ends = ((low, at), (high, at)) if level(dimension.side) else ((at, low), (at, high))
    return Row(dimension, *ends, words)


def _half(text: str) -> float:
    return width_mm(text, BODY) / 2


def worded(
    line: Sequence[Dimension], crossing: Sequence[float], outermost: bool, ends: Ends
) -> list[Worded]:
    """Return how each dimension of a row is told.

    `crossing` holds where lines of rows further out cross it; `outermost` says there are none.
    `ends` tells beyond which of its ends there is room.
    """
    taken = [extent(each) for each in line]
    made: dict[int, Worded] = {}
    led: list[int] = []
    for index, each in enumerate(line):
        low, high = extent(each)
        half, middle = _half(each.text), (low + high) / 2
        ground = 2 * half + DRAWN_OUT + WHITE
        if 2 * (half + WHITE) <= high - low:
            made[index] = Worded("on", middle, outermost)
        elif not level(each.side) and outermost and high - low >= TALL:
            made[index] = Worded("level", middle, outermost)
        elif ends[0] and _free(low - ground, low, taken, crossing):
            made[index] = Worded("before", low - DRAWN_OUT - half, outermost)
            taken.append((low - ground, low))
        elif ends[1] and _free(high, high + ground, taken, crossing):
            made[index] = Worded("after", high + DRAWN_OUT + half, outermost)
            taken.append((high, high + ground))
        else:
            led.append(index)
    led.sort(key=lambda index: extent(line[index]))
    wishes = [(sum(extent(line[i])) / 2, _half(line[i].text) + CLEAR + 0.1) for i in led]
    for index, middle in zip(led, side_by_side(wishes), strict=True):
        made[index] = Worded("led", middle, outermost)
    return [made[index] for index in range(len(line))]


def _free(
    low: float, high: float, taken: Sequence[tuple[float, float]], crossing: Sequence[float]
) -> bool:
    """Tell whether nothing of a row lies between two places on its line."""
    return not any(low < b - 1e-6 and a + 1e-6 < high for a, b in taken) and not any(
        low - WHITE < at - 1e-6 and at + 1e-6 < high + WHITE
        for at in crossing
        if abs(at - low) > 1e-6 and abs(at - high) > 1e-6
    )


def side_by_side(wishes: Sequence[tuple[float, float]]) -> list[float]:
    """Return where spans, given in order as a middle and half a length, lie without overlap.

    All together they lie as near to the middles wished for as they can (least squares, by pooling
    neighbours that would overlap).

    >>> side_by_side([(10.0, 2.0), (11.0, 2.0), (30.0, 2.0)])
    [8.5, 12.5, 30.0]
    """
    offsets = [0.0]
    for (_, one), (_, other) in pairwise(wishes):
        offsets.append(offsets[-1] + one + other)
    pools: list[list[float]] = []
    for (middle, _), offset in zip(wishes, offsets, strict=False):
        pools.append([middle - offset])
        while len(pools) > 1 and _mean(pools[-2]) > _mean(pools[-1]):
            last = pools.pop()
            pools[-1] += last
    places = [_mean(pool) for pool in pools for _ in pool]
    return [place + offset for place, offset in zip(places, offsets, strict=False)]


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values)


def wanted(row: Row) -> Wanted:
    """Return the words of a dimension with the places that they may take, the best first."""
    low, high = extent(row.dimension)
    middle = (low + high) / 2
    return Wanted(row.text, _point(row, middle, row.at), joined(_slots(row)))


def _slots(row: Row) -> Iterator[Iterable[WordPlace]]:
    footing, middle = row.words.footing, row.words.middle
    if footing == "on":
        low, high = extent(row.dimension)
        spare = high - low - 2 * (_half(row.text) + WHITE)
        yield _over(row, [middle + share * spare for share in SHARES])
    elif footing == "level":
        yield _beside(row)
    elif footing in ("before", "after"):
        yield _drawn_out(row)
    if footing == "led" or row.words.outermost:
        yield _led(row, [middle + shift for shift in ASIDE])


def _point(row: Row, along: float, across: float) -> Point:
    return (along, across) if level(row.side) else (across, along)


def _written(row: Row, along: Sequence[float], across: float) -> Slots:
    """Return the places of words whose middles lie so far along the row, all on one line."""
    turn = 0.0 if level(row.side) else 90.0
    return line_slots(row.text, BODY, [(*_point(row, one, across), turn) for one in along])


def _over(row: Row, along: Sequence[float]) -> Slots:
    """Return the places of words at the head or left of the line."""
    return _written(row, along, row.at - LIFT)


def _beside(row: Row) -> Slots:
    """Return the place of level words outside an upright line."""
    away = _half(row.text) + 2 * WHITE
    at = (row.at + OUTWARD[row.side] * away, row.words.middle, 0.0)
    return line_slots(row.text, BODY, [at])


def _drawn_out(row: Row) -> Iterator[WordPlace]:
    """Yield the place of words beyond an end of their line, which is drawn out beneath them."""
    low, high = extent(row.dimension)
    middle, half = row.words.middle, _half(row.text)
    ends = (middle - half, low) if middle < low else (high, middle + half)
    line = Line(LineKind.DIMENSION, tuple(_point(row, end, row.at) for end in ends))
    for words in _over(row, [middle]):
        yield words._replace(draw=partial(_with, words, (line,)))


def _with(words: WordPlace, lines: tuple[Mark, ...]) -> tuple[Mark, ...]:
    """Return what is drawn of words, and the lines that belong to them."""
    return *words.draw(), *lines


def _led(row: Row, along: Sequence[float]) -> Iterator[WordPlace]:
    """Yield the places of words on a shelf outside the row, its stem on their own interval."""
    low, high = extent(row.dimension)
    foot, half, out = (low + high) / 2, _half(row.text), OUTWARD[row.side]
    shelf = row.at + out * SHELF[row.side]
    stem = (_point(row, foot, row.at), _point(row, foot, shelf))
    led = Area(LineKind.DIMENSION, circle(stem[0], DOT)), Line(LineKind.DIMENSION, stem)
    written = _written(row, along, shelf + out * ON_SHELF)
    for one, words in zip(along, written, strict=True):
        start = _point(row, min(foot, one - half), shelf)
        end = _point(row, max(foot, one + half), shelf)
        left, top, right, bottom = words.sides
        sides = min(left, start[0]), min(top, start[1]), max(right, end[0]), max(bottom, end[1])
        board = Line(LineKind.DIMENSION, (start, end))
        yield WordPlace(sides, partial(_with, words, (*led, board)), (*stem[0], *stem[1]))
