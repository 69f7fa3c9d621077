"""board_slot: a flange of cloth let into the spine edge of a board."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from patterns.book import board_joint
from patterns.book.boards import SIDES, Board, Which
from patterns.book.book import Book
from patterns.book.results import Handed, SewnLiningResult, SlotResult, SlottedSide
from patterns.formulas import joints, slots
from patterns.formulas.joints import Joint, JointPath
from patterns.formulas.slots import Slot
from patterns.model.drawing import Drawing, Point
from patterns.model.part import Check, Diagram, Layer, Part, Quantity
from patterns.model.piece import Dimension, Hole, Label, Piece, Side
from patterns.sewing import lining, raised
from patterns.sewing.lining import Cloth, Flange
from patterns.structures.shared import joint_view, pictures
from patterns.structures.shared.first_lining import first_lining
from patterns.structures.suits import board_slot as suits
from patterns.structures.suits.board_slot import Params
from patterns.units import mm, tenth, trimmed

NAME = "board_slot"
STRIP_MM = 28.0
"""Width of the paper strip that carries the slot's ends to the board's edge."""
SLOT_OFF = (
    "release the bond in the slot {off_board}, along the board edge, and draw the flange out; "
    "the slot stays in the board and is recorded here"
)
"""How it is undone where it has no lining of its own."""


@dataclass(frozen=True, slots=True)
class _Side:
    """One board with its joint, its slot, where the slot runs, and the cloth's way into it."""

    board: Board
    joint: Joint
    slot: Slot
    extent: tuple[float, float]
    path: JointPath
    arc: float

    @property
    def flange(self) -> float:
        return self.path.flange_mm(self.slot.depth_mm)


@dataclass(frozen=True, slots=True)
class Figures:
    """What the steps are filled in with."""

    board_words: str
    slot_words: str
    slope_words: str
    extent_words: str
    lacing_words: str
    draws_cloth: bool
    cloth_words: str
    tissue_words: str
    flange_words: str


def draft(book: Book, params: Params) -> Handed:
    """Work out both boards' slots and the flanges J + L − 1 that go into them.

    Raises SettingError for given values that break out of the board.
    """
    sides = {which: _side(book, params, which) for which in SIDES}
    draws_cloth = not book.expects(SewnLiningResult)
    setbacks = (params.setback_head, params.setback_tail)
    first = first_lining(book, NAME, setbacks) if draws_cloth else None
    cloth = _cloth(book, params, sides, first) if first else None
    pieces = [_edge_strip(book, side) for side in sides.values()]
    pieces += _gauges(sides)
    part = Part(
        structure=NAME,
        title="Board slot",
        figures=_figures(book, params, sides, cloth, first),
        others=_others(book, params, sides, cloth),
        pieces=(*pieces, *((cloth.piece, first) if cloth and first else ())),
        diagrams=tuple(_sections(book, sides)),
        layers=_layers(cloth, first) if cloth and first else (),
        warnings=(
            *(line for side in sides.values() for line in _warnings(book, side)),
            *(raised.over_bands(book, setbacks) if draws_cloth else ()),
        ),
        checks=tuple(
            Check(
                f"{which} board, the cloth's way from the shoulder to the slot",
                side.path.length_mm,
                "mm",
                "a thread from the shoulder's tip to the mouth of the slot, the board opened slowly at the dry fit: "
                "never longer",
            )
            for which, side in sides.items()
        ),
        girth_mm=book.spine.girth_head_mm,
        undo=() if draws_cloth else (SLOT_OFF,),
    )
    return Handed(part, _result(params, sides))


def _result(params: Params, sides: dict[Which, _Side]) -> SlotResult:
    return SlotResult(
        structure=NAME,
        sides={
            which: SlottedSide(
                side.flange, side.slot.depth_mm, side.slot.mouth_mm, side.slot.bottom_mm
            )
            for which, side in sides.items()
        },
        trim_mm=params.trim,
        cutter_diameter_mm=params.cutter_diameter,
    )


