"""sewn_cloth_joint: whether a strip of cloth sewn through the fold can carry the boards."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from patterns.book.boards import SIDES
from patterns.book.book import Book
from patterns.book.results import ClothJointResult
from patterns.book.suits import Reason, Ruling, Suits, told
from patterns.structures.shared import against, slotting
from patterns.units import tenth, trimmed, up_to

GIVES = ClothJointResult

FREE_MM = 2.0
"""Of the board beside its cloth."""


@dataclass(frozen=True, slots=True)
class Params:
    """Settings of the cloth joints; lengths in mm."""

    seam: float
    onto: float
    end: float
    clear: float
    opening: float
    line_folds: bool
    strong: Literal["weft", "warp", "equal"] | None


def suits(book: Book, params: Params) -> Suits:
    """Answer a board joint; refuse paper that tears along a row of holes, and narrow boards."""
    board = book.thinnest_board_mm
    pro = "a cloth strip sewn through the first fold moves with the board and needs no slot"
    if board is not None and slotting.too_thin(book):
        pro = (
            f"boards of {trimmed(board)} mm are too thin for a slot: the cloth lies on them instead"
        )
    reason = Reason(
        "board joint",
        pro,
        "the paste-down is lifted, and only the first and last gatherings carry the board",
        place=3,
    )
    return Suits(
        reasons=(reason,),
        missing=book.joints_waiting,
        rulings=told(
            against.no_folds(book), kind(book), _weak(book, params), _narrow(book, params)
        ),
    )


def kind(book: Book) -> Iterator[Ruling]:
    """Refuse a limp cover."""
    yield from against.limp(book)


def _weak(book: Book, params: Params) -> Iterator[Ruling]:
    found = book.fold_strength(None)
    if not params.line_folds and found is not None and found.tears:
        yield Ruling(
            f"paper of {found.words} tears along a row of holes; line the folds first "
            "(line_folds=yes), or tie or box the book and do nothing",
            tie_or_box=True,
            lifted_by="line_folds=yes",
        )


def _narrow(book: Book, params: Params) -> Iterator[Ruling]:
    for which in SIDES:
        width = book.board_width_mm(which)
        if width is not None and params.onto > width - FREE_MM:
            yield Ruling(
                f"{tenth(params.onto)} mm of cloth do not fit on a {which} board {tenth(width)} mm wide, which "
                f"takes {up_to(max(0.0, width - FREE_MM))} mm at most; set onto lower, or tie or box so small a book",
                tie_or_box=True,
            )
