"""Who lifts the covering from the spine, and what the cover waits for, or lets wait."""

from __future__ import annotations

from patterns.book.book import Book
from patterns.book.results import (
    CasingResult,
    LiningResult,
    RebackResult,
    SewnLiningResult,
    WideningResult,
)


def rebacked(book: Book) -> bool:
    """Tell whether a reback in the same pattern lifts the covering, before all else, and lays it down again."""
    return book.expects(RebackResult)


def covered(book: Book) -> bool:
    """Tell whether the spine still lies beneath its covering when a structure comes to it."""
    lined = book.result(LiningResult) is not None or book.result(SewnLiningResult) is not None
    return not (lined or rebacked(book) or book.expects(CasingResult))


def cover_first(book: Book) -> bool:
    """Tell whether the old cover is made ready by itself before block and boards are joined.

    The block goes back into its case, or the cover is widened round it and taken off again.
    """
    widened = book.expects(WideningResult) and not rebacked(book)
    return widened or book.expects(CasingResult)
