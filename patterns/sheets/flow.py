"""Words, tables and figures that flow down a column, and on to the next when it is full.

Everything is first made into strips, each as high as one line (or one figure). Strips that belong
together say so, and are parted only when even an empty column is too short for them.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import chain, zip_longest
from typing import Final

from patterns.model.capitals import BODY, HEAD
from patterns.model.drawing import Line, LineKind, Mark, Words
from patterns.model.lettering import width_mm, wrap
from patterns.sketch.marks import LEADING, Block, box_of, moved

LEAD = 1.8
"""Height of a line as a multiple of its capitals."""
BASE = 1.32
"""Baseline below the top of the line, in the same measure."""
GUTTER = 5.0
CLOSE_BASE, CLOSE_END = 1.15, 1.5
"""Set close: first baseline, and height of a last line, as multiples of the capital's height."""


@dataclass(slots=True, unsafe_hash=True)
class Strip:
    """A slice of a column, its marks drawn from its own top left corner; frozen as marks are.

    `keep` holds it on the same page as the strip that follows; one that `opens` begins a column;
    what is `firm` is never set closer.
    """

    height_mm: Final[float]
    marks: Final[tuple[Mark, ...]] = ()
    keep: Final[bool] = False
    opens: Final[bool] = False
    firm: Final[bool] = False


EMPTY = Strip(0.0)
Strips = tuple[Strip, ...]
Cell = str | Strip
"""What stands in a table: words, or one ready strip such as a blank to write on."""


def gap(height_mm: float) -> Strips:
    """Return white space, dropped where a column begins with it."""
    return (Strip(height_mm),)


def opening(strips: Sequence[Strip]) -> Strips:
    """Return the strips, the first of them to begin a column."""
    return tuple(
        strip if strip.opens is (place == 0) else replace(strip, opens=place == 0)
        for place, strip in enumerate(strips)
    )


def height_mm(strips: Iterable[Strip], share: float = 1.0) -> float:
    """Return how high a column of these strips is, with only a share of the white between them."""
    if share == 1.0:
        return sum([strip.height_mm for strip in strips])
    return sum([one.height_mm * (1.0 if one.marks or one.firm else share) for one in strips])


def tightened(strips: Strips, share: float) -> Strips:
    """Return the strips with only a share of the white between them."""
    if share == 1.0:
        return strips
    return tuple(strip if strip.marks or strip.firm else _white(strip, share) for strip in strips)


def _white(strip: Strip, share: float) -> Strip:
    return Strip(strip.height_mm * share, (), strip.keep, strip.opens, strip.firm)


def together(strips: Iterable[Strip]) -> Strips:
    """Return the strips bound to each other; the last is left free of what follows."""
    every = list(strips)
    bound = [Strip(one.height_mm, one.marks, True, one.opens) for one in every[:-1]]
    return (*bound, *(Strip(one.height_mm, one.marks, False, one.opens) for one in every[-1:]))


def inset(strips: Iterable[Strip], dx: float) -> Strips:
    """Return the strips with their marks moved to the right by dx."""
    if dx == 0.0:
        return tuple(strips)
    return tuple(
        Strip(one.height_mm, moved(one.marks, dx, 0.0), one.keep, one.opens) for one in strips
    )


def paragraph(text: str, width: float, bold: bool = False, cap: float = BODY) -> Strips:
    """Return the text wrapped to a width in mm, one strip a line."""
    return tuple(
        Strip(cap * LEAD, (Words((0.0, cap * BASE), line, cap, bold),))
        for line in wrap(text, cap, width, bold)
    )


def stopped(text: str) -> str:
    """Return a sentence with its full stop.

    >>> stopped("lift it out"), stopped("Lift it out.")
    ('lift it out.', 'Lift it out.')
    """
    return text if text.endswith((".", "!", "?")) else f"{text}."


def close(
    lines: str | Sequence[str], cap: float, width: float, bold: bool = False, grey: float = 0.0
) -> Block:
    """Return words set close beside a drawing: a text wrapped to a width, or lines as they are."""
    if isinstance(lines, str):
        told: Sequence[str] = wrap(lines, cap, width, bold)
        wide = width
    else:
        told, wide = lines, max([width, *(width_mm(line, cap, bold) for line in lines)])
    marks: list[Mark] = []
    y = 0.0
    for place, line in enumerate(told, start=1):
        marks.append(Words((0.0, y + cap * CLOSE_BASE), line, cap, bold, grey=grey))
        y += cap * (CLOSE_END if place == len(told) else LEADING)
    return Block(wide, y, tuple(marks))


