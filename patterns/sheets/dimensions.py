"""Dimensions outside a piece, after the habits of ISO 129-1: rows, extension lines, arrows."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from patterns.model.capitals import BODY
from patterns.model.drawing import Line, LineKind, Mark, Point
from patterns.model.lettering import width_mm
from patterns.model.piece import Dimension, Piece, Side
from patterns.sheets.place import Wanted, line_slots
from patterns.sketch.arrows import measured
from patterns.sketch.marks import Box

FIRST = 6.5
"""Distance of the nearest row from the piece."""
PITCH = 6.5
BEYOND = 1.2
HEAD = 2.0


@dataclass(frozen=True, slots=True)
class Row:
    """One dimension in its row: the two ends of its line, and its words."""

    dimension: Dimension
    a: Point
    b: Point
    text: str


def complete(piece: Piece) -> Piece:
    """Return the piece with every dimension's words written, width and height among them.

    A side that is cut larger first has both, the finished size within the one to cut.
    """
    given = [d if d.text else replace(d, text=f"{_span(d):.1f}") for d in piece.dimensions]
    limits = f" ± {piece.tolerance_mm:.1f}" if piece.tolerance_mm else ""
    first_wide, first_high = piece.first_cut_mm
    overall: tuple[tuple[Side, float, float, int, str], ...] = (
        ("head", piece.width_mm, first_wide, 0, limits),
        ("left", piece.height_mm, first_high, 1, ""),
    )
    for side, whole, first, axis, limits in overall:
        sides = ("head", "tail") if axis == 0 else ("left", "right")
        larger = first - whole > 0.05
        told = next((d for d in given if d.side in sides and abs(_span(d) - whole) < 0.05), None)
        if told is None:
            row = max((d.row for d in given if d.side == side), default=-1) + 1
            told = Dimension(*_extremes(piece.outline, axis), side, row, f"{whole:.1f}{limits}")
            given.append(told)
        if larger:
            given.remove(told)
            given.append(replace(told, text=f"trim to {told.text}"))
            row = max(d.row for d in given if d.side == told.side) + 1
            ends = _extremes(piece.rough, axis)
            given.append(Dimension(*ends, told.side, row, f"cut first {first:.1f}"))
    return replace(piece, dimensions=tuple(given))


def _extremes(outline: Sequence[Point], axis: int) -> tuple[Point, Point]:
    """Return the first corners at the least and at the greatest x (axis 0) or y (axis 1)."""
    other = 1 - axis
    least, most = min(p[axis] for p in outline), max(p[axis] for p in outline)
    return (
        min((p for p in outline if p[axis] - least < 1e-6), key=lambda p: p[other]),
        min((p for p in outline if most - p[axis] < 1e-6), key=lambda p: p[other]),
    )


def _span(dimension: Dimension) -> float:
    axis = 0 if dimension.side in ("head", "tail") else 1
    return abs(dimension.end[axis] - dimension.start[axis])


def rows(dimensions: Iterable[Dimension], bounds: tuple[float, float, float, float]) -> list[Row]:
    """Return the dimensions in their rows; one that would cover another moves further out."""
    used: dict[tuple[Side, int], list[tuple[float, float]]] = {}
    made = []
    for each in sorted(dimensions, key=lambda d: (d.row, _span(d))):
        axis = 0 if each.side in ("head", "tail") else 1
        low, high = sorted((each.start[axis], each.end[axis]))
        row = each.row
        while any(low < b - 1e-6 and a + 1e-6 < high for a, b in used.get((each.side, row), [])):
            row += 1
        used.setdefault((each.side, row), []).append((low, high))
        at = _offset(each.side, row, bounds)
        ends = [(low, at), (high, at)] if axis == 0 else [(at, low), (at, high)]
        seated = each if row == each.row else replace(each, row=row)
        made.append(Row(seated, ends[0], ends[1], each.text))
    return made


def _offset(side: Side, row: int, bounds: tuple[float, float, float, float]) -> float:
    left, top, right, bottom = bounds
    away = FIRST + row * PITCH
    return {"head": top - away, "tail": bottom + away, "left": left - away, "right": right + away}[
        side
    ]


def reach(made: Iterable[Row], bounds: tuple[float, float, float, float]) -> Box:
    """Return the box that piece and rows fill, words included."""
    box = Box(*bounds)
    for row in made:
        side, x, y = row.dimension.side, row.a[0], row.a[1]
        room = BODY * 1.6 + 1.4
        if side == "head":
            box = box._replace(top=min(box.top, y - room))
        elif side == "tail":
            box = box._replace(bottom=max(box.bottom, y + BEYOND + 0.5))
        elif side == "left":
            box = box._replace(left=min(box.left, x - room))
        else:
            box = box._replace(right=max(box.right, x + BEYOND + 0.5))
    return box


def marks(row: Row, bounds: tuple[float, float, float, float]) -> tuple[Mark, ...]:
    """Return the line, its ends and the extension lines of one dimension."""
    length = math.dist(row.a, row.b)
    level = row.dimension.side in ("head", "tail")
    made: list[Mark]
    if length > 2 * HEAD + 1.5:
        made = list(measured(row.a, row.b, HEAD))
    else:
        made = [Line(LineKind.DIMENSION, (row.a, row.b))]
        made += [
            Line(LineKind.DIMENSION, ((x - 0.8, y + 0.8), (x + 0.8, y - 0.8)))
            for x, y in (row.a, row.b)
        ]
    axis = 0 if level else 1
    ends = sorted((row.dimension.start, row.dimension.end), key=lambda p: p[axis])
    for foot, tip in zip(ends, (row.a, row.b), strict=True):
        made.append(_extension(foot, tip, row.dimension.side, bounds))
    return tuple(made)


def _extension(
    foot: Point, tip: Point, side: Side, bounds: tuple[float, float, float, float]
) -> Line:
    """Return an extension line, from just outside the piece to just beyond the dimension."""
    left, top, right, bottom = bounds
    inner = 8.0
    if side in ("head", "tail"):
        out = -1.0 if side == "head" else 1.0
        edge = top if side == "head" else bottom
        start = foot[1] if abs(foot[1] - edge) < inner else edge
        return Line(LineKind.DIMENSION, ((tip[0], start + out), (tip[0], tip[1] + out * BEYOND)))
    out = -1.0 if side == "left" else 1.0
    edge = left if side == "left" else right
    start = foot[0] if abs(foot[0] - edge) < inner else edge
    return Line(LineKind.DIMENSION, ((start + out, tip[1]), (tip[0] + out * BEYOND, tip[1])))


def wanted(row: Row) -> Wanted:
    """Return the words of a dimension: on its line where they fit, else beside its ends."""
    (ax, ay), (bx, by) = row.a, row.b
    mx, my = (ax + bx) / 2, (ay + by) / 2
    lift = BODY * 0.72 + 1.1
    half = width_mm(row.text, BODY) / 2
    shifts = (0.0, 0.18, -0.18, 0.32, -0.32)
    fits = 2 * half + 1.4 <= math.dist(row.a, row.b)
    at: list[tuple[float, float, float]] = []
    if row.dimension.side in ("head", "tail"):
        if fits:
            at += [(mx + s * (bx - ax), ay - lift, 0.0) for s in shifts]
        for step in (half + 2.0, half + 4.5):
            at += [(bx + step, ay - lift, 0.0), (ax - step, ay - lift, 0.0)]
            at += [(bx + step + 1, ay, 0.0), (ax - step - 1, ay, 0.0)]
        at += [(mx, ay - lift - up, 0.0) for up in (0.0, PITCH, 2 * PITCH)]
        at.append((mx, ay - half - 1.6, 90.0))
    else:
        if fits:
            at += [(ax - lift, my + s * (by - ay), 90.0) for s in shifts]
        out = -1 if row.dimension.side == "left" else 1
        at += [(ax + out * (half + away), my, 0.0) for away in (1.4, 4.0, 9.0)]
        for step in (half + 2.0, half + 4.5):
            at += [(ax - lift, ay - step, 90.0), (ax - lift, by + step, 90.0)]
        at += [(ax + side * (half + 1.4), y, 0.0) for y in (ay - 3, by + 3) for side in (out, -out)]
    return Wanted(row.text, (mx, my), line_slots(row.text, BODY, at))
