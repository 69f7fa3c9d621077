"""The covering's way round spine and joints, and the cover's spine that has to be as long.

Closed, a covering of thickness t goes from one board's outer arris over its joint, round the spine
and over the other joint: it turns by a half circle in all, by φ of it on the spine. Its middle is

    a(u, t) + w_front + w_back + (π − φ)·t/2

long, a(u, t) its layer on the spine over all that lies beneath, w the way over one joint from the
shoulder's tip to the board's outer arris. Laid flat it measures so much from board edge to board
edge; a limp cover, whose sides begin where they leave the spine, has w = 0.
"""

from __future__ import annotations

from math import pi, radians
from typing import NamedTuple

from patterns.book import board_joint, boards, cover
from patterns.book.answer import Answer, certain
from patterns.book.boards import SIDES, Which
from patterns.book.spine import Spine, measure
from patterns.formulas import joints
from patterns.record.record import Record

NARROWER_MM = 1.0
"""A cover narrower by no more than this still closes (practice)."""


class Covering(NamedTuple):
    """The covering of one book; its spine's shape where that is worked out already."""

    record: Record
    shape: Spine | None
    lining_mm: float = 0.0
    """Thickness of new cloth that lies beneath it in the joints."""

    def over_joint(self, side: Which) -> Answer:
        """Return its way over one joint in mm: read in it, else by its shape; limp: none.

        Raises RecordError where neither the way nor the board's thickness was measured.
        """
        if boards.limp(self.record):
            return Answer(0.0, "estimated", "a limp side begins where it leaves the spine")
        over = self.record.cover.side(side).joint_over
        if over is not None:
            return Answer(over, "measured", "strip in the joint")
        read = boards.thickness_mm(self.record, side)
        board = certain(read, "cover.board_thickness|cover.joint_over")
        joint = board_joint.joint_at(self.record, side, board, lining_mm=self.lining_mm)
        return Answer(joints.covering_mm(joint), "estimated", joint.name)

    @property
    def over_joints_mm(self) -> float:
        """Its way over both joints together. Raises RecordError as `over_joint` does."""
        return sum(self.over_joint(side).value for side in SIDES)

    @property
    def gaps_assumed(self) -> tuple[str, ...]:
        """What is assumed of joint gaps on its way, in words, each once."""
        if boards.limp(self.record):
            return ()
        sides = [side for side in SIDES if self.record.cover.side(side).joint_over is None]
        found = [boards.gap_words(boards.gap(self.record, side)) for side in sides]
        found += [board_joint.no_groove(self.record, side, self.lining_mm) for side in sides]
        return tuple(dict.fromkeys(filter(None, found)))

    @property
    def ends_mm(self) -> tuple[float, float]:
        """Where its head and tail lie, from the head of the block: as the cover's."""
        top = -cover.square_head(self.record).value
        return top, top + cover.height(self.record).value

    def needed_mm(self, under_mm: float, thickness_mm: float) -> tuple[float, float]:
        """Return how wide its spine must be at head and tail, over `under_mm`, in mm.

        Raises RecordError where the spine, or the way over a joint, is not known.
        """
        shape = measure(self.record) if self.shape is None else self.shape
        turns = (pi - radians(shape.turn_deg)) * thickness_mm / 2
        beside = self.over_joints_mm + turns
        head, tail = (shape.layer_mm(under_mm, thickness_mm, at) + beside for at in self.ends_mm)
        return head, tail

    def lacks_mm(self, under_mm: float) -> tuple[float, float]:
        """Return by how much the old spine, as measured, is too narrow at its head and at its tail.

        Less than 0 where it is wider. Raises RecordError as `needed_mm` does, and where it was not measured.
        """
        old = certain(cover.spine(self.record), "cover.spine_width|cover.spine_strip")
        head, tail = self.needed_mm(under_mm, cover.thickness(self.record).value)
        return head - old.head_mm, tail - old.tail_mm
