"""How much paper the demonstration takes on A4: what was won is not lost again."""

from __future__ import annotations

import io
from functools import cache
from itertools import combinations, groupby

import pytest
from pypdf import PdfReader

from patterns.commands.demo import orders
from patterns.drafting.job import draft
from patterns.model.drawing import Words
from patterns.model.sheet import Sheet
from patterns.sheets import whole
from patterns.sheets.page import Layout
from patterns.sheets.tile import TRIM
from patterns.stock.paper import parse
from patterns.writers import pdf
from tests.paper_used import Printed, one_page_takes, printed

ORDERS = {str(order.record.book.id): order for order in reversed(orders())}
"""The first order of each book."""
MOST = {
    "logbook": 15,
    "atlas": 8,
    "seaweed_album": 9,
    "almanac": 8,
    "chart_book": 7,
    "light_list": 6,
    "signal_book": 4,
}
"""Pages at most, counted on the sheets as they were looked at, page by page."""
LEAST_USED = 0.2


@cache
def laid(name: str) -> tuple[Sheet, ...]:
    order = ORDERS[name]
    return whole.sheets(Layout(draft(order).pattern, order.paper, suggests=True))


@cache
def pages(name: str) -> list[Printed]:
    """Return the pages behind the steps, read back from the PDF."""
    (data,) = pdf.write(laid(name), name, ())
    return printed(data)


@pytest.mark.parametrize("name", MOST)
def test_a_book_takes_no_more_paper_than_it_needs(name: str) -> None:
    made = laid(name)
    assert len(made) <= MOST[name]
    groups = [sheet.group for sheet in made]
    assert groups[0] == "overview"
    words = [group in ("overview", "steps") for group in groups]
    assert words == sorted(words, reverse=True)  # overview and steps, then what is cut


@pytest.mark.parametrize("name", MOST)
def test_the_overview_suggests_a_larger_paper_with_the_sheets_that_it_really_takes(
    name: str,
) -> None:
    """Counted on the sheets drawn for A3; on A3 itself nothing is suggested."""
    pattern = draft(ORDERS[name]).pattern
    there = whole.sheets(Layout(pattern, parse("A3"), suggests=True))
    assert f"on A3: {len(there)} sheets in all" in said(laid(name)[0])
    assert "sheets in all" not in said(there[0])
    assert len(there) < len(laid(name))


def said(sheet: Sheet) -> str:
    words = " ".join(m.text for m in sheet.drawing.marks if isinstance(m, Words))
    return words.replace("\u00a0", " ")


@pytest.mark.parametrize("name", MOST)
def test_each_sheet_that_is_pasted_over_another_says_where_to_trim(name: str) -> None:
    """Of a drawing on two sheets the second; the first is pasted over nothing."""
    for sheet in laid(name):
        count = sum(isinstance(m, Words) and m.text in TRIM for m in sheet.drawing.marks)
        if "sheet 1 of 2" in sheet.title or "sheet" not in sheet.title:
            assert count == 0, sheet.title
        else:
            assert count == 1, sheet.title


@pytest.mark.parametrize("name", MOST)
def test_every_piece_and_drawing_stands_on_some_page(name: str) -> None:
    pattern = draft(ORDERS[name]).pattern
    shown = {one for sheet in laid(name) for one in sheet.pieces}
    for part in pattern.parts:
        assert {piece.name for piece in part.pieces if not piece.drawn_as} <= shown
        assert {diagram.name for diagram in part.diagrams} <= shown


@pytest.mark.parametrize("name", MOST)
def test_no_two_pages_of_a_phase_stand_for_what_one_could(name: str) -> None:
    """What stands on two pages of a phase, read from the PDF, finds no room on either of them."""
    for one, other in combinations(pages(name), 2):
        if one.phase == other.phase:
            items = [*one.items, *other.items]
            assert not any(one_page_takes(items, page.size) for page in (one, other)), (
                one.title,
                other.title,
            )


@pytest.mark.parametrize("name", MOST)
def test_no_page_is_nearly_empty_that_another_could_hold(name: str) -> None:
    """A page under a fifth full is joined to another wherever another has the room."""
    for page in pages(name):
        others = [one for one in pages(name) if one is not page]
        if page.used < LEAST_USED:
            held = [one_page_takes([*page.items, *one.items], one.size) for one in others]
            assert not any(held), page.title


def test_pages_are_listed_under_the_phases_of_the_work_in_their_order() -> None:
    """The outline of the PDF: overview and steps, then what is cut by phase, each phase once."""
    made = laid("logbook")
    (data,) = pdf.write(made, "logbook", ())
    outline = PdfReader(io.BytesIO(data)).outline
    assert [str(one.title) for one in outline[:2] if not isinstance(one, list)] == [
        "Overview",
        "Steps",
    ]
    phases = [page.phase for page in pages("logbook")]
    assert list(dict.fromkeys(phases)) == [phase for phase, _ in groupby(phases)]
    assert phases[0] == "Boards"
    assert len(phases) == sum(sheet.group not in ("overview", "steps") for sheet in made)


def test_what_is_cut_can_be_had_alone() -> None:
    """Only pages with pieces, every piece on one of them, and no drawing to look at."""
    order = ORDERS["light_list"]
    pattern = draft(order).pattern
    made = whole.sheets(Layout(pattern, order.paper, shown="cutting"))
    drawings = {diagram.name for part in pattern.parts for diagram in part.diagrams}
    shown = {name for sheet in made for name in sheet.pieces}
    assert shown == {piece.name for part in pattern.parts for piece in part.pieces}
    assert not shown & drawings
    assert len(made) < len(laid("light_list")) - 2


def test_an_empty_page_and_two_halves_are_told() -> None:
    """The judge itself: two halves of a page fit one, two of three fifths do not."""
    assert one_page_takes([(190.0, 120.0), (190.0, 120.0)], (190.0, 245.0))
    assert not one_page_takes([(190.0, 150.0), (190.0, 150.0)], (190.0, 250.0))


def test_papers_of_both_boards_are_drawn_once_and_turned_over() -> None:
    """One rectangle to cut for both; the sheet names the other with its number and size."""
    (sheet,) = [one for one in laid("light_list") if "board paper, back" in one.pieces]
    assert sheet.pieces == ("board paper, front", "board paper, back")
    words = " ".join(m.text for m in sheet.drawing.marks if isinstance(m, Words))
    assert "Turned over side to side, it serves for" in words
