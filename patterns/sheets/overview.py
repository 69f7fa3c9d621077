"""The first page of a pattern: whose book, what it warns of, what is made, and where it lies."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from patterns.model.capitals import BODY
from patterns.model.drawing import Line, LineKind
from patterns.model.part import Check
from patterns.model.pattern import Pattern
from patterns.model.piece import Piece
from patterns.sheets.flow import (
    BASE,
    LEAD,
    Strip,
    Strips,
    barred,
    beside,
    fit,
    gap,
    heading,
    height_mm,
    opening,
    paragraph,
    stopped,
    table,
    tightened,
)
from patterns.sheets.page import Better, Layout
from patterns.sheets.text_pages import column, number
from patterns.sheets.whereabouts import Displayed, page_words, runs
from patterns.sketch.marks import box_of
from patterns.stock.printer import ACHIEVABLE, Correction
from patterns.units import mm, trimmed, two_figures

LABEL_MM = 28.0
"""Room for a section's name at the left of it."""
BETWEEN_ENTRIES = " · "
TICK_MM = 3.0
TICK_ROOM_MM = 5.0
BETWEEN_MM = 6.0
MEASURE_MM = 185.0
"""Longest line of running words."""
NOTED = re.compile(r" \([^)]*\)")
"""What a material's name adds in brackets: what it is made of."""
NO_BREAK = "\u00a0"
READ_STRIP = (
    "New thread makes the spine wider by nobody knows how much: when it is sewn, read a paper strip over the sewn "
    "lining, tip to tip, at head and tail, beside the bars, enter spine.girth_sewn_head and spine.girth_sewn_tail, "
    "and draft again."
)
PRINT_RULE = (
    "Print at 100 %, never fitted to the page. On every cutting page both bars must read 99.7 to "
    "100.3 mm; if one does not, measure the printer with “mendfold printer test” and draft again "
    "with its name."
)


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the list of sheets: its page or pages, their title, all that they show.

    All sheets of one tiled drawing show the same.
    """

    pages: str
    title: str
    shown: tuple[Displayed, ...] = ()

    @property
    def numbers(self) -> range:
        """The numbers of its pages."""
        first, _, last = self.pages.partition("–")
        return range(int(first), int(last or first) + 1)


@dataclass(frozen=True, slots=True)
class Overview:
    """The first page, and what of it stands before the steps where one page does not hold all."""

    first: Strips
    rest: Strips = ()

    def then(self, layout: Layout, steps: Strips) -> Strips:
        """Return the page and, from the next column on, the rest and the steps.

        Where that would cost a page, the steps follow on the first.
        """
        apart = (*self.first, *opening((*self.rest, *steps)))
        joined = (*self.first, *self.rest, *steps)
        return joined if number(layout, joined) < number(layout, apart) else apart


def overview(layout: Layout, contents: Sequence[Entry]) -> Overview:
    """Return the overview, which lists all sheets by `contents`: one page, whatever it holds.

    What is not needed before the work begins leaves the page first; then warnings are told on one
    line each, in full behind it; at last the list of pieces goes on there.
    """
    room = column(layout)
    sections = _Sections(layout, room.width, contents)
    for way in sections.ways(room.height):
        if height_mm(*way[:2]) <= room.height:
            break
    first, share, rest = way
    return Overview(tightened(first, share), rest)


PageFill = tuple[Strips, float, Strips]
"""The first page, what is left of its white, and what stands behind it."""


@dataclass(frozen=True, slots=True)
class _Sections:
    """What the overview says, in its order, for one width of column."""

    layout: Layout
    width: float
    contents: Sequence[Entry]

    def ways(self, height: float) -> Iterator[PageFill]:
        """Yield the overview with ever less on its first page, of a height in mm."""
        pattern, width = self.layout.pattern, self.width
        head = (*_opening(pattern, width), *_condition(pattern, width))
        warned, made, needed = _warnings(pattern, width), self._made(), self._needed()
        tables = (*made, *_waiting(pattern, width), *gap(3.0), *needed)
        asides = self._asides()
        everything = (*head, *warned, *tables, *(strip for one in asides for strip in one))
        for share in (1.0, *CLOSER):
            yield everything, share, ()
        for kept in reversed(range(len(asides))):
            held, left = asides[:kept], asides[kept:]
            first = (*head, *warned, *tables, *(strip for one in held for strip in one))
            yield first, CLOSER[-1], tuple(s for one in left for s in one)
        rest = tuple(strip for one in asides for strip in one)
        briefly = (*head, *_warnings(pattern, width, brief=True))
        yield (*briefly, *tables), CLOSER[-1], (*warned, *rest)
        spare = height - height_mm(briefly) - SPARE_MM
        shown, others = _parted(made, spare)
        yield (*briefly, *shown), CLOSER[-1], (*others, *needed, *warned, *rest)

    def _made(self) -> Strips:
        """Return the table of what is cut from stock."""
        rows = [
            (
                piece.title or piece.name,
                cut_words(piece),
                str(piece.quantity),
                _stuff(piece),
                piece.grain.replace("-", "–"),
                self._pages_of(piece),
            )
            for part in self.layout.pattern.parts
            for piece in part.pieces
            if piece.stock
        ]
        head = ("Piece", "Cut from stock, mm", "Cut", "Material", "Grain", "Page")
        return _titled("What is made: wide × high", head, rows, self.width)

    def _needed(self) -> Strips:
        """Return what else is used: guides on the sheets, materials to have at hand."""
        pattern, room = self.layout.pattern, self.width - LABEL_MM
        return (
            *_labelled("Printed guides", self._guides(room), self.width),
            *_labelled("Materials", _materials(pattern, room), self.width),
        )

    def _guides(self, room: float) -> Strips:
        told = [
            f"{piece.title or piece.name}, {page_words(self._pages_of(piece))}"
            for part in self.layout.pattern.parts
            for piece in part.pieces
            if not piece.stock
        ]
        said = BETWEEN_ENTRIES.join(one.replace(" ", NO_BREAK) for one in told)
        return paragraph(said, room) if told else ()

    def _asides(self) -> list[Strips]:
        """Return what the page can do without, what leaves it first as the last."""
        layout, room = self.layout, self.width - LABEL_MM
        made = (
            ("Pages", _pages(gathered(self.contents), room, layout.better)),
            ("Tools", _ticked(layout.pattern.tools, room)),
            ("Figures used", _figures(layout.pattern, room)),
            ("Printing", _print_truth(room, layout.correction)),
        )
        return [_labelled(label, strips, self.width) for label, strips in made]

    def _pages_of(self, piece: Piece) -> str:
        named = piece.structure, piece.name
        return runs(page for one in self.contents if named in one.shown for page in one.numbers)


CLOSER = (0.7, 0.45)
"""What is left of the white between sections where the page would not hold all else."""
SPARE_MM = 10.0


def _parted(table: Strips, room: float) -> tuple[Strips, Strips]:
    """Part a table where the room ends; between two of its rows wherever that is possible."""
    y, place = 0.0, 0
    for count, strip in enumerate(table, 1):
        y += strip.height_mm
        if y > room:
            break
        if not strip.keep:
            place = count
    return table[:place], table[place:]


def _opening(pattern: Pattern, width: float) -> Strips:
    made = ", ".join(part.title.lower() for part in pattern.parts)
    dated = f" Measured on {pattern.record_date}." if pattern.record_date else ""
    named = f"{pattern.book_id}, {pattern.book_title}" if pattern.book_title else pattern.book_id
    left = f" {pattern.unfinished}" if pattern.unfinished else ""
    return paragraph(f"For {named}: {made}.{dated}{left}", width)


def _condition(pattern: Pattern, width: float) -> Strips:
    """Return what the book's condition stops or changes, boxed, then the condition itself."""
    if not (pattern.stops or pattern.condition):
        return ()
    boxed = _barred([(text, True) for text in pattern.stops], width)
    told = paragraph(pattern.condition, min(width, MEASURE_MM)) if pattern.condition else ()
    return (*heading("Condition of the book", width), *boxed, *told)