def solid(strips: Iterable[Strip], width: float) -> Block:
    """Return strips set below one another as one block `width` mm wide."""
    placed: list[tuple[float, Strip]] = []
    y = 0.0
    for strip in strips:
        placed.append((y, strip))
        y += strip.height_mm
    return Block(width, y, late=lambda: poured(placed))


def heading(text: str, width: float) -> Strips:
    """Return a section's name over a thin rule, kept with what follows."""
    rule = Strip(2.4, (Line(LineKind.OUTLINE, ((0.0, 0.6), (width, 0.6))),), keep=True)
    words = (replace(strip, keep=True) for strip in paragraph(text, width, bold=True, cap=HEAD))
    return (*gap(4.0), *words, rule)


def beside(columns: Sequence[Sequence[Strip]], lefts: Sequence[float]) -> Strips:
    """Return runs of lines side by side, each from its own left edge, bound together."""
    made: list[Strip] = []
    last = max(map(len, columns), default=0)
    for number, row in enumerate(zip_longest(*columns, fillvalue=EMPTY), start=1):
        marks = [moved(one.marks, x, 0.0) for one, x in zip(row, lefts, strict=True)]
        height = max([strip.height_mm for strip in row])
        made.append(Strip(height, tuple(chain.from_iterable(marks)), number < last))
    return tuple(made)


def barred(strips: Sequence[Strip], indent: float = 4.0) -> Strips:
    """Return the strips moved in behind a heavy upright bar: a warning nobody overlooks."""
    return tuple(
        replace(
            strip,
            marks=(Line(LineKind.SEWN_OUTSIDE, ((0.8, 0.0), (0.8, strip.height_mm))), *strip.marks),
        )
        for strip in inset(strips, indent)
    )


def table(head: Sequence[str], rows: Sequence[Sequence[Cell]], width: float) -> Strips:
    """Return rows of cells under a bold head, columns as wide as their words ask and allow.

    Words beside a ready strip keep their own lines together, whatever its height.
    """
    if not rows:
        return ()
    widths = _column_widths([head, *rows], width)
    lefts = [sum(widths[:i]) + GUTTER * i for i in range(len(widths))]
    strips: list[Strip] = []
    for number, row in enumerate([head, *rows]):
        cells = [_cell(cell, wide, number == 0) for cell, wide in zip(row, widths, strict=True)]
        if any(isinstance(cell, Strip) for cell in row):
            cells = [(_one(cell, wide),) for cell, wide in zip(cells, widths, strict=True)]
        *upper, last = beside(cells, lefts)
        strips += [*upper, _ruled(last, width, keep=number == 0)]
    return tuple(strips)


def table_width(rows: Sequence[Sequence[Cell]]) -> float:
    """Return the width of a table whose every cell stands on one line."""
    wants = [max(_want(cell) for cell in column) for column in zip(*rows, strict=True)]
    return sum(wants) + GUTTER * (len(wants) - 1)


def _cell(cell: Cell, width: float, bold: bool) -> Strips:
    if isinstance(cell, Strip):
        return (cell,)
    return paragraph(cell, width, bold) or (Strip(BODY * LEAD),)


def _one(strips: Strips, width: float) -> Strip:
    """Return strips set below one another as one."""
    block = solid(strips, width)
    return Strip(block.height, block.marks)


def _ruled(strip: Strip, width: float, keep: bool) -> Strip:
    """Return the strip a little higher, closed by a hair line."""
    low = strip.height_mm + 0.5
    line = Line(LineKind.REFERENCE, ((0.0, low), (width, low)))
    return Strip(low + 0.8, (*strip.marks, line), keep)


def _column_widths(rows: Sequence[Sequence[Cell]], width: float) -> list[float]:
    """Share a width out: what every column needs for its longest word first, then by want."""
    count = len(rows[0])
    room = width - GUTTER * (count - 1)
    wants = [max(_want(cell) for cell in column) for column in zip(*rows, strict=True)]
    needs = [max(_need(cell) for cell in column) for column in zip(*rows, strict=True)]
    if sum(wants) <= room:
        return wants
    cap = _cap(needs, room)
    needs = [min(need, cap) for need in needs]
    lacks = [want - need for want, need in zip(wants, needs, strict=True)]
    spare = (room - sum(needs)) / sum(lacks)
    return [need + spare * lack for need, lack in zip(needs, lacks, strict=True)]


