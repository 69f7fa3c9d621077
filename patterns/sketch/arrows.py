"""Arrows: a slim filled head, a line with one or two of them."""

from __future__ import annotations

import math

from patterns.model.drawing import Area, Line, LineKind, Mark, Point
from patterns.sketch.marks import circle

HEAD_MM = 2.2
SPREAD = 0.16
"""Half the angle of a dimension's head in radians (about 18° in all)."""
BROAD = 0.35
"""The same of a force's, whose line is heavy."""


def arrowhead(
    kind: LineKind, tip: Point, back: Point, length: float = HEAD_MM, spread: float = SPREAD
) -> Area:
    """Return a filled head whose tip is at `tip`, coming from the direction of `back`."""
    away = math.atan2(back[1] - tip[1], back[0] - tip[0])
    sides = [away + turn for turn in (spread, -spread)]
    reach = length / math.cos(spread)
    return Area(
        kind,
        (tip, *((tip[0] + reach * math.cos(a), tip[1] + reach * math.sin(a)) for a in sides)),
    )


def arrow(kind: LineKind, start: Point, tip: Point) -> tuple[Mark, ...]:
    """Return a heavy line from `start` that ends in a broad head at `tip`."""
    return Line(kind, (start, tip)), arrowhead(kind, tip, start, spread=BROAD)


def grain(a: Point, b: Point) -> tuple[Mark, ...]:
    """Return the arrow with two heads that tells which way a grain or warp runs; upright or level."""
    inset = 1.5
    level = a[1] == b[1]
    inner = (
        ((a[0] + inset, a[1]), (b[0] - inset, b[1]))
        if level
        else ((a[0], a[1] + inset), (b[0], b[1] - inset))
    )
    kind = LineKind.GRAIN
    return Line(kind, inner), arrowhead(kind, a, b, 3.2), arrowhead(kind, b, a, 3.2)


def dot(at: Point, radius: float = 0.45) -> tuple[Mark, ...]:
    """Return the filled dot that a leader begins with."""
    return (Area(LineKind.REFERENCE, circle(at, radius)),)


def measured(start: Point, end: Point, length: float = HEAD_MM) -> tuple[Mark, ...]:
    """Return a dimension line with a head at each end."""
    kind = LineKind.DIMENSION
    return (
        Line(kind, (start, end)),
        arrowhead(kind, start, end, length),
        arrowhead(kind, end, start, length),
    )
