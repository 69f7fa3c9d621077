"""How much paper the demonstration takes on A4: what was won is not lost again."""

from __future__ import annotations

import pytest

from patterns.commands.demo import orders
from patterns.drafting.job import draft
from patterns.sheets import whole
from patterns.sheets.page import Layout

ORDERS = {str(order.record.book.id): order for order in reversed(orders())}
"""The first order of each book."""
MOST = {
    "logbook": 18,
    "atlas": 10,
    "seaweed_album": 10,
    "almanac": 11,
    "chart_book": 9,
    "light_list": 9,
    "signal_book": 5,
}
"""Pages at most, counted on the sheets as they were looked at, page by page."""


@pytest.mark.parametrize("name", MOST)
def test_a_book_takes_no_more_paper_than_it_needs(name: str) -> None:
    order = ORDERS[name]
    made = whole.sheets(Layout(draft(order).pattern, order.paper))
    assert len(made) <= MOST[name]
    groups = [sheet.group for sheet in made]
    assert groups[0] == "overview"
    words = [group in ("overview", "steps") for group in groups]
    assert words == sorted(words, reverse=True)  # overview and steps, then what is cut


@pytest.mark.parametrize("name", MOST)
def test_every_piece_and_drawing_stands_on_some_page(name: str) -> None:
    order = ORDERS[name]
    pattern = draft(order).pattern
    shown = {one for sheet in whole.sheets(Layout(pattern, order.paper)) for one in sheet.pieces}
    for part in pattern.parts:
        assert {piece.name for piece in part.pieces if not piece.drawn_as} <= shown
        assert {diagram.name for diagram in part.diagrams} <= shown
