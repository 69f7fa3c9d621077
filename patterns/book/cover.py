"""The cover as a whole: its height, its spine, its own thickness; front and back may differ."""

from __future__ import annotations

from collections.abc import Iterator
from math import pi
from typing import NamedTuple

from patterns.book import boards
from patterns.book.answer import Answer, certain, recorded
from patterns.book.boards import SIDES, Which
from patterns.book.spine import STRIP_MM
from patterns.record.record import Record, SideTable

DRAWN_MM = 100.0
"""How wide a side is drawn in a section where no width is known at all."""
BOARDED = ("case", "in-boards", "wooden boards")
LACED = ("in-boards", "wooden boards")
"""Covers that hold their block by its own supports: nobody measures them laid flat."""


class CoverSpine(NamedTuple):
    """Widths of the cover's spine at its head and tail, in mm."""

    head_mm: float
    tail_mm: float
    one_figure: bool
    """One measurement stands for head or tail, or for both."""


def has_boards(record: Record) -> bool:
    """True for a cover that is said to have boards."""
    return record.cover.kind in BOARDED


def laced(record: Record) -> bool:
    """True for boards that are laced to the block and covered on it."""
    return record.cover.kind in LACED


def height(record: Record) -> Answer:
    """Return the height of the cover, board or limp, from its highest head to its lowest tail.

    The two sides may lie at different heights: each ends below the head of the block by its own
    height less its own square. Where neither was measured it is the block's own height.
    """
    low = [own[1] for side in SIDES if (own := ends(record, side)) is not None]
    if not low and record.text_block.height is not None:
        return Answer(record.text_block.height, "default", "no side measured: as high as the block")
    whole = max(low) + square_head(record).value if low else None
    return recorded(whole, 0.0, "neither cover nor block measured")


def ends(record: Record, side: Which) -> tuple[float, float] | None:
    """Return where one side's head and tail lie, from the head of the block; None where it was not measured."""
    own = _side_height(record.cover.side(side))
    if own is None:
        return None
    top = -boards.square_head(record, side).value
    return top, top + own


def _side_height(side: SideTable) -> float | None:
    return side.board_height if side.board_height is not None else side.side_height


def square_head(record: Record) -> Answer:
    """Return how far the cover stands beyond the head of the block, at the side where it is most."""
    return max((boards.square_head(record, side) for side in SIDES), key=lambda one: one.value)


def turn_in(record: Record) -> Answer:
    """Return the wider turn-in of the two sides."""
    return max((boards.turn_in(record, side) for side in SIDES), key=lambda one: one.value)


def thickness(record: Record) -> Answer:
    """Return the thickness of the cover's own material; by default none is reckoned."""
    own = record.cover.thickness
    if own is None:
        sides = [record.cover.side(side).thickness for side in SIDES]
        own = max((mm for mm in sides if mm is not None), default=None)
    return recorded(own, 0.0, "cover.thickness not measured: none is reckoned")


def endband_tail(record: Record) -> Answer:
    """Return how far the tail endband stands out from the block."""
    return recorded(record.cover.endband_tail, 0.0, "none recorded: no endband")


def spine(record: Record) -> CoverSpine | None:
    """Return how wide the cover's spine is laid flat; None where it was not measured.

    Of a limp cover that is between the folds, where its sides begin to lie flat, of any other from
    board edge to board edge. Raises RecordError for a strip over a covering of unknown thickness.
    """
    cover = record.cover
    widths = list(_widths(record))
    if not widths and cover.spine_strip is not None and not boards.limp(record):
        widths = [_under_strip_mm(record, cover.spine_strip)]
        return CoverSpine(widths[0], widths[0], True)
    if not widths:
        return None
    head = cover.spine_width_head or cover.spine_width or cover.spine_width_tail
    tail = cover.spine_width_tail or cover.spine_width or cover.spine_width_head
    one = cover.spine_width_head is None or cover.spine_width_tail is None
    return CoverSpine(head or widths[0], tail or widths[0], one)


def _under_strip_mm(record: Record, strip_mm: float) -> float:
    """Return the flat width of a cover's spine by a strip over it, closed, from arris to arris.

    Strip and covering turn by a half circle; their middles are (t + 0.1)/2 apart.
    """
    found = thickness(record)
    covering = certain(None if found.assumed else found.value, "cover.thickness")
    return strip_mm - pi * (covering + STRIP_MM) / 2


def _widths(record: Record) -> Iterator[float]:
    cover = record.cover
    for width in (cover.spine_width_head, cover.spine_width_tail, cover.spine_width):
        if width is not None:
            yield width


def drawn_width(record: Record, side: Which) -> Answer:
    """Return how wide one side is drawn in a section: its own width, else the leaves'."""
    own = record.cover.side(side)
    for width in (own.side_width, own.board_width, record.text_block.width):
        if width is not None:
            return Answer(width, "measured", "measured")
    return Answer(DRAWN_MM, "default", "drawn so wide for want of a measurement")
