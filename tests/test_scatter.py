"""Scattered stitches over a whole spine: worked figures, concessions, pins and properties."""

from __future__ import annotations

import random
from dataclasses import replace
from itertools import pairwise

import pytest

from patterns.book.old_sewing import support_holes
from patterns.errors import PlacementError
from patterns.sewing.scatter import Request, arrange, chosen_gatherings, heights_that_fit
from patterns.sewing.stations import FoldToSew
from tests.sewn_book import drawn

BARE = FoldToSew(240)
HOLES = FoldToSew(240, (30, 60, 110, 160, 210))
TAPES = FoldToSew(240, (12, 228, *support_holes((60, 120, 180), 12)), (60, 120, 180), 12)
SIXTEEN = (1, 2, 5, 8, 12, 15, 16)


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


# What the ladder gives up, and what it says


def test_the_ladder_gives_up_in_its_order() -> None:
    """Fewer strips, fewer stitches, shorter stitches, less clearance, old holes: in that order."""
    strips = arrange(Request(SIXTEEN, 2.9, TAPES, 4, layout="classes", strips=3))
    assert strips.eased == ("2 pricking strips in place of 3",)
    stitches = arrange(Request(SIXTEEN, 2.9, FoldToSew(130), 4))
    assert stitches.eased == ("3 stitches in a gathering in place of 4",)
    shorter = arrange(Request(SIXTEEN, 2.9, FoldToSew(90, (30, 60)), 4))
    assert shorter.eased == (
        "2 stitches in a gathering in place of 4",
        "10 mm for a stitch in place of 15",
    )
    closer = arrange(Request((1, 2, 3), 2.9, FoldToSew(70, (22, 30, 40, 48)), 2, stitch_mm=8))
    assert closer.eased == ("4 mm clear of old holes and supports in place of 5",)


def test_old_holes_serve_last_and_only_when_asked() -> None:
    """Without `reuse` the refusal says that it would help; with it the old holes are used."""
    fold = FoldToSew(60, (20, 24, 28, 32, 36, 40))
    with pytest.raises(PlacementError, match="reuse") as caught:
        arrange(Request((1, 2), 2.0, fold, 1))
    assert "60 mm" in str(caught.value)
    found = arrange(Request((1, 2), 2.0, replace(fold, reuse=True), 1))
    assert found.eased[-1] == "old holes used again"
    assert sorted(found.centres_mm.values()) == [(24.0,), (36.0,)]


def test_a_refusal_names_the_numbers() -> None:
    """A fold of 50 mm has room for no two heights."""
    with pytest.raises(PlacementError) as caught:
        arrange(Request(SIXTEEN, 2.9, FoldToSew(50), 4))
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
        book = drawn(rng, rng.randint(1, 9), (1, 2, 3))
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
    free = arrange(Request(tuple(range(1, 21)), 1.2, FoldToSew(330), 4))
    two = arrange(Request(tuple(range(1, 21)), 1.2, FoldToSew(330), 4, strips=2))
    assert max(two.strips.values()) == 2
    assert free.distance_mm is not None
    assert two.distance_mm is not None
    assert free.distance_mm > two.distance_mm


def test_best_is_never_worse_than_dealing() -> None:
    """Dealt classes are one of the layouts searched."""
    for fold in (BARE, HOLES, TAPES, FoldToSew(330, (20, 90, 160, 230, 300))):
        for n in range(1, heights_that_fit(fold, 15) // 2 + 1):
            best = arrange(Request(SIXTEEN, 1.3, fold, n))
            dealt = arrange(Request(SIXTEEN, 1.3, fold, n, layout="classes"))
            assert best.distance_mm is not None
            assert dealt.distance_mm is not None
            assert best.distance_mm >= dealt.distance_mm - 1e-12
