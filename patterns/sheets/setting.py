"""Where an item and its words find room on a page: rectangles alone, the marks are moved there last."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from patterns.model.drawing import Mark
from patterns.sheets.item import WIDEST, Item
from patterns.sheets.piece_view import View
from patterns.sheets.space import Space
from patterns.sketch.marks import Block, Box, moved

COLUMNS = (44.0, 60.0)
"""Widths of the column of words beside a drawing."""
BELOW = (44.0, 150.0)
"""Least and greatest width of words below it."""
SQUEEZED = 0.7
"""Words take no less than this share of what they take in their best form."""
BESIDE = 5.5
UNDER = 4.0
NEAR = 6.5
"""So near its drawing what is said of it begins, wherever there is room."""
FAR = 25.0
"""No farther from it, and then nearer to no other drawing."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where an item stands on a page: its drawing, and its words unless they stand elsewhere."""

    item: Item
    view: View
    own: Box
    words: Box | None
    told: Block | None
    taken: tuple[Box, ...]
    lettered: bool = False
    """All that is said of it stands on the drawing itself."""

    @property
    def boxes(self) -> tuple[Box, ...]:
        """The room of the drawing and of its words."""
        return (self.own,) if self.words is None else (self.own, self.words)

    @property
    def marks(self) -> tuple[Mark, ...]:
        """All its marks in page coordinates."""
        dx, dy = self.own.left - self.view.box.left, self.own.top - self.view.box.top
        drawn = moved(self.view.marks, dx, dy)
        if self.words is None or self.told is None:
            return drawn
        return (*drawn, *moved(self.told.marks, self.words.left, self.words.top))

    def moved(self, dx: float, dy: float) -> Place:
        """Return it moved on its page."""
        words = None if self.words is None else self.words.moved(dx, dy)
        return replace(self, own=self.own.moved(dx, dy), words=words)


def place(item: Item, space: Space) -> Place | None:
    """Find room for an item with all that is said of it; None where there is not enough."""
    if item.words:
        return _words(item, space)
    box = item.drawn.box
    if space.corner(box.width, box.height) is None:
        return None
    return _columned(item, space) or _apart(item, space)


def alone(item: Item, space: Space, named: bool = False) -> Place | None:
    """Find room for an item whose words stand on its own blank parts, or on another page.

    With `named` they are not looked for on the blank parts.
    """
    lettered = None if named else item.lettered
    for drawn in (lettered,) if lettered else (item.drawn, item.tight):
        at = space.corner(drawn.box.width, drawn.box.height)
        if at is not None:
            return Place(item, drawn, at, None, None, (at,), lettered is not None)
    return None


def _words(item: Item, space: Space) -> Place | None:
    """Find room for words in one of their forms."""
    found = _told(item, space)
    if found is None:
        return None
    block, at = found
    return Place(item, _written(block), at, None, None, (at,))


def _told(item: Item, space: Space, own: Box | None = None) -> tuple[Block, Box] | None:
    """Return words as they find room: in a given form, in one column as wide as the room, parted.

    Those said of a drawing on the page stand beside it: `own` is its room.
    """
    found = _formed(item.forms, space, own)
    if found or item.of is None:
        return found
    least = next(item.forms).area * SQUEEZED
    rooms = [room for room in space.rooms if room.area >= least]
    beside = None if own is None else (own, space)
    return (
        _filling(rooms, item.filling, own=beside)
        or _filling(rooms, item.rowed, math.inf, beside)
        or (_formed(item.parted, space, own) if rooms else None)
    )


def _formed(
    forms: Iterable[Block], space: Space, own: Box | None = None
) -> tuple[Block, Box] | None:
    for block in forms:
        if own is None:
            at = space.corner(block.width, block.height)
        else:
            there = (_by(own, room, block, space) for room in space.rooms)
            at = min(filter(None, there), key=lambda one: (one.top, one.left), default=None)
        if at is not None:
            return block, at
    return None


