"""The assembly: one section of everything in its layers, then the structures' own views."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from patterns.model.part import Layer
from patterns.model.pattern import Pattern
from patterns.sheets.flow import (
    Strip,
    Strips,
    gap,
    heading,
    paragraph,
    solid,
    table,
    together,
)
from patterns.sheets.layers import Seated, half_spine_mm, row, seated, stack, total
from patterns.sheets.section import capacity, section
from patterns.sketch.marks import Box, moved

SIGNS = (
    "Tinted: the book's own. White: new. Between the layers: hatched at 45° = pasted; threads "
    "that end in a heavy bar = sewn, the bar outside; zigzag = laced in; white without threads = "
    "free, no adhesive. The layers are drawn apart; their widths and thicknesses are in the table."
)
SECTION = "Section across the spine, not to scale"
FIGURE_MM = 100.0
"""Width of the section where its words stand beside it."""
LEAST_ASIDE_MM = 60.0
ABREAST_MM = 8.0
"""White between two views side by side."""
HEADING_MM = 30.0
"""Room that a section's name and what is said beneath it may take of a column."""


def strips(pattern: Pattern, column: Box) -> Strips:
    """Return the section and every view of the assembly; nothing where there is nothing to show.

    Diagrams larger than the page are cut into parts that follow each other.
    """
    return _section(pattern, column)


def _section(pattern: Pattern, column: Box) -> Strips:
    layers = stack(pattern)
    if not layers:
        return ()
    items = seated(layers, half_spine_mm(pattern, layers))
    names = ("back", "front") if pattern.front_on_right else ("front", "back")
    head = (
        "No.",
        "Layer, inside to outside",
        "mm",
        "Ends, mm from the middle",
        "Joined to the one within",
    )
    return (
        *_figures(pattern, layers, items, names, column),
        *gap(2.5),
        *table(head, [row(item, names) for item in items], column.width),
    )


def _figures(
    pattern: Pattern,
    layers: Sequence[Layer],
    items: Sequence[Seated],
    names: tuple[str, str],
    column: Box,
) -> Strips:
    """Return the section with what its signs mean: beside it where one narrow figure shows all."""
    half = half_spine_mm(pattern, layers)
    narrow = Box(0.0, 0.0, FIGURE_MM, column.height)
    aside = column.width - FIGURE_MM - ABREAST_MM
    if aside >= LEAST_ASIDE_MM and len(list(_groups(items, narrow))) == 1:
        block = section(items, half, FIGURE_MM, names)
        figure = (Strip(block.height, block.marks),)
        told = _told(pattern, layers, aside)
        return (
            *heading(SECTION, column.width),
            *_abreast(figure, told, FIGURE_MM + ABREAST_MM),
        )
    figures: list[Strip] = []
    for group in _groups(items, column):
        few = "" if len(group) == len(items) else _which(group)
        figures += heading(f"{SECTION}{few}", column.width)
        block = section(group, half, column.width, names)
        figures += (Strip(block.height, block.marks), *gap(3.0))
    return (*figures, *_told(pattern, layers, min(column.width, 180.0)))


def _abreast(figure: Strips, told: Strips, left: float) -> Strips:
    """Return a figure and its words as one strip, which no page may part."""
    words = solid(told, 0.0)
    marks = (*figure[0].marks, *moved(words.marks, left, 0.0))
    return (Strip(max(figure[0].height_mm, words.height), marks),)


def _told(pattern: Pattern, layers: Sequence[Layer], width: float) -> Strips:
    """Return what the signs mean, how much is added, and whether the cover closes round it."""
    return (
        *together(paragraph(SIGNS, width)),
        *gap(2.0),
        *paragraph(total(layers), width, bold=True),
        *(paragraph(f"{pattern.closing}.", width) if pattern.closing else ()),
    )


def _which(group: Sequence[Seated]) -> str:
    return f": text block and layers {group[1].number} to {group[-1].number}"


def _groups(items: Sequence[Seated], column: Box) -> Iterator[list[Seated]]:
    """Part a stack into figures that a column holds, each upon the text block."""
    base, *others = items
    over, aside = capacity(column.width, column.height - HEADING_MM)
    group: list[Seated] = []
    for item in others:
        wanted = [*group, item]
        hanging = max(sum(one.sides[side] for one in wanted) for side in (0, 1))
        if group and (sum(one.over for one in wanted) > over or hanging > aside):
            yield [base, *group]
            group = []
        group.append(item)
    yield [base, *group]
