"""Stitches on one fold, held against worked figures and against trying everything."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import combinations, pairwise
from math import comb, lcm

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patterns.book.old_sewing import support_holes
from patterns.errors import PlacementError
from patterns.sewing.maximin import Interval, most_even, most_that_fit
from patterns.sewing.stations import (
    FoldToSew,
    centre_set,
    hole_free,
    margins,
    refuse_if_too_many,
    shared,
)

HOLES = FoldToSew(240, (30, 60, 110, 160, 210))
TAPES = FoldToSew(240, (12, 228, *support_holes((60, 120, 180), 12)), (60, 120, 180), 12)


def _as_floats(intervals: Sequence[Interval]) -> list[tuple[float, float]]:
    return [(float(a), float(b)) for a, b in intervals]


def _intervals(*ends: tuple[int, int]) -> list[Interval]:
    return [(Fraction(a), Fraction(b)) for a, b in ends]


def test_centres_between_single_holes_are_the_worked_ones() -> None:
    """Worked by hand in the project's rules: H 240, setback 12.7, edge 5, clear 5, stitch 15."""
    assert _as_floats(centre_set(HOLES, 15)) == [
        (27.5, 32.5),
        (42.5, 47.5),
        (57.5, 62.5),
        (72.5, 97.5),
        (107.5, 112.5),
        (122.5, 147.5),
        (157.5, 162.5),
        (172.5, 197.5),
        (207.5, 212.5),
    ]


def test_centres_between_tapes_are_the_worked_ones() -> None:
    """Worked by hand: three tapes of 12 mm at 60, 120, 180, kettles at 12 and 228."""
    assert _as_floats(centre_set(TAPES, 15)) == [
        (25.2, 41.5),
        (78.5, 101.5),
        (138.5, 161.5),
        (198.5, 214.8),
    ]


def largest_gap(room: Sequence[Interval], n: int) -> Fraction:
    """The least gap between the places that are taken; 0 where there is no room for them."""
    try:
        places = most_even(room, n, 240)
    except PlacementError:
        return Fraction(0)
    return min(b - a for a, b in pairwise(places))


@pytest.mark.parametrize(("n", "gap"), [(4, 60), (8, Fraction(155, 6)), (12, Fraction(185, 11))])
def test_gaps_between_single_holes_are_the_worked_ones(n: int, gap: Fraction) -> None:
    """Worked figures of the rules for scattered stitches."""
    assert largest_gap(centre_set(HOLES, 15), n) == gap


def test_eight_heights_between_tapes_have_the_worked_gap_and_are_more_even_than_any_greedy() -> (
    None
):
    """The worked gap is 16.3; the greedy places that show it leave smaller gaps than ours."""
    greedy = [25.2, 41.5, 78.5, 94.8, 138.5, 154.8, 198.5, 214.8]
    room = centre_set(TAPES, 15)
    places = most_even(room, 8, 240)
    assert largest_gap(room, 8) == Fraction("16.3")
    assert all(any(a <= Fraction(str(y)) <= b for a, b in room) for y in greedy)
    gaps = sorted(Fraction(str(b)) - Fraction(str(a)) for a, b in pairwise(greedy))
    assert sorted(b - a for a, b in pairwise(places)) > gaps
    assert [float(y) for y in places] == [25.2, 41.5, 78.5, 101.5, 138.5, 161.5, 198.5, 214.8]


def test_heights_on_a_fold_without_obstacles_are_the_worked_ones() -> None:
    """Worked: eight centres from 25.2 to 214.8, gap 27.086."""
    places = most_even(centre_set(FoldToSew(240), 15), 8, 240)
    assert (float(places[0]), float(places[-1])) == (25.2, 214.8)
    assert [float(b - a) for a, b in pairwise(places)] == pytest.approx([27.086] * 7, abs=5e-4)


@pytest.mark.parametrize(
    ("ends", "n", "gap"),
    [
        (((15, 25), (35, 55), (65, 105), (115, 155), (165, 205), (215, 225)), 3, 105),
        (((15, 25), (35, 55), (65, 105), (115, 155), (165, 205), (215, 225)), 4, 70),
        (((15, 25), (35, 55), (65, 105), (115, 155), (165, 205), (215, 225)), 5, Fraction(105, 2)),
        (((15, 25), (35, 55), (65, 105), (115, 155), (165, 205), (215, 225)), 6, 40),
        (((10, 45), (55, 90)), 4, Fraction(80, 3)),
    ],
)
def test_largest_gap_agrees_with_the_tables(
    ends: tuple[tuple[int, int], ...], n: int, gap: Fraction
) -> None:
    """Tables of the project's station formulas, computed two independent ways."""
    assert largest_gap(_intervals(*ends), n) == gap


