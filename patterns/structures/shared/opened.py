"""Who lifts the covering from the spine: a structure that lies on bare folds, or one drafted with it."""

from __future__ import annotations

from patterns.book.book import Book
from patterns.book.results import CasingResult, LiningResult, RebackResult, SewnLiningResult


def rebacked(book: Book) -> bool:
    """Tell whether a reback in the same pattern lifts the covering, before all else, and lays it down again."""
    return book.expects(RebackResult)


def covered(book: Book) -> bool:
    """Tell whether the spine still lies beneath its covering when a structure comes to it."""
    lined = book.result(LiningResult) is not None or book.result(SewnLiningResult) is not None
    return not (lined or rebacked(book) or book.expects(CasingResult))
