"""What stands on a page beside its content: title, title block, legend and the measured bars.

Four arrangements: `foot`, the title above and the title block below; `side`, both in a column at
the right; `edge`, everything in one low strip; `turned`, the same strip upright at the right, which
leaves the whole height. The measured bars stand in the margin, where they take room from nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Literal

from patterns.errors import PaperError
from patterns.model.capitals import BODY, HEAD, NAME, SCALE, SMALL, TITLE
from patterns.model.drawing import Line, LineKind, Mark, Words
from patterns.model.lettering import width_mm, wrap
from patterns.sheets import caution
from patterns.sheets.flow import BASE, CLOSE_BASE, close, fit, flowed, solid, stack
from patterns.sheets.legend import BASELINE, Sign, items
from patterns.sketch.marks import Block, Box, box_of, moved, rectangle, turned

Arrangement = Literal["foot", "side", "edge", "turned"]

MARGIN = 10.0
BAR = 100.0
CORNER = 5.2
"""Distance of both bars from the edges of the page: in the margin, where printers still print."""
MEASURE = "Before cutting, measure both bars (99.7–100.3 mm); lay the paper on the book."
RULES = "Local safety rules come first; in doubt ask a qualified person."
SOFT = 0.35
"""Grey of the small headings in the title block."""
COLUMN = 50.0
MAP = 20.0
"""Side of the square left for the key map at the left of the strip."""
LEGEND_GAP = 4.0
STRIP_GAP = 1.0
STRIP_OFF = 2.5
"""White between the strip and what stands on the page."""
REST_LINES = 2
"""So many lines of small words the strip has."""
ROW, LEVEL = 4.0, 3.05
"""Height of a line of the strip's legend, and its baseline from the top."""


@dataclass(frozen=True, slots=True)
class Heading:
    """What the title and the title block say."""

    title: str
    subtitle: str
    book_id: str
    book_title: str
    fields: tuple[tuple[str, str], ...]
    """Pairs such as Piece, Material, Grain, Made for."""
    page: int
    pages: int
    paper: str
    scale: str
    correction: str
    record_date: str
    version: str
    notes: str = ""
    """On which other pages it is told what stands here."""

    @property
    def pairs(self) -> tuple[tuple[str, str], ...]:
        """The fields, and the page as the last of them."""
        place = f"{self.page} of {self.pages} · {self.paper} · {self.scale}"
        return *self.fields, ("Page", place)

    @property
    def record(self) -> str:
        """Where notes stand, printer correction, record and version; of a page without a book the version."""
        if not self.correction:
            return f"mendfold {self.version}"
        told = f"{self.notes}. " if self.notes else ""
        dated = f"Record of {self.record_date}" if self.record_date else "Record undated"
        return f"{told}Printer correction: {self.correction}. {dated} · mendfold {self.version}"


@dataclass(frozen=True, eq=False)
class Frame:
    """A page's furniture: the box left for content; its marks are drawn when they are asked for."""

    box: Box
    draw: Callable[[], tuple[Mark, ...]]

    @cached_property
    def marks(self) -> tuple[Mark, ...]:
        """All its marks."""
        return self.draw()


@lru_cache(maxsize=256)
def frame(
    heading: Heading,
    width: float,
    height: float,
    legend: frozenset[Sign] = frozenset(),
    bars: bool = True,
    side: Arrangement = "foot",
    stretch: tuple[float, float] = (1.0, 1.0),
    mapped: bool = False,
    cuts: bool = True,
) -> Frame:
    """Return the furniture of a page and the box left for content, both in mm.

    `legend` lists the line kinds used (and "free"); `stretch` holds the printer's factors across
    and down, by which the bars are drawn longer; `mapped` keeps room for a key map in the strip of
    `edge` and `turned`; `cuts` says that something is cut by it, and what is heeded before. A page too low for the column of `side` is arranged as `foot`; PaperError for a page
    that cannot hold both bars.
    """
    if bars and min(width, height) < BAR * max(stretch) + 2 * CORNER + 2 * MARGIN:
        raise PaperError(
            f"a page of {width:g} × {height:g} mm is too small for two bars of 100 mm; "
            "give a larger paper, such as A4."
        )
    page = Box(MARGIN, MARGIN, width - MARGIN, height - MARGIN)
    made = _arranged(heading, page, legend, bars and cuts, side, mapped)
    if not bars:
        return made
    corner = width - CORNER, height - CORNER
    return Frame(made.box, lambda: (*made.draw(), *bar_marks(*corner, stretch)))


