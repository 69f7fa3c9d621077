"""casing_in: a block put back into its own case, with its lining, endpapers on wish, and corner gauges."""

from __future__ import annotations

from dataclasses import dataclass, replace

from patterns.book.answer import certain
from patterns.book.boards import SIDES, Board, Which
from patterns.book.book import Book
from patterns.book.results import CasingResult, Handed, SewnLiningResult, WideningResult
from patterns.errors import SettingError
from patterns.formulas import joints
from patterns.formulas.joints import Joint
from patterns.model.drawing import Drawing, Line, LineKind
from patterns.model.part import Check, Diagram, Layer, Part, Quantity
from patterns.model.piece import Dimension, Piece
from patterns.model.traits import Traits
from patterns.sewing import lining, raised
from patterns.sewing.lining import Cloth, Flange
from patterns.structures.shared import conditions, endpaper, joint_view, pictures, turn_ins
from patterns.structures.shared.first_lining import first_lining
from patterns.structures.shared.turn_ins import Reached
from patterns.structures.suits.casing_in import Params
from patterns.units import tenth

NAME = "casing_in"
OUT_OF_CASE = (
    "lift the paste-downs from the joint outwards {off_leaf}, and the lining's flanges {off_board}, "
    "and take the block out of the case"
)
"""How it is undone where another structure's cloth hangs the block: that tells of its own lining."""
ONTO_MM = (32.0, 51.0)
"""A flange's hold on its board, of a general and of a heavy book (Bailey 1916)."""
LEAST_HOLD_MM = 10.0
"""A flange that holds less than this comes off (practice)."""
GROWTH = (0.3, 1.5)
"""Growth in % along and across the grain where the paper's own is not known (memory)."""
SHUT_MM = 1.0
"""A paste-down that lies shorter by more than this when put down shut keeps the board from opening (practice)."""
SAME_MM = 0.05
"""Flanges that differ by less are the same."""
LEAST_MARGIN_MM = 1.0
GAUGE_MM = 60.0
GAUGED_READINGS = 4
"""Square, board, leaves and gap: by so many readings the gauge may differ from what they add up to."""
LEAST_SQUARE_MM = 1.0


@dataclass(frozen=True, slots=True)
class _Side:
    """One board: its joint, its flange, and how its paste-down comes to lie; lengths in mm."""

    board: Board
    joint: Joint
    square_fore: float
    flange: Flange
    across: float
    """J(O → N), the paste-down's way over the joint."""
    shut: float
    """The same straight, the board shut."""
    margins: tuple[float, float, float]
    """Board left bare at fore edge, head and tail."""


@dataclass(frozen=True, slots=True)
class Figures:
    """What the steps are filled in with."""

    flange_words: str
    own_lining: bool
    on_turn_ins: bool
    reached_words: str
    tissue_words: str
    cloth_words: str
    warp_words: str
    new_endpapers: bool
    sewn_endpapers: bool
    case_words: str
    endpaper_words: str
    joined_words: str
    gauge_words: str
    pastedown_words: str
    put_down_shut: bool
    grooved: bool


def draft(book: Book, params: Params) -> Handed:
    """Work out lining, endpapers, gauges and how the paste-downs come to lie.

    Raises SettingError for a flange that ends in the joint.
    """
    sides = {side: _side(book, params, side) for side in SIDES}
    first, cloth = _lining(book, params, sides)
    pieces = [*(() if cloth is None else (cloth.piece,)), *(() if first is None else (first,))]
    if params.endpapers != "none":
        pieces.append(
            endpaper.folio(book, NAME, params.endpapers, params.hook, params.tip, params.larger)
        )
    pieces += _gauges(sides)
    part = Part(
        structure=NAME,
        title="Casing in",
        figures=_figures(book, params, sides, first, cloth),
        others=_others(book, params, sides),
        pieces=tuple(pieces),
        diagrams=tuple(_sections(sides)),
        layers=_layers(first, cloth),
        warnings=_warnings(book, params, sides),
        checks=tuple(
            Check(
                f"{side} paste-down, board left bare at the fore edge",
                one.margins[0],
                "mm",
                "a rule laid on the open board, before the paste-down is put down",
            )
            for side, one in sides.items()
        ),
        girth_mm=book.spine.girth_head_mm,
        undo=() if cloth is not None else (OUT_OF_CASE,),
    )
    return Handed(part, CasingResult(min(one.flange.pasted_mm for one in sides.values())))


