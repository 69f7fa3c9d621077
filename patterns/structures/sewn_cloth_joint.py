"""sewn_cloth_joint: a strip of cloth sewn through the fold at each joint.

The strip is sewn on face down along the base of the shoulder, through the middle fold of the first
and of the last anchor gathering, then turned back over its seam: seam, J(O → N) free across the
joint, and what is pasted to the inner face of the board.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from patterns.book import board_joint
from patterns.book.boards import SIDES, Board, Which
from patterns.book.book import Book
from patterns.book.masses import ATTACHMENT_HEAVY_KG
from patterns.book.results import BoardPaperResult, CasingResult, ClothJointResult, Handed
from patterns.formulas import joints
from patterns.formulas.joints import Joint, JointPath
from patterns.model.drawing import Drawing, Line, LineKind, Ring
from patterns.model.part import Check, Diagram, Layer, Part, Quantity, Union
from patterns.model.piece import Dimension, Fold, Hole, Piece, Zone
from patterns.sewing import lining
from patterns.structures.sewings import sewn_cloth_joint as sewing
from patterns.structures.shared import joint_view, pictures
from patterns.structures.shared.board_layers import board_layer
from patterns.structures.shared.hole_row import HoleRow
from patterns.structures.suits.sewn_cloth_joint import Params
from patterns.units import tenth

NAME = "sewn_cloth_joint"
PASTE = "wheat starch paste"
SAME_HOLE_MM = 1.5
"""A new hole nearer to an old one than this is the old one (practice)."""
TAIL_MM = 100.0
CUT_TO_MM = 5
"""Threads are cut to whole lengths of this, never shorter than worked out."""


@dataclass(frozen=True, slots=True)
class _Side:
    """One board's strip: its joint and the cloth's way from the seam to the board."""

    board: Board
    joint: Joint
    path: JointPath
    margin: float
    """How much J exceeds the taut distance from seam to board, at the worst opening."""
    worst_deg: float


@dataclass(frozen=True, slots=True)
class Figures:
    """What the steps are filled in with."""

    onto_mm: float
    lifts: bool
    lifts_on: bool
    first_gathering: str
    last_gathering: str
    strip_words: str
    warp_words: str
    holes_n: int
    spacing_words: str
    seam_mm: float
    old_holes: bool
    old_hole_words: str
    beside_supports: bool
    support_words: str
    thread_each_words: str


def draft(book: Book, params: Params) -> Handed:
    """Work out a strip for each joint, its holes, and the way of the cloth over the whole turn.

    Raises SettingError for ends that leave no row of holes.
    """
    sides = {side: _side(book, params, side) for side in SIDES}
    row = _row(book, params)
    holes = row.heights_mm
    names = {which: f"strip, {which}" for which in SIDES}
    cloths = _cloths(book, params, sides)
    part = Part(
        structure=NAME,
        title="Sewn cloth joints",
        figures=_figures(book, params, sides, row),
        others=_others(book, params, sides, row),
        pieces=tuple(_strip(book, params, one, row, names[which]) for which, one in sides.items()),
        diagrams=tuple(_sections(params, sides)),
        layers=_layers(book, params, sides, cloths),
        warnings=_warnings(book, params, sides, holes),
        checks=tuple(
            Check(
                f"{which} board, the cloth's way from the base of the shoulder to the board's inner edge",
                one.path.length_mm,
                "mm",
                "a strip of paper held there while the board opens: it never draws tight",
            )
            for which, one in sides.items()
        ),
        girth_mm=book.spine.girth_head_mm,
        thread_mm=2 * _thread_mm(book, holes),
    )
    return Handed(part, ClothJointResult(cloths))


LEAST_DRAWN_MM = 0.05
"""A joint narrower than a line is not drawn: board and fold lie edge to edge."""


def _row(book: Book, params: Params) -> HoleRow:
    """Lay out the row: supports first, whatever old holes lie beside them."""
    old, off = book.old_sewing, sewing.off_mm(book, params)
    heights = sewing.places(book, params)
    end = sewing.end_mm(book, params)
    low, high = end - off, book.height_mm - end + off
    return HoleRow(heights, tuple(s for s in old.supports_mm if low < s < high))


def _side(book: Book, params: Params, which: Which) -> _Side:
    board = book.board(which)
    joint = book.joint(board, params.opening)
    path = joints.path(joint, "O", "N")
    margin, at = float("inf"), 0.0
    for angle in range(round(params.opening) + 1):
        taut = joints.run_mm(joints.taut(joint, (joint.gap_mm, 0.0), min(angle, params.opening)))
        if path.length_mm - taut < margin:
            margin, at = path.length_mm - taut, float(angle)
    return _Side(board, joint, path, margin, at)


def _strip(book: Book, params: Params, side: _Side, row: HoleRow, name: str) -> Piece:
    """Draw one strip, its turned-back face up: seam at the joint, the board's part away from it.

    That face is seen from inside, the board open: the front board of a left-to-right book lies at
    the left, its seam at the right.
    """
    cloth, holes = book.material("cloth"), row.heights_mm
    which, across, height = side.board.side, side.path.length_mm, book.height_mm
    width = params.seam + across + params.onto
    seam_left = not book.at_right(which)

    def x(beyond: float) -> float:
        return beyond if seam_left else width - beyond

    def band(near: float, far: float) -> Ring:
        left, right = sorted((x(near), x(far)))
        return ((left, 0.0), (right, 0.0), (right, height), (left, height))

    old = _near_old(book, holes, SAME_HOLE_MM)
    seam, board = params.seam, params.seam + across
    bends = Zone(
        "free", "under", "bends over the joint", band(seam, board), words="joint: no paste"
    )
    joint = (bends,) if across >= LEAST_DRAWN_MM else ()
    grain, reason = lining.warp(book, params.strong)
    return Piece(
        name=name,
        title=f"cloth joint, {which} board",
        structure=NAME,
        material=cloth.name,
        thickness_mm=cloth.thickness_mm,
        outline=((0.0, 0.0), (width, 0.0), (width, height), (0.0, height)),
        grain=grain,
        grain_reason=reason,
        folds=(Fold("mountain", ((x(seam), 0.0), (x(seam), height)), "turn back"),),
        holes=tuple(Hole((x(seam), y), radius=0.8) for y in holes),
        references=(((x(board), 0.0), (x(board), height)),),
        zones=(
            Zone("free", "under", "sewn to the fold", band(0.0, seam), words="seam: sewn, no paste"),
            *joint,
            Zone("pasted", "under", f"inner face of the {which} board", band(board, width), PASTE, on="board"),
        ),
        dimensions=(
            Dimension((x(0.0), 0.0), (x(seam), 0.0), "head"),
            *(Dimension((x(seam), 0.0), (x(board), 0.0), "head", 0, f"joint {tenth(across)}") for _ in joint),
            Dimension((x(board), 0.0), (x(width), 0.0), "head"),
            Dimension((0.0, 0.0), (width, 0.0), "head", 1),
            Dimension((0.0, 0.0), (0.0, height), "left", 0, f"{tenth(height)} head to tail"),
            Dimension((width, 0.0), (width, holes[0]), "right"),
            Dimension((width, holes[0]), (width, holes[1]), "right"),
        ),
        left="SEAM" if seam_left else f"{which.upper()} board",
        right=f"{which.upper()} board" if seam_left else "SEAM",
        face_up="turned-back face up: it is seen when the board is open",
        tolerance_mm=book.reading.value,
        notes=(
            "thin line: inner spine edge of the board",
            f"{row.spacing_words}, {len(holes)} holes below the head: {', '.join(map(tenth, holes))} mm",
            *(("no hole at a sewing support: the holes are spaced between them",) if row.supports_mm else ()),
            *_tied_words(book, params),
            *((f"old holes that serve again: {', '.join(map(tenth, old))} mm below the head",) if old else ()),
        ),
    )  # fmt: skip


def _tied_words(book: Book, params: Params) -> tuple[str, ...]:
    """Say where the endbands' tie-downs push the row further in."""
    if sewing.end_mm(book, params) == params.end:
        return ()
    tied = tenth(book.tie_down.value)
    return (f"no hole among the endbands' tie-downs, {tied} mm from head and tail",)


