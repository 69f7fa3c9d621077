"""The cutting and sewing pages: everything on them, nothing over anything, nothing off the page."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from patterns.model.drawing import Line, LineKind, Words
from patterns.model.part import Diagram
from patterns.model.pattern import Pattern
from patterns.model.piece import Piece
from patterns.model.sheet import Sheet
from patterns.sheets.compose import plan
from patterns.sheets.page import Layout, numbered
from patterns.sketch.marks import box_of
from patterns.stock.paper import parse
from patterns.stock.printer import Correction
from tests.clear import assert_clear
from tests.layout_pieces import (
    EVERY,
    band,
    drawn_pieces,
    inlay,
    long_lining,
    pattern,
    pricking_strip,
    tiny_tag,
    tube,
)

NONE = Correction()
SECTION = Diagram(
    "slot enlarged",
    "board_slot",
    "Slot enlarged",
    "5:1",
    60.0,
    40.0,
    (Line(LineKind.OUTLINE, band(0.0, 60.0, 40.0), closed=True),),
    page="cutting",
)


def sheets(what: Pattern, paper: str = "A4", correction: Correction = NONE) -> tuple[Sheet, ...]:
    return numbered(plan(Layout(what, parse(paper), correction)))


def said(sheet: Sheet) -> str:
    return " ".join(m.text for m in sheet.drawing.marks if isinstance(m, Words))


@pytest.mark.parametrize("paper", ["A4", "A3", "letter", "legal", "A5", "B4", "A1", "roll:610"])
@pytest.mark.parametrize("factors", [(1.0, 1.0), (1.02, 0.98)])
def test_awkward_pieces_on_every_paper(paper: str, factors: tuple[float, float]) -> None:
    """Words apart, nothing off the page, capitals large enough, every piece on some page."""
    correction = Correction(*factors, "desk") if factors != (1.0, 1.0) else NONE
    made = sheets(pattern(*EVERY, diagrams=(SECTION,), sewn=True), paper, correction)
    for sheet in made:
        assert_clear(sheet.drawing)
    shown = {name for sheet in made for name in sheet.pieces}
    assert shown == {*(piece.name for piece in EVERY), SECTION.name}


SLOW = settings(deadline=None, max_examples=12, suppress_health_check=[HealthCheck.too_slow])


@pytest.mark.parametrize("paper", ["A4", "A3", "letter"])
@SLOW
@given(pieces=st.lists(drawn_pieces(), min_size=1, max_size=3))
def test_drawn_pieces_on_common_papers(paper: str, pieces: list[Piece]) -> None:
    """Whatever the piece, no two lines of words meet and none leaves the page."""
    for sheet in sheets(pattern(*pieces), paper):
        assert_clear(sheet.drawing)


@pytest.mark.parametrize("paper", ["A4", "A3", "letter", "roll:610"])
def test_every_page_has_both_bars_and_the_words_to_measure_them(paper: str) -> None:
    """Two lines of 100 mm at right angles on each page, cutting and sewing alike."""
    for sheet in sheets(pattern(*EVERY, diagrams=(SECTION,), sewn=True), paper):
        bars = [
            m
            for m in sheet.drawing.marks
            if isinstance(m, Line)
            and m.kind is LineKind.BAR
            and math.dist(*m.points) == pytest.approx(100)
        ]
        assert sorted(box_of(m).width for m in bars) == [pytest.approx(0), pytest.approx(100)]
        assert "99.7–100.3" in said(sheet)


def test_pages_are_numbered_through() -> None:
    """Page n of m."""
    made = sheets(pattern(*EVERY))
    assert len(made) > 2
    for number, sheet in enumerate(made, 1):
        assert f"{number} of {len(made)} · A4" in said(sheet)


def test_a_piece_says_what_is_needed_to_cut_it() -> None:
    """Name, quantity, size with limits, material and thickness, grain, face, what it lies on."""
    (sheet,) = sheets(pattern(tube()))
    words = said(sheet).replace("\u00a0", " ")
    for wanted in (
        "Tube strip",
        "cut 1",
        "153.9 ± 1.5 × 196.0 mm",
        "kraft lining paper, 0.12 mm",
        "grain head–tail",
        "lies on 0.30 mm",
        "this face up",
        "HEAD",
        "TAIL",
        "before cutting.",
        "laid on the book",
        "as cut",
        "cut by",
        "TOO WEAK:",
    ):
        assert wanted in words, wanted


def test_a_tube_of_the_specimens_size_stands_on_one_page() -> None:
    """154 × 196 with its dimensions, both faces and the form: A4, title above, block below."""
    (sheet,) = sheets(pattern(tube()))
    assert (sheet.drawing.width_mm, sheet.drawing.height_mm) == (210, 297)


def test_small_pieces_share_a_page() -> None:
    """Two tags and a section stand on one page, each with its own words."""
    gauge = replace(tiny_tag(), name="gauge", title="Gauge")
    (sheet,) = sheets(pattern(tiny_tag(), gauge, diagrams=(SECTION,)))
    assert sheet.pieces == ("tag", "gauge", "slot enlarged")
    assert {"Tag", "Gauge"} <= set(said(sheet).split())
    assert "scale 5:1" in said(sheet)


def test_long_strips_are_cut_into_sheets_together() -> None:
    """Two pricking strips of 330 mm take the two sheets that one takes."""
    alone = sheets(pattern(pricking_strip("A")))
    both = sheets(pattern(pricking_strip("A"), pricking_strip("B")))
    assert len(alone) == len(both) == 2
    assert all(sheet.pieces == ("pricking strip A", "pricking strip B") for sheet in both)


def test_a_spine_is_not_divided_across_its_width() -> None:
    """400 mm long, joints free: two sheets, each with the whole width of 150 mm."""
    made = sheets(pattern(long_lining()))
    assert len(made) == 2
    for sheet in made:
        cut = [
            box_of(m)
            for m in sheet.drawing.marks
            if isinstance(m, Line) and m.kind is LineKind.CUT and box_of(m).height > 50
        ]
        assert max(b.right for b in cut) - min(b.left for b in cut) == pytest.approx(150)
        assert "trim here, paste over" in said(sheet) or sheet is made[0]


def test_pricking_strips_and_sewing_views_make_the_sewing_pages() -> None:
    """Cutting comes first; the strips printed to be used go with the sewing."""
    made = sheets(pattern(inlay(), pricking_strip(), sewn=True))
    groups = [sheet.group for sheet in made]
    assert groups == sorted(groups)
    assert {name for s in made if s.group == "sewing" for name in s.pieces} == {"pricking strip A"}


def test_a_roll_takes_all_on_one_long_page() -> None:
    """610 wide: everything to cut on one page, as long as it needs and no longer."""
    pieces = (tube(), inlay(), long_lining(), tiny_tag())
    (sheet,) = sheets(pattern(*pieces), "roll:610")
    assert sheet.drawing.width_mm == 610
    assert 400 < sheet.drawing.height_mm < 620
    assert sheet.pieces == tuple(piece.name for piece in pieces)


def test_the_printers_correction_moves_lines_and_is_named() -> None:
    """A width of 55 becomes 55 × 1.004; the sheet says by which printer."""
    (sheet,) = sheets(pattern(inlay()), "A4", Correction(1.004, 0.998, "desk"))
    cut = [box_of(m) for m in sheet.drawing.marks if isinstance(m, Line) and m.kind is LineKind.CUT]
    widths = [box.width for box in cut if box.height > 100]
    assert widths == [pytest.approx(55 * 1.004)]
    assert "desk, across × 1.0040, down × 0.9980" in said(sheet)


def test_the_same_pattern_gives_the_same_pages() -> None:
    """Planned twice, drawn twice: equal to the last mark."""
    one, other = (sheets(pattern(*EVERY, sewn=True)) for _ in range(2))
    assert one == other


def test_a_pattern_without_pieces_has_no_cutting_pages() -> None:
    """Nothing to cut, nothing planned."""
    assert plan(Layout(pattern(), parse("A4"))) == ()
