"""Raised bands beneath a cloth that goes over the whole spine: what it lacks by the way over them."""

from __future__ import annotations

from math import hypot

from patterns.book.book import Book
from patterns.units import tenth


def over_bands(book: Book, setbacks: tuple[float, float]) -> tuple[str, ...]:
    """Say how much longer cloth and tissue must be to lie over the raised supports they cross.

    Over a band of width w and height r the way is 2·√(r² + (w/2)²), less w where it was flat.
    """
    if book.supports != "raised":
        return ()
    top, bottom = setbacks[0], book.height_mm - setbacks[1]
    crossed = [y for y in book.old_sewing.supports_mm if top < y < bottom]
    if not crossed:
        return ()
    rise, wide = book.old_sewing.rise_mm, book.old_sewing.support_width_mm
    needs = (
        "more from head to tail than drawn; measure how high they are (sewing.support_height)"
        if rise is None
        else f"{tenth(len(crossed) * (2 * hypot(rise, wide / 2) - wide))} mm more from head to tail than drawn"
    )
    return (
        f"the cloth and its tissue are drawn for the spine between the raised supports; laid over {len(crossed)} of them "
        f"they need {needs}: cut them so much higher, or cut a window for each",
    )
