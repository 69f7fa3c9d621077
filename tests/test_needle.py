"""The way of the needle and its thread, held against the worked figures."""

from __future__ import annotations

from itertools import pairwise
from math import hypot

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patterns.errors import PlacementError
from patterns.model.stitches import Move, Pass
from patterns.sewing.needle import (
    SewnGathering,
    Stitching,
    holes,
    order,
    sew,
    through_mm,
    travelled_mm,
)

FIVE = SewnGathering(5, ((20, 35), (80, 95), (140, 155)), 0.8)
NEAR = (
    SewnGathering(1, ((20, 35), (80, 95)), 0.8),
    SewnGathering(2, ((50, 65), (110, 125)), 0.8),
    SewnGathering(3, ((20, 35), (80, 95)), 0.8),
)


def test_the_worked_fold() -> None:
    """Worked: holes 20–35, 80–95, 140–155, τ 0.3 + 4 × 0.125: net 139.8, cut 373.8, so 375 mm."""
    assert through_mm(0.3, 4, 0.125) == 0.8
    sewn = sew([FIVE], 9)
    (length,) = sewn.lengths
    assert length.net_mm == pytest.approx(139.8)
    assert length.cut_mm == pytest.approx(373.8, abs=0.05)
    assert (length.cut_to_mm, sewn.total_mm) == (375, 375)
    assert sewn.passes == (
        Pass(
            5,
            (
                ("out", 20),
                ("in", 35),
                ("knot",),
                ("out", 80),
                ("in", 95),
                ("out", 140),
                ("in", 155),
                ("hitch", 140),
            ),
        ),
    )


def test_the_worked_loop() -> None:
    """Worked: a loop of 15 mm through 0.8 takes 150.3 mm."""
    sewn = sew([FIVE], 9, "loops")
    (length,) = sewn.lengths
    assert length.cut_mm == pytest.approx(150.3, abs=0.05)
    assert (length.quantity, length.cut_to_mm, sewn.total_mm) == (3, 155, 465)
    assert [move[0] for move in sewn.passes[0].moves] == ["out", "in", "knot"] * 3


def test_the_worked_travel() -> None:
    """Worked: (0: 20–60), (1: 100–140), (2: 180–220), 0.3 + 0.5, pitch 3 → 205.024684 mm."""
    stitches = [(0.0, 20.0, 60.0, 0.8), (3.0, 100.0, 140.0, 0.8), (6.0, 180.0, 220.0, 0.8)]
    assert travelled_mm(stitches) == pytest.approx(205.024684, abs=5e-7)


def test_the_middle_is_sewn_first_then_front_and_back_by_turns() -> None:
    """Common practice: the first gathering sewn fixes the lining."""
    assert order((1, 2, 5, 8, 12, 15, 16), 16) == (8, 5, 12, 2, 15, 1, 16)
    assert order((1, 2, 3), 3) == (2, 1, 3)
    assert order((1, 2, 9), 9) == (2, 1, 9)
    assert order((), 9) == ()
    one = [SewnGathering(g, ((20, 35),), 0.8) for g in (1, 2, 3, 4, 5)]
    for path in ("fold", "loops"):
        sewn = sew(one, 5, "fold" if path == "fold" else "loops")
        assert [made.gathering for made in sewn.passes] == [3, 2, 4, 1, 5]


def test_one_stitch_ends_with_its_knot() -> None:
    """A single stitch: the square knot is the end, nothing is hitched."""
    assert sew([SewnGathering(1, ((20, 35),), 0.8)], 1).passes[0].moves == (
        ("out", 20),
        ("in", 35),
        ("knot",),
    )


