"""The cuts of one rectangle of stock in working order, and what is left of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from patterns.cutting.guillotine import remainders
from patterns.cutting.shapes import UNIT, Filled, LaidShape, Region
from patterns.units import tenth


class StockCut(NamedTuple):
    """One cut from end to end, as (across, along) in mm, through a part of the stock.

    `part` is that part's size across and along before the cut, `measure` how far the cut lies from
    its side (`lengthwise`) or its near end.
    """

    start: tuple[float, float]
    end: tuple[float, float]
    lengthwise: bool
    part: tuple[float, float]
    measure: float

    @property
    def halves(self) -> tuple[Left, Left]:
        """What it makes of the part: the side it is measured from, and the rest."""
        whole, measure = self.whole, self.measure
        x, y, width, length = whole.across, whole.along, whole.width, whole.length
        if self.lengthwise:
            beyond = Left(round(x + measure, 2), y, round(width - measure, 2), length)
            return Left(x, y, measure, length), beyond
        beyond = Left(x, round(y + measure, 2), width, round(length - measure, 2))
        return Left(x, y, width, measure), beyond

    @property
    def whole(self) -> Left:
        """The part before it is cut."""
        x, y = self.start
        if self.lengthwise:
            return Left(round(x - self.measure, 2), y, *self.part)
        return Left(x, round(y - self.measure, 2), *self.part)


@dataclass(frozen=True, slots=True)
class Left:
    """A rectangle of stock that is left, in mm across and along the grain from the corner."""

    across: float
    along: float
    width: float
    length: float

    @property
    def words(self) -> str:
        """Its size, to a tenth of a millimetre."""
        return f"{tenth(self.width)} × {tenth(self.length)}"

    def same(self, other: Left) -> bool:
        """Tell whether both are one rectangle, to what is rounded in a size."""
        return (
            abs(self.across - other.across) < LEVEL_MM
            and abs(self.along - other.along) < LEVEL_MM
            and abs(self.width - other.width) < LEVEL_MM
            and abs(self.length - other.length) < LEVEL_MM
        )


LEVEL_MM = 0.02
"""Two edges nearer than this are one."""


def lettered(offcuts: Sequence[Left]) -> Iterator[tuple[str, Left]]:
    """Yield what is left with its name: A to Z, then AA, AB and so on."""
    for number, one in enumerate(offcuts):
        more, place = divmod(number, 26)
        yield (chr(64 + more) if more else "") + chr(65 + place), one


@dataclass(frozen=True, slots=True)
class _Pane:
    """A rectangle of stock as it lies on the bench, in tenths of a millimetre."""

    left: int
    near: int
    right: int
    far: int

    def lengthwise(self, at: int) -> tuple[_Pane, _Pane, tuple[StockCut, ...]]:
        """StockCut along the grain; no cut where its side is there already."""
        kept, rest = (
            _Pane(self.left, self.near, at, self.far),
            _Pane(at, self.near, self.right, self.far),
        )
        ends = (_mm(at), _mm(self.near)), (_mm(at), _mm(self.far))
        cut = StockCut(*ends, True, self.size, _mm(at - self.left))
        return kept, rest, (cut,) if self.left < at < self.right else ()

    def crosswise(self, at: int) -> tuple[_Pane, _Pane, tuple[StockCut, ...]]:
        """StockCut across the grain; no cut where its end is there already."""
        kept, rest = (
            _Pane(self.left, self.near, self.right, at),
            _Pane(self.left, at, self.right, self.far),
        )
        ends = (_mm(self.left), _mm(at)), (_mm(self.right), _mm(at))
        cut = StockCut(*ends, False, self.size, _mm(at - self.near))
        return kept, rest, (cut,) if self.near < at < self.far else ()

    @property
    def size(self) -> tuple[float, float]:
        return _mm(self.right - self.left), _mm(self.far - self.near)

    @property
    def whole(self) -> Left:
        return Left(_mm(self.left), _mm(self.near), *self.size)


def _mm(units: int) -> float:
    return units / UNIT


def through(
    filled: Filled, size: tuple[int, int], margin: tuple[int, int], gap: int
) -> tuple[tuple[StockCut, ...], tuple[Left, ...]]:
    """Return the through cuts of one rectangle in order, and every rectangle left.

    `size` is the whole stock across and along, `margin` what was kept off its sides and its ends.
    """
    by_region = {one.region: one for one in filled.parted}
    pane = _Pane(0, 0, *size)
    if not filled.spots:
        return (), (pane.whole,)
    cuts: list[StockCut] = []
    left: list[Left] = []

    def trimmed(pane: _Pane, region: Region) -> _Pane:
        """StockCut away what lies before a region."""
        _, pane, first = pane.lengthwise(region.across + margin[0])
        _, pane, second = pane.crosswise(region.along + margin[1])
        cuts.extend((*first, *second))
        return pane

    root = filled.parted[0].region
    waiting = [(root, pane)]
    while waiting:
        region, pane = waiting.pop()
        one = by_region[region]
        if one.spot is None:
            left.append(pane.whole)
            continue
        pane = trimmed(pane, region)
        x = region.across + margin[0] + one.spot.shape.across - gap
        y = region.along + margin[1] + one.spot.shape.along - gap
        if one.lengthwise:
            pane, beside, first = pane.lengthwise(x)
            pane, beyond, second = pane.crosswise(y)
        else:
            pane, beyond, first = pane.crosswise(y)
            pane, beside, second = pane.lengthwise(x)
        cuts += (*first, *second)
        inner = {each.across > region.across: each for each in remainders(one)}
        for right, rest in ((False, beyond), (True, beside)):
            if right in inner:
                waiting.append((inner[right], rest))
            elif rest.right > rest.left and rest.far > rest.near:
                left.append(rest.whole)
    return tuple(cuts), tuple(left)


def free(
    spots: Sequence[LaidShape],
    size: tuple[int, int],
    margin: tuple[int, int],
    gap: int,
    also: Sequence[tuple[int, int, int, int]] = (),
) -> tuple[tuple[StockCut, ...], tuple[Left, ...]]:
    """Return the sides of every piece, nearest first, and the largest rectangles left.

    `also` holds the near end, start, far end and end of what is cut out by hand, by no cut here.
    """
    boxes = sorted(
        (
            one.along + margin[1],
            one.across + margin[0],
            one.along + margin[1] + one.shape.along - gap,
            one.across + margin[0] + one.shape.across - gap,
        )
        for one in spots
    )
    whole = _mm(size[0]), _mm(size[1])
    kept: dict[tuple[tuple[float, float], tuple[float, float]], StockCut] = {}
    for near, start, far, end in boxes:
        for at in (start, end):
            if 0 < at < size[0]:
                ends = (_mm(at), _mm(near)), (_mm(at), _mm(far))
                kept.setdefault(ends, StockCut(*ends, True, whole, _mm(at)))
        for at in (near, far):
            if 0 < at < size[1]:
                ends = (_mm(start), _mm(at)), (_mm(end), _mm(at))
                kept.setdefault(ends, StockCut(*ends, False, whole, _mm(at)))
    return tuple(kept.values()), tuple(_largest([*boxes, *also], size))


MOST_LEFT = 6
"""Rectangles looked for in what a free layout leaves."""


def _largest(boxes: Sequence[tuple[int, int, int, int]], size: tuple[int, int]) -> list[Left]:
    """Return the largest empty rectangles, one after another, none over another."""
    taken = list(boxes)
    found: list[Left] = []
    for _ in range(MOST_LEFT):
        starts = sorted({0, *(box[3] for box in taken)})
        ends = sorted({size[0], *(box[1] for box in taken)})
        best = (0, 0, 0, 0, 0)
        for start in starts:
            for end in ends:
                if end <= start:
                    continue
                near = 0
                across = [box for box in taken if box[1] < end and box[3] > start]
                for box in (*sorted(across), (size[1], 0, size[1], 0)):
                    if box[0] > near:
                        best = max(
                            best, ((box[0] - near) * (end - start), near, start, box[0], end)
                        )
                    near = max(near, box[2])
        area, near, start, far, end = best
        if not area:
            break
        taken.append((near, start, far, end))
        found.append(Left(_mm(start), _mm(near), _mm(end - start), _mm(far - near)))
    return found
