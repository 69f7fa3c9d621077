"""The cloth that lies over a spine and reaches into or onto both boards: one cut for all structures."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Literal

import shapely
from shapely import Polygon, box

from patterns.book.boards import Which
from patterns.book.book import Book
from patterns.formulas import geometry
from patterns.model.drawing import Ring
from patterns.model.part import Beyond, Layer, Union
from patterns.model.piece import UPRIGHT, Dimension, Grain, Label, Piece, Side, Zone
from patterns.model.traits import Where
from patterns.sewing import raised
from patterns.units import tenth

PASTE = "wheat starch paste"
GUIDE = "holes: heights only; not pierced beforehand, the needle finds its place from the fold"
"""What a lining says of the holes drawn on it as a guide."""
FREE_MM = 0.05
"""A free strip narrower than this is none."""
SLOT_BEYOND_MM = 1.0
"""A slot starts this far beyond the cloth at each end."""


@dataclass(frozen=True, slots=True)
class Flange:
    """One flange: its whole width from the shoulder's tip, of which the last part is pasted.

    `into` says where; `faces` 2 for a slot. `arc_diameter_mm` cuts the inner corners as a disc
    cutter leaves the slot's ends, `slot_beyond_mm` beyond the cloth. `on` is the part of the book
    it is pasted to.
    """

    width_mm: float
    pasted_mm: float
    into: str
    faces: Literal[1, 2]
    trim_mm: float = 0.0
    arc_diameter_mm: float = 0.0
    slot_depth_mm: float = 0.0
    on: Where = "board"


@dataclass(frozen=True, slots=True)
class Cloth:
    """The cloth's piece with the places others need: widths of the spine part, both flanges."""

    piece: Piece
    spine_head_mm: float
    spine_tail_mm: float
    left_mm: float
    right_mm: float
    height_mm: float
    """Along the fold; a cone's cloth, laid flat, bows beyond it."""

    @property
    def spine_mm(self) -> float:
        """Mean width over the spine."""
        return (self.spine_head_mm + self.spine_tail_mm) / 2

    def layer(self, union: Union, beyond: Beyond) -> Layer:
        """Return the cloth as a layer of the section, each side as far as its own flange."""
        half, piece = self.spine_mm / 2, self.piece
        return Layer(
            "lining cloth",
            piece.material,
            piece.thickness_mm,
            -(half + self.left_mm),
            half + self.right_mm,
            union,
            "pasted",
            beyond=beyond,
        )


def warp(book: Book, strong: str | None) -> tuple[Grain, str]:
    """Lay the cloth's stronger thread across the joint, and say why.

    `strong` ("weft", "warp", "equal") wins over what the material says of itself.
    """
    strongest = strong or book.materials["cloth"].strong or "weft"
    if strongest == "warp":
        return "warp spine-fore edge", "the warp is the stronger thread here and crosses the joint"
    if strongest == "equal":
        return "warp head-tail", "both threads are equal; warp along the spine, as a lining lies"
    return "warp head-tail", "the weft, the stronger thread (Bockmuehl 2019), crosses the joint"


def warp_words(grain: Grain) -> str:
    """Say how a cloth's warp lies, for a step.

    >>> warp_words("warp head-tail")
    'warp head to tail'
    """
    return "warp head to tail" if grain in UPRIGHT else "warp spine to fore edge"


def size_words(piece: Piece) -> str:
    """Say how large a plain lining is, where its spine is tapered at the head and at the tail."""
    high = tenth(piece.height_mm)
    wide = {
        d.side: tenth(d.end[0] - d.start[0]) for d in piece.dimensions if d.side in ("head", "tail")
    }
    if "tail" not in wide:
        return f"{tenth(piece.width_mm)} × {high} mm"
    return f"{wide['head']} mm wide at the head, {wide['tail']} at the tail, {high} high"


def cut_words(piece: Piece) -> str:
    """Say what size a cloth is cut, and to what it is trimmed where it is cut larger first."""
    size = f"{tenth(piece.width_mm)} × {tenth(piece.height_mm)} mm"
    if not piece.rough:
        return size
    first = " × ".join(map(tenth, piece.first_cut_mm))
    return f"along the outer line, {first} mm ({size} when trimmed)"


def first_layer(piece: Piece, half_mm: float, union: Union) -> Layer:
    """Return the first lining as a layer of the section, from one shoulder's tip to the other."""
    return Layer("first lining", piece.material, piece.thickness_mm, -half_mm, half_mm, union)


