"""Where words go: each has an ordered list of slots, and takes one that touches nothing.

All slots are asked against the line work and against each other at once (one search tree); then
the words with the fewest slots left choose first. What finds no slot becomes a numbered tag near
its place, joined to it by a thin line, with its words in a key.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache, partial
from itertools import compress
from typing import Any, NamedTuple

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


class Spot(NamedTuple):
    """A place words may take: the room they need as plain numbers, and how they are drawn there."""

    sides: Sides
    draw: Callable[[], tuple[Mark, ...]]
    leader: tuple[Point, Point] | None = None

    @property
    def box(self) -> Box:
        """The room that they need."""
        return Box(*self.sides)


@dataclass(frozen=True, slots=True)
class Wanted:
    """Words to be placed: their slots in order of liking, and what a key would say of them."""

    text: str
    at: Point
    slots: tuple[Spot, ...]
    within: Any = None
    """A polygon that the slot must lie in."""
    also: tuple[Point, ...] = ()
    """Other places that a tag may point at."""
    name: str = ""
    """The letter that it has elsewhere, too: its tag's, instead of a number."""


def place(
    wanted: Sequence[Sequence[Sides]],
    hard: Obstacles,
    soft: Obstacles | None = None,
    page: Box | None = None,
) -> tuple[int | None, ...]:
    """Choose one slot a label so that no two meet; return its index, None where none is free.

    A slot must not touch what is `hard`, and avoids what is `soft` while it can.
    """
    every = [one for slots in wanted for one in slots]
    if not every:
        return (None,) * len(wanted)
    sides = np.array(every)
    free, spoilt = _open(sides, hard, soft, page)
    cost = np.concatenate([np.arange(len(slots)) for slots in wanted]) + PENALTY * spoilt
    if len(wanted) == 1:
        return (int(np.argmin(np.where(free, cost, np.inf))) if free.any() else None,)
    owner = np.repeat(np.arange(len(wanted)), [len(slots) for slots in wanted])
    alive = np.flatnonzero(free)
    shapes = shapely.box(*sides[alive].T)
    first, second = shapely.STRtree(shapes).query(shapes)
    return _choose(owner, len(wanted), (alive[first], alive[second]), free, cost)


def _open(sides: Any, hard: Obstacles, soft: Obstacles | None, page: Box | None) -> tuple[Any, Any]:
    """Return which boxes are free, and which of them touch what should be avoided."""
    free = ~hard.touched(sides)
    if page is not None:
        free &= (sides[:, :2] >= (page.left - 1e-6, page.top - 1e-6)).all(axis=1)
        free &= (sides[:, 2:] <= (page.right + 1e-6, page.bottom + 1e-6)).all(axis=1)
    spoilt = soft.touched(sides) if soft else np.zeros(len(sides), dtype=bool)
    return free, spoilt


def _choose(owner: Any, labels: int, pairs: Any, free: Any, cost: Any) -> tuple[int | None, ...]:
    """Let the label with the fewest free slots take its best one, until none is left."""
    first, second = pairs
    starts = np.searchsorted(first, np.arange(len(owner) + 1))
    begins = np.searchsorted(owner, np.arange(labels + 1))
    left = np.bincount(owner[free], minlength=labels)
    chosen: list[int | None] = [None] * labels
    todo = set(np.flatnonzero(left).tolist())
    while todo:
        label = min(todo, key=lambda one: (left[one], one))
        todo.discard(label)
        own = np.arange(begins[label], begins[label + 1])
        own = own[free[own]]
        if not len(own):
            continue
        best = int(own[np.argmin(cost[own])])
        chosen[label] = best - int(begins[label])
        hit = second[starts[best] : starts[best + 1]]
        hit = hit[free[hit]]
        free[hit] = False
        np.subtract.at(left, owner[hit], 1)
    return tuple(chosen)


def covered(shape: Any, slots: Sequence[Spot]) -> tuple[Spot, ...]:
    """Return the slots whose room lies in a shape."""
    if not slots:
        return ()
    shapely.prepare(shape)
    boxes = shapely.box(*np.array([slot.sides for slot in slots]).T)
    return tuple(compress(slots, shapely.covers(shape, boxes)))


def words_slots(
    text: str,
    cap: float,
    places: Iterable[tuple[float, float, float]],
    bold: bool = False,
    widths: Sequence[float] = (math.inf,),
) -> tuple[Spot, ...]:
    """Return slots for words centred at each (x, y, angle), angle 0 or 90, wrapped to each width.

    All places are tried at the first width before the next width is used.
    """
    spots = tuple(places)
    wrapped = dict.fromkeys(wrap(text, cap, min(width, 1e4), bold) for width in widths)
    return tuple(slot for lines in wrapped if lines for slot in _slots(lines, cap, spots, bold))


