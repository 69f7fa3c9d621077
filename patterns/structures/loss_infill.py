"""loss_infill: paper or board cut to a traced loss."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import shapely

from patterns.book.answer import certain
from patterns.book.boards import Which
from patterns.book.book import Book, Stuff
from patterns.errors import Problem, SettingError
from patterns.model.drawing import Ring
from patterns.model.part import Check, Part, Quantity
from patterns.model.piece import Dimension, Grain, Label, Piece, Zone
from patterns.model.traits import Where
from patterns.structures.shared import infill_view
from patterns.structures.suits.loss_infill import LeafFace, Of, Params
from patterns.traced import losses, outlines
from patterns.traced.losses import Infill
from patterns.traced.tracing import Traced
from patterns.units import tenth, told_apart

NAME = "loss_infill"
PASTE = "wheat starch paste"
SCALE_SHARE, SCALE_MM = 0.005, 0.5
"""A tracing may be out by half a per cent, and by half a millimetre over its whole extent."""
LEAF_MM = 2.0
MOST_LEAF = 1.5
"""Times the leaf or board of the record: a traced one beyond it is another's, or not at 1:1 (practice)."""
MOST_SHARE = 1 / 3
"""Of a leaf lost: more than this asks for something else (practice)."""


@dataclass(frozen=True, slots=True)
class _Work:
    """The losses as seen from the face they are filled from, and everything said of them."""

    traced: Traced
    leaf: Any | None
    infills: tuple[Infill, ...]
    overlap_mm: float
    spine_left: bool
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Figures:
    """What the steps are filled in with."""

    traced_words: str
    face_words: str
    mirror_words: str
    thing: str
    of_leaf: bool
    size_words: str
    scale_words: str
    material_words: str
    grain_words: str
    overlap_mm: float
    trims: bool


def draft(book: Book, params: Params) -> Part:
    """Work out an infill for every traced loss, as seen from the face it is pasted to.

    Raises SettingError for an outline that is missing, unsound or not at 1:1, for a loss that lies
    outside the leaf or takes the whole of it.
    """
    if params.outline is None:
        found, allowed = "the traced loss is needed", "an SVG or DXF file, or points in mm"
        problem = Problem("loss_infill.outline", found, allowed, "give it", "no outline")
        raise SettingError(f"{problem.field}: {found}", [problem])
    traced = outlines.read(params.outline)
    work = _work(book, params, traced)
    _refuse_whole(params, work)
    stuff = book.material("paper" if params.of == "leaf" else "board")
    grain, reason = _grain(book, params)
    seen = _face(params.of, params.face)
    return Part(
        structure=NAME,
        title="Loss infill",
        figures=_figures(params, work, stuff, grain),
        others=_others(params, work),
        pieces=tuple(_piece(params, work, one, stuff, grain, reason) for one in work.infills),
        diagrams=(
            infill_view.leaf_map(NAME, work.infills, work.leaf, seen, work.spine_left),
            infill_view.edge_section(NAME, _thing(params.of), seen, work.overlap_mm),
        ),
        warnings=(*work.notes, *_doubts(book, params, work, stuff)),
        checks=tuple(_checks(params, work)),
    )


def _thing(of: Of) -> Where:
    return "leaf" if of == "leaf" else "board"


def _face(of: Of, face: LeafFace) -> str:
    """Name a face: a board's faces are inner and outer; the front board's recto lies outside."""
    if of == "leaf":
        return face
    return "outer face" if (face == "recto") == (of == "front board") else "inner face"


def _size(book: Book, of: Of) -> tuple[float, float]:
    """Return width and height of the leaf or board."""
    if of == "leaf":
        return certain(book.width_mm, "text_block.width"), book.height_mm
    side: Which = "front" if of == "front board" else "back"
    width, height = book.board_width_mm(side), book.board_height_mm(side)
    if width is None or height is None:
        raise SettingError(
            "loss_infill.of: cover.board_width and cover.board_height are needed for a board; measure them, "
            "or set of=leaf"
        )
    return width, height