def _near_old(book: Book, holes: tuple[float, ...], reach: float) -> dict[float, float]:
    """Return the holes that lie within `reach` of an old one, with the old one's height.

    The holes at the sides of a support are not among the old ones: nothing comes so near to it.
    """
    sewing = book.old_sewing
    off = sewing.support_width_mm / 2 + 1e-6
    old = [y for y in sewing.holes_mm if all(abs(y - s) > off for s in sewing.supports_mm)]
    near = {y: min(old, key=lambda o: abs(o - y)) for y in holes} if old else {}
    return {y: o for y, o in near.items() if abs(o - y) <= reach}


def _cloths(book: Book, params: Params, sides: dict[Which, _Side]) -> dict[Which, Layer]:
    """Return each board's cloth as a layer; a board paper lies over it, pasted."""
    cloth, half = book.material("cloth"), book.spine.girth_mm(book.height_mm / 2) / 2
    union: Union = "pasted" if book.expects(BoardPaperResult) else "sewn"
    found = {}
    for which, one in sides.items():
        ends = (half, half + one.path.length_mm + params.onto)
        left, right = ends if book.at_right(which) else (-ends[1], -ends[0])
        found[which] = Layer(
            f"cloth joint, {which}, sewn in the fold",
            cloth.name,
            cloth.thickness_mm,
            left,
            right,
            union,
            union,
            on_spine=False,
            beyond="inner face",
        )
    return found