def _side(book: Book, params: Params, which: Which) -> _Side:
    board = book.board(which)
    joint = book.joint(board, params.opening)
    slot, extent = suits.slot(book, board, params), suits.extent(board, params)
    arc = slots.end_arc_mm(params.cutter_diameter, slot.depth_mm)
    path = board_joint.lining_path(joint, ("Q", slot.mouth_mm))
    return _Side(board, joint, slot, extent, path, arc)


def _cloth(book: Book, params: Params, sides: dict[Which, _Side], first: Piece) -> Cloth:
    flanges = {
        which: Flange(
            side.flange,
            side.slot.depth_mm - joints.SHORTER_MM,
            f"slot in the {which} board",
            2,
            params.trim,
            params.cutter_diameter,
            side.slot.depth_mm,
        )
        for which, side in sides.items()
    }
    setbacks = (params.setback_head, params.setback_tail)
    lined = replace(book, lies_on_mm=book.lies_on_mm + first.thickness_mm)
    return lining.cut(lined, NAME, flanges, setbacks, spine_to="first lining", strong=params.strong)


def _edge_strip(book: Book, side: _Side) -> Piece:
    """Draw the board's spine edge at 1:1: the slot's mouth where it is cut, its ends, old stations.

    Seen from outside with the head up, the board at the right has its inner face at the left; the
    strip of the other board is its mirror. What is left of the strip folds onto the outer face.
    """
    board, (top, bottom) = side.board, side.extent
    height, edge, mouth = board.height_mm, board.thickness_mm, side.slot.mouth_mm
    width = max(STRIP_MM, edge + 14)
    at_right = book.at_right(board.side)

    def x(from_inner: float) -> float:
        return from_inner if at_right else width - from_inner

    def across(y: float) -> tuple[Point, Point]:
        return (x(0.0), y), (x(edge), y)

    floor = (top + side.arc, bottom - side.arc)
    stations = _lacing(book, side)
    inner = "left" if at_right else "right"
    faces = (f"{inner.upper()} EDGE: INNER FACE", "FLAP: OUTER FACE")
    outer = "right" if at_right else "left"
    sides: tuple[Side, Side] = ("right", "left") if at_right else ("left", "right")
    return Piece(
        name=f"edge strip, {board.side}",
        title=f"edge strip, {board.side} board",
        structure=NAME,
        material="this printed sheet",
        thickness_mm=0.1,
        outline=((0.0, 0.0), (width, 0.0), (width, height), (0.0, height)),
        grain="any",
        kerf_mm=side.slot.kerf_mm,
        slits=(((x(mouth), top), (x(mouth), bottom)), across(top), across(bottom)),
        holes=tuple(Hole((x(edge / 2), y), old=True, radius=1.2) for y in stations),
        references=(
            ((x(edge), 0.0), (x(edge), height)),
            *(across(y) for y in (floor if side.arc else ())),
        ),
        dimensions=(
            Dimension((x(width), 0.0), (x(width), top), sides[0], 0),
            Dimension(
                (x(width), top), (x(width), bottom), sides[0], 0, f"slot {tenth(bottom - top)}"
            ),
            Dimension((x(width), bottom), (x(width), height), sides[0], 0),
            Dimension(
                (x(0.0), 0.0), (x(0.0), height), sides[1], 0, f"{tenth(height)} board height"
            ),
            Dimension((x(0.0), 0.0), (x(edge), 0.0), "head", 0),
            Dimension((x(0.0), height), (x(mouth), height), "tail", 0, f"mouth {mm(mouth)}"),
        ),
        labels=(
            Label(
                (x(max(STRIP_MM * 0.6, edge + 7)), height / 2),
                f"{board.side} board, spine edge",
                "note",
                90.0,
            ),
        ),
        left=faces[0] if at_right else faces[1],
        right=faces[1] if at_right else faces[0],
        face_up=f"lay it on the spine edge, HEAD at the head of the board, its {inner} edge at the INNER FACE",
        notes=(
            f"slot from {tenth(top)} to {tenth(bottom)} below the board's head; thick lines across: its ends",
            f"its mouth is drawn as wide as the kerf, {mm(side.slot.kerf_mm)}; its middle lies {mm(mouth)} from the inner face",
            f"the part at the {outer} of the thin line folds onto the outer face",
            *((_old_words(stations),) if stations else ()),
            *((f"full depth from {tenth(floor[0])} to {tenth(floor[1])}",) if side.arc else ()),
        ),
        stock=False,
    )


