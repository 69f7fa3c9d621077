"""board_paper: its settings; it suits every book that has boards."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from patterns.book.book import Book
from patterns.book.results import BoardPaperResult
from patterns.book.suits import Ruling, Suits, told
from patterns.structures.shared import against

GIVES = BoardPaperResult


@dataclass(frozen=True, slots=True)
class Params:
    """Settings of the board papers; lengths in mm, growth in %."""

    margin: float
    fit: Literal["margin", "block"]
    start: Literal["joint", "board"] | None
    grain: Literal["head-tail", "spine-fore edge"]
    growth_along: float | None
    growth_across: float | None
    opening: float


def suits(book: Book, _params: Params) -> Suits:
    """Answer nothing, and refuse what has no boards."""
    return Suits(
        missing=book.joints_waiting,
        rulings=told(kind(book), against.heat(book, "adhesive"), _rotted(book)),
    )


def kind(book: Book) -> Iterator[Ruling]:
    """Refuse a limp cover."""
    yield from against.limp(book)


def _rotted(book: Book) -> Iterator[Ruling]:
    """Refuse a wet paper over turn-ins of red-rotted leather."""
    if book.condition.leather == "red-rot" and book.materials["adhesive"].sets == "water":
        yield Ruling(
            "the paper lies on turn-ins of red-rotted leather, and nothing wet goes on them: set it without water "
            "(adhesive), or leave the boards as they are",
            lifted_by="adhesive=…",
        )
