"""joint_tacket: whether shoulder and boards can be pierced and tied together."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from patterns.book.boards import SIDES, Which
from patterns.book.book import Book
from patterns.book.masses import ATTACHMENT_HEAVY_KG
from patterns.book.results import TacketResult
from patterns.book.suits import LAST_RESORT, Reason, Ruling, Suits, told
from patterns.structures.shared import against, slotting
from patterns.units import tenth, trimmed

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
    safety: float


def suits(book: Book, params: Params) -> Suits:
    """Answer a board's joint, behind the others where the block is heavy; refuse what cannot be pierced."""
    reason = Reason(
        "board joint",
        "a few loops of thread, quickly made and undone",
        f"loads a few holes only{_heavy_words(book)}",
        place=_place(book),
    )
    boards = (_board(book, params, which) for which in SIDES)
    return Suits(
        reasons=(reason,),
        missing=book.joints_waiting,
        rulings=told(kind(book), *boards, _brittle(book, params)),
    )


def _place(book: Book) -> int:
    """Return its place: where a slot would do, so do a few holes in the board; else the cloth comes first.

    A light block goes back into its own case before that is opened for holes.
    """
    if book.heavy_for_attachment:
        return LAST_RESORT
    if book.light_in_case:
        return 6
    return 4 if slotting.slotted_board_mm(book) is None else 2


def kind(book: Book) -> Iterator[Ruling]:
    """Refuse a limp cover."""
    yield from against.limp(book)


def _heavy_words(book: Book) -> str:
    """Say that the block is heavy for a few holes; "" where it is not."""
    mass = book.block_mass
    if mass is None or not book.heavy_for_attachment:
        return ""
    limit = trimmed(ATTACHMENT_HEAVY_KG)
    return f", and {trimmed(mass.value)} kg of block drag on them: from {limit} kg on they tear out"


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


def _brittle(book: Book, params: Params) -> Iterator[Ruling]:
    if "brittle" in (book.condition.paper, params.paper_class):
        yield Ruling(
            "brittle paper breaks along the holes; stop and ask a conservator, or tie or box the book",
            tie_or_box=True,
        )
