"""reback: whether spine and joints may have a new covering, and how wide and high it must be.

It goes from beneath the old covering of one board over that board's joint, round the spine with all
that lies on it, and over the other joint: a(u, t) + both ways over a joint + (π − φ)·t/2 from arris to
arris, and a tuck at each side. Raised bands of height r are gone round as a layer of that thickness,
a(u + r, t), and over each of them it needs 2·√(r² + (b/2)²) − b more from head to tail, b the band's width.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from patterns.book.answer import certain
from patterns.book.boards import SIDES
from patterns.book.book import Book, Stuff
from patterns.book.masses import ATTACHMENT_HEAVY_KG
from patterns.book.results import RebackResult, TurnInResult
from patterns.book.suits import Reason, Ruling, Suits, told

GIVES = RebackResult
TELLS = TurnInResult

BEYOND_MM = 10.0
"""A turn-in holds at least so much inside the spine (practice)."""
LEAST_TURN_IN_MM = 15.0


@dataclass(frozen=True, slots=True)
class Params:
    """Settings of the new covering; lengths in mm."""

    covering: Literal["leather", "cloth", "paper"]
    tuck: float
    turn_in: float | None
    pare: float
    old_spine: float | None
    strong: Literal["weft", "warp", "equal"] | None


def suits(book: Book, _params: Params) -> Suits:
    """Answer a loose back; refuse it where it would have to carry boards, or be pasted to bare folds."""
    words = (
        "a new covering takes over spine and joints, and the old spine is set back on it",
        "the old covering is cut along both joints and lifted: that cannot be undone",
    )
    reasons = (
        Reason("spine", *words, place=3),
        Reason("narrow cover", "the new covering is as wide as it must be", words[1], place=1),
        Reason("covering", *words, place=1 if book.cover_kind == "case" else 0),
    )
    return Suits(
        reasons=() if book.limp else reasons,
        against=_red_rot(book),
        missing=("sewing.support_height",) if _unmeasured(book) else (),
        rulings=told(kind(book), _carried(book), _bare(book)),
    )


def _unmeasured(book: Book) -> bool:
    return book.supports == "raised" and book.old_sewing.rise_mm is None


def _red_rot(book: Book) -> tuple[str, ...]:
    if book.condition.leather != "red-rot":
        return ()
    return (
        "red-rotted leather is consolidated before it is lifted, and no wet paste reaches it: it blackens",
    )


def kind(book: Book) -> Iterator[Ruling]:
    """Refuse a limp cover."""
    if book.limp:
        yield Ruling(
            "a limp cover has no boards whose covering could be lifted; widen it (cover_widening), or hang it "
            "anew (tissue_hinge)"
        )


def _carried(book: Book) -> Iterator[Ruling]:
    if book.heavy_for_attachment and not (book.joints_sound or book.hangs_boards):
        yield Ruling(
            f"a covering hangs no boards: from {ATTACHMENT_HEAVY_KG:g} kg of block on they are attached first "
            "(board_slot with secondary_sewing, sewn_cloth_joint, joint_tacket), or the book is tied or boxed",
            tie_or_box=True,
        )


def _bare(book: Book) -> Iterator[Ruling]:
    if not (book.covers_folds or book.linings.value > 0 or book.cover_kind == "case"):
        yield Ruling(
            "it would be pasted to bare folds and could not be taken off them: lay a tube (hollow_tube) or a "
            "lining (spine_lining) beneath it in the same pattern"
        )


def ahead(book: Book, params: Params) -> TurnInResult:
    """Say how far it will be turned in: a tube is slit for it before."""
    return TurnInResult(turn_in_mm(book, params))


def stuff(book: Book, params: Params) -> Stuff:
    """Return the material of the covering that was chosen."""
    return book.material(params.covering)


def band_mm(book: Book) -> float:
    """Return how far raised bands stand out; 0 where there are none.

    Raises RecordError where there are and their height is not measured.
    """
    if book.supports != "raised":
        return 0.0
    return certain(book.old_sewing.rise_mm, "sewing.support_height")


def over_bands_mm(book: Book) -> float:
    """Return how much more it needs from head to tail to go over every band."""
    if not band_mm(book):
        return 0.0
    old = book.old_sewing
    return certain(old.over_mm(len(old.supports_mm)), "sewing.support_height")


def under_mm(book: Book) -> float:
    """Return the thickness on the spine that it goes round, bands and new bars in full."""
    return book.lies_on_mm + book.bars_mm + band_mm(book)


def needed_mm(book: Book, params: Params) -> tuple[float, float]:
    """Return its width from arris to arris at the cover's head and tail, laid flat."""
    return book.covering.needed_mm(under_mm(book), stuff(book, params).thickness_mm)


def turn_in_mm(book: Book, params: Params) -> float:
    """Return the turn-in: never less than the deepest square, twice the covering, and what holds inside."""
    if params.turn_in is not None:
        return params.turn_in
    squares = [
        answer.value
        for side in SIDES
        for answer in (book.square_head(side), book.square_tail(side))
    ]
    held = max(squares) + 2 * stuff(book, params).thickness_mm + BEYOND_MM
    return max(LEAST_TURN_IN_MM, held)


def adds_mm(book: Book, params: Params) -> float:
    """Return what it adds over the spine."""
    return stuff(book, params).thickness_mm
