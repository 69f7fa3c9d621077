"""The search for the fewest pages: rectangles set one after the other, in a few orders, the best kept."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from patterns.sheets.columned import parted
from patterns.sheets.ground import Ground, Thing, sheet
from patterns.sheets.item import Item
from patterns.sheets.room import PageRoom
from patterns.sheets.space import Space
from patterns.sheets.tiled import Canvas
from patterns.sketch.marks import Block, Box

WAYS = 2
LARGE = 0.2
"""From this share of a page on a drawing may stand without its words."""


Grounds = list[Ground]
PageBegun = tuple[float, Ground, Item | None]
"""How much of the rest a new page would take, the page, and the item whose words it does not hold."""


def best(
    rooms: Sequence[PageRoom],
    canvases: Sequence[Canvas],
    items: Mapping[int, Sequence[Item]],
    words: Mapping[int, tuple[Item, Item]],
    order: Mapping[int, int],
) -> Grounds:
    """Return the plan of fewest pages, then of fewest words apart from their piece.

    `items` holds what stands whole, once for each way of the page, by its place in the working order;
    `words` what is said of the pieces on canvases: to stand on their own sheets, else elsewhere.
    """
    begun = _Run(rooms, items)
    begun.begin(canvases, words, order)
    fewest: _Run | None = None
    for apart in (False, True):
        for sequence in _sequences(items):
            run = begun.copy(apart)
            if run.plan(sequence, fewest):
                fewest = run
    assert fewest is not None
    fewest.shed()
    return fewest.grounds


def _sequences(items: Mapping[int, Sequence[Item]]) -> list[list[int]]:
    """Return the orders in which items are set: the tallest first, the largest first."""
    boxes = {number: outermost(each[0]) for number, each in items.items()}
    return [
        sorted(items, key=lambda number: -boxes[number].height),
        sorted(items, key=lambda number: -boxes[number].width * boxes[number].height),
    ]


def outermost(item: Item) -> Box | Block:
    """Return what an item takes of a page at most: it is drawn for that."""
    return next(item.forms, None) or item.drawn.box


def _large(item: Item, room: PageRoom) -> bool:
    box = item.drawn.box
    return box.width * box.height >= LARGE * room.box.width * room.box.height


@dataclass(slots=True)
class _Run:
    """One way through the items."""

    rooms: Sequence[PageRoom]
    items: Mapping[int, Sequence[Item]]
    apart: bool = False
    """Words may stand on another page than a large drawing that they are said of."""
    grounds: Grounds = field(default_factory=list)
    away: list[tuple[int, Item]] = field(default_factory=list)
    """Words that found no room with their piece."""

    def copy(self, apart: bool) -> _Run:
        """Return the same beginning for another way."""
        grounds = [ground.copy() for ground in self.grounds]
        return _Run(self.rooms, self.items, apart, grounds, [*self.away])

    def begin(
        self,
        canvases: Sequence[Canvas],
        words: Mapping[int, tuple[Item, Item]],
        order: Mapping[int, int],
    ) -> None:
        """Lay out the sheets of the canvases, with what is said of their pieces where they leave room."""
        for canvas in canvases:
            numbers = [order[id(item.subject)] for item in canvas.row.items]
            own = [sheet(canvas, number, min(numbers)) for number in range(len(canvas.windows))]
            self.grounds += own
            for number in numbers:
                if number in words and not self._put(number, words[number][0], own):
                    self.away.append((number, words[number][1]))

    def plan(self, sequence: Sequence[int], best: _Run | None) -> bool:
        """Set everything; False where that is no better than the best run so far.

        It is given up as soon as that shows: neither pages nor words apart from their piece ever grow fewer.
        """
        for place_in_it, number in enumerate(sequence):
            if self._set(number):
                continue
            if best and self.cost(1) >= best.cost():
                return False
            self._begin_page(number, self.items[number], sequence[place_in_it + 1 :])
        for number, item in self.away:
            if best and self.cost() >= best.cost():
                return False
            put = self._put(number, item, self._nearest(number))
            if not put and not self._again(Thing(number, item)):
                self._apart(number, item)
        return best is None or self.cost() < best.cost()

    def cost(self, more: int = 0) -> tuple[int, int]:
        """Return how many pages, or so many more, and how many words on another page than what they are said of."""
        return len(self.grounds) + more, len(self.away)

    def shed(self) -> None:
        """Give up each page whose things all find room on others, the emptiest first."""
        whole = [ground for ground in self.grounds if ground.canvas is None]
        for ground in sorted(whole, key=lambda one: one.filled):
            before = self.grounds
            self.grounds = [one for one in before if one is not ground]
            things = sorted(ground.things, key=lambda one: -one.area)
            if not self.grounds or not all(map(self._again, things)):
                self.grounds = before

    def _apart(self, number: int, item: Item) -> None:
        """Begin a page with words, or several where one cannot hold them."""
        high = max(room.box.height for room in self.rooms)
        for part in parted(next(item.forms), high * 0.9):
            each = replace(item, variants=(part,), of=None)
            if not self._put(number, each, self.grounds):
                self._begin_page(number, [each] * WAYS, ())

    def _nearest(self, number: int) -> list[Ground]:
        return sorted(self.grounds, key=lambda one: abs(one.first - number))

    def _put(self, number: int, item: Item, grounds: Sequence[Ground]) -> bool:
        """Set an item on the first of some pages that takes it."""
        for ground in grounds:
            found = ground.place(item)
            if found is not None:
                ground.take(number, found)
                return True
        return False

    def _set(self, number: int) -> bool:
        """Set an item on the nearest page that takes it; False where none does."""
        each = self.items[number]
        for ground in self._nearest(number):
            found = ground.place(each[ground.room.way])
            if found is not None:
                ground.take(number, found)
                return True
        return self._again(Thing(number, each[0])) or (self.apart and self._bare(number))

    def _again(self, thing: Thing) -> bool:
        """Set something on a page of whole drawings that takes it where what stands there is set anew."""
        for ground in self._nearest(thing.number):
            if ground.canvas:
                continue
            there = [*ground.things, thing]
            for room in sorted(self.rooms, key=lambda one: one != ground.room):
                made = ground.again(room, [self._lying(one, room) for one in there])
                if made is not None:
                    self.grounds[self.grounds.index(ground)] = made
                    return True
        return False

    def _lying(self, thing: Thing, room: PageRoom) -> Thing:
        """Return something as it is where the page lies as in a room."""
        if thing.item.words:
            return thing
        return thing._replace(item=self.items[thing.number][room.way])

    def _bare(self, number: int) -> bool:
        """Set a large drawing on a page, its words to find a place at the end."""
        each = self.items[number]
        if each[0].words:
            return False
        for ground in self._nearest(number):
            item = each[ground.room.way]
            found = ground.alone(item, named=True) if _large(item, ground.room) else None
            if found is not None:
                ground.take(number, found)
                self.away.append((number, item.notes))
                return True
        return False

    def _begin_page(self, number: int, each: Sequence[Item], later: Sequence[int]) -> None:
        """Begin the page that takes most of what is left, this item first."""
        made = [*self._begun(number, each, later)]
        if not made or (self.apart and not each[0].words):
            made += self._begun_bare(number, each, later, not made)
        _, ground, item = max(made, key=lambda one: one[0])
        self.grounds.append(ground)
        if item is not None:
            self.away.append((number, item.notes))

    def _begun(
        self, number: int, each: Sequence[Item], later: Sequence[int]
    ) -> Iterator[PageBegun]:
        """Yield each page that takes an item with its words, and how much of the rest it would take."""
        for room in self.rooms:
            ground = Ground(room, number, Space(room.box))
            found = ground.place(each[room.way])
            if found is None:
                continue
            ground.take(number, found)
            yield self._filled(ground, later), ground, None

    def _begun_bare(
        self, number: int, each: Sequence[Item], later: Sequence[int], needed: bool
    ) -> Iterator[PageBegun]:
        """Yield each page that takes an item without words beside it: on its blank parts, else elsewhere.

        Only large ones stand so, unless it is needed.
        """
        for room in self.rooms:
            ground = Ground(room, number, Space(room.box))
            found = ground.alone(each[room.way]) if needed or _large(each[room.way], room) else None
            if found is not None:
                ground.take(number, found)
                item = None if found.lettered else each[room.way]
                yield self._filled(ground, later), ground, item

    def _filled(self, ground: Ground, later: Sequence[int]) -> float:
        """Return how much a page holds of an item and of what comes after it."""
        room, trial = ground.room, ground.copy()
        for other in later:
            item = self.items[other][room.way]
            more = trial.place(item)
            if more is None and self.apart and not item.words:
                more = trial.alone(item, named=True)
            if more is not None:
                trial.take(other, more)
        return trial.filled
