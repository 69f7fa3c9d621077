"""Scattered stitches, held against worked figures, brute force and a constraint solver."""

from __future__ import annotations

import os
import random
import subprocess
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import combinations, pairwise, product
from math import comb, sqrt

import pytest
from ortools.sat.python import cp_model

from patterns.errors import PlacementError
from patterns.maximin import exact, most_even, most_that_fit
from patterns.scatter import (
    Arrangement,
    Request,
    arrange,
    chosen_gatherings,
    heights_that_fit,
)
from patterns.sharing import Spine
from patterns.spread import least_pitch, least_square, spread
from patterns.stations import Fold, centre_set, shared, support_holes

BARE = Fold(240)
HOLES = Fold(240, (30, 60, 110, 160, 210))
TAPES = Fold(240, (12, 228, *support_holes((60, 120, 180), 12)), (60, 120, 180), 12)
SIXTEEN = (1, 2, 5, 8, 12, 15, 16)

Layout = tuple[tuple[Fraction, ...], ...]


def test_chosen_gatherings_are_the_worked_ones() -> None:
    """Worked: 16 gatherings, and the number chosen of 40; up to five are all sewn."""
    assert chosen_gatherings(16) == SIXTEEN
    assert len(chosen_gatherings(40)) == 15
    assert [chosen_gatherings(n) for n in (1, 3, 5)] == [(1,), (1, 2, 3), (1, 2, 3, 4, 5)]
    for total in range(6, 120):
        chosen = chosen_gatherings(total)
        assert {1, 2, total - 1, total} <= set(chosen)
        assert max(b - a for a, b in pairwise(chosen)) <= 5


def test_two_classes_on_a_bare_fold_are_the_worked_ones() -> None:
    """Worked: class 1: 25.2, 79.37, 133.54, 187.71; class 2: 52.29 … 214.8."""
    found = arrange(Request(SIXTEEN, 2.9, BARE, 4, layout="classes"))
    one, two = (25.2, 79.37, 133.54, 187.71), (52.29, 106.46, 160.63, 214.8)
    for gathering, strip in zip(SIXTEEN, (one, two) * 4, strict=False):
        assert found.centres_mm[gathering] == pytest.approx(strip, abs=5e-3)
    assert found.eased == ()
    assert found.strips == {1: 1, 2: 2, 5: 1, 8: 2, 12: 1, 15: 2, 16: 1}


def test_classes_between_tapes_share_out_the_common_heights() -> None:
    """Worked: eight heights with a least gap of 16.3 between three tapes."""
    found = arrange(Request(SIXTEEN, 2.9, TAPES, 4, layout="classes"))
    heights = sorted({*found.centres_mm[1], *found.centres_mm[2]})
    assert len(heights) == 8
    assert min(b - a for a, b in pairwise(heights)) == pytest.approx(16.3)
    assert found.centres_mm[1] == tuple(heights[::2])


def test_one_column_a_stitch_on_a_unit_grid() -> None:
    """Maximin distance, one point a column: √5 on 4 × 4, 5 × 5 and 4 × 5 (by brute force)."""
    for columns, rows in ((4, 4), (5, 5), (4, 5)):
        found = spread([_grid(columns, rows)])
        assert found is not None
        assert found.proven
        assert least_square(range(columns), found.layout, 0) == 5


def _grid(columns: int, rows: int) -> Spine:
    free = (1 << rows) - 1
    return Spine(
        places=tuple(range(columns)),
        heights=tuple(range(rows)),
        rooms=(free,) * columns,
        counts=(1,) * columns,
        pins=((),) * columns,
        stitch=0,
        apart=1,
    )


# The same rules once more, in words and without cunning


