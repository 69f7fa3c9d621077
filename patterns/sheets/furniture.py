"""What stands on a page beside its content: title, title block, legend and the measured bars.

Three arrangements: `foot`, the title above and the title block below; `side`, both in a column at
the right; `edge`, everything in one low strip, which leaves most room for a tile.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Literal

from patterns.errors import PaperError
from patterns.model.drawing import Line, LineKind, Mark, Words
from patterns.model.lettering import width_mm, wrap
from patterns.sheets.flow import BODY, SMALL, close, fit, flowed, stack
from patterns.sheets.legend import Sign, items
from patterns.sketch.marks import Block, Box, moved, rectangle

Arrangement = Literal["foot", "side", "edge"]

MARGIN = 10.0
VALUE = 2.1
BAR = 100.0
BAR_BAND = 8.0
MEASURE = "Measure both bars before cutting (99.7–100.3 mm)."
SOFT = 0.35
"""Grey of the small headings in the title block."""
COLUMN = 50.0


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

    @property
    def pairs(self) -> tuple[tuple[str, str], ...]:
        """The fields, and the page as the last of them."""
        place = f"{self.page} of {self.pages} · {self.paper} · {self.scale}"
        return *self.fields, ("Page", place)

    @property
    def record(self) -> str:
        """Printer correction, record and version in one line."""
        dated = f"Record of {self.record_date}" if self.record_date else "Record undated"
        return f"Printer correction: {self.correction}. {dated} · mendfold {self.version}"


@dataclass(frozen=True, slots=True)
class Frame:
    """A page's furniture: its marks, the box left for content, and where the bars stand in it."""

    marks: tuple[Mark, ...]
    box: Box
    taken: tuple[Box, ...] = ()


def dress(
    heading: Heading,
    width_mm: float,
    height_mm: float,
    legend: Collection[Sign] = (),
    bars: bool = True,
    side: Arrangement = "foot",
    stretch: tuple[float, float] = (1.0, 1.0),
) -> tuple[tuple[Mark, ...], Box]:
    """Return the marks of the page's furniture and the box left for content, both in mm.

    `legend` lists the line kinds used (and "free"); `stretch` holds the printer's factors across
    and down, by which the bars are drawn longer.
    """
    made = frame(heading, width_mm, height_mm, legend, bars, side, stretch)
    box = made.box
    if made.taken and side != "edge":
        box = Box(box.left, box.top, box.right - BAR_BAND - 1, box.bottom - BAR_BAND - 1)
    return made.marks, box


def frame(
    heading: Heading,
    width: float,
    height: float,
    legend: Collection[Sign],
    bars: bool,
    side: Arrangement,
    stretch: tuple[float, float] = (1.0, 1.0),
    mapped: bool = False,
) -> Frame:
    """Return the furniture of a page; the box still contains the bars, listed in `taken`.

    `mapped` keeps room for a key map in the strip of `edge`.
    A page too low for the column of `side` is arranged as `foot`; PaperError where the bars have
    no room in that either.
    """
    page = Box(MARGIN, MARGIN, width - MARGIN, height - MARGIN)
    if side == "edge":
        return _edge(heading, page, legend, stretch, mapped)
    if side == "side":
        column = _column(heading, legend, bars)
        if column.height <= page.height - (BAR_BAND + 2 if bars else 0):
            left = page.right - COLUMN
            rule = Line(LineKind.FRAME, ((left - 4, page.top), (left - 4, page.bottom)))
            if bars:
                rule = Line(
                    LineKind.FRAME, ((left - 4, page.top), (left - 4, page.bottom - BAR_BAND - 2))
                )
            box = Box(page.left, page.top, left - 8, page.bottom)
            return _barred((rule, *moved(column.marks, left, page.top)), box, page, bars, stretch)
    head, foot = _head(heading, page.width), _foot(heading, page.width, legend, bars)
    top = page.top + head.height
    bottom = page.bottom - foot.height
    marks = (*moved(head.marks, page.left, page.top), *moved(foot.marks, page.left, bottom))
    box = Box(page.left, top + 4, page.right, bottom - 3)
    if bars and box.height < BAR * stretch[1] + 2:
        raise PaperError(
            f"--paper: a page of {width:g} × {height:g} mm is too low for a bar of 100 mm beside its "
            "title block; give a larger paper, such as A4."
        )
    return _barred(marks, box, box, bars, stretch)


def _barred(
    marks: tuple[Mark, ...], box: Box, corner: Box, bars: bool, stretch: tuple[float, float]
) -> Frame:
    if not bars:
        return Frame(marks, box)
    across, down = bar_marks(corner.right, corner.bottom, stretch)
    taken = tuple(
        Box(max(b.left, box.left), max(b.top, box.top), min(b.right, box.right), b.bottom)
        for b in bar_boxes(corner.right, corner.bottom, stretch)
        if b.left < box.right
    )
    return Frame((*marks, *across, *down), box, taken)