def _work(book: Book, params: Params, traced: Traced) -> _Work:
    notes = _scale_notes(params, traced)
    mended = losses.mended(traced.losses)
    leaf, more = _leaf(book, params, traced)
    if leaf is None:
        _refuse_larger(mended, params, _size(book, params.of))
    shapes: Sequence[Any] = mended.losses
    if params.traced != params.face:
        about = (leaf if leaf is not None else shapely.union_all(list(shapes))).bounds
        shapes = losses.mirrored(shapes, (about[0] + about[2]) / 2)
        leaf = losses.mirrored([leaf], (about[0] + about[2]) / 2)[0] if leaf is not None else None
    overlap = (
        params.overlap if params.overlap is not None else (2.5 if params.of == "leaf" else 6.0)
    )
    spine_left = (params.face == "recto") == book.left_to_right
    found, said = losses.infills(shapes, overlap, params.oversize, leaf, spine_left)
    return _Work(
        traced, leaf, tuple(found), overlap, spine_left, (*mended.notes, *notes, *more, *said)
    )


def _scale_notes(params: Params, traced: Traced) -> list[str]:
    """Hold the drawn bar against its true length; refuse what is not at 1:1."""
    if not params.scale_bar:
        return [
            "the tracing was not checked against a scale bar; measure loss and sheet before cutting"
        ] * bool(traced.name)
    if traced.scale_mm is None:
        if not traced.name:
            return []
        raise SettingError(
            f"loss_infill.outline: {traced.name} has no scale bar; draw a line {tenth(params.scale_bar)} mm long beside "
            "the loss and name it “scale”, or set scale_bar to the length it has, or to 0 for none"
        )
    share = traced.scale_mm / params.scale_bar - 1
    whole = shapely.MultiPoint([p for loss in traced.losses for ring in loss for p in ring]).bounds
    extent = max(whole[2] - whole[0], whole[3] - whole[1])
    if not (abs(share) <= SCALE_SHARE and abs(share) * extent <= SCALE_MM):
        raise SettingError(
            f"loss_infill.outline: the scale bar reads {traced.scale_mm:.2f} mm and should read {params.scale_bar:.2f}: the "
            f"tracing is not at 1:1, and a loss of {tenth(extent)} mm would be out by {tenth(abs(share) * extent)} mm; allowed "
            f"are {SCALE_SHARE:.1%} and {SCALE_MM} mm: scan or save it again at 100 %"
        )
    return []


def _leaf(book: Book, params: Params, traced: Traced) -> tuple[Any | None, list[str]]:
    """Return the leaf's own outline: as traced, or for points the record's rectangle."""
    wide, high = _size(book, params.of)
    if traced.leaf is None:
        if not traced.name:
            return shapely.box(0.0, 0.0, wide, high), []
        return None, [
            f"the {_thing(params.of)}'s edges are not in the tracing (a line named “leaf”): the overlap goes all round; "
            "where the loss reaches an edge, trim it there"
        ]
    leaf = shapely.Polygon(traced.leaf).buffer(0)
    if leaf.geom_type != "Polygon" or leaf.is_empty:
        raise SettingError(
            "loss_infill.outline: the line named “leaf” crosses itself; trace the four edges once round"
        )
    left, top, right, bottom = leaf.bounds
    if right - left > MOST_LEAF * wide or bottom - top > MOST_LEAF * high:
        raise SettingError(
            f"loss_infill.outline: the traced {_thing(params.of)} is {tenth(right - left)} × {tenth(bottom - top)} mm and the "
            f"record says {tenth(wide)} × {tenth(high)}: trace it upright and at 1:1, or measure the book again"
        )
    if max(abs(right - left - wide), abs(bottom - top - high)) > LEAF_MM:
        return leaf, [
            f"the traced {_thing(params.of)} is {tenth(right - left)} × {tenth(bottom - top)} mm and the record says {tenth(wide)} × "
            f"{tenth(high)}: measure both again"
        ]
    return leaf, []


def _refuse_larger(mended: losses.Mended, params: Params, size: tuple[float, float]) -> None:
    """Refuse a loss that no leaf of this book could hold, wherever it lay."""
    for number, loss in enumerate(mended.losses, 1):
        left, top, right, bottom = loss.bounds
        if right - left > size[0] + LEAF_MM or bottom - top > size[1] + LEAF_MM:
            raise SettingError(
                f"loss_infill.outline: loss {number} is {tenth(right - left)} × {tenth(bottom - top)} mm and the "
                f"{_thing(params.of)} {tenth(size[0])} × {tenth(size[1])}: trace it upright and at 1:1, every line within it, or "
                "measure the book again"
            )


