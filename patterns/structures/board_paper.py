"""board_paper: the paper put down on the inside of each board, less its growth."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from shapely import box

from patterns.book.boards import SIDES, Board, Which
from patterns.book.book import Book
from patterns.book.results import (
    BoardPaperResult,
    ClothJointResult,
    Handed,
    SewnLiningResult,
    SlotResult,
)
from patterns.errors import SettingError
from patterns.formulas import joints
from patterns.formulas.joints import Joint, JointPath
from patterns.model.drawing import Ring
from patterns.model.part import Check, Layer, Part, Quantity
from patterns.model.piece import Dimension, Label, Piece, Side, Zone
from patterns.structures.shared.board_layers import own_board
from patterns.structures.suits.board_paper import Params
from patterns.units import tenth

NAME = "board_paper"
OFF = "lift the paper from the joint outwards with what undoes its adhesive{unheated}, tried first on a corner"
"""How a paper that was set without water comes off."""
SOAK_MARK_MM = 180.0
"""Length of the mark of a soak test."""
GROWTH = (0.3, 1.5)
"""Growth in % along and across the grain where neither paper nor user gives one (memory)."""
LEAST_MM = 20.0


@dataclass(frozen=True, slots=True)
class _BoardPaper:
    """One board's paper as it must lie when dry, and the growth it is cut less by.

    x counts from where it starts towards the fore edge, y from the head of the board.
    """

    board: Board
    joint: Joint
    path: JointPath
    crossing: float
    """Width of the part that lies in the joint; 0 where the paper starts on the board."""
    width: float
    top: float
    bottom: float
    joint_top: float
    joint_bottom: float
    """Ends of the part in the joint: never beyond the block."""
    growth_x: float
    growth_y: float

    def on_board(self) -> Any:
        return box(self.crossing, self.top, self.width, self.bottom)

    def in_joint(self) -> Any:
        return box(0.0, self.joint_top, self.crossing, self.joint_bottom)

    def whole(self) -> Any:
        if not self.crossing:
            return self.on_board()
        return self.on_board().union(self.in_joint()).simplify(1e-9)

    @property
    def height(self) -> float:
        return self.bottom - self.top

    @property
    def cut_width(self) -> float:
        return self.width / (1 + self.growth_x)

    @property
    def cut_height(self) -> float:
        return self.height / (1 + self.growth_y)


@dataclass(frozen=True, slots=True)
class Figures:
    """What the steps are filled in with."""

    soak_along_mm: float
    soak_across_mm: float
    growth_words: str
    grain_words: str
    wet: bool
    cut_words: str
    cloth_first: bool
    pasted_joint: bool
    pasted_board: bool
    laid_joint: bool
    laid_board: bool
    joint_words: str


def draft(book: Book, params: Params) -> Handed:
    """Work out both papers: target = board − margins + J(O → N), cut = target/(1 + growth).

    Raises SettingError where margins leave nothing of a board.
    """
    growth = _growth(book, params)
    papers = {side: _paper(book, params, side, growth) for side in SIDES}
    part = Part(
        structure=NAME,
        title="Board papers",
        figures=_figures(book, params, papers, growth),
        others=_others(book, papers, growth),
        pieces=tuple(_piece(book, params, paper) for paper in papers.values()),
        layers=_layers(book, papers),
        warnings=_warnings(book, params, papers),
        checks=()
        if growth == (0.0, 0.0)
        else tuple(
            Check(
                f"a mark of {SOAK_MARK_MM:g} mm {words} the grain, pasted out and fully grown",
                SOAK_MARK_MM * (1 + share),
                "mm",
                "a soak test of this very paper; a reading further off than 0.5 mm replaces the growth",
            )
            for words, share in zip(("along", "across"), growth, strict=True)
        ),
        undo=() if book.materials["adhesive"].sets == "water" else (OFF,),
        girth_mm=book.spine.girth_head_mm,
    )
    return Handed(part, BoardPaperResult())


def _growth(book: Book, params: Params) -> tuple[float, float]:
    """Return growth along and across the grain as shares; none where no water is used."""
    figures = book.materials["paper"]
    if book.materials["adhesive"].sets != "water":
        return 0.0, 0.0
    rows = (
        (params.growth_along, figures.growth_along, GROWTH[0]),
        (params.growth_across, figures.growth_across, GROWTH[1]),
    )
    along, across = (next(value for value in row if value is not None) / 100 for row in rows)
    return along, across


def _starts_on_board(book: Book, params: Params) -> bool:
    if params.start is None:
        return book.result(ClothJointResult) is not None
    return params.start == "board"


def _paper(book: Book, params: Params, side: Which, growth: tuple[float, float]) -> _BoardPaper:
    board = book.board(side)
    joint = book.joint(board, params.opening)
    path = joints.path(joint, "O", "N")
    on_board = _starts_on_board(book, params)
    squares = (board.square_head.value, board.square_tail.value)
    head, tail = squares if params.fit == "block" else (params.margin, params.margin)
    width = board.certain_width_mm - params.margin
    width += -params.margin if on_board else path.length_mm
    top, bottom = head, board.height_mm - tail
    if width < LEAST_MM or bottom - top < LEAST_MM:
        raise SettingError(
            f"board_paper.margin: {tenth(params.margin)} mm leaves a paper of {tenth(max(0.0, width))} × "
            f"{tenth(max(0.0, bottom - top))} mm on the {side} board; allowed is what leaves {LEAST_MM:g} mm each way"
        )
    along, across = growth
    x, y = (across, along) if params.grain == "head-tail" else (along, across)
    return _BoardPaper(
        board=board,
        joint=joint,
        path=path,
        crossing=0.0 if on_board else path.length_mm,
        width=width,
        top=top,
        bottom=bottom,
        joint_top=max(top, squares[0]),
        joint_bottom=min(bottom, board.height_mm - squares[1]),
        growth_x=x,
        growth_y=y,
    )


@dataclass(frozen=True, slots=True)
class _Placed:
    """Turns a paper as it lies into its cut piece: shrunk by the growth, mirrored for its side."""

    paper: _BoardPaper
    outwards: bool
    """True when the fore edge lies at the right."""

    def x(self, lies: float) -> float:
        cut = lies / (1 + self.paper.growth_x)
        return cut if self.outwards else self.paper.cut_width - cut

    def y(self, lies: float) -> float:
        return (lies - self.paper.top) / (1 + self.paper.growth_y)

    def ring(self, shape: Any) -> Ring:
        return tuple((self.x(x), self.y(y)) for x, y in shape.exterior.coords[:-1])


def _piece(book: Book, params: Params, paper: _BoardPaper) -> Piece:
    stuff = book.material("paper")
    side = paper.board.side
    placed = _Placed(paper, book.at_right(side))
    start, fore = ("joint", "fore edge") if paper.crossing else ("spine edge", "fore edge")
    edge = placed.x(paper.crossing)
    return Piece(
        name=f"board paper, {side}",
        title=f"board paper, {side}",
        structure=NAME,
        material=stuff.name,
        thickness_mm=stuff.thickness_mm,
        outline=placed.ring(paper.whole()),
        grain=params.grain,
        grain_reason=_grain_reason(params),
        zones=_zones(book, paper, placed),
        dimensions=_dimensions(paper, placed),
        labels=(
            Label(
                (placed.x((paper.crossing + paper.width) / 2), paper.cut_height / 2),
                f"inside of the {side} board",
                "note",
            ),
        ),
        references=(((edge, 0.0), (edge, paper.cut_height)),) if paper.crossing else (),
        left=start if placed.outwards else f"{side.upper()}, {fore}",
        right=f"{side.upper()}, {fore}" if placed.outwards else start,
        face_up="pasted face up: it goes on the board; the other face shows",
        notes=(
            *_grows(paper),
            *(("thin line: spine edge of the board",) if paper.crossing else ()),
        ),
        tolerance_mm=book.reading.value,
        mirrors="board paper, front" if side == "back" else "",
    )


def _grows(paper: _BoardPaper) -> tuple[str, ...]:
    """Say how it lies when dry, and what it grows; nothing where it does not."""
    wide, high = paper.width - paper.cut_width, paper.height - paper.cut_height
    if not wide and not high:
        return ()
    return (
        f"lies {tenth(paper.width)} × {tenth(paper.height)} when dry; cut less, for it grows {tenth(wide)} wide and "
        f"{tenth(high)} high",
    )


def _grain_reason(params: Params) -> str:
    if params.grain == "head-tail":
        return (
            "grain head to tail, as the board's own (Roberts & Etherington): both then move alike"
        )
    return "grain spine to fore edge, as set; the rule is head to tail (Roberts & Etherington)"


def _zones(book: Book, paper: _BoardPaper, placed: _Placed) -> tuple[Zone, ...]:
    adhesive = book.materials["adhesive"].name
    side = paper.board.side
    onto = f"inside of the {side} board"
    zones = [Zone("pasted", "up", onto, placed.ring(paper.on_board()), adhesive, on="board")]
    if paper.crossing:
        words = "pasted into the joint, the board open"
        zones.append(
            Zone("pasted", "up", "joint", placed.ring(paper.in_joint()), adhesive, words, "spine")
        )
    shown = placed.ring(paper.whole())
    return (*zones, Zone("free", "under", "", shown, words="it shows, no paste"))


def _dimensions(paper: _BoardPaper, placed: _Placed) -> tuple[Dimension, ...]:
    start, edge, end = (placed.x(x) for x in (0.0, paper.crossing, paper.width))
    near: Side = "left" if placed.outwards else "right"
    far: Side = "right" if placed.outwards else "left"
    rows = [
        Dimension((start, 0.0), (end, 0.0), "head", 1 if paper.crossing else 0),
        Dimension((end, 0.0), (end, paper.cut_height), far),
    ]
    if paper.crossing:
        rows += [
            Dimension((start, 0.0), (edge, 0.0), "head"),
            Dimension((edge, 0.0), (end, 0.0), "head"),
        ]
        ends = placed.y(paper.joint_top), placed.y(paper.joint_bottom)
        if ends[0] >= 0.05 or paper.cut_height - ends[1] >= 0.05:
            stops = (0.0, *ends, paper.cut_height)
            rows += [
                Dimension((start, a), (start, b), near) for a, b in pairwise(stops) if b - a >= 0.05
            ]
    return tuple(rows)


def _layers(book: Book, papers: dict[Which, _BoardPaper]) -> tuple[Layer, ...]:
    """List each paper inside its board; neither lies over the spine."""
    half = book.spine.girth_mm(book.height_mm / 2) / 2
    stuff = book.material("paper")
    layers, cloth = [], book.result(ClothJointResult)
    for side, paper in papers.items():
        sign = 1 if book.at_right(side) else -1
        edge = half + paper.board.gap_mm
        far = edge + paper.board.certain_width_mm
        near = half if paper.crossing else far - paper.width
        spans = ((near, near + paper.width), (edge, far))
        (a, b), (c, d) = (sorted((sign * one, sign * other)) for one, other in spans)
        name, thick = f"board paper, {side}", stuff.thickness_mm
        layers += [
            Layer(
                name, stuff.name, thick, a, b, "free", "free", on_spine=False, beyond="inner face"
            ),
            *(() if cloth is None else (cloth.layers[side],)),
            own_board(book, side, c, d, "pasted"),
        ]
    return tuple(layers)


def _figures(
    book: Book, params: Params, papers: dict[Which, _BoardPaper], growth: tuple[float, float]
) -> Figures:
    along, across = growth
    first = (ClothJointResult, SewnLiningResult, SlotResult)
    crosses, sets = not _starts_on_board(book, params), book.materials["adhesive"].sets
    growing = growth != (0.0, 0.0)
    return Figures(
        soak_along_mm=SOAK_MARK_MM * (1 + along),
        soak_across_mm=SOAK_MARK_MM * (1 + across),
        growth_words=f"a growth of {along * 100:.2f} % along and {across * 100:.2f} % across the grain is reckoned with"
        if growing
        else "no growth is reckoned with",
        grain_words="head to tail" if params.grain == "head-tail" else "spine to fore edge",
        wet=growing,
        cut_words="; ".join(
            f"{side} {tenth(paper.cut_width)} × {tenth(paper.cut_height)} mm (dry on the board "
            f"{tenth(paper.width)} × {tenth(paper.height)})"
            for side, paper in papers.items()
        ),
        cloth_first=any(book.result(kind) is not None for kind in first),
        pasted_joint=crosses and sets == "water",
        pasted_board=sets == "water" and not crosses,
        laid_joint=crosses and sets != "water",
        laid_board=sets != "water" and not crosses,
        joint_words="; ".join(
            f"{side} {paper.path.length_mm:.2f} mm across the open joint, {paper.path.straight_mm:.2f} across the closed gap"
            for side, paper in papers.items()
        ),
    )


def _others(
    book: Book, papers: dict[Which, _BoardPaper], growth: tuple[float, float]
) -> dict[str, Quantity]:
    found: dict[str, Quantity] = {
        "growth_along_percent": growth[0] * 100,
        "growth_across_percent": growth[1] * 100,
        "girth_head_mm": book.spine.girth_head_mm,
    }
    for side, paper in papers.items():
        found |= {
            f"target_{side}_width_mm": paper.width,
            f"target_{side}_height_mm": paper.height,
            f"cut_{side}_width_mm": paper.cut_width,
            f"cut_{side}_height_mm": paper.cut_height,
            f"joint_path_{side}_mm": paper.path.length_mm,
            f"joint_shut_{side}_mm": paper.path.straight_mm,
            f"joint_slack_{side}_mm": paper.path.slack_mm,
        }
    return found


def _warnings(book: Book, params: Params, papers: dict[Which, _BoardPaper]) -> tuple[str, ...]:
    lines: list[str] = []
    for side, paper in papers.items():
        lines += book.joint_doubts(paper.board, paper.joint)
        turn_in = book.turn_in_of(side).value
        if turn_in and params.margin >= turn_in:
            lines.append(
                f"a margin of {tenth(params.margin)} mm leaves the raw edges of the {side} turn-ins "
                f"({tenth(turn_in)} mm) bare; take less than {tenth(turn_in)}"
            )
    if book.materials["adhesive"].sets == "water" and (
        params.growth_along is None or params.growth_across is None
    ):
        lines.append(
            "the growth is from memory; soak-test a strip of this very paper and set growth_along and "
            "growth_across"
        )
    return tuple(lines)