def bar_boxes(right: float, bottom: float, stretch: tuple[float, float]) -> tuple[Box, Box]:
    """Return the room of the two bars whose common corner is at (right, bottom)."""
    across, down = BAR * stretch[0], BAR * stretch[1]
    return (
        Box(right - across - 2, bottom - BAR_BAND, right, bottom),
        Box(right - BAR_BAND, bottom - down - 2, right, bottom),
    )


def bar_marks(
    right: float, bottom: float, stretch: tuple[float, float]
) -> tuple[tuple[Mark, ...], tuple[Mark, ...]]:
    """Return two bars of 100 mm at right angles, with a tick each centimetre and their words."""
    steps = [(i * BAR / 10, 3.0 if i in (0, 10) else 2.2 if i == 5 else 1.4) for i in range(11)]
    left, top = right - BAR * stretch[0], bottom - BAR * stretch[1]
    across: list[Mark] = [Line(LineKind.BAR, ((left, bottom), (right, bottom)))]
    down: list[Mark] = [Line(LineKind.BAR, ((right, top), (right, bottom)))]
    for at, tick in steps:
        x, y = right - at * stretch[0], bottom - at * stretch[1]
        if at:
            across.append(Line(LineKind.BAR, ((x, bottom), (x, bottom - tick))))
            down.append(Line(LineKind.BAR, ((right, y), (right - tick, y))))
    half = BAR / 2
    middle = (right - half * stretch[0], bottom - 3.6), (right - 3.6, bottom - half * stretch[1])
    across.append(Words(middle[0], "100 mm", BODY, anchor="middle"))
    down.append(Words(middle[1], "100 mm", BODY, anchor="middle", angle_deg=90))
    return tuple(across), tuple(down)


def titled(heading: Heading, cap: float, small: float, width: float) -> tuple[str, float]:
    """Return a title and its height that leave the subtitle room within `width`.

    A long title is set smaller, then without what follows its first comma, which the fields below
    repeat; one still too long ends in ….
    """
    beside = width_mm(heading.subtitle, small) + 6 if heading.subtitle else 0.0
    short = heading.title.partition(", ")[0]
    ways = [(heading.title, cap), (heading.title, cap * 0.85), (short, cap), (short, cap * 0.85)]
    for title, height in ways:
        if width_mm(title, height, bold=True) + beside <= width:
            return title, height
    title, height = ways[-1]
    return fit(title, height, width * 0.8, bold=True), height


def _head(heading: Heading, width: float) -> Block:
    """Return title and subtitle at the left, the book at the right, a rule below."""
    title, cap = titled(heading, 5.2, 3.0, width * 0.72)
    after = width_mm(title, cap, bold=True) + 6
    book_id = fit(heading.book_id, 3.2, width * 0.4, bold=True)
    right = width_mm(book_id, 3.2, bold=True)
    subtitle = fit(heading.subtitle, 3.0, width - after - right - 6)
    room = width - after - 6
    book = fit(heading.book_title, BODY, room if not subtitle else width * 0.4)
    if subtitle:
        room = width - after - max(right, width_mm(book, BODY)) - 6
        subtitle = fit(heading.subtitle, 3.0, room)
    marks = (
        Words((0.0, 8.0), title, cap, bold=True),
        Words((after, 8.0), subtitle, 3.0, grey=0.15),
        Words((width, 4.0), book_id, 3.2, bold=True, anchor="end"),
        Words((width, 8.6), book, BODY, anchor="end", grey=0.15),
        Line(LineKind.FRAME, ((0.0, 11.0), (width, 11.0))),
    )
    return Block(width, 11.0, tuple(m for m in marks if not isinstance(m, Words) or m.text))


def _pair(name: str, value: str, width: float) -> Block:
    """Return a field's name with its value below it, on two lines at most."""
    lines = wrap(value, VALUE, width, bold=True)
    if len(lines) > 2:
        lines = (lines[0], fit(" ".join(lines[1:]), VALUE, width, bold=True))
    named = close(name, SMALL, width, grey=SOFT)
    return stack((named, close(lines, VALUE, width, bold=True)), gap=0.4)


def _foot(heading: Heading, width: float, legend: Collection[Sign], bars: bool) -> Block:
    """Return the title block with the legend below it."""
    rule = Block(width, 1.0, (Line(LineKind.FRAME, ((0.0, 0.0), (width, 0.0))),))
    told = [*([MEASURE] if bars else []), heading.record]
    lines = wrap(" ".join(told), SMALL, width)
    return stack(
        (
            rule,
            _table(_steady(heading), width),
            close(lines, SMALL, width),
            flowed(items(legend), width),
        ),
        gap=1.6,
    )


def _steady(heading: Heading) -> tuple[tuple[str, str], ...]:
    return tuple((name, value or "–") for name, value in heading.pairs)


