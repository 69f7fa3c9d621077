"""One rectangle of stock as a picture: its pieces, grain, offcuts and numbered cuts."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from math import sqrt
from typing import NamedTuple

import shapely

from patterns.cutting.cuts import Left, StockCut, lettered
from patterns.cutting.plan import CutSheet, LaidPiece
from patterns.model.capitals import BODY, SMALL
from patterns.model.drawing import Area, Line, LineKind, Mark, Words
from patterns.model.lettering import width_mm
from patterns.sketch.arrows import grain
from patterns.sketch.marks import Box, box_of, corners, moved
from patterns.sketch.scales import Scale
from patterns.units import trimmed

LEFT_MM, TOP_MM = 4.0, 4.0
"""Room at the left and above the stock, for the names of the two edges and the first numbers."""
RIGHT_MM, BELOW_MM = 16.0, 6.0
"""Room at its right and below it, for the grain and the sizes."""
CLEAR_MM = 0.3
"""Between a cut's number and any line."""
APART_MM = 0.6
"""Between two numbers, or they would read as one."""


class Picture(NamedTuple):
    """Marks from the left top corner, their height, and whether every number stands beside its cut."""

    marks: tuple[Mark, ...]
    height: float
    complete: bool


class _Labels:
    """Words on a picture, none over another."""

    def __init__(self, lines: Sequence[Box]) -> None:
        self.lines = lines
        self.words: list[Words] = []
        self.taken: list[Box] = []

    def set(self, tellings: Iterable[Words], off_lines: bool = False) -> Words | None:
        """Set the first of some words that meets none that stand already, and return it."""
        for words in tellings:
            box = _letters(words)
            over = off_lines and any(box.grown(CLEAR_MM).meets(line) for line in self.lines)
            apart = box.grown(APART_MM)
            if not over and not any(apart.meets(other) for other in self.taken):
                self.words.append(words)
                self.taken.append(box)
                return words
        return None


def _letters(words: Words) -> Box:
    """Return the box of a number, from its baseline to the height of its figures; of words, all."""
    box = box_of(words)
    if not words.text.isdigit():
        return box
    x, y = words.at
    if words.angle_deg:
        return Box(x - words.cap_mm, box.top, x, box.bottom)
    return Box(box.left, y - words.cap_mm, box.right, y)


def picture(sheet: CutSheet, scale: Scale, numbered: bool) -> Picture:
    """Draw a stock to scale; `numbered` says whether its cuts carry their numbers."""
    f = scale.factor
    stock = Box(0.0, 0.0, sheet.stock.width_mm * f, sheet.length_mm * f)
    marks: list[Mark] = []
    for piece in sheet.pieces:
        outline = tuple((x * f, y * f) for x, y in piece.outline)
        marks += [Area(LineKind.OUTLINE, outline, 0.93), Line(LineKind.CUT, outline, closed=True)]
    for cut in sheet.cuts:
        ends = tuple((x * f, y * f) for x, y in (cut.start, cut.end))
        marks.append(Line(LineKind.REFERENCE, ends))
    edge = corners(stock)
    sides = [Line(LineKind.OUTLINE, side) for side in pairwise((*edge, edge[0]))]
    marks += sides
    rules = [one for one in marks if isinstance(one, Line) and not one.closed]
    labels = _Labels([box_of(one).grown(0.01) for one in rules])
    for name in _edges(stock):
        labels.set([name])
    complete = _named(labels, sheet, f)
    if numbered:
        for number, cut in enumerate(sheet.cuts, 1):
            if not labels.set(_beside(cut, number, f), off_lines=True):
                complete = False
                marks += _led(labels, cut, number, f)
    marks += (*labels.words, *_sizes(sheet, stock))
    marks += moved(_grain(sheet), stock.right + LEFT_MM, 2.0)
    height = stock.height + TOP_MM + BELOW_MM
    return Picture(moved(marks, LEFT_MM, TOP_MM), height, complete)


def _named(labels: _Labels, sheet: CutSheet, f: float) -> bool:
    """Write each piece's number and name into it, each offcut's letter and size; False if one has none."""
    complete = True
    for number, piece in enumerate(sheet.pieces, 1):
        told = (f"{number} {piece.name}", str(number))
        words = _centred(_scaled(_inner(piece), f), told, (BODY, SMALL))
        complete &= labels.set(words) is not None
    for letter, left in lettered(sheet.offcuts):
        names = (f"offcut {letter}, {left.words}", f"offcut {letter}", letter)
        labels.set(_centred(_scaled(left, f), names, (SMALL,)))
    return complete


