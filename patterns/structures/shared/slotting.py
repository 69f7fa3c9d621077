"""Whether the boards can be slotted: the slot says so itself, and the other board joints go by it."""

from __future__ import annotations

from patterns.book.boards import SIDES
from patterns.book.book import Book

BOARD_MM = 2.0
"""A board thinner than this leaves too little wall beside a slot (practice)."""


def slotted_board_mm(book: Book) -> float | None:
    """Return the thinner board, thick enough for a slot and with a shoulder to turn on; else None."""
    board = book.thinnest_board_mm
    unfit = book.limp or book.cover_kind == "wooden boards" or lowest_shoulder_mm(book) == 0
    return None if unfit or board is None or board < BOARD_MM else board


def lowest_shoulder_mm(book: Book) -> float:
    """Return the lower of the two shoulders."""
    return min(map(book.shoulder_mm, SIDES))