def _arranged(
    heading: Heading,
    page: Box,
    legend: Collection[Sign],
    cuts: bool,
    side: Arrangement,
    mapped: bool,
) -> Frame:
    if side == "edge":
        strip = _strip(heading, page.width, legend, mapped, cuts)
        top = page.bottom - strip.height
        box = Box(page.left, page.top, page.right, top - STRIP_OFF)
        return Frame(box, lambda: moved(strip.marks, page.left, top))
    if side == "turned":
        strip = _strip(heading, page.height, legend, mapped, cuts)
        left = page.right - strip.height
        box = Box(page.left, page.top, left - STRIP_OFF, page.bottom)
        return Frame(box, lambda: moved(turned(strip.marks), left, page.bottom))
    if side == "side":
        column = _column(heading, legend, cuts)
        if column.height <= page.height:
            left = page.right - COLUMN
            rule = Line(LineKind.FRAME, ((left - 4, page.top), (left - 4, page.bottom)))
            box = Box(page.left, page.top, left - 8, page.bottom)
            return Frame(box, lambda: (rule, *moved(column.marks, left, page.top)))
    head, foot = _head(heading, page.width), _foot(heading, page.width, legend, cuts)
    bottom = page.bottom - foot.height
    box = Box(page.left, page.top + head.height + 4, page.right, bottom - 3)
    lefts = page.left, page.top
    return Frame(box, lambda: (*moved(head.marks, *lefts), *moved(foot.marks, page.left, bottom)))


def bar_marks(right: float, bottom: float, stretch: tuple[float, float]) -> tuple[Mark, ...]:
    """Return two bars of 100 mm at right angles in the page's margin, a tick each centimetre.

    Their common corner is at (right, bottom); the words stand at their far ends.
    """
    left, top = right - BAR * stretch[0], bottom - BAR * stretch[1]
    made: list[Mark] = [
        Line(LineKind.BAR, ((left, bottom), (right, bottom))),
        Line(LineKind.BAR, ((right, top), (right, bottom))),
    ]
    for i in range(1, 11):
        tick = 3.0 if i == 10 else 2.2 if i == 5 else 1.4
        x, y = right - i * BAR / 10 * stretch[0], bottom - i * BAR / 10 * stretch[1]
        made.append(Line(LineKind.BAR, ((x, bottom), (x, bottom - tick))))
        made.append(Line(LineKind.BAR, ((right, y), (right - tick, y))))
    made.append(Words((left - 1.6, bottom - 0.7), "100 mm", BODY, anchor="end"))
    made.append(Words((right - 0.7, top - 1.6), "100 mm", BODY, angle_deg=90))
    return tuple(made)


def titled(heading: Heading, cap: float, small: float, width: float) -> tuple[str, float]:
    """Return a title and its height that leave the subtitle room within `width`.

    A long title is set smaller, then without what follows its first comma, which the fields below
    repeat; one still too long ends in ….
    """
    beside = width_mm(heading.subtitle, small) + 6 if heading.subtitle else 0.0
    short = heading.title.partition(", ")[0]
    less = next((one for one in SCALE if one < cap), cap)
    ways = [(heading.title, cap), (heading.title, less), (short, cap), (short, less)]
    for title, height in ways:
        if width_mm(title, height, bold=True) + beside <= width:
            return title, height
    title, height = ways[-1]
    return fit(title, height, width * 0.8, bold=True), height


def _head(heading: Heading, width: float) -> Block:
    """Return title and subtitle at the left, the book at the right, a rule below."""
    title, cap = titled(heading, TITLE, HEAD, width * 0.72)
    after = width_mm(title, cap, bold=True) + 6
    book_id = fit(heading.book_id, HEAD, width * 0.4, bold=True)
    right = width_mm(book_id, HEAD, bold=True)
    subtitle = fit(heading.subtitle, HEAD, width - after - right - 6)
    room = width - after - 6
    book = fit(heading.book_title, BODY, room if not subtitle else width * 0.4)
    if subtitle:
        room = width - after - max(right, width_mm(book, BODY)) - 6
        subtitle = fit(heading.subtitle, HEAD, room)
    marks = (
        Words((0.0, 8.0), title, cap, bold=True),
        Words((after, 8.0), subtitle, HEAD, grey=0.15),
        Words((width, 4.0), book_id, HEAD, bold=True, anchor="end"),
        Words((width, 8.6), book, BODY, anchor="end", grey=0.15),
        Line(LineKind.FRAME, ((0.0, 11.0), (width, 11.0))),
    )
    return Block(width, 11.0, tuple(m for m in marks if not isinstance(m, Words) or m.text))


