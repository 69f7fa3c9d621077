"""sewn_cloth_joint: the row of its holes alone."""

from __future__ import annotations

from patterns.book.book import Book
from patterns.structures.shared.hole_row import hole_heights
from patterns.structures.suits.sewn_cloth_joint import Params


def places(book: Book, params: Params) -> tuple[float, ...]:
    """Return the heights of the row: supports first, whatever old holes lie beside them.

    Raises SettingError where no row is left.
    """
    supports = book.old_sewing.supports_mm
    return hole_heights(book.height_mm, end_mm(book, params), supports, off_mm(book, params))


def end_mm(book: Book, params: Params) -> float:
    """Return where the row begins and ends, from head and tail: clear of the endbands' tie-downs."""
    tied = book.tie_down.value
    return max(params.end, tied + params.clear) if tied else params.end


def off_mm(book: Book, params: Params) -> float:
    """Return how far from the middle of a support no hole is pricked."""
    return book.old_sewing.support_width_mm / 2 + params.clear
