"""Arrows: a slim filled head, a line with one or two of them."""

from __future__ import annotations

import math

from patterns.model.drawing import Area, Line, LineKind, Mark, Point

HEAD_MM = 2.2
SPREAD = 0.16
"""Half the angle of a head in radians (about 18° in all)."""


def arrowhead(kind: LineKind, tip: Point, back: Point, length: float = HEAD_MM) -> Area:
    """Return a slim filled head whose tip is at `tip`, coming from the direction of `back`."""
    away = math.atan2(back[1] - tip[1], back[0] - tip[0])
    sides = [away + spread for spread in (SPREAD, -SPREAD)]
    reach = length / math.cos(SPREAD)
    return Area(
        kind,
        (tip, *((tip[0] + reach * math.cos(a), tip[1] + reach * math.sin(a)) for a in sides)),
    )


def arrow(kind: LineKind, start: Point, tip: Point) -> tuple[Mark, ...]:
    """Return a line from `start` that ends in a head at `tip`."""
    return Line(kind, (start, tip)), arrowhead(kind, tip, start)


def measured(start: Point, end: Point, length: float = HEAD_MM) -> tuple[Mark, ...]:
    """Return a dimension line with a head at each end."""
    kind = LineKind.DIMENSION
    return (
        Line(kind, (start, end)),
        arrowhead(kind, start, end, length),
        arrowhead(kind, end, start, length),
    )
