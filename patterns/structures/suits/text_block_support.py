"""text_block_support: whether boards stand far enough beyond the block for something to stand in."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import sqrt
from typing import Literal, NamedTuple

from patterns.book.answer import certain
from patterns.book.boards import SIDES, Which
from patterns.book.book import Book
from patterns.book.results import SupportResult
from patterns.book.suits import Reason, Ruling, Suits, told
from patterns.formulas import geometry
from patterns.units import tenth

GIVES = SupportResult

SupportEnd = Literal["spine", "fore edge"]
ENDS: tuple[SupportEnd, SupportEnd] = ("spine", "fore edge")
LEAST_SQUARE_MM = 1.0
"""A block that hangs by no more than this stands on its boards' edges soon enough (practice)."""
HANGS_MM = 0.5
"""A square deeper than this lets a heavy block hang (practice)."""
LEAST_WIDTH_MM = 6.0
INSIDE_MM = 0.5
"""The support stays at least this far within the fore edge of the leaves."""
LEAST_LENGTH_MM = 20.0
"""Nothing shorter carries a block (practice)."""


@dataclass(frozen=True, slots=True)
class Params:
    """Settings of the support; lengths in mm."""

    build: Literal["wedge", "layers"]
    clearance: float
    short: float
    relief: float


class Room(NamedTuple):
    """Where the support lies, in mm: s runs from the outermost point of the spine to the fore edge."""

    at_spine: float
    """Width between the boards at the spine, clearance taken off; `at_fore` at the fore edge."""
    at_fore: float
    leaf: float
    set_back: float
    """How far it stays inside the curve of the spine."""
    end: float
    depth: float
    """Of the spine's round; negative where it has fallen in."""
    shift: float
    """How far the middle of the spine lies from the middle of the block."""


def suits(book: Book, params: Params) -> Suits:
    """Answer weight that hangs or has drawn the spine in; refuse what leaves no room to stand in."""
    carries = (
        "fills the square under the block, so that it stands instead of hanging",
        "is part of the box: it works only while the book stands in it",
    )
    hangs = max(book.tail_squares_mm, default=0.0) > HANGS_MM
    return Suits(
        reasons=(
            *((Reason("heavy block", *carries, place=1),) if hangs else ()),
            Reason("deep squares", *carries),
            Reason(
                "fallen-in spine",
                "takes the weight off the spine without touching the book",
                "does not bring the round back by itself",
                place=1,
            ),
        ),
        rulings=told(kind(book), _level(book), _cramped(book, params)),
    )


def kind(book: Book) -> Iterator[Ruling]:
    """Refuse a limp cover."""
    if book.limp:
        yield Ruling(
            "a limp cover has no boards that a support could stand between; "
            "tie or box the book, or shelve it lying flat",
            tie_or_box=True,
        )


def _level(book: Book) -> Iterator[Ruling]:
    at_spine, at_fore = squares(book)
    if max(at_spine, at_fore) <= LEAST_SQUARE_MM:
        yield Ruling(
            f"tail squares of {tenth(at_spine)} and {tenth(at_fore)} mm leave nothing to fill "
            f"(least {LEAST_SQUARE_MM:g} mm); the book stands as it is: do nothing"
        )


def _cramped(book: Book, params: Params) -> Iterator[Ruling]:
    found = room(book, params)
    width = min(found.at_spine, found.at_fore)
    if width < LEAST_WIDTH_MM:
        yield Ruling(
            f"{tenth(width)} mm are left between the boards, and under "
            f"{LEAST_WIDTH_MM:g} mm a support falls over; tie or box the book and do nothing",
            tie_or_box=True,
        )
    if found.end - begins_mm(found, book.spine.chord_mm) < LEAST_LENGTH_MM:
        yield Ruling(
            "too little is left between spine and fore edge for a support; "
            "tie or box the book, or shelve it lying flat",
            tie_or_box=True,
        )


def squares(book: Book) -> tuple[float, float]:
    """Return the tail squares at spine and fore edge: the lesser of both boards."""
    at_spine, at_fore = (min(tail_squares(book, end)) for end in ENDS)
    return at_spine, at_fore


def tail_squares(book: Book, end: SupportEnd) -> list[float]:
    """Return the tail squares of front and back board at one end of the tail edge."""
    name = f"square_tail_{end.replace(' ', '_')}"
    return [certain(book.tail_square_mm(side, end), f"cover.{side}.{name}") for side in SIDES]


def room(book: Book, params: Params) -> Room:
    """Return where the support lies: clear of the boards, short of the fore edge, off the spine."""
    thickness = certain(book.thickness_mm, "text_block.thickness")
    fore_edge = thickness if book.fore_edge_mm is None else book.fore_edge_mm
    leaf = certain(book.width_mm, "text_block.width")
    band, spine = book.endband_tail.value, book.spine
    set_back = max(params.short / 2, band + params.relief if band else 0.0)
    depth = spine.depth_mm
    if depth is None:
        depth = geometry.depth_mm(spine.chord_mm, spine.turn_deg)
    end = set_back + leaf - max(params.short, set_back + INSIDE_MM)
    boards = (max(depth, 0.0) + _board_end(book, side) - params.clearance for side in SIDES)
    front, back = map(book.shoulder_mm, SIDES)
    return Room(
        at_spine=thickness - 2 * params.clearance,
        at_fore=min(thickness, fore_edge) - 2 * params.clearance,
        leaf=leaf,
        set_back=set_back,
        end=min(end, *boards),
        depth=depth,
        shift=(front - back) / 2 * (1 if book.left_to_right else -1),
    )


def _board_end(book: Book, side: Which) -> float:
    """Return where a board's fore edge lies, from the tips of the shoulders."""
    width = certain(book.board_width_mm(side), f"cover.{side}.board_width")
    return book.gap(side).value + width


def begins_mm(found: Room, chord_mm: float) -> float:
    """Return where the support begins at its spine end, the spine a circular arc.

    Every point of it lies `set_back` or more from the curve, which goes on straight sideways past
    both tips, and no further from the block's middle than half its width.
    """
    back, half = found.set_back, found.at_spine / 2
    if found.depth == 0:
        return back
    radius = geometry.circle_arc(chord_mm, abs(found.depth)).radius_mm
    if found.depth < 0:  # nearest the spine where the band reaches nearest to a tip
        off = half + abs(found.shift)
        return max(back, -found.depth - radius + sqrt(max(0.0, (radius + back) ** 2 - off**2)))
    if back > radius:  # both tips keep it away
        return found.depth + sqrt(max(0.0, back**2 - (chord_mm / 2) ** 2))
    off = max(0.0, abs(found.shift) - half)
    if off > radius - back:
        return found.depth + back
    return radius - sqrt((radius - back) ** 2 - off**2)