def _lacing(book: Book, side: _Side) -> list[float]:
    """Return the old lacing stations that the slot crosses, below the board's head."""
    top, bottom = side.extent
    lacing = (y + side.board.square_head.value for y in book.old_sewing.lacing_mm)
    return [y for y in lacing if top < y < bottom]


def _old_words(stations: list[float]) -> str:
    places = ", ".join(map(tenth, stations))
    return f"open circles: old lacing stations, {places} below the board's head; the board is weak there"


def _gauges(sides: dict[Which, _Side]) -> list[Piece]:
    depths: dict[float, list[str]] = {}
    for which, side in sides.items():
        depths.setdefault(side.slot.depth_mm, []).append(which)
    return [_gauge(depth, " and ".join(which)) for depth, which in depths.items()]


def _gauge(depth: float, boards: str) -> Piece:
    """Draw the depth gauge: a tongue as long as the slot is deep, on a body that stops it."""
    body, width, tongue = 34.0, 50.0, 18.0
    left, right = (width - tongue) / 2, (width + tongue) / 2
    return Piece(
        name="depth gauge" if boards == "front and back" else f"depth gauge, {boards}",
        title="depth gauge",
        structure=NAME,
        material="card thinner than the kerf",
        thickness_mm=0.3,
        outline=(
            (0.0, 0.0),
            (width, 0.0),
            (width, body),
            (right, body),
            (right, body + depth),
            (left, body + depth),
            (left, body),
            (0.0, body),
        ),
        grain="any",
        dimensions=(
            Dimension((right, body), (right, body + depth), "right", 0, f"depth {tenth(depth)}"),
        ),
        labels=(Label((width / 2, body / 2), f"slot {tenth(depth)} deep", "note"),),
        head="",
        tail="",
        face_up=f"{boards} board: the tongue must go in up to the shoulders",
        stock=False,
    )


def _wall_words(book: Book, slot: Slot) -> str:
    """Say how thin a wall may be where the board was read too thick."""
    error = book.caliper.value
    doubt = f" if the board is {trimmed(error)} mm thinner than read" if error else ""
    return f"{slot.least_wall_mm:.2f} mm{doubt}"


def _sections(book: Book, sides: dict[Which, _Side]) -> list[Diagram]:
    drawn: dict[tuple[Joint, Slot], list[_Side]] = {}
    for side in sides.values():
        drawn.setdefault((side.joint, side.slot), []).append(side)
    return [
        joint_view.slot_section(
            NAME,
            [side.board.side for side in group],
            group[0].joint,
            group[0].slot,
            group[0].path,
            _wall_words(book, group[0].slot),
        )
        for group in drawn.values()
    ]


def _layers(cloth: Cloth, first: Piece) -> tuple[Layer, ...]:
    return (
        lining.first_layer(first, cloth.spine_mm / 2, "pasted"),
        cloth.layer("pasted", "slot"),
    )


