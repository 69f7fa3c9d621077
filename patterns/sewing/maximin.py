"""Points on closed intervals, placed as far apart as they can be and then as evenly as they can be.

The first question is the largest least gap; of all placements that reach it the most even one is
wanted. Both answers are exact: decimals are reckoned as fractions, and inside as whole numbers of
a unit so small that every possible gap is whole.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from functools import lru_cache
from math import lcm

from patterns.errors import PlacementError

__all__ = ["Interval", "exact", "most_even", "most_that_fit"]

Interval = tuple[Fraction, Fraction]
_Span = tuple[int, int]
_Chain = tuple[tuple[int, ...], tuple[int, ...]]  # gaps in rising order, places negated


def exact(value: float | Fraction) -> Fraction:
    """Return the decimal that `value` stands for.

    >>> exact(12.7)
    Fraction(127, 10)
    """
    return value if isinstance(value, Fraction) else _decimal(value)


@lru_cache(maxsize=4096)
def _decimal(value: float) -> Fraction:
    return Fraction(str(value))


def most_that_fit(intervals: Sequence[Interval], gap_mm: float | Fraction) -> int:
    """Return how many points fit in the intervals, each at least `gap_mm` (over 0) from the next.

    >>> most_that_fit([(Fraction(0), Fraction(10))], 5)
    3
    """
    return _count(intervals, exact(gap_mm))


def _count(spans: Iterable[Interval] | Iterable[_Span], gap: Fraction | int) -> int:
    count, following = 0, None
    for a, b in spans:
        start = a if following is None else max(a, following)
        if start <= b:
            more = 1 + (b - start) // gap
            count, following = count + int(more), start + more * gap
    return count


def _scaled(intervals: Iterable[Interval], n: int, *others: Fraction) -> tuple[list[_Span], int]:
    """Return the intervals in whole units so small that every possible gap is whole too."""
    ends = [end for interval in intervals for end in interval]
    unit = lcm(*(q.denominator for q in (*ends, *others))) * lcm(*range(1, n))
    whole = [int(end * unit) for end in ends]
    return list(zip(whole[::2], whole[1::2], strict=True)), unit


def _largest(spans: Sequence[_Span], n: int) -> int:
    """Return the largest least gap of `n` points, at least two; 0 when they do not fit.

    It lies between a lower and an upper interval end, divided by a whole number of steps: these
    candidates are sorted and searched with a greedy decision.
    """
    lengths = {b - a for i, (a, _) in enumerate(spans) for _, b in spans[i:]} - {0}
    gaps = sorted({length // k for length in lengths for k in range(1, n)})
    fits = bisect_left(gaps, True, key=lambda gap: _count(spans, gap) < n)
    return gaps[fits - 1] if fits else 0


def most_even(
    intervals: Sequence[Interval], n: int, height_mm: float | Fraction
) -> tuple[Fraction, ...]:
    """Return the `n` points, in mm from the head, with the largest least gap and then most even.

    Most even: the gaps in rising order are lexicographically largest. Of equals the placement that
    is its own mirror in the middle of the fold is taken, else the one nearer the head. A single
    point lies as near the middle as it may. Raises PlacementError when there is not room for `n`.
    """
    height = exact(height_mm)
    if n == 1 and intervals:
        middle = height / 2
        near = [min(max(middle, a), b) for a, b in intervals]
        return (min(near, key=lambda y: (abs(y - middle), y)),)
    spans, unit = _scaled(intervals, n, height)
    gap = _largest(spans, n)
    if not gap:
        raise PlacementError(f"there is no room for {n} stitches on the fold: ask for fewer")
    best = max(_ending(_chains(spans, n, gap), n))
    even = max(_symmetric(spans, n, gap, int(height * unit)), default=best)
    chosen = even if even[0] == best[0] else best
    return tuple(Fraction(-y, unit) for y in chosen[1])


def _outermost(spans: Sequence[_Span], n: int, gap: int) -> list[int]:
    """Return the lowest place each of `n` points can have when every gap is at least `gap`."""
    places: list[int] = []
    for a, b in spans:
        place = max(a, places[-1] + gap) if places else a
        while place <= b and len(places) < n:
            places.append(place)
            place += gap
    return places


def _chains(spans: Sequence[_Span], n: int, gap: int) -> dict[tuple[int, int], _Chain]:
    """Return, for point i standing at an interval end, the most even run of points up to it.

    The most even placement is a taut string: between two points that stand at interval ends the
    gaps are equal. Runs are joined end to end; the order of sorted gaps survives the joining, so
    only the best run to each end need be kept.
    """
    low = _outermost(spans, n, gap)
    high = [-y for y in reversed(_outermost([(-b, -a) for a, b in reversed(spans)], n, gap))]
    ends = sorted({end for span in spans for end in span})
    starts = [a for a, _ in spans]
    best: dict[tuple[int, int], _Chain] = {(0, a): ((), (-a,)) for a in starts if a <= high[0]}
    for i in range(1, n):
        for end in ends[bisect_left(ends, low[i]) : bisect_right(ends, high[i])]:
            runs = [
                _joined(chain, range(start + step, end + 1, step))
                for (j, start), chain in best.items()
                if j < i
                and (step := (end - start) // (i - j)) >= gap
                and _all_inside(spans, starts, range(start + step, end, step))
            ]
            if runs:
                best[i, end] = max(runs)
    return best


def _joined(chain: _Chain, run: range) -> _Chain:
    gaps, places = chain
    return tuple(sorted(gaps + (run.step,) * len(run))), places + tuple(-y for y in run)


def _all_inside(spans: Sequence[_Span], starts: Sequence[int], places: Iterable[int]) -> bool:
    return all((k := bisect_right(starts, y) - 1) >= 0 and y <= spans[k][1] for y in places)


def _ending(chains: dict[tuple[int, int], _Chain], n: int) -> Iterator[_Chain]:
    return (chain for (i, _), chain in chains.items() if i == n - 1)


def _symmetric(spans: Sequence[_Span], n: int, gap: int, height: int) -> Iterator[_Chain]:
    """Yield placements equal to their own mirror, with the most even one among them."""
    mirrored = [(height - b, height - a) for a, b in reversed(spans)]
    both = sorted(
        (max(a, c), min(b, d)) for a, b in spans for c, d in mirrored if max(a, c) <= min(b, d)
    )
    starts = [a for a, _ in both]
    if _count(both, gap) < n:
        return
    for (i, end), (gaps, places) in _chains(both, n, gap).items():
        steps = n - 1 - 2 * i
        if steps < 1 or (step := (height - 2 * end) // steps) < gap:
            continue
        run = range(end + step, height - end, step)
        if _all_inside(both, starts, run):
            mirror = tuple(-height - y for y in reversed(places))
            everything = tuple(sorted(gaps * 2 + (step,) * steps))
            yield everything, places + tuple(-y for y in run) + mirror
