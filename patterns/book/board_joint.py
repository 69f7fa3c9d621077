"""A board's joint as a lining, a paper or a thread has to cross it."""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

from patterns.book import boards, spine
from patterns.book.answer import Answer, recorded
from patterns.book.boards import Board, Which
from patterns.book.spine import Spine
from patterns.errors import RecordError
from patterns.formulas import joints
from patterns.formulas.joints import Joint, JointPath, PathEnd
from patterns.record.needs import needed
from patterns.record.record import Record
from patterns.units import tenth, trimmed


def joint_of(
    record: Record, board: Board, opening_deg: float = 180.0, lining_mm: float = 0.0
) -> Joint:
    """Return one board's joint as it can be; see `joint_at`."""
    return joint_at(record, board.side, board.thickness_mm, opening_deg, lining_mm)


def joint_at(
    record: Record,
    side: Which,
    board_mm: float,
    opening_deg: float = 180.0,
    lining_mm: float = 0.0,
) -> Joint:
    """Return the joint of one side for a board of a thickness.

    Without a shoulder a tight joint turns as a flush one does. A French joint whose gap has no room
    for the cover and a new lining of `lining_mm`, both down and up again, is a tight one. Raises
    RecordError where the gap lies too near to that to tell, until `cover.joint_over` is read.
    """
    joint = Joint(
        kind=boards.joint_kind(record, side),
        shoulder_mm=boards.shoulder(record, side).value,
        shoulder_angle_deg=shoulder_angle(record).value,
        gap_mm=boards.gap(record, side).value,
        board_mm=board_mm,
        opening_deg=opening_deg,
    )
    _refuse_a_tip_in_the_board(record, side, joint)
    if joint.kind == "french" and not _is_groove(record, side, joint, lining_mm):
        joint = replace(joint, kind="tight")
    if joint.kind == "tight" and joint.shoulder_mm == 0:
        joint = replace(joint, kind="flush")
    return joint


def _refuse_a_tip_in_the_board(record: Record, side: Which, joint: Joint) -> None:
    """Refuse a shoulder that leans past the board's edge. Raises RecordError."""
    if joint.tip[0] > joint.gap_mm + 1e-9:
        raise RecordError(
            f"spine.shoulder_angle is {trimmed(joint.shoulder_angle_deg)}°: the {side} shoulder then leans "
            f"{trimmed(joint.tip[0])} mm over a joint of {trimmed(joint.gap_mm)} mm"
            f"{'' if record.cover.side(side).joint_gap is not None else ' (assumed)'}; "
            "measure the angle, or cover.joint_gap, again",
            [needed("spine.shoulder_angle|cover.joint_gap")],
        )


class Groove(NamedTuple):
    """What a groove between shoulder and board has to hold: cover and lining, down and up again."""

    cover_mm: float
    lining_mm: float

    @property
    def least_mm(self) -> float:
        """The narrowest gap that is a groove (practice)."""
        return 2 * (self.cover_mm + self.lining_mm)

    @property
    def words(self) -> str:
        """Say what gap a groove needs, and why."""
        lining = f" and new lining {trimmed(self.lining_mm)}" if self.lining_mm else ""
        return f"{trimmed(self.least_mm)} mm (twice the cover {trimmed(self.cover_mm)}{lining})"


def groove(record: Record, side: Which, lining_mm: float = 0.0) -> Groove:
    """Return what a groove has to hold on one side; a cover that was not measured counts as none."""
    covering = recorded(record.cover.side(side).thickness, 0.0, "not measured: none is reckoned")
    return Groove(covering.value, lining_mm)


def no_groove(record: Record, side: Which, lining_mm: float = 0.0) -> str:
    """Say that the gap of a French joint is no groove, and what one needs; "" where it is one."""
    board = boards.thickness_mm(record, side)
    if board is None or boards.joint_kind(record, side) != "french":
        return ""
    try:
        joint = joint_at(record, side, board, lining_mm=lining_mm)
    except RecordError:  # it waits for a strip, and is refused until then
        return ""
    if joint.kind == "french":
        return ""
    return (
        f"a joint gap of {trimmed(joint.gap_mm)} mm is no groove, and the joint is worked out as a {joint.name}: a "
        f"groove needs {groove(record, side, lining_mm).words}"
    )