def _table(pairs: Sequence[tuple[str, str]], width: float, gap: float = 5.0) -> Block:
    """Return the pairs side by side, in two rows when one is too narrow."""
    natural = [
        max(width_mm(name, SMALL), width_mm(value, VALUE, bold=True)) + gap for name, value in pairs
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


def _column(heading: Heading, legend: Collection[Sign], bars: bool) -> Block:
    """Return title, title block and legend as one column, clear of the bar at its right."""
    width = COLUMN - (BAR_BAND + 2 if bars else 0)
    rule = Block(COLUMN, 1.2, (Line(LineKind.FRAME, ((0.0, 0.6), (COLUMN, 0.6))),))
    return stack(
        (
            close(heading.title, 4.2, COLUMN, bold=True),
            close(heading.subtitle, BODY, COLUMN, grey=0.15),
            rule,
            close(heading.book_id, 3.0, COLUMN, bold=True),
            close(wrap(heading.book_title, BODY, COLUMN)[:3], BODY, COLUMN, grey=0.15),
            rule,
            *(_pair(name, value, width) for name, value in _steady(heading)),
            *([close(MEASURE, SMALL, width, bold=True)] if bars else []),
            close(heading.record, SMALL, width),
            *items(legend, width),
        ),
        gap=1.8,
    )


def _edge(
    heading: Heading,
    page: Box,
    legend: Collection[Sign],
    stretch: tuple[float, float],
    mapped: bool,
) -> Frame:
    """Return one low strip: the key map's room, words above the bar; the other bar at the right."""
    right = page.right - BAR_BAND - 2
    left = page.left + (MAP + 4 if mapped else 0.0)
    width = right - left
    title, cap = titled(heading, 3.0, BODY, width)
    after = width_mm(title, cap, bold=True) + 4
    name = Block(width, 4.5, (Words((0.0, 3.45), title, cap, bold=True),))
    subtitle = fit(heading.subtitle, BODY, width - after)
    told = f"{heading.book_id} · {heading.book_title}. Page {heading.pairs[-1][1]}. "
    told += "".join(f"{name}: {value}. " for name, value in heading.fields if value)
    words = stack(
        (
            Block(width, name.height, (*name.marks, Words((after, 3.45), subtitle, BODY))),
            close(f"{told}{heading.record}. {MEASURE}", SMALL, width),
            flowed(items(legend), width, gap=5.0),
        ),
        gap=1.0,
    )
    top = page.bottom - max(words.height + BAR_BAND + 1, MAP if mapped else 0.0)
    marks = (
        Line(LineKind.FRAME, ((page.left, top - 2), (right, top - 2))),
        *moved(words.marks, left, top),
    )
    across, down = bar_marks(page.right, page.bottom, stretch)
    return Frame(
        (*(m for m in (*marks, *across, *down) if not isinstance(m, Words) or m.text),),
        Box(page.left, page.top, right, top - 4),
    )


MAP = 24.0
"""Side of the square left for the key map at the left of the strip."""


def map_room(frame_box: Box) -> Box:
    """Return the square of the key map for a page arranged as `edge`."""
    top = frame_box.bottom + 4
    return Box(frame_box.left, top, frame_box.left + MAP, top + MAP)


def as_cut(width: float) -> Block:
    """Return the form that a person fills in: laid on the book, sizes as cut, by whom, when."""
    cap = BODY
    pad, pitch = 2.2, 5.6
    inner = width - 2 * pad
    square = Box(pad, pad, pad + 3.2, pad + 3.2)
    one_row = inner >= 118

    def ruled(x: float, y: float, word: str, room: float) -> list[Mark]:
        start = x + width_mm(word, cap) + 1.2
        return [
            Words((x, y), word, cap),
            Line(LineKind.REFERENCE, ((start, y + 0.6), (x + room, y + 0.6))),
        ]

    first = pad + 2.9
    marks: list[Mark] = [
        rectangle(LineKind.OUTLINE, square),
        Words((square.right + 1.8, first), "laid on the book", cap),
    ]
    if one_row:
        x = square.right + 1.8 + width_mm("laid on the book", cap) + 4
        rest = width - pad - x
        for word, share in (("as cut", 0.42), ("cut by", 0.30), ("date", 0.28)):
            marks += ruled(x, first, word, rest * share - 2)
            x += rest * share
        height = first + 0.35 * cap + pad
    else:
        marks += ruled(pad, first + pitch, "as cut", inner)
        marks += ruled(pad, first + 2 * pitch, "cut by", inner * 0.5)
        marks += ruled(pad + inner * 0.53, first + 2 * pitch, "date", inner * 0.47)
        height = first + 2 * pitch + 0.35 * cap + pad
    outline = rectangle(LineKind.REFERENCE, Box(0.0, 0.0, width, height))
    return Block(width, height, (outline, *marks))


def boxed(text: str, width: float) -> Block:
    """Return words that must not be missed in a frame of their own."""
    inner = close(text, BODY, width - 6, bold=True)
    height = inner.height + 4.4
    outline = rectangle(LineKind.FRAME, Box(0.25, 0.25, width - 0.25, height - 0.25))
    return Block(width, height, (outline, *moved(inner.marks, 3.0, 2.2)))
