"""Where words go: each has an ordered list of slots, and takes one that touches nothing.

All slots are asked against the line work at once; then the words with the fewest slots left choose
first, and take from the others what they cover. What finds no slot becomes a numbered tag near
its place, joined to it by a thin line, with its words in a key.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from copy import copy
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import accumulate
from typing import Any

import numpy as np
import shapely

from patterns.model.capitals import BODY
from patterns.model.drawing import Circle, Line, LineKind, Mark, Point, Words
from patterns.model.lettering import width_mm, wrap
from patterns.sheets.obstacles import Obstacles, Sides
from patterns.sketch.marks import ASCENT, DESCENT, LEADING, Block, Box, moved

CLEAR = 0.6
"""White kept round words, in mm."""
TAG_RADIUS = 2.2
INSET = 1.5
"""White kept round a block of words."""
PENALTY = 10_000
FEW = 24
"""So many places are asked first where words stand by themselves: most find room in one of them."""


@dataclass(frozen=True, slots=True, eq=False)
class Slots:
    """Places that words may take, in order of liking: the room that each needs, and how it is drawn."""

    sides: Any
    """A row of left, top, right, bottom for each place."""
    draw: Callable[[int], tuple[Mark, ...]]
    """Return the marks at one of the places, by its number from 0."""
    leaders: Any = None
    """Where lines lead to them, a row x, y, x, y for each place, of nan where there is none."""

    def __len__(self) -> int:
        return len(self.sides)

    def kept(self, those: Any) -> Slots:
        """Return those places for which an array of truths says so."""
        places = np.flatnonzero(those)
        leaders = None if self.leaders is None else self.leaders[places]
        return Slots(self.sides[places], lambda index: self.draw(int(places[index])), leaders)

    @property
    def led(self) -> Any:
        """The leaders, those that there are not as well."""
        return np.full((len(self), 4), np.nan) if self.leaders is None else self.leaders


def joined(several: Sequence[Slots]) -> Slots:
    """Return the places of several, those of the first liked best."""
    starts = np.cumsum([0, *map(len, several)])

    def draw(index: int) -> tuple[Mark, ...]:
        which = int(np.searchsorted(starts, index, side="right")) - 1
        return several[which].draw(index - int(starts[which]))

    led = any(one.leaders is not None for one in several)
    leaders = np.concatenate([one.led for one in several]) if led else None
    return Slots(np.concatenate([ROWLESS, *(one.sides for one in several)]), draw, leaders)


ROWLESS = np.empty((0, 4))
NOWHERE = Slots(ROWLESS, lambda _: ())


@dataclass(frozen=True, eq=False)
class WordRoom:
    """A polygon that words lie in."""

    shape: Any

    @cached_property
    def bounds(self) -> tuple[float, float, float, float]:
        """Its left, top, right and bottom."""
        left, top, right, bottom = self.shape.bounds
        return left, top, right, bottom

    @cached_property
    def upright(self) -> bool:
        """It is an upright rectangle, all of its bounds, so that these alone decide."""
        left, top, right, bottom = self.bounds
        ring = shapely.get_coordinates(self.shape).tolist()
        if len(ring) != 5 or not all(x in (left, right) and y in (top, bottom) for x, y in ring):
            return False
        return bool(self.shape.area > 0.9 * (right - left) * (bottom - top))

    def covered(self, slots: Slots) -> Slots:
        """Return the slots whose room lies in it."""
        if not len(slots):
            return slots
        least, most = self.bounds[:2], self.bounds[2:]
        inside = ((slots.sides[:, :2] >= least) & (slots.sides[:, 2:] <= most)).all(axis=1)
        if not self.upright and inside.any():
            shapely.prepare(self.shape)
            inside[inside] = shapely.covers(self.shape, shapely.box(*slots.sides[inside].T))
        return slots.kept(inside)


@dataclass(frozen=True, slots=True)
class Wanted:
    """Words to be placed: where they may stand, and what a key would say of them."""

    text: str
    at: Point
    slots: Slots
    within: WordRoom | None = None
    """What the slot must lie in."""
    also: tuple[Point, ...] = ()
    """Other places that a tag may point at."""
    name: str = ""
    """The letter that it has elsewhere, too: its tag's, instead of a number."""