def _refuse_whole(params: Params, work: _Work) -> None:
    if work.leaf is None:
        return
    left = work.leaf.area - sum(one.loss.area for one in work.infills)
    if left < work.leaf.area * 0.1:
        raise SettingError(
            f"loss_infill: the outline takes the whole {_thing(params.of)}; a frame or the page's own edge was traced with "
            "the loss. Take that line out, or name it “leaf”"
        )


def _grain(book: Book, params: Params) -> tuple[Grain, str]:
    if params.of != "leaf":
        return "head-tail", "grain head to tail, as boards are cut (Roberts & Etherington)"
    held = book.leaf_grain
    if held == "none":
        return (
            "any",
            "the leaf has no grain: damp an offcut of the infill's paper on the bench, never the leaf, and see how it curls",
        )
    if held == "spine-fore edge":
        return "spine-fore edge", "grain turned to the leaf's, spine to fore edge: both move alike"
    return "head-tail", "grain turned to the leaf's, head to tail: both move alike"


def _piece(
    params: Params, work: _Work, one: Infill, stuff: Stuff, grain: Grain, reason: str
) -> Piece:
    whole = one.rough if one.rough is not None else one.shape
    dx, dy = -whole.bounds[0], -whole.bounds[1]

    def ring(line: Any) -> Ring:
        return tuple((x + dx, y + dy) for x, y in line.coords[:-1])

    left, top, right, bottom = (
        v + d for v, d in zip(one.shape.bounds, (dx, dy, dx, dy), strict=True)
    )
    thing, face = _thing(params.of), _face(params.of, params.face)
    loss_lines = [
        line for part in shapely.get_parts(one.loss) for line in (part.exterior, *part.interiors)
    ]
    sides = ("spine", "fore edge") if work.spine_left else ("fore edge", "spine")
    number = infill_view.label(one)
    return Piece(
        name=f"infill {number}",
        structure=NAME,
        material=stuff.name,
        thickness_mm=stuff.thickness_mm,
        outline=ring(one.shape.exterior),
        rough=ring(one.rough.exterior) if one.rough is not None else (),
        openings=tuple(ring(line) for line in one.shape.interiors),
        grain=grain,
        grain_reason=reason,
        zones=_zones(one, ring, f"{face} of the {thing}", thing),
        dimensions=(
            Dimension((left, top), (right, top), "head"),
            Dimension((left, top), (left, bottom), "left"),
        ),
        labels=(
            Label(ring(one.shape.representative_point().buffer(0.1).exterior)[0], number, "name"),
        ),
        references=tuple((*ring(line), ring(line)[0]) for line in loss_lines),
        left=sides[0],
        right=sides[1],
        face_up=f"this face up: away from the {thing}, pared here; seen from its {face}",
        notes=(
            f"thin line: edge of the loss; from it outwards {tenth(work.overlap_mm)} mm of overlap, pared to nothing",
            _where(work, one),
            *(
                (f"cut {tenth(params.oversize)} mm larger at the {thing}'s edge, trim last",)
                if one.rough is not None
                else ()
            ),
        ),
    )


def _where(work: _Work, one: Infill) -> str:
    """Say where the loss lies, from the head and from the spine edge."""
    if work.leaf is None:
        return "its place is on the tracing"
    left, top, right, _ = one.loss.bounds
    page = work.leaf.bounds
    spine = left - page[0] if work.spine_left else page[2] - right
    return f"the loss begins {tenth(top - page[1])} mm below the head, {tenth(spine)} mm from the spine edge"


def _zones(one: Infill, ring: Any, to: str, on: Where) -> tuple[Zone, ...]:
    overlap = losses.without_holes(one.shape.difference(one.loss))
    filled = losses.without_holes(one.loss.intersection(one.shape))
    return (
        Zone("free", "up", "pared along its edge", ring(one.shape.exterior)),
        *(Zone("pasted", "under", to, ring(part.exterior), PASTE, on=on) for part in overlap),
        *(Zone("free", "under", "in the loss itself", ring(part.exterior)) for part in filled),
    )


