"""Pages of running words: a flow of strips set between title and title block."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from patterns.model.drawing import Mark
from patterns.sheets.flow import Placed, Strips, placed, poured, tightened
from patterns.sheets.page import Layout, Page
from patterns.sketch.marks import Box, box_of, moved

COLUMN_MM = 175.0
"""A second column is set where each can be at least this wide."""
BETWEEN_MM = 10.0
LEAST_PAGE_MM = 148.0
SLIM = 0.3
"""A last page filled less than this is saved where closer setting can."""
CLOSER = (0.7, 0.4)
"""What is left of the white between sections, first and at most."""
LOOSER = (1.0, 0.85, 0.7, 0.55)
"""What of it a page has again that is not filled so."""


def column(layout: Layout) -> Box:
    """Return the room of one column of words, from (0, 0)."""
    box = layout.text("Steps", "steps").frame.box
    return Box(0.0, 0.0, (box.width + BETWEEN_MM) / _count(box) - BETWEEN_MM, box.height)


def _count(box: Box) -> int:
    """Return how many columns stand side by side."""
    return max(1, int((box.width + BETWEEN_MM) // (COLUMN_MM + BETWEEN_MM)))


def planned(layout: Layout, strips: Strips) -> tuple[Page, ...]:
    """Set a flow on as many pages as it needs: the overview, and the steps behind it."""
    page = layout.text("Steps", "steps")
    box = page.frame.box
    count, room = _count(box), column(layout)
    step = room.width + BETWEEN_MM
    filled = [poured(one) for one in _columns(strips, room.height, count)]
    pages: list[Page] = []
    for start in range(0, len(filled), count):
        marks: list[Mark] = []
        for place, part in enumerate(filled[start : start + count]):
            marks += moved(part, box.left + place * step, box.top)
        foot = page.height_mm - box.bottom
        tall = _roll_end(marks, foot) if layout.paper.roll else page.height_mm
        made = page if pages else layout.text("Overview", "overview")
        pages.append(replace(made, height_mm=tall, marks=tuple(marks)))
    return tuple(pages)


def number(layout: Layout, strips: Strips) -> int:
    """Return how many pages a flow needs."""
    count = _count(layout.text("Steps", "steps").frame.box)
    made, _ = _set(strips, column(layout).height, count)
    return -(-len(made) // count)


def _columns(strips: Strips, height: float, count: int) -> list[Placed]:
    """Return the columns; those set closer have as much of their white again as there is room for."""
    made, share = _set(strips, height, count)
    return [_loosened(one, height, share) for one in made] if share < 1.0 else made


def _set(strips: Strips, height: float, count: int) -> tuple[list[Placed], float]:
    """Return the columns, set closer where little stands on the last page and that saves the page.

    With them, what share of the white between sections they have.
    """
    made = placed(strips, height)
    pages = -(-len(made) // count)
    last = [y + strip.height_mm for part in made[(pages - 1) * count :] for y, strip in part]
    if pages > 1 and max(last) < height * SLIM:
        for share in CLOSER:
            closer = placed(tightened(strips, share), height)
            if -(-len(closer) // count) < pages:
                return closer, share
    return made, 1.0


def _loosened(column: Placed, height: float, share: float) -> Placed:
    """Return a column that was set closer with as much of its white again as its height allows."""
    strips = tuple(strip for _, strip in column)
    for wider in LOOSER:
        (made, *more) = placed(tightened(strips, wider / share), height) or [column]
        if wider > share and not more:
            return made
    return column


def _roll_end(marks: Sequence[Mark], foot: float) -> float:
    """Return where a page of a roll is cut off: below its words and its title block."""
    return max(LEAST_PAGE_MM, max(box_of(mark).bottom for mark in marks) + foot + 2.0)
