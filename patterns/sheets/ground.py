"""A page that is being filled: what stands on it, the room that is left, and how it is set anew."""

from __future__ import annotations

from dataclasses import dataclass, field

from patterns.model.drawing import LineKind
from patterns.sheets.item import Item
from patterns.sheets.legend import Sign
from patterns.sheets.room import PageRoom
from patterns.sheets.setting import Place, alone, place, worded
from patterns.sheets.space import Space
from patterns.sheets.tiled import Canvas
from patterns.sketch.marks import Box

WINDOW_GAP = 3.0


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

    def place(self, item: Item) -> Place | None:
        """Find room for an item and its words; None where there is not enough."""
        space = self.beside(item)
        return None if space is None else place(item, space)

    def alone(self, item: Item, named: bool = False) -> Place | None:
        """Find room for an item whose words stand on it or elsewhere."""
        space = self.beside(item)
        return None if space is None else alone(item, space, named)

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
            self.space.take(box)
        self.places.append((number, found))
        if self.canvas is None:
            self.first = min(self.first, number)

    @property
    def emptied(self) -> Ground:
        """The same page with nothing on it but the sheet of its canvas."""
        if self.canvas is None:
            return Ground(self.room, self.first, Space(self.room.box))
        return sheet(self.canvas, self.number, self.first)

    def again(self, number: int, item: Item) -> Ground | None:
        """Return the page set anew with one thing more: drawings first, then words round them.

        None where it does not hold all.
        """
        if item.words or not self._may_hold(item):
            return None
        wanted = [(each, one.item, one) for each, one in self.places]
        wanted.append((number, item, None))
        page = self.emptied
        bare: list[tuple[int, Place]] = []
        for each, one, before in sorted(wanted, key=_tallest):
            if one.words:
                continue
            named = before is None or not before.lettered
            found = page.alone(one, named)
            if found is None:
                return None
            page.take(each, found)
            if before is None or before.words is not None:
                bare.append((each, found))
        return page if page._worded(bare) and page._placed(wanted) else None

    def _may_hold(self, item: Item) -> bool:
        """Tell whether there is as much room as all boxes take, wherever it lies."""
        told = next(item.apart)
        needed = item.drawn.box.area + told.width * told.height
        there = sum(box.area for _, one in self.places for box in one.boxes)
        if self.canvas:
            there += self.canvas.windows[self.number].area
        return needed + there <= self.room.beside(self.signs | item.signs).area

    def _worded(self, bare: list[tuple[int, Place]]) -> bool:
        """Set the words of drawings that stand here already; False where one finds no room."""
        for each, found in sorted(bare):
            told = worded(found, self.space)
            if told is None or told.words is None:
                return False
            self.places[self.places.index((each, found))] = (each, told)
            self.space.take(told.words)
        return True

    def _placed(self, wanted: list[tuple[int, Item, Place | None]]) -> bool:
        """Set words that belong to no drawing here; False where some find no room."""
        for each, one, _ in wanted:
            if one.words:
                found = self.place(one)
                if found is None:
                    return False
                self.take(each, found)
        return True


def _tallest(wanted: tuple[int, Item, Place | None]) -> float:
    return -wanted[1].drawn.box.height


def sheet(canvas: Canvas, number: int, first: int) -> Ground:
    """Return one sheet of a canvas, with the room that it leaves."""
    signs = canvas.row.signs | {LineKind.MATCH}
    space = Space(canvas.room.beside(signs))
    space.take(canvas.windows[number], WINDOW_GAP)
    return Ground(canvas.room, first, space, [], canvas, number, signs)