def _side(book: Book, params: Params, side: Which) -> _Side:
    board = book.board(side)
    joint = book.joint(board, params.opening)
    reach = joints.path(joint, "S", "N").length_mm
    sewn = book.result(SewnLiningResult)
    width = params.flange if sewn is None else _sewn_flange(sewn.flanges_mm[side], params)
    if width is None:
        width = reach + (ONTO_MM[1] if book.heavy_for_lining else ONTO_MM[0])
    if sewn is None and width < reach + LEAST_HOLD_MM:
        raise SettingError(
            f"casing_in.flange: {width:g} mm ends in the {side} joint, which takes {reach:.1f} mm; "
            f"give {reach + LEAST_HOLD_MM:.1f} mm or more"
        )
    path = joints.path(joint, "O", "N")
    leaf = certain(book.width_mm, "text_block.width")
    along, across = growth(book)
    tall = book.height_mm * along / 2
    margins = (
        board.certain_width_mm - (leaf * (1 + across) - path.length_mm),
        board.square_head.value - tall,
        board.height_mm - board.square_head.value - book.height_mm - tall,
    )
    return _Side(
        board=board,
        joint=joint,
        square_fore=certain(book.fore_edge_square_mm(side), f"cover.{side}.square_fore_edge"),
        flange=Flange(width, width - reach, f"inner face of the {side} board", 1),
        across=path.length_mm,
        shut=path.straight_mm,
        margins=margins,
    )


def _sewn_flange(width: float, params: Params) -> float:
    """Return the flange of the lining that is sewn on; refuse another one of casing in. Raises SettingError."""
    if params.flange is not None and abs(params.flange - width) >= SAME_MM:
        raise SettingError(
            f"casing_in.flange: {params.flange:g} mm, but the lining that is sewn on reaches {tenth(width)} mm beyond "
            "the tip of the shoulder; leave it out, and give secondary_sewing.flange"
        )
    return width


PUT_DOWN = Traits(wets=("leaf", "cover", "leather"))
"""What a paste-down is put down on, with its turn-ins."""


def growth(book: Book) -> tuple[float, float]:
    """Return the paste-down's growth along and across its grain as shares; none where it is not pasted."""
    if not conditions.pasted(book.condition, PUT_DOWN):
        return 0.0, 0.0
    paper = book.materials["endpaper"]
    known = (paper.growth_along, paper.growth_across)
    along, across = (
        (usual if own is None else own) / 100 for own, usual in zip(known, GROWTH, strict=True)
    )
    return along, across


def _lining(
    book: Book, params: Params, sides: dict[Which, _Side]
) -> tuple[Piece | None, Cloth | None]:
    """Return tissue and cloth; none where a lining is sewn on in the same pattern."""
    if book.expects(SewnLiningResult):
        return None, None
    setbacks = (params.setback_head, params.setback_tail)
    first = first_lining(book, NAME, setbacks)
    over = replace(book, lies_on_mm=book.lies_on_mm + first.thickness_mm)
    flanges = {side: one.flange for side, one in sides.items()}
    cloth = lining.cut(over, NAME, flanges, setbacks, spine_to="first lining", strong=params.strong)
    return first, cloth


def _on_turn_ins(book: Book, params: Params) -> dict[Which, Reached]:
    """Return the turn-ins that its own lining reaches; of a sewn one that structure tells."""
    if book.expects(SewnLiningResult):
        return {}
    return turn_ins.reached(book, (params.setback_head, params.setback_tail))


def _gauges(sides: dict[Which, _Side]) -> list[Piece]:
    """Draw a corner gauge for each board, or one for both where their squares are alike."""
    alike: dict[tuple[str, str], list[Which]] = {}
    for side, one in sides.items():
        squares = (one.board.square_head.value, one.square_fore)
        if min(squares) >= LEAST_SQUARE_MM:
            alike.setdefault((tenth(squares[0]), tenth(squares[1])), []).append(side)
    return [_gauge(sides[group[0]], group) for group in alike.values()]


def _gauge(one: _Side, group: list[Which]) -> Piece:
    """Draw the L that fills both squares at the head's fore-edge corner."""
    head, fore = one.board.square_head.value, one.square_fore
    reach = GAUGE_MM
    words = " and ".join(group)
    return Piece(
        name=f"corner gauge, {words}",
        title=f"corner gauge, {words} board{'s' if len(group) > 1 else ''}",
        structure=NAME,
        material="this printed sheet, on card",
        thickness_mm=0.1,
        outline=((0.0, 0.0), (reach, 0.0), (reach, reach), (reach - fore, reach), (reach - fore, head), (0.0, head)),
        grain="any",
        dimensions=(
            Dimension((0.0, 0.0), (0.0, head), "left"),
            Dimension((reach - fore, reach), (reach, reach), "tail"),
        ),
        face_up="on the inner face of the board, its outer edges level with the board's at head and fore edge",
        head="HEAD square",
        tail="",
        right="FORE EDGE square",
        notes=("the leaves touch its inner edges when the block lies true; turn it over for the other corner",),
        stock=False,
    )  # fmt: skip


