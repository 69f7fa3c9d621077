"""joint_tacket: a thread through the base of the shoulder and the board.

At each place the board has one hole, set back from its spine edge, and the shoulder has two, close
together. The thread goes in through one hole of the shoulder, out through the other, and round the
board's spine edge through its one hole: along the inner face one way, over the edge and the outer
face the other way. It is knotted on the inner face.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from patterns.book.boards import SIDES, Board, Which
from patterns.book.book import Book
from patterns.book.results import Handed, TacketResult
from patterns.formulas import joints
from patterns.formulas.joints import Joint
from patterns.model.capitals import BODY
from patterns.model.drawing import Anchor, Line, LineKind, Ring, Words
from patterns.model.part import Check, Diagram, Part, Quantity
from patterns.model.piece import Dimension, Fold, Hole, Label, Piece, Side
from patterns.structures.sewings import joint_tacket as sewing
from patterns.structures.shared import joint_view, tacket_load
from patterns.structures.shared.opened import rebacked
from patterns.structures.shared.tacket_load import TacketStrength
from patterns.structures.suits.joint_tacket import Params
from patterns.units import tenth, two_figures

NAME = "joint_tacket"
FLAP_MM = 14.0
"""Part of the marking strip that hangs over the board's spine edge."""
LEG_MM = 26.0
"""Part of it that lies on the board, at least."""
THIN_SHOULDER_MM = 1.5
"""Under this a shoulder holds hardly any paper (practice)."""
TURN_STEP_DEG = 1.0
BINDS_MM = 0.02
CUT_TO_MM = 5
"""Threads are cut to whole lengths of this, never shorter than worked out."""


@dataclass(frozen=True, slots=True)
class _Side:
    """One board's tackets: its joint, the loop by rule, and the way round it at the worst opening."""

    board: Board
    joint: Joint
    across: float
    """J(O → N)."""
    loop: float
    worst: float
    worst_deg: float
    margin: float
    """How much a strand's allowance exceeds its taut length at the worst opening."""

    def tails(self) -> float:
        """Return what is left at each end of a thread of the loop by rule."""
        return (self.loop - self.worst) / 2

    @property
    def cut_mm(self) -> int:
        """The whole length that a thread is cut to."""
        return ceil(self.loop / CUT_TO_MM) * CUT_TO_MM


@dataclass(frozen=True, slots=True)
class Figures:
    """What the steps are filled in with."""

    rebacked: bool
    stations_n: int
    board_heights_words: str
    heights_words: str
    set_back_mm: float
    pair_mm: float
    hole_mm: float
    loop_words: str
    strength_words: str


def draft(book: Book, params: Params) -> Handed:
    """Work out where board and shoulder are pierced, the loop's length, and what it does to paper.

    Raises PlacementError when the holes do not fit between supports and old holes.
    """
    sides = {side: _side(book, params, side) for side in SIDES}
    places = sewing.places(book, params)
    shoulder = min(one.board.shoulder_mm for one in sides.values())
    strength = tacket_load.strength(book, params, shoulder, len(places))
    part = Part(
        structure=NAME,
        title="Joint tackets",
        figures=_figures(book, params, sides, places, strength),
        others=_others(book, sides, places, strength),
        pieces=tuple(_strip(book, params, side, places) for side in sides.values()),
        thread_mm=_thread_mm(sides, places),
        diagrams=tuple(_sections(params, sides, book.material("thread").thickness_mm)),
        warnings=_warnings(book, params, sides, strength),
        boxes=tacket_load.boxes(params, strength, len(places)),
        checks=tuple(
            Check(
                f"{side} board, way round the loop at its worst opening",
                one.worst,
                "mm",
                "a thread tied dry round shoulder and board, slid along and measured; never more than the loop",
            )
            for side, one in sides.items()
        ),
    )
    return Handed(part, TacketResult())


def _thread_mm(sides: dict[Which, _Side], places: tuple[float, ...]) -> float:
    return sum(one.loop for one in sides.values()) * len(places)


def _side(book: Book, params: Params, which: Which) -> _Side:
    board = book.board(which)
    joint = book.joint(board, params.opening)
    across = joints.path(joint, "O", "N").length_mm
    loop = 2 * (joint.shoulder_mm + across + params.set_back + joint.board_mm) + 2 * params.tail
    worst, at, margin = _turned(joint, params, across)
    return _Side(board, joint, across, loop, worst, at, margin)