def place(
    wanted: Sequence[Any], hard: Obstacles, soft: Obstacles | None = None, page: Box | None = None
) -> tuple[int | None, ...]:
    """Choose one slot a label so that no two meet; return its index, None where none is free.

    `wanted` holds for each label the rooms of its slots as rows of left, top, right, bottom. A slot
    must not touch what is `hard`, and avoids what is `soft` while it can.
    """
    if len(wanted) == 1:
        return (first(wanted[0], hard, soft, page),)
    counts = [len(rows) for rows in wanted]
    if not any(counts):
        return (None,) * len(wanted)
    sides = np.concatenate(wanted)
    free, spoilt = _open(sides, hard, soft, page)
    cost = np.concatenate([np.arange(count) for count in counts]) + PENALTY * spoilt
    return _choose(counts, sides, np.where(free, cost, np.inf))


def first(sides: Any, hard: Obstacles, soft: Obstacles | None, page: Box | None) -> int | None:
    """Return the first of some rooms that is free, where possible of what is `soft` as well."""
    spoiled: int | None = None
    start, count = 0, FEW
    while start < len(sides):
        free, spoilt = _open(sides[start : start + count], hard, soft, page)
        good = free & ~spoilt
        if good.any():
            return start + int(np.argmax(good))
        if spoiled is None and free.any():
            spoiled = start + int(np.argmax(free))
        start, count = start + count, count * 4
    return spoiled


def _open(sides: Any, hard: Obstacles, soft: Obstacles | None, page: Box | None) -> tuple[Any, Any]:
    """Return which boxes are free, and which of them touch what should be avoided."""
    free = ~hard.touched(sides)
    if page is not None:
        free &= (sides[:, :2] >= (page.left - 1e-6, page.top - 1e-6)).all(axis=1)
        free &= (sides[:, 2:] <= (page.right + 1e-6, page.bottom + 1e-6)).all(axis=1)
    spoilt = soft.touched(sides) if soft else np.zeros(len(sides), dtype=bool)
    return free, spoilt


def _choose(counts: Sequence[int], sides: Any, cost: Any) -> tuple[int | None, ...]:
    """Let the label with the fewest free slots take its best one, until none is left.

    A slot that is not free, or no longer, costs infinitely much.
    """
    labels = len(counts)
    owner = np.repeat(np.arange(labels), counts)
    starts = [0, *accumulate(counts)]
    left, top, right, bottom = np.ascontiguousarray(sides.T)
    free = np.isfinite(cost)
    number = np.bincount(owner[free], minlength=labels).astype(float)
    number[number == 0] = np.inf
    chosen: list[int | None] = [None] * labels
    while np.isfinite(number[label := int(np.argmin(number))]):
        best = starts[label] + int(np.argmin(cost[starts[label] : starts[label + 1]]))
        number[label] = np.inf
        if not free[best]:
            continue
        chosen[label] = best - starts[label]
        hit = (left <= right[best]) & (right >= left[best])
        hit &= (top <= bottom[best]) & (bottom >= top[best])
        hit &= free
        free[hit], cost[hit] = False, np.inf
        number -= np.bincount(owner[hit], minlength=labels)
    return tuple(chosen)


def words_slots(
    text: str,
    cap: float,
    places: Iterable[tuple[float, float, float]],
    bold: bool = False,
    widths: Sequence[float] = (math.inf,),
) -> Slots:
    """Return slots for words centred at each (x, y, angle), angle 0 or 90, wrapped to each width.

    All places are tried at the first width before the next width is used.
    """
    wrapped = dict.fromkeys(wrap(text, cap, min(width, 1e4), bold) for width in widths)
    return _slots([lines for lines in wrapped if lines], cap, tuple(places), bold)


def line_slots(
    line: str, cap: float, places: Iterable[tuple[float, float, float]], bold: bool = False
) -> Slots:
    """Return slots for one line of words about each middle (x, y), at an angle of 0 or 90."""
    return _slots([(line,)], cap, tuple(places), bold)


