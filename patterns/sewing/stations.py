"""Where a stitch may lie on one fold.

Old holes, sewing supports, endband tie-downs and the lining's raw edge leave closed intervals of
the fold free; touching a limit is allowed. Everything is exact: figures arrive as decimals and are
reckoned as fractions, so a rounding can never move a hole over a limit.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache, partial, reduce

from patterns.errors import PlacementError
from patterns.sewing.maximin import Interval, exact, most_that_fit

__all__ = [
    "FoldToSew",
    "centre_set",
    "hole_free",
    "margins",
    "refuse_if_too_many",
    "shared",
]


@dataclass(frozen=True, slots=True)
class FoldToSew:
    """One fold with what stands in the needle's way; heights in mm from the head of the fold."""

    height_mm: float
    holes_mm: tuple[float, ...] = ()
    """Every old hole: kettles, single-hole stations, and both holes of each support."""
    supports_mm: tuple[float, ...] = ()
    """Centres of tapes, cords or bands."""
    support_width_mm: float = 0.0
    clear_mm: float = 5.0
    """Least distance from an old hole, a support or an endband tie-down."""
    end_mm: float = 12.0
    setback_head_mm: float = 12.7
    setback_tail_mm: float = 12.7
    edge_mm: float = 5.0
    """Least distance from the raw edge of the lining."""
    tie_down_mm: float = 0.0
    """Depth of sewn endband tie-downs; 0 when there are none."""
    reuse: bool = False
    """Old holes may serve again."""


def margins(fold: FoldToSew) -> tuple[Fraction, Fraction]:
    """Return how far holes stay from the head and from the tail of the fold, in mm."""
    tied = exact(fold.tie_down_mm) + exact(fold.clear_mm)
    head, tail = (
        max(exact(fold.end_mm), exact(setback) + exact(fold.edge_mm), tied)
        for setback in (fold.setback_head_mm, fold.setback_tail_mm)
    )
    return head, tail


def hole_free(fold: FoldToSew) -> tuple[Interval, ...]:
    """Return the closed intervals of the fold in which a new hole may lie, from the head down.

    With `fold.reuse` every old hole inside the margins is a place of its own as well.
    """
    clear, half = exact(fold.clear_mm), exact(fold.support_width_mm) / 2
    head, tail = margins(fold)
    bottom = exact(fold.height_mm) - tail
    taken = [(exact(hole), clear) for hole in fold.holes_mm]
    taken += [(exact(support), half + clear) for support in fold.supports_mm]
    free = _without([(head, bottom)] if head <= bottom else [], ((y - r, y + r) for y, r in taken))
    if fold.reuse:
        free += [(y, y) for y in map(exact, fold.holes_mm) if head <= y <= bottom]
    return _merged(free)


def centre_set(fold: FoldToSew, stitch_mm: float | Fraction) -> tuple[Interval, ...]:
    """Return the closed intervals in which the centre of a stitch may lie, from the head down.

    Both holes, half a stitch above and below the centre, must be free, and no support may lie
    between them; the bar may span an old hole.
    """
    return _centre_set(fold, exact(stitch_mm))


@lru_cache(maxsize=1024)
def _centre_set(fold: FoldToSew, stitch: Fraction) -> tuple[Interval, ...]:
    half, free = stitch / 2, hole_free(fold)
    below = [(a + half, b + half) for a, b in free]
    both = _meeting(below, [(a - half, b - half) for a, b in free])
    reach = half + exact(fold.support_width_mm) / 2
    return _merged(_without(both, ((exact(s) - reach, exact(s) + reach) for s in fold.supports_mm)))


def shared(sets: Iterable[Sequence[Interval]]) -> tuple[Interval, ...]:
    """Return the intervals that lie in every one of the sets; in each they rise and do not overlap."""
    first, *others = {id(one): one for one in sets}.values()
    return reduce(_meeting, others, tuple(first))


