"""The book in outline to a stated scale: seen from its head, and its front board beneath."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from patterns.book import boards
from patterns.book import spine as spines
from patterns.formulas import geometry
from patterns.model.capitals import BODY
from patterns.model.drawing import Line, LineKind, Mark, Point, Words
from patterns.record.record import Record, SideTable
from patterns.sheets.flow import Strip, Strips, gap, paragraph, together
from patterns.sketch.arrows import measured
from patterns.sketch.marks import Box, corners, moved
from patterns.sketch.scales import largest
from patterns.units import trimmed

"""Reductions of ISO 5455: 1:1, 1:2, 1:5 and so on."""
TALLEST_MM = 105.0
ASIDE_MM = 11.0
"""Left and right of the outline, for the upright dimensions."""
DEFAULT_BOARD_MM = 3.0


@dataclass(frozen=True, slots=True)
class Outline:
    """What is drawn of a book, in mm of the book; a side that is not measured is None."""

    height: float
    width: float
    spine: float
    fore_edge: float
    chord: float
    depth: float | None
    side_height: float | None
    side_width: float | None
    side_mm: float
    gap: float
    head: float
    front_at_right: bool
    """The spine lies at the right when the front board is seen: a right-to-left book."""

    @property
    def round(self) -> float:
        """How far the spine stands out behind the block's edge."""
        return max(self.drawn_depth, 0.0)

    @property
    def drawn_depth(self) -> float:
        """The round as drawn: flat where it was not measured."""
        return spines.FLAT_MM if self.depth is None else self.depth

    @property
    def wide(self) -> float:
        """Its whole extent from the spine's crown to the fore edge."""
        if self.side_width is None:
            return self.round + self.width
        return self.round + max(self.width, self.gap + self.side_width)

    @property
    def high(self) -> float:
        """Its whole extent from head to tail."""
        return self.height if self.side_height is None else max(self.height, self.side_height)

    @property
    def deep(self) -> float:
        """Its whole extent from board to board."""
        return max(self.spine, self.fore_edge) + 2 * self.side_mm


def outline_of(record: Record) -> Outline | None:
    """Return what can be drawn of a record; None when height, width or thickness is missing."""
    block, spine, side = record.text_block, record.spine, record.cover.side("front")
    if block.height is None or block.width is None or block.thickness is None:
        return None
    limp = boards.limp(record)
    fore_edge = block.thickness_fore_edge
    return Outline(
        height=block.height,
        width=block.width,
        spine=block.thickness,
        fore_edge=block.thickness if fore_edge is None else fore_edge,
        chord=block.thickness,
        depth=spines.FLAT_MM if spine.profile == "flat" else spine.round_depth,
        side_height=side.side_height if limp and side.side_height else side.board_height,
        side_width=side.side_width if limp and side.side_width else side.board_width,
        side_mm=_side_mm(side, limp),
        gap=boards.gap(record, "front").value,
        head=boards.square_head(record, "front").value,
        front_at_right=record.book.reading == "right-to-left",
    )


def _side_mm(side: SideTable, limp: bool) -> float:
    """Return how thick a side is drawn: as measured, else a line for limp sides, 3 mm for boards."""
    own, drawn = (side.thickness, 0.0) if limp else (side.board_thickness, DEFAULT_BOARD_MM)
    return drawn if own is None else own


def scale_for(book: Outline, width_mm: float) -> int | None:
    """Return the least reduction at which the outline fits a column; None when none does."""
    room = (book.wide, width_mm - 2 * ASIDE_MM), (book.high + book.deep, TALLEST_MM)
    fitting = largest(room)
    return fitting.real if fitting else None


def outline_strip(record: Record, width_mm: float) -> Strips:
    """Return the outline with its dimensions and captions, as strips for a column."""
    book = outline_of(record)
    scale = None if book is None else scale_for(book, width_mm)
    if book is None or scale is None:
        return paragraph("No outline: height, width and thickness are not all recorded.", width_mm)
    said = f"Seen from the head: {trimmed(book.spine, 1)} mm thick at the spine, "
    said += f"{trimmed(book.fore_edge, 1)} at the fore edge"
    said += "" if book.depth is None else f", round {trimmed(book.depth, 1)}"
    left = (width_mm - book.wide / scale) / 2
    front = tuple(_front(book, scale))
    below = 8.0 if book.side_width is None else 14.0
    return together(
        (
            *paragraph(said, width_mm),
            *gap(2.0),
            Strip(book.deep / scale + 5.0, moved(_from_head(book, scale), left, 0.0)),
            Strip(book.high / scale + below, moved(front, left, 0.0)),
            *paragraph(f"Front side and text block (thin). Scale 1:{scale}, mm", width_mm),
        )
    )