def _slots(
    wrapped: Sequence[tuple[str, ...]],
    cap: float,
    spots: Sequence[tuple[float, float, float]],
    bold: bool,
) -> Slots:
    """Return a slot for each way of wrapping at each place."""
    if not wrapped or not spots:
        return NOWHERE
    at = np.array(spots)
    middles, level = at[:, :2], at[:, 2:] == 0
    level_half = np.array([_half_extent(lines, cap, bold) for lines in wrapped])[:, None]
    half = np.where(level, level_half, level_half[:, :, ::-1])
    sides = np.concatenate([middles - half, middles + half], axis=-1).reshape(-1, 4)

    def draw(index: int) -> tuple[Mark, ...]:
        way, spot = divmod(index, len(spots))
        return _written(wrapped[way], cap, *spots[spot], bold)

    return Slots(sides, draw)


@lru_cache(maxsize=256)
def _half_extent(lines: tuple[str, ...], cap: float, bold: bool) -> tuple[float, float]:
    along = max(width_mm(line, cap, bold) for line in lines) + 2 * CLEAR
    over = cap * (ASCENT + DESCENT + (len(lines) - 1) * LEADING) + 2 * CLEAR
    return along / 2, over / 2


def _written(
    lines: tuple[str, ...], cap: float, x: float, y: float, angle: float, bold: bool
) -> tuple[Mark, ...]:
    top = cap * (ASCENT - (ASCENT + DESCENT + (len(lines) - 1) * LEADING) / 2)
    offsets = [top + i * LEADING * cap for i in range(len(lines))]
    spots = [(x, y + off) if angle == 0 else (x + off, y) for off in offsets]
    return tuple(
        Words(spot, line, cap, bold, "middle", angle)
        for spot, line in zip(spots, lines, strict=True)
    )


RINGS = tuple((reach, 8) for reach in (3.5, 5.0, 7.0)) + tuple(
    (reach, 16) for reach in (9.5, 13.0, 18.0, 25.0, 34.0, 46.0, 62.0, 84.0)
)
"""Distances at which a tag is tried, and in how many directions."""
TURNS = [(reach, 2 * math.pi * turn / turns) for reach, turns in RINGS for turn in range(turns)]
AWAY = np.array([(reach * math.cos(a), -reach * math.sin(a)) for reach, a in TURNS])
"""How far off its place a tag stands, the nearest first."""
TOWARDS = np.array([(math.cos(a), -math.sin(a)) for _, a in TURNS])
"""The way from the place to the tag, 1 mm of it."""


def tags(number: str, places: Sequence[Point]) -> Slots:
    """Return where a numbered tag may stand round some places, the nearest first, with its leader."""
    radius = max(TAG_RADIUS, width_mm(number, BODY) / 2 + 0.9)
    room = radius + 0.4
    at = np.tile(np.array(places), (len(AWAY), 1))
    away, towards = (np.repeat(each, len(places), axis=0) for each in (AWAY, TOWARDS))
    middles = at + away
    leaders = np.hstack([at, middles - radius * towards])

    def draw(index: int) -> tuple[Mark, ...]:
        x, y = middles[index].tolist()
        *place, edge_x, edge_y = leaders[index].tolist()
        return (
            Circle(LineKind.REFERENCE, (x, y), radius),
            Words((x, y + BODY / 2), number, BODY, anchor="middle"),
            Line(LineKind.REFERENCE, ((place[0], place[1]), (edge_x, edge_y))),
        )

    return Slots(np.hstack([middles - room, middles + room]), draw, leaders)


