"""The overview holds everything that a person must know before the first cut, and never overflows."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings

from patterns.commands.demo import orders
from patterns.drafting.job import draft
from patterns.model.drawing import Words
from patterns.model.part import Check, Part
from patterns.model.pattern import Pattern
from patterns.model.piece import Piece, Zone
from patterns.model.sheet import Sheet
from patterns.sheets import whole
from patterns.sheets.flow import height_mm
from patterns.sheets.overview import Entry, overview
from patterns.sheets.page import Layout
from patterns.sheets.text_pages import column
from patterns.sketch.marks import box_of
from patterns.stock.paper import Paper, parse
from patterns.stock.printer import Correction
from tests.clear import assert_clear
from tests.some_patterns import PATTERNS, rectangle
from tests.text_pages import overview_of

LYING = Paper("A5 lying", 210.0, 148.0)
SMALL = (parse("A5"), LYING, parse("A4"), parse("letter"))

WARNING = (
    "joint_gap not given: 1.0 mm is assumed. Measure it between the base of the shoulder and the "
    "board's spine edge, or tie the book up in a box and leave it as it is."
)
PIECE = Piece(
    "tube", "hollow_tube", "kraft lining paper", 0.12, rectangle(153.94, 328.0), "head-tail", 2
)
PART = Part(
    "hollow_tube",
    "Hollow tube",
    None,
    (PIECE, replace(PIECE, name="gauge", stock=False, quantity=1)),
    boxes=("TOO WEAK: sew more stitches.",),
    checks=(Check("strip against panel", 3.0114, "", "three times the rounded spine"),),
)
PATTERN = Pattern(
    "TIDE-1",
    "Tide almanac",
    ("hollow_tube",),
    "2026-11-25",
    "0.1.0",
    (PART,),
    (),
    (WARNING,),
    measurements=(("girth at head", "52.1 mm by strip"),),
    materials=(("kraft lining paper", "tube 2 × 153.9 × 328.0"), ("linen thread", "7.5 m")),
)
ORDERS = {f"{o.record.book.id}-{o.structures[-1]}": o for o in orders()}
CONTENTS = (Entry("1", "overview"), Entry("2–3", "tube", (("hollow_tube", "tube"),)))


def words(sheets: tuple[Sheet, ...]) -> list[str]:
    return [m.text for sheet in sheets for m in sheet.drawing.marks if isinstance(m, Words)]


def run_together(sheets: tuple[Sheet, ...]) -> str:
    return "".join(words(sheets)).replace(" ", "")


def test_warnings_stand_in_full_and_boxed_words_first() -> None:
    said = run_together(overview_of(Layout(PATTERN, parse("A5"))))
    assert WARNING.replace(" ", "") in said
    assert said.index("TOOWEAK") < said.index("joint_gap")


def test_no_warning_is_said_in_so_many_words() -> None:
    calm = replace(PATTERN, warnings=(), parts=(replace(PART, boxes=()),))
    assert "Noneforthisbook." in run_together(overview_of(Layout(calm, parse("A4"))))


def test_pieces_sheets_figures_materials_and_tools_are_listed() -> None:
    layout = Layout(replace(PATTERN, tools=("bone folder",)), parse("A4"))
    said = words(overview_of(layout, CONTENTS))
    for wanted in (
        "153.9\u00a0×\u00a0328.0",
        "kraft lining paper, 0.12 mm",
        "gauge,\u00a0page\u00a0",
        "head–tail",
        "2–3",
        "girth\u00a0at\u00a0head\u00a052.1\u00a0mm\u00a0by\u00a0strip",
        "kraft lining paper",
        "linen thread: 7.5 m",
        "bone folder",
    ):
        assert wanted in said
    assert "1\u00a0overview · 2–3\u00a0tube" in said  # the list; the piece says its page as well


def test_printing_says_the_correction_the_tolerance_and_what_can_be_reached() -> None:
    """0.9 mm at 300 mm (k = 2) is the figure of the mechanics' print-scale section."""
    layout = Layout(PATTERN, parse("A4"), Correction(1.0050251, 0.997009, "desk"))
    said = run_together(overview_of(layout))
    assert "desk,across×1.0050,down×0.9970" in said
    assert "99.7to100.3mm" in said
    assert "±0.9mmat300mm" in said


def test_pages_are_numbered_of_all() -> None:
    sheets = overview_of(Layout(PATTERN, parse("A5")))
    of = f" of {len(sheets)} · "
    numbers = [text.split(" · ")[0] for text in words(sheets) if of in text]
    assert numbers == [f"{n} of {len(sheets)}" for n in range(1, len(sheets) + 1)]


@pytest.mark.parametrize("name", ["A3", "A0", "B4", "tabloid", "roll:610"])
def test_large_papers_hold_it_on_one_clear_page(name: str) -> None:
    (sheet,) = overview_of(Layout(PATTERN, parse(name)), CONTENTS)
    assert_clear(sheet.drawing)


@settings(max_examples=25, deadline=None)
@given(PATTERNS)
def test_words_never_meet_nor_leave_the_page(pattern: Pattern) -> None:
    pieces = [piece.name for part in pattern.parts for piece in part.pieces]
    contents = [Entry(str(n), name, (("", name),)) for n, name in enumerate(pieces, 2)]
    for paper in SMALL:
        for sheet in overview_of(Layout(pattern, paper), contents):
            assert_clear(sheet.drawing)


