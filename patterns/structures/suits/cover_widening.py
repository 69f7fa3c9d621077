"""cover_widening: whether the cover's spine is narrower than what it must go round."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from patterns.book.answer import certain
from patterns.book.book import Book
from patterns.book.covering import NARROWER_MM
from patterns.book.results import WideningResult
from patterns.book.suits import Reason, Ruling, Suits, told
from patterns.units import tenth

GIVES = WideningResult


@dataclass(frozen=True, slots=True)
class Params:
    """Settings of the widening; lengths in mm."""

    overlap: float
    turn_in: float | None
    gaps: Literal["equal", "front", "back"]
    gap_front: float | None
    strong: Literal["weft", "warp", "equal"] | None


def suits(book: Book, _params: Params) -> Suits:
    """Answer a cover that no longer closes at its spine; refuse one that is wide enough."""
    reason = Reason(
        "narrow cover",
        "the sides keep their own spine, set on a wider one beneath it",
        "will not close a book whose fore edge is the thicker"
        if book.swollen_mm
        else "the new piece shows as a gap each side of the old spine",
    )
    return Suits(reasons=(reason,), rulings=told(_wide(book)))


def _wide(book: Book) -> Iterator[Ruling]:
    needed, spines = old_needed_mm(book), spines_mm(book)
    if max(lacks_mm(book)) <= NARROWER_MM:
        yield Ruling(
            f"the cover's spine is not narrower: {tenth(spines[0])} mm at the head and "
            f"{tenth(spines[1])} at the tail where {tenth(needed[0])} and {tenth(needed[1])} are needed; "
            "leave the cover as it is, and look for what keeps it open at the fore edge"
        )


def under_mm(book: Book) -> float:
    """Return the thickness the cover goes round, bars of a new sewing counted in full.

    An inlay drafted with it is pasted to its inner face and lies within it.
    """
    return book.lies_on_mm + book.bars_mm + book.inlay_mm


def needed_mm(book: Book) -> tuple[float, float]:
    """Return what must lie between the sides at head and tail, for a piece of the cloth's thickness."""
    return book.covering.needed_mm(under_mm(book), book.material("cloth").thickness_mm)


def old_needed_mm(book: Book) -> tuple[float, float]:
    """Return how wide the cover's old spine, of its own thickness, would have to be."""
    return book.covering.needed_mm(under_mm(book), book.cover_thickness.value)


def lacks_mm(book: Book) -> tuple[float, float]:
    """Return by how much the old spine is too narrow at head and tail."""
    return book.covering.lacks_mm(under_mm(book))


def spines_mm(book: Book) -> list[float]:
    """Return the cover's spine as measured, at head and tail."""
    old = certain(book.cover_spine, "cover.spine_width|cover.spine_strip")
    return [old.head_mm, old.tail_mm]


def adds_mm(book: Book, _params: Params) -> float:
    """Return what it adds over the spine."""
    return book.material("cloth").thickness_mm