def _warnings(pattern: Pattern, width: float, brief: bool = False) -> Strips:
    """Return the boxed words of each structure and all warnings; `brief` gives each one line."""
    boxes = [(stopped(text), True) for part in pattern.parts for text in part.boxes]
    lines = boxes + [(stopped(text), False) for text in pattern.warnings]
    if not lines:
        return (*heading("Warnings", width), *paragraph("None for this book.", width))
    if brief:
        room = min(width, MEASURE_MM) - 4.0
        lines = [(fit(text, BODY, room, bold), bold) for text, bold in lines]
        return (*heading("Warnings, in full on the next page", width), *_barred(lines, width))
    return (*heading("Warnings", width), *_barred(lines, width))


def _barred(lines: Sequence[tuple[str, bool]], width: float) -> Strips:
    """Return lines with a bar beside each, some bold."""
    return tuple(
        strip
        for text, bold in lines
        for strip in (*barred(paragraph(text, min(width, MEASURE_MM) - 4.0, bold)), *gap(1.6))
    )


def _waiting(pattern: Pattern, width: float) -> Strips:
    """Return a table of what is not cut before the spine was read again."""
    rows = [
        (
            waits.title,
            "–" if waits.wide_mm is None else " to ".join(mm(end, 1) for end in waits.wide_mm),
            waits.material,
            part.title.lower(),
        )
        for part in pattern.parts
        for waits in part.waits
    ]
    head = ("Piece", "Expected, mm wide", "Material", "Of")
    told = paragraph(READ_STRIP, min(width, MEASURE_MM))
    return (*_titled("Not cut yet", head, rows, width), *gap(1.6), *told) if rows else ()


