"""A lay-out that remembers the one before is the same as one that does not, and draws less."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest

from patterns.commands.demo import orders
from patterns.drafting.job import draft
from patterns.drafting.order import Order
from patterns.model.pattern import Pattern
from patterns.model.sheet import Sheet
from patterns.record import reading
from patterns.sheets import compose, item, piece_view, tiled, whole
from patterns.sheets.memory import Memory
from patterns.sheets.page import Layout
from patterns.sheets.piece_view import Face
from patterns.stock.paper import parse
from patterns.stock.printer import Correction


def order(book: str) -> Order:
    """Return what the demonstration drafts of a book first."""
    return next(one for one in orders() if one.record.book.id == book)


def with_figure(one: Order, before: str, after: str) -> Order:
    """Return an order for the same book with one line of its record changed."""
    assert before in one.record.text
    return replace(one, record=reading.parse(one.record.text.replace(before, after), "book.toml"))


def strokes() -> Iterator[tuple[str, Order]]:
    """Yield orders as they come while somebody works: each changes something, some change it back."""
    logbook = order("logbook")
    yield "as it is", logbook
    yield "the same again", logbook
    yield "one part", replace(logbook, settings={"spine_inlay.clearance": "1.5"})
    yield "a figure for all", with_figure(logbook, "height = 330", "height = 331")
    yield "words alone", with_figure(logbook, "Tapes broken", "Three tapes broken")
    yield "one structure less", replace(logbook, structures=logbook.structures[:3])
    yield "another paper", replace(logbook, paper=parse("A3"))
    yield "a printer that stretches", replace(logbook, correction=Correction(1.004, 0.997, "desk"))
    yield "another book", order("chart_book")
    yield "leaves", order("seaweed_album")
    yield "back again", logbook


def layout(one: Order, pattern: Pattern, memory: Memory | None = None) -> Layout:
    """Return the lay-out of an order."""
    return Layout(pattern, one.paper, one.correction, suggests=True, memory=memory or Memory())


def laid_out(one: Order, memory: Memory | None = None) -> tuple[Sheet, ...]:
    """Return an order's sheets."""
    return whole.sheets(layout(one, draft(one).pattern, memory))


def test_sheets_with_a_memory_are_those_without() -> None:
    """Whatever was laid out before, every mark of every sheet is the same."""
    memory = Memory()
    for name, one in strokes():
        assert laid_out(one, memory) == laid_out(one), name


@pytest.fixture
def drawn(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The names of the pieces whose views are drawn, in order."""
    names: list[str] = []
    real = piece_view.view

    def noted(face: Face, *more: object, **named: object) -> object:
        names.append(face.piece.name)
        return real(face, *more, **named)  # type: ignore[arg-type]

    monkeypatch.setattr(item, "view", noted)
    monkeypatch.setattr(tiled, "view", noted)
    return names


def test_what_did_not_change_is_not_drawn_again(drawn: list[str]) -> None:
    """The same draft draws nothing; another clearance of the inlay draws what shares its tiles alone."""
    memory, logbook = Memory(), order("logbook")
    laid_out(logbook, memory)
    every = set(drawn)
    assert "inlay" in every
    drawn.clear()
    laid_out(logbook, memory)
    assert drawn == []
    laid_out(replace(logbook, settings={"spine_inlay.clearance": "1.5"}), memory)
    assert "inlay" in drawn
    assert len(set(drawn)) <= len(every) / 2


class Enough(Exception):
    """A newer wish has come."""


def test_a_lay_out_is_given_up_between_pieces(drawn: list[str]) -> None:
    """It ends after any piece; what was drawn stays, and the next lay-out is whole and the same."""
    logbook = order("logbook")
    pattern = draft(logbook).pattern
    memory, looked = Memory(), 0

    def look_up() -> None:
        nonlocal looked
        looked += 1
        if looked == 3:
            raise Enough

    memory.look_up = look_up
    with pytest.raises(Enough):
        compose.plan(layout(logbook, pattern, memory))
    first = len(drawn)
    again = whole.sheets(layout(logbook, pattern, memory))
    both = len(drawn)
    assert again == laid_out(logbook)
    assert 0 < first < both
    assert len(drawn) - both == both  # nothing that was drawn before was drawn again


def test_a_memory_holds_no_more_than_the_last_lay_out() -> None:
    """Ten books' worth of strokes leave as much behind as the last alone."""
    memory, alone = Memory(), Memory()
    for _, one in strokes():
        laid_out(one, memory)
    laid_out(order("logbook"), alone)
    assert memory._held.keys() == alone._held.keys()