@dataclass(frozen=True)
class _Book:
    """One drawn request with everything the rules speak of, in fractions."""

    request: Request

    @property
    def stitch(self) -> Fraction:
        return exact(self.request.stitch_mm)

    @property
    def apart(self) -> Fraction:
        return self.stitch + exact(self.request.fold.clear_mm)

    @property
    def places(self) -> list[Fraction]:
        return [g * exact(self.request.pitch_mm) for g in self.request.gatherings]

    def room(self, gathering: int) -> tuple[tuple[Fraction, Fraction], ...]:
        own = self.request.own_holes_mm.get(gathering, self.request.fold.holes_mm)
        return centre_set(replace(self.request.fold, holes_mm=own), self.stitch)

    def pins(self, gathering: int) -> tuple[Fraction, ...]:
        return tuple(exact(y) for g, y in self.request.fixed if g == gathering)

    def heights(self) -> Iterator[tuple[Fraction, ...]]:
        rooms = [self.room(g) for g in self.request.gatherings]
        for room in {centre_set(self.request.fold, self.stitch), shared(rooms)}:
            most = most_that_fit(room, self.stitch)
            for count in range(2 * self.request.stitches, most + 1):
                yield most_even(room, count, self.request.fold.height_mm)

    def folds(self, gathering: int, heights: Sequence[Fraction]) -> list[tuple[Fraction, ...]]:
        """Every way to sew one gathering with these heights."""
        pins, room = self.pins(gathering), self.room(gathering)
        free = [y for y in heights if any(a <= y <= b for a, b in room)]
        count = max(self.request.stitches - len(pins), 0)
        every = (tuple(sorted((*pins, *some))) for some in combinations(free, count))
        return [fold for fold in every if all(b - a >= self.apart for a, b in pairwise(fold))]

    def level(self, one: Sequence[Fraction], other: Sequence[Fraction]) -> bool:
        return any(abs(a - b) < self.stitch for a in one for b in other)

    def squares(self, layout: Sequence[Sequence[Fraction]]) -> list[Fraction]:
        """The squares of all distances between two bars, each a segment from hole to hole."""
        half = self.stitch / 2
        bars = [
            (x, y - half, y + half)
            for x, fold in zip(self.places, layout, strict=True)
            for y in fold
        ]
        squares = []
        for (x1, top1, end1), (x2, top2, end2) in combinations(bars, 2):
            between = max(top1, top2) - min(end1, end2)
            squares.append((x2 - x1) ** 2 + max(between, Fraction(0)) ** 2)
        return squares

    def strips(self, layout: Layout) -> int:
        """Different strips, those of gatherings with pinned stitches left out."""
        pairs = zip(self.request.gatherings, layout, strict=True)
        return len({fold for gathering, fold in pairs if not self.pins(gathering)})

    def merit(self, layout: Layout) -> tuple[Fraction, Fraction, list[list[Fraction]]]:
        pitch = min((b - a for fold in layout for a, b in pairwise(fold)), default=Fraction(0))
        return min(self.squares(layout)), pitch, [[-y for y in fold] for fold in layout]

    def tried(self) -> Layout | None:
        """Try every layout there is."""
        best = None
        for heights in self.heights():
            options = [self.folds(g, heights) for g in self.request.gatherings]
            for layout in product(*options):
                if any(self.level(a, b) for a, b in pairwise(layout)):
                    continue
                if self.request.strips and self.strips(layout) > self.request.strips:
                    continue
                if best is None or self.merit(layout) > self.merit(best):
                    best = layout
        return best

    def layouts(self) -> int:
        n = self.request.stitches
        return sum(
            comb(len(heights), n) ** len(self.request.gatherings) for heights in self.heights()
        )


def _drawn(rng: random.Random, gatherings: int, spacing: Sequence[int]) -> _Book:
    height = rng.randint(70, 200)
    holes = tuple(sorted(rng.sample(range(15, height - 15), rng.randint(1, 4))))
    numbers = [1]
    while len(numbers) < gatherings:
        numbers.append(numbers[-1] + rng.choice(spacing))
    book = Request(
        tuple(numbers),
        rng.choice((0.8, 1.2, 1.75, 2.5, 3.4)),
        Fold(height, holes),
        rng.randint(1, 3),
        rng.choice((8, 10, 12.5, 15)),
    )
    if rng.random() < 0.3:
        own = tuple(sorted(rng.sample(range(15, height - 15), 3)))
        book = replace(book, own_holes_mm={rng.choice(numbers): own})
    if rng.random() < 0.3:
        gathering = rng.choice(numbers)
        room = _Book(book).room(gathering)
        if room:
            low, high = rng.choice(room)
            book = replace(book, fixed=((gathering, float((low + high) / 2)),))
    return _Book(replace(book, strips=rng.choice((None, None, 2, 3))))


def _layout(book: _Book, found: Arrangement) -> list[list[float]]:
    return [list(found.centres_mm[g]) for g in book.request.gatherings]