def _across(book: Outline, scale: int, x: float) -> float:
    """Place a distance from the spine's edge on the paper; mirrored for a right-to-left book."""
    at = (book.round + x) / scale
    return book.wide / scale - at if book.front_at_right else at


def _box(
    book: Outline, scale: int, x: float, y: float, wide: float, high: float
) -> tuple[Point, ...]:
    ends = sorted((_across(book, scale, x), _across(book, scale, x + wide)))
    return corners(Box(ends[0], y / scale, ends[1], (y + high) / scale))


def _from_head(book: Outline, scale: int) -> Iterator[Mark]:
    """Draw block and boards seen from the head, the spine at its side of the page."""
    middle = book.deep / 2
    near, far = middle - book.spine / 2, middle - book.fore_edge / 2
    curve = [(-v, near + u) for u, v in geometry.arc_points(book.chord, book.drawn_depth)]
    block = [*curve, (book.width, middle + book.fore_edge / 2), (book.width, far)]
    placed = tuple((_across(book, scale, x), y / scale) for x, y in block)
    yield Line(LineKind.OUTLINE, placed, closed=True)
    if book.side_width and book.side_mm:
        ends = (book.gap, book.gap + book.side_width)
        slope = (book.fore_edge - book.spine) / 2 / book.width
        for out in (-1.0, 1.0):
            inner = [(x, middle + out * (book.spine / 2 + slope * x)) for x in ends]
            outer = [(x, y + out * book.side_mm) for x, y in reversed(inner)]
            board = tuple((_across(book, scale, x), y / scale) for x, y in (*inner, *outer))
            yield Line(LineKind.OUTLINE, board, closed=True)


def _front(book: Outline, scale: int) -> Iterator[Mark]:
    """Draw the front side over the text block, with the height and width of both."""
    head = book.head if book.side_height else 0.0
    block = _box(book, scale, 0.0, head, book.width, book.height)
    yield Line(LineKind.REFERENCE, block, closed=True)
    right, bottom = book.wide / scale, book.high / scale
    yield from _upright(right + 5.5, head / scale, (head + book.height) / scale, book.height)
    yield from _level(bottom + 4.5, _ends(book, scale, 0.0, book.width), book.width)
    if book.side_height and book.side_width:
        side = _box(book, scale, book.gap, 0.0, book.side_width, book.side_height)
        yield Line(LineKind.OUTLINE, side, closed=True)
        yield from _upright(-4.0, 0.0, book.side_height / scale, book.side_height)
        ends = _ends(book, scale, book.gap, book.gap + book.side_width)
        yield from _level(bottom + 10.5, ends, book.side_width)


def _ends(book: Outline, scale: int, start: float, end: float) -> tuple[float, float]:
    low, high = sorted((_across(book, scale, start), _across(book, scale, end)))
    return low, high


def _level(y: float, ends: tuple[float, float], value: float) -> Iterator[Mark]:
    (left, right) = ends
    yield from measured((left, y), (right, y))
    yield Words(((left + right) / 2, y - 1.0), trimmed(value, 1), BODY, anchor="middle")
    for x in ends:
        yield Line(LineKind.DIMENSION, ((x, y - 1.2), (x, y + 1.0)))


def _upright(x: float, top: float, bottom: float, value: float) -> Iterator[Mark]:
    yield from measured((x, top), (x, bottom))
    at = (x - 1.0, (top + bottom) / 2)
    yield Words(at, trimmed(value, 1), BODY, anchor="middle", angle_deg=90.0)
    for y in (top, bottom):
        yield Line(LineKind.DIMENSION, ((x - 1.2, y), (x + 1.0, y)))