def _layers(
    book: Book, params: Params, sides: dict[Which, _Side], cloths: dict[Which, Layer]
) -> tuple[Layer, ...]:
    half = book.spine.girth_mm(book.height_mm / 2) / 2
    found: list[Layer] = []
    for which, one in sides.items():
        least = one.path.length_mm + params.onto
        found += [cloths[which], board_layer(book, one.board, half, least)]
    return tuple(found)


def _sections(params: Params, sides: dict[Which, _Side]) -> list[Diagram]:
    drawn: dict[Joint, list[_Side]] = {}
    for side in sides.values():
        drawn.setdefault(side.joint, []).append(side)
    return [_section(params, group) for group in drawn.values()]


def _section(params: Params, group: list[_Side]) -> Diagram:
    side, joint = group[0], group[0].joint
    reach = max(joint_view.REACH_MM, params.onto + 6.0)
    g = joint.gap_mm
    flank = joint.flank_mm
    lean = min(1.0, params.seam / flank) if flank else 1.0
    beyond = max(0.0, params.seam - flank)
    spine = joint_view.along_spine(joint, beyond)
    seam = (*reversed(spine), (joint.tip[0] * lean, joint.tip[1] * lean))

    def lines(angle: float) -> list[Line]:
        across = joints.taut(joint, (g, 0.0), angle)
        onto = joints.turned(joint, (g + params.onto, 0.0), angle)
        return [
            *joint_view.book_lines(joint, reach, angle, beyond),
            Line(LineKind.SEWN_OUTSIDE, (*seam, *across, onto)),
        ]

    boards = " and ".join(one.board.side for one in group)
    return joint_view.joint_section(
        NAME,
        f"cloth joint section, {boards}",
        f"Cloth joint in section, {boards} board" + ("s" if len(group) > 1 else ""),
        joint,
        lines,
        (
            f"{joint.name}: board {tenth(joint.board_mm)}, shoulder {tenth(joint.shoulder_mm)}, gap {tenth(g)} mm",
            f"cloth from the base of the shoulder to the board's inner edge: {side.path.length_mm:.2f} mm, "
            f"{board_joint.slack_words(joint, side.path)}; {_tightest(side)}",
            "heavy line: the cloth, sewn at the base of the shoulder, free across the joint, pasted to the board",
            _seam_words(params.seam, flank),
        ),
    )


def _seam_words(seam: float, flank: float) -> str:
    """Say where the seam's edge comes to lie."""
    beyond = seam - flank
    if beyond <= 0:
        return f"the seam, {tenth(seam)} mm, lies on the shoulder"
    if not flank:
        return f"the seam, {tenth(seam)} mm, lies on the spine"
    return f"the seam, {tenth(seam)} mm, lies on the shoulder, its last {tenth(beyond)} mm beyond the tip on the spine"


def _tightest(side: _Side) -> str:
    """Say at which opening the cloth is drawn most, and what is left of it there."""
    if side.margin < 0.005:
        return f"drawn straight at {side.worst_deg:.0f}°"
    return f"tightest at {side.worst_deg:.0f}°, {side.margin:.2f} mm to spare"


def _through_mm(book: Book) -> float:
    """Return what the needle passes at each hole: the cloth and one gathering's folios."""
    return book.material("cloth").thickness_mm + book.folios.value * book.leaf.value


