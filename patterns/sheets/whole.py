"""All sheets of a pattern in order: overview, cutting, sewing, assembly, steps."""

from __future__ import annotations

from collections.abc import Sequence

from patterns.errors import PaperError
from patterns.model.pattern import Pattern
from patterns.model.sheet import Sheet
from patterns.sheets import assembly, compose, overview, steps_page
from patterns.sheets.overview import Entry
from patterns.sheets.page import Page
from patterns.sheets.text_pages import Setting, TextPage
from patterns.stock.paper import Paper
from patterns.stock.printer import Correction

TRIES = 12
"""So often the overview is set at most: its page numbers settle after two or three."""


def sheets(pattern: Pattern, paper: Paper, correction: Correction) -> tuple[Sheet, ...]:
    """Return every sheet, numbered through; the overview lists them all."""
    setting = Setting(paper, correction)
    rest: tuple[Page | TextPage, ...] = (
        *compose.plan(pattern, paper, correction),
        *assembly.plan(pattern, setting),
        *steps_page.plan(pattern, setting),
    )
    every: tuple[Page | TextPage, ...] = (*_opening(pattern, setting, rest), *rest)
    return tuple(page.numbered(number, len(every)) for number, page in enumerate(every, 1))


def _opening(
    pattern: Pattern, setting: Setting, rest: Sequence[Page | TextPage]
) -> tuple[TextPage, ...]:
    """Return the overview, whose own length moves the page numbers that it lists.

    It is set again until both agree. Raises PaperError where they do not within some tries.
    """
    front = 1
    for _ in range(TRIES):
        opening = overview.plan(pattern, setting, entries(rest, front + 1))
        if len(opening) == front:
            return opening
        front = len(opening)
    raise PaperError(
        f"--paper: the list of sheets finds no steady length on {setting.paper.name}; "
        "give a larger paper, such as A4"
    )


def entries(pages_after: Sequence[Page | TextPage], first: int) -> tuple[Entry, ...]:
    """Return the overview's list of sheets with their page numbers."""
    return tuple(
        Entry(str(number), page.title, page.pieces)
        for number, page in enumerate(pages_after, first)
    )
