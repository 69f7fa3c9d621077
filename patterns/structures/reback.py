"""reback: a new covering over spine and joints, with the old spine set back on it.

Across the piece lie, from the left: its edge, the board's arris, the shoulder's tip, the other tip, the
other arris, the other edge. Both joints may differ, so that the middle of the spine need not be the
middle of the piece.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import pi, radians
from typing import Any, Literal

from patterns.book.boards import SIDES
from patterns.book.book import Book, Stuff
from patterns.book.results import (
    Handed,
    LiningResult,
    RebackResult,
    SewnLiningResult,
    TubeResult,
)
from patterns.errors import SettingError
from patterns.model.drawing import Drawing, Point, Ring
from patterns.model.part import Check, Layer, Part, Quantity, Union
from patterns.model.piece import Dimension, Fold, Grain, Label, Piece, Zone
from patterns.model.traits import Where
from patterns.sewing import lining
from patterns.structures.shared import pictures
from patterns.structures.shared.board_layers import own_board
from patterns.structures.shared.spine_piece import TurnedPiece
from patterns.structures.suits import reback as suits
from patterns.structures.suits.reback import Params
from patterns.units import tenth, told_apart, up_to

NAME = "reback"
PASTES = {
    "leather": "wheat starch paste",
    "cloth": "paste and methyl cellulose",
    "paper": "wheat starch paste",
}
"""What each covering is pasted with (practice)."""
EDGE, ARRIS, TIP, FAR_TIP, FAR_ARRIS, FAR_EDGE = range(6)


@dataclass(frozen=True, slots=True)
class Figures:
    """What the steps are filled in with."""

    turn_in_words: str
    covering_words: str
    grain_words: str
    pared: bool
    paste_words: str
    ground_words: str
    on_old_lining: bool
    bands: bool
    band_words: str
    gap_words: str


def draft(book: Book, params: Params) -> Handed:
    """Work out the covering: from arris to arris and a tuck each side, as high as boards and turn-ins.

    Raises SettingError for turn-ins or a bevel for which there is no room.
    """
    covering = suits.stuff(book, params)
    turn_in = suits.turn_in_mm(book, params)
    flat = _flat(book, params, turn_in)
    _check(params, turn_in, flat.height)
    needed = suits.needed_mm(book, params)
    gaps = _gaps(book, params, needed)
    grain, reason = _grain(book, params)
    piece = _piece(book, params, flat, covering, grain, reason)
    new = _new_layer(book, flat, piece)
    part = Part(
        structure=NAME,
        title="Reback",
        figures=_figures(book, params, flat, grain, gaps),
        others=_others(book, needed, flat, gaps),
        pieces=(piece,),
        layers=_layers(book, params, flat, new),
        warnings=_warnings(book, gaps),
        checks=(
            Check(
                "from arris to arris, spine and both joints, at the head",
                needed[0],
                "mm",
                "a paper strip laid over the closed spine and into both joints, and half a turn of the covering",
            ),
        ),
        girth_mm=book.spine.girth_head_mm,
    )
    return Handed(part, RebackResult(*needed, suits.under_mm(book), new))


def _check(params: Params, turn_in: float, height: float) -> None:
    if turn_in > height / 2:
        raise SettingError(
            f"reback.turn_in: {tenth(turn_in)} mm at head and tail is more than the {tenth(height)} mm between them "
            f"hold; allowed is up to {up_to(height / 2)}"
        )
    if params.covering == "leather" and params.pare > turn_in:
        bevel, most = told_apart(params.pare, turn_in)
        raise SettingError(
            f"reback.pare: a bevel of {bevel} mm is wider than the turn-in of {most} mm; "
            f"allowed is up to {up_to(turn_in)}"
        )


def _flat(book: Book, params: Params, turn_in: float) -> TurnedPiece:
    """Return the piece laid flat, as high as both boards together reach, with each board's own folds."""
    boards = [book.board(side) for side in book.across]
    ends = [(-one.square_head.value, one.height_mm - one.square_head.value) for one in boards]
    top, bottom = min(head for head, _ in ends), max(tail for _, tail in ends)
    extra = suits.over_bands_mm(book)
    left, right = ((turn_in + head - top, turn_in + tail - top + extra) for head, tail in ends)
    stops = _stops(book, params, (top, bottom))
    return TurnedPiece(*stops, bottom - top + extra, turn_in, left, right)


