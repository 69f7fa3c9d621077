"""The secondary sewing against worked examples and plain geometry."""

from __future__ import annotations

from dataclasses import replace

import pytest

from patterns.commands.demo import orders
from patterns.drafting.job import draft
from patterns.errors import MendfoldError, SettingError, Unsuitable
from patterns.model.stitches import Pass
from patterns.sheets import dimensions
from tests.books import changed, demo, drafted, figure, part, piece


def test_one_cloth_is_drawn_once() -> None:
    """A board_slot with secondary_sewing share one physical cloth."""
    found = drafted("logbook", "board_slot", "secondary_sewing", layout="classes")
    assert [p.name for one in found.pattern.parts for p in one.pieces].count("lining") == 1
    slot = figure(found, "board_slot", "flange_front_mm")
    assert figure(found, "secondary_sewing", "flange_front_mm") == slot
    width = figure(found, "secondary_sewing", "spine_width_mm")
    flanges = slot + figure(found, "board_slot", "flange_back_mm")
    assert piece(found, "lining").width_mm == pytest.approx(width + flanges, abs=0.3)


def test_a_shared_cloth_with_two_setbacks_is_refused() -> None:
    """Shared pieces whose values then differ: refused."""
    settings = {"board_slot__setback_head": "20"}
    with pytest.raises(SettingError, match="for one cloth"):
        drafted("logbook", "board_slot", "secondary_sewing", **settings)


def test_the_worked_needle_path_stands_in_the_json() -> None:
    """Worked example: holes 20–35, 80–95, 140–155 give that path for gathering 5."""
    book = changed(
        "logbook",
        text_block={"height": 200.0, "gatherings": 12, "anchor_first": None, "anchor_last": None},
        sewing={
            "kettles": (100.0,),
            "supports_at": None,
            "stations": None,
            "supports": "none",
            "tie_down": 0.0,
        },
        spine={"girth_tail": 72.5},
    )
    found = drafted(
        book, "secondary_sewing", gatherings="5", fixed="5@27.5 5@87.5 5@147.5", stitches=3, setback_head=0, setback_tail=0, layout="classes",
    )  # fmt: skip
    sewing = part(found, "secondary_sewing").sewing
    assert sewing is not None
    assert sewing.path[0] == Pass(
        5,
        (
            ("out", 20.0), ("in", 35.0), ("knot",), ("out", 80.0), ("in", 95.0), ("out", 140.0), ("in", 155.0), ("hitch", 140.0),
        ),
    )  # fmt: skip


def test_new_holes_keep_clear_of_old_ones_supports_and_edges() -> None:
    """Clearances are checked hole by hole from the finished pattern, not from the search."""
    book = demo("logbook")
    found = drafted(book, "secondary_sewing", layout="classes")
    sewing = part(found, "secondary_sewing").sewing
    assert sewing is not None
    kettles, supports = book.sewing.kettles or (), book.sewing.supports_at or ()
    half = (book.sewing.support_width or 0) / 2
    old = [*kettles, *(s - half for s in supports), *(s + half for s in supports)]
    for stitch in sewing.stitches:
        for y in (stitch.from_mm, stitch.to_mm):
            assert min(abs(y - o) for o in old) >= 5 - 1e-9
            assert 12.7 + 5 <= y <= 330 - 12.7 - 5
            assert all(abs(y - s) >= half + 5 - 1e-9 for s in supports)
        assert not any(stitch.from_mm < s < stitch.to_mm for s in supports)


def test_no_safety_without_a_tear_strength() -> None:
    """Only the force and what the paper must bear."""
    quantities = part(
        drafted("logbook", "secondary_sewing", layout="classes"), "secondary_sewing"
    ).quantities
    assert "safety_factor" not in quantities
    assert float(quantities["needed_tear_mn"]) > 0


def test_weak_paper_is_refused_unless_its_folds_are_lined() -> None:
    """Refused only below 150 mN and without line_folds."""
    book = changed("logbook", text_block={"tear_strength": 149.0})
    with pytest.raises(Unsuitable, match="line_folds"):
        drafted(book, "secondary_sewing")
    drafted(book, "secondary_sewing", line_folds="yes", layout="classes")


def test_a_sewing_too_weak_says_so_in_a_box() -> None:
    """A box and a warning, no refusal."""
    book = changed("logbook", text_block={"tear_strength": 160.0})
    found = drafted(book, "secondary_sewing", stitches=3, layout="classes")
    assert any("TOO WEAK" in line for line in part(found, "secondary_sewing").boxes)


def test_right_to_left_books_are_mirrored_about_the_spine() -> None:
    """x = A·(g − ½)/G for a right-to-left book, FRONT at the left."""
    book = changed("logbook", cover={"back": demo("logbook").cover.front})
    other = replace(book, book=replace(book.book, reading="right-to-left"))
    one = piece(drafted(book, "secondary_sewing", layout="classes"), "lining")
    two = piece(drafted(other, "secondary_sewing", layout="classes"), "lining")
    assert (one.left, two.left) == ("BACK board", "FRONT board")
    mirrored = sorted((round(one.width_mm - h.at[0], 3), round(h.at[1], 3)) for h in one.holes)
    assert mirrored == sorted((round(h.at[0], 3), round(h.at[1], 3)) for h in two.holes)


def test_every_refusal_is_one_line() -> None:
    """A refusal names the place and the remedy in one line."""
    with pytest.raises(MendfoldError) as caught:
        drafted("logbook", "secondary_sewing", gatherings="1,99")
    assert "\n" not in str(caught.value)
    assert "1 to 40" in str(caught.value)


def test_stations_from_the_kettle_give_the_same_holes() -> None:
    """With uneven heads the first kettle is zero; the strips register on old holes."""
    book = demo("logbook")
    moved = replace(
        book,
        sewing=replace(
            book.sewing,
            stations_from="kettle",
            kettles=(0.0, 300.0),
            supports_at=tuple(y - 15 for y in book.sewing.supports_at or ()),
        ),
    )
    one, two = (
        part(drafted(b, "secondary_sewing"), "secondary_sewing").sewing for b in (book, moved)
    )
    assert one is not None
    assert two is not None
    assert two.stations_mm == pytest.approx(one.stations_mm)


def test_each_end_of_a_tapered_cloth_says_its_own_width_to_trim_to() -> None:
    """The logbook's strip read 0.5 mm more at the tail, over 330 mm; the cloth is 304.6 mm high.

    It is cut 4.3 mm larger at each side.
    """
    (order,) = [one for one in orders() if one.record.book.id == "logbook"]
    pattern = draft(order).pattern
    (piece,) = [one for part in pattern.parts for one in part.pieces if one.name == "lining"]
    rows = dimensions.complete(piece).dimensions
    ends = {
        row.side: row.text
        for row in rows
        if row.side in ("head", "tail") and row.text.startswith("trim")
    }
    widths = {
        side: max(
            row.end[0] - row.start[0]
            for row in rows
            if row.side == side and "first" not in row.text
        )
        for side in ("head", "tail")
    }
    assert widths["tail"] - widths["head"] == pytest.approx(0.5 * 304.6 / 330, abs=0.01)
    assert ends == {side: f"trim to {width:.1f}" for side, width in widths.items()}
    (first,) = [row for row in rows if row.text.startswith("cut first 1")]
    assert first.side == "tail"  # where the cloth is widest
    assert first.end[0] - first.start[0] == pytest.approx(widths["tail"] + 2 * 4.3, abs=0.1)