def _sections(sides: dict[Which, _Side]) -> list[Diagram]:
    drawn: dict[Joint, list[_Side]] = {}
    for one in sides.values():
        drawn.setdefault(one.joint, []).append(one)
    return [_section(group) for group in drawn.values()]


def _section(group: list[_Side]) -> Diagram:
    one, joint = group[0], group[0].joint
    g, reach = joint.gap_mm, joint_view.REACH_MM

    def lines(angle: float) -> list[Line]:
        onto = joints.turned(joint, (g + reach * 0.8, 0.0), angle)
        paper = (*joints.taut(joint, (g, 0.0), angle), onto)
        near = joints.turned(joint, (g, 0.0), angle)
        held = joints.turned(joint, (g + reach * 0.6, 0.0), angle)
        cloth = (joint.tip, *joint_view.groove(joint, angle), near, held)
        return [
            *joint_view.book_lines(joint, reach, angle),
            Line(LineKind.SECTION, cloth),
            Line(LineKind.SEWN_INSIDE, paper),
        ]

    boards = " and ".join(each.board.side for each in group)
    return joint_view.joint_section(
        NAME,
        f"casing section, {boards}",
        f"Lining and paste-down in section, {boards} board" + ("s" if len(group) > 1 else ""),
        joint,
        lines,
        (
            f"{joint.name}: board {tenth(joint.board_mm)}, shoulder {tenth(joint.shoulder_mm)}, gap {tenth(g)} mm",
            f"flange {tenth(one.flange.width_mm)} mm from the shoulder's tip, the last "
            f"{tenth(one.flange.pasted_mm)} of it pasted to the board",
            f"paste-down from the base of the shoulder to the board: {one.across:.2f} mm, {one.shut:.2f} when shut",
            "heavy line: the cloth; dashed: the paste-down over it",
        ),
    )


def _layers(first: Piece | None, cloth: Cloth | None) -> tuple[Layer, ...]:
    if first is None or cloth is None:
        return ()
    return (
        lining.first_layer(first, cloth.spine_mm / 2, "pasted"),
        cloth.layer("pasted", "inner face"),
    )


def added_mm(book: Book, params: Params) -> tuple[float, float]:
    """Return what new endpapers add to the thickness between the boards, and to the chord, in mm.

    Of each folio one leaf lies on its board; at the spine both are there, and the hook twice.
    """
    leaves = {"none": (0, 0), "tipped": (2, 4), "sewn": (2, 4), "hooked": (2, 8)}[params.endpapers]
    thick = book.material("endpaper").thickness_mm
    return leaves[0] * thick, leaves[1] * thick


def _figures(
    book: Book,
    params: Params,
    sides: dict[Which, _Side],
    first: Piece | None,
    cloth: Cloth | None,
) -> Figures:
    grain, _ = lining.warp(book, params.strong)
    front, back = (tenth(one.flange.width_mm) for one in sides.values())
    leaf = certain(book.width_mm, "text_block.width")
    hook = params.hook if params.endpapers == "hooked" else 0.0
    shut = all(one.across - one.shut <= SHUT_MM for one in sides.values())
    on_turn_ins = _on_turn_ins(book, params)
    return Figures(
        flange_words=front if front == back else f"{front} (front) and {back} (back)",
        own_lining=cloth is not None,
        on_turn_ins=bool(on_turn_ins),
        reached_words=turn_ins.words(on_turn_ins, "its"),
        tissue_words="" if first is None else lining.size_words(first),
        cloth_words="" if cloth is None else lining.cut_words(cloth.piece),
        warp_words=lining.warp_words(grain),
        new_endpapers=params.endpapers != "none",
        sewn_endpapers=params.endpapers == "sewn",
        case_words="its widened case" if book.expects(WideningResult) else "its case",
        endpaper_words=f"{tenth(2 * (leaf + hook))} × {tenth(book.height_mm)} mm, {tenth(params.larger)} mm larger at each edge",
        joined_words=_joined_words(book, params),
        gauge_words=_each(
            {
                side: f"{tenth(one.board.square_head.value)} mm at the head, {tenth(one.square_fore)} at the fore edge"
                for side, one in sides.items()
            }
        ),
        pastedown_words=_each({side: _pastedown(one) for side, one in sides.items()}),
        put_down_shut=shut,
        grooved=any(one.joint.kind == "french" for one in sides.values()),
    )  # fmt: skip