def test_of_equals_the_one_nearer_the_head_is_taken() -> None:
    """Four placements on 0, 3, 7, 10 have the least gap 3; two of them are equally even."""
    points = _intervals((0, 0), (3, 3), (7, 7), (10, 10))
    assert sum(min(b - a for a, b in pairwise(c)) == 3 for c in combinations((0, 3, 7, 10), 3)) == 4
    assert [*most_even(points, 3, 10)] == [0, 3, 10]


def _allowed(fold: FoldToSew, stitch: int, centre: Fraction) -> bool:
    """Say in the words of the rule whether a stitch may have its centre here."""
    head, tail = margins(fold)
    top, bottom = centre - Fraction(stitch, 2), centre + Fraction(stitch, 2)
    half = Fraction(int(fold.support_width_mm), 2)
    for hole in (top, bottom):
        if hole < head or hole > int(fold.height_mm) - tail:
            return False
        if any(abs(hole - int(old)) < fold.clear_mm for old in fold.holes_mm):
            return False
        if any(abs(hole - int(s)) < half + int(fold.clear_mm) for s in fold.supports_mm):
            return False
    return all(int(s) + half <= top or int(s) - half >= bottom for s in fold.supports_mm)


def _drawn_fold(rng: random.Random) -> tuple[FoldToSew, int]:
    height = rng.randint(14, 34)
    fold = FoldToSew(
        height,
        tuple(sorted(rng.sample(range(1, height), rng.randint(0, 4)))),
        tuple(sorted(rng.sample(range(4, height - 4), rng.randint(0, 2)))),
        rng.choice((0, 2, 4)),
        clear_mm=rng.choice((1, 2)),
        end_mm=rng.randint(0, 3),
        setback_head_mm=rng.randint(0, 2),
        setback_tail_mm=rng.randint(0, 2),
        edge_mm=rng.randint(0, 1),
        tie_down_mm=rng.choice((0, 0, 3)),
    )
    return fold, rng.choice((2, 4, 6))


def _tried(points: list[int], n: int, height: int) -> tuple[int, ...]:
    """Try every placement: the most even; of equals its own mirror, else nearer the head."""

    def gaps(places: Sequence[int]) -> list[int]:
        return sorted(b - a for a, b in pairwise(places))

    every = list(combinations(points, n))
    best = max(map(gaps, every))
    equals = [places for places in every if gaps(places) == best]
    mirrors = [p for p in equals if all(a + b == height for a, b in zip(p, p[::-1], strict=True))]
    return min(mirrors or equals)


def test_placements_equal_those_found_by_trying_everything() -> None:
    """At least 1,000 drawn folds: every rule in words, every placement on the finest grid."""
    rng, cases = random.Random(11), 0
    while cases < 1000:
        fold, stitch = _drawn_fold(rng)
        n = rng.choice((2, 2, 3, 3, 4))
        step = lcm(*range(1, n))
        grid = {k: Fraction(k, step) for k in range(int(fold.height_mm) * step + 1)}
        points = [k for k, y in grid.items() if _allowed(fold, stitch, y)]
        room = centre_set(fold, stitch)
        assert points == [k for k, y in grid.items() if any(a <= y <= b for a, b in room)]
        if not n <= len(points) or comb(len(points), n) > 800:
            continue
        tried = _tried(points, n, int(fold.height_mm) * step)
        assert most_even(room, n, fold.height_mm) == tuple(grid[k] for k in tried), (fold, stitch)
        assert largest_gap(room, n) * step == min(b - a for a, b in pairwise(tried))
        cases += 1


folds = st.integers(0, 10_000).map(lambda seed: _drawn_fold(random.Random(seed)))


@given(folds, st.integers(2, 7))
def test_no_hole_breaks_a_clearance_and_touching_is_allowed(
    case: tuple[FoldToSew, int], n: int
) -> None:
    """Property: every hole of every placement keeps every rule, said in words."""
    fold, stitch = case
    room = centre_set(fold, stitch)
    if room and largest_gap(room, n):
        assert all(_allowed(fold, stitch, y) for y in most_even(room, n, fold.height_mm))
    assert all(_allowed(fold, stitch, end) for interval in room for end in interval)


