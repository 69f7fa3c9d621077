"""Pages of running words: a flow of strips set between title and title block."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from patterns.drawing import Drawing, Mark
from patterns.layout.flow import Strips, pour
from patterns.layout.furniture import Heading, dress
from patterns.layout.marks import Box, box_of, moved
from patterns.layout.sheet import Group, Sheet
from patterns.paper import Paper
from patterns.piece import Pattern
from patterns.printer import UNCORRECTED, Correction
from patterns.values import dataclass

COLUMN_MM = 175.0
"""A second column is set where each can be at least this wide."""
BETWEEN_MM = 10.0
ROLL_PAGE_MM = 420.0
"""Greatest length of a page of words on a roll."""
LEAST_PAGE_MM = 148.0


@dataclass(frozen=True, slots=True)
class Setting:
    """What a group of pages has in common: paper, correction, first page number, pages in all."""

    paper: Paper
    correction: Correction = UNCORRECTED
    first: int = 1
    pages: int = 1

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of a page of words in mm: upright, or a length of the roll."""
        return (
            self.paper.width_mm,
            ROLL_PAGE_MM if self.paper.roll else self.paper.height_mm,
        )


def text_pages(
    pattern: Pattern,
    setting: Setting,
    title: str,
    group: Group,
    strips: Callable[[Box], Strips],
    scale: str = "not for cutting",
) -> tuple[Sheet, ...]:
    """Set a flow on as many pages as it needs; `strips` makes it for a column's box."""
    heading = _heading(pattern, setting, title, scale)
    width, height = setting.size
    widest = replace(heading, page=888, pages=888)
    _, box = dress(widest, width, height, bars=False)
    count = max(1, int((box.width + BETWEEN_MM) // (COLUMN_MM + BETWEEN_MM)))
    step = (box.width + BETWEEN_MM) / count
    column = Box(0.0, 0.0, step - BETWEEN_MM, box.height)
    filled = pour(strips(column), column.height)
    sheets = []
    for number, start in enumerate(range(0, len(filled), count)):
        marks: list[Mark] = []
        for place, part in enumerate(filled[start : start + count]):
            marks += moved(part, box.left + place * step, box.top)
        tall = _roll_end(marks, height - box.bottom) if setting.paper.roll else height
        frame, _ = dress(replace(heading, page=setting.first + number), width, tall, bars=False)
        sheets.append(Sheet(title, group, Drawing(width, tall, (*frame, *marks))))
    return tuple(sheets)


def _roll_end(marks: Sequence[Mark], foot: float) -> float:
    """Return where a page of a roll is cut off: below its words and its title block."""
    return max(LEAST_PAGE_MM, max(box_of(mark).bottom for mark in marks) + foot + 2.0)


def _heading(pattern: Pattern, setting: Setting, title: str, scale: str) -> Heading:
    return Heading(
        title=title,
        subtitle="",
        book_id=pattern.book_id,
        book_title=pattern.book_title,
        fields=(("Made", ", ".join(part.title.lower() for part in pattern.parts)),),
        page=setting.first,
        pages=setting.pages,
        paper=setting.paper.name,
        scale=scale,
        correction=setting.correction.words,
        record_date=pattern.record_date,
        version=pattern.version,
    )
