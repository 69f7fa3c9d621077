"""joint_tacket: whether shoulder and boards can be pierced and tied together."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from patterns.book.boards import SIDES, Which
from patterns.book.book import Book
from patterns.book.results import TacketResult
from patterns.book.suits import Reason, Ruling, Suits, told
from patterns.structures.shared import slotting
from patterns.units import tenth

GIVES = TacketResult


@dataclass(frozen=True, slots=True)
class Params:
    """Settings of the tackets; lengths in mm."""

    stations: int | None
    set_back: float
    pair: float
    hole: float
    tail: float
    end: float
    clear: float
    opening: float
    paper_class: Literal["strong", "fair", "weak", "brittle"] | None


def suits(book: Book, params: Params) -> Suits:
    """Answer the joint of a block that is not heavy; refuse what cannot be pierced or would bind."""
    reason = Reason(
        "board joint",
        "a few loops of thread, quickly made and undone",
        "loads a few holes only",
        # where a slot would do, so do a few holes in the board; else the cloth comes first
        place=4 if slotting.slotted_board_mm(book) is None else 2,
    )
    boards = (_board(book, params, which) for which in SIDES)
    return Suits(
        reasons=() if book.heavy_for_attachment else (reason,),
        rulings=told(*boards, _brittle(book, params)),
    )


def _board(book: Book, params: Params, which: Which) -> Iterator[Ruling]:
    if book.shoulder_mm(which) == 0:
        yield Ruling(
            f"the {which} joint has no shoulder to pierce; a cloth joint sewn through the fold "
            "(sewn_cloth_joint) or a tissue hinge suits; so does to tie or box the book",
            tie_or_box=True,
        )
    width = book.board_width_mm(which)
    if width is not None and params.set_back > width / 2:
        yield Ruling(
            f"a hole set back {tenth(params.set_back)} mm lies past the middle of a board "
            f"{tenth(width)} mm wide; tie or box so small a book",
            tie_or_box=True,
        )
    thread, gap = book.material("thread").thickness_mm, book.gap(which).value
    if thread > gap:
        yield Ruling(
            f"thread of {thread:.2f} mm binds in a joint of {gap:g} mm and keeps the "
            f"{which} board from shutting; take a thinner thread, or let cloth into the board (board_slot)"
        )


def _brittle(book: Book, params: Params) -> Iterator[Ruling]:
    if "brittle" in (book.condition.paper, params.paper_class):
        yield Ruling(
            "brittle paper breaks along the holes; stop and ask a conservator, or tie or box the book",
            tie_or_box=True,
        )