def test_best_equals_trying_everything() -> None:
    """Small drawn books: own holes, pins and limits on strips among them, all four aims."""
    rng, cases, pinned, own, limited = random.Random(5), 0, 0, 0, 0
    while cases < 90:
        book = _drawn(rng, rng.choice((2, 3, 3, 4)), (1, 2, 3))
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


def _solver_finds(book: _Book, over: Fraction, pitch: Fraction | None = None) -> bool:
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
        book = _drawn(rng, rng.randint(4, 8), (1, 2, 3, 3))
        book = _Book(replace(book.request, strips=None))
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


# What the ladder gives up, and what it says


def test_the_ladder_gives_up_in_its_order() -> None:
    """Fewer strips, fewer stitches, shorter stitches, less clearance, old holes: in that order."""
    strips = arrange(Request(SIXTEEN, 2.9, TAPES, 4, layout="classes", strips=3))
    assert strips.eased == ("2 pricking strips in place of 3",)
    stitches = arrange(Request(SIXTEEN, 2.9, Fold(130), 4))
    assert stitches.eased == ("3 stitches in a gathering in place of 4",)
    shorter = arrange(Request(SIXTEEN, 2.9, Fold(90, (30, 60)), 4))
    assert shorter.eased == (
        "2 stitches in a gathering in place of 4",
        "10 mm for a stitch in place of 15",
    )
    closer = arrange(Request((1, 2, 3), 2.9, Fold(70, (22, 30, 40, 48)), 2, stitch_mm=8))
    assert closer.eased == ("4 mm clear of old holes and supports in place of 5",)


def test_old_holes_serve_last_and_only_when_asked() -> None:
    """Without `reuse` the refusal says that it would help; with it the old holes are used."""
    fold = Fold(60, (20, 24, 28, 32, 36, 40))
    with pytest.raises(PlacementError, match="reuse") as caught:
        arrange(Request((1, 2), 2.0, fold, 1))
    assert "60 mm" in str(caught.value)
    found = arrange(Request((1, 2), 2.0, replace(fold, reuse=True), 1))
    assert found.eased[-1] == "old holes used again"
    assert sorted(found.centres_mm.values()) == [(24.0,), (36.0,)]


def test_a_refusal_names_the_numbers() -> None:
    """A fold of 50 mm has room for no two heights."""
    with pytest.raises(PlacementError) as caught:
        arrange(Request(SIXTEEN, 2.9, Fold(50), 4))
    assert str(caught.value) == (
        "even 2 stitches of 8 mm in a gathering, 3 mm clear of old holes and supports, cannot be "
        "placed on a fold of 50 mm: 4 stitches of 8 mm do not fit on a fold of 50 mm, at most 1: "
        "ask for fewer, or lower `stitch` from 8 to 3.5 mm; or allow old holes with `reuse`"
    )


@pytest.mark.parametrize("layout", ["best", "classes"])
def test_every_layout_keeps_every_rule(layout: str) -> None:
    """Property: whatever is conceded, no hole is near an obstacle and no neighbours are level."""
    rng = random.Random(17)
    for _ in range(60):
        book = _drawn(rng, rng.randint(1, 9), (1, 2, 3))
        request = replace(book.request, layout="best" if layout == "best" else "classes")
        try:
            found = arrange(request)
        except PlacementError:
            continue
        fold = replace(request.fold, clear_mm=found.clear_mm)
        for gathering, centres in found.centres_mm.items():
            holes = request.own_holes_mm.get(gathering, fold.holes_mm)
            for y in centres:
                for hole in (y - found.stitch_mm / 2, y + found.stitch_mm / 2):
                    assert all(abs(hole - old) >= found.clear_mm - 1e-9 for old in holes)
                    assert 17.7 - 1e-9 <= hole <= fold.height_mm - 17.7 + 1e-9
            apart = found.stitch_mm + found.clear_mm
            assert all(b - a >= apart - 1e-9 for a, b in pairwise(centres))
        for one, other in pairwise(found.centres_mm[g] for g in sorted(found.centres_mm)):
            assert all(abs(a - b) >= found.stitch_mm - 1e-9 for a in one for b in other)
        assert all(any(y == pin for y in found.centres_mm[g]) for g, pin in request.fixed)


# Pins, own holes, one gathering


