"""spine_inlay: whether anything is left between cover and block to stiffen."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from patterns.book.answer import certain
from patterns.book.book import Book
from patterns.book.covering import NARROWER_MM
from patterns.book.results import InlayResult, WideningResult
from patterns.book.suits import Ruling, Suits, told
from patterns.units import at_ends, tenth

GIVES = InlayResult

LEAST_MM = 3.0
"""A narrower inlay can be neither moulded nor pasted true (practice)."""


@dataclass(frozen=True, slots=True)
class Params:
    """Settings of the inlay, in mm."""

    clearance: float


def suits(book: Book, params: Params) -> Suits:
    """Refuse a spine too narrow for an inlay, and a cover too narrow for its joints."""
    return Suits(rulings=told(_joints(book), _narrow(book, params)))


def _joints(book: Book) -> Iterator[Ruling]:
    """Refuse an inlay that could lie between the joints only if it were much narrower than the spine."""
    held = room(book)
    if book.limp or held is None or book.expects(WideningResult):
        return
    wide = layers(book)
    if min(has - needs for has, needs in zip(held, wide, strict=True)) < -NARROWER_MM:
        yield Ruling(
            f"between its joints the cover's spine leaves {at_ends(held)} mm where {at_ends(wide)} are needed: the "
            "inlay would lie in the joints and bind them, or leave the sides of the spine bare; widen the cover "
            "first: draft cover_widening with it, or tie or box the book and do nothing",
            tie_or_box=True,
        )


def _narrow(book: Book, params: Params) -> Iterator[Ruling]:
    width = min(widths(book, params))
    if width < LEAST_MM:
        yield Ruling(
            f"{tenth(width)} mm is left for the inlay, and under {LEAST_MM:g} mm nothing can be "
            "moulded or pasted true; leave the spine without an inlay"
        )


def lies_on_mm(book: Book) -> float:
    """Return the thickness beneath the inlay; a piece that widens the cover lies over it."""
    new = book.result(WideningResult)
    return book.lies_on_mm - (0.0 if new is None else new.piece.thickness_mm)


def layers(book: Book) -> list[float]:
    """Return how wide the inlay's own layer is over the block, at head and tail."""
    thickness, under = book.material("inlay").thickness_mm, lies_on_mm(book)
    return [book.spine.layer_mm(under, thickness, at) for at in book.covering.ends_mm]


def widths(book: Book, params: Params) -> list[float]:
    """Return the inlay's width at head and tail: the narrower of layer and room, less both clearances."""
    wide, held = layers(book), room(book)
    if held is not None:
        wide = [min(pair) for pair in zip(wide, held, strict=True)]
    return [width - 2 * params.clearance for width in wide]


def cover_spine(book: Book) -> list[float] | None:
    """Return the cover's spine at head and tail: as widened in this pattern, else as measured.

    None for boards still laced to their block, of which nobody has read it. Raises RecordError for
    any other cover that was not measured.
    """
    new = book.result(WideningResult)
    if new is not None:
        return [new.needed_head_mm, new.needed_tail_mm]
    old = book.cover_spine
    if old is None and book.laced:
        return None
    old = certain(old, "cover.spine_width|cover.spine_strip")
    return [old.head_mm, old.tail_mm]


def room(book: Book) -> list[float] | None:
    """Return what lies between the joints at head and tail: the cover's spine less both ways over them.

    None where the cover's spine is not known. Raises RecordError where a way is not.
    """
    spans = cover_spine(book)
    return None if spans is None else [span - book.covering.over_joints_mm for span in spans]


def adds_mm(book: Book, _params: Params) -> float:
    """Return what it adds over the spine."""
    return book.material("inlay").thickness_mm
