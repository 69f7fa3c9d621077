"""All sheets of a pattern in order: overview, cutting, sewing, assembly, steps."""

from __future__ import annotations

from collections.abc import Sequence

from patterns.layout import assembly, compose, overview, steps_page
from patterns.layout.overview import Entry
from patterns.layout.page import Page
from patterns.layout.sheet import Sheet
from patterns.layout.text_pages import Setting, TextPage
from patterns.paper import Paper
from patterns.piece import Pattern
from patterns.printer import Correction


def sheets(pattern: Pattern, paper: Paper, correction: Correction) -> tuple[Sheet, ...]:
    """Return every sheet, numbered through; the overview lists them all.

    The overview's own length depends on that list, so it is set again while it grows: higher page
    numbers never take less room.
    """
    setting = Setting(paper, correction)
    rest: tuple[Page | TextPage, ...] = (
        *compose.plan(pattern, paper, correction),
        *assembly.plan(pattern, setting),
        *steps_page.plan(pattern, setting),
    )
    front = 1
    while len(opening := overview.plan(pattern, setting, entries(rest, front + 1))) > front:
        front = len(opening)
    every: tuple[Page | TextPage, ...] = (*opening, *rest)
    return tuple(page.numbered(number, len(every)) for number, page in enumerate(every, 1))


def entries(pages_after: Sequence[Page | TextPage], first: int) -> tuple[Entry, ...]:
    """Return the overview's list of sheets with their page numbers."""
    return tuple(
        Entry(str(number), page.title, page.pieces)
        for number, page in enumerate(pages_after, first)
    )
