"""The search for layouts, against published puzzles, a constraint solver and small known cases."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st
from ortools.sat.python import cp_model
from shapely.geometry import box

from patterns.cutting import guillotine, skyline
from patterns.cutting.search import Laid, Rectangle, search
from patterns.cutting.shapes import Fill, Kind, shapes_of
from tests.cutting.puzzles import puzzles

FILLS = {"free": skyline.fill, "through": guillotine.fill}
sizes = st.tuples(st.integers(20, 400), st.integers(20, 400), st.integers(1, 4), st.booleans())


@pytest.mark.parametrize(
    ("fill", "turns", "length"),
    [
        (skyline.fill, False, 8),
        (guillotine.fill, False, 8),
        (skyline.fill, True, 5),
        (guillotine.fill, True, 6),
    ],
)
def test_four_of_three_by_two_on_a_width_of_five(fill: Fill, turns: bool, length: int) -> None:
    """Fixed one stands on another; turned freely they make a pinwheel; cut through they cannot.

    Own worked example: no two of width 3 stand side by side on 5, so four lengths of 2. A pinwheel
    of four covers 5 × 5 but for its middle, and no cut runs through it.
    """
    laid = search(fill, [Kind(3, 2, 1, turns)] * 4, [Rectangle(5, 100, roll=True)], 50, 1)
    assert laid.filled[0].used_length == length


def boxes(laid: Laid, place: int) -> list[tuple[int, int, int, int]]:
    """Return the rectangles of the pieces on one rectangle of stock."""
    return [
        (one.across, one.along, one.across + one.shape.across, one.along + one.shape.along)
        for one in laid.filled[place].spots
    ]


@pytest.mark.parametrize("fill", FILLS.values(), ids=FILLS)
@given(drawn=st.lists(sizes, min_size=1, max_size=7), seed=st.integers(0, 9))
def test_every_piece_lies_once_inside_and_on_no_other(
    fill: Fill, drawn: Sequence[tuple[int, int, int, bool]], seed: int
) -> None:
    """Whatever the pieces: none overlaps another, none leaves its stock, none is lost or added."""
    kinds = [Kind(*one) for one in drawn]
    stock = [Rectangle(430, 500), Rectangle(400, 410), Rectangle(600, 2000, roll=True)]
    laid = search(fill, kinds, stock, 3, seed)
    counted = list(laid.left)
    for place, one in enumerate(stock):
        found = [box(*each) for each in boxes(laid, place)]
        assert all(box(0, 0, one.width, one.length).covers(each) for each in found)
        for number, each in enumerate(found):
            assert all(each.intersection(other).area == 0 for other in found[number + 1 :])
        for spot in laid.filled[place].spots:
            counted[spot.shape.kind] += 1
            assert spot.shape in shapes_of(kinds)
            assert not spot.shape.turned or kinds[spot.shape.kind].turns
    assert counted == [kind.count for kind in kinds]


@pytest.mark.parametrize("fill", FILLS.values(), ids=FILLS)
@given(drawn=st.lists(sizes, min_size=1, max_size=7), spare=st.integers(0, 10**5))
def test_laying_is_broken_off_only_where_too_much_stays_empty(
    fill: Fill, drawn: Sequence[tuple[int, int, int, bool]], spare: int
) -> None:
    """What may stay empty changes nothing up to that area; beyond it, all the laying would too.

    What stays empty and what was laid make up the whole, as long as some piece found no place.
    """
    kinds = [Kind(*one) for one in drawn]
    order = shapes_of(kinds)
    marks = [number % 2 == 1 for number in range(len(order))]
    left, short = [kind.count for kind in kinds], [kind.count for kind in kinds]
    whole = fill(order, marks, left, 430, 500, 10**9)
    bounded = fill(order, marks, short, 430, 500, spare)
    if whole.empty <= spare:
        assert (bounded, short) == (whole, left)
    else:
        assert bounded.empty > spare
        assert bounded.spots == whole.spots[: len(bounded.spots)]
    if any(left):
        assert (
            whole.empty + sum(one.shape.across * one.shape.along for one in whole.spots)
            == 430 * 500
        )


@pytest.mark.parametrize("fill", FILLS.values(), ids=FILLS)
def test_the_same_seed_gives_the_same_layout(fill: Fill) -> None:
    """Twice the same; and a search is never worse for more tries."""
    puzzle = puzzles()[6]
    kinds = [Kind(across, along, 1) for across, along in puzzle.pieces]
    roll = [Rectangle(puzzle.width, 10**5, roll=True)]
    assert search(fill, kinds, roll, 20, 4) == search(fill, kinds, roll, 20, 4)
    lengths = [search(fill, kinds, roll, n, 4).filled[0].used_length for n in (1, 10, 60)]
    assert lengths == sorted(lengths, reverse=True)


@pytest.mark.parametrize(("name", "least"), [("free", 0.955), ("through", 0.93)])
def test_puzzles_of_up_to_49_pieces_are_nearly_filled_by_few_tries(name: str, least: float) -> None:
    """Published puzzles without waste; the floor for all of them stands in bench_cutting."""
    shares = [puzzle.share(FILLS[name], 30) for puzzle in puzzles()[:12]]
    assert sum(shares) / len(shares) >= least


@pytest.mark.long
@pytest.mark.parametrize(("name", "least"), [("free", 0.982), ("through", 0.955)])
def test_all_puzzles_are_nearly_filled_by_300_tries(name: str, least: float) -> None:
    """All 21 of Hopper and Turton, C1 to C7, none turned."""
    shares = [puzzle.share(FILLS[name], 300) for puzzle in puzzles()]
    assert sum(shares) / len(shares) >= least


CASES = {
    "one sheet": [(60, 40, 2), (40, 60, 1), (40, 30, 2)],
    "two sheets": [(70, 60, 3), (30, 60, 3), (20, 40, 4)],
    "large and small": [(90, 55, 2), (45, 45, 4), (10, 95, 2)],
    "strips": [(12, 100, 9), (50, 33, 3)],
}


@pytest.mark.parametrize("pieces", CASES.values(), ids=CASES)
def test_no_fewer_sheets_would_do(pieces: list[tuple[int, int, int]]) -> None:
    """The count of sheets of 100 × 100 equals that of a constraint solver (CP-SAT of OR-Tools)."""
    kinds = [Kind(*one) for one in pieces]
    laid = search(skyline.fill, kinds, [Rectangle(100, 100)] * 6, 100, 1)
    assert not any(laid.left)
    assert laid.used == least_sheets([one for *one, n in pieces for _ in range(n)], 100)


def least_sheets(pieces: list[list[int]], side: int) -> int:
    """Return the fewest squares of that side that hold the pieces, unturned."""
    for count in range(1, len(pieces) + 1):
        model = cp_model.CpModel()
        across, along = [], []
        for width, length in pieces:
            x = model.new_int_var(0, count * side - width, "")
            y = model.new_int_var(0, side - length, "")
            sheet = model.new_int_var(0, count - 1, "")
            model.add(x >= sheet * side)
            model.add(x + width <= (sheet + 1) * side)
            across.append(model.new_fixed_size_interval_var(x, width, ""))
            along.append(model.new_fixed_size_interval_var(y, length, ""))
        model.add_no_overlap_2d(across, along)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.max_deterministic_time = 20
        if solver.solve(model) in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return count
    raise AssertionError("a piece is larger than a sheet")
