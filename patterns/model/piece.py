"""One thing to cut, at its nominal size: outline, folds, holes, slits, zones, words.

A piece has coordinates of its own in mm: x to the right, y from head to tail, face away from the
text block up unless `face_up` says otherwise. On every spine-wide piece x runs from the back
board to the front board for a left-to-right book, as one sees the spine from outside.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from patterns.model.drawing import Mark, Point, Ring
from patterns.model.traits import Where

Grain = Literal["head-tail", "spine-fore edge", "warp head-tail", "warp spine-fore edge", "any"]
WARPS: frozenset[Grain] = frozenset({"warp head-tail", "warp spine-fore edge"})
"""Grains of a cloth, told by its warp."""
UPRIGHT: frozenset[Grain] = frozenset({"head-tail", "warp head-tail"})
"""Grains that run from head to tail."""
Side = Literal["head", "tail", "left", "right"]


@dataclass(frozen=True, slots=True)
class Fold:
    """A crease; valley folds close towards the face that lies up."""

    kind: Literal["valley", "mountain"]
    line: tuple[Point, Point]
    label: str = ""


@dataclass(frozen=True, slots=True)
class Hole:
    """A hole to prick; `old` holes are shown as open circles that must not be pierced."""

    at: Point
    label: str = ""
    old: bool = False
    radius: float = 1.0


@dataclass(frozen=True, slots=True)
class Zone:
    """A part of one face: pasted to a partner with an adhesive, or kept free."""

    kind: Literal["pasted", "free"]
    face: Literal["up", "under"]
    to: str
    outline: Ring
    adhesive: str = ""
    words: str = ""
    """What the zone says on the sheet, when more than `to` and `adhesive` is wanted."""
    on: Where | None = None
    """Part of the book as it is that the zone is pasted to; None where that is new."""
    lined: bool = False
    """A new lining lies between, which hides that part already: the bond alone reaches it."""

    @property
    def covers(self) -> Where | Literal[""]:
        """Part of the book as it is that is hidden by it; "" for none."""
        return self.on or "" if self.kind == "pasted" and not self.lined else ""


@dataclass(frozen=True, slots=True)
class Dimension:
    """A distance to be written with extension lines outside the piece on `side`.

    `row` 0 lies nearest the piece. Head and tail rows measure along x, left and right along y.
    """

    start: Point
    end: Point
    side: Side
    row: int = 0
    text: str = ""
    """Left empty, the distance itself is written to 0.1 mm."""


@dataclass(frozen=True, slots=True)
class Label:
    """Words wanted at a place on the piece; the page composer may move them inside `within`."""

    at: Point
    text: str
    rank: Literal["name", "note", "small"] = "note"
    angle_deg: float = 0.0
    within: Ring = ()


@dataclass(frozen=True, slots=True)
class Piece:
    """One thing to cut, at its nominal size in mm."""

    name: str
    structure: str
    material: str
    thickness_mm: float
    outline: Ring
    grain: Grain
    quantity: int = 1
    title: str = ""
    titled_by_structure: bool = False
    """Its title begins with its structure's, which no sheet then says beside it."""
    rough: Ring = ()
    """A larger outline to cut first; the outline itself is then the line to trim to."""
    openings: tuple[Ring, ...] = ()
    """Outlines cut out of the inside of the piece."""
    holes: tuple[Hole, ...] = ()
    folds: tuple[Fold, ...] = ()
    slits: tuple[tuple[Point, Point], ...] = ()
    kerf_mm: float = 0.0
    """How wide the first slit is: it is drawn so wide; the others, and without it all, as thick lines."""
    zones: tuple[Zone, ...] = ()
    dimensions: tuple[Dimension, ...] = ()
    labels: tuple[Label, ...] = ()
    references: tuple[tuple[Point, ...], ...] = ()
    """Thin lines that are neither cut nor folded: a centre line, the edge of another part."""
    left: str = ""
    right: str = ""
    """Words at the left and right edges: FRONT and BACK on a spine-wide piece."""
    head: str = "HEAD"
    tail: str = "TAIL"
    face_up: str = "this face up: away from the text block"
    lies_on_mm: float | None = None
    """Thickness already on the spine beneath it (printed as "lies on … mm")."""
    grain_reason: str = ""
    """Why it runs so; of a paper's grain it says the direction, too, of a cloth's warp the reason alone."""
    notes: tuple[str, ...] = ()
    heed: str = ""
    """What is decided before it is cut: printed bold, in a frame, first of all that is said of it."""
    tolerance_mm: float = 0.0
    marks: tuple[Mark, ...] = ()
    """Ready-drawn marks in piece coordinates, for what the fields above cannot say."""
    spine_joint_free: bool = False
    """A tile joint across the spine's width is to be avoided."""
    serves: tuple[str, ...] = ()
    """Other structures of the pattern that this one piece serves as well."""
    drawn_as: str = ""
    """Name of the piece whose drawing serves for this one too, of another width; "" for its own."""
    mirrors: str = ""
    """Name of the piece of which this is the mirror image: one drawing may serve for both, turned over."""
    stock: bool = True
    """Cut from stock; a paper guide printed to be used itself (gauge, pricking strip) is not."""

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Least x, least y, greatest x, greatest y of the outline in mm."""
        xs = [x for x, _ in self.outline]
        ys = [y for _, y in self.outline]
        return min(xs), min(ys), max(xs), max(ys)

    @property
    def width_mm(self) -> float:
        """Cut width (x) in mm."""
        left, _, right, _ = self.bounds
        return right - left

    @property
    def height_mm(self) -> float:
        """Cut height (y) in mm."""
        _, top, _, bottom = self.bounds
        return bottom - top

    @property
    def first_cut_mm(self) -> tuple[float, float]:
        """Width and height of what is cut first: the rough outline where there is one."""
        xs = [x for x, _ in self.rough or self.outline]
        ys = [y for _, y in self.rough or self.outline]
        return max(xs) - min(xs), max(ys) - min(ys)