def _inner(piece: LaidPiece) -> Left:
    """Return where a piece's words may stand: its rectangle, of a shape a square well inside it."""
    if not piece.by_hand:
        return piece.box
    radius = shapely.maximum_inscribed_circle(shapely.Polygon(piece.outline), 1.0)
    (x, y), side = radius.coords[0], radius.length * sqrt(2)
    return Left(x - side / 2, y - side / 2, side, side)


def _scaled(one: Left, f: float) -> Box:
    right, bottom = one.across + one.width, one.along + one.length
    return Box(one.across * f, one.along * f, right * f, bottom * f)


def _centred(box: Box, tellings: Sequence[str], caps: Sequence[float]) -> list[Words]:
    """Return the fullest words that fit into a box, upright where it is narrow."""
    found = []
    for text in tellings:
        for angle, wide, high in ((0.0, box.width, box.height), (90.0, box.height, box.width)):
            for cap in caps:
                if width_mm(text, cap) + 1.2 <= wide and cap + 1.0 <= high:
                    x, y = box.middle
                    at = (x, y + cap / 2) if angle == 0 else (x + cap / 2, y)
                    found.append(Words(at, text, cap, anchor="middle", angle_deg=angle))
    return found


def _beside(cut: StockCut, number: int, f: float) -> Iterator[Words]:
    """Yield where a cut's number may stand: beside the cut, from its beginning on, level if it can."""
    (x0, y0), (x1, y1) = (cut.start[0] * f, cut.start[1] * f), (cut.end[0] * f, cut.end[1] * f)
    text, off = str(number), CLEAR_MM + 0.2
    wide = width_mm(text, SMALL, bold=True)
    if cut.lengthwise:
        level = ((off, SMALL / 2, 0.0), (-off - wide, SMALL / 2, 0.0))
        ways = [level, ((off + SMALL, wide / 2, 90.0), (-off, wide / 2, 90.0))]
    else:
        ways = [((-wide / 2, -off, 0.0), (-wide / 2, SMALL + off, 0.0))]
    steps = max(2, min(60, int(max(x1 - x0, y1 - y0) / 1.5)))
    for sides in ways:
        for step in range(1, steps):
            t = step / steps
            for dx, dy, angle in sides:
                at = x0 + (x1 - x0) * t + dx, y0 + (y1 - y0) * t + dy
                yield Words(at, text, SMALL, bold=True, angle_deg=angle)


def _led(labels: _Labels, cut: StockCut, number: int, f: float) -> tuple[Mark, ...]:
    """Set a cut's number away from it, where there is room, and return the line that leads to it."""
    middle = [(a + b) / 2 * f for a, b in zip(cut.start, cut.end, strict=True)]
    text = str(number)
    wide = width_mm(text, SMALL, bold=True)
    for step in range(2, 40):
        for way in (1, -1):
            away = way * step * 1.0
            x, y = (away, 0.0) if cut.lengthwise else (0.0, away)
            start = x - wide if x < 0 else x - wide / 2 * (x == 0)
            at = middle[0] + start, middle[1] + y + SMALL / 2
            if labels.set([Words(at, text, SMALL, bold=True)], off_lines=True):
                end = middle[0] + x, middle[1] + y - SMALL / 2 * ((y > 0) - (y < 0))
                return (Line(LineKind.REFERENCE, ((middle[0], middle[1]), end)),)
    return ()


def _grain(sheet: CutSheet) -> tuple[Mark, ...]:
    """Draw the grain's arrow with its word, to be set beside the stock."""
    word = {"sheet": "grain", "roll": "WARP", "skin": "backbone"}[sheet.stock.form]
    if sheet.stock.grain == "length":
        return (*grain((4.0, 0.0), (4.0, 18.0)), Words((2.6, 16.0), word, SMALL, angle_deg=90.0))
    return (*grain((0.0, 4.0), (9.0, 4.0)), Words((1.0, 2.6), word, SMALL))


def _edges(stock: Box) -> tuple[Words, Words]:
    """Name the two edges that measures are taken from, just outside the stock."""
    x, y = stock.middle
    top = Words((x, -1.2), "top edge", SMALL, anchor="middle")
    return top, Words((-1.2, y), "left edge", SMALL, anchor="middle", angle_deg=90.0)


def _sizes(sheet: CutSheet, stock: Box) -> tuple[Mark, ...]:
    """Write the stock's sizes below it and at its side."""
    width, length = (f"{trimmed(mm, 1)} mm" for mm in (sheet.stock.width_mm, sheet.length_mm))
    below = Words((stock.middle[0], stock.bottom + 3.6), width, SMALL, anchor="middle")
    return below, Words((stock.right + 3.0, stock.bottom), length, SMALL, angle_deg=90.0)
