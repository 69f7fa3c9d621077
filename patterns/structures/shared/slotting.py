"""Whether the boards can be slotted: the slot says so itself, and the other board joints go by it."""

from __future__ import annotations

from patterns.book.boards import SIDES
from patterns.book.book import Book
from patterns.formulas import slots

KERF_MM = 0.35
"""A slot as it comes, before any setting: the cut for fine cotton cloth."""


def slotted_board_mm(book: Book) -> float | None:
    """Return the thinner board, thick enough for a slot and with a shoulder to turn on; else None."""
    unfit = book.limp or book.cover_kind == "wooden boards" or lowest_shoulder_mm(book) == 0
    return None if unfit or too_thin(book) else book.thinnest_board_mm


def too_thin(book: Book) -> bool:
    """Tell whether a board is too thin, by what calipers err, for a slot as it comes."""
    board = book.thinnest_board_mm
    least = slots.least_board_mm(KERF_MM, error_mm=book.caliper.value)
    return board is not None and board < least - 1e-9


def lowest_shoulder_mm(book: Book) -> float:
    """Return the lower of the two shoulders."""
    return min(map(book.shoulder_mm, SIDES))
