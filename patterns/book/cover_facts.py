"""The boards and the cover of one book: what `Book` answers about them, each fact once.

A part of `Book`, which gives it the record, the spine and what lies in the joints.
"""

from __future__ import annotations

from typing import Literal

from patterns.book import board_joint, boards, cover, unions
from patterns.book.answer import Answer
from patterns.book.boards import Board, LimpSide, Which
from patterns.book.cover import CoverSpine
from patterns.book.covering import Covering
from patterns.book.spine import Spine
from patterns.errors import RecordError
from patterns.formulas.joints import Joint
from patterns.record.record import Record


class CoverFacts:
    """Every fact of boards and cover."""

    __slots__ = ()

    record: Record
    shape: Spine | None
    joint_lining_mm: float

    def board(self, side: Which) -> Board:
        """Return one board with its joint; a RecordError names what is missing."""
        return boards.board(self.record, side)

    @property
    def boards_alike(self) -> bool:
        """True where nothing measured tells the front board from the back one."""
        return self.record.cover.front == self.record.cover.back

    @property
    def thinnest_board_mm(self) -> float | None:
        """Thickness of the thinner board; None when neither is measured."""
        return boards.thinnest_mm(self.record)

    def board_thickness_mm(self, side: Which) -> float | None:
        """Return the thickness of one board; None when it is not measured."""
        return boards.thickness_mm(self.record, side)

    def board_height_mm(self, side: Which) -> float | None:
        """Return the height of one board, head to tail; None when it is not measured."""
        return self.record.cover.side(side).board_height

    def board_width_mm(self, side: Which) -> float | None:
        """Return the width of one board, spine edge to fore edge; None when it is not measured."""
        return self.record.cover.side(side).board_width

    def boarded(self, side: Which) -> bool:
        """Tell whether a side has a board of which thickness and height are measured."""
        own = self.record.cover.side(side)
        return own.board_thickness is not None and own.board_height is not None

    def side_word(self, side: Which) -> Literal["board", "cover"]:
        """Return what a side is called: a limp cover, or one whose boards are not measured, has none."""
        return "board" if self.boarded(side) else "cover"

    def joint(self, board: Board, opening_deg: float = 180.0) -> Joint:
        """Return one board's joint, opened so far.

        Raises RecordError where its gap does not tell whether it is a groove.
        """
        return board_joint.joint_of(self.record, board, opening_deg, self.joint_lining_mm)

    def joint_doubts(self, board: Board, joint: Joint) -> tuple[str, ...]:
        """Say what makes the figures of a joint doubtful."""
        lines = board_joint.doubts(self.record, board, joint, self.joint_lining_mm)
        shape = self.shape
        turns = shape is not None and joint.kind == "flush" and not self.limp
        if shape is None or not turns:
            return lines
        return (*lines, *board_joint.entered(board, joint, shape))

    @property
    def joints_waiting(self) -> tuple[str, ...]:
        """Fields to be read before a joint can be told: a gap may or may not be a groove."""
        waiting: list[str] = []
        for side in boards.SIDES[:1] if self.boards_alike else boards.SIDES:
            if not self.limp and self.boarded(side):
                try:
                    self.joint(self.board(side))
                except RecordError as why:
                    waiting += [problem.field for problem in why.problems]
        return tuple(waiting)

    def gap(self, side: Which) -> Answer:
        """Return the joint gap of one side in mm; one not measured is the usual one of its joint."""
        return boards.gap(self.record, side)

    @property
    def covering(self) -> Covering:
        """The covering's way over both joints and round the spine."""
        return Covering(self.record, self.shape, self.joint_lining_mm)

    def shoulder_mm(self, side: Which) -> float:
        """Return the height of one shoulder; none recorded is none."""
        return boards.shoulder(self.record, side).value

    def square_head(self, side: Which) -> Answer:
        """Return the head square of one side in mm; one not measured is none, and says so."""
        return boards.square_head(self.record, side)

    def square_tail(self, side: Which) -> Answer:
        """Return the tail square of one side in mm; one not measured is none, and says so."""
        return boards.square_tail(self.record, side)

    def fore_edge_square_mm(self, side: Which) -> float | None:
        """Return how far one board stands beyond the block at the fore edge; None if not measured."""
        return self.record.cover.side(side).square_fore_edge

    def limp_side(self, side: Which) -> LimpSide:
        """Return one side of a limp cover; a RecordError names what is missing."""
        return boards.limp_side(self.record, side)

    def tail_square_mm(self, side: Which, end: Literal["spine", "fore edge"]) -> float | None:
        """Return a board's tail square at its "spine" or "fore edge", the block pushed home."""
        own = self.record.cover.side(side)
        return own.square_tail_spine if end == "spine" else own.square_tail_fore_edge

    @property
    def tail_squares_mm(self) -> tuple[float, ...]:
        """Every tail square of the boards that was measured; a limp cover has none to hang in."""
        return boards.tail_squares_mm(self.record)

    @property
    def side_height_mm(self) -> float | None:
        """Height of a limp cover's sides; where none is measured, the block's."""
        return self.record.cover.side_height or self.record.text_block.height

    @property
    def limp(self) -> bool:
        """True for a limp cover or a wrapper."""
        return boards.limp(self.record)

    @property
    def joints_sound(self) -> bool:
        """True where the boards are said to hang soundly."""
        return unions.joints_sound(self.record)

    @property
    def has_boards(self) -> bool:
        """True for a cover that is said to have boards."""
        return cover.has_boards(self.record)

    @property
    def laced(self) -> bool:
        """True for boards that are laced to the block and covered on it."""
        return cover.laced(self.record)

    @property
    def cover_kind(self) -> str | None:
        """What the cover is: in-boards, case, limp, wrapper, wooden boards, other."""
        return self.record.cover.kind

    @property
    def cover_height(self) -> Answer:
        """Height of the cover in mm, from its highest head to its lowest tail; else the block's own."""
        return cover.height(self.record)

    def side_ends_mm(self, side: Which) -> tuple[float, float] | None:
        """Where head and tail of one board or limp side lie, from the head of the block; None if not measured."""
        return cover.ends(self.record, side)

    @property
    def cover_top_mm(self) -> float:
        """Where the head of the cover lies, from the head of the block: above it, below 0."""
        return -cover.square_head(self.record).value

    @property
    def cover_spine(self) -> CoverSpine | None:
        """How wide the cover's spine is laid flat; None where it was not measured.

        Raises RecordError for a strip over a covering whose thickness was not measured.
        """
        return cover.spine(self.record)

    def drawn_width(self, side: Which) -> Answer:
        """Return how wide one side is drawn in a section, in mm."""
        return cover.drawn_width(self.record, side)

    @property
    def endband_tail(self) -> Answer:
        """How far the tail endband stands out from the block in mm; none recorded is none."""
        return cover.endband_tail(self.record)

    @property
    def cover_thickness(self) -> Answer:
        """Thickness of the cover's own material in mm; by default none is reckoned."""
        return cover.thickness(self.record)

    def turn_in_of(self, side: Which) -> Answer:
        """Return the width of one side's turn-ins in mm."""
        return boards.turn_in(self.record, side)

    @property
    def turn_in(self) -> Answer:
        """Width of the cover's turn-ins in mm."""
        return cover.turn_in(self.record)
