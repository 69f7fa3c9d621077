"""The search for the best layout, held against brute force and a constraint solver."""

from __future__ import annotations

import os
import random
import subprocess
import sys
from dataclasses import replace
from fractions import Fraction
from itertools import combinations, pairwise
from math import sqrt

import pytest
from ortools.sat.python import cp_model

from patterns.errors import PlacementError
from patterns.sewing.maximin import exact
from patterns.sewing.meter import Meter
from patterns.sewing.scatter import StitchPlaces, arrange
from patterns.sewing.sharing import HeightChoice
from patterns.sewing.spread import least_pitch, least_square, spread
from tests.sewn_book import SewnBook, drawn


def test_one_column_a_stitch_on_a_unit_grid() -> None:
    """Maximin distance, one point a column: √5 on 4 × 4, 5 × 5 and 4 × 5 (by brute force)."""
    for columns, rows in ((4, 4), (5, 5), (4, 5)):
        found = spread([_grid(columns, rows)])
        assert found is not None
        assert found.proven
        assert least_square(range(columns), found.layout, 0) == 5


def _grid(columns: int, rows: int) -> HeightChoice:
    free = (1 << rows) - 1
    return HeightChoice(
        places=tuple(range(columns)),
        heights=tuple(range(rows)),
        rooms=(free,) * columns,
        counts=(1,) * columns,
        pins=((),) * columns,
        stitch=0,
        apart=1,
    )


def _layout(book: SewnBook, found: StitchPlaces) -> list[list[float]]:
    return [list(found.centres_mm[g]) for g in book.request.gatherings]


def test_best_equals_trying_everything() -> None:
    """Small drawn books: own holes, pins and limits on strips among them, all four aims."""
    rng, cases, pinned, own, limited = random.Random(5), 0, 0, 0, 0
    while cases < 90:
        book = drawn(rng, rng.choice((2, 3, 3, 4)), (1, 2, 3))
        if not 0 < book.layouts() <= 1500:
            continue
        tried = book.tried()
        if tried is None:
            continue
        found = arrange(book.request)
        assert _layout(book, found) == [[float(y) for y in fold] for fold in tried], book
        square, pitch, _ = book.merit(tried)
        assert found.status == "proven"
        assert found.eased == ()
        assert found.distance_mm == pytest.approx(sqrt(square), abs=1e-9)
        assert found.bound_mm == pytest.approx(sqrt(square), abs=1e-9)
        assert found.pitch_mm == (float(pitch) if pitch else None)
        cases += 1
        pinned += bool(book.request.fixed)
        own += bool(book.request.own_holes_mm)
        limited += book.request.strips is not None
    assert min(pinned, own, limited) > 10


def _solver_finds(book: SewnBook, over: Fraction, pitch: Fraction | None = None) -> bool:
    """Ask CP-SAT for a layout with all squares over a limit, or not under it and a longer pitch."""
    model, sets, places = cp_model.CpModel(), list(book.heights()), book.places
    taken = [model.new_bool_var("") for _ in sets]
    model.add_exactly_one(taken)
    needed = {0: book.apart, 1: book.stitch}

    def near(i: int, y1: Fraction, j: int, y2: Fraction) -> bool:
        between = abs(y1 - y2)
        if between < needed.get(abs(i - j), 0) or (
            i == j and pitch is not None and between <= pitch
        ):
            return True
        square = (places[i] - places[j]) ** 2 + max(between - book.stitch, Fraction(0)) ** 2
        return square <= over if pitch is None else square < over

    for heights, this in zip(sets, taken, strict=True):
        bars = []
        for i, gathering in enumerate(book.request.gatherings):
            room, pins = book.room(gathering), book.pins(gathering)
            free = [y for y in heights if any(a <= y <= b for a, b in room)]
            mine = [(i, y, model.new_bool_var("")) for y in free]
            count = max(book.request.stitches - len(pins), 0)
            model.add(sum(bar for *_, bar in mine) == count * this)
            bars += mine + [(i, y, this) for y in pins]
        for (i, y1, one), (j, y2, other) in combinations(bars, 2):
            if near(i, y1, j, y2):
                model.add_bool_or(one.negated(), other.negated())
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    status = solver.solve(model)
    assert status in (cp_model.OPTIMAL, cp_model.FEASIBLE, cp_model.INFEASIBLE)
    return bool(status != cp_model.INFEASIBLE)


def test_best_agrees_with_a_constraint_solver() -> None:
    """OR-tools CP-SAT on 150 drawn books: ours is a layout, and no wider or longer one exists."""
    rng, cases = random.Random(3), 0
    while cases < 150:
        book = drawn(rng, rng.randint(4, 8), (1, 2, 3, 3))
        book = SewnBook(replace(book.request, strips=None))
        if not 0 < sum(map(len, book.heights())) <= 24:
            continue
        try:
            found = arrange(book.request)
        except PlacementError:
            assert not _solver_finds(book, Fraction(-1))
            continue
        if found.eased:
            assert not _solver_finds(book, Fraction(-1))
            continue
        folds = [
            tuple(exact(y).limit_denominator(10**6) for y in fold) for fold in _layout(book, found)
        ]
        square = min(book.squares(folds))
        assert found.status == "proven"
        assert not any(book.level(a, b) for a, b in pairwise(folds))
        assert not _solver_finds(book, square), book
        if cases % 10 == 0:
            assert _solver_finds(book, square, Fraction(0)), "the solver knows our own layout"
        if found.pitch_mm is not None and cases % 3 == 0:
            longest = exact(found.pitch_mm).limit_denominator(10**6)
            assert not _solver_finds(book, square, longest), book
        cases += 1


# The stop


def _wide() -> HeightChoice:
    """Twenty gatherings that choose three of thirteen uneven heights."""
    heights = (0, 21, 40, 63, 83, 105, 124, 146, 170, 189, 211, 230, 252)
    return replace(
        _grid(20, 13), places=tuple(range(0, 180, 9)), heights=heights, counts=(3,) * 20, stitch=15
    )


def test_a_stopped_search_says_so_and_its_bound_holds() -> None:
    """Stopped early, the layout is still a layout and the proven optimum lies under the bound."""
    choice = _wide()
    whole = spread([choice])
    assert whole is not None
    assert whole.proven
    optimum = least_square(choice.places, whole.layout, choice.stitch)
    assert optimum == whole.bound
    stopped = [spread([choice], meter=Meter(steps)) for steps in (0, 10, 60, 120)]
    assert not all(found is None or found.proven for found in stopped)
    for found in stopped:
        assert found is not None
        assert found.bound >= whole.bound
        if found.layout:
            square = least_square(choice.places, found.layout, choice.stitch)
            assert square is not None
            assert square <= whole.bound
            assert (least_pitch(found.layout) or 0) >= choice.apart


def test_the_same_book_gives_the_same_layout_under_load() -> None:
    """Several processes at once, each with another hash seed, print one and the same layout."""
    program = (
        "from patterns.sewing.scatter import *; from patterns.sewing.stations import FoldToSew;"
        "print(arrange(Request(chosen_gatherings(40), 1.3, FoldToSew(330, (40, 110, 190, 270)), 4)))"
    )
    started = [
        subprocess.Popen(
            [sys.executable, "-c", program],
            env={**os.environ, "PYTHONHASHSEED": str(seed)},
            stdout=subprocess.PIPE,
            text=True,
        )
        for seed in range(4)
    ]
    printed = {process.communicate()[0] for process in started}
    assert len(printed) == 1
    assert "proven" in printed.pop()