def _cap(needs: Sequence[float], room: float) -> float:
    """Return the width that no column may exceed, so that only the longest words are parted.

    >>> _cap([10.0, 10.0, 60.0], 50.0), _cap([10.0, 30.0, 30.0], 50.0)
    (30.0, 20.0)
    """
    left = room
    for narrower, need in enumerate(sorted(needs)):
        share = left / (len(needs) - narrower)
        if need > share:
            return share
        left -= need
    return room


def _want(cell: Cell) -> float:
    """Return the width of a cell on one line."""
    if isinstance(cell, Strip):
        return max((box_of(mark).right for mark in cell.marks), default=0.0)
    return width_mm(cell, BODY, bold=True) + 0.1


def _need(cell: Cell) -> float:
    """Return the width of a cell's longest word."""
    if isinstance(cell, Strip):
        return _want(cell)
    return max((width_mm(word, BODY, bold=True) for word in cell.split(" ")), default=0.0) + 0.1


def pour(strips: Sequence[Strip], height: float) -> list[tuple[Mark, ...]]:
    """Fill columns of the given height from the top; return the marks of each.

    Strips bound together move on to the next column as one, unless no column holds them.
    Raises ValueError for a single strip higher than a column.
    """
    return [poured(column) for column in placed(strips, height)]


Placed = list[tuple[float, Strip]]
"""The strips of a column with their places from its top."""


def poured(column: Placed) -> tuple[Mark, ...]:
    """Return the marks of a filled column."""
    return tuple(mark for y, strip in column for mark in moved(strip.marks, 0.0, y))


def placed(strips: Sequence[Strip], height: float) -> list[Placed]:
    """Return the columns that `pour` fills."""
    columns: list[Placed] = [[]]
    y = 0.0
    for bound in _chains(strips):
        tall = height_mm(bound) if len(bound) > 1 else bound[0].height_mm
        if y and bound[0].opens:
            columns.append([])
            y = 0.0
        if y and y + tall > height and (tall <= height or y > height * 0.6):
            columns.append([])
            y = 0.0
        for strip in bound:
            if y == 0.0 and not strip.marks:
                continue
            if strip.height_mm > height:
                raise ValueError(f"a strip {strip.height_mm:.1f} mm high has no place")
            if y + strip.height_mm > height:
                columns.append([])
                y = 0.0
            columns[-1].append((y, strip))
            y += strip.height_mm
    return [column for column in columns if any(strip.marks for _, strip in column)]


def _chains(strips: Iterable[Strip]) -> Iterable[list[Strip]]:
    bound: list[Strip] = []
    for strip in strips:
        bound.append(strip)
        if not strip.keep:
            yield bound
            bound = []
    if bound:
        yield bound


def fit(text: str, cap: float, width: float, bold: bool = False) -> str:
    """Return the text, shortened with … where it would be wider than `width`."""
    if width_mm(text, cap, bold) <= width:
        return text
    kept = text
    while kept and width_mm(kept.rstrip() + "…", cap, bold) > width:
        kept = kept[:-1]
    return kept.rstrip(" ·,") + "…" if kept else ""


def stack(blocks: Sequence[Block], gap: float = 1.5) -> Block:
    """Return blocks set below one another."""
    parts: list[tuple[Block, float, float]] = []
    y = 0.0
    for block in (b for b in blocks if b.height):
        y += gap if parts else 0.0
        parts.append((block, 0.0, y))
        y += block.height
    return Block(max((b.width for b in blocks), default=0.0), y, parts=parts)


def flowed(blocks: Sequence[Block], width: float, gap: float = 7.0, between: float = 1.2) -> Block:
    """Return blocks set in rows, as many in a row as the width takes."""
    parts: list[tuple[Block, float, float]] = []
    x = y = row = 0.0
    for block in blocks:
        if x and x + block.width > width + 1e-6:
            x, y, row = 0.0, y + row + between, 0.0
        parts.append((block, x, y))
        x, row = x + block.width + gap, max(row, block.height)
    return Block(width, y + row, parts=parts)
