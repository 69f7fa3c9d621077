"""One book on the bench: its record, its spine, the chosen materials, what is already worked out.

Whoever wants a fact of the book asks here. Figures that may be missing come as `Answer`, which says
whether they were measured, worked out or taken by default; what cannot be done without raises a
RecordError that names the field.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Literal, TypeVar

from patterns.book import (
    album,
    block,
    board_joint,
    boards,
    cover,
    folds,
    masses,
    old_sewing,
    outside,
    spine,
    unions,
)
from patterns.book.album import AlbumLeaves
from patterns.book.answer import Answer
from patterns.book.block import Gatherings
from patterns.book.boards import Board, LimpSide, Which
from patterns.book.cover import CoverSpine
from patterns.book.covering import Covering
from patterns.book.folds import Strength
from patterns.book.old_sewing import OldSewing
from patterns.book.outside import Outside
from patterns.book.results import AlbumResult, Result, SewnResult
from patterns.book.spine import Spine
from patterns.errors import MaterialError, Problem, RecordError
from patterns.formulas.joints import Joint
from patterns.record.record import ConditionTable, Record
from patterns.stock.materials import Library, Material

_R = TypeVar("_R", bound=Result)


@dataclass(frozen=True, slots=True)
class Stuff:
    """A material in use: its name, its thickness (a thread's diameter) in mm, all its figures."""

    name: str
    thickness_mm: float
    figures: Material


@dataclass(frozen=True, slots=True)
class Book:
    """What every structure is given: every fact of the book, and the materials it is worked in."""

    record: Record
    stock: Library
    """All known materials, for advice on which would do."""
    shape: Spine | None
    """The spine as the next structure meets it; None where the record does not give it."""
    lies_on_mm: float
    """Thickness on the bare spine beneath this structure."""
    materials: Mapping[str, Material] = field(default_factory=dict)
    """The materials of this structure by role: `cloth`, `paper`, `tissue`, `thread` …"""
    by_hand: frozenset[str] = frozenset()
    """Roles whose material, or a figure of it, was set for this draft."""
    gives: tuple[type[Result], ...] = ()
    """What the structures drafted in the same pattern hand on, this one's included."""
    joint_lining_mm: float = 0.0
    """Thickness of the new cloth that crosses the joints in this pattern; 0 without one."""
    results: tuple[Result, ...] = ()
    """What those already worked out have handed on."""

    @classmethod
    def of(cls, record: Record, stock: Library) -> Book:
        """Return the book of a record before anything is worked out on it; its spine may be unknown."""
        try:
            shape = spine.measure(record)
        except RecordError:
            shape = None
        return cls(record, stock, shape, spine.linings(record).value)

    # the spine

    @property
    def spine(self) -> Spine:
        """The spine of the text block. Raises RecordError where the record does not give it."""
        return spine.measure(self.record) if self.shape is None else self.shape

    @property
    def height_mm(self) -> float:
        """Height of the text block along the fold."""
        return self.spine.height_mm

    @property
    def sewn_girths(self) -> tuple[float, float] | None:
        """Girths at head and tail read over a new sewing, in mm; None until they are."""
        return spine.sewn_girths(self.record)

    @property
    def linings(self) -> Answer:
        """Thickness of the linings that stay in place, in mm."""
        return spine.linings(self.record)

    @property
    def reading(self) -> Answer:
        """± of one reading in mm."""
        return spine.reading(self.record)

    @property
    def caliper(self) -> Answer:
        """± in mm of what calipers read: boards, cover, thread."""
        return spine.caliper(self.record)

    @property
    def fallen_in(self) -> bool:
        """True for a spine that hangs forward out of its round."""
        return spine.fallen_in(self.record)

    @property
    def left_to_right(self) -> bool:
        """True when the front board lies at the right of the spine seen from outside."""
        return self.record.book.reading != "right-to-left"

    @property
    def edge_words(self) -> tuple[str, str]:
        """What stands at the left and right edges of a spine-wide piece."""
        return ("BACK", "FRONT") if self.left_to_right else ("FRONT", "BACK")

    # leaves and gatherings

    @property
    def thickness_mm(self) -> float | None:
        """Thickness of the text block at its spine."""
        return self.record.text_block.thickness

    @property
    def fore_edge_mm(self) -> float | None:
        """Thickness of the text block at its fore edge."""
        return self.record.text_block.thickness_fore_edge

    @property
    def swollen_mm(self) -> float:
        """How much the fore edge is thicker than the spine; 0 when within what is usual."""
        return block.swollen_mm(self.record)

    @property
    def width_mm(self) -> float | None:
        """Width of the leaves, outer fold to fore edge."""
        return self.record.text_block.width

    @property
    def leaf(self) -> Answer:
        """Thickness of one leaf in mm. Raises RecordError where nothing tells it."""
        return block.leaf(self.record)

    @property
    def measured_leaf_mm(self) -> float | None:
        """Thickness of one leaf as measured; None when it was not."""
        return self.record.text_block.leaf_thickness

    def measured(self, field: str) -> float | None:
        """Return the reading of a field that a template names; None when it was not taken."""
        value = self.record.get(field)
        return float(value) if isinstance(value, int | float) else None

    @property
    def leaf_grain(self) -> str | None:
        """Grain of the leaves: head-tail, spine-fore edge, or none."""
        return self.record.text_block.grain

    @property
    def folios(self) -> Answer:
        """Folios of the usual gathering."""
        return block.folios(self.record)

    @property
    def anchors(self) -> tuple[int, int | None]:
        """First and last gathering that can hold a sewing; None where the last is not known."""
        return block.anchors(self.record)

    @property
    def gatherings(self) -> Gatherings:
        """The anchor gatherings. Raises RecordError where their number is not known."""
        return block.gatherings(self.record, self.stations_shift_mm)

    @property
    def is_album(self) -> bool:
        """True for a book that is said to be an album."""
        return self.record.album.kind is not None

    @property
    def album(self) -> AlbumLeaves:
        """The leaves of an album. Raises RecordError naming what is missing."""
        return album.leaves(self.record)

    # condition

    @property
    def condition(self) -> ConditionTable:
        """What may harm the book or its mender, as recorded."""
        return self.record.condition

    @property
    def tear_mn(self) -> float | None:
        """Tear strength of one leaf along the fold in mN, measured; never assumed."""
        return self.record.text_block.tear_strength

    @property
    def weak_folds(self) -> bool:
        """True for paper measured too weak to hold a stitch in its fold."""
        return folds.weak(self.record)

    @property
    def leaves_unsewn(self) -> bool:
        """True where no thread can hold the leaves: single ones on stubs, or one leaf a gathering."""
        block = self.record.text_block
        return self.record.album.kind == "single" or block.leaves_per_gathering == 1

    @property
    def tired(self) -> bool:
        """True where a union is weak or has failed."""
        return any(union.state in ("weak", "failed") for union in self.record.unions)

    def fold_strength(self, paper: str | None) -> Strength | None:
        """Return what a leaf bears along its fold; `paper` is the class where it was not measured."""
        return folds.strength(self.record, paper)

    # masses

    @property
    def block_mass(self) -> Answer | None:
        """Mass of the text block in kg: weighed, by difference, or estimated."""
        return masses.block_mass(self.record)

    @property
    def boards_kg(self) -> float | None:
        """Mass of both boards together, as weighed."""
        return masses.boards_kg(self.record)

    @property
    def board_mass(self) -> Answer:
        """Mass of the heavier board in kg, to be added to the block's; not weighed, none is added."""
        return masses.board_mass(self.record)

    @property
    def heavy_for_lining(self) -> bool:
        """True from 2.5 kg of book on: linings reach further and tubes are doubled (practice)."""
        return masses.heavy_for_lining(self.record)

    @property
    def heavy_for_attachment(self) -> bool:
        """True from 1.5 kg of block on: it drags on what holds it to its boards (practice)."""
        return masses.heavy_for_attachment(self.record)

    @property
    def weight(self) -> Answer | None:
        """Mass of the whole book in kg; None where neither it nor its block is known."""
        return masses.book_mass(self.record)

    @property
    def outside(self) -> Outside:
        """The closed book over everything. Raises RecordError where nothing tells it."""
        return outside.outside(self.record)

    # the old sewing

    @property
    def stations_shift_mm(self) -> float:
        """What is added to a recorded station to count it from the head; 0 when recorded so."""
        return old_sewing.shift_mm(self.record, self.height_mm)

    @property
    def old_sewing(self) -> OldSewing:
        """Old holes and supports of the common fold, in mm from the head of the text block."""
        return old_sewing.old_sewing(self.record, self.height_mm)

    @property
    def supports(self) -> str | None:
        """What the supports of the old sewing are: raised, recessed, tapes or none."""
        return self.record.sewing.supports

    @property
    def tie_down(self) -> Answer:
        """How far from head and tail sewn endbands are tied down, in mm."""
        return old_sewing.tie_down(self.record)

    # boards and cover

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
        return self.record.cover.side(side).board_thickness

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

    def joint(self, board: Board, opening_deg: float = 180.0) -> Joint:
        """Return one board's joint, opened so far.

        Raises RecordError where its gap does not tell whether it is a groove.
        """
        return board_joint.joint_of(self.record, board, opening_deg, self.joint_lining_mm)

    def joint_doubts(self, structure: str, board: Board, joint: Joint) -> tuple[str, ...]:
        """Say what makes the figures of a joint doubtful."""
        lines = board_joint.doubts(self.record, structure, board, joint, self.joint_lining_mm)
        shape = self.shape
        turns = shape is not None and joint.kind == "flush" and not self.limp
        if shape is None or not turns:
            return lines
        return (*lines, *board_joint.entered(structure, board, joint, shape))

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

    def joint_over_mm(self, side: Which) -> float | None:
        """Return the covering's way over one joint, read with a strip in its groove; else None."""
        return self.record.cover.side(side).joint_over

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
        """Height of the cover at its higher side in mm; else the block's own."""
        return cover.height(self.record)

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

    # what is worked in

    def material(self, role: str) -> Stuff:
        """Return the material of a role with a thickness that is certain to be there.

        A MaterialError asks for the thickness when the library gives none.
        """
        held = self.materials[role]
        return Stuff(held.name, _thickness(held, role), held)

    @staticmethod
    def diameter_mm(thread: Material) -> float:
        """Return a thread's diameter in mm; a MaterialError asks for it when the library gives none."""
        return _thickness(thread, "thread")

    # what is worked out so far

    def result(self, kind: type[_R]) -> _R | None:
        """Return what an earlier structure of this pattern handed on of that kind, or None."""
        return next((one for one in self.results if isinstance(one, kind)), None)

    @property
    def bars_mm(self) -> float:
        """What the bars of a new sewing stand out, outside on the lining; 0 without one."""
        sewn = self.result(SewnResult)
        return 0.0 if sewn is None else sewn.bars_mm

    def expects(self, kind: type[Result]) -> bool:
        """Tell whether any structure of this pattern, earlier or later, hands on that kind."""
        return any(issubclass(one, kind) for one in self.gives)

    def after(self, result: Result | None) -> Book:
        """Return the book as the next structure meets it, with what this one has handed on.

        A block built anew has a flat and bare spine.
        """
        if result is None:
            return self
        book = replace(self, results=(*self.results, result))
        if not isinstance(result, AlbumResult):
            return book
        block = replace(
            self.record.text_block,
            thickness=result.spine_mm,
            thickness_fore_edge=result.fore_edge_mm,
        )
        return replace(
            book,
            record=replace(self.record, text_block=block),
            shape=spine.rebuilt(self.spine, result.spine_mm),
        )


def _thickness(held: Material, role: str) -> float:
    """Return a material's thickness or a thread's diameter; a MaterialError asks for it."""
    thickness = held.diameter_mm if held.kind == "thread" else held.thickness_mm
    if thickness is None:
        found, remedy = "no thickness is known", "measure yours"
        problem = Problem(f"{role}_thickness", found, "its own", remedy, "no thickness")
        raise MaterialError(f"{held.name}: {found}; {remedy}", [problem])
    return thickness