def _labelled(label: str, strips: Strips, width: float) -> Strips:
    """Return a section under a hair line, its name at the left; nothing where it is empty."""
    if not strips:
        return ()
    rule = Strip(1.8, (Line(LineKind.REFERENCE, ((0.0, 0.2), (width, 0.2))),), keep=True)
    named = paragraph(label, LABEL_MM, bold=True)
    return (rule, *beside((named, strips), (0.0, LABEL_MM)), *gap(1.6))


def _materials(pattern: Pattern, width: float) -> Strips:
    """Return every material and adhesive, each with a square to tick.

    How much is wanted of what the pieces are cut from stands in their table. An adhesive that the
    condition of the book asks for is listed once, with the steps that use it.
    """
    cut = {piece.material for part in pattern.parts for piece in part.pieces if piece.stock}
    rows = [
        name if name in cut or not much else f"{name}: {much}" for name, much in pattern.materials
    ]
    listed = {NOTED.sub("", name) for name, _ in pattern.materials}
    glues = (name for name, _ in adhesives(pattern) if name not in listed)
    return _ticked([*rows, *glues], width)


def _figures(pattern: Pattern, width: float) -> Strips:
    said = (f"{name} {value}".replace(" ", NO_BREAK) for name, value in pattern.measurements)
    return paragraph(BETWEEN_ENTRIES.join(said), width)


def _pages(contents: Sequence[Entry], width: float, better: Better | None) -> Strips:
    """Return the list of sheets, the numbers before what they show, and how many a larger paper takes."""
    said = [f"{one.pages}{NO_BREAK}{one.title}" for one in contents]
    if better:
        said.append(f"on {better.paper}: {better.sheets} sheets in all".replace(" ", NO_BREAK))
    return paragraph(BETWEEN_ENTRIES.join(said), width)


def gathered(contents: Sequence[Entry]) -> list[Entry]:
    """Return the list of sheets with those that belong together on one line.

    >>> one, two = (Entry(page, "Lining", (("casing_in", "lining"),)) for page in "45")
    >>> gathered([one, two, Entry("6", "Steps")])[0]
    Entry(pages='4–5', title='Lining', shown=(('casing_in', 'lining'),))
    """
    lines: list[Entry] = []
    for title, group in groupby(contents, key=lambda one: one.title):
        entries = list(group)
        pages = entries[0].pages
        if len(entries) > 1:
            pages = f"{pages}–{entries[-1].pages}"
        names = dict.fromkeys(name for one in entries for name in one.shown)
        lines.append(Entry(pages, title, tuple(names)))
    return lines


