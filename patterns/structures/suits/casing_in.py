"""casing_in: whether a block may go back into its own case, and by what it would hang there."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from patterns.book.book import Book
from patterns.book.covering import NARROWER_MM
from patterns.book.masses import ATTACHMENT_HEAVY_KG
from patterns.book.results import (
    CasingResult,
    ClothJointResult,
    SewnLiningResult,
    TubeLayersResult,
    WideningResult,
)
from patterns.book.suits import Reason, Ruling, Suits, told
from patterns.units import tenth

GIVES = CasingResult


@dataclass(frozen=True, slots=True)
class Params:
    """Settings of casing in; lengths in mm."""

    flange: float | None
    setback_head: float
    setback_tail: float
    opening: float
    strong: Literal["weft", "warp", "equal"] | None
    endpapers: Literal["none", "tipped", "hooked", "sewn"]
    tip: float
    hook: float
    larger: float


def suits(book: Book, params: Params) -> Suits:
    """Answer a block loose in its case; refuse what is no case, too heavy for paste, or too narrow."""
    words = (
        "the block goes back into its own case, hung by a lining that reaches onto both boards",
        "the case keeps its old joints, worn as they are"
        if book.hangs_boards
        else "cloth and paper pasted across the joint carry the block: nothing is sewn that moves",
    )
    reasons = (Reason("board joint", *words, place=5), Reason("covering", *words))
    return Suits(
        reasons=reasons if book.cover_kind == "case" else (),
        missing=book.joints_waiting,
        rulings=told(kind(book), _heavy(book), _narrow(book), _sizes(book, params)),
    )


def kind(book: Book) -> Iterator[Ruling]:
    """Refuse what is no case."""
    if book.limp:
        yield Ruling(
            "a limp cover has no boards to hang a block in; a tissue hinge (tissue_hinge) suits"
        )
    elif book.cover_kind != "case":
        yield Ruling(
            "only a case made apart from its block is cased in; boards that were laced are hung again "
            "(board_slot with secondary_sewing, joint_tacket, sewn_cloth_joint) and covered (reback)"
        )


def _heavy(book: Book) -> Iterator[Ruling]:
    if book.heavy_for_attachment and not carried(book):
        yield Ruling(
            f"from {ATTACHMENT_HEAVY_KG:g} kg of block on, paste alone is no union that may move: sew the "
            "lining as well (secondary_sewing), or have a box made and do nothing",
            tie_or_box=True,
        )


def carried(book: Book) -> bool:
    """Tell whether something sewn to the folds carries the boards in the same pattern."""
    return book.expects(SewnLiningResult) or book.expects(ClothJointResult)


def _narrow(book: Book) -> Iterator[Ruling]:
    if book.cover_spine is None or book.expects(WideningResult):
        return
    lack = max(book.covering.lacks_mm(under_mm(book)))
    if lack > NARROWER_MM:
        yield Ruling(
            f"the case lacks {tenth(lack)} mm over spine and joints and would gape: widen it in the same "
            "pattern (cover_widening)"
        )


def under_mm(book: Book) -> float:
    """Return what the case goes round: what lies on the spine, this lining where it has its own, and a tube."""
    tube = book.result(TubeLayersResult)
    return book.lies_on_mm + _own_mm(book) + book.bars_mm + (tube.tube_mm if tube else 0.0)


def adds_mm(book: Book, _params: Params) -> float:
    """Return what it adds over the spine: tissue and cloth, unless a lining is sewn on."""
    return _own_mm(book)


def _own_mm(book: Book) -> float:
    if book.expects(SewnLiningResult):
        return 0.0
    return book.material("tissue").thickness_mm + book.material("cloth").thickness_mm


def _sizes(book: Book, params: Params) -> Iterator[Ruling]:
    left = book.height_mm - params.setback_head - params.setback_tail
    if left < LEAST_MM:
        yield Ruling(
            f"setbacks of {params.setback_head:g} and {params.setback_tail:g} mm leave {tenth(max(0.0, left))} mm "
            f"of lining, and under {LEAST_MM:g} mm it holds nothing; lower them",
            lifted_by="setback_head=0",
        )


LEAST_MM = 20.0
"""A shorter lining holds nothing (practice)."""
