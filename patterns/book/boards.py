"""Boards and limp sides, front and back: sizes, squares, shoulders, joints and their gaps.

What one side gives of its own wins over what the cover gives for both.
"""

from __future__ import annotations

from typing import Literal, NamedTuple, cast

from patterns.book.answer import Answer, certain, recorded
from patterns.errors import RecordError
from patterns.formulas.joints import JointKind
from patterns.record.needs import needed
from patterns.record.record import Record

Which = Literal["front", "back"]
SIDES: tuple[Which, Which] = ("front", "back")
GAPS_MM = {
    "tight": (1.0, "practice"),
    "french": (6.4, "published"),
    "flush": (0.0, "a flush joint has none"),
}
"""Joint gap where none was measured, by joint; published: Bean & Brodhead, p. 37."""
LEVEL = "not measured: board and block are taken as level there"


class Board(NamedTuple):
    """One board as its joint needs it; lengths in mm, weight in kg."""

    side: Which
    thickness_mm: float
    height_mm: float
    width_mm: float | None
    gap: Answer
    shoulder_mm: float
    square_head: Answer
    square_tail: Answer

    @property
    def gap_mm(self) -> float:
        """From the base of the shoulder to the board's spine edge."""
        return self.gap.value

    @property
    def certain_width_mm(self) -> float:
        """Spine edge to fore edge. Raises RecordError where it is not measured."""
        return certain(self.width_mm, f"cover.{self.side}.board_width")


class LimpSide(NamedTuple):
    """One side of a limp cover in mm."""

    width_mm: float
    height_mm: float
    turn_in: Answer
    square_head: Answer


def board(record: Record, side: Which) -> Board:
    """Return one board with its joint; a RecordError names what is missing."""
    own = record.cover.side(side)
    if own.board_thickness is None or own.board_height is None:
        lacking = [key for key in ("board_thickness", "board_height") if getattr(own, key) is None]
        raise RecordError(
            f"cover.{side}: board_thickness and board_height are needed; "
            "measure the bare board at its spine edge",
            [needed(f"cover.{side}.{key}") for key in lacking],
        )
    return Board(
        side=side,
        thickness_mm=own.board_thickness,
        height_mm=own.board_height,
        width_mm=own.board_width,
        gap=gap(record, side),
        shoulder_mm=shoulder(record, side).value,
        square_head=_square(own.square_head),
        square_tail=_square(own.square_tail),
    )


def limp_side(record: Record, side: Which) -> LimpSide:
    """Return one side of a limp cover; a RecordError names what is missing."""
    own = record.cover.side(side)
    return LimpSide(
        width_mm=certain(own.side_width, f"cover.{side}.side_width"),
        height_mm=certain(own.side_height, f"cover.{side}.side_height"),
        turn_in=turn_in(record, side),
        square_head=square_head(record, side),
    )


def shoulder(record: Record, side: str) -> Answer:
    """Return the height of one shoulder; `spine.shoulder` stands for both."""
    own = record.spine.shoulder_front if side == "front" else record.spine.shoulder_back
    both = record.spine.shoulder
    return recorded(own if own is not None else both, 0.0, "none recorded: no shoulder")


def joint_kind(record: Record, side: Which) -> JointKind:
    """Return the joint of one side: as recorded, else tight at a shoulder and flush without one.

    A limp side folds at the edge of the block: without another word it has a flush joint.
    """
    own = record.cover.side(side).joint
    if own is not None:
        return cast(JointKind, own)  # the record admits these three words only
    if limp(record) or shoulder(record, side).value == 0:
        return "flush"
    return "tight"


def gap(record: Record, side: Which) -> Answer:
    """Return the joint gap of one side; one that was not measured is the usual one of its joint."""
    usual, source = GAPS_MM[joint_kind(record, side)]
    return recorded(record.cover.side(side).joint_gap, usual, source)


def gap_words(found: Answer) -> str:
    """Say that a gap is assumed, and by what; "" for one that was measured or is not there.

    >>> gap_words(Answer(6.4, "default", "published"))
    'joint gap not given: 6.4 mm assumed (published)'
    """
    if not found.assumed or not found.value:
        return ""
    return f"joint gap not given: {found.value:g} mm assumed ({found.source})"


def limp(record: Record) -> bool:
    """True for a limp cover or a wrapper: sides that fold, without boards to turn."""
    return record.cover.kind in ("limp", "wrapper")


def square_head(record: Record, side: Which) -> Answer:
    """Return the head square of one side: y on it is y on the block + this."""
    return _square(record.cover.side(side).square_head)


def square_tail(record: Record, side: Which) -> Answer:
    """Return the tail square of one side."""
    return _square(record.cover.side(side).square_tail)


def _square(measured_mm: float | None) -> Answer:
    return recorded(measured_mm, 0.0, LEVEL)


def tail_squares_mm(record: Record) -> tuple[float, ...]:
    """Return every tail square that was measured; a limp cover has none to hang in."""
    if limp(record):
        return ()
    own = [record.cover.side(side) for side in SIDES]
    found = ((s.square_tail, s.square_tail_spine, s.square_tail_fore_edge) for s in own)
    return tuple(mm for three in found for mm in three if mm is not None)


def turn_in(record: Record, side: Which) -> Answer:
    """Return how wide one side's turn-ins are."""
    return recorded(record.cover.side(side).turn_in, 0.0, "none recorded: no turn-in")


def thickness_mm(record: Record, side: Which) -> float | None:
    """Return the thickness of one bare board; None when it is not measured."""
    return record.cover.side(side).board_thickness


def thinnest_mm(record: Record) -> float | None:
    """Return the thickness of the thinner board; None when neither is measured."""
    known = [thickness_mm(record, side) for side in SIDES]
    return min((mm for mm in known if mm is not None), default=None)
