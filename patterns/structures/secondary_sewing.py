"""secondary_sewing: a lining sewn through some of the gatherings (structures.md; workings.md B)."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal

from patterns import (
    joints,
    lining,
    mechanics,
    needle,
    scatter,
    sewing_load,
    sewing_view,
    sewing_words,
    stations,
)
from patterns.book import SIDES, Book, Which
from patterns.errors import SettingError
from patterns.lining import Cloth, Flange
from patterns.piece import Check, Layer, Part, Piece, Sewing, Stitch, Zone
from patterns.scatter import Arrangement
from patterns.sewing_load import Load, Paper
from patterns.sewn import Sewn, old_holes

NAME = "secondary_sewing"
PASTE = "wheat starch paste"
ONTO_MM = (32.0, 51.0)
"""How far the lining goes onto a board: general, and heavy (A. L. Bailey 1916, published)."""
LEAST_HOLD_MM = 5.0
"""A flange pasted to a board by less than this is refused (practice)."""


@dataclass(frozen=True, slots=True)
class Params:
    """Settings of the sewing; lengths in mm."""

    flange: float | None = None
    setback_head: float = 12.7
    setback_tail: float = 12.7
    edge: float = 5.0
    every: float | None = None
    gatherings: tuple[int, ...] | None = None
    stitches: int | None = None
    stitch: float = 15.0
    clear: float = 5.0
    end: float | None = None
    strips: int | None = None
    path: Literal["fold", "loops", "continuous"] = "fold"
    layout: Literal["best", "classes"] = "best"
    fixed: str = ""
    reuse: bool = False
    line_folds: bool = False
    pasted: bool = True
    safety: float = 3.0
    paper_class: str | None = None
    strong: str | None = None


def draft(book: Book, params: Params) -> Part:
    """Work out the lining, the places of its stitches, the needle's way and the load.

    Raises Unsuitable for paper too weak to sew, PlacementError when no stitches fit,
    SettingError for settings that contradict each other.
    """
    tissue = book.material("tissue")
    sewn = _sew(book, params)
    cloth_book = replace(book, lies_on_mm=book.lies_on_mm + tissue.thickness_mm)
    flanges = _flanges(book, params)
    setbacks = (params.setback_head, params.setback_tail)
    cloth = lining.cut(
        cloth_book, NAME, flanges, setbacks, spine_to="first lining" if params.pasted else "", strong=params.strong
    )
    guide = replace(
        cloth.piece, holes=sewing_view.guide_holes(book, cloth, sewn, params.setback_head)
    )
    first = _first_lining(book, params)
    words = sewing_words.figures(book, params, sewn, cloth, first, flanges)
    return Part(
        structure=NAME,
        title="Secondary sewing",
        quantities=words,
        pieces=(guide, first, *sewing_view.pricking_strips(book, sewn, NAME)),
        diagrams=sewing_view.diagrams(book, sewn, cloth, NAME, params.path),
        layers=_layers(cloth, first),
        warnings=sewing_words.warnings(book, params, sewn),
        boxes=sewing_words.boxes(params, sewn),
        checks=_checks(sewn),
        sewing=_sewing(book, params, sewn),
    )


def _sew(book: Book, params: Params) -> Sewn:
    total, folios, own = _gatherings(book)
    if params.gatherings is not None and params.every is not None:
        raise SettingError(
            "secondary_sewing: every and gatherings are both set; give one of the two"
        )
    chosen = params.gatherings or scatter.chosen_gatherings(total, params.every or 3)
    if max(chosen) > total or min(chosen) < 1:
        raise SettingError(
            f"secondary_sewing.gatherings: {max(chosen)} is asked for; allowed are 1 to {total} "
            "(gatherings with two folios or more, counted from the first of them)"
        )
    known = sewing_load.paper(book, params.paper_class)
    grade = params.paper_class or book.record.condition.paper
    sewing_load.refuse_weak(known, params.line_folds, grade)
    fold = _fold(book, params)

    def tried(count: int) -> tuple[Arrangement, Load | None]:
        request = _request(book, params, fold, chosen, total, own, count)
        found = scatter.arrange(request)
        return found, sewing_load.loads(book, found.centres_mm, folios, known, params.safety)

    arrangement, load = _enough(params, fold, known, len(chosen), tried)
    stitching = _stitching(book, params, arrangement, folios, total)
    return Sewn(total, folios, own, fold, arrangement, stitching, known, load)


def _enough(
    params: Params, fold: stations.Fold, known: Paper | None, sewn: int, tried: Any
) -> tuple[Arrangement, Load | None]:
    """Try the fewest stitches from 3 to 8 that reach the safety; 4 when the paper is unknown."""
    if params.stitches is not None:
        return tried(params.stitches)  # type: ignore[no-any-return]
    fit = scatter.heights_that_fit(fold, params.stitch)
    most = max(1, fit if sewn == 1 else fit // 2)
    if known is None:
        return tried(min(4, most))  # type: ignore[no-any-return]
    counts = range(min(3, most), min(8, most) + 1)
    found = None
    for count in counts:
        found = tried(count)
        load = found[1]
        if load is None and count >= min(4, most):
            break
        if load is not None and load.safety is not None and load.safety >= params.safety:
            break
    return found  # type: ignore[return-value]


def _gatherings(book: Book) -> tuple[int, dict[int, int], dict[int, tuple[float, ...]]]:
    """Return how many anchor gatherings there are, their folios, and the holes of irregular ones."""
    block, sewing = book.record.text_block, book.record.sewing
    last = block.anchor_last or block.gatherings or 0
    total = last - (block.anchor_first or 1) + 1
    usual = max(1, (block.leaves_per_gathering or 2) // 2)
    folios = dict.fromkeys(range(1, total + 1), usual)
    folios |= {one.gathering: one.folios for one in sewing.fold if one.folios}
    own = {one.gathering: one.holes for one in sewing.fold if one.holes is not None}
    return total, folios, own


def _fold(book: Book, params: Params) -> stations.Fold:
    holes, supports, width = old_holes(book)
    return stations.Fold(
        height_mm=book.height_mm,
        holes_mm=holes,
        supports_mm=supports,
        support_width_mm=width,
        clear_mm=params.clear,
        end_mm=params.end if params.end is not None else 12.0,
        setback_head_mm=params.setback_head,
        setback_tail_mm=params.setback_tail,
        edge_mm=params.edge,
        tie_down_mm=book.record.sewing.tie_down or 0.0,
        reuse=params.reuse,
    )


def _request(
    book: Book,
    params: Params,
    fold: stations.Fold,
    chosen: tuple[int, ...],
    total: int,
    own: Mapping[int, tuple[float, ...]],
    count: int,
) -> scatter.Request:
    return scatter.Request(
        gatherings=chosen,
        pitch_mm=book.spine.girth_mm(book.height_mm / 2) / total,
        fold=fold,
        stitches=count,
        stitch_mm=params.stitch,
        layout=params.layout,
        strips=params.strips if params.layout == "best" else params.strips or 2,
        fixed=_pins(params.fixed, total),
        own_holes_mm={g: holes for g, holes in own.items() if g in chosen},
    )


def _pins(text: str, total: int) -> tuple[tuple[int, float], ...]:
    pins = []
    for part in text.split():
        match = re.fullmatch(r"(\d{1,4})@(\d+(?:\.\d+)?)", part)
        if match is None or not 1 <= int(match[1]) <= total:
            raise SettingError(
                f"secondary_sewing.fixed: {part!r} is no pinned stitch; write gathering@centre such as "
                f"5@40, gathering 1 to {total}"
            )
        pins.append((int(match[1]), float(match[2])))
    return tuple(pins)


def _stitching(
    book: Book,
    params: Params,
    arrangement: Arrangement,
    folios: Mapping[int, int],
    total: int,
) -> needle.Stitching:
    block = book.record.text_block
    leaf = block.leaf_thickness or (block.thickness or 0.0) / (block.leaves or 1)
    cloth = book.material("cloth").thickness_mm + book.material("tissue").thickness_mm
    half = arrangement.stitch_mm / 2
    sewn = [
        needle.Sewn(
            gathering,
            tuple((c - half, c + half) for c in centres),
            needle.through_mm(cloth, folios[gathering], leaf),
        )
        for gathering, centres in arrangement.centres_mm.items()
    ]
    raised: tuple[tuple[float, float], ...] = ()
    if book.record.sewing.supports == "raised":
        _, supports, width = old_holes(book)
        raised = tuple((y - width / 2, y + width / 2) for y in supports)
    pitch = book.spine.girth_mm(book.height_mm / 2) / total
    return needle.sew(sewn, total, params.path, pitch_mm=pitch, raised_mm=raised)


def _flanges(book: Book, params: Params) -> dict[Which, Flange]:
    flanges = {}
    for side in SIDES:
        slotted = book.given("board_slot", f"flange_{side}_mm")
        if slotted is not None:
            flanges[side] = _slotted(book, params, side, slotted)
            continue
        reach = ONTO_MM[1] if book.heavy() else ONTO_MM[0]
        board = book.record.cover.side(side)
        across = 0.0
        if board.board_thickness is not None and board.board_height is not None:
            joint = lining.joint_of(book, book.board(side))
            across = joints.path(joint, "S", "N").length_mm
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
    depth = book.given("board_slot", f"slot_depth_{side}_mm") or 0.0
    return Flange(
        width,
        depth - joints.SHORTER_MM,
        f"slot in the {side} board",
        2,
        book.given("board_slot", "trim_mm") or 0.0,
        book.given("board_slot", "cutter_diameter_mm") or 0.0,
        depth,
    )


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


def _layers(cloth: Cloth, first: Piece) -> tuple[Layer, ...]:
    half = cloth.spine_mm / 2
    left = -(half + cloth.left_mm)
    return (
        Layer("first lining", first.material, first.thickness_mm, -half, half, "pasted"),
        Layer(
            "lining cloth",
            cloth.piece.material,
            cloth.piece.thickness_mm,
            left,
            left + cloth.piece.width_mm,
            "sewn",
            "pasted",
        ),
    )


def _sewing(book: Book, params: Params, sewn: Sewn) -> Sewing:
    found = sewn.arrangement
    stitches = [
        Stitch(gathering, *pair, force_n=sewn.load.standing_n[gathering][k] if sewn.load else None)
        for gathering in sorted(found.centres_mm)
        for k, pair in enumerate(sewn.holes(gathering))
    ]
    heights = sorted({y for s in stitches for y in (s.from_mm, s.to_mm)})
    return Sewing(
        stations_mm=tuple(heights),
        stitches=tuple(stitches),
        path=sewn.stitching.path(),
        thread_mm=sewn.stitching.total_mm,
        proof={"status": found.status, "bound_mm": found.bound_mm},
        details=sewing_words.details(book, params, sewn),
    )


def _checks(sewn: Sewn) -> tuple[Check, ...]:
    load = sewn.load
    if load is None:
        return ()
    count = sum(len(c) for c in sewn.arrangement.centres_mm.values())
    share = load.mass.kg * mechanics.GRAVITY / count
    return (
        Check("shear a stitch", share, "N", "m·g/N, the weight shared evenly (statics)"),
        Check(
            "greatest force a stitch",
            load.greatest_n,
            "N",
            "shear and moment by real heights (bolt group, Shigley, 9th ed., 8-12)",
        ),
    )
