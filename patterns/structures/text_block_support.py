"""text_block_support: what the tail of a hanging block stands on.

The support is drawn as it lies on the shelf, seen from the head: x from the spine to the fore
edge, y from one board to the other. Heights follow the tail squares, measured with the block
lying flat and pushed home.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor
from typing import Any

from shapely import LineString, Polygon

from patterns.book.answer import certain
from patterns.book.book import Book
from patterns.book.results import Handed, SupportResult
from patterns.errors import SettingError
from patterns.formulas import geometry
from patterns.model.drawing import Ring
from patterns.model.part import Check, Part
from patterns.model.piece import Dimension, Label, Piece, Zone
from patterns.structures.shared import support_view
from patterns.structures.shared.support_view import SupportProfile
from patterns.structures.suits import text_block_support as suits
from patterns.structures.suits.text_block_support import Params, Room
from patterns.units import tenth

NAME = "text_block_support"
PASTE = "wheat starch paste"
MOST_SHIMS = 24
LEAST_STEP_MM = 10.0
FLAT_HEIGHT_MM, FLAT_THICKNESS_MM = 400.0, 80.0
"""Beyond these a book is shelved lying flat (Univ. at Albany Libraries guideline, published)."""


@dataclass(frozen=True, slots=True)
class _Plan:
    """The support seen from the head: its outline in piece coordinates, where it begins and ends."""

    outline: Ring
    set_back: float
    begins: float
    width_spine: float
    width_fore: float

    @property
    def length(self) -> float:
        return max(x for x, _ in self.outline)


@dataclass(frozen=True, slots=True)
class Figures:
    """What the steps are filled in with."""

    square_tail_spine_mm: float
    square_tail_fore_edge_mm: float
    plan_words: str
    endband_words: str
    layers_n: int
    layer_words: str
    rest_spine_mm: float
    rest_fore_edge_mm: float
    pared: bool
    shimmed: bool
    shim_words: str
    height_spine_mm: float
    height_fore_edge_mm: float


def draft(book: Book, params: Params) -> Handed:
    """Work out the support: plan within the block's own, heights between the two tail squares.

    Raises SettingError for shims that are too many to lay.
    """
    squares = suits.squares(book)
    plan = _plan(book, params)
    width = certain(book.width_mm, "text_block.width")
    heights = [
        squares[0] + (squares[1] - squares[0]) * at / width
        for at in (plan.begins, plan.begins + plan.length)
    ]
    profile = _profile(book, params, plan.length, heights)
    pieces = [_layer(book, plan, profile)] if profile.layers else []
    pieces += _upper(book, plan, profile)
    pieces.append(_gauge(profile))
    part = Part(
        structure=NAME,
        title="Text-block support",
        figures=_figures(book, squares, plan, profile),
        others={
            "support_width_mm": plan.width_spine,
            "support_width_fore_edge_mm": plan.width_fore,
            "support_length_mm": plan.length,
            "relief_mm": plan.set_back,
            "total_fore_edge_mm": profile.built(profile.length),
            "shims_n": len(profile.starts),
        },
        pieces=tuple(pieces),
        diagrams=(support_view.section(NAME, profile),),
        warnings=_warnings(book, profile),
        checks=(
            Check(
                "height at the spine end",
                profile.low,
                "mm",
                "calipers between block and board edge there, the block lying flat and pushed home",
            ),
            Check("height at the fore edge end", profile.high, "mm", "calipers, as at the spine"),
        ),
    )
    return Handed(part, SupportResult())


def _plan(book: Book, params: Params) -> _Plan:
    """Cut the plan from the block's own: sides clear of the boards, spine end off the curve.

    s runs from the outermost point of the spine towards the fore edge, v from one board to the
    other about the middle of the block.
    """
    room = suits.room(book, params)
    leaf, at_spine, at_fore, end = room.leaf, room.at_spine, room.at_fore, room.end
    spine = _curve(book, room)
    far = max(x for x, _ in spine) + leaf
    body = Polygon(
        [
            (-far, -at_spine / 2),
            (0.0, -at_spine / 2),
            (end, _at(end, leaf, at_spine, at_fore) / -2),
            (end, _at(end, leaf, at_spine, at_fore) / 2),
            (0.0, at_spine / 2),
            (-far, at_spine / 2),
        ]
    )
    outside = Polygon([*spine, (-2 * far, spine[-1][1]), (-2 * far, spine[0][1])])
    left = body.difference(outside).difference(
        LineString(spine).buffer(room.set_back, quad_segs=96)
    )
    parts = [part for part in getattr(left, "geoms", [left]) if not part.is_empty]
    shape = max(parts, key=lambda part: part.bounds[2])
    low, top, _, _ = shape.bounds
    ring = shape.simplify(0.003).exterior.coords[:-1]
    return _Plan(tuple((x - low, y - top) for x, y in ring), room.set_back, low, at_spine, at_fore)


def _at(s: float, leaf: float, spine: float, fore: float) -> float:
    return spine + (fore - spine) * s / leaf


def _curve(book: Book, room: Room) -> list[tuple[float, float]]:
    """Return the spine as (s, v), continued straight sideways past both tips."""
    chord = book.spine.chord_mm
    arc = geometry.arc_points(chord, room.depth)
    crown = max(y for _, y in arc)
    points = [(crown - y, x - chord / 2 + room.shift) for x, y in arc]
    return [(points[0][0], points[0][1] - chord), *points, (points[-1][0], points[-1][1] + chord)]


def _profile(book: Book, params: Params, length: float, heights: Sequence[float]) -> SupportProfile:
    board, shim = book.material("board"), book.material("shim")
    thin = min(heights)
    layers = floor(thin / board.thickness_mm + 1e-9)
    rest = [height - layers * board.thickness_mm for height in heights]
    # equal squares need no paring: shims make up what whole layers leave
    if params.build == "wedge" and abs(rest[1] - rest[0]) > shim.thickness_mm / 2:
        return SupportProfile(
            length, heights[0], heights[1], board.thickness_mm, layers, rest[0], rest[1]
        )
    count = floor(max(rest) / shim.thickness_mm + 0.5)
    rise = rest[1] - rest[0]
    starts = []
    for k in range(1, count + 1):
        wanted = (k - 0.5) * shim.thickness_mm - min(rest)
        starts.append(max(0.0, wanted / abs(rise) * length) if rise else 0.0)
    starts = [start for start in starts if length - start >= LEAST_STEP_MM]
    if len(starts) > MOST_SHIMS:
        raise SettingError(
            f"text_block_support: {len(starts)} shims of {shim.thickness_mm:.2f} mm are too many to lay true; take a "
            f"thicker shim or a thinner board (shim or board), or build=wedge; allowed is {MOST_SHIMS}"
        )
    return SupportProfile(
        length, heights[0], heights[1], board.thickness_mm, layers, rest[0], rest[1],
        shim.thickness_mm, tuple(starts),
    )  # fmt: skip


def _words(book: Book) -> dict[str, str]:
    """Return what stands at the four edges of a piece seen from the head, the spine at the left."""
    back, front = book.edge_words
    return {
        "left": "SPINE",
        "right": "FORE EDGE",
        "head": f"{back} board",
        "tail": f"{front} board",
    }


def _plan_piece(book: Book, plan: _Plan, name: str, material: str, **fields: Any) -> Piece:
    length, width = plan.length, max(y for _, y in plan.outline)
    board = book.material("board")
    given: dict[str, Any] = {
        "thickness_mm": board.thickness_mm,
        "grain": "spine-fore edge",
        "grain_reason": "grain along the length, so that the strip lies straight",
        "face_up": "this face up: towards the text block; seen from the head",
        "tolerance_mm": book.reading.value,
        "dimensions": (
            Dimension((0.0, width), (length, width), "tail"),
            Dimension((length, 0.0), (length, width), "right"),
        ),
        **_words(book),
    }
    return Piece(
        name=name, structure=NAME, material=material, outline=plan.outline, **{**given, **fields}
    )


def _layer(book: Book, plan: _Plan, profile: SupportProfile) -> Piece:
    board = book.material("board")
    upper = "the layer above"
    return _plan_piece(
        book, plan, "layer", board.name,
        title="layer of the support",
        quantity=profile.layers,
        zones=(
            Zone("pasted", "up", upper, plan.outline, PASTE, "pasted to the layer above"),
            Zone("pasted", "under", "the layer below", plan.outline, PASTE,
                 "pasted to the layer below; the lowest stays bare"),
        ),
        notes=("only the layers are pasted, to each other; never the support to book or block",),
    )  # fmt: skip


def _upper(book: Book, plan: _Plan, profile: SupportProfile) -> list[Piece]:
    """Return what lies on the whole layers: the wedge to be pared, or the shims."""
    rests = Zone("free", "up", "the text block stands here", plan.outline)
    under = Zone("pasted", "under", "whole layers", plan.outline, PASTE, "pasted to the layers")
    if profile.shim:
        if not profile.starts:
            return []
        shim = book.material("shim")
        ends = profile.cut_at
        width = max(y for _, y in plan.outline)
        lines = tuple(((x, 0.0), (x, width)) for x in ends)
        return [
            _plan_piece(
                book, plan, "shim", shim.name,
                title="shim of the support",
                thickness_mm=shim.thickness_mm,
                quantity=len(profile.starts),
                zones=(rests, under),
                references=lines,
                notes=(profile.shim_words,),
            )
        ]  # fmt: skip
    board = book.material("board")
    count = max(1, ceil(max(profile.rest_low, profile.rest_high) / profile.board - 1e-9))
    thick = "spine" if profile.low > profile.high else "fore edge"
    return [
        _plan_piece(
            book, plan, "wedge", board.name,
            title="wedge of the support",
            quantity=count,
            zones=(rests, under),
            labels=(Label((plan.length / 2, max(y for _, y in plan.outline) / 2),
                          f"thick end: {thick}", "note"),),
            notes=(
                f"paste {count} together, then pare" if count > 1 else "pare",
                f"from {tenth(profile.rest_low)} mm at the spine end to {tenth(profile.rest_high)} mm at the fore edge",
            ),
        )
    ]  # fmt: skip


def _gauge(profile: SupportProfile) -> Piece:
    """Draw the support from the side, full size, to lay the finished one on."""
    length, low, high = profile.length, profile.low, profile.high
    tall = max(low, high)
    return Piece(
        name="profile",
        title="profile of the support",
        structure=NAME,
        material="this printed sheet",
        thickness_mm=0.1,
        outline=((0.0, tall - low), (length, tall - high), (length, tall), (0.0, tall)),
        grain="any",
        references=tuple(
            ((0.0, tall - k * profile.board), (length, tall - k * profile.board))
            for k in range(1, profile.layers + 1)
            if k * profile.board < min(low, high) - 0.05
        ),
        dimensions=(
            Dimension((0.0, tall - low), (0.0, tall), "left"),
            Dimension((length, tall - high), (length, tall), "right"),
            Dimension((0.0, tall), (length, tall), "tail"),
        ),
        head="",
        tail="",
        face_up="seen from the side: lay the finished support on it",
        notes=(
            "spine end at the left, fore edge at the right; the block stands on the upper edge, the lower stands on the shelf",
            "thin lines: the whole layers",
        ),
        stock=False,
    )


def _figures(
    book: Book, squares: tuple[float, float], plan: _Plan, profile: SupportProfile
) -> Figures:
    shims = bool(profile.shim)
    return Figures(
        square_tail_spine_mm=squares[0],
        square_tail_fore_edge_mm=squares[1],
        plan_words=f"{tenth(plan.length)} × {tenth(plan.width_spine)} mm",
        endband_words=f"{tenth(plan.set_back)} mm inside the spine's curve, so that the tail endband hangs free"
        if book.endband_tail.value
        else f"{tenth(plan.set_back)} mm inside the spine's curve",
        layers_n=profile.layers,
        layer_words=f"{profile.layers} layers of {profile.board:.2f} mm"
        if profile.layers != 1
        else f"one layer of {profile.board:.2f} mm",
        rest_spine_mm=profile.rest_low,
        rest_fore_edge_mm=profile.rest_high,
        pared=not shims,
        shimmed=shims and bool(profile.starts),
        shim_words=profile.shim_words,
        height_spine_mm=profile.low,
        height_fore_edge_mm=profile.high,
    )


def _warnings(book: Book, profile: SupportProfile) -> tuple[str, ...]:
    lines = []
    thickness = certain(book.thickness_mm, "text_block.thickness")
    for words in suits.ENDS:
        pair = suits.tail_squares(book, words)
        if abs(pair[0] - pair[1]) > 0.05:
            lines.append(
                f"tail squares at the {words} differ, front {tenth(pair[0])} and back "
                f"{tenth(pair[1])} mm: the lesser is used, or the support would lift a board off the shelf"
            )
    if book.height_mm > FLAT_HEIGHT_MM or thickness > FLAT_THICKNESS_MM:
        lines.append(
            f"books over {FLAT_HEIGHT_MM:g} mm high or {FLAT_THICKNESS_MM:g} mm thick are shelved "
            "lying flat (Univ. at Albany Libraries); then it needs no support"
        )
    if min(profile.low, profile.high) < profile.board:
        lines.append(
            "one end is lower than a single layer of the board; a thinner board is laid truer"
        )
    return tuple(lines)