def _by(own: Box, room: Box, block: Block, space: Space) -> Box | None:
    """Return where words stand in a room beside the drawing that they are said of.

    None where that is too far from it, or nearer to another drawing.
    """
    if block.width > room.width + 1e-6 or block.height > room.height + 1e-6:
        return None
    left = min(max(own.left, room.left), room.right - block.width)
    top = min(max(own.top, room.top), room.bottom - block.height)
    at = Box(left, top, left + block.width, top + block.height)
    others = [one for one in space.drawings if one != own]
    away = at.away(own)
    nearest = min((one.away(at) for one in others), default=math.inf)
    return at if away <= NEAR or away <= min(FAR, nearest) else None


def _filling(
    rooms: Iterable[Box],
    make: Callable[[float], Block | None],
    widest: float = WIDEST,
    own: tuple[Box, Space] | None = None,
) -> tuple[Block, Box] | None:
    """Set words as wide as the first room that takes them so; None where there is none."""
    for room in rooms:
        if own is not None and room.away(own[0]) > FAR:
            continue
        width = float(min(int(room.width), widest))
        block = make(width) if width >= COLUMNS[0] else None
        if block is None or block.height > room.height or block.width > room.width:
            continue
        right, bottom = room.left + block.width, room.top + block.height
        at = (
            Box(room.left, room.top, right, bottom)
            if own is None
            else _by(own[0], room, block, own[1])
        )
        if at is not None:
            return block, at
    return None


def _written(block: Block) -> View:
    """Return a block of words as a view of its own."""
    box = Box(0.0, 0.0, block.width, block.height)
    return View(box, lambda: block.marks, frozenset(), (), box)


def _columned(item: Item, space: Space) -> Place | None:
    """Find room for a drawing with its words beside or below it, as low on the page as can be."""
    drawn = item.drawn
    wide, high = drawn.box.width, drawn.box.height
    below = min(max(wide, BELOW[0]), BELOW[1])
    best: tuple[tuple[float, float, int], Box, bool, Block] | None = None
    for rank, (width, right) in enumerate(((COLUMNS[0], True), (COLUMNS[1], True), (below, False))):
        block = item.told(drawn.key, width)
        at = (
            space.corner(wide + BESIDE + block.width, max(high, block.height))
            if right
            else space.corner(max(wide, block.width), high + UNDER + block.height)
        )
        if at is None:
            continue
        order = (round(at.bottom, 1), at.left, rank)
        if best is None or order < best[0]:
            best = (order, at, right, block)
    if best is None:
        return None
    _, at, right, block = best
    left = at.left + wide + BESIDE if right else at.left
    top = at.top if right else at.top + high + UNDER
    words = Box(left, top, left + block.width, top + block.height)
    own = Box(at.left, at.top, at.left + wide, at.top + high)
    return Place(item, drawn, own, words, block, (own, words))


def _apart(item: Item, space: Space) -> Place | None:
    """Find room for a drawing, and beside it for its words as one block under its name."""
    drawn = item.drawn
    at = space.corner(drawn.box.width, drawn.box.height)
    if at is None:
        return None
    trial = space.copy()
    trial.take(at)
    found = _told(item.told_beside, trial, at)
    if found is None:
        return None
    return Place(item, drawn, at, found[1], found[0], (at, found[1]))


def worded(bare: Place, space: Space, near: bool = False) -> Place | None:
    """Return a drawing that has its place with its words beside it, as wide as a room that takes them.

    The room is the nearest to the drawing, or the smallest.
    """
    rooms = space.rooms
    if near:
        rooms.sort(key=lambda room: (round(room.away(bare.own)), room.area))
    found = _filling(rooms, bare.item.told_beside.filling, own=(bare.own, space))
    if found is None:
        return None
    return replace(bare, told=found[0], words=found[1], taken=(*bare.taken, found[1]))
