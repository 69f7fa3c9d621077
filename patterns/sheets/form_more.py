"""The further pages of the measuring form: leaf by leaf, irregular gatherings, how each figure is read."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from patterns.model.capitals import BODY, TITLE
from patterns.model.drawing import Drawing, Line, LineKind, Mark, Words
from patterns.record.field import Field
from patterns.sheets.flow import Strip, Strips, gap, heading, paragraph, pour, table
from patterns.sketch.marks import Box, moved, rectangle
from patterns.stock.paper import Paper

LEAVES, ABREAST = 30, 10
"""Boxes for the contents of single leaves, and how many of them stand side by side."""
GATHERINGS = 10
"""Lines for irregular gatherings."""
BOX_MM, ROW_MM = 7.0, 12.0
HEAD_MM = 13.0
ROLL_PAGE_MM = 297.0
PRESS = (
    "Everything that gives way is read under the same light press: the closed block, or the leaf with what is on it, "
    "lies between two boards under about 1 kg, and the calipers take it beside the weight; never over the shoulders. "
    "Hard things (boards, cover, thread) are read without it."
)


def more_pages(
    paper: Paper, fields: Mapping[str, tuple[int, Field]], margin: float
) -> list[Drawing]:
    """Return the pages after the first; `fields` has number and field by name, in order."""
    width = paper.width_mm
    height = ROLL_PAGE_MM if paper.roll else paper.height_mm
    wide = min(width - 2 * margin, 200.0)
    strips = (*_leaves(fields, wide), *_gatherings(fields, wide), *_how(fields, wide))
    pages = pour(strips, height - 2 * margin - HEAD_MM)
    return [
        Drawing(
            width,
            height,
            moved((*_title(number, wide), *moved(marks, 0.0, HEAD_MM)), (width - wide) / 2, margin),
        )
        for number, marks in enumerate(pages, start=2)
    ]


def _title(number: int, wide: float) -> Iterator[Mark]:
    yield Words((0.0, 6.0), "Measuring form", TITLE, bold=True)
    yield Words((66.0, 6.0), "Book", BODY)
    yield Line(LineKind.DIMENSION, ((76.0, 6.6), (wide - 22.0, 6.6)))
    yield Words((wide, 6.0), f"page {number}", BODY, anchor="end")
    yield Line(LineKind.FRAME, ((0.0, 11.0), (wide, 11.0)))


def _numbered(fields: Mapping[str, tuple[int, Field]], names: Collection[str]) -> str:
    return ", ".join(
        f"{fields[name][0]} {fields[name][1].key.replace('_', ' ')}"
        for name in names
        if name in fields
    )


def _leaves(fields: Mapping[str, tuple[int, Field]], wide: float) -> Iterator[Strip]:
    name = "album.contents_thickness"
    if name not in fields:
        return
    yield from heading(f"Leaf by leaf: {_numbered(fields, [name])}, mm", wide)
    words = (
        "One figure a leaf, in the order of the leaves: what is mounted on both its faces, without the leaf itself. "
        "Where all are alike, the mean on the first page is enough."
    )
    yield from paragraph(words, wide)
    yield from gap(1.5)
    step = wide / ABREAST
    for first in range(1, LEAVES + 1, ABREAST):
        marks: list[Mark] = []
        for place in range(ABREAST):
            left = place * step
            marks.append(Words((left, 3.2), str(first + place), BODY, bold=True))
            box = Box(left, 4.2, left + step - 3.0, 4.2 + BOX_MM)
            marks.append(rectangle(LineKind.OUTLINE, box))
        yield Strip(ROW_MM, tuple(marks))


def _gatherings(fields: Mapping[str, tuple[int, Field]], wide: float) -> Iterator[Strip]:
    names = ("sewing.fold.gathering", "sewing.fold.folios", "sewing.fold.holes")
    if names[0] not in fields:
        return
    yield from heading("Irregular gatherings", wide)
    yield from paragraph(
        "Only those whose folios or holes differ from the usual; numbers count from the first gathering "
        "that can hold a sewing.",
        wide,
    )
    shares = (0.14, 0.14, 0.72)
    lefts = [sum(shares[:place]) * wide for place in range(3)]
    heads = [_numbered(fields, [name]) for name in names]
    yield Strip(
        6.0,
        tuple(
            Words((x, 4.4), f"{head}{', mm' * (place == 2)}", BODY, bold=True)
            for place, (x, head) in enumerate(zip(lefts, heads, strict=True))
        ),
        keep=True,
    )
    for _ in range(GATHERINGS):
        lines = (
            Line(LineKind.DIMENSION, ((x, 7.4), (x + share * wide - 4.0, 7.4)))
            for x, share in zip(lefts, shares, strict=True)
        )
        yield Strip(8.0, tuple(lines))


def _how(fields: Mapping[str, tuple[int, Field]], wide: float) -> Strips:
    rows = [
        (str(number), f"{_table(field)}{field.key.replace('_', ' ')}", field.reason)
        for number, field in fields.values()
        if field.unit or field.kind == "count"
    ]
    return (
        *heading("Where each figure is read, and how", wide),
        *paragraph(PRESS, wide, bold=True),
        *gap(1.5),
        *table(("No.", "Figure", "Where, and how it is held"), rows, wide),
    )


def _table(field: Field) -> str:
    """Return the part of the book before a figure that has the same name on another part."""
    return (
        ""
        if field.table in ("book", "measuring")
        else f"{field.table.rpartition('.')[0] or field.table}, ".replace("_", " ")
    )
