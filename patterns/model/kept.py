"""A pattern as it is kept: the document mendfold-pattern/1, which reads back what it wrote.

Sizes are nominal, in mm, rounded when the document is made; the owner does not stand in it. A key
with a default may be absent in what an earlier version kept.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from patterns.model import documents
from patterns.model.documents import Misshapen
from patterns.model.drawing import Point, Ring
from patterns.model.sheet import FullSize, Printout
from patterns.model.stitches import Pass, Proof, Stitch
from patterns.model.traits import Where
from patterns.model.values import UNLESS_DEFAULT, Scalar, Value

FORMAT = "mendfold-pattern/1"
PAPER = "A4"
PRINTER = "none"
MOST = {"structures": 20, "pieces": 5_000, "sheets": 5_000, "steps": 5_000, "warnings": 5_000}
"""So many are read; the fullest pattern of one book has a tenth of each."""
FINER = {"places": 8}
"""A factor's fifth place moves a line 0.01 mm on a large sheet."""


@dataclass(frozen=True, slots=True)
class KeptFigure:
    """One figure of a material, where it comes from and how sure it is."""

    value: float
    source: str = ""
    confidence: str = ""


@dataclass(frozen=True, slots=True)
class KeptMaterial:
    """A material with every figure it was drafted with."""

    name: str
    kind: str
    figures: Mapping[str, KeptFigure] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Factors:
    """What the sheets were multiplied by for one printer; pieces are not."""

    across: float = field(default=1.0, metadata=FINER)
    down: float = field(default=1.0, metadata=FINER)


@dataclass(frozen=True, slots=True)
class KeptFold:
    """A crease, from end to end."""

    kind: Literal["valley", "mountain"]
    line_mm: tuple[Point, Point]


@dataclass(frozen=True, slots=True)
class KeptZone:
    """A part of one face: pasted to a partner, or kept free of it."""

    kind: Literal["pasted", "free"]
    face: Literal["up", "under"]
    to: str
    adhesive: str = ""
    outline_mm: Ring = ()
    covers: Where | Literal["", "not told"] = field(default="not told", metadata=UNLESS_DEFAULT)
    """Part of the book as it is that is pasted over; older documents do not tell it."""


@dataclass(frozen=True, slots=True)
class KeptPiece:
    """One thing to cut; places from its own corner."""

    name: str
    structures: tuple[str, ...] = ()
    material: str = ""
    quantity: int = 1
    grain: str = "any"
    stock: bool = True
    """Cut from stock; a paper guide that is printed to be used itself is not."""
    width_mm: float = 0.0
    height_mm: float = 0.0
    thickness_mm: float = 0.0
    outline_mm: Ring = ()
    cut_first_mm: Ring = ()
    openings_mm: tuple[Ring, ...] = ()
    holes_mm: tuple[Point, ...] = ()
    old_holes_mm: tuple[Point, ...] = ()
    folds: tuple[KeptFold, ...] = ()
    slits: tuple[tuple[Point, Point], ...] = ()
    zones: tuple[KeptZone, ...] = ()


@dataclass(frozen=True, slots=True)
class KeptSheet:
    """One page: the file of its drawing and its page in the PDF."""

    file: str
    pdf_page: int
    page_width_mm: float
    page_height_mm: float
    title: str = ""
    group: str = ""
    pieces: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class KeptStep:
    """One step as it stands on the sheets, its cautions in full."""

    phase: str
    structure: str = ""
    text: str = ""
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class KeptCheck:
    """A number that can be compared with something outside the project."""

    structure: str
    name: str
    value: float
    unit: str
    against: str


@dataclass(frozen=True, slots=True)
class KeptPattern:
    """Everything a draft worked out, with what it was drafted from."""

    format: str
    mendfold: str
    """The version that drafted it."""
    structures: tuple[str, ...]
    """In working order."""
    record: Mapping[str, Value] = field(default_factory=dict)
    """The record's tables, every length in mm, without the owner."""
    parameters: Mapping[str, Mapping[str, Value]] = field(default_factory=dict)
    """By structure: every parameter, and each material's name by its role."""
    materials: Mapping[str, Mapping[str, KeptMaterial]] = field(default_factory=dict)
    """By structure and role."""
    paper: str = PAPER
    printer: str = PRINTER
    correction: Factors = Factors()
    full_size: FullSize = field(default="", metadata=UNLESS_DEFAULT)
    """Which pieces were wished for at full size."""
    shown: Printout = field(default="all", metadata=UNLESS_DEFAULT)
    """Whether all sheets were wished for, or those alone that are cut from."""
    quantities: Mapping[str, Scalar] = field(default_factory=dict)
    """Every computed figure, its unit in its name."""
    pieces: tuple[KeptPiece, ...] = ()
    stations_mm: tuple[float, ...] = ()
    stitches: tuple[Stitch, ...] = ()
    path: tuple[Pass, ...] = ()
    thread_mm: float = 0.0
    proof: Proof | None = None
    sewing: Mapping[str, Value] | None = field(default=None, metadata=UNLESS_DEFAULT)
    """Cut lengths, loads, capacities; only where something is sewn."""
    sheets: tuple[KeptSheet, ...] = ()
    warnings: tuple[str, ...] = ()
    boxes: tuple[str, ...] = ()
    """Boxed words, which stand among the warnings as well."""
    unfinished: str = field(default="", metadata=UNLESS_DEFAULT)
    """What is left to do that no structure of the pattern does; absent where the book is finished."""
    steps: tuple[KeptStep, ...] = ()
    checks: tuple[KeptCheck, ...] = ()
    undo: tuple[str, ...] = field(default=(), metadata=UNLESS_DEFAULT)
    """How each structure is undone, what comes off first before the rest; not in older documents."""

    @classmethod
    def from_json(cls, data: bytes) -> KeptPattern:
        """Read the document; raises Misshapen, which names the key that is wrong.

        Every version of the format that begins as this one does is read.
        """
        found = documents.read(cls, data)
        if not found.format.startswith("mendfold-pattern/"):
            raise Misshapen(f'"{found.format}"', f'"{FORMAT}"', "format")
        for key, most in MOST.items():
            if (many := len(getattr(found, key))) > most:
                raise Misshapen(f"{many:,} of them", f"at most {most:,}", key)
        return found

    def to_json(self) -> bytes:
        """Return the document as it lies on the disk."""
        return documents.write(self)