def cut(
    book: Book,
    structure: str,
    flanges: dict[Which, Flange],
    setbacks: tuple[float, float],
    spine_to: str,
    strong: str | None = None,
) -> Cloth:
    """Cut the lining: width a(u, t) + two flanges, height H − setbacks, tapered with the spine.

    `flanges` by board ("front", "back"); x runs from the back board to the front board for a
    left-to-right book. `spine_to` is what it is pasted to over the spine; "" leaves it free there.
    """
    cloth = book.material("cloth")
    head, tail = (
        book.spine.layer_mm(book.lies_on_mm, cloth.thickness_mm, at)
        for at in (setbacks[0], book.height_mm - setbacks[1])
    )
    height = book.height_mm - sum(setbacks)
    left, right = (flanges[side] for side in book.across)
    bands = _Bands(head, tail, height, left, right)
    outline = _with_arcs(bands, left, right)
    grain, reason = warp(book, strong)
    over = _inside(Polygon(bands.band(0.0, 0.0)), Polygon(outline))
    zones = [
        Zone(
            "pasted",
            "under",
            spine_to,
            over,
            PASTE,
            "pasted between the shoulder tips",
            "spine",
            True,
        )
        if spine_to
        else Zone("free", "under", "lies dry on the lining beneath; the sewing holds it", over)
    ]
    zones += _flange_zones(bands, left, "left", outline) + _flange_zones(
        bands, right, "right", outline
    )
    rough = bands.band(left.width_mm + left.trim_mm, right.width_mm + right.trim_mm)
    if not Polygon(rough).buffer(0.01).covers(Polygon(outline)):
        # a wider cone's cloth bows less at its ends: it must not cut into the piece itself
        whole: Any = Polygon(rough).union(Polygon(outline))
        rough = tuple(whole.exterior.coords[:-1])
    words = [f"{side.upper()} {book.side_word(side)}" for side in book.across]
    piece = Piece(
        name="lining",
        title="lining cloth",
        structure=structure,
        material=cloth.name,
        thickness_mm=cloth.thickness_mm,
        outline=outline,
        rough=rough if left.trim_mm or right.trim_mm else (),
        grain=grain,
        grain_reason=reason,
        zones=tuple(zones),
        dimensions=_dimensions(bands, left, right),
        labels=(Label((bands.middle(0.0), height * 0.5), "over the spine", "note"),),
        references=tuple(
            (bands.edge(side, 0.0, 0.0), bands.edge(side, 0.0, 1.0)) for side in ("left", "right")
        ),
        left=words[0],
        right=words[1],
        lies_on_mm=book.lies_on_mm,
        tolerance_mm=book.spine.error_mm,
        notes=("thin lines: tips of the shoulders; paste no further",),
        spine_joint_free=True,
    )
    piece = raised.marked(piece, book, setbacks, over)
    return Cloth(piece, head, tail, left.width_mm, right.width_mm, height)


@dataclass(frozen=True, slots=True)
class _Bands:
    """Tapered bands about the spine's centre line, in the piece's own coordinates."""

    head: float
    tail: float
    height: float
    left: Flange
    right: Flange

    @property
    def _origin(self) -> float:
        return self.left.width_mm + max(self.head, self.tail) / 2

    def middle(self, _y: float) -> float:
        return self._origin

    def band(self, left: float, right: float) -> Ring:
        """Outline of the band that reaches `left` and `right` beyond the spine's edges."""
        shift = self._origin + (right - left) / 2
        more = left + right
        shape = geometry.tapered_outline(self.head + more, self.tail + more, self.height)
        return tuple((x + shift, y) for x, y in shape)

    def edge(self, side: str, beyond: float, share: float) -> tuple[float, float]:
        """Return the point `beyond` the spine's edge, `share` of the way from head to tail."""
        half = (self.head + (self.tail - self.head) * share) / 2 + beyond
        sign = -1 if side == "left" else 1
        return self._origin + sign * half, self.height * share

    def strip(self, side: str, near: float, far: float) -> Any:
        """Polygon between two distances beyond the spine's edge, on one side."""
        corners = (
            self.edge(side, near, 0.0),
            self.edge(side, far, 0.0),
            self.edge(side, far, 1.0),
            self.edge(side, near, 1.0),
        )
        return Polygon(corners)


def _with_arcs(bands: _Bands, left: Flange, right: Flange) -> Ring:
    whole = bands.band(left.width_mm, right.width_mm)
    if not (left.arc_diameter_mm or right.arc_diameter_mm):
        return whole
    shape = Polygon(whole)
    for side, flange in (("left", left), ("right", right)):
        if flange.arc_diameter_mm:
            for share in (0.0, 1.0):
                shape = shape.difference(_corner_waste(bands, side, flange, share))
    return tuple((x, y) for x, y in shape.exterior.coords[:-1])


