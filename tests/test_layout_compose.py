"""The cutting and sewing pages: everything on them, nothing over anything, nothing off the page."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from patterns.commands.demo import orders
from patterns.drafting.job import draft
from patterns.drafting.order import Order
from patterns.model.drawing import Line, LineKind, Words
from patterns.model.part import Diagram
from patterns.model.pattern import Pattern
from patterns.model.piece import Fold, Hole, Piece
from patterns.model.sheet import Sheet
from patterns.sheets.columned import columned
from patterns.sheets.compose import plan
from patterns.sheets.page import Layout, numbered
from patterns.sheets.tile import TRIM
from patterns.sketch.marks import Block, box_of
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
        assert ("99.7–100.3" in said(sheet)) == bool(sheet.pieces)


@pytest.mark.parametrize("order", orders(), ids=lambda one: "+".join(one.structures))
def test_a_page_without_a_piece_asks_for_no_knife_and_explains_no_cut(order: Order) -> None:
    """What is heeded before a cut stands on every page with a piece, and on no other."""
    pattern = draft(order).pattern
    pieces = {piece.name for part in pattern.parts for piece in part.pieces}
    for sheet in numbered(plan(Layout(pattern, order.paper))):
        words = [m.text for m in sheet.drawing.marks if isinstance(m, Words)]
        cuts = bool(pieces.intersection(sheet.pieces))
        assert any(text.startswith("Knife") for text in words) == cuts, sheet.title
        assert any("efore cutting" in text for text in words) == cuts, sheet.title
        assert ("cut" in words) <= cuts, sheet.title


def test_pages_are_numbered_through() -> None:
    """Page n of m."""
    made = sheets(pattern(*EVERY))
    assert len(made) > 2
    for number, sheet in enumerate(made, 1):
        assert f"{number} of {len(made)} · " in said(sheet)


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
        "measure both bars (99.7–100.3 mm); lay the paper on the book",
        "Knife: hand out of the line",
        "TOO WEAK:",
    ):
        assert wanted in words, wanted


def test_a_tube_of_the_specimens_size_stands_on_one_page() -> None:
    """154 × 196 with its dimensions, both faces and the form: A4, title above, block below."""
    (sheet,) = sheets(pattern(tube()))
    assert (sheet.drawing.width_mm, sheet.drawing.height_mm) == (210, 297)


def test_small_pieces_share_a_page() -> None:
    """Two tags and a section stand on one page, each with its own words."""
    gauge = replace(tiny_tag(), name="gauge", title="Gauge", thickness_mm=0.9)
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
    made = [one for one in sheets(pattern(long_lining())) if one.pieces]  # not the words to it
    assert len(made) == 2
    for sheet in made:
        cut = [
            box_of(m)
            for m in sheet.drawing.marks
            if isinstance(m, Line) and m.kind is LineKind.CUT and box_of(m).height > 50
        ]
        assert max(b.right for b in cut) - min(b.left for b in cut) == pytest.approx(150)
        assert any(one in said(sheet) for one in TRIM) or sheet is made[0]


def test_pricking_strips_stand_behind_what_is_cut() -> None:
    """One page holds both; a page of the strips printed to be used alone belongs to the sewing."""
    (both,) = sheets(pattern(inlay(), pricking_strip(), sewn=True), "A3")
    assert (both.group, both.pieces) == ("cutting", ("inlay", "pricking strip A"))
    alone = sheets(pattern(pricking_strip(), sewn=True))
    assert {sheet.group for sheet in alone} == {"sewing"}


def test_one_drawing_serves_for_pieces_of_the_same_outline() -> None:
    """0.2 mm apart is within the cut: the larger is drawn and names the other with its size."""
    other = replace(
        inlay(),
        name="second",
        title="Second",
        outline=((2.5, 0.0), (52.5, 0.0), (54.8, 200.0), (0.0, 200.0)),
    )
    (sheet,) = sheets(pattern(other, inlay()))
    cut = [
        m
        for m in sheet.drawing.marks
        if isinstance(m, Line) and m.kind is LineKind.CUT and m.closed
    ]
    assert [round(box_of(m).width, 2) for m in cut] == [55.0]
    assert sheet.pieces == ("inlay", "second")
    words = said(sheet).replace("\u00a0", " ")
    assert "The same outline serves for Second, cut 1: 54.8 × 200.0 mm" in words


def section(board: str, end: float, *notes: str) -> Diagram:
    """Return a drawing of one line, `end` mm long, with a word."""
    line = Line(LineKind.OUTLINE, ((5.0, 5.0), (end, 5.0)))
    marks = (line, Words((5.0, 12.0), "board", 2.5))
    return Diagram(
        f"section, {board}", "test", f"Section, {board}", "4:1", 90.0, 20.0, marks, notes
    )


def test_drawings_of_one_look_are_drawn_once_with_the_figures_of_each() -> None:
    """0.4 mm longer on the paper is the same picture; what is said of both stands there once."""
    front, back = (
        section("front board", 40.0, "board 3.2", "heavy: the cloth"),
        section("back board", 40.4, "board 3.1", "heavy: the cloth"),
    )
    (sheet,) = sheets(pattern(inlay(), diagrams=(front, back)))
    words = said(sheet)
    assert sheet.pieces == ("inlay", "section, front board", "section, back board")
    for once in ("board 3.2", "board 3.1", "heavy: the cloth", "Section, back board: drawn alike"):
        assert words.count(once) == 1, once
    other = replace(back, marks=section("", 42.0).marks)
    words = said(sheets(pattern(inlay(), diagrams=(front, other)))[0])
    assert "drawn alike" not in words
    assert words.count("heavy: the cloth") == 2


def test_words_of_two_tall_pieces_share_the_room_beside_both() -> None:
    """Each alone would have its words beside it, and the other no room on the page."""
    tall = [
        replace(
            inlay(),
            name=name,
            title=name,
            outline=band(0.0, 34.0, 230.0),
            references=(),
            zones=(),
            dimensions=(),
            notes=tuple(f"{name} note {n}: laid on the book dry, and only then" for n in range(8)),
        )
        for name in ("first", "second")
    ]
    tall[1] = replace(tall[1], material="another card")
    (sheet,) = sheets(pattern(*tall))
    assert sheet.pieces == ("first", "second")
    words = said(sheet)
    assert all(f"{name} note {n}:" in words for name in ("first", "second") for n in range(8))


def test_what_was_said_of_a_piece_is_not_said_again_of_one_like_it() -> None:
    """Material and notes once; number and size of each, and what is its own."""
    first = replace(inlay(), notes=("thin line: the middle", "lay it dry"))
    other = replace(
        first,
        name="second",
        title="Second",
        outline=band(0.0, 40.0, 180.0),
        references=(),
        notes=("thin line: the middle", "its own"),
    )
    words = " ".join(said(sheet) for sheet in sheets(pattern(first, other)))
    words = words.replace("\u00a0", " ")
    assert words.count("thin line: the middle") == 1
    assert words.count("spine card, 0.40 mm") == 1 + words.count("Material: spine card, 0.40 mm")
    for wanted in ("55.0 × 200.0 mm", "40.0 × 180.0 mm", "lay it dry", "its own"):
        assert wanted in words, wanted
    assert "all else as said of Inlay" in words


def test_words_set_in_columns_lose_nothing() -> None:
    """Ten paragraphs in two and three columns: the same words, lower, none in two columns, none parted."""
    lines = tuple(
        Words((0.0, 4.0 * n + 0.5 * ((n - 1) // 2)), f"line {n}", 2.5) for n in range(1, 21)
    )
    block = Block(60.0, 92.0, lines)
    for number in (2, 3):
        (made,) = columned(block, [number])
        told = [mark.text for mark in made.marks if isinstance(mark, Words)]
        assert sorted(told) == sorted(line.text for line in lines)
        assert made.height <= 92.0 / number + 6.0
        where = {one.text: one.at[0] for one in made.marks if isinstance(one, Words)}
        assert all(where[f"line {n}"] == where[f"line {n + 1}"] for n in range(1, 21, 2))
        assert made.width <= number * 65.0


@pytest.mark.parametrize("change", ["outline", "thickness", "hole", "grain"])
def test_pieces_that_differ_by_more_than_the_cut_are_drawn_each(change: str) -> None:
    """0.6 mm of width, another thickness, a hole moved by 0.1 mm, another grain: two drawings."""
    first = replace(inlay(), holes=(Hole((20.0, 50.0)),))
    other = {
        "outline": replace(first, outline=((2.5, 0.0), (52.5, 0.0), (54.4, 200.0), (0.0, 200.0))),
        "thickness": replace(first, thickness_mm=first.thickness_mm + 0.1),
        "hole": replace(first, holes=(Hole((20.1, 50.0)),)),
        "grain": replace(first, grain="spine-fore edge"),
    }[change]
    made = sheets(pattern(first, replace(other, name="second")))
    cut = [
        m
        for sheet in made
        for m in sheet.drawing.marks
        if isinstance(m, Line) and m.kind is LineKind.CUT and m.closed
    ]
    assert len(cut) == 2


def large() -> Piece:
    """Return a plain sheet of 360 × 300 with one crease: six sheets of A4."""
    return replace(
        inlay(),
        name="large",
        title="Large sheet",
        outline=band(0.0, 360.0, 300.0),
        zones=(),
        labels=(),
        references=(),
        dimensions=(),
        folds=(Fold("valley", ((120.0, 0.0), (120.0, 300.0)), "fold"),),
    )


def test_a_large_plain_piece_is_measured_off_from_one_page() -> None:
    """Drawn small with no line to cut along; its sizes, crease and diagonal are its own.

    The diagonal of 360 × 300 is 468.6 by hand.
    """
    (sheet,) = sheets(pattern(large()))
    words = said(sheet).replace("\u00a0", " ")
    for wanted in (
        "360.0",
        "300.0",
        "120.0",
        "diagonal 468.6",
        "NOT FULL SIZE",
        "waste paper first",
    ):
        assert wanted in words, wanted
    assert not [m for m in sheet.drawing.marks if isinstance(m, Line) and m.kind is LineKind.CUT]
    assert_clear(sheet.drawing)


def test_nothing_is_cut_along_on_a_crowded_ruler_sheet() -> None:
    """With more notes than a page holds beside it, the small drawing still has no cutting line."""
    crowded = replace(large(), notes=("Note what was found here, and why it was left. " * 12,) * 4)
    made = sheets(pattern(crowded))
    (drawn,) = [one for one in made if crowded.name in one.pieces]
    assert said(drawn).count("NOT FULL SIZE: 1:3") == 1  # whatever page its notes stand on
    kinds = [m.kind for s in made for m in s.drawing.marks if isinstance(m, Line)]
    assert LineKind.OUTLINE in kinds
    assert LineKind.CUT not in kinds


def test_everything_can_be_had_at_full_size_and_plain_pieces_small() -> None:
    """`all` tiles the large sheet; `shaped` draws even the small plain one small; holes never."""
    tiled = numbered(plan(Layout(pattern(large()), parse("A4"), NONE, "all")))
    assert len(tiled) >= 4
    assert all("NOT FULL SIZE" not in said(sheet) for sheet in tiled)
    creased = (Fold("valley", ((120.0, 0.0), (120.0, 100.0)), "fold"),)
    small = replace(large(), outline=band(0.0, 150.0, 100.0), folds=creased)
    (shown,) = numbered(plan(Layout(pattern(small), parse("A4"), NONE, "shaped")))
    assert "NOT FULL SIZE" in said(shown)
    pierced = replace(small, holes=(Hole((20.0, 50.0)),))
    (full,) = numbered(plan(Layout(pattern(pierced), parse("A4"), NONE, "shaped")))
    assert "NOT FULL SIZE" not in said(full)


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


@pytest.mark.parametrize("order", orders(), ids=lambda one: "+".join(one.structures))
def test_every_joint_says_what_is_trimmed(order: Order) -> None:
    """Each line along which a sheet is trimmed has its words, on the part that goes."""
    for sheet in numbered(plan(Layout(draft(order).pattern, order.paper))):
        lines = [
            mark.points
            for mark in sheet.drawing.marks
            if isinstance(mark, Line) and mark.kind is LineKind.MATCH and not mark.closed
        ]
        words = [m for m in sheet.drawing.marks if isinstance(m, Words) and m.text in TRIM]
        assert len(words) == len(lines), sheet.title
        for word in words:
            box = box_of(word)
            ahead = [a[1] - box.bottom for a, b in lines if a[1] == b[1]]
            ahead += [a[0] - box.right for a, b in lines if a[0] == b[0]]
            assert any(0 < away < 2 for away in ahead), sheet.title