def _joined_words(book: Book, params: Params) -> str:
    thick, chord = added_mm(book, params)
    how = {
        "none": "",
        "tipped": f"Tip each by {tenth(params.tip)} mm of paste along its fold to the outermost leaf: the weakest "
        "of the three ways, for that leaf carries it alone.",
        "hooked": f"Bend {tenth(params.hook)} mm of the folded edge round the outermost gathering and paste it there.",
        "sewn": "They are sewn on through their folds, and paste is kept away from the leaves.",
    }[params.endpapers]
    return f"{how} Together they add {thick:.2f} mm between the boards and {chord:.2f} mm at the spine."


def _each(words: dict[Which, str]) -> str:
    """Say it once where front and back are alike."""
    if words["front"] == words["back"]:
        return words["front"]
    return f"front {words['front']}; back {words['back']}"


def _pastedown(one: _Side) -> str:
    fore, head, tail = map(tenth, one.margins)
    return (
        f"{tenth(one.across)} mm across the joint, then onto the board, where {fore} mm are left "
        f"bare at the fore edge, {head} at the head and {tail} at the tail"
    )


def _others(book: Book, params: Params, sides: dict[Which, _Side]) -> dict[str, Quantity]:
    thick, chord = added_mm(book, params)
    found: dict[str, Quantity] = {
        "girth_head_mm": book.spine.girth_head_mm,
        "girth_tail_mm": book.spine.girth_tail_mm,
        "lies_on_mm": book.lies_on_mm,
        "endpapers_add_thickness_mm": thick,
        "endpapers_add_chord_mm": chord,
    }
    for side, one in sides.items():
        found |= {
            f"flange_{side}_mm": one.flange.width_mm,
            f"joint_path_{side}_mm": one.across,
            f"joint_shut_{side}_mm": one.shut,
            f"margin_fore_edge_{side}_mm": one.margins[0],
            f"margin_head_{side}_mm": one.margins[1],
            f"margin_tail_{side}_mm": one.margins[2],
        }
    return found


def _gauge_doubt(book: Book, one: _Side) -> tuple[str, ...]:
    """Say where a block set by the gauge would not leave the joint as wide as it was measured."""
    gap = book.gap(one.board.side)
    leaf = certain(book.width_mm, "text_block.width")
    square = gap.value + one.board.certain_width_mm - leaf
    off = square - one.square_fore
    if gap.assumed or abs(off) <= GAUGED_READINGS * book.reading.value + 1e-9:
        return ()
    joint = max(0.0, gap.value - off)
    found = (
        f"give a square of {tenth(square)} mm at the fore edge"
        if square >= 0
        else f"put its fore edge {tenth(-square)} mm within the leaves"
    )
    return (
        f"{one.board.side} board, set by the gauge the joint is {tenth(joint)} mm wide where {tenth(gap.value)} was "
        f"measured: joint, board and leaves {found}, where a square of {tenth(one.square_fore)} is recorded; "
        "measure them again, for lining, cover and paste-down go by the joint as measured",
    )


def _warnings(book: Book, params: Params, sides: dict[Which, _Side]) -> tuple[str, ...]:
    lines = [line for one in sides.values() for line in book.joint_doubts(one.board, one.joint)]
    for side, one in sides.items():
        if (least := min(one.margins)) < LEAST_MARGIN_MM:
            comes = (
                f"leave {tenth(least)} mm bare at one edge"
                if least >= 0
                else f"reach {tenth(-least)} mm beyond the board at one edge"
            )
            lines.append(
                f"{side} board, the paste-down would {comes}; trim it, or lay the block further in"
            )
        if min(one.board.square_head.value, one.square_fore) < LEAST_SQUARE_MM:
            lines.append(
                f"{side} board, no square to gauge at head or fore edge; set the block level by hand"
            )
        lines += _gauge_doubt(book, one)
    setbacks = (params.setback_head, params.setback_tail)
    lines += turn_ins.warnings(_on_turn_ins(book, params), setbacks)
    if not book.expects(SewnLiningResult):
        lines += raised.over_bands(book, setbacks)
    _, chord = added_mm(book, params)
    if chord >= book.reading.value:
        lines.append(
            f"new endpapers add {chord:.2f} mm at the spine: read the strip over the spine again when they are on, "
            "and draft the lining from that reading"
        )
    if book.cover_spine is None:
        lines.append("cover.spine_width is not measured: whether the case closes is not known")
    return tuple(lines)


def _set_in(book: Book, _params: Params, _part: Part) -> Drawing:
    """Show the rod in the first joint that is a groove."""
    joints_there = (book.joint(book.board(side)) for side in SIDES)
    return pictures.set_in(next(one for one in joints_there if one.kind == "french"))


PICTURES = {"set_in": _set_in}
