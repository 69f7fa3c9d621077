"""Looking for a good layout: many orders tried, counted, each from the same seed.

The pieces are laid in some order of turn on one rectangle of stock after another. What was laid is
then asked to do with less: the last rectangle is shortened below what was used, or left out, and
the order changed little by little until everything fits again. Bounded by a count of tries, never
by the clock, so that the same seed gives the same plan everywhere.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from random import Random

from patterns.cutting.shapes import ANY_AREA, NOTHING, Fill, Filled, Kind, Shape, shapes_of

ORDERS_A_TRY = 8
"""Orders of turn that one try looks at."""
BOLD = 0.3
"""How often half of all that could be saved is asked for at once."""
MARKED = (0.0, 0.5, 0.5)
"""Shares of the shapes that a new order marks."""
PATIENCE = 250
"""Orders in a row without a gain before another beginning is taken."""


@dataclass(frozen=True, slots=True)
class Rectangle:
    """Usable stock, one gap included; only the length of a roll is paid for as far as it is used."""

    width: int
    length: int
    roll: bool = False
    free: bool = False
    """An offcut: there already, whatever of it is used."""


@dataclass(frozen=True, slots=True)
class Laid:
    """Pieces on a run of rectangles, in order; what found no place is counted by kind."""

    filled: tuple[Filled, ...]
    left: tuple[int, ...]

    @property
    def used(self) -> int:
        """How many rectangles, from the first, are needed."""
        return max((n for n, one in enumerate(self.filled, 1) if one.spots), default=0)


@dataclass(slots=True)
class _Hunt:
    """One search: how pieces are laid, what is to be laid, on what, and how much looking is left."""

    fill: Fill
    kinds: Sequence[Kind]
    shapes: tuple[Shape, ...]
    chance: Random
    looks: int
    step: int
    best: Laid | None = None
    cost: tuple[int, int] = (0, 0)
    order: list[int] = field(default_factory=list)
    marked: list[bool] = field(default_factory=list)

    def lay(
        self,
        order: Sequence[int],
        marked: Sequence[bool],
        on: Sequence[Rectangle],
        spare: int = ANY_AREA,
    ) -> Laid:
        """Lay everything in one order of turn, or part of it once more than `spare` stays empty."""
        self.looks -= 1
        left = [kind.count for kind in self.kinds]
        turn = [self.shapes[place] for place in order]
        first = [marked[place] for place in order]
        filled: list[Filled] = []
        for one in on:
            if spare < 0 or not any(left):
                break
            made = self.fill(turn, first, left, one.width, one.length, spare)
            spare -= made.empty
            filled.append(made)
        filled += (NOTHING,) * (len(on) - len(filled))
        return Laid(tuple(filled), tuple(left))

    @property
    def area(self) -> int:
        """Area of every piece."""
        return sum(kind.area * kind.count for kind in self.kinds)

    def short(self, laid: Laid) -> int:
        """Return the area of what found no place."""
        return sum(kind.area * left for kind, left in zip(self.kinds, laid.left, strict=True))


def search(
    fill: Fill,
    kinds: Sequence[Kind],
    stock: Sequence[Rectangle],
    tries: int,
    seed: int,
    step: int = 1,
) -> Laid:
    """Return the best layout found: most laid, then least new stock, then the longest offcut.

    `stock` is used in its order; `step` is the least length worth saving. Every size holds one gap.
    """
    chance = Random(seed)
    hunt = _Hunt(fill, kinds, shapes_of(kinds), chance, tries * ORDERS_A_TRY, step)
    if not hunt.shapes or not stock:
        return Laid(tuple(NOTHING for _ in stock), tuple(kind.count for kind in kinds))
    _begin(hunt, stock)
    fresh = False
    while len(hunt.shapes) > 1 and hunt.looks > 0 and (less := _less(hunt, stock)):
        fresh = not _climb(hunt, stock, less, fresh)
    assert hunt.best is not None
    return hunt.best


def _begin(hunt: _Hunt, stock: Sequence[Rectangle]) -> None:
    """Lay the pieces largest first, in four meanings of large, and keep the best."""
    places = range(len(hunt.shapes))
    for size in _SIZES:
        order = sorted(places, key=lambda place: -size(hunt.shapes[place]))
        for marked in ((False,), (True,)):
            if hunt.best is None or hunt.looks > 0:
                _keep(hunt, hunt.lay(order, marked * len(order), stock), stock, order,
                      list(marked) * len(order))  # fmt: skip


_SIZES: tuple[Callable[[Shape], int], ...] = (
    lambda shape: shape.across * shape.along,
    lambda shape: shape.across,
    lambda shape: shape.along,
    lambda shape: shape.across + shape.along,
)


def _keep(
    hunt: _Hunt,
    laid: Laid,
    stock: Sequence[Rectangle],
    order: list[int],
    marked: list[bool],
) -> bool:
    """Keep a layout that is better than all before."""
    cost = hunt.short(laid), _spent(laid, stock)
    if hunt.best is not None and cost >= hunt.cost:
        return False
    hunt.best, hunt.cost, hunt.order, hunt.marked = laid, cost, order, marked
    return True


def _spent(laid: Laid, stock: Sequence[Rectangle]) -> int:
    """Return the area of stock taken up; of the last, and of rolls, as far as it is used."""
    last = laid.used
    return sum(
        one.width * (filled.used_length if one.roll or number == last else one.length)
        for number, (one, filled) in enumerate(zip(stock, laid.filled, strict=True), 1)
        if filled.spots
    )


def _less(hunt: _Hunt, stock: Sequence[Rectangle]) -> list[Rectangle]:
    """Return less stock than the best layout needs; nothing where no less can do."""
    assert hunt.best is not None
    if hunt.cost[0]:
        return list(stock)
    last = hunt.best.used
    one, used = stock[last - 1], hunt.best.filled[last - 1].used_length
    area = hunt.area
    before = sum(each.width * each.length for each in stock[: last - 1])
    least = max(_shortest(hunt, alone=last == 1), -(-(area - before) // one.width))
    shorter = used - hunt.step
    if shorter >= least:
        if hunt.chance.random() < BOLD:
            shorter -= (shorter - least) // 2
        return [*stock[: last - 1], Rectangle(one.width, shorter, one.roll, one.free)]
    return list(stock[: last - 1]) if area <= before else []


def _shortest(hunt: _Hunt, alone: bool) -> int:
    """Return the least length that can hold some piece; `alone`, that can hold every one."""
    each = {
        kind: min(s.along for s in hunt.shapes if s.kind == kind) for kind in range(len(hunt.kinds))
    }
    return max(each.values()) if alone else min(each.values())


def _climb(hunt: _Hunt, stock: Sequence[Rectangle], less: list[Rectangle], fresh: bool) -> bool:
    """Change an order little by little until everything fits on less; False where it never did."""
    order, marked = _beginning(hunt, fresh)
    value, idle = hunt.short(hunt.lay(order, marked, less)), 0
    over = sum(one.width * one.length for one in less) - hunt.area
    known: dict[tuple[tuple[int, ...], tuple[bool, ...]], int] = {}
    while hunt.looks > 0 and idle < PATIENCE:
        other, marks = _changed(hunt.chance, order, marked)
        key = tuple(other), tuple(marks)
        if key in known:
            hunt.looks -= 1
            short = known[key]
        else:
            laid = hunt.lay(other, marks, less, over + max(value, hunt.cost[0]))
            known[key] = short = hunt.short(laid)
            if short < hunt.cost[0] or not short:
                spare = (NOTHING,) * (len(stock) - len(less))
                if _keep(hunt, Laid((*laid.filled, *spare), laid.left), stock, other, marks):
                    return True
        idle = 0 if short < value else idle + 1
        if short <= value:
            value, order, marked = short, other, marks
    return False


def _beginning(hunt: _Hunt, fresh: bool) -> tuple[list[int], list[bool]]:
    """Return the best order so far, or a new one: by size, roughly."""
    if not fresh or hunt.chance.random() < 0.25:
        return hunt.order[:], hunt.marked[:]
    size = _SIZES[hunt.chance.randrange(len(_SIZES))]
    rough = [-size(shape) * hunt.chance.uniform(0.7, 1.3) for shape in hunt.shapes]
    order = sorted(range(len(rough)), key=rough.__getitem__)
    share = hunt.chance.choice(MARKED)
    return order, [hunt.chance.random() < share for _ in rough]


def _changed(chance: Random, order: list[int], marked: list[bool]) -> tuple[list[int], list[bool]]:
    """Return an order with one or two small changes: two exchanged, one moved, one mark set or taken."""
    other, marks = order[:], marked
    for _ in range(1 if chance.random() < 0.7 else 2):
        kind, one = chance.random(), chance.randrange(len(other))
        if kind < 0.4:
            two = chance.randrange(len(other))
            other[one], other[two] = other[two], other[one]
        elif kind < 0.8:
            other.insert(chance.randrange(len(other)), other.pop(one))
        else:
            marks = marks[:]
            marks[one] = not marks[one]
    return other, marks