def _stops(
    book: Book, params: Params, ends: tuple[float, float]
) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Return what lies across the piece at its head and tail folds, from the middle of the spine."""
    thick = suits.stuff(book, params).thickness_mm
    turns = (pi - radians(book.spine.turn_deg)) * thick / 4
    left, right = (book.covering.over_joint(side).value + turns for side in book.across)
    found = []
    for at in ends:
        half = book.spine.layer_mm(suits.under_mm(book), thick, at) / 2
        near, far = half + left, half + right
        found.append((-near - params.tuck, -near, -half, half, far, far + params.tuck))
    return found[0], found[1]


def _gaps(book: Book, params: Params, needed: tuple[float, float]) -> tuple[float, float] | None:
    """Return what of the new back shows each side of the old spine, at head and tail; None: not known."""
    if params.old_spine is not None:
        old = (params.old_spine, params.old_spine)
    elif (spine := book.cover_spine) is not None:
        old = (spine.head_mm, spine.tail_mm)
    else:
        return None
    head, tail = ((new - has) / 2 for new, has in zip(needed, old, strict=True))
    return head, tail


def _grain(book: Book, params: Params) -> tuple[Grain, str]:
    if params.covering == "leather":
        return "head-tail", "backbone of the skin head to tail: it stretches least along the spine"
    if params.covering == "paper":
        return (
            "spine-fore edge",
            "grain across the joint: along it paper tears down the fold (Wheelwright)",
        )
    return lining.warp(book, params.strong)


@dataclass(frozen=True, slots=True)
class _Ground:
    """What a new back is pasted to over the spine, and the part of the book that this is, if it is old."""

    words: str
    on: Where | None = None

    def zone(self, outline: Ring, paste: str) -> Zone:
        """Return where it is pasted: on a new lining with what the old covering bears as well."""
        if self.on is None:
            return Zone("pasted", "under", self.words, outline, paste, on="cover", lined=True)
        return Zone("pasted", "under", self.words, outline, paste, on=self.on)


def _ground(book: Book) -> _Ground | None:
    """Return what it is pasted to over the spine; None where it stays free there."""
    if book.result(TubeResult) is not None:
        return _Ground("last panel of the tube")
    if book.result(SewnLiningResult) is not None:
        return _Ground("sewn lining")
    if book.result(LiningResult) is not None:
        return _Ground("lining of the spine")
    return _Ground("lining of the spine", "spine") if book.linings.value > 0 else None


def _piece(
    book: Book, params: Params, flat: TurnedPiece, covering: Stuff, grain: Grain, reason: str
) -> Piece:
    head, tail = (sum(pair) / 2 for pair in zip(flat.left, flat.right, strict=True))
    left, right = book.edge_words
    middle = ((flat.origin, 0.0), (flat.origin, flat.whole))
    stops = (ARRIS, TIP, FAR_TIP, FAR_ARRIS)
    shape: Any = flat.outline()
    bevel: Any = shape.buffer(-params.pare, join_style="mitre")
    pared = (tuple(bevel.exterior.coords),) if params.covering == "leather" else ()
    return Piece(
        name="new back",
        title=f"new back, {params.covering}",
        structure=NAME,
        material=covering.name,
        thickness_mm=covering.thickness_mm,
        outline=tuple(shape.exterior.coords[:-1]),
        grain=grain,
        grain_reason=reason,
        folds=tuple(Fold("mountain", line, "turn in") for line in flat.folds()),
        zones=_zones(book, params, flat),
        dimensions=_dimensions(flat),
        labels=(
            Label((flat.origin, flat.whole / 2), "old spine lies here", "note", 90.0),
            Label((flat.origin, head + 4.0), "headcap", "small"),
            Label((flat.origin, tail - 2.0), "headcap", "small"),
        ),
        references=(middle, *(flat.down(stop, *flat.beside(stop)) for stop in stops), *pared),
        left=left,
        right=right,
        lies_on_mm=book.lies_on_mm,
        tolerance_mm=book.spine.error_mm,
        notes=(
            f"girth {tenth(book.spine.girth_head_mm)} head, {tenth(book.spine.girth_tail_mm)} tail, {book.spine.shape_words}",
            "thin lines: middle of the spine, shoulder tips, spine edges of the boards"
            + ("; the ring: where the bevel begins" if pared else ""),
        ),
        spine_joint_free=True,
    )


def _zones(book: Book, params: Params, flat: TurnedPiece) -> tuple[Zone, ...]:
    """Pasted to boards and ground, and to itself where it turns in; free in the joints that turn."""
    paste, ground = PASTES[params.covering], _ground(book)
    left, right = book.across
    zones = []
    for side, board, joint in (
        (left, (EDGE, ARRIS), (ARRIS, TIP)),
        (right, (FAR_ARRIS, FAR_EDGE), (FAR_TIP, FAR_ARRIS)),
    ):
        onto = f"outer face of the {side} board"
        held = flat.band(*board, *flat.beside(board[0]))
        zones.append(Zone("pasted", "under", onto, held, paste, on="board"))
        onto = f"lifted covering of the {side} board"
        zones.append(Zone("pasted", "up", onto, held, paste, on="cover"))
        if flat.head[joint[1]] - flat.head[joint[0]] >= 0.1:
            words = "the joint: set in, no paste"
            zones.append(
                Zone("free", "under", words, flat.band(*joint, *flat.beside(board[0])), words=words)
            )
    over = flat.over_spine()
    if ground:
        zones.append(ground.zone(over, paste))
    else:
        zones.append(Zone("free", "under", "natural hollow of the case: no paste", over))
    for ring in flat.turned():
        onto = "itself and the boards, turned in"
        zones.append(Zone("pasted", "under", onto, ring, paste, on="board"))
    return tuple(zones)


def _dimensions(flat: TurnedPiece) -> tuple[Dimension, ...]:
    head, tail = flat.turn_in, flat.turn_in + flat.height

    def shown(y: float) -> list[Point]:
        return [flat.at(stop, y) for stop in range(6)]

    stops, low = shown(head), shown(tail)
    rows = [Dimension(a, b, "head") for a, b in pairwise(stops) if b[0] - a[0] >= 0.1]
    rows.append(Dimension(stops[EDGE], stops[FAR_EDGE], "head", 1))
    if abs((low[-1][0] - low[0][0]) - (stops[-1][0] - stops[0][0])) >= 0.05:
        rows.append(Dimension(low[EDGE], low[FAR_EDGE], "tail"))
    x = min(stops[0][0], low[0][0])
    rows += _down(flat, x, "left", flat.left)
    rows.append(Dimension((x, 0.0), (x, flat.whole), "left", 1))
    if not flat.level:
        rows += _down(flat, max(stops[-1][0], low[-1][0]), "right", flat.right)
    return tuple(rows)


def _down(
    flat: TurnedPiece, x: float, at: Literal["left", "right"], ends: tuple[float, float]
) -> list[Dimension]:
    """Dimension turn-in and board at one side; the other turn-in too where the boards differ."""
    heights = [0.0, *ends, *(() if flat.level else (flat.whole,))]
    return [Dimension((x, one), (x, other), at) for one, other in pairwise(heights)]


def _mean(flat: TurnedPiece) -> list[float]:
    return [(a + b) / 2 for a, b in zip(flat.head, flat.tail, strict=True)]


def _new_layer(book: Book, flat: TurnedPiece, piece: Piece) -> Layer:
    mean = _mean(flat)
    union: Union = "pasted" if _ground(book) else "free"
    return Layer(
        "new back", piece.material, piece.thickness_mm, mean[EDGE], mean[FAR_EDGE], union, "pasted"
    )


def _layers(book: Book, params: Params, flat: TurnedPiece, new: Layer) -> tuple[Layer, ...]:
    """List boards, new back, old spine, from the block outwards."""
    mean = _mean(flat)
    boards = []
    for side in SIDES:
        wide = book.drawn_width(side).value
        near = mean[FAR_ARRIS] if book.at_right(side) else mean[ARRIS] - wide
        boards.append(own_board(book, side, near, near + wide, "free"))
    air = (
        ()
        if _ground(book)
        else (Layer("air", "", 0.0, mean[TIP], mean[FAR_TIP], "free", on_spine=False),)
    )
    gaps = _gaps(book, params, suits.needed_mm(book, params))
    if gaps is None:
        return (*air, *boards, new)
    inset = sum(gaps) / 2
    old = Layer(
        "old spine", "", book.cover_thickness.value, mean[ARRIS] + inset, mean[FAR_ARRIS] - inset,
        "pasted", existing=True,
    )  # fmt: skip
    return (*air, *boards, new, old)


def _figures(
    book: Book,
    params: Params,
    flat: TurnedPiece,
    grain: Grain,
    gaps: tuple[float, float] | None,
) -> Figures:
    outline: Any = flat.outline()
    left, _, right, _ = outline.bounds
    ground = _ground(book)
    extra = suits.over_bands_mm(book)
    words = {"leather": "backbone of the skin head to tail", "paper": "grain spine to fore edge"}
    return Figures(
        turn_in_words=_turn_in_words(book, flat),
        covering_words=f"{params.covering} {tenth(right - left)} × {tenth(flat.whole)} mm",
        grain_words=words.get(params.covering, lining.warp_words(grain)),
        pared=params.covering == "leather",
        paste_words=PASTES[params.covering],
        ground_words=f"pasted to the {ground.words} between the shoulder tips"
        if ground
        else "free over the spine, where the case has its hollow",
        on_old_lining=ground is not None and ground.on is not None,
        bands=suits.band_mm(book) > 0,
        band_words=f"it is {tenth(extra)} mm higher for them",
        gap_words=_gap_words(gaps),
    )


def _turn_in_words(book: Book, flat: TurnedPiece) -> str:
    """Say how much is turned in, of boards that differ at each by itself."""
    if flat.level:
        return f"{tenth(flat.turn_in)} mm at head and tail"
    both = dict(zip(book.across, (flat.left, flat.right), strict=True))
    said = (
        f"{tenth(head)} mm at the head and {tenth(flat.whole - tail)} at the tail of the {side} board"
        for side, (head, tail) in ((side, both[side]) for side in SIDES)
    )
    return ", ".join(said)


def _gap_words(gaps: tuple[float, float] | None) -> str:
    """Say what shows beside the old spine, or by how much that lies over the joints."""
    if gaps is None:
        return ""
    if min(gaps) < 0:
        return f"; it then lies over the joints by up to {tenth(-min(gaps))} mm each side"
    return f"; the new back then shows beside it by {_ends(*gaps)}"


def _ends(head: float, tail: float) -> str:
    if tenth(head) == tenth(tail):
        return f"{tenth(head)} mm each side"
    return f"{tenth(head)} mm each side at the head, {tenth(tail)} mm at the tail"


def _others(
    book: Book, needed: tuple[float, float], flat: TurnedPiece, gaps: tuple[float, float] | None
) -> dict[str, Quantity]:
    found: dict[str, Quantity] = {
        "girth_head_mm": book.spine.girth_head_mm,
        "girth_tail_mm": book.spine.girth_tail_mm,
        "lies_on_mm": book.lies_on_mm,
        "needed_head_mm": needed[0],
        "needed_tail_mm": needed[1],
        "over_joint_front_mm": book.covering.over_joint("front").value,
        "over_joint_back_mm": book.covering.over_joint("back").value,
        "width_head_mm": flat.head[FAR_EDGE] - flat.head[EDGE],
        "width_tail_mm": flat.tail[FAR_EDGE] - flat.tail[EDGE],
        "height_mm": flat.whole,
        "turn_in_mm": flat.turn_in,
        "over_bands_mm": suits.over_bands_mm(book),
    }
    if gaps is not None:
        found |= {"gap_head_mm": gaps[0], "gap_tail_mm": gaps[1]}
    return found


def _warnings(book: Book, gaps: tuple[float, float] | None) -> tuple[str, ...]:
    lines = list(book.covering.gaps_assumed)
    if book.fallen_in:
        lines.append(
            "the spine has fallen in: bring it back to its round and measure again before it is covered"
        )
    if gaps is not None and min(gaps) < 0:
        lines.append(
            f"the old spine is {tenth(-2 * min(gaps))} mm wider than the new back from arris to arris: it would "
            "lie over the joints; trim none of it before it has been tried, and measure it again"
        )
    return tuple(lines)


def _turned_in(book: Book, params: Params, _part: Part) -> Drawing:
    """Show the covering turned in over the head of the spine."""
    square = book.board("front").square_head.value
    return pictures.turned_in(square, suits.turn_in_mm(book, params))


PICTURES = {"turned_in": _turned_in}