def _is_groove(record: Record, side: Which, joint: Joint, lining_mm: float) -> bool:
    """Tell whether cover and lining can lie in the gap of a French joint.

    By the gap, where that is further from the limit than a reading may err; else by the strip laid
    in it where one was read, whichever way is nearer.
    """
    shut = replace(joint, kind="tight")
    in_groove, across = joints.covering_mm(joint), joints.covering_mm(shut)
    holds, error = groove(record, side, lining_mm), spine.reading(record).value
    if abs(joint.gap_mm - holds.least_mm) > error + 1e-9:
        return joint.gap_mm > holds.least_mm
    over = record.cover.side(side).joint_over
    if over is not None:
        return abs(over - in_groove) < abs(over - across)
    where = "cover" if record.cover.front == record.cover.back else f"cover.{side}"
    deep, flat = (joints.path(one, "S", "N").length_mm for one in (joint, shut))
    raise RecordError(
        f"{where}.joint_gap is {trimmed(joint.gap_mm)} mm, within ± {trimmed(error)} of the least that makes "
        f"a groove, {holds.words}: from the shoulder's tip a lining needs {tenth(deep)} mm to the board in a groove, "
        f"{tenth(flat)} mm without one, the covering {tenth(in_groove)} or {tenth(across)} mm to its outer arris; lay a "
        f"paper strip in the joint, from the tip to the outer arris, and give {where}.joint_over",
        [needed(f"{where}.joint_over")],
    )


def shoulder_angle(record: Record) -> Answer:
    """Return the angle between block and shoulder in degrees; 90 unless measured."""
    return recorded(record.spine.shoulder_angle, 90.0, "upright unless measured")


def lining_path(joint: Joint, end: PathEnd) -> JointPath:
    """Return the path of a lining over the spine: it leaves the block at the shoulder's tip."""
    return joints.path(joint, "S", end)


def slack_words(joint: Joint, path: JointPath) -> str:
    """Say where the cloth is that a shut joint does not need.

    >>> slack_words(Joint("french", 2.5, 90, 6.0, 2.5), JointPath(9.475, 6.191, 3.284))
    '3.28 mm of that lies in the groove when the book is shut'
    """
    if path.slack_mm < 0.005:
        return "straight when the book is shut"
    where = "lies in the groove" if joint.kind == "french" else "lies slack in the joint"
    return f"{path.slack_mm:.2f} mm of that {where} when the book is shut"


def entered(board: Board, joint: Joint, shape: Spine) -> tuple[str, ...]:
    """Say how far a flush board enters the round of the spine as it opens, and to where it does not."""
    chord, turn = shape.chord_mm, shape.turn_deg
    into = joints.round_entered_mm(joint, chord, turn, joint.opening_deg)
    if into <= joints.COLLISION_LIMIT_MM:
        return ()
    clear = joints.clear_of_round_deg(joint, chord, turn)
    return (
        f"{board.side} board lies level with a rounded spine: opened to {joint.opening_deg:g}° it would enter "
        f"the round by {tenth(into)} mm; it opens freely to {clear}°: measure whether there is a shoulder, or let it "
        f"open no further (opening)",
    )


def doubts(record: Record, board: Board, joint: Joint, lining_mm: float = 0.0) -> tuple[str, ...]:
    """Say what about this joint makes its figures doubtful."""
    lines = []
    if words := no_groove(record, board.side, lining_mm):
        lines.append(f"{board.side} board, {words}")
    if words := boards.gap_words(board.gap):
        lines.append(f"{board.side} board, {words}")
    if joint.kind == "tight" and joints.collision_mm(joint) > joints.COLLISION_LIMIT_MM:
        lines.append(
            f"{board.side} board {tenth(board.thickness_mm)} mm and shoulder "
            f"{tenth(board.shoulder_mm)} mm do not match: arris and tip meet as it opens; pad the shoulder "
            "or thin the board, or let it open less"
        )
    if joint.kind == "french" and joints.sink_mm(joint) > joints.COLLISION_LIMIT_MM:
        lines.append(
            f"{board.side} board may sink {tenth(joints.sink_mm(joint))} mm past the tip of the "
            "shoulder as it opens; watch it at the dry fit"
        )
    return tuple(lines)