def test_continuous_lies_inside_and_travels_outside_by_turns() -> None:
    """Head to tail, then tail to head; each tail hitched once; every gathering opened once."""
    sewn = sew(NEAR, 3, "continuous", pitch_mm=3)
    assert [made.gathering for made in sewn.passes] == [1, 2, 3]
    assert sewn.passes[0].moves == (
        ("in", 20),
        ("out", 35),
        ("in", 80),
        ("hitch", 20),
        ("out", 95),
    )
    assert sewn.passes[1].moves == (("in", 125), ("out", 110), ("in", 65), ("out", 50))
    assert sewn.passes[2].moves[-1] == ("hitch", 95)
    (length,) = sewn.lengths
    inside, outside = 6 * (15 + 1.6), 45 * 3 + 2 * hypot(3, 30)
    assert length.net_mm == pytest.approx(inside + outside)
    assert length.cut_mm == pytest.approx(1.1 * (inside + outside + 200))


def test_a_thread_over_900_is_split_and_each_part_is_tied() -> None:
    """Practice: longer threads wear out while they are drawn through."""
    many = [
        SewnGathering(g, tuple((20.0 + 60 * i, 35.0 + 60 * i) for i in range(4)), 0.8)
        for g in range(6)
    ]
    sewn = sew(many, 6, "continuous", pitch_mm=3)
    assert len(sewn.lengths) > 1
    assert all(length.cut_mm <= 900 for length in sewn.lengths)
    hitches = [move for made in sewn.passes for move in made.moves if move[0] == "hitch"]
    assert len(hitches) == 2 * len(sewn.lengths)
    assert {g for length in sewn.lengths for g in length.gatherings} == set(range(6))


def test_a_travel_too_long_or_over_a_raised_support_is_refused() -> None:
    """The line says where, how long, and which path to take instead."""
    far = SewnGathering(1, ((20, 35), (100, 115)), 0.8)
    with pytest.raises(PlacementError) as caught:
        sew([far], 1, "continuous")
    assert str(caught.value) == (
        "path continuous: from 35 mm in gathering 1 to 100 mm in gathering 1 the thread would "
        "travel 65.0 mm outside, at most 60 is allowed: use path fold or loops, or more stitches"
    )
    with pytest.raises(PlacementError, match="over a raised support"):
        sew(NEAR, 3, "continuous", pitch_mm=3, raised_mm=((55, 60),))
    sew(NEAR, 3, "continuous", pitch_mm=3, raised_mm=((10, 20), (125, 140)))


def _drawn_through(moves: tuple[Move, ...], through: float) -> float:
    """Follow the needle hole by hole and measure the thread it leaves in the book."""
    places = [move[1] for move in moves if len(move) == 2 and move[0] in ("in", "out")]
    return sum(abs(b - a) for a, b in pairwise(places)) + through * len(places)


centres = st.lists(st.integers(0, 12), min_size=1, max_size=8, unique=True).map(
    lambda steps: [30.0 + 25 * step for step in sorted(steps)]
)


@given(centres, st.floats(0.1, 3))
def test_net_length_is_what_the_moves_draw_through(places: list[float], through: float) -> None:
    """Property: following the printed moves hole by hole uses the printed net length."""
    sewn = sew([SewnGathering(1, holes(places, 15), through)], 1)
    (one,), (length,) = sewn.passes, sewn.lengths
    assert length.net_mm == pytest.approx(_drawn_through(one.moves, through))
    loops = sew([SewnGathering(1, holes(places, 15), through)], 1, "loops").lengths[0]
    assert loops.net_mm == pytest.approx(15 + 2 * through)
    assert loops.quantity == len(places)


@given(centres, st.sampled_from(["fold", "loops"]))
def test_bars_are_outside_and_every_hole_is_used_once(places: list[float], path: str) -> None:
    """Property: out at the head end of each stitch, in at its tail end, in order from the head."""
    sewn: Stitching = sew(
        [SewnGathering(1, holes(places, 15), 0.8)], 1, "fold" if path == "fold" else "loops"
    )
    pierced = [move for move in sewn.passes[0].moves if move[0] in ("in", "out")]
    expected = [end for y in places for end in (("out", y - 7.5), ("in", y + 7.5))]
    assert pierced == expected