class Desk:
    """A drawing on which words are being placed: what must not be touched, and what is set."""

    def __init__(
        self,
        page: Box,
        hard: Obstacles,
        soft: Obstacles | None = None,
        joints: Sequence[Line] = (),
        scale: float = 1.0,
    ) -> None:
        self.page = page
        self.scale = scale
        self.hard = hard
        self.soft = soft
        self._barred = Obstacles(joints)
        self._leaders: list[Any] = []
        self.taken: list[Box] = []
        self.marks: list[Mark] = []
        self._tagged: list[tuple[str, str]] = []
        self._untagged: list[tuple[str, str]] = []

    def copy(self) -> Desk:
        """Return a desk with the same words, to try more on."""
        other = copy(self)
        other.hard, other._barred = self.hard.copy(), self._barred.copy()
        other.taken, other.marks = [*self.taken], [*self.marks]
        other._tagged, other._untagged = [*self._tagged], [*self._untagged]
        other._leaders = [*self._leaders]
        return other

    @property
    def key(self) -> tuple[tuple[str, str], ...]:
        """The tags and what they stand for, letters first; places without room for a tag come last.

        What has a letter is shown by it in a view besides, and needs no place told.
        """
        tagged = sorted(self._tagged, key=lambda one: (one[0].isdigit(), len(one[0]), one[0]))
        return *tagged, *self._untagged

    def add(self, wanted: Sequence[Wanted]) -> None:
        """Place these words; what finds no slot becomes a tag, or a line of the key alone."""
        slots = [
            one.slots if one.within is None else one.within.covered(one.slots) for one in wanted
        ]
        chosen = place([each.sides for each in slots], self.hard, self.soft, self.page)
        for each, index in zip(slots, chosen, strict=True):
            if index is not None:
                self._set(each, index)
        for one, index in zip(wanted, chosen, strict=True):
            if index is None and one.text.strip():
                self._tag(one)

    def insert(self, variants: Sequence[Block], room: Box) -> bool:
        """Set the first of some blocks that finds a blank part in a room, if any does."""
        for block in variants:
            sides = _grid(room, block)
            index = first(sides, self.hard, self.soft, self.page)
            if index is not None:
                left, top, right, bottom = sides[index].tolist()
                self._fill((left, top, right, bottom))
                self.marks += moved(block.marks, left + INSET, top + INSET)
                return True
        return False

    def _set(self, slots: Slots, index: int) -> None:
        left, top, right, bottom = slots.sides[index].tolist()
        self._fill((left, top, right, bottom))
        self.marks += slots.draw(index)
        leader = slots.led[index]
        if not np.isnan(leader).any():
            self.hard.add_segment(leader)
            self._leaders.append(leader)

    def _fill(self, sides: Sides) -> None:
        self.taken.append(Box(*sides))
        self.hard.add(sides)
        self._barred.add(sides)

    def _tag(self, wanted: Wanted) -> None:
        number = wanted.name or str(1 + sum(name.isdigit() for name, _ in self._tagged))
        every = tags(number, (wanted.at, *wanted.also))
        slots = every.kept(~self._barred.crossed(every.leaders))
        index = first(slots.sides, self.hard, self.soft, self.page)
        if index is not None and self._led_across(slots.leaders[index : index + 1]).any():
            apart = slots.kept(~self._led_across(slots.leaders))
            other = first(apart.sides, self.hard, self.soft, self.page)
            if other is not None:
                slots, index = apart, other
        if index is not None:
            self._set(slots, index)
        if index is not None or wanted.name:
            self._tagged.append((number, wanted.text))
        else:
            x, y = wanted.at[0] / self.scale, wanted.at[1] / self.scale
            where = f"{x:.1f} from the left, {y:.1f} from the head"
            self._untagged.append(("–", f"{where}: {wanted.text}"))

    def _led_across(self, leaders: Any) -> Any:
        """Tell which leaders would cross that of another tag; those that begin at one place do not."""
        if not self._leaders:
            return np.zeros(len(leaders), dtype=bool)
        drawn = shapely.union_all(shapely.linestrings(np.reshape(self._leaders, (-1, 2, 2))))
        return shapely.crosses(shapely.linestrings(leaders.reshape(-1, 2, 2)), drawn)


def _grid(room: Box, block: Block, step: float = 6.0) -> Any:
    """Return the places of a block in a room, row by row, as left, top, right, bottom."""
    width, height = block.width + 2 * INSET, block.height + 2 * INSET
    tops = np.arange(room.top, room.bottom - height + 0.01, step)
    lefts = np.arange(room.left, room.right - width + 0.01, step / 2)
    corner = np.array([(x, y) for y in tops for x in lefts]).reshape(-1, 2)
    return np.hstack([corner, corner + np.array([width, height])])
