"""Cloth and tissues of a hinge as pieces: outlines, what is bonded on each face, what stays free."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from shapely import Polygon, box, transform

from patterns.book.boards import Which
from patterns.book.book import Book
from patterns.formulas import geometry
from patterns.formulas.hinges import Tissue
from patterns.model.drawing import Point, Ring
from patterns.model.piece import Dimension, Label, Piece, Zone
from patterns.model.traits import Where
from patterns.sewing import lining
from patterns.sewing.lining import Cloth
from patterns.structures.suits.tissue_hinge import CLOTH_SHORT_MM
from patterns.units import tenth

TAPER_MM = 0.05
"""A stub whose ends differ by less is told by one width."""
GRAIN_REASON = (
    "grain across the joint, spine to fore edge: pasted over a joint a sheet tears along the fold when its grain runs "
    "with it; the published rule for linings, guards and boards is the opposite, head to tail (Roberts & Etherington)"
)


def cloth(
    book: Book,
    structure: str,
    flat: Tissue,
    widths: tuple[float, float],
    on_mm: float,
    ends: tuple[float, float],
    strong: str | None,
) -> Cloth:
    """Return the cloth of the laminate, so wide at its two ends, from head to tail end.

    `flat` is either tissue, `on_mm` what the cloth lies on.
    """
    stuff = book.material("cloth")
    head, tail = widths
    height, half = ends[1] - ends[0], max(head, tail) / 2
    shape = Polygon(geometry.tapered_outline(head, tail, height))
    grain, reason = lining.warp(book, strong)
    left, right = book.edge_words
    rows = [
        Dimension((half - head / 2, 0.0), (half + head / 2, 0.0), "head"),
        Dimension((0.0, 0.0), (0.0, height), "left", 0, f"{tenth(height)} head to tail"),
    ]
    if abs(head - tail) >= 0.05:
        rows.append(Dimension((half - tail / 2, height), (half + tail / 2, height), "tail"))
    piece = Piece(
        name="lining cloth",
        title="lining cloth",
        structure=structure,
        material=stuff.name,
        thickness_mm=stuff.thickness_mm,
        outline=_moved(shape, half),
        grain=grain,
        grain_reason=reason,
        zones=_cloth_zones(book, flat, (head, tail), height, shape),
        dimensions=tuple(rows),
        left=left,
        right=right,
        lies_on_mm=on_mm,
        tolerance_mm=book.spine.error_mm,
        notes=(lining.GUIDE,),
        spine_joint_free=True,
    )
    return Cloth(piece, head, tail, 0.0, 0.0, height)


def _cloth_zones(
    book: Book, flat: Tissue, widths: tuple[float, float], height: float, whole: Any
) -> tuple[Zone, ...]:
    """Bond the under face to the front stub, and to the back stub where it alone reaches."""
    to_front = 1 if book.left_to_right else -1

    joints = [
        (width / 2 + CLOTH_SHORT_MM, y) for width, y in zip(widths, (0.0, height), strict=True)
    ]

    def line(side: int, inside: float) -> list[Point]:
        """Return the line so far inside the front joint (1) or the back joint (−1)."""
        return [(to_front * side * (joint - inside), y) for joint, y in joints]

    def band(one: list[Point], other: list[Point]) -> Any:
        return Polygon([*one, *reversed(other)])

    half = max(widths) / 2
    reached = line(-1, max(flat.stub_end, CLOTH_SHORT_MM))
    bonds = [("front stub", band(line(1, flat.keep), reached))]
    if flat.stub_end > flat.keep:
        bonds.append(("back stub", band(reached, line(-1, flat.keep))))
    adhesive = book.materials["adhesive"].name
    zones = [Zone("free", "up", "spine of the cover", _moved(whole, half))]
    for to, shape in bonds:
        zones.append(Zone("pasted", "under", to, _moved(shape.intersection(whole), half), adhesive))
    return tuple(zones)


def _moved(shape: Any, right: float) -> Ring:
    return tuple((x + right, y) for x, y in shape.exterior.coords[:-1])


def tissue(book: Book, structure: str, flat: Tissue, side: Which) -> Piece:
    """Return one tissue as a piece, its stub towards the spine; front and back are mirror images."""
    outwards = book.at_right(side)
    top = min(flat.stub_top, flat.side_top)

    def placed(shape: Any) -> Ring:
        """Turn the tissue's own coordinates into the piece's: the front lies mirrored to the back."""
        sign, shift = (1.0, flat.stub_mm) if outwards else (-1.0, flat.reach)
        turned = transform(shape, lambda xy: xy * [sign, 1.0] + [shift, -top])
        return tuple((x, y) for x, y in turned.exterior.coords[:-1])

    stuff = book.material("tissue")
    words = (f"{side.upper()} side, fore edge", "stub, behind the folds")
    at = flat.stub_mm if outwards else flat.reach
    side_x = at + flat.reach / 2 if outwards else at / 2
    middle = (flat.side_top + flat.side_bottom) / 2 - top
    grown = growth(book, flat)
    return Piece(
        name=f"tissue, {side}",
        title=f"tissue, {side}",
        structure=structure,
        material=stuff.name,
        thickness_mm=stuff.thickness_mm,
        outline=placed(flat.outline()),
        grain="spine-fore edge",
        grain_reason=GRAIN_REASON,
        zones=tuple(
            replace(zone, outline=placed(shape)) for zone, shape in _tissue_zones(book, flat, side)
        ),
        dimensions=_dimensions(flat, outwards, top),
        labels=(Label((side_x, middle), f"to the {side} side", "note"),),
        references=(((at, flat.side_top - top), (at, flat.side_bottom - top)),),
        left=words[1] if outwards else words[0],
        right=words[0] if outwards else words[1],
        lies_on_mm=book.lies_on_mm + (stuff.thickness_mm if side == "front" else 0.0),
        mirrors="tissue, front" if side == "back" else "",
        tolerance_mm=book.spine.error_mm,
        notes=(
            "thin line: the joint edge of the block",
            f"{tenth(flat.slack)} mm of slack in the free strip",
            *(
                (f"wetted it would grow {grown[0]:.2f} wide and {tenth(grown[1])} high (memory)",)
                if grown
                else ()
            ),
        ),
        spine_joint_free=True,
    )


def _tissue_zones(book: Book, flat: Tissue, side: Which) -> list[tuple[Zone, Any]]:
    """Say for both faces what is bonded, and to what; the free strip crosses the joint."""
    adhesive = book.materials["adhesive"].name
    near = max(flat.keep, flat.stub_end)

    def zone(
        kind: Any, face: Any, to: str, shape: Any, on: Where | None = None
    ) -> tuple[Zone, Any]:
        return Zone(kind, face, to, (), adhesive if kind == "pasted" else "", on=on), shape

    zones = [
        zone("free", "up", "joint: it bends", flat.free_strip()),
        zone(
            "pasted", "up", f"inside of the {side} side of the cover", flat.side(flat.free), "cover"
        ),
    ]
    if side == "front":
        beneath = flat.stub(max(0.0, flat.keep - flat.stub_end), flat.stub_end)
        zones += [
            zone("pasted", "up", "cloth", flat.stub(0.0, flat.keep)),
            zone("pasted", "under", "back stub", beneath),
            zone("free", "under", "leaves", flat.side()),
        ]
        return zones
    zones.append(zone("pasted", "up", "front stub", flat.stub(0.0, near)))
    if flat.stub_end > flat.keep:
        alone = box(-near, flat.stub_top, -flat.keep, flat.stub_bottom)
        zones.append(zone("pasted", "up", "cloth", alone))
    zones.append(zone("free", "under", "folds and leaves", flat.outline()))
    return zones


def _dimensions(flat: Tissue, outwards: bool, top: float) -> tuple[Dimension, ...]:
    def x(local: float) -> float:
        return flat.stub_mm + local if outwards else flat.reach - local

    head, low = flat.side_top - top, flat.side_bottom - top
    stub, joint, end = x(-flat.stub_mm), x(0.0), x(flat.reach)
    at_head, at_tail = x(-flat.stub_head), x(-flat.stub_tail)
    tapered = abs(flat.stub_head - flat.stub_tail) >= TAPER_MM
    bonds = [x(-flat.keep), joint, x(flat.free)]
    stub_ends = ((stub, flat.stub_top - top), (stub, flat.stub_bottom - top))
    rows = [
        Dimension((at_head, head), (joint, head), "head"),
        Dimension((joint, head), (end, head), "head"),
        Dimension((at_head, head), (end, head), "head", 1),
        *(
            Dimension((a, low), (b, low), "tail")
            for a, b in zip([at_tail, *bonds], [*bonds, end], strict=True)
        ),
        *(
            Dimension((at_tail, low), (to, low), "tail", lane)
            for lane, to in ((1, joint), (2, end))
            if tapered
        ),
        Dimension(*stub_ends, "left" if outwards else "right", 0, f"{tenth(flat.stub_bottom - flat.stub_top)} stub"),
        Dimension((end, head), (end, low), "right" if outwards else "left", 0, f"{tenth(low - head)} side"),
    ]  # fmt: skip
    return tuple(rows)


def growth(book: Book, flat: Tissue) -> tuple[float, float] | None:
    """Return how much a tissue would grow along (wide) and across (high) its grain, in mm.

    None where nobody knows how its paper grows.
    """
    along, across = book.materials["tissue"].growth_along, book.materials["tissue"].growth_across
    if along is None or across is None:
        return None
    high = max(flat.stub_bottom - flat.stub_top, flat.side_bottom - flat.side_top)
    return along / 100 * flat.width_mm, across / 100 * high
