"""Words that stand on another page than their piece name the pages that show it."""

from __future__ import annotations

import re

from patterns.commands.demo import orders
from patterns.drafting.job import draft
from patterns.model.drawing import Words
from patterns.sheets import whole
from patterns.sheets.page import Layout
from patterns.stock.paper import parse


def test_notes_apart_from_their_piece_name_its_pages() -> None:
    order = next(one for one in orders() if one.record.book.id == "chart_book")
    made = whole.sheets(Layout(draft(order).pattern, parse("A4")))
    said = [m.text for sheet in made for m in sheet.drawing.marks if isinstance(m, Words)]
    named = [re.fullmatch(r"To (.+), page (\d+)", text) for text in said]
    found = [one for one in named if one]
    assert [one[1] for one in found] == ["Tube strip"]
    assert "strip" in made[int(found[0][2]) - 1].pieces
    assert not any("888" in text for text in said)
