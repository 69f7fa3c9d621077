"""secondary_sewing: a lining sewn through some of the gatherings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal

from patterns.book import board_joint
from patterns.book.boards import SIDES, Which
from patterns.book.book import Book
from patterns.errors import SettingError, Unsuitable
from patterns.formulas import joints
from patterns.model.part import Layer, Part, Union
from patterns.model.piece import Piece, Zone
from patterns.sewing import lining, pricking
from patterns.sewing import plan as sewing_plan
from patterns.sewing import view as sewing_view
from patterns.sewing import words as sewing_words
from patterns.sewing.lining import Cloth, Flange
from patterns.sewing.plan import Settings
from patterns.sewing.sewn import Sewn
from patterns.units import tenth

NAME = "secondary_sewing"
PASTE = "wheat starch paste"
ONTO_MM = (32.0, 51.0)
"""How far the lining goes onto a board: general, and heavy (A. L. Bailey 1916, published)."""
LEAST_HOLD_MM = 5.0
"""A flange pasted to a board by less than this is refused (practice)."""


@dataclass(frozen=True, slots=True)
class Params:
    """Settings of the sewing; lengths in mm."""

    flange: float | None
    setback_head: float
    setback_tail: float
    edge: float
    every: float | None
    gatherings: tuple[int, ...] | None
    stitches: int | None
    stitch: float
    clear: float
    end: float | None
    strips: int | None
    path: Literal["fold", "loops", "continuous"]
    layout: Literal["best", "classes"]
    fixed: str
    reuse: bool
    line_folds: bool
    pasted: bool
    safety: float
    paper: Literal["strong", "fair", "weak", "brittle"] | None
    strong: Literal["weft", "warp", "equal"] | None


def draft(book: Book, params: Params) -> Part:
    """Work out the lining, the places of its stitches, the needle's way and the load.

    Raises Unsuitable for paper too weak to sew, PlacementError when no stitches fit,
    SettingError for settings that contradict each other.
    """
    tissue = book.material("tissue")
    through = tissue.thickness_mm + book.material("cloth").thickness_mm
    wanted = sewing_plan.settings(NAME, params, lining_mm=through)
    sewn = sewing_plan.sew(book, wanted)
    cloth_book = replace(book, lies_on_mm=book.lies_on_mm + tissue.thickness_mm)
    flanges = _flanges(book, params)
    setbacks = (params.setback_head, params.setback_tail)
    cloth = lining.cut(
        cloth_book,
        NAME,
        flanges,
        setbacks,
        spine_to="first lining" if params.pasted else "",
        strong=params.strong,
    )
    guide = replace(
        cloth.piece,
        holes=pricking.guide_holes(book, cloth, sewn, params.setback_head),
        notes=(*cloth.piece.notes, lining.GUIDE),
        serves=tuple(name for name in ("board_slot",) if name in book.companions),
    )
    first = _first_lining(book, params)
    return Part(
        structure=NAME,
        title="Secondary sewing",
        quantities=_quantities(book, wanted, sewn, cloth, first, flanges),
        pieces=(guide, first, *pricking.pricking_strips(book, sewn, NAME, params.path)),
        diagrams=sewing_view.diagrams(book, sewn, cloth, NAME, params.path),
        layers=_layers(cloth, first, "pasted and sewn" if params.pasted else "sewn"),
        warnings=(*_fallen_in(book), *sewing_words.warnings(book, wanted, sewn)),
        boxes=sewing_words.boxes(wanted, sewn),
        checks=sewing_plan.checks(sewn),
        sewing=sewing_plan.sewing(book, wanted, sewn),
    )


def _fallen_in(book: Book) -> tuple[str, ...]:
    if book.spine.turn_deg >= 0:
        return ()
    return (
        f"{NAME}: the spine has fallen in, and a lining pasted and sewn to it keeps it so: bring it back to its round, "
        "measure it again and draft from that record, or support the block (text_block_support) and do nothing else",
    )


def _quantities(
    book: Book,
    wanted: Settings,
    sewn: Sewn,
    cloth: Cloth,
    first: Piece,
    flanges: Mapping[Which, Flange],
) -> dict[str, float | str | bool]:
    return sewing_words.figures(book, wanted, sewn) | {
        "lining_width_mm": cloth.piece.width_mm,
        "lining_height_mm": cloth.piece.height_mm,
        "spine_width_mm": cloth.spine_mm,
        "flange_mm": max(f.width_mm for f in flanges.values()),
        "flange_front_mm": flanges["front"].width_mm,
        "flange_back_mm": flanges["back"].width_mm,
        "own_flange": "board_slot" not in book.companions,
        "fallen_in": book.spine.turn_deg < 0 and "spine_lining" not in book.companions,
        "cloth_words": lining.cut_words(cloth.piece),
        "tissue_words": f"{tenth(first.width_mm)} × {tenth(first.height_mm)} mm",
        "warp_words": lining.warp_words(cloth.piece.grain),
        "flange_words": " and ".join(
            f"{which} {tenth(flange.width_mm)}" for which, flange in flanges.items()
        ),
    }


def _flanges(book: Book, params: Params) -> dict[Which, Flange]:
    flanges = {}
    for side in SIDES:
        slotted = book.given("board_slot", f"flange_{side}_mm")
        if slotted is not None:
            flanges[side] = _slotted(book, params, side, slotted)
            continue
        reach = ONTO_MM[1] if book.heavy_for_lining else ONTO_MM[0]
        across = 0.0
        if book.boarded(side):
            across = board_joint.lining_path(book.joint(book.board(side)), "N").length_mm
        width = params.flange if params.flange is not None else across + reach
        if width < across + LEAST_HOLD_MM:
            raise SettingError(
                f"secondary_sewing.flange: {width:g} mm ends in the {side} joint, which takes {across:.1f} mm; "
                f"give {across + LEAST_HOLD_MM:.1f} mm or more"
            )
        flanges[side] = Flange(width, width - across, f"inner face of the {side} board", 1)
    return flanges


def _slotted(book: Book, params: Params, side: Which, width: float) -> Flange:
    for name in ("setback_head", "setback_tail"):
        theirs = book.given("board_slot", f"{name}_mm")
        if theirs is not None and theirs != getattr(params, name):
            raise SettingError(
                f"{name}: board_slot has {theirs:g} and secondary_sewing {getattr(params, name):g} mm for one cloth; "
                f"set both with --set {name}=…"
            )
    if params.flange is not None:
        raise SettingError(
            "secondary_sewing.flange: with board_slot the flange is its J + L − 1; leave flange out"
        )
    depth = _of_slot(book, f"slot_depth_{side}_mm")
    return Flange(
        width,
        depth - joints.SHORTER_MM,
        f"slot in the {side} board",
        2,
        _of_slot(book, "trim_mm"),
        _of_slot(book, "cutter_diameter_mm"),
        depth,
    )


def _of_slot(book: Book, name: str) -> float:
    value = book.given("board_slot", name)
    if value is None:
        raise Unsuitable(
            f"secondary_sewing: board_slot works out no {name}; draft one without the other"
        )
    return value


def _first_lining(book: Book, params: Params) -> Piece:
    tissue = book.material("tissue")
    none = {side: Flange(0.0, 0.0, "", 1) for side in SIDES}
    tissue_book = replace(book, materials={**book.materials, "cloth": tissue.figures})
    setbacks = (params.setback_head, params.setback_tail)
    piece = lining.cut(tissue_book, NAME, none, setbacks, spine_to="folds of the spine").piece
    return replace(
        piece,
        name="first lining",
        title="first lining, tissue",
        material=tissue.name,
        grain="head-tail",
        grain_reason="grain head to tail, as linings lie (Roberts & Etherington)",
        zones=(Zone("pasted", "under", "folds of the spine", piece.outline, PASTE),),
        references=(),
        labels=(),
        notes=(),
        left=book.edge_words[0],
        right=book.edge_words[1],
    )


def _layers(cloth: Cloth, first: Piece, union: Union) -> tuple[Layer, ...]:
    half = cloth.spine_mm / 2
    left = -(half + cloth.left_mm)
    return (
        Layer("first lining", first.material, first.thickness_mm, -half, half, "pasted and sewn"),
        Layer(
            "lining cloth",
            cloth.piece.material,
            cloth.piece.thickness_mm,
            left,
            left + cloth.piece.width_mm,
            union,
            "pasted",
        ),
    )
