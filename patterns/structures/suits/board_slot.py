"""board_slot: whether both boards can be slotted."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from patterns.book.boards import SIDES, Board
from patterns.book.book import Book
from patterns.book.results import SewnLiningResult, SlotResult
from patterns.book.suits import Reason, Ruling, Suits, told
from patterns.errors import Unsuitable
from patterns.formulas import slots
from patterns.formulas.slots import Slot
from patterns.structures.shared import against, slotting
from patterns.units import tenth, trimmed

GIVES = SlotResult

LEAST_MM = 20.0
"""A slot of less at its full depth carries no board (practice)."""


@dataclass(frozen=True, slots=True)
class Params:
    """Settings of the slot; lengths in mm, angles in degrees."""

    depth: float | None
    angle: float | None
    least_angle: float
    least_depth: float
    kerf: float | None
    entry: float | None
    toward: Literal["inner", "outer"]
    margin: float
    wall: float
    cutter_diameter: float
    opening: float
    setback_head: float
    setback_tail: float
    trim: float
    strong: Literal["weft", "warp", "equal"] | None


def suits(book: Book, params: Params) -> Suits:
    """Answer the joint of boards that are thick enough; refuse wood and what leaves no room."""
    board = slotting.slotted_board_mm(book)
    return Suits(
        reasons=() if board is None else (_reason(book, board),),
        missing=book.joints_waiting,
        rulings=told(kind(book), _rooms(book, params)),
    )


def _reason(book: Book, board_mm: float) -> Reason:
    shoulder = trimmed(slotting.lowest_shoulder_mm(book))
    return Reason(
        "board joint",
        f"a lining sewn through many gatherings takes the weight where the joint moves; the boards ({trimmed(board_mm)} mm) "
        f"can take its flange in a slot, and the shoulder ({shoulder} mm) lets them turn on it",
        "a slot is cut into the original boards and cannot be undone"
        + (", and a light block may hang in its own case as it did" if book.light_in_case else ""),
        place=7 if book.light_in_case else 1,
    )


def kind(book: Book) -> Iterator[Ruling]:
    """Refuse limp covers and wooden boards."""
    yield from against.limp(book)
    if book.cover_kind == "wooden boards":
        yield Ruling(
            "wooden boards are not slotted; reattach them by their own holes (joint_tacket) "
            "or by a cloth joint (sewn_cloth_joint)"
        )


def _rooms(book: Book, params: Params) -> Iterator[Ruling]:
    """Yield what is wrong with either board; boards that are alike are asked once."""
    for which in SIDES[:1] if book.boards_alike else SIDES:
        yield from _room(book, params, book.board(which))


def _room(book: Book, params: Params, board: Board) -> Iterator[Ruling]:
    try:
        cut = slot(book, board, params)
    except Unsuitable as error:
        yield Ruling(str(error))
        return
    (top, bottom), arc = (
        extent(board, params),
        slots.end_arc_mm(params.cutter_diameter, cut.depth_mm),
    )
    if bottom - top < 2 * arc + LEAST_MM:
        yield Ruling(
            f"{board.side} board leaves {tenth(bottom - top)} mm for a slot, too short to "
            "carry a board; use joint_tacket or sewn_cloth_joint"
        )


def slot(book: Book, board: Board, params: Params) -> Slot:
    """Return one board's slot.

    Raises Unsuitable where the board has no room for any, SettingError for given values that break
    out of it.
    """
    kerf = params.kerf if params.kerf is not None else book.material("cloth").thickness_mm + 0.1
    return slots.slot(
        board.thickness_mm,
        kerf,
        depth_mm=params.depth,
        angle_deg=params.angle,
        wall_mm=params.wall,
        least_angle_deg=params.least_angle,
        least_depth_mm=params.least_depth,
        toward=params.toward,
        entry_mm=params.entry,
        error_mm=book.caliper.value,
    )


def extent(board: Board, params: Params) -> tuple[float, float]:
    """Return where the slot begins and ends, in mm below the head of the board."""
    squares = (board.square_head.value, board.square_tail.value)
    setbacks = (params.setback_head, params.setback_tail)
    return slots.slot_extent_mm(board.height_mm, setbacks, squares, params.margin)


def adds_mm(book: Book, _params: Params) -> float:
    """Return what it adds over the spine: tissue and cloth, unless they are those of a sewn lining."""
    if book.expects(SewnLiningResult):
        return 0.0
    return book.material("tissue").thickness_mm + book.material("cloth").thickness_mm