@given(folds, st.integers(2, 7))
def test_a_mirrored_fold_has_the_same_gaps(case: tuple[FoldToSew, int], n: int) -> None:
    """Property: turning the fold upside down changes nothing but the side of a tie."""
    fold, stitch = case
    mirror = replace(
        fold,
        holes_mm=tuple(fold.height_mm - y for y in fold.holes_mm),
        supports_mm=tuple(fold.height_mm - y for y in fold.supports_mm),
        setback_head_mm=fold.setback_tail_mm,
        setback_tail_mm=fold.setback_head_mm,
    )
    room, turned = centre_set(fold, stitch), centre_set(mirror, stitch)
    assert [
        (Fraction(fold.height_mm) - b, Fraction(fold.height_mm) - a) for a, b in room[::-1]
    ] == [*turned]
    if room and largest_gap(room, n):
        gaps, others = (
            sorted(b - a for a, b in pairwise(most_even(r, n, fold.height_mm)))
            for r in (room, turned)
        )
        assert gaps == others


@given(folds, st.integers(2, 7), st.integers(0, 34))
def test_one_more_old_hole_never_enlarges_the_least_gap(
    case: tuple[FoldToSew, int], n: int, hole: int
) -> None:
    """Property: an obstacle can only take room away."""
    fold, stitch = case
    pierced = replace(fold, holes_mm=(*fold.holes_mm, float(hole)))
    less, more = centre_set(pierced, stitch), centre_set(fold, stitch)
    if less:
        assert largest_gap(less, n) <= largest_gap(more, n)


def test_the_bar_may_span_an_old_hole_but_no_support() -> None:
    """The rule of one fold, in its two halves."""
    bare = FoldToSew(100, end_mm=0, setback_head_mm=0, setback_tail_mm=0, edge_mm=0, clear_mm=0)
    assert centre_set(replace(bare, holes_mm=(50,), clear_mm=2), 20) == (
        (Fraction(12), Fraction(38)),
        (Fraction(42), Fraction(58)),
        (Fraction(62), Fraction(88)),
    )
    assert centre_set(replace(bare, supports_mm=(50,), support_width_mm=10), 20) == (
        (Fraction(10), Fraction(35)),
        (Fraction(65), Fraction(90)),
    )


def test_old_holes_serve_again_only_when_asked() -> None:
    """With `reuse` a single point stands among the free intervals for every old hole."""
    fold = FoldToSew(100, (50,))
    assert (Fraction(50), Fraction(50)) not in hole_free(fold)
    assert (Fraction(50), Fraction(50)) in hole_free(replace(fold, reuse=True))


def test_margins_follow_the_greatest_need() -> None:
    """max(end, setback + edge, tie-down + clear), head and tail apart."""
    assert margins(FoldToSew(240)) == (Fraction("17.7"), Fraction("17.7"))
    assert [*margins(FoldToSew(240, tie_down_mm=20))] == [25, 25]
    assert [*margins(FoldToSew(240, end_mm=30, setback_tail_mm=40))] == [30, 45]


def test_one_stitch_lies_as_near_the_middle_as_it_may() -> None:
    """A single stitch in the middle holds best; a hole there moves it aside, to the head."""
    assert [*most_even(centre_set(FoldToSew(240), 15), 1, 240)] == [120]
    assert [*most_even(_intervals((10, 40), (60, 90)), 1, 100)] == [40]


def test_shared_intervals_lie_in_every_set() -> None:
    """Intersection of closed intervals, single points included."""
    assert shared([_intervals((0, 10), (20, 30)), _intervals((5, 20), (25, 40))]) == tuple(
        _intervals((5, 10), (20, 20), (25, 30))
    )


def test_a_refusal_names_the_most_that_fit_and_what_would_have_to_give() -> None:
    """The numbers named are true: one less does not do, the named value does."""
    fold = FoldToSew(90, (30, 60))
    with pytest.raises(PlacementError) as caught:
        refuse_if_too_many(fold, 15, 4)
    line = str(caught.value)
    assert line == (
        "4 stitches of 15 mm do not fit on a fold of 90 mm, at most 2: "
        "ask for fewer, or lower `stitch` from 15 to 7 mm"
    )
    refuse_if_too_many(fold, 15, 2)
    refuse_if_too_many(fold, 7, 4)
    with pytest.raises(PlacementError):
        refuse_if_too_many(fold, 7.5, 4)
    with pytest.raises(PlacementError):
        refuse_if_too_many(fold, 15, 3)


def test_no_room_is_refused_not_squeezed() -> None:
    """Points on three single places cannot be four."""
    with pytest.raises(PlacementError):
        most_even(_intervals((0, 0), (3, 3), (7, 7)), 4, 10)
    with pytest.raises(PlacementError):
        most_even((), 1, 10)
    assert most_that_fit(_intervals((0, 0), (3, 3), (7, 7)), 3) == 3
