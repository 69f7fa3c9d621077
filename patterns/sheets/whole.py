"""All sheets of a pattern in order: overview, steps, then what is cut and sewn by."""

from __future__ import annotations

from collections.abc import Sequence

from patterns.errors import PaperError
from patterns.model.sheet import Sheet
from patterns.sheets import compose, overview, steps_page, text_pages
from patterns.sheets.overview import Entry
from patterns.sheets.page import Layout, Page, numbered

TRIES = 12
"""So often the words are set at most: the page numbers in them settle after two or three."""


def sheets(layout: Layout) -> tuple[Sheet, ...]:
    """Return every sheet, numbered through; the overview lists them all."""
    cutting = compose.plan(layout)
    return numbered((*words(layout, cutting), *cutting))


def words(layout: Layout, cutting: Sequence[Page]) -> tuple[Page, ...]:
    """Return overview and steps, whose own length moves the page numbers that the overview lists.

    They are set again until both agree. Raises PaperError where they do not within some tries.
    """
    column = text_pages.column(layout)
    steps = steps_page.steps_strips(layout.pattern, column)
    count = 1
    for _ in range(TRIES):
        contents = (*_told(count), *entries(cutting, count + 1))
        opening = overview.overview_strips(layout, column.width, contents)
        pages = text_pages.planned(layout, (*opening, *steps))
        if len(pages) == count:
            return pages
        count = len(pages)
    raise PaperError(
        f"--paper: the list of sheets finds no steady length on {layout.paper.name}; "
        "give a larger paper, such as A4"
    )


def _told(count: int) -> tuple[Entry, ...]:
    """Return the list's entry for the pages of words behind the first."""
    return (Entry(f"2–{count}" if count > 2 else "2", "Steps"),) if count > 1 else ()


def entries(pages_after: Sequence[Page], first: int) -> tuple[Entry, ...]:
    """Return the overview's list of sheets with their page numbers."""
    return tuple(
        Entry(str(number), page.title, page.pieces)
        for number, page in enumerate(pages_after, first)
    )
