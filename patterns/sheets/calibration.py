"""The page a printer is measured by: two bars divided into millimetres, and two diagonals.

The bars are the upper and left sides of a rectangle. Its diagonals are drawn at their ends only,
so that there is room for what to do, and blanks for what the steel rule shows.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from patterns.model.capitals import BODY, HEAD, TITLE
from patterns.model.drawing import Drawing, Line, LineKind, Mark, Point, Words
from patterns.model.lettering import width_mm
from patterns.sheets.flow import BASE, LEAD, Strip, Strips, gap, paragraph, pour
from patterns.sketch.marks import Box, moved
from patterns.stock.paper import Paper

ROLL_PAGE_MM = 420.0
LONGEST_MM = 1500.0
ASIDE_MM, ABOVE_MM = 14.0, 20.0
"""Least white beside the rectangle, and above and below it."""
RAY_MM = 34.0
"""Length of a diagonal that is drawn at each corner."""


def bars_mm(paper: Paper) -> tuple[float, float]:
    """Return the lengths of the bar across and the bar down: the longest whole tens that fit.

    >>> bars_mm(Paper("A4", 210.0, 297.0))
    (180.0, 250.0)
    """
    width, height = _size(paper)
    room = (width - 2 * ASIDE_MM, height - 2 * ABOVE_MM)
    across, down = (min(LONGEST_MM, 10.0 * (each // 10)) for each in room)
    return across, down


def _size(paper: Paper) -> tuple[float, float]:
    return paper.width_mm, ROLL_PAGE_MM if paper.roll else paper.height_mm


def calibration_page(paper: Paper) -> Drawing:
    """Return the calibration page for a paper, upright, never corrected."""
    width, height = _size(paper)
    across, down = bars_mm(paper)
    left, top = (width - across) / 2, height - down - (height - down) * 0.42
    sides = Box(left, top, left + across, top + down)
    marks = (
        *_title(sides, paper),
        *_bars(sides),
        *_corners(sides),
        *_diagonals(sides),
        *_told(sides),
    )
    return Drawing(width, height, marks)


def _title(sides: Box, paper: Paper) -> Iterator[Mark]:
    base = sides.top - 9.0
    yield Words((sides.left, base), "Calibration page", TITLE, bold=True)
    yield Words((sides.right, base), f"{paper.name} · 1:1", BODY, anchor="end")


def _bars(sides: Box) -> Iterator[Mark]:
    """Draw both bars as rulers: a tick a millimetre, longer at 5 and 10, a figure at each 50."""
    yield Line(LineKind.BAR, ((sides.left, sides.top), (sides.right, sides.top)))
    yield Line(LineKind.BAR, ((sides.left, sides.top), (sides.left, sides.bottom)))
    for at in range(1, round(sides.width)):
        x = sides.left + at
        yield Line(LineKind.DIMENSION, ((x, sides.top), (x, sides.top + _tick(at))))
        if at % 50 == 0 and at < sides.width - 9:
            yield Words((x, sides.top + 7.6), str(at), BODY, anchor="middle")
    for at in range(1, round(sides.height)):
        y = sides.top + at
        yield Line(LineKind.DIMENSION, ((sides.left, y), (sides.left + _tick(at), y)))
        if at % 50 == 0 and at < sides.height - 9:
            yield Words((sides.left + 5.2, y + BODY / 2), str(at), BODY)
    middle = sides.middle
    above, beside = (middle[0], sides.top - 2.0), (sides.left - 2.0, middle[1])
    yield Words(above, f"across: {sides.width:g} mm", BODY, True, "middle")
    yield Words(beside, f"down: {sides.height:g} mm", BODY, True, "middle", 90.0)


def _tick(at: int) -> float:
    return 4.5 if at % 10 == 0 else 3.0 if at % 5 == 0 else 1.8


def _corners(sides: Box) -> Iterator[Mark]:
    """Draw a fine cross at each corner, the exact end of bars and diagonals."""
    for x, y in _corner_points(sides):
        yield Line(LineKind.DIMENSION, ((x - 5.0, y), (x + 5.0, y)))
        yield Line(LineKind.DIMENSION, ((x, y - 5.0), (x, y + 5.0)))


def _corner_points(sides: Box) -> tuple[Point, Point, Point, Point]:
    return (
        (sides.left, sides.top),
        (sides.right, sides.top),
        (sides.right, sides.bottom),
        (sides.left, sides.bottom),
    )


def _diagonals(sides: Box) -> Iterator[Mark]:
    """Draw the ends of the diagonals, each with its letter."""
    long = math.hypot(sides.width, sides.height)
    ray = min(RAY_MM, long / 8)
    for (x, y), letter in zip(_corner_points(sides), "ABAB", strict=True):
        dx, dy = (sides.middle[0] - x) * 2 / long, (sides.middle[1] - y) * 2 / long
        yield Line(LineKind.DIMENSION, ((x, y), (x + dx * ray, y + dy * ray)))
        at = (x + dx * (ray + 3.0), y + dy * (ray + 3.0) + 1.5)
        yield Words(at, letter, HEAD, True, "middle")


def _told(sides: Box) -> tuple[Mark, ...]:
    """Return what to do and the blanks, set in the middle of the rectangle."""
    width = min(130.0, sides.width - 42.0)
    strips = _instructions(sides, width)
    high = sum(strip.height_mm for strip in strips)
    (marks,) = pour(strips, high + 1.0)
    return moved(marks, sides.middle[0] - width / 2, sides.middle[1] - high / 2)


def _instructions(sides: Box, width: float) -> Strips:
    across, down = f"{sides.width:g}", f"{sides.height:g}"
    long = math.hypot(sides.width, sides.height)
    said = (
        "Print this page at actual size, 100 %, never fitted to the page, on the printer, paper and "
        "tray that the sheets will come from. Let it lie for an hour.",
        "Read both bars and both diagonals with a steel rule, from cross to cross, to a tenth of a "
        "millimetre. A printer is seldom more than 2 % out; a reading 5 % out is a misread.",
        f"Diagonal A runs from upper left to lower right, B from upper right to lower left; each "
        f"should be {long:.1f} mm. If they differ, the printer prints askew.",
    )
    strips: list[Strip] = []
    for text in said:
        strips += (*paragraph(text, width), *gap(2.5))
    for label, after in (
        ("across", f"of {across}"),
        ("down", f"of {down}"),
        ("diagonal A", ""),
        ("diagonal B", ""),
        ("printer, tray", ""),
        ("date, by", ""),
    ):
        strips.append(_blank(label, after, width))
    strips += (*gap(4.0), *paragraph("Then store what you read, measured first:", width), *gap(1.0))
    command = (
        "mendfold printer set NAME",
        f"--across {'_' * 6}/{across} --down {'_' * 6}/{down}",
        f"--diagonals {'_' * 6} {'_' * 6}",
    )
    for line in command:
        strips += paragraph(line, width, bold=True)
    return tuple(strips)


def _blank(label: str, after: str, width: float) -> Strip:
    """Return a line to write one reading on."""
    base = BODY * BASE + 3.0
    right = min(width, 90.0)
    end = right - (width_mm(after, BODY) + 2.0 if after else 0.0)
    marks: list[Mark] = [
        Words((0.0, base), label, BODY),
        Line(LineKind.DIMENSION, ((28.0, base + 0.6), (end, base + 0.6))),
    ]
    if after:
        marks.append(Words((right, base), after, BODY, anchor="end"))
    return Strip(BODY * LEAD + 3.0, tuple(marks))
