"""A page that is being filled: what stands on it, the room that is left, and how it is set anew."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import NamedTuple

from patterns.model.drawing import LineKind
from patterns.sheets.item import Item
from patterns.sheets.legend import Sign
from patterns.sheets.room import PageRoom
from patterns.sheets.setting import NEAR, Place, alone, place, worded
from patterns.sheets.space import Space
from patterns.sheets.tiled import Canvas
from patterns.sketch.marks import Box

WINDOW_GAP = 3.0


class Thing(NamedTuple):
    """What a page holds or is to hold, with its number in the working order."""

    number: int
    item: Item
    told: bool = True
    """Its words stand beside it on the same page."""
    lettered: bool = False
    """Its words stand on it."""

    @property
    def area(self) -> float:
        """About how much it takes, in square millimetres."""
        item = self.item
        if item.words:
            return next(item.forms).area
        return item.drawn.box.area + (next(item.told_beside.forms).area if self.told else 0.0)


@dataclass(eq=False, slots=True)
class Ground:
    """A page that is being filled: its room, what is free of it, and what stands there so far."""

    room: PageRoom
    first: int
    """Its place in the working order: that of the first item on it."""
    space: Space
    places: list[tuple[int, Place]] = field(default_factory=list)
    canvas: Canvas | None = None
    number: int = 0
    """Which sheet of its canvas it is, from 0."""
    signs: frozenset[Sign] = frozenset()
    legend: Box | None = None

    def copy(self) -> Ground:
        """Return the same page, to go on with in another way."""
        return replace(self, space=self.space.copy(), places=[*self.places])

    def place(self, item: Item) -> Place | None:
        """Find room for an item and its words; None where there is not enough."""
        if not item.words:
            box = item.drawn.box
            if self.space.corner(box.width, box.height) is None:
                return None
        space = self.beside(item)
        return None if space is None else self._kept(place(item, space))

    def alone(self, item: Item, named: bool = False) -> Place | None:
        """Find room for an item whose words stand on it or elsewhere."""
        space = self.beside(item)
        return None if space is None else self._kept(alone(item, space, named))

    def _kept(self, found: Place | None) -> Place | None:
        """Return what was found unless words that stand here would lie nearer to it than to their own drawing."""
        if found is None or found.item.words:
            return found
        for _, one in self.places:
            if one.words:
                away = one.words.away(one.own)
                if away > NEAR and found.own.away(one.words) < away:
                    return None
        return found

    def beside(self, item: Item) -> Space | None:
        """Return the free room when the legend tells an item's signs too; None where it has no room."""
        if item.signs <= self.signs:
            return self.space
        legend = self.room.legend(self.signs | item.signs)
        if legend == self.legend:
            return self.space
        if any(box.meets(legend) for _, one in self.places for box in one.boxes):
            return None
        if self.canvas and self.canvas.windows[self.number].meets(legend):
            return None
        space = self.space.copy()
        space.take(legend, 0.0)
        return space

    def take(self, number: int, found: Place) -> None:
        """Set something on it."""
        if not found.item.signs <= self.signs:
            self.signs |= found.item.signs
            self.legend = self.room.legend(self.signs)
            self.space.take(self.legend, 0.0)
        for box in found.taken:
            self.space.take(box, drawing=box is found.own and not found.item.words)
        self.places.append((number, found))
        if self.canvas is None:
            self.first = min(self.first, number)

    @property
    def filled(self) -> float:
        """How much of it is taken by what stands beside a canvas, in square millimetres."""
        return sum(box.area for _, one in self.places for box in one.boxes)

    def again(self, room: PageRoom, things: Sequence[Thing]) -> Ground | None:
        """Return a page without a canvas set anew in a room with these things: drawings first, then their words.

        None where it does not hold all.
        """
        if not _may_hold(room, things):
            return None
        page = Ground(room, self.first, Space(room.box))
        bare = page._drawn(things)
        if bare is None:
            return None
        for near in (True, False):
            trial = page.copy()
            if trial._worded(bare, near) and trial._placed(things):
                return trial
        return None

    def _drawn(self, things: Sequence[Thing]) -> list[tuple[int, Place]] | None:
        """Set all drawings and return those that want words; None where one finds no room."""
        bare: list[tuple[int, Place]] = []
        for thing in sorted(things, key=lambda one: -one.item.drawn.box.height):
            if thing.item.words:
                continue
            found = self.alone(thing.item, named=not thing.lettered)
            if found is None:
                return None
            self.take(thing.number, found)
            if thing.told:
                bare.append((thing.number, found))
        return bare

    @property
    def things(self) -> list[Thing]:
        """What stands on it."""
        return [
            Thing(each, one.item, one.words is not None, one.lettered) for each, one in self.places
        ]

    def _worded(self, bare: list[tuple[int, Place]], near: bool) -> bool:
        """Set the words of drawings that stand here already; False where one finds no room."""
        for each, found in sorted(bare):
            told = worded(found, self.space, near)
            if told is None or told.words is None:
                return False
            self.places[self.places.index((each, found))] = (each, told)
            self.space.take(told.words)
        return True

    def _placed(self, things: Sequence[Thing]) -> bool:
        """Set words that belong to no drawing here; False where some find no room."""
        words = [one for one in things if one.item.words]
        for thing in sorted(words, key=lambda one: -next(one.item.forms).area):
            found = self.place(thing.item)
            if found is None:
                return False
            self.take(thing.number, found)
        return True


def _may_hold(room: PageRoom, things: Sequence[Thing]) -> bool:
    """Tell whether a page has as much room as all boxes take."""
    signs = frozenset(sign for one in things for sign in one.item.signs)
    return sum(one.area for one in things) <= room.beside(signs).area


def sheet(canvas: Canvas, number: int, first: int) -> Ground:
    """Return one sheet of a canvas, with the room that it leaves."""
    signs = canvas.row.signs | {LineKind.MATCH}
    space = Space(canvas.room.beside(signs))
    space.take(canvas.windows[number], WINDOW_GAP)
    return Ground(canvas.room, first, space, [], canvas, number, signs)
