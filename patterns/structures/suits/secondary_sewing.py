"""secondary_sewing: whether the folds bear a second sewing, and what it would take over."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from patterns.book.book import Book
from patterns.book.results import SewnLiningResult
from patterns.book.scattered import ScatteredSewing
from patterns.book.suits import Reason, Suits, told
from patterns.structures.shared import against

GIVES = SewnLiningResult

SWELLS = "adds thread to the folds, and new holes"


@dataclass(frozen=True, slots=True, kw_only=True)
class Params(ScatteredSewing):
    """Settings of the sewing; lengths in mm."""

    flange: float | None
    setback_head: float
    setback_tail: float
    line_folds: bool
    pasted: bool
    strong: Literal["weft", "warp", "equal"] | None


def suits(book: Book, params: Params) -> Suits:
    """Answer loose gatherings, an old sewing that is too little, and a heavy block."""
    return Suits(
        reasons=(
            Reason(
                "gatherings",
                "scattered stitches share the load among many folds without touching the old sewing",
                SWELLS,
            ),
            Reason(
                "old sewing",
                "stitches through many folds, clear of the old holes, take over what the old sewing cannot",
                SWELLS,
            ),
            Reason(
                "heavy block",
                "a lining sewn through many folds shares the weight among them",
                SWELLS,
                place=2,
            ),
        ),
        against=against.fallen_in(book),
        missing=book.joints_waiting,
        rulings=told(
            against.no_folds(book), against.weak_folds(book, params.paper, params.line_folds)
        ),
    )


def adds_mm(book: Book, _params: Params) -> float:
    """Return what it adds over the spine, bars apart: tissue and cloth."""
    return book.material("tissue").thickness_mm + book.material("cloth").thickness_mm
