"""The book cut across its spine, from what was measured and what is made of it."""

from __future__ import annotations

from math import radians, tan

from patterns.book.boards import Which
from patterns.book.book import Book
from patterns.book.results import SlotResult
from patterns.errors import RecordError
from patterns.model.profile import SideProfile, SlotProfile, SpineProfile


def profile(book: Book) -> SpineProfile:
    """Return chord, round and both joints; a joint that cannot be told is drawn without a board.

    The round is that of the circle with the spine's turning angle on its chord: h = c/2·tan(φ/4).
    """
    shape = book.spine
    sides: tuple[Which, Which] = ("back", "front") if book.left_to_right else ("front", "back")
    left, right = (_side(book, which) for which in sides)
    depth = shape.chord_mm / 2 * tan(radians(shape.turn_deg) / 4)
    return SpineProfile(shape.chord_mm, depth, left, right)


def _side(book: Book, which: Which) -> SideProfile:
    if not book.has_boards:
        return SideProfile()
    try:
        board = book.board(which)
        joint = book.joint(board)
    except RecordError:
        return SideProfile()
    slots = book.result(SlotResult)
    slot = None
    if slots is not None:
        cut = slots.sides[which]
        slot = SlotProfile(cut.mouth_mm, cut.bottom_mm, cut.depth_mm)
    return SideProfile(
        joint.shoulder_mm,
        joint.tip[0],
        joint.gap_mm,
        board.thickness_mm,
        joint.kind == "french",
        slot,
    )