def _figures(params: Params, work: _Work, stuff: Stuff, grain: Grain) -> Figures:
    mirrored = params.traced != params.face
    sizes = [one.loss.bounds for one in work.infills]
    scale = _scale_bar(params, work)
    return Figures(
        traced_words=_face(params.of, params.traced),
        face_words=_face(params.of, params.face),
        mirror_words="It is therefore mirrored." if mirrored else "It is not mirrored.",
        thing=_thing(params.of),
        of_leaf=params.of == "leaf",
        size_words="; ".join(
            f"loss {infill_view.label(one)}: {tenth(size[2] - size[0])} × {tenth(size[3] - size[1])} mm"
            for one, size in zip(work.infills, sizes, strict=True)
        ),
        scale_words=""
        if scale is None
        else f"The tracing's bar read {scale:.2f} mm of {params.scale_bar:.2f}.",
        material_words=stuff.name,
        grain_words={"any": "as tested beside the leaf", "head-tail": "head to tail"}.get(
            grain, "spine to fore edge"
        ),
        overlap_mm=work.overlap_mm,
        trims=any(one.rough is not None for one in work.infills),
    )


def _scale_bar(params: Params, work: _Work) -> float | None:
    """Return the length in mm that the tracing's bar was read to, where it holds one."""
    return work.traced.scale_mm if params.scale_bar else None


def _others(params: Params, work: _Work) -> dict[str, Quantity]:
    found: dict[str, Quantity] = {
        "losses": sum(len(one.numbers) for one in work.infills),
        "infills": len(work.infills),
        "loss_area_mm2": float(sum(one.loss.area for one in work.infills)),
        "infill_area_mm2": float(sum(one.shape.area for one in work.infills)),
        "mirrored": params.traced != params.face,
    }
    scale = _scale_bar(params, work)
    return found if scale is None else {**found, "scale_bar_mm": scale}


def _doubts(book: Book, params: Params, work: _Work, stuff: Stuff) -> list[str]:
    lines = []
    thing = _thing(params.of)
    side: Which = "front" if params.of == "front board" else "back"
    own = book.measured_leaf_mm if params.of == "leaf" else book.board_thickness_mm(side)
    if own is not None and stuff.thickness_mm > own:
        thick, limit = told_apart(stuff.thickness_mm, own, 2)
        lines.append(
            f"the infill, {thick} mm, is thicker than the {thing}, {limit} mm, and would be the stronger of the "
            "two; take a thinner one, for the mend is weaker than what it mends"
        )
    if params.of == "leaf" and book.leaf_grain is None:
        lines.append(
            "text_block.grain is not recorded: head to tail is assumed; test the leaf and turn the infill to it"
        )
    if work.leaf is not None:
        lost = sum(one.loss.area for one in work.infills) / work.leaf.area
        if lost > MOST_SHARE:
            lines.append(
                f"{lost:.0%} of the {thing} is lost; a whole lining, a new {thing} beside the remains, or a sleeve or box and "
                "nothing else may suit better"
            )
    if ("leaves" if params.of == "leaf" else "cover") in (book.condition.parchment or ()):
        lines.append(
            "parchment is recorded: parchment moves with paste, and paper does not fill it; ask a conservator, or box the book"
        )
    if book.condition.paper == "brittle":
        lines.append("brittle paper breaks along a pasted edge; a sleeve or a box may suit better")
    return lines


def _checks(params: Params, work: _Work) -> list[Check]:
    checks = []
    if work.traced.scale_mm is not None and params.scale_bar:
        checks.append(
            Check(
                "scale bar of the tracing",
                work.traced.scale_mm,
                "mm",
                f"{params.scale_bar:.2f} mm, drawn beside the loss",
            )
        )
    for one in work.infills:
        left, top, right, bottom = one.loss.bounds
        number = infill_view.label(one)
        checks.append(
            Check(f"loss {number}, spine–fore edge", right - left, "mm", "a rule on the leaf")
        )
        checks.append(Check(f"loss {number}, head–tail", bottom - top, "mm", "a rule on the leaf"))
    return checks