def _meeting(some: Sequence[Interval], others: Sequence[Interval]) -> tuple[Interval, ...]:
    """Return what two sets have in common, walking along both once."""
    found: list[Interval] = []
    i = j = 0
    while i < len(some) and j < len(others):
        low, high = max(some[i][0], others[j][0]), min(some[i][1], others[j][1])
        if low <= high:
            found.append((low, high))
        if some[i][1] < others[j][1]:
            i += 1
        else:
            j += 1
    return tuple(found)


def _without(intervals: Sequence[Interval], bands: Iterable[Interval]) -> list[Interval]:
    """Take open bands out of closed intervals, which rise; a band's own limits stay."""
    taken: list[Interval] = []
    for low, high in sorted(band for band in bands if band[0] < band[1]):
        if taken and low < taken[-1][1]:
            taken[-1] = (taken[-1][0], max(high, taken[-1][1]))
        else:
            taken.append((low, high))
    if not intervals or not taken:
        return list(intervals)
    top, bottom = intervals[0][0], intervals[-1][1]
    starts = [min(top, taken[0][0]), *(high for _, high in taken)]
    ends = [*(low for low, _ in taken), max(bottom, taken[-1][1])]
    return list(_meeting(intervals, list(zip(starts, ends, strict=True))))


def _merged(intervals: Iterable[Interval]) -> tuple[Interval, ...]:
    """Return the intervals in order, those that touch or overlap made one."""
    whole: list[Interval] = []
    for a, b in sorted(intervals):
        if whole and a <= whole[-1][1]:
            whole[-1] = (whole[-1][0], max(b, whole[-1][1]))
        else:
            whole.append((a, b))
    return tuple(whole)


def refuse_if_too_many(
    fold: FoldToSew, stitch_mm: float, n: int, *, between_mm: float | None = None
) -> None:
    """Raise PlacementError unless `n` stitches fit on the fold, bars `between_mm` or more apart.

    `between_mm` is the fold's clearance unless given (0 for heights that neighbouring gatherings
    share out). The line names the most that fit and which clearance would have to give.
    """
    most = _room(fold, stitch_mm, between_mm)
    if most >= n:
        return
    gives = [
        f"`{name}` from {was:g} to {would:g}"
        for name, was, would in _what_would_give(fold, stitch_mm, n, between_mm)
    ]
    raise PlacementError(
        f"{n} stitches of {stitch_mm:g} mm do not fit on a fold of {fold.height_mm:g} mm, at most "
        f"{most}: ask for fewer" + (f", or lower {' or '.join(gives)} mm" if gives else "")
    )


def _room(fold: FoldToSew, stitch_mm: float, between_mm: float | None) -> int:
    between = fold.clear_mm if between_mm is None else between_mm
    return most_that_fit(centre_set(fold, stitch_mm), exact(stitch_mm) + exact(between))


def _what_would_give(
    fold: FoldToSew, stitch_mm: float, n: int, between_mm: float | None
) -> Iterator[tuple[str, float, float]]:
    """Yield each clearance that alone would make room: name, as it is, as it would have to be."""

    def tried(name: str, value: float) -> tuple[FoldToSew, float]:
        if name == "stitch":
            return fold, value
        if name == "clear":
            return replace(fold, clear_mm=value), stitch_mm
        if name == "edge":
            return replace(fold, edge_mm=value), stitch_mm
        return replace(fold, end_mm=value), stitch_mm

    def enough(name: str, value: float) -> bool:
        return _room(*tried(name, value), between_mm) >= n

    for name, was, least in (
        ("clear", fold.clear_mm, 0.0),
        ("stitch", stitch_mm, 1.0),
        ("edge", fold.edge_mm, 0.0),
        ("end", fold.end_mm, 0.0),
    ):
        lower = [round(was - 0.5 * k, 3) for k in range(1, 1 + int((was - least) * 2))]
        does = partial(enough, name)
        if name == "stitch":  # a shorter one may no longer span what a longer one does
            would = next(filter(does, lower), None)
        else:
            would = next(iter(lower[bisect_left(lower, True, key=does) :]), None)
        if would is not None:
            yield name, was, would
