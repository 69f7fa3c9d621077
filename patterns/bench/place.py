"""The book with the place marked where one figure is read: the pictures of the measuring form."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from functools import cache

from patterns.model.drawing import Area, Drawing, Line, LineKind, Mark, Point
from patterns.sheets.form_views import FormView, Take, views
from patterns.writers.svg import svg_text

WIDE_MM, MARGIN_MM, HIGHEST_MM = 100.0, 6.0, 130.0
END_MM, STROKE_MM = 3.6, 1.5
"""How long the two end strokes are, and how wide the mark: seen from where the book lies."""


@cache
def _takes() -> dict[str, tuple[FormView, Take]]:
    found = {take.field: (view, take) for view in views() for take in (*view.left, *view.right)}
    found["spine.shoulder"] = found["spine.shoulder_front"]
    for side in ("front", "back"):
        found |= {
            name.replace("cover.", f"cover.{side}."): held
            for name, held in found.items()
            if name.count(".") == 1 and name.startswith("cover.")
        }
    return found


def known(field: str) -> bool:
    """Tell whether there is a picture of where a field is read."""
    return field in _takes()


def picture(field: str) -> bytes:
    """Return the picture of a field as SVG. Raises KeyError where there is none."""
    view, take = _takes()[field]
    high = min(WIDE_MM * view.aspect, HIGHEST_MM)

    def placed(point: Point) -> Point:
        return MARGIN_MM + point[0] / 100 * WIDE_MM, MARGIN_MM + point[1] / 100 * high

    marks = [*(_moved(mark, placed) for mark in view.marks)]
    marks += _mark(placed(take.start), placed(take.end))
    drawing = Drawing(WIDE_MM + 2 * MARGIN_MM, high + 2 * MARGIN_MM, tuple(marks))
    return svg_text(drawing, view.title).encode()


def title(field: str) -> str:
    """Return from where the book is seen. Raises KeyError."""
    return _takes()[field][0].title


def _moved(mark: Mark, placed: object) -> Mark:
    assert callable(placed)
    match mark:
        case Line():
            return replace(mark, points=tuple(map(placed, mark.points)))
        case Area():
            return replace(mark, outline=tuple(map(placed, mark.outline)))
    raise TypeError(f"{type(mark).__name__} stands in no view of the form")


def _mark(start: Point, end: Point) -> Iterator[Mark]:
    """Yield a broad stroke from where to where it is read, or a spot where it is read through."""
    length = math.dist(start, end)
    if length < STROKE_MM:
        yield Area(LineKind.TEXT, _disc(start, END_MM / 2), 0.0)
        return
    along = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
    yield Area(LineKind.TEXT, _stroke(start, end, along, STROKE_MM), 0.0)
    across = (-along[1], along[0])
    for point in (start, end):
        ends = [
            (point[0] + side * END_MM * across[0], point[1] + side * END_MM * across[1])
            for side in (-1, 1)
        ]
        yield Area(LineKind.TEXT, _stroke(ends[0], ends[1], across, STROKE_MM * 0.6), 0.0)


def _stroke(start: Point, end: Point, along: Point, wide: float) -> tuple[Point, ...]:
    dx, dy = -along[1] * wide / 2, along[0] * wide / 2
    return (
        (start[0] + dx, start[1] + dy),
        (end[0] + dx, end[1] + dy),
        (end[0] - dx, end[1] - dy),
        (start[0] - dx, start[1] - dy),
    )


def _disc(middle: Point, radius: float) -> tuple[Point, ...]:
    turns = [2 * math.pi * step / 24 for step in range(24)]
    return tuple(
        (middle[0] + radius * math.cos(t), middle[1] + radius * math.sin(t)) for t in turns
    )