def _pair(name: str, value: str, width: float) -> Block:
    """Return a field's name with its value below it, on two lines at most."""
    lines = wrap(value, SMALL, width, bold=True)
    if len(lines) > 2:
        lines = (lines[0], fit(" ".join(lines[1:]), SMALL, width, bold=True))
    named = close(name, SMALL, width, grey=SOFT)
    return stack((named, close(lines, SMALL, width, bold=True)), gap=0.4)


def _foot(heading: Heading, width: float, legend: Collection[Sign], cuts: bool) -> Block:
    """Return the title block with the legend below it."""
    rule = Block(width, 1.0, (Line(LineKind.FRAME, ((0.0, 0.0), (width, 0.0))),))
    return stack(
        (
            rule,
            _table(_steady(heading), width),
            close(heading.record, SMALL, width),
            *([_care(width)] if cuts else []),
            flowed(items(legend), width),
        ),
        gap=1.6,
    )


def _steady(heading: Heading) -> tuple[tuple[str, str], ...]:
    return tuple((name, value or "–") for name, value in heading.pairs)


def _table(pairs: Sequence[tuple[str, str]], width: float, gap: float = 5.0) -> Block:
    """Return the pairs side by side, in two rows when one is too narrow."""
    natural = [
        max(width_mm(name, SMALL), width_mm(value, SMALL, bold=True)) + gap for name, value in pairs
    ]
    if len(pairs) > 1 and sum(natural) - gap > width * (1.35 if len(pairs) < 4 else 1.0):
        half = (len(pairs) + 1) // 2
        return stack((_table(pairs[:half], width, gap), _table(pairs[half:], width, gap)), 1.0)
    spare = width + gap - sum(natural)
    widths = [w + spare / len(natural) for w in natural]
    if spare < 0:
        widths = [w * (width + gap) / sum(natural) for w in natural]
    marks: list[Mark] = []
    height, x = 0.0, 0.0
    for (name, value), wide in zip(pairs, widths, strict=True):
        cell = _pair(name, value, wide - gap + 0.01)
        marks += moved(cell.marks, x, 0.0)
        height, x = max(height, cell.height), x + wide
    return Block(width, height, tuple(marks))


def _column(heading: Heading, legend: Collection[Sign], cuts: bool) -> Block:
    """Return title, title block and legend as one column."""
    width = COLUMN
    rule = Block(COLUMN, 1.2, (Line(LineKind.FRAME, ((0.0, 0.6), (COLUMN, 0.6))),))
    return stack(
        (
            close(heading.title, NAME, COLUMN, bold=True),
            close(heading.subtitle, BODY, COLUMN, grey=0.15),
            rule,
            close(heading.book_id, HEAD, COLUMN, bold=True),
            close(wrap(heading.book_title, BODY, COLUMN)[:3], BODY, COLUMN, grey=0.15),
            rule,
            *(_pair(name, value, width) for name, value in _steady(heading)),
            *([_care(width)] if cuts else []),
            close(heading.record, SMALL, width),
            *items(legend, width),
        ),
        gap=1.8,
    )


def _strip(
    heading: Heading, length: float, legend: Collection[Sign], mapped: bool, cuts: bool
) -> Block:
    """Return everything in one low strip under a rule, room for a key map at its left."""
    left = MAP + 4 if mapped else 0.0
    width = length - left
    words = stack(
        (
            _named(heading, width),
            close(_rest(heading, width), SMALL, width),
            _heeded(legend, width, cuts),
        ),
        gap=STRIP_GAP,
    )
    rule = Line(LineKind.FRAME, ((0.0, 0.0), (length, 0.0)))
    height = 1.5 + max(words.height, MAP if mapped else 0.0)
    return Block(length, height, late=lambda: (rule, *moved(words.marks, left, 1.5)))