def words_slot(
    lines: tuple[str, ...],
    cap: float,
    x: float,
    y: float,
    angle: float = 0.0,
    bold: bool = False,
) -> Spot:
    """Return the slot of some lines of words about the middle (x, y)."""
    (slot,) = _slots(lines, cap, [(x, y, angle)], bold)
    return slot


def _slots(
    lines: tuple[str, ...], cap: float, spots: Iterable[tuple[float, float, float]], bold: bool
) -> Iterator[Spot]:
    along, over = _half_extent(lines, cap, bold)
    for x, y, angle in spots:
        wide, high = (along, over) if angle == 0 else (over, along)
        sides = (x - wide, y - high, x + wide, y + high)
        yield Spot(sides, partial(_written, lines, cap, x, y, angle, bold))


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


def tag_slots(number: str, at: Point) -> Iterator[Spot]:
    """Return slots for a numbered tag round a place, the nearest first, with a line to it."""
    radius = max(TAG_RADIUS, width_mm(number, BODY) / 2 + 0.9)
    room = radius + 0.4
    for reach, turns in RINGS:
        for turn in range(turns):
            a = 2 * math.pi * turn / turns
            x, y = at[0] + reach * math.cos(a), at[1] - reach * math.sin(a)
            edge = (x - radius * math.cos(a), y + radius * math.sin(a))
            sides = (x - room, y - room, x + room, y + room)
            yield Spot(sides, partial(_tag_marks, number, (x, y), radius, (at, edge)), (at, edge))


RINGS = tuple((reach, 8) for reach in (3.5, 5.0, 7.0)) + tuple(
    (reach, 16) for reach in (9.5, 13.0, 18.0, 25.0, 34.0, 46.0, 62.0, 84.0)
)
"""Distances at which a tag is tried, and in how many directions."""


def _tag_marks(
    number: str, at: Point, radius: float, leader: tuple[Point, Point]
) -> tuple[Mark, ...]:
    return (
        Circle(LineKind.REFERENCE, at, radius),
        Words((at[0], at[1] + BODY / 2), number, BODY, anchor="middle"),
        Line(LineKind.REFERENCE, leader),
    )


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
        self.taken: list[Box] = []
        self.marks: list[Mark] = []
        self._tagged: list[tuple[str, str]] = []
        self._untagged: list[tuple[str, str]] = []

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
            one.slots if one.within is None else covered(one.within, one.slots) for one in wanted
        ]
        chosen = place(
            [[slot.sides for slot in each] for each in slots], self.hard, self.soft, self.page
        )
        for each, index in zip(slots, chosen, strict=True):
            if index is not None:
                self._set(each[index])
        for one, index in zip(wanted, chosen, strict=True):
            if index is None and one.text.strip():
                self._tag(one)

    def insert(self, variants: Sequence[Block], room: Box) -> bool:
        """Set the first of some blocks that finds a blank part in a room, if any does."""
        for block in variants:
            sides = _grid(room, block)
            if not len(sides):
                continue
            free, spoilt = _open(sides, self.hard, self.soft, self.page)
            for good in (free & ~spoilt, free):
                if good.any():
                    left, top, right, bottom = map(float, sides[int(np.argmax(good))])
                    at = (left + INSET, top + INSET)
                    self._set(Spot((left, top, right, bottom), partial(moved, block.marks, *at)))
                    return True
        return False

    def _set(self, slot: Spot) -> None:
        self.taken.append(slot.box)
        self.hard.add(slot.sides)
        self._barred.add(slot.sides)
        self.marks += slot.draw()
        if slot.leader:
            self.hard.add_segment(*slot.leader)

    def _tag(self, wanted: Wanted) -> None:
        number = wanted.name or str(1 + sum(name.isdigit() for name, _ in self._tagged))
        places = (wanted.at, *wanted.also)
        slots = [slot for at in places for slot in tag_slots(number, at)]
        crossed = self._barred.crossed([slot.leader for slot in slots if slot.leader])
        open_slots = [slot for slot, bad in zip(slots, crossed, strict=True) if not bad]
        (index,) = place([[slot.sides for slot in open_slots]], self.hard, self.soft, self.page)
        if index is not None:
            self._set(open_slots[index])
        if index is not None or wanted.name:
            self._tagged.append((number, wanted.text))
        else:
            x, y = wanted.at[0] / self.scale, wanted.at[1] / self.scale
            where = f"{x:.1f} from the left, {y:.1f} from the head"
            self._untagged.append(("–", f"{where}: {wanted.text}"))


def _grid(room: Box, block: Block, step: float = 6.0) -> Any:
    """Return the places of a block in a room, row by row, as left, top, right, bottom."""
    width, height = block.width + 2 * INSET, block.height + 2 * INSET
    tops = np.arange(room.top, room.bottom - height + 0.01, step)
    lefts = np.arange(room.left, room.right - width + 0.01, step / 2)
    corner = np.array([(x, y) for y in tops for x in lefts]).reshape(-1, 2)
    return np.hstack([corner, corner + np.array([width, height])])