def _turned(joint: Joint, params: Params, across: float) -> tuple[float, float, float]:
    """Open the board step by step; return the longest way round, where, and the least allowance.

    Both strands are taut from the shoulder's base: one to the inner arris N, which J(O → N)
    allows, one to the outer arris C, which J(O → N) + board allows.
    """
    inner, outer = (joint.gap_mm, 0.0), (joint.gap_mm, joint.board_mm)
    fixed = 2 * joint.shoulder_mm + params.pair + 2 * params.set_back + joint.board_mm
    longest, at, margin = 0.0, 0.0, float("inf")
    steps = max(1, round(joint.opening_deg / TURN_STEP_DEG))
    for k in range(steps + 1):
        angle = joint.opening_deg * k / steps
        near = joints.run_mm(joints.taut(joint, inner, angle))
        far = joints.run_mm(joints.taut(joint, outer, angle))
        margin = min(margin, across - near, across + joint.board_mm - far)
        if fixed + near + far > longest:
            longest, at = fixed + near + far, angle
    return longest, at, margin


def _strip(book: Book, params: Params, side: _Side, places: tuple[float, ...]) -> Piece:
    """Draw the strip that marks both: folded over the board's spine edge, heads together.

    x runs away from the spine on the front board of a left-to-right book, towards it on the back.
    """
    board = side.board
    square = board.square_head.value
    leg = max(LEG_MM, params.set_back + 8.0)
    width, height = FLAP_MM + leg, board.height_mm
    spine_left = book.at_right(board.side)

    def x(beyond: float) -> float:
        """Place across the strip, counted from the board's spine edge onto the board."""
        return FLAP_MM + beyond if spine_left else leg - beyond

    half = params.pair / 2
    heights = [square + y for y in places]
    holes = [Hole((x(params.set_back), y), radius=max(0.8, params.hole / 2)) for y in heights]
    holes += [
        Hole((x(-FLAP_MM / 2), y + d), "", radius=0.8) for y in heights for d in (-half, half)
    ]
    across: Ring = ((x(0.0), 0.0), (x(0.0), height))
    sides: tuple[Side, Side] = ("left", "right") if spine_left else ("right", "left")
    inner, outer = sides
    anchor: Anchor = "start" if spine_left else "end"  # away from the fold
    far, near = (width, 0.0) if spine_left else (0.0, width)
    return Piece(
        name=f"marking strip, {board.side}",
        title=f"marking strip, {board.side} board",
        structure=NAME,
        material="this printed sheet",
        thickness_mm=0.1,
        outline=((0.0, 0.0), (width, 0.0), (width, height), (0.0, height)),
        grain="any",
        folds=(Fold("mountain", (across[0], across[1]), "spine edge"),),
        holes=tuple(holes),
        marks=tuple(
            Words((x(params.set_back + 2.0), y + BODY / 2), tenth(y), BODY, anchor=anchor)
            for y in heights
        ),
        references=(((x(0.0), square), (near, square)), ((x(0.0), square + book.height_mm), (near, square + book.height_mm))),
        dimensions=(
            Dimension((x(0.0), height), (x(params.set_back), height), "tail", 0, f"{tenth(params.set_back)} set-back"),
            Dimension((0.0, 0.0), (width, 0.0), "head"),
            *(Dimension((far, 0.0), (far, y), outer, 0 if k == 0 else k) for k, y in enumerate(heights)),
            Dimension((near, heights[0] - half), (near, heights[0] + half), inner, 0, f"pair {tenth(params.pair)}"),
        ),
        labels=(
            Label((x(leg * 0.62), height / 2), f"on the {board.side} board", "note", 90.0),
            Label((x(-FLAP_MM * 0.75), height / 2 + 20), "shoulder: heights only", "small", 90.0),
        ),
        left="JOINT" if spine_left else "",
        right="" if spine_left else "JOINT",
        face_up="this face up, on the outer face of the board; HEAD at the head of the board",
        notes=(
            "pairs at the joint give heights only: the awl finds its place at the base of the shoulder",
            f"thin lines: head and tail of the text block, {tenth(square)} mm below the board's head",
        ),
        stock=False,
    )  # fmt: skip


def _sections(params: Params, sides: dict[Which, _Side], thread: float) -> list[Diagram]:
    drawn: dict[Joint, list[_Side]] = {}
    for side in sides.values():
        drawn.setdefault(side.joint, []).append(side)
    return [_section(params, group, thread) for group in drawn.values()]