def size_words(piece: Piece) -> str:
    """Return a piece's cut size in mm, not to be parted at the end of a line."""
    return f"{mm(piece.width_mm, 1)}{NO_BREAK}×{NO_BREAK}{mm(piece.height_mm, 1)}"


def cut_words(piece: Piece) -> str:
    """Return a piece's size; where it is cut larger first, that size and the one to trim to."""
    if not piece.rough:
        return size_words(piece)
    first = f"{NO_BREAK}×{NO_BREAK}".join(mm(side, 1) for side in piece.first_cut_mm)
    return f"{first}, trim to {size_words(piece)}"


def _stuff(piece: Piece) -> str:
    if not piece.stock:
        return "the printed page itself"
    return f"{piece.material}, {mm(piece.thickness_mm)} mm"


def adhesives(pattern: Pattern) -> tuple[tuple[str, str], ...]:
    """Return every adhesive that a sheet or a step asks for, with the pieces it is for."""
    found: dict[str, dict[str, None]] = {}
    for part in pattern.parts:
        for piece in part.pieces:
            for zone in piece.zones:
                if zone.adhesive:
                    found.setdefault(zone.adhesive, {})[piece.title or piece.name] = None
    for step in pattern.steps:
        if step.adhesive:
            found.setdefault(step.adhesive, {})
    return tuple((name, "; ".join(pieces)) for name, pieces in found.items())


def _print_truth(width: float, correction: Correction) -> Strips:
    return paragraph(
        f"{PRINT_RULE} Printer correction in these sheets: {correction.words}. A checked sheet "
        f"can reach {ACHIEVABLE}.",
        width,
    )


def _ticked(entries: Sequence[str], width: float) -> Strips:
    """Return entries, each with a square to tick, as many in a line as it takes."""
    rows: list[Strips] = []
    x = width
    for entry in entries:
        words = paragraph(entry, width - TICK_ROOM_MM)
        wide = TICK_ROOM_MM + max(box_of(mark).right for one in words for mark in one.marks)
        if x + wide > width:
            rows.append((Strip(BODY * LEAD),))
            x = 0.0
        placed = beside(((tick(),), words), (x, x + TICK_ROOM_MM))
        rows[-1] = beside((rows[-1], placed), (0.0, 0.0))
        x += wide + BETWEEN_MM
    return tuple(strip for row in rows for strip in row)


def tick(height: float = BODY * LEAD) -> Strip:
    """Return a square to tick, standing on the baseline of a line of words."""
    low, high = BODY * BASE, BODY * BASE - TICK_MM + 0.3
    square = ((0.2, high), (TICK_MM + 0.2, high), (TICK_MM + 0.2, low + 0.3), (0.2, low + 0.3))
    return Strip(height, (Line(LineKind.DIMENSION, square, closed=True),))


def checks(pattern: Pattern, width: float) -> Strips:
    """Return the figures that can be compared with something outside the sheets."""
    rows = [
        (check.name, f"{_figure(check)}{NO_BREAK}{check.unit}".strip(), check.against)
        for part in pattern.parts
        for check in part.checks
    ]
    return _titled("Checks", ("What", "Here", "Against"), rows, width)


def _figure(check: Check) -> str:
    """Write a checked figure: a force with two figures, a length to the hundredth that calipers read, else four figures."""
    if check.unit in ("N", "mN"):
        return two_figures(check.value)
    return trimmed(check.value) if check.unit == "mm" else f"{check.value:.4g}"


def _titled(title: str, head: Sequence[str], rows: Sequence[Sequence[str]], width: float) -> Strips:
    """Return a headed table; nothing at all without rows."""
    return (*heading(title, width), *table(head, rows, width)) if rows else ()