def _figures(
    book: Book,
    params: Params,
    sides: dict[Which, _Side],
    cloth: Cloth | None,
    first: Piece | None,
) -> Figures:
    both = sides.items()
    return Figures(
        board_words=_per_board((w, f"{tenth(s.board.thickness_mm)} mm") for w, s in both),
        slot_words=_per_board(
            (
                w,
                f"{tenth(s.slot.depth_mm)} mm deep at {trimmed(s.slot.angle_deg)}°, mouth {s.slot.mouth_mm:.2f} mm "
                f"from the inner face, kerf {s.slot.kerf_mm:.2f} mm, thinnest wall {_wall_words(book, s.slot)}",
            )
            for w, s in both
        ),
        slope_words=_per_board((w, _slope(params, s.slot)) for w, s in both),
        extent_words=_per_board(
            (w, f"from {tenth(s.extent[0])} to {tenth(s.extent[1])} mm below the board's head")
            for w, s in both
        ),
        lacing_words=" Cross the old lacing stations with care: the board is weak there."
        if any(_lacing(book, side) for side in sides.values())
        else "",
        draws_cloth=cloth is not None,
        cloth_words=_cloth_words(cloth),
        tissue_words="" if first is None else lining.size_words(first),
        flange_words=_per_board(
            (
                w,
                f"{tenth(s.flange)} mm, of it {s.path.length_mm:.2f} mm over the joint, "
                f"{board_joint.slack_words(s.joint, s.path)}",
            )
            for w, s in both
        ),
    )


def _others(
    book: Book, params: Params, sides: dict[Which, _Side], cloth: Cloth | None
) -> dict[str, Quantity]:
    found: dict[str, Quantity] = {
        "girth_head_mm": book.spine.girth_head_mm,
        "girth_tail_mm": book.spine.girth_tail_mm,
        "lies_on_mm": book.lies_on_mm,
        "kerf_mm": next(iter(sides.values())).slot.kerf_mm,
        "flange_mm": max(side.flange for side in sides.values()),
        "setback_head_mm": params.setback_head,
        "setback_tail_mm": params.setback_tail,
        "trim_mm": params.trim,
        "cutter_diameter_mm": params.cutter_diameter,
    }
    for which, side in sides.items():
        found |= {
            f"board_{which}_mm": side.board.thickness_mm,
            f"slot_depth_{which}_mm": side.slot.depth_mm,
            f"slot_angle_{which}_deg": side.slot.angle_deg,
            f"slot_mouth_{which}_mm": side.slot.mouth_mm,
            f"slot_wall_{which}_mm": side.slot.least_wall_mm,
            f"slot_from_{which}_mm": side.extent[0],
            f"slot_to_{which}_mm": side.extent[1],
            f"joint_path_{which}_mm": side.path.length_mm,
            f"joint_straight_{which}_mm": side.path.straight_mm,
            f"joint_slack_{which}_mm": side.path.slack_mm,
            f"flange_{which}_mm": side.flange,
            f"slot_end_arc_{which}_mm": side.arc,
        }
    if cloth is not None:
        found |= {"cloth_width_mm": cloth.piece.width_mm, "cloth_height_mm": cloth.piece.height_mm}
    return found


def _slope(params: Params, cut: Slot) -> str:
    """Say which way a slot runs into its board."""
    return (
        f"its slope towards the {params.toward} face" if cut.angle_deg else "level with the faces"
    )


def _per_board(words: Iterable[tuple[str, str]]) -> str:
    """Say a thing once when both boards agree, else board by board."""
    pairs = list(words)
    if len({text for _, text in pairs}) == 1:
        return pairs[0][1]
    return "; ".join(f"{which} board {text}" for which, text in pairs)


def _cloth_words(cloth: Cloth | None) -> str:
    if cloth is None:
        return "with the secondary sewing"
    return lining.cut_words(cloth.piece)


def _warnings(book: Book, side: _Side) -> tuple[str, ...]:
    lines = list(book.joint_doubts(side.board, side.joint))
    if side.board.thickness_mm < 2.0:
        lines.append(
            f"{side.board.side} board is {tenth(side.board.thickness_mm)} mm; under 2.0 mm the walls "
            "are weak. A sewn cloth joint on the inner face, or to tie or box the book and do nothing, may suit better"
        )
    return tuple(lines)


def _slid(book: Book, params: Params, _part: Part) -> Drawing:
    """Show the flange going into the front board's slot."""
    side = _side(book, params, "front")
    return pictures.slid(side.board.thickness_mm, side.slot, side.flange)


PICTURES = {"slid": _slid}
