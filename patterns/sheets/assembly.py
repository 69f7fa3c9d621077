"""The assembly: one section of everything in its layers, then the structures' own views."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from patterns.model.drawing import LineKind
from patterns.model.part import Diagram, Layer
from patterns.model.pattern import Pattern
from patterns.sheets.flow import (
    Strip,
    Strips,
    beside,
    gap,
    heading,
    paragraph,
    solid,
    table,
    together,
)
from patterns.sheets.layers import Seated, half_spine_mm, row, seated, stack, total
from patterns.sheets.section import capacity, section
from patterns.sketch.marks import Block, Box, clipped, moved, rectangle

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
    return (*_section(pattern, column), *_views(pattern, column))


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


def _views(pattern: Pattern, column: Box) -> Strips:
    """Return every diagram of the assembly under its name and scale, two abreast where they fit."""
    shown = [
        diagram for part in pattern.parts for diagram in part.diagrams if diagram.page == "assembly"
    ]
    strips: list[Strip] = []
    half = Box(0.0, 0.0, (column.width - ABREAST_MM) / 2, column.height)
    while shown:
        pair = [one for one in shown[:2] if one.width_mm <= half.width]
        if len(pair) == 2 and max(one.height_mm for one in pair) <= column.height - HEADING_MM:
            views = [_view(one, half) for one in pair]
            strips += beside(views, (0.0, half.width + ABREAST_MM))
            shown = shown[2:]
        else:
            strips += _view(shown.pop(0), column)
    return tuple(strips)


def _view(diagram: Diagram, column: Box) -> Strips:
    parts = list(_parts(diagram, column))
    shown: list[Strip] = []
    for number, part in enumerate(parts, start=1):
        which = f", part {number} of {len(parts)}" if len(parts) > 1 else ""
        shown += heading(f"{diagram.title}, {diagram.scale}{which}", column.width)
        shown.append(Strip(part.height, part.marks))
    notes = [strip for note in diagram.notes for strip in paragraph(note, min(column.width, 180.0))]
    return together((*shown, *gap(1.0), *notes)) if len(parts) == 1 else (*shown, *notes)


def _parts(diagram: Diagram, column: Box) -> Iterator[Block]:
    """Cut a diagram into windows no larger than a column; most are one whole."""
    wide, high = column.width, column.height - HEADING_MM
    across = max(1, -int(-diagram.width_mm // wide))
    down = max(1, -int(-diagram.height_mm // high))
    if across == down == 1:
        yield Block(diagram.width_mm, diagram.height_mm, diagram.marks)
        return
    step = (diagram.width_mm / across, diagram.height_mm / down)
    for i in range(down):
        for k in range(across):
            window = Box(k * step[0], i * step[1], (k + 1) * step[0], (i + 1) * step[1])
            marks = moved(clipped(diagram.marks, window), -window.left, -window.top)
            frame = rectangle(LineKind.REFERENCE, Box(0.0, 0.0, *step))
            yield Block(*step, (frame, *marks))
