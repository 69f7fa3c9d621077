"""Pages of running words: a flow of strips set between title and title block."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from patterns.model.drawing import Drawing, Mark
from patterns.model.pattern import Pattern
from patterns.model.sheet import Group, Sheet
from patterns.sheets.flow import Strips, pour, tightened
from patterns.sheets.furniture import Heading, dress
from patterns.sketch.marks import Box, box_of, moved
from patterns.stock.paper import Paper
from patterns.stock.printer import UNCORRECTED, Correction

COLUMN_MM = 175.0
"""A second column is set where each can be at least this wide."""
BETWEEN_MM = 10.0
ROLL_PAGE_MM = 420.0
"""Greatest length of a page of words on a roll."""
LEAST_PAGE_MM = 148.0
SLIM = 0.3
"""A last page filled less than this is saved where closer setting can."""
CLOSER = (0.7, 0.4)
"""What is left of the white between sections, first and at most."""
WIDEST = 888
"""Stands for the page numbers while pages are being planned."""


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


@dataclass(frozen=True, slots=True)
class TextPage:
    """A page of words before it has its number."""

    heading: Heading
    group: Group
    width_mm: float
    height_mm: float
    marks: tuple[Mark, ...]
    pieces: tuple[str, ...] = ()
    """None: a page of words shows no piece to cut."""

    @property
    def title(self) -> str:
        """Its title in the outline."""
        return self.heading.title

    def numbered(self, page: int, pages: int) -> Sheet:
        """Return the finished page n of m."""
        heading = replace(self.heading, page=page, pages=pages)
        frame, _ = dress(heading, self.width_mm, self.height_mm, bars=False)
        drawing = Drawing(self.width_mm, self.height_mm, (*frame, *self.marks))
        return Sheet(self.title, self.group, drawing)


def numbered(pages: Sequence[TextPage], setting: Setting) -> tuple[Sheet, ...]:
    """Return the finished pages with the numbers of their setting."""
    return tuple(page.numbered(setting.first + i, setting.pages) for i, page in enumerate(pages))


def planned(
    pattern: Pattern,
    setting: Setting,
    title: str,
    group: Group,
    strips: Callable[[Box], Strips],
    scale: str = "not for cutting",
) -> tuple[TextPage, ...]:
    """Set a flow on as many pages as it needs; `strips` makes it for a column's box."""
    heading = _heading(pattern, setting, title, scale)
    width, height = setting.size
    _, box = dress(heading, width, height, bars=False)
    count = max(1, int((box.width + BETWEEN_MM) // (COLUMN_MM + BETWEEN_MM)))
    step = (box.width + BETWEEN_MM) / count
    column = Box(0.0, 0.0, step - BETWEEN_MM, box.height)
    filled = _poured(strips(column), column.height, count)
    pages = []
    for start in range(0, len(filled), count):
        marks: list[Mark] = []
        for place, part in enumerate(filled[start : start + count]):
            marks += moved(part, box.left + place * step, box.top)
        tall = _roll_end(marks, height - box.bottom) if setting.paper.roll else height
        pages.append(TextPage(heading, group, width, tall, tuple(marks)))
    return tuple(pages)


def _poured(strips: Strips, height: float, count: int) -> list[tuple[Mark, ...]]:
    """Fill columns; where little stands on the last page, set closer if that saves the page."""
    made = pour(strips, height)
    pages = -(-len(made) // count)
    last = [mark for column in made[(pages - 1) * count :] for mark in column]
    if pages > 1 and max(box_of(mark).bottom for mark in last) < height * SLIM:
        for share in CLOSER:
            closer = pour(tightened(strips, share), height)
            if -(-len(closer) // count) < pages:
                return closer
    return made


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
        page=WIDEST,
        pages=WIDEST,
        paper=setting.paper.name,
        scale=scale,
        correction=setting.correction.words,
        record_date=pattern.record_date,
        version=pattern.version,
    )