def test_a_pinned_stitch_stays_and_its_gathering_is_sewn() -> None:
    """`5@40` moves nothing else into a clearance; a gathering pinned is a gathering sewn."""
    found = arrange(Request(SIXTEEN, 2.9, BARE, 4, fixed=((5, 40), (6, 100))))
    assert 40 in found.centres_mm[5]
    assert 100 in found.centres_mm[6]
    assert [*found.centres_mm] == [1, 2, 5, 6, 8, 12, 15, 16]
    assert all(len(centres) == 4 for centres in found.centres_mm.values())


@pytest.mark.parametrize(
    ("fixed", "line"),
    [
        (((5, 60),), "fixed 5@60: a stitch of 15 mm there breaks a clearance; its centre may lie"),
        (((5, 80), (5, 90)), "fixed 5@80 and 5@90: stitches of one fold need 20 mm"),
        (((5, 80), (8, 90)), "fixed 5@80 and 8@90: neighbouring gatherings would be level"),
    ],
)
def test_a_bad_pin_is_refused(fixed: tuple[tuple[int, float], ...], line: str) -> None:
    """A clearance, the spacing in a fold and levelness with a neighbour are looked at."""
    with pytest.raises(PlacementError) as caught:
        arrange(Request(SIXTEEN, 2.9, TAPES, 4, fixed=fixed))
    assert str(caught.value).startswith(line)


def test_one_gathering_takes_all_heights_itself() -> None:
    """One gathering chosen: as many heights as stitches, and nothing left to prove."""
    found = arrange(Request((3,), 2.9, HOLES, 4))
    assert found.centres_mm == {3: (27.5, 87.5, 147.5, 212.5)}
    assert (found.status, found.pitch_mm, found.distance_mm) == ("proven", 60, 45)
    single = arrange(Request((3,), 2.9, BARE, 1))
    assert (single.centres_mm, single.distance_mm) == ({3: (120.0,)}, None)


def test_at_most_the_strips_asked_for() -> None:
    """A limit costs distance, never the limit."""
    free = arrange(Request(tuple(range(1, 21)), 1.2, Fold(330), 4))
    two = arrange(Request(tuple(range(1, 21)), 1.2, Fold(330), 4, strips=2))
    assert max(two.strips.values()) == 2
    assert free.distance_mm is not None
    assert two.distance_mm is not None
    assert free.distance_mm > two.distance_mm


def test_best_is_never_worse_than_dealing() -> None:
    """Dealt classes are one of the layouts searched."""
    for fold in (BARE, HOLES, TAPES, Fold(330, (20, 90, 160, 230, 300))):
        for n in range(1, heights_that_fit(fold, 15) // 2 + 1):
            best = arrange(Request(SIXTEEN, 1.3, fold, n))
            dealt = arrange(Request(SIXTEEN, 1.3, fold, n, layout="classes"))
            assert best.distance_mm is not None
            assert dealt.distance_mm is not None
            assert best.distance_mm >= dealt.distance_mm - 1e-12


# The stop


def _wide() -> Spine:
    """Twenty gatherings that choose three of thirteen uneven heights."""
    heights = (0, 21, 40, 63, 83, 105, 124, 146, 170, 189, 211, 230, 252)
    return replace(
        _grid(20, 13), places=tuple(range(0, 180, 9)), heights=heights, counts=(3,) * 20, stitch=15
    )


def test_a_stopped_search_says_so_and_its_bound_holds() -> None:
    """Stopped early, the layout is still a layout and the proven optimum lies under the bound."""
    spine = _wide()
    whole = spread([spine])
    assert whole is not None
    assert whole.proven
    optimum = least_square(spine.places, whole.layout, spine.stitch)
    assert optimum == whole.bound
    stopped = [spread([spine], steps=steps) for steps in (0, 10, 60, 120)]
    assert not all(found is None or found.proven for found in stopped)
    for found in stopped:
        assert found is not None
        assert found.bound >= whole.bound
        if found.layout:
            square = least_square(spine.places, found.layout, spine.stitch)
            assert square is not None
            assert square <= whole.bound
            assert (least_pitch(found.layout) or 0) >= spine.apart


def test_the_same_book_gives_the_same_layout_under_load() -> None:
    """Several processes at once, each with another hash seed, print one and the same layout."""
    program = (
        "from patterns.scatter import *; from patterns.stations import Fold;"
        "print(arrange(Request(chosen_gatherings(40), 1.3, Fold(330, (40, 110, 190, 270)), 4)))"
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
