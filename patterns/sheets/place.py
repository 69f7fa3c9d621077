"""Where words go: each has an ordered list of slots, and takes one that touches nothing.

Most words stand at one of the first places that they are offered, so places are worked out only as
they are asked for. Where the first free ones of some words meet, all slots are asked at once: the words
with the fewest left choose first, and take from the others what they cover. What finds no slot becomes
a numbered tag near its place, joined to it by a thin line, with its words in a key.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from copy import copy
from dataclasses import dataclass
from functools import cached_property, lru_cache, partial
from itertools import accumulate, chain, combinations, islice
from typing import Any, NamedTuple, Protocol

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
FEW = 12
"""So many places are asked one by one: most words find room in one of them."""
MORE = 4
"""So many times as many are asked at once then, and again, while none of them is free."""


class WordPlace(NamedTuple):
    """A place that words may take: the room that it needs, how it is drawn, and the line that leads to it."""

    sides: Sides
    draw: Callable[[], tuple[Mark, ...]]
    leader: Sides | None = None
    """From x, y to x, y."""


class Slots:
    """Places that words may take, in order of liking, each worked out when it is first asked for."""

    def __init__(self, places: Iterable[WordPlace] = ()) -> None:
        self._known: list[WordPlace] = []
        self._coming = iter(places)

    def __iter__(self) -> Iterator[WordPlace]:
        yield from self._known
        for slot in self._coming:
            self._known.append(slot)
            yield slot

    def __getitem__(self, part: slice) -> list[Sides]:
        """Return the rooms of some of them."""
        lacking = None if part.stop is None else max(0, part.stop - len(self._known))
        self._known += islice(self._coming, lacking)
        return [slot.sides for slot in self._known[part]]

    def slot(self, index: int) -> WordPlace:
        """Return one that was asked for, by its number from 0."""
        return self._known[index]


def joined(several: Iterable[Iterable[WordPlace]]) -> Slots:
    """Return the places of several, those of the first liked best."""
    return Slots(chain.from_iterable(several))


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

    def covered(self, slots: Iterable[WordPlace]) -> Slots:
        """Return the slots whose room lies in it."""
        left, top, right, bottom = self.bounds
        inside = (
            slot
            for slot in slots
            if slot.sides[0] >= left
            and slot.sides[1] >= top
            and slot.sides[2] <= right
            and slot.sides[3] <= bottom
        )
        return Slots(inside if self.upright else self._within(inside))

    def _within(self, slots: Iterator[WordPlace]) -> Iterator[WordPlace]:
        """Yield the slots that the polygon covers, more and more of them asked at once."""
        shapely.prepare(self.shape)
        count = FEW
        while some := list(islice(slots, count)):
            boxes = shapely.box(*np.array([slot.sides for slot in some]).T)
            covered = shapely.covers(self.shape, boxes).tolist()
            yield from (slot for slot, holds in zip(some, covered, strict=True) if holds)
            count *= MORE


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


class Rooms(Protocol):
    """Rooms of left, top, right, bottom, in order of liking."""

    def __getitem__(self, part: slice, /) -> Sequence[Sides]:
        """Return some of them."""


def place(
    wanted: Sequence[Rooms], hard: Obstacles, soft: Obstacles | None = None, page: Box | None = None
) -> tuple[int | None, ...]:
    """Choose one slot a label so that no two meet; return its index, None where none is free.

    `wanted` holds for each label the rooms of its slots as rows of left, top, right, bottom. A slot
    must not touch what is `hard`, and avoids what is `soft` while it can.
    """
    chosen = [first(rooms, hard, soft, page) for rooms in wanted]
    taken = [
        rooms[at : at + 1][0] for rooms, at in zip(wanted, chosen, strict=True) if at is not None
    ]
    if not any(_meet(one, other) for one, other in combinations(taken, 2)):
        return tuple(chosen)
    every = [rooms[:] for rooms in wanted]
    counts = [len(rows) for rows in every]
    sides = np.array([*chain.from_iterable(every)])
    free, spoilt = _open(sides, hard, soft, page)
    cost = np.concatenate([np.arange(count) for count in counts]) + PENALTY * spoilt
    return _choose(counts, sides, np.where(free, cost, np.inf))


def first(rooms: Rooms, hard: Obstacles, soft: Obstacles | None, page: Box | None) -> int | None:
    """Return the first of some rooms that is free, where possible of what is `soft` as well."""
    for index, room in enumerate(rooms[:FEW]):
        on = page is None or _on(room, page)
        if on and not hard.touches(room) and not (soft and soft.touches(room)):
            return index
    spoiled: int | None = None
    start, count = 0, FEW * MORE
    while len(some := rooms[start : start + count]):
        free, spoilt = _open(np.array(some), hard, soft, page)
        good = free & ~spoilt
        if good.any():
            return start + int(np.argmax(good))
        if spoiled is None and free.any():
            spoiled = start + int(np.argmax(free))
        start, count = start + count, count * MORE
    return spoiled


def _on(room: Sides, page: Box) -> bool:
    """Tell whether a room lies on the page."""
    return (
        room[0] >= page.left - 1e-6
        and room[1] >= page.top - 1e-6
        and room[2] <= page.right + 1e-6
        and room[3] <= page.bottom + 1e-6
    )


def _meet(one: Sides, other: Sides) -> bool:
    return one[0] <= other[2] and other[0] <= one[2] and one[1] <= other[3] and other[1] <= one[3]


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
    spots = tuple(places)
    return joined(_slots(lines, cap, spots, bold) for lines in _wrapped(text, cap, bold, widths))


def _wrapped(
    text: str, cap: float, bold: bool, widths: Iterable[float]
) -> Iterator[tuple[str, ...]]:
    """Yield the lines of words at each width, the same only once."""
    told: set[tuple[str, ...]] = set()
    for width in widths:
        lines = wrap(text, cap, min(width, 1e4), bold)
        if lines and lines not in told:
            told.add(lines)
            yield lines


def line_slots(
    line: str, cap: float, places: Iterable[tuple[float, float, float]], bold: bool = False
) -> Slots:
    """Return slots for one line of words about each middle (x, y), at an angle of 0 or 90."""
    return Slots(_slots((line,), cap, places, bold))


def _slots(
    lines: tuple[str, ...], cap: float, spots: Iterable[tuple[float, float, float]], bold: bool
) -> Iterator[WordPlace]:
    """Yield a slot for some lines at each place."""
    along, over = _half_extent(lines, cap, bold)
    for x, y, angle in spots:
        wide, high = (along, over) if angle == 0 else (over, along)
        sides = x - wide, y - high, x + wide, y + high
        yield WordPlace(sides, partial(_written, lines, cap, x, y, angle, bold))


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


@dataclass(frozen=True, slots=True, eq=False)
class Tags:
    """Where a numbered tag may stand, the nearest places first."""

    number: str
    radius: float
    middles: Any
    """A row x, y for each place."""
    leaders: Any
    """Where the lines to them run, a row x, y, x, y for each place."""

    @property
    def sides(self) -> list[Sides]:
        """The room of each place."""
        room = self.radius + 0.4
        return [(x - room, y - room, x + room, y + room) for x, y in self.middles.tolist()]

    def kept(self, those: Any) -> Tags:
        """Return those places for which an array of truths says so."""
        return Tags(self.number, self.radius, self.middles[those], self.leaders[those])

    def slot(self, index: int) -> WordPlace:
        """Return one of the places, by its number from 0."""
        x, y = self.middles[index].tolist()
        ax, ay, bx, by = self.leaders[index].tolist()
        room = self.radius + 0.4
        marks = (
            Circle(LineKind.REFERENCE, (x, y), self.radius),
            Words((x, y + BODY / 2), self.number, BODY, anchor="middle"),
            Line(LineKind.REFERENCE, ((ax, ay), (bx, by))),
        )
        return WordPlace((x - room, y - room, x + room, y + room), lambda: marks, (ax, ay, bx, by))


def tags(number: str, places: Sequence[Point]) -> Tags:
    """Return where a numbered tag may stand round some places, the nearest first, with its leader."""
    radius = max(TAG_RADIUS, width_mm(number, BODY) / 2 + 0.9)
    at = np.tile(np.array(places), (len(AWAY), 1))
    away, towards = (np.repeat(each, len(places), axis=0) for each in (AWAY, TOWARDS))
    middles = at + away
    return Tags(number, radius, middles, np.hstack([at, middles - radius * towards]))


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
        self._leaders: list[Sides] = []
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
        chosen = place(slots, self.hard, self.soft, self.page)
        for each, index in zip(slots, chosen, strict=True):
            if index is not None:
                self._set(each.slot(index))
        for one, index in zip(wanted, chosen, strict=True):
            if index is None and one.text.strip():
                self._tag(one)

    def insert(self, variants: Sequence[Block], room: Box) -> bool:
        """Set the first of some blocks that finds a blank part in a room, if any does."""
        for block in variants:
            places = _grid(room, block)
            index = first(places, self.hard, self.soft, self.page)
            if index is not None:
                left, top, *_ = places[index]
                self._fill(places[index])
                self.marks += moved(block.marks, left + INSET, top + INSET)
                return True
        return False

    def _set(self, slot: WordPlace) -> None:
        self._fill(slot.sides)
        self.marks += slot.draw()
        if slot.leader is not None:
            self.hard.add_segment(slot.leader)
            self._leaders.append(slot.leader)

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
            self._set(slots.slot(index))
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


def _grid(room: Box, block: Block, step: float = 6.0) -> list[Sides]:
    """Return the places of a block in a room, row by row."""
    width, height = block.width + 2 * INSET, block.height + 2 * INSET
    tops = np.arange(room.top, room.bottom - height + 0.01, step).tolist()
    lefts = np.arange(room.left, room.right - width + 0.01, step / 2).tolist()
    return [(x, y, x + width, y + height) for y in tops for x in lefts]