def _named(heading: Heading, width: float) -> Block:
    """Return title and subtitle at the left, the page and the book at the right, in one line."""
    told = " · ".join(one for one in (heading.book_id, heading.book_title) if one)
    named = width_mm(heading.title, HEAD, True) + width_mm(heading.subtitle, BODY) + 12
    most = max(width * 0.42, width - named)
    told = fit(f"page {heading.page} of {heading.pages} · {told}", BODY, most)
    room = width - width_mm(told, BODY) - 4
    title, cap = titled(heading, HEAD, BODY, room)
    after = width_mm(title, cap, bold=True) + 4
    marks = (
        Words((0.0, 3.45), title, cap, bold=True),
        Words((after, 3.45), fit(heading.subtitle, BODY, room - after), BODY),
        Words((width, 3.45), told, BODY, anchor="end"),
    )
    return Block(width, 4.5, tuple(one for one in marks if one.text))


def _rest(heading: Heading, width: float) -> tuple[str, ...]:
    """Return what the strip says besides, in two lines: nothing that stands in title and subtitle.

    Where they do not hold all, the last fields, which are said beside the pieces, are left out.
    """
    told = {heading.title.lower(), heading.subtitle.lower()}
    fields = [
        f"{name}: {value}." for name, value in heading.fields if value and value.lower() not in told
    ]
    while True:
        words = (f"{heading.paper} · {heading.scale}.", *fields, f"{heading.record}. {RULES}")
        lines = wrap(" ".join(words), SMALL, width)
        if len(lines) <= REST_LINES or not fields:
            return lines
        fields.pop()


def legend_mm(
    legend: frozenset[Sign], size: tuple[float, float], side: Arrangement, mapped: bool
) -> float:
    """Return what a legend takes of the strip of `edge` or `turned`, in mm across the strip."""
    length = (size[0] if side == "edge" else size[1]) - 2 * MARGIN
    width = length - (MAP + 4 if mapped else 0.0)
    return _heeded_mm(legend, width) - _heeded_mm(frozenset(), width)


@lru_cache(maxsize=1024)
def _heeded_mm(legend: frozenset[Sign], width: float) -> float:
    return _heeded(legend, width).height


def _heeded(legend: Collection[Sign], width: float, cuts: bool = True) -> Block:
    """Return what is to be heeded before the first cut and the signs of the legend, line by line."""
    bases = (BODY * CLOSE_BASE, BODY * BASE)
    told = [
        Block(one.width, max(ROW, one.height + LEVEL - base), parts=((one, 0.0, LEVEL - base),))
        for one, base in (
            *(zip(_cares(width), bases, strict=True) if cuts else ()),
            *((one, BASELINE) for one in items(legend)),
        )
    ]
    return flowed(told, width, gap=LEGEND_GAP, between=STRIP_GAP)


@lru_cache(maxsize=64)
def _cares(width: float) -> tuple[Block, ...]:
    """Return what is said of the bars and of the knife, each as wide as its words."""
    rows = (
        close(MEASURE, BODY, width, bold=True),
        solid(caution.few_words(("knife",), width), width),
    )
    return tuple(
        Block(max(box_of(mark).right for mark in one.marks), one.height, one.marks) for one in rows
    )


def _care(width: float) -> Block:
    """Return what is to be heeded before the first cut: the bars, the knife, the place's rules."""
    rules = close(RULES, SMALL, width)
    wide = max(box_of(mark).right for mark in rules.marks)
    return flowed((*_cares(width), Block(wide, rules.height, rules.marks)), width, gap=4.0)


def map_room(frame_box: Box, side: Arrangement, height: float) -> Box:
    """Return the square of the key map on a page of a height, arranged as `edge` or `turned`."""
    if side == "turned":
        left, bottom = frame_box.right + 4.5, height - MARGIN
        return Box(left, bottom - MAP, left + MAP, bottom)
    top = frame_box.bottom + 4.5
    return Box(frame_box.left, top, frame_box.left + MAP, top + MAP)


def boxed(text: str, width: float) -> Block:
    """Return words that must not be missed in a frame of their own."""
    inner = close(text, BODY, width - 6, bold=True)
    height = inner.height + 4.4
    outline = rectangle(LineKind.FRAME, Box(0.25, 0.25, width - 0.25, height - 0.25))
    return Block(width, height, (outline, *moved(inner.marks, 3.0, 2.2)))
