"""Pages of words of a pattern, part by part, as the whole set of sheets makes them."""

from __future__ import annotations

from collections.abc import Sequence

from patterns.model.sheet import Sheet
from patterns.sheets import assembly
from patterns.sheets.overview import Entry, overview
from patterns.sheets.page import Layout, numbered
from patterns.sheets.steps_page import ends, steps_strips
from patterns.sheets.text_pages import column, planned


def overview_of(layout: Layout, contents: Sequence[Entry] = ()) -> tuple[Sheet, ...]:
    return numbered(planned(layout, overview(layout, contents).then(layout, ())))


def steps_of(layout: Layout) -> tuple[Sheet, ...]:
    behind = [strip for end in ends(layout.pattern, column(layout)) for strip in end.strips]
    strips = steps_strips(layout.pattern, column(layout))
    return numbered(planned(layout, (*strips, *behind)))


def assembly_of(layout: Layout) -> tuple[Sheet, ...]:
    return numbered(planned(layout, assembly.strips(layout.pattern, column(layout))))