def _thread_mm(book: Book, holes: tuple[float, ...]) -> float:
    """Return one strip's thread: along the row and back, through at every hole, two tails."""
    span = holes[-1] - holes[0]
    return 1.1 * (2 * span + 2 * len(holes) * _through_mm(book) + 2 * TAIL_MM)


def _figures(book: Book, params: Params, sides: dict[Which, _Side], row: HoleRow) -> Figures:
    holes = row.heights_mm
    thread = _thread_mm(book, holes)
    first, last = book.anchors
    near = _near_old(book, holes, SAME_HOLE_MM)
    grain, _ = lining.warp(book, params.strong)
    widths = [tenth(_width_mm(params, sides[which])) for which in SIDES]
    casing = book.result(CasingResult)
    return Figures(
        onto_mm=params.onto,
        lifts=casing is None,
        lifts_on=casing is not None and params.onto > casing.lifted_mm + 0.05,
        first_gathering=str(first),
        last_gathering=str(last) if last else "last",
        strip_words=f"two strips {widths[0]} × {tenth(book.height_mm)} mm"
        if widths[0] == widths[1]
        else f"a strip {widths[0]} × {tenth(book.height_mm)} mm for the front board, one {widths[1]} mm wide for the back",
        warp_words=lining.warp_words(grain),
        holes_n=len(holes),
        spacing_words=row.spacing_words,
        seam_mm=params.seam,
        old_holes=bool(near),
        old_hole_words=", ".join(tenth(y) for y in near),
        beside_supports=bool(row.supports_mm),
        support_words=", ".join(map(tenth, row.supports_mm)),
        thread_each_words=f"{ceil(thread / CUT_TO_MM) * CUT_TO_MM} mm",
    )


def _width_mm(params: Params, side: _Side) -> float:
    """Width of one strip: in the book, over the joint, onto the board."""
    return params.seam + side.path.length_mm + params.onto


def _others(
    book: Book, params: Params, sides: dict[Which, _Side], row: HoleRow
) -> dict[str, Quantity]:
    thread = _thread_mm(book, row.heights_mm)
    found: dict[str, Quantity] = {
        "girth_head_mm": book.spine.girth_head_mm,
        "girth_tail_mm": book.spine.girth_tail_mm,
        "end_mm": sewing.end_mm(book, params),
        "pitch_mm": min(row.pitches_mm),
        "pitch_most_mm": max(row.pitches_mm),
        "strip_height_mm": book.height_mm,
        "thread_mm": 2 * thread,
        "thread_each_mm": thread,
        "through_mm": _through_mm(book),
    }
    for which, one in sides.items():
        found |= {
            f"joint_path_{which}_mm": one.path.length_mm,
            f"joint_slack_{which}_mm": one.path.slack_mm,
            f"least_margin_{which}_mm": one.margin,
            f"strip_width_{which}_mm": _width_mm(params, one),
            f"closed_gap_{which}_mm": one.joint.gap_mm,
        }
    return found


def _warnings(
    book: Book, params: Params, sides: dict[Which, _Side], holes: tuple[float, ...]
) -> tuple[str, ...]:
    lines = [line for one in sides.values() for line in book.joint_doubts(one.board, one.joint)]
    reused = _near_old(book, holes, SAME_HOLE_MM)
    beside = {y: o for y, o in _near_old(book, holes, params.clear).items() if y not in reused}
    if beside:
        lines.append(
            f"holes at {', '.join(tenth(y) for y in beside)} mm lie within {params.clear:g} mm of old ones; "
            "go through the old hole there, or shift the row (sewn_cloth_joint.end)"
        )
    if book.heavy_for_attachment:
        lines.append(
            f"from {ATTACHMENT_HEAVY_KG:g} kg of block on the first gatherings alone carry the boards; board_slot with "
            "secondary_sewing shares the pull among many"
        )
    for which, one in sides.items():
        if one.margin < -0.02:
            lines.append(
                f"{which} board draws the cloth tight by {-one.margin:.2f} mm as it opens; let it open "
                "less, or cut the strip that much wider"
            )
    return tuple(lines)


def _turned_back(book: Book, params: Params, _part: Part) -> Drawing:
    """Show the strip of the front board turned back over its seam."""
    joint = book.joint(book.board("front"), params.opening)
    return pictures.turned_back(joint, params.seam, params.onto, params.opening)


PICTURES = {"turned_back": _turned_back}
