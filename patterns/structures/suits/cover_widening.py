"""cover_widening: whether the cover's spine is narrower than what it must go round."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from patterns.book.answer import certain
from patterns.book.boards import SIDES
from patterns.book.book import Book
from patterns.book.results import AlbumResult, WideningResult
from patterns.book.suits import Reason, Ruling, Suits, told
from patterns.units import tenth

GIVES = WideningResult

NARROWER_MM = 1.0
"""A cover narrower by no more than this still closes."""


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
    needed, spines = needed_mm(book), spines_mm(book)
    if max(need - has for need, has in zip(needed, spines, strict=True)) <= NARROWER_MM:
        yield Ruling(
            f"the cover's spine is not narrower: {tenth(spines[0])} mm at the head and "
            f"{tenth(spines[1])} at the tail where {tenth(needed[0])} and {tenth(needed[1])} are needed; "
            "leave the cover as it is, and look for what keeps it open at the fore edge"
        )


def needed_mm(book: Book) -> list[float]:
    """Return what must lie between the inner folds of the sides at the cover's head and tail."""
    height, top = book.cover_height.value, book.cover_top_mm
    front, back = (book.gap(side).value for side in SIDES)
    thickness = book.material("cloth").thickness_mm
    return [girth_mm(book, thickness, at) + front + back for at in (top, top + height)]


def spines_mm(book: Book) -> list[float]:
    """Return the cover's spine as measured, at head and tail."""
    old = certain(book.cover_spine, "cover.spine_width")
    return [old.head_mm, old.tail_mm]


def girth_mm(book: Book, thickness: float, at: float) -> float:
    """Return a(u, t), or the flat spine of an album whose leaves are guarded in the same pattern."""
    guarded = book.result(AlbumResult)
    if guarded is not None:
        return guarded.spine_mm
    return book.spine.layer_mm(book.lies_on_mm, thickness, at)
