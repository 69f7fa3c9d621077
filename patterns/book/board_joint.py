"""A board's joint as a lining, a paper or a thread has to cross it."""

from __future__ import annotations

from patterns.book import boards
from patterns.book.answer import Answer, recorded
from patterns.book.boards import Board, Which
from patterns.formulas import joints
from patterns.formulas.joints import Joint, JointPath, PathEnd
from patterns.record.record import Record
from patterns.units import tenth


def joint_of(record: Record, board: Board, opening_deg: float = 180.0) -> Joint:
    """Return one board's joint. Without a shoulder a tight joint turns as a flush one does."""
    return joint_at(record, board.side, board.thickness_mm, opening_deg)


def joint_at(record: Record, side: Which, board_mm: float, opening_deg: float = 180.0) -> Joint:
    """Return the joint of one side for a board of a thickness: all that a joint is, sizes apart."""
    shoulder = boards.shoulder(record, side).value
    kind = boards.joint_kind(record, side)
    if kind == "tight" and shoulder == 0:
        kind = "flush"
    return Joint(
        kind=kind,
        shoulder_mm=shoulder,
        shoulder_angle_deg=shoulder_angle(record).value,
        gap_mm=boards.gap(record, side).value,
        board_mm=board_mm,
        opening_deg=opening_deg,
    )


def shoulder_angle(record: Record) -> Answer:
    """Return the angle between block and shoulder in degrees; 90 unless measured."""
    return recorded(record.spine.shoulder_angle, 90.0, "upright unless measured")


def lining_path(joint: Joint, end: PathEnd) -> JointPath:
    """Return the path of a lining over the spine: it leaves the block at the shoulder's tip."""
    return joints.path(joint, "S", end)


def doubts(structure: str, board: Board, joint: Joint) -> tuple[str, ...]:
    """Say what about this joint makes its figures doubtful."""
    lines = []
    if words := boards.gap_words(board.gap):
        lines.append(f"{structure}: {board.side} board, {words}")
    if joint.kind == "tight" and joints.collision_mm(joint) > joints.COLLISION_LIMIT_MM:
        lines.append(
            f"{structure}: {board.side} board {tenth(board.thickness_mm)} mm and shoulder "
            f"{tenth(board.shoulder_mm)} mm do not match: arris and tip meet as it opens; pad the shoulder "
            "or thin the board, or let it open less"
        )
    if joint.kind == "french" and joints.sink_mm(joint) > joints.COLLISION_LIMIT_MM:
        lines.append(
            f"{structure}: {board.side} board may sink {tenth(joints.sink_mm(joint))} mm past the tip of the "
            "shoulder as it opens; watch it at the dry fit"
        )
    return tuple(lines)