def _section(params: Params, group: list[_Side], thread: float) -> Diagram:
    side, joint = group[0], group[0].joint
    reach = max(joint_view.REACH_MM, params.set_back + 8.0)
    g, b, back = joint.gap_mm, joint.board_mm, params.set_back

    def lines(angle: float) -> list[Line]:
        inner = [*joints.taut(joint, (g, 0.0), angle), joints.turned(joint, (g + back, 0.0), angle)]
        outer = [
            joints.turned(joint, (g + back, 0.0), angle),
            joints.turned(joint, (g + back, b), angle),
            *reversed(joints.taut(joint, (g, b), angle)),
        ]
        x, z = joint.tip
        through = ((0.0, 0.0), (x - 1.2, z - 0.72))
        return [
            *joint_view.book_lines(joint, reach, angle),
            Line(LineKind.SEWN_OUTSIDE, (*through[::-1], *inner[1:])),
            Line(LineKind.SEWN_OUTSIDE, tuple(outer)),
        ]

    boards = " and ".join(one.board.side for one in group)
    return joint_view.joint_section(
        NAME,
        f"tacket section, {boards}",
        f"Tacket in section, {boards} board" + ("s" if len(group) > 1 else ""),
        joint,
        lines,
        (
            f"{joint.name}: board {tenth(b)}, shoulder {tenth(joint.shoulder_mm)}, gap {tenth(g)} mm; "
            f"thread {thread:.2f} mm",
            f"from the shoulder's base to the board's inner arris a thread needs {side.across:.2f} mm; the way round is longest, "
            f"{tenth(side.worst)} mm, at {side.worst_deg:.0f}°; a thread of {side.cut_mm} mm leaves two tails of "
            f"{tenth((side.cut_mm - side.worst) / 2)} mm for the knot",
            "heavy line: the thread; at no opening is a strand longer than its allowance",
        ),
    )


def _figures(
    book: Book,
    params: Params,
    sides: dict[Which, _Side],
    places: tuple[float, ...],
    strength: TacketStrength,
) -> Figures:
    loops = {which: one.cut_mm for which, one in sides.items()}
    return Figures(
        rebacked=rebacked(book),
        stations_n=len(places),
        board_heights_words=_board_heights(book, places),
        heights_words=", ".join(tenth(y) for y in places),
        set_back_mm=params.set_back,
        pair_mm=params.pair,
        hole_mm=params.hole,
        loop_words=f"{loops['front']} mm"
        if loops["front"] == loops["back"]
        else f"{loops['front']} mm for the front board, {loops['back']} mm for the back",
        strength_words=tacket_load.words(params, strength),
    )


def _others(
    book: Book, sides: dict[Which, _Side], places: tuple[float, ...], strength: TacketStrength
) -> dict[str, Quantity]:
    thread = book.material("thread")
    found: dict[str, Quantity] = {
        "loop_mm": max(one.loop for one in sides.values()),
        "thread_mm": _thread_mm(sides, places),
        "thread_diameter_mm": thread.thickness_mm,
        "shoulder_leaves_n": strength.leaves,
    }
    for which, one in sides.items():
        found |= {
            f"joint_path_{which}_mm": one.across,
            f"loop_{which}_mm": one.loop,
            f"longest_way_{which}_mm": one.worst,
            f"longest_at_{which}_deg": one.worst_deg,
            f"least_margin_{which}_mm": one.margin,
            f"tails_{which}_mm": one.tails(),
        }
    figures = (
        ("thread_breaks_n", strength.thread),
        ("pull_n", strength.pull),
        ("paper_tears_n", strength.paper),
        ("needed_tear_mn", strength.needed_mn),
        ("safety_factor", strength.safety),
    )
    return found | {name: value for name, value in figures if value is not None}


def _board_heights(book: Book, places: tuple[float, ...]) -> str:
    """Say where the strips' marks lie below the head of each board, as the strips are measured."""
    heights = {
        which: ", ".join(tenth(book.square_head(which).value + y) for y in places)
        for which in SIDES
    }
    if heights["front"] == heights["back"]:
        return f"{heights['front']} mm below the head of the board"
    return (
        "; ".join(f"{which} board {words}" for which, words in heights.items())
        + " mm below its head"
    )


def _warnings(
    book: Book, params: Params, sides: dict[Which, _Side], strength: TacketStrength
) -> tuple[str, ...]:
    lines = [line for one in sides.values() for line in book.joint_doubts(one.board, one.joint)]
    least = min(one.board.shoulder_mm for one in sides.values())
    if least < THIN_SHOULDER_MM:
        lines.append(
            f"a shoulder of {tenth(least)} mm holds hardly any paper at its base; a cloth joint sewn "
            "through the fold (sewn_cloth_joint) suits better"
        )
    lines += tacket_load.thread_warnings(book)
    if strength.safety is None and strength.pull is not None and strength.needed_mn is not None:
        lines.append(
            "measure how a leaf tears along the fold: lifted by a board, one leaf must bear "
            f"{two_figures(strength.needed_mn)} mN for a safety of {params.safety:g} ({two_figures(strength.pull)} N a tacket)"
        )
    lines += [
        f"{which} board, the thread would bind by {-one.margin:.2f} mm as it opens; let it open less"
        for which, one in sides.items()
        if one.margin < -BINDS_MM
    ]
    tails = min(one.tails() for one in sides.values())
    if tails < 0.5 * params.tail:
        lines.append(
            f"only {tenth(tails)} mm of each tail are left for the knot; set a longer tail"
        )
    return tuple(lines)
