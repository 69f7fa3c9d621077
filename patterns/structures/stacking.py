"""What lies on a spine when a structure is worked out: the girth read after a sewing, and over what."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from patterns.book.book import Book
from patterns.structures import catalogue
from patterns.structures.template import Template


def lies_above(one: Template, chosen: Sequence[Template]) -> bool:
    """Tell whether a structure lies over a sewn spine: after the one that sews it in working order.

    Where none of the chosen ones does, the sewing was done before this draft: every template is read.
    """
    sewing = [each.order for each in chosen if each.swells]
    every = sewing or [each.order for each in catalogue.templates().values() if each.swells]
    return not one.sewn and not one.swells and one.order > min(every)


def met(one: Template, chosen: Sequence[Template], book: Book, lies_on_mm: float) -> Book:
    """Return the book as a structure meets it: over a sewn spine with the girths that were read there."""
    if book.sewn_girths is None or not lies_above(one, chosen):
        return book
    return read_again(book, lies_on_mm)


def read_again(book: Book, lies_on_mm: float) -> Book:
    """Return the book with the girths read after the sewing, over all that lies on its spine by then."""
    read = book.sewn_girths
    if read is None or book.spine.sewn:
        return book
    return replace(book, shape=book.spine.read_again(*read, lies_on_mm))
