"""The assembly pages: one section of everything in its layers, then the structures' own views."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from patterns.model.drawing import LineKind
from patterns.model.part import Diagram
from patterns.model.pattern import Pattern
from patterns.sheets.flow import Strip, Strips, gap, heading, paragraph, table, together
from patterns.sheets.layers import Seated, half_spine_mm, row, seated, stack, total
from patterns.sheets.page import Layout, Page
from patterns.sheets.section import capacity, section
from patterns.sheets.text_pages import planned
from patterns.sketch.marks import Block, Box, clipped, moved, rectangle

SIGNS = (
    "Tinted: the book's own. White: new. Between the layers: hatched at 45° = pasted; threads "
    "that end in a heavy bar = sewn, the bar outside; zigzag = laced in; white without threads = "
    "free, no adhesive. The layers are drawn apart; their widths and thicknesses are in the table."
)
HEADING_MM = 30.0
"""Room that a section's name and what is said beneath it may take of a column."""


def plan(layout: Layout) -> tuple[Page, ...]:
    """Set the assembly on as many pages as it needs; none where there is nothing to show.

    Diagrams larger than the page are cut into parts that follow each other.
    """
    pattern = layout.pattern
    return planned(
        layout,
        "Assembly",
        "assembly",
        lambda column: (*_section(pattern, column), *_views(pattern, column)),
        scale="scales as given",
    )


def _section(pattern: Pattern, column: Box) -> Strips:
    layers = stack(pattern)
    if not layers:
        return ()
    half = half_spine_mm(pattern, layers)
    items = seated(layers, half)
    names = ("back", "front") if pattern.front_on_right else ("front", "back")
    figures: list[Strip] = []
    for group in _groups(items, column):
        few = "" if len(group) == len(items) else _which(group)
        figures += heading(f"Section across the spine, not to scale{few}", column.width)
        block = section(group, half, column.width, names)
        figures += (Strip(block.height, block.marks), *gap(3.0))
    head = (
        "No.",
        "Layer, inside to outside",
        "mm",
        "Ends, mm from the middle",
        "Joined to the one within",
    )
    return (
        *figures,
        *together(paragraph(SIGNS, min(column.width, 180.0))),
        *gap(2.0),
        *paragraph(total(layers), min(column.width, 180.0), bold=True),
        *(paragraph(f"{pattern.closing}.", min(column.width, 180.0)) if pattern.closing else ()),
        *gap(2.5),
        *table(head, [row(item, names) for item in items], column.width),
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
    """Return every diagram of the assembly under its name and scale."""
    strips: list[Strip] = []
    for part in pattern.parts:
        for diagram in part.diagrams:
            if diagram.page == "assembly":
                strips += _view(diagram, column)
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
