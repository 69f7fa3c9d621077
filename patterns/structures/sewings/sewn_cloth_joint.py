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
    return hole_heights(book.height_mm, params.end, supports, off_mm(book, params))


def off_mm(book: Book, params: Params) -> float:
    """Return how far from the middle of a support no hole is pricked."""
    return book.old_sewing.support_width_mm / 2 + params.clear
