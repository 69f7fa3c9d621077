"""All sheets of a pattern in order: overview, cutting, sewing, assembly, steps."""

from __future__ import annotations

from collections.abc import Sequence

from patterns.errors import PaperError
from patterns.model.sheet import Sheet
from patterns.sheets import assembly, compose, overview, steps_page
from patterns.sheets.overview import Entry
from patterns.sheets.page import Layout, Page, numbered

TRIES = 12
"""So often the overview is set at most: its page numbers settle after two or three."""


def sheets(layout: Layout) -> tuple[Sheet, ...]:
    """Return every sheet, numbered through; the overview lists them all."""
    rest = (*compose.plan(layout), *assembly.plan(layout), *steps_page.plan(layout))
    return numbered((*_opening(layout, rest), *rest))


def _opening(layout: Layout, rest: Sequence[Page]) -> tuple[Page, ...]:
    """Return the overview, whose own length moves the page numbers that it lists.

    It is set again until both agree. Raises PaperError where they do not within some tries.
    """
    front = 1
    for _ in range(TRIES):
        opening = overview.plan(layout, entries(rest, front + 1))
        if len(opening) == front:
            return opening
        front = len(opening)
    raise PaperError(
        f"--paper: the list of sheets finds no steady length on {layout.paper.name}; "
        "give a larger paper, such as A4"
    )


def entries(pages_after: Sequence[Page], first: int) -> tuple[Entry, ...]:
    """Return the overview's list of sheets with their page numbers."""
    return tuple(
        Entry(str(number), page.title, page.pieces)
        for number, page in enumerate(pages_after, first)
    )
