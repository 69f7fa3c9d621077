"""All sheets of a pattern in order: overview, steps, then what is cut and sewn by."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import islice

from patterns.errors import PaperError
from patterns.model.pattern import Pattern
from patterns.model.sheet import Sheet
from patterns.sheets import compose, overview, steps_page, text_pages
from patterns.sheets.flow import Strips
from patterns.sheets.overview import Entry
from patterns.sheets.page import Better, Layout, Page, numbered
from patterns.sheets.steps_page import End, Loose
from patterns.sheets.whereabouts import waiting

TRIES = 12
"""So often the words are set at most: the page numbers in them settle after two or three."""


def sheets(layout: Layout) -> tuple[Sheet, ...]:
    """Return every sheet, numbered through; the overview lists them all.

    Where only what is cut is wished for, the pieces alone.
    """
    pages = _pages(_suggesting(layout) if layout.suggests else layout)
    layout.memory.done()
    return numbered(pages)


def _pages(layout: Layout) -> tuple[Page, ...]:
    if layout.shown == "cutting":
        return compose.plan(layout)
    steps, loose = _told(layout)
    cutting = compose.plan(layout, loose)
    if layout.better and layout.better.sheets > len(cutting) + 1:
        layout = replace(layout, better=None)
    return (*_naming(words(layout, steps, cutting), layout.pattern), *cutting)


def _suggesting(layout: Layout) -> Layout:
    """Return a lay-out whose overview says how many sheets the next larger paper would take.

    These are planned as they would be drawn, and counted.
    """
    larger = layout.paper.larger
    if larger is None or layout.shown == "cutting":
        return layout
    there = replace(layout, paper=larger)
    steps, loose = _told(there)
    cutting = compose.headed(there, loose)
    number = len(words(there, steps, cutting)) + len(cutting)
    return replace(layout, better=Better(larger.name, number))


def _told(layout: Layout) -> tuple[Strips, list[Loose]]:
    """Return the steps with what stays behind them, and what goes where pieces leave room."""
    column = text_pages.column(layout)
    steps = steps_page.steps_strips(layout.pattern, column)
    kept, loose = _parted(layout, steps, steps_page.ends(layout.pattern, column))
    return (*steps, *kept), loose


def _naming(pages: Sequence[Page], pattern: Pattern) -> Iterator[Page]:
    """Yield pages of words with what each of their words that wait for pages is about."""
    left = steps_page.awaited(pattern)
    for page in pages:
        yield replace(page, whose=tuple(islice(left, len(waiting(page.marks)))))


def _parted(layout: Layout, steps: Strips, ends: Sequence[End]) -> tuple[Strips, list[Loose]]:
    """Part what follows the steps: what stays behind them, and what goes where pieces leave room.

    All stay that need no page of words more than the steps alone, or that no page holds whole.
    """
    flow = overview.overview(layout, _likely(layout)).then(layout, steps)
    least = text_pages.number(layout, flow)
    high = text_pages.column(layout).height
    kept: Strips = ()
    loose: list[Loose] = []
    for end in ends:
        name, forms = end.loose()
        stays = text_pages.number(layout, (*flow, *kept, *end.strips)) <= least
        if stays or min(form.height for form in forms) > high:
            kept = (*kept, *end.strips)
        else:
            loose.append((name, forms))
    return kept, loose


def _likely(layout: Layout) -> tuple[Entry, ...]:
    """Return a list of sheets about as long as the one that is still to be made."""
    titles = (piece.title or piece.name for part in layout.pattern.parts for piece in part.pieces)
    return tuple(Entry("88–88", f"{title} and more") for title in titles)


def words(layout: Layout, steps: Strips, cutting: Sequence[Page]) -> tuple[Page, ...]:
    """Return overview and steps, whose own length moves the page numbers that the overview lists.

    They are set again until both agree. Raises PaperError where they do not within some tries.
    """
    count = text_pages.number(layout, steps) + 1
    for _ in range(TRIES):
        contents = (*_entry(count), *entries(cutting, count + 1))
        flow = overview.overview(layout, contents).then(layout, steps)
        needed = text_pages.number(layout, flow)
        if needed == count:
            return text_pages.planned(layout, flow)
        count = needed
    raise PaperError(
        f"the list of sheets finds no steady length on {layout.paper.name}; "
        "give a larger paper, such as A4"
    )


def _entry(count: int) -> tuple[Entry, ...]:
    """Return the list's entry for the pages of words behind the first."""
    return (Entry(f"2–{count}" if count > 2 else "2", "Steps"),) if count > 1 else ()


def entries(pages_after: Sequence[Page], first: int) -> tuple[Entry, ...]:
    """Return the overview's list of sheets with their page numbers."""
    return tuple(
        Entry(str(number), page.heading.title, page.shown)
        for number, page in enumerate(pages_after, first)
    )
