"""All sheets of a pattern in order: overview, cutting, sewing, assembly, steps."""

from __future__ import annotations

from collections.abc import Sequence

from patterns.layout import assembly, compose, overview, steps_page
from patterns.layout.overview import Entry
from patterns.layout.sheet import Sheet
from patterns.layout.text_pages import Setting
from patterns.paper import Paper
from patterns.piece import Pattern
from patterns.printer import Correction


def sheets(pattern: Pattern, paper: Paper, correction: Correction) -> tuple[Sheet, ...]:
    """Return every sheet, numbered through; the overview lists them all.

    The overview's own length depends on that list, so it is set until its page count settles.
    """
    planned = compose.plan(pattern, paper, correction)
    front = 1
    while True:
        first = Setting(paper, correction, front + len(planned) + 1, 1)
        drawn = assembly.assembly_pages(pattern, first)
        steps = steps_page.steps_pages(pattern, first)
        total = front + len(planned) + len(drawn) + len(steps)
        cut = tuple(page.numbered(front + 1 + i, total) for i, page in enumerate(planned))
        drawn = assembly.assembly_pages(
            pattern, Setting(paper, correction, front + len(cut) + 1, total)
        )
        steps = steps_page.steps_pages(
            pattern, Setting(paper, correction, front + len(cut) + len(drawn) + 1, total)
        )
        rest = (*cut, *drawn, *steps)
        contents = entries(rest, front + 1)
        opening = overview.overview_pages(pattern, Setting(paper, correction, 1, total), contents)
        if len(opening) == front:
            return (*opening, *rest)
        front = len(opening)


def entries(sheets_after: Sequence[Sheet], first: int) -> tuple[Entry, ...]:
    """Return the overview's list of sheets with their page numbers."""
    return tuple(
        Entry(str(number), sheet.title, sheet.pieces)
        for number, sheet in enumerate(sheets_after, first)
    )