def test_a_roll_is_cut_off_below_the_words() -> None:
    (sheet,) = overview_of(Layout(PATTERN, parse("roll:610")), CONTENTS)
    lowest = max(box_of(mark).bottom for mark in sheet.drawing.marks)
    assert sheet.drawing.width_mm == 610.0
    assert 148.0 <= sheet.drawing.height_mm < 260.0
    assert lowest < sheet.drawing.height_mm < lowest + 15.0


@settings(max_examples=40, deadline=None)
@given(PATTERNS)
def test_the_first_page_is_the_whole_overview_however_much_there_is_to_say(
    pattern: Pattern,
) -> None:
    """Warnings of forty words of ninety letters: each begins on the page, and stands in full behind."""
    layout = Layout(pattern, parse("A4"))
    made = overview(layout, [Entry(str(n), f"page {n}") for n in range(2, 60)])
    assert height_mm(made.first) <= column(layout).height
    said, all_said = (
        "".join(m.text for one in strips for m in one.marks if isinstance(m, Words)).replace(
            " ", ""
        )
        for strips in (made.first, (*made.first, *made.rest))
    )
    for text in (*pattern.warnings, *(box for part in pattern.parts for box in part.boxes)):
        assert text.replace(" ", "")[:20] in said
        assert text.replace(" ", "") in all_said
    for part in pattern.parts:
        for piece in part.pieces:
            assert (piece.title or piece.name)[:2].strip() in all_said


@pytest.mark.parametrize("name", ORDERS)
def test_every_demonstration_has_its_overview_on_one_page(name: str) -> None:
    """All warnings in full, every piece that is cut, every material; cautions stand once, behind it."""
    order = ORDERS[name]
    pattern = draft(order).pattern
    made = whole.sheets(Layout(pattern, order.paper))
    assert [sheet.group for sheet in made].count("overview") == 1
    first = run_together(made[:1])
    for text in (*pattern.warnings, *pattern.stops):
        assert text.replace(" ", "") in first
    for part in pattern.parts:
        for piece in part.pieces:
            assert all(word in first for word in (piece.title or piece.name).split())
    for material, _ in pattern.materials:
        assert material.replace(" ", "") in first
    told = words(made)
    assert told.count("Cautions") == 1
    ending = (
        "Follow your institution's and local safety rules; ask a qualified person where in doubt."
    )
    assert told.count(ending) == 1
    assert ending in words(made[:2])


@settings(max_examples=10, deadline=None)
@given(PATTERNS)
def test_the_same_pattern_gives_the_same_pages(pattern: Pattern) -> None:
    layout = Layout(pattern, parse("A4"))
    assert overview_of(layout) == overview_of(layout)


def test_a_guide_is_listed_on_its_own_page_of_several_with_one_title() -> None:
    guide = next(piece for part in PATTERN.parts for piece in part.pieces if not piece.stock)
    title = guide.title or guide.name
    contents = (
        Entry("2", "Tube", ((guide.structure, guide.name),)),
        Entry("3", "Tube"),
        Entry("4", "Tube"),
    )
    said = " ".join(words(overview_of(Layout(PATTERN, parse("A4")), contents)))
    assert f"{title}, page 2".replace(" ", "\u00a0") in said
    assert "2–4\u00a0Tube" in said


def test_an_adhesive_that_the_condition_asks_for_is_listed_once() -> None:
    (part, *others) = PATTERN.parts
    (first, *rest) = part.pieces
    ring = first.outline
    glued = replace(first, zones=(Zone("pasted", "under", "spine", ring, "ether in ethanol"),))
    pattern = replace(
        PATTERN,
        parts=(replace(part, pieces=(glued, *rest)), *others),
        materials=(*PATTERN.materials, ("ether (of wood) in ethanol", "step 4")),
    )
    said = words(overview_of(Layout(pattern, parse("A4")), CONTENTS))
    assert "ether (of wood) in ethanol: step 4" in said
    assert "ether in ethanol" not in said


def test_pieces_of_one_name_in_two_structures_are_listed_on_their_own_pages() -> None:
    """Both linings of the day book are called so; each row names the pages that show its own title."""
    (order,) = [one for one in orders() if one.record.book.id == "day_book"]
    made = whole.sheets(Layout(draft(order).pattern, order.paper))
    first = [mark for mark in made[0].drawing.marks if isinstance(mark, Words)]
    for title in ("spine lining", "lining cloth"):
        (row,) = [mark for mark in first if mark.text == title]
        listed = [mark for mark in first if abs(mark.at[1] - row.at[1]) < 0.1]
        page = max(listed, key=lambda mark: mark.at[0]).text
        shown = [n for n, sheet in enumerate(made, 1) if title.capitalize() in bold(sheet)]
        assert [page] == [str(n) for n in shown], title


def bold(sheet: Sheet) -> set[str]:
    """Return what stands upright in bold on a page as large as a piece's own name, its title apart."""
    words = [mark for mark in sheet.drawing.marks if isinstance(mark, Words) and mark.bold]
    return {mark.text for mark in words if mark.angle_deg or mark.anchor == "middle"}
