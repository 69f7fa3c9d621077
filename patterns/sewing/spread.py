"""The layout whose stitches lie farthest apart on the choice, and the proof that none is better.

Aims, in this order: neighbours nowhere level; the largest least distance between two bars; the
largest least pitch in a fold; the first layout in order from the head. Each aim is climbed over
the values it can have at all, with one exact search (patterns/sewing/sharing.py) for every value tried.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Sequence
from functools import cache, lru_cache
from itertools import combinations, pairwise
from typing import NamedTuple

from patterns.sewing.meter import Meter, Spent
from patterns.sewing.sharing import Attempt, Columns, HeightChoice, TriedHeights, spaced

__all__ = ["Found", "least_pitch", "least_square", "spread"]


WIDENING = 0.75
"""Share of the steps for the distance: a search that runs out of them still spreads its stitches along the fold."""


class Found(NamedTuple):
    """The best layout found, and what is known about any better one."""

    choice: int
    """Number of the choice whose heights it takes."""
    layout: Columns
    """Empty when the steps ran out before any layout was found."""
    bound: int
    """No layout has a greater square of the least distance."""
    proven: bool


def spread(
    choices: Sequence[HeightChoice], strips: int | None = None, meter: Meter | None = None
) -> Found | None:
    """Return the best layout over all choices, with at most `strips` strips if given.

    Gatherings sewn alike share a strip; those with pinned stitches have their own, not counted.
    The choices share one unit and differ in their heights. None means that there is no layout.
    """
    meter = meter or Meter()
    found, spent = _searched(tuple(choices), strips, meter.left)
    meter.settle(spent)
    return found


@lru_cache(maxsize=64)
def _searched(
    choices: tuple[HeightChoice, ...], strips: int | None, steps: int
) -> tuple[Found | None, Meter]:
    """Search with so many steps; return what was found, and the meter that they were taken from.

    A book whose sewing is the same is searched once, whatever else of it is drafted anew.
    """
    meter = Meter(steps)
    search = _Search(choices, strips)
    whole = [search.within(meter, WIDENING, search.widen), search.within(meter, 1, search.lengthen)]
    if all(whole) and not search.layout:
        return None, meter
    bound = search.square if all(whole) else max(search.limits)
    return Found(search.choice, search.layout, bound, proven=all(whole)), meter


def least_square(places: Sequence[int], layout: Sequence[Sequence[int]], stitch: int) -> int | None:
    """Return the square of the least distance between two bars; None for a single stitch.

    `places` of the gatherings on the girth, `layout` the centres of each: any one unit.
    """
    bars = sorted((x, y) for x, fold in zip(places, layout, strict=True) for y in fold)
    least: int | None = None
    for at, (x1, y1) in enumerate(bars):
        for later in range(at + 1, len(bars)):
            x2, y2 = bars[later]
            offset, free = x2 - x1, abs(y2 - y1) - stitch
            if least is not None and offset * offset >= least:
                break  # bars further on lie further off
            square = offset * offset + (free * free if free > 0 else 0)
            least = square if least is None else min(least, square)
    return least


def least_pitch(layout: Sequence[Sequence[int]]) -> int | None:
    """Return the least distance between two centres of one fold; None without two in any."""
    return min((b - a for fold in layout for a, b in pairwise(fold)), default=None)


class _Search:
    """The best layout so far, and for every choice a limit that its distances cannot exceed."""

    def __init__(self, choices: Sequence[HeightChoice], strips: int | None) -> None:
        self.choices, self.strips, self.meter = choices, strips, Meter(0)
        self.tried = [TriedHeights(choice) for choice in choices]
        self.limits = [_limit(choice, strips) for choice in choices]
        self.choice, self.square, self.pitch = 0, -1, 0
        self.layout: Columns = ()

    def within(self, meter: Meter, share: float, climb: Callable[[], None]) -> bool:
        """Climb with a share of the steps that are left; return whether they sufficed."""
        self.meter = meter.lend(share)
        try:
            climb()
        except Spent:
            return False
        finally:
            meter.settle(self.meter)
        return True

    def widen(self) -> None:
        """Find the largest least distance, the most promising choices first."""
        for k in sorted(range(len(self.choices)), key=lambda k: -self.limits[k]):
            if self.limits[k] < self.square:
                break
            reached = self._wider(k, max(self.square, 0))
            if reached is None:
                self.limits[k] = self.square - 1
            else:
                squares = _squares(self.choices[k], reached, self.limits[k], self.meter)
                values = [reached, *squares]
                self._climb(values, k, self._wider, self.limits)

    def lengthen(self) -> None:
        """Among layouts of that distance find the largest least pitch, and the first of those."""
        limits = [0] * len(self.choices)
        for k in [k for k, limit in enumerate(self.limits) if limit >= self.square >= 0]:
            reached = self._longer(k, self.pitch)
            if reached is not None:
                values = [reached, *_pitches(self.choices[k], reached)]
                self._climb(values, k, self._longer, limits)

    def _climb(
        self,
        values: list[int],
        k: int,
        reach: Callable[[int, int], int | None],
        limits: list[int],
    ) -> None:
        """From the first value, which is reached, climb as high as can be; the last is tried first."""
        low, high, probe = 1, len(values), len(values) - 1
        limits[k] = values[-1]
        while low < high:
            reached = reach(k, values[probe])
            if reached is None:
                high = probe
                limits[k] = values[high - 1]
            else:
                low = bisect_right(values, reached)
            probe = (low + high) // 2

    def _wider(self, k: int, square: int) -> int | None:
        """Try for a least distance; return what it turned out to be, or None."""
        choice = self.choices[k]
        layout = Attempt(self.tried[k], self.strips, square, 0).first(self.meter)
        if layout is None:
            return None
        reached = least_square(choice.places, layout, choice.stitch) or 0
        if reached > self.square:
            self.choice, self.square, self.layout = k, reached, layout
            self.pitch = least_pitch(layout) or 0
        return reached

    def _longer(self, k: int, pitch: int) -> int | None:
        """Try for a least pitch at the distance found; return what it turned out to be, or None."""
        layout = Attempt(self.tried[k], self.strips, self.square, pitch).first(self.meter)
        if layout is None:
            return None
        reached = least_pitch(layout) or 0
        if reached > self.pitch or (reached == self.pitch and layout < self.layout):
            self.choice, self.pitch, self.layout = k, reached, layout
        return reached


def _limit(choice: HeightChoice, strips: int | None) -> int:
    """Return a square that no least distance on the choice exceeds, from counts alone.

    Between the first and the last of some gatherings in a row, all stitches must find heights: too
    many and two share one; otherwise two lie no farther apart than that many heights can.
    """
    heights, places = choice.heights, choice.places
    fits = _widest(heights)
    centres = _centres(choice)
    least = (places[-1] - places[0]) ** 2 + (centres[-1] - centres[0]) ** 2
    for i, place in enumerate(places):
        wanted = 0
        for j in range(i, len(places)):
            wanted += choice.counts[j]
            offset = (places[j] - place) ** 2
            if offset >= least:
                break  # those further on lie further off
            if wanted > len(heights):
                least = offset
                break
            if wanted > 1:
                least = min(least, offset + max(fits(wanted) - choice.stitch, 0) ** 2)
    if strips:  # of strips + 1 gatherings without pins two are sewn alike
        free = [x for x, pinned in zip(places, choice.pins, strict=True) if not pinned]
        least = min([least, *((b - a) ** 2 for a, b in zip(free, free[strips:], strict=False))])
    pinned = least_square(places, choice.pins, choice.stitch)
    return least if pinned is None else min(least, pinned)


def _widest(heights: tuple[int, ...]) -> Callable[[int], int]:
    """Return a function that gives the largest gap at which so many of the heights can be taken."""
    gaps = sorted({b - a for a, b in combinations(heights, 2)})

    @cache
    def widest(wanted: int) -> int:
        return gaps[bisect_left(gaps, True, key=lambda gap: spaced(heights, gap) < wanted) - 1]

    return widest


def _squares(choice: HeightChoice, above: int, most: int, meter: Meter) -> list[int]:
    """Return every square over one limit and up to another that a least distance can have."""
    frees = {max(b - a - choice.stitch, 0) ** 2 for a, b in combinations(_centres(choice), 2)} | {0}
    offsets = {(b - a) ** 2 for a, b in combinations(choice.places, 2)} | {0}
    near = [offset for offset in offsets if offset <= most]
    meter.take(len(near) * len(frees) // 50)
    squares = {offset + free for offset in near for free in frees}
    return sorted(square for square in squares if above < square <= most)


def _pitches(choice: HeightChoice, above: int) -> list[int]:
    """Return every distance of two centres over a limit, unless no fold has two."""
    if all(count + len(pins) < 2 for count, pins in zip(choice.counts, choice.pins, strict=True)):
        return []
    pitches = {b - a for a, b in combinations(_centres(choice), 2)}
    return sorted(pitch for pitch in pitches if pitch > above)


def _centres(choice: HeightChoice) -> list[int]:
    return sorted({*choice.heights, *(y for fold in choice.pins for y in fold)})