def _corner_waste(bands: _Bands, side: str, flange: Flange, share: float) -> Any:
    """Return what a disc cutter's round end keeps from the flange's inner corner.

    The slot is `SLOT_BEYOND_MM` longer than the cloth, so the arc starts that far outside it.
    """
    radius, depth = flange.arc_diameter_mm / 2, flange.slot_depth_mm
    mouth, _ = bands.edge(side, flange.width_mm - flange.pasted_mm, share)
    outwards = -1 if side == "left" else 1
    run = (flange.arc_diameter_mm * depth - depth**2) ** 0.5
    y_end, inwards = (0.0, 1) if share == 0 else (bands.height, -1)
    start = y_end - inwards * SLOT_BEYOND_MM
    centre = shapely.Point(mouth - outwards * (radius - depth), start + inwards * run)
    disc = centre.buffer(radius, quad_segs=90)
    corner = box(
        min(mouth, mouth + outwards * 2 * depth),
        min(start, start + inwards * run),
        max(mouth, mouth + outwards * 2 * depth),
        max(start, start + inwards * run),
    )
    return corner.difference(disc)


def _inside(shape: Any, outline: Any) -> Ring:
    """Return a zone's ring, cut off where a cone's outline bows inside it."""
    kept = shape if shape.difference(outline).area < 1e-6 else shape.intersection(outline)
    return tuple(kept.exterior.coords[:-1])


def _flange_zones(bands: _Bands, flange: Flange, side: str, outline: Ring) -> list[Zone]:
    if flange.width_mm == 0:
        return []
    whole = Polygon(outline)
    free_to = flange.width_mm - flange.pasted_mm
    free = bands.strip(side, 0.0, free_to)
    pasted = bands.strip(side, free_to, flange.width_mm).intersection(whole)
    solid = max(getattr(pasted, "geoms", [pasted]), key=lambda part: part.area)
    ring = tuple(solid.exterior.coords[:-1])
    zones = [Zone("pasted", "under", flange.into, ring, PASTE, on=flange.on)]
    if free_to > FREE_MM:
        joint = _inside(free, whole)
        zones.insert(0, Zone("free", "under", "free over the joint", joint))
    if flange.faces == 2:
        words = f"both faces: {flange.into}"
        zones.append(Zone("pasted", "up", flange.into, ring, PASTE, words, flange.on))
    return zones


def _wholes(bands: _Bands, left: Flange, right: Flange) -> list[Dimension]:
    """Return the whole width at the head, of a taper at the tail as well.

    Of a cloth that is cut larger first the narrower end says itself what it is trimmed to; the
    sheet says so of the width that the whole piece goes by.
    """
    tapers = abs(bands.head - bands.tail) >= 0.05
    ends: list[tuple[Side, float, float]] = [("head", 0.0, bands.head), ("tail", 1.0, bands.tail)]
    return [
        Dimension(
            bands.edge("left", left.width_mm, share),
            bands.edge("right", right.width_mm, share),
            side,
            1,
            f"trim to {tenth(width + left.width_mm + right.width_mm)}"
            if (left.trim_mm or right.trim_mm) and max(bands.head, bands.tail) - width >= 0.05
            else "",
        )
        for side, share, width in (ends if tapers else ends[:1])
    ]


def _dimensions(bands: _Bands, left: Flange, right: Flange) -> tuple[Dimension, ...]:
    at = [
        bands.edge("left", left.width_mm, 0.0),
        bands.edge("left", 0.0, 0.0),
        bands.edge("right", 0.0, 0.0),
        bands.edge("right", right.width_mm, 0.0),
    ]
    rows = [Dimension(a, b, "head") for a, b in pairwise(at) if a != b]
    if len(rows) > 1:
        rows += _wholes(bands, left, right)
    rows.append(
        Dimension(
            (at[0][0], 0.0),
            (at[0][0], bands.height),
            "left",
            0,
            f"{tenth(bands.height)} head to tail",
        )
    )
    for side, flange in (("left", left), ("right", right)):
        free = flange.width_mm - flange.pasted_mm
        if flange.faces == 1 and flange.width_mm > free > FREE_MM:
            stops = [bands.edge(side, beyond, 1.0) for beyond in (0.0, free, flange.width_mm)]
            rows.append(Dimension(stops[0], stops[1], "tail", 0, f"free {tenth(free)}"))
            rows.append(
                Dimension(stops[1], stops[2], "tail", 0, f"pasted {tenth(flange.pasted_mm)}")
            )
    if abs(bands.head - bands.tail) >= 0.05:
        rows.append(Dimension(bands.edge("left", 0.0, 1.0), bands.edge("right", 0.0, 1.0), "tail"))
    return tuple(rows)
