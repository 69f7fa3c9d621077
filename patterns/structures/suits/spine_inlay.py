"""spine_inlay: whether anything is left between cover and block to stiffen."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from patterns.book.answer import certain
from patterns.book.book import Book
from patterns.book.results import InlayResult, WideningResult
from patterns.book.suits import Ruling, Suits, told
from patterns.units import tenth

GIVES = InlayResult

LEAST_MM = 3.0
"""A narrower inlay can be neither moulded nor pasted true (practice)."""


@dataclass(frozen=True, slots=True)
class Params:
    """Settings of the inlay, in mm."""

    clearance: float


def suits(book: Book, params: Params) -> Suits:
    """Refuse a spine too narrow for an inlay."""
    return Suits(rulings=told(_narrow(book, params)))


def _narrow(book: Book, params: Params) -> Iterator[Ruling]:
    width = min(widths(book, params))
    if width < LEAST_MM:
        yield Ruling(
            f"{tenth(width)} mm is left for the inlay, and under {LEAST_MM:g} mm nothing can be "
            "moulded or pasted true; leave the spine without an inlay"
        )


def layers(book: Book) -> list[float]:
    """Return how wide the inlay's own layer is over the block, at head and tail."""
    height, top = book.cover_height.value, book.cover_top_mm
    thickness = book.material("inlay").thickness_mm
    return [book.spine.layer_mm(book.lies_on_mm, thickness, at) for at in (top, top + height)]


def widths(book: Book, params: Params) -> list[float]:
    """Return the inlay's width at head and tail: the narrower of layer and cover, less both clearances."""
    pairs = zip(layers(book), cover_spine(book), strict=True)
    return [min(pair) - 2 * params.clearance for pair in pairs]


def cover_spine(book: Book) -> list[float]:
    """Return the cover's spine at head and tail: as widened in this pattern, else as measured."""
    new = book.result(WideningResult)
    if new is not None:
        return [new.needed_head_mm, new.needed_tail_mm]
    old = certain(book.cover_spine, "cover.spine_width")
    return [old.head_mm, old.tail_mm]
