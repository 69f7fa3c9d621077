"""One book on the bench: its record, its spine, the chosen materials, what is already worked out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from patterns.book.spine import Spine, shoulder_mm
from patterns.errors import MaterialError, RecordError
from patterns.formulas import mechanics
from patterns.model.part import Part
from patterns.record.record import Record
from patterns.stock.materials import Library, Material

Which = Literal["front", "back"]
SIDES: tuple[Which, Which] = ("front", "back")


@dataclass(frozen=True, slots=True)
class Mass:
    """A mass in kg, and how it was come by."""

    kg: float
    words: str
    estimated: bool


def block_mass(record: Record) -> Mass | None:
    """Return the mass of the text block: weighed, by difference, or estimated; None if unknown."""
    block, whole = record.text_block, record.book.weight
    if block.weight is not None:
        return Mass(block.weight, "weighed", False)
    boards = [record.cover.side(side).board_weight for side in ("front", "back")]
    if whole is not None and boards[0] is not None and boards[1] is not None:
        return Mass(whole - boards[0] - boards[1], "book less its boards", True)
    if block.leaves and block.width and block.grammage and block.height:
        kg = mechanics.leaves_mass_kg(block.leaves, block.grammage, block.width, block.height)
        return Mass(kg, "estimated from leaves and grammage", True)
    if whole is not None:
        return Mass(whole, "whole book, boards not taken off", True)
    return None


@dataclass(frozen=True, slots=True)
class Board:
    """One board as its joint needs it: front or back, thickness, height, width, joint gap in mm."""

    side: Which
    thickness_mm: float
    height_mm: float
    width_mm: float | None
    weight_kg: float | None
    gap_mm: float
    gap_words: str
    shoulder_mm: float


@dataclass(frozen=True, slots=True)
class Stuff:
    """A material in use: its name, its thickness (a thread's diameter) in mm, all its figures."""

    name: str
    thickness_mm: float
    figures: Material


@dataclass(frozen=True, slots=True)
class Book:
    """What every structure is given: the record and the quantities shared by all structures."""

    record: Record
    spine: Spine
    lies_on_mm: float
    """Thickness on the bare spine beneath this structure."""
    materials: Mapping[str, Material]
    """The materials of this structure by role: `cloth`, `paper`, `tissue`, `thread` …"""
    companions: tuple[str, ...] = ()
    """Every structure drafted in the same pattern, in working order."""
    parts: Mapping[str, Part] | None = None
    """The parts already worked out, by structure name."""
    stock: Library | None = None
    """All known materials, for advice on which would do."""

    @property
    def height_mm(self) -> float:
        """Height of the text block along the fold."""
        return self.spine.height_mm

    @property
    def square_head_mm(self) -> float:
        """Head square: y on a board is y on the block + this."""
        return self.record.cover.square_head or 0.0

    @property
    def stations_shift_mm(self) -> float:
        """What is added to a recorded station to count it from the head; 0 when recorded so.

        Heights counted from the first kettle do not say where the head is: the kettles are then
        taken to stand equally far from head and tail.
        """
        sewing = self.record.sewing
        if sewing.stations_from != "kettle":
            return 0.0
        known = sewing.kettles or sewing.stations or (0.0,)
        return max(0.0, (self.height_mm - (known[-1] - known[0])) / 2 - known[0])

    @property
    def left_to_right(self) -> bool:
        """True when the front board lies at the right of the spine seen from outside."""
        return self.record.book.reading != "right-to-left"

    @property
    def edge_words(self) -> tuple[str, str]:
        """What stands at the left and right edges of a spine-wide piece."""
        return ("BACK", "FRONT") if self.left_to_right else ("FRONT", "BACK")

    def material(self, role: str) -> Stuff:
        """Return the material of a role with a thickness that is certain to be there.

        A MaterialError asks for the thickness when the library gives none.
        """
        held = self.materials[role]
        thickness = held.diameter_mm if held.kind == "thread" else held.thickness_mm
        if thickness is None:
            raise MaterialError(
                f"{held.name}: no thickness is known; measure yours and give --set {role}_thickness=…"
            )
        return Stuff(held.name, thickness, held)

    def given(self, structure: str, name: str) -> float | None:
        """Return a figure an earlier structure of this pattern worked out, or None."""
        part = (self.parts or {}).get(structure)
        value = part.quantities.get(name) if part else None
        return value if isinstance(value, float) else None

    def block_mass(self) -> Mass | None:
        """Return the mass of the text block as `block_mass` finds it in the record."""
        return block_mass(self.record)

    def heavy(self) -> bool:
        """True from 2.5 kg on (the published step to heavier linings and hollows)."""
        weight = self.record.book.weight
        if weight is None:
            mass = self.block_mass()
            weight = mass.kg if mass else None
        return weight is not None and weight >= 2.5

    def board(self, side: Which) -> Board:
        """Return one board with its joint; a RecordError names what is missing."""
        own = self.record.cover.side(side)
        if own.board_thickness is None or own.board_height is None:
            raise RecordError(
                f"cover.{side}: board_thickness and board_height are needed; "
                "measure the bare board at its spine edge"
            )
        kind = own.joint or ("tight" if shoulder_mm(self.record, side) else "flush")
        default = {"tight": (1.0, "practice"), "french": (6.4, "published")}.get(kind, (0.0, ""))
        if own.joint_gap is None:
            gap, words = (
                default[0],
                f"joint gap not given: {default[0]:g} mm assumed ({default[1]})",
            )
        else:
            gap, words = own.joint_gap, ""
        return Board(
            side=side,
            thickness_mm=own.board_thickness,
            height_mm=own.board_height,
            width_mm=own.board_width,
            weight_kg=own.board_weight,
            gap_mm=gap,
            gap_words=words if default[1] else "",
            shoulder_mm=shoulder_mm(self.record, side),
        )
