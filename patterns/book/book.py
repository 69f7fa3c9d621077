"""One book on the bench: its record, its spine, the chosen materials, what is already worked out.

Whoever wants a fact of the book asks here. Figures that may be missing come as `Answer`, which says
whether they were measured, worked out or taken by default; what cannot be done without raises a
RecordError that names the field.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import NamedTuple, TypeVar

from patterns.book import (
    album,
    block,
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
from patterns.book.boards import Which
from patterns.book.cover_facts import CoverFacts
from patterns.book.folds import Strength
from patterns.book.old_sewing import OldSewing
from patterns.book.outside import Outside
from patterns.book.results import AlbumResult, Result, SewnResult
from patterns.book.spine import Spine
from patterns.errors import MaterialError, Problem, RecordError
from patterns.record.record import ConditionTable, Record
from patterns.stock.materials import Library, Material

_R = TypeVar("_R", bound=Result)


class Stuff(NamedTuple):
    """A material in use: its name, its thickness (a thread's diameter) in mm, all its figures."""

    name: str
    thickness_mm: float
    figures: Material


@dataclass(frozen=True, slots=True)
class Book(CoverFacts):
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
    inlay_mm: float = 0.0
    """Thickness of the stiffener that lies in the cover's spine in this pattern; 0 without one."""
    results: tuple[Result, ...] = ()
    """What those already worked out have handed on."""
    search_share: float = 1.0
    """Part of the usual steps that a search for stitches may take: less where many books are asked."""

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
        left, right = self.across
        return left.upper(), right.upper()

    @property
    def across(self) -> tuple[Which, Which]:
        """The sides at the left and at the right of the spine, seen from outside, head up."""
        return ("back", "front") if self.left_to_right else ("front", "back")

    def at_right(self, side: Which) -> bool:
        """Tell whether a side lies at the right of the spine, seen from outside, head up."""
        return side == self.across[1]

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
    def foldless(self) -> bool:
        """True where nothing is folded: one leaf a gathering, or an album of single leaves and no gatherings beside them."""
        block = self.record.text_block
        single = self.record.album.kind == "single" and block.gatherings is None
        return single or block.leaves_per_gathering == 1

    @property
    def hangs_leaves(self) -> bool:
        """True where leaves hang on stubs or guards: in an album, or by a union that says so."""
        return self.is_album or unions.on_stubs(self.record)

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
    def light_in_case(self) -> bool:
        """True for a case whose block is known to weigh less: paste and cloth hung it before."""
        light = self.block_mass is not None and not self.heavy_for_attachment
        return light and self.cover_kind == "case"

    @property
    def weight(self) -> Answer | None:
        """Mass of the whole book in kg; None where neither it nor its block is known."""
        return masses.book_mass(self.record)

    @property
    def outside(self) -> Outside:
        """The closed book over everything. Raises RecordError where nothing tells it."""
        return outside.outside(self.record)

    @property
    def thickest_mm(self) -> float:
        """The most that the closed book may be thick. Raises RecordError where nothing tells it."""
        return outside.thickest_mm(self.record)

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

    @property
    def hangs_boards(self) -> bool:
        """True where something in this pattern hangs the boards, sewn, laced or tied."""
        return any(kind.HANGS_BOARDS for kind in self.gives)

    @property
    def covers_folds(self) -> bool:
        """True where something in this pattern lies on the folds, beneath a covering."""
        return any(kind.COVERS_FOLDS for kind in self.gives)

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
