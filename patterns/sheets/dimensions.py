"""Dimensions outside a piece, after the habits of ISO 129-1: rows, extension lines, arrows."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

from patterns.model.capitals import BODY
from patterns.model.drawing import Line, LineKind, Mark, Point
from patterns.model.piece import Dimension, Piece, Side
from patterns.sheets.dimension_words import (
    LEVEL,
    OUTWARD,
    Ends,
    Row,
    extent,
    level,
    row_at,
    wanted,
    worded,
)
from patterns.sketch.arrows import measured
from patterns.sketch.marks import Box, around

FIRST = 6.5
"""Distance of the nearest row from the piece."""
PITCH = 6.5
BEYOND = 1.2
HEAD = 2.0


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
    low, high = extent(dimension)
    return high - low


def rows(dimensions: Iterable[Dimension], bounds: tuple[float, float, float, float]) -> list[Row]:
    """Return the dimensions in their rows; one that would cover another moves further out.

    Words too long for what they measure may stand led in a level of their own between two rows.
    """
    settled = _in_rows(dimensions)
    made: list[Row] = []
    for side in OUTWARD:
        own = [each for each in settled if each.side == side]
        corners = _corners(side, settled)
        last, more = max((each.row for each in own), default=-1), 0.0
        for number in range(last + 1):
            line = [each for each in own if each.row == number]
            ends = [end for each in own if each.row > number for end in extent(each)]
            at = _offset(side, FIRST + number * PITCH + more, bounds)
            placed = worded(line, ends, number == last, corners)
            made += [row_at(each, at, words) for each, words in zip(line, placed, strict=True)]
            more += LEVEL[side] if any(words.footing == "led" for words in placed) else 0.0
    return made


def _in_rows(dimensions: Iterable[Dimension]) -> list[Dimension]:
    """Return dimensions with the row that each has in the end, the shortest of a row first."""
    used: dict[tuple[Side, int], list[tuple[float, float]]] = {}
    made = []
    for each in sorted(dimensions, key=lambda d: (d.row, _span(d))):
        low, high = extent(each)
        row = each.row
        while any(low < b - 1e-6 and a + 1e-6 < high for a, b in used.get((each.side, row), [])):
            row += 1
        used.setdefault((each.side, row), []).append((low, high))
        made.append(each if row == each.row else replace(each, row=row))
    return made


def _corners(side: Side, settled: Iterable[Dimension]) -> Ends:
    """Tell beyond which ends of a side words find room: rows at head and tail take the corners."""
    if level(side):
        return True, True
    taken = {each.side for each in settled}
    return "head" not in taken, "tail" not in taken


def _offset(side: Side, away: float, bounds: tuple[float, float, float, float]) -> float:
    left, top, right, bottom = bounds
    return {"head": top - away, "tail": bottom + away, "left": left - away, "right": right + away}[
        side
    ]


def reach(made: Sequence[Row], bounds: tuple[float, float, float, float]) -> Box:
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
    beside = [
        Box(*next(iter(wanted(row).slots)).sides) for row in made if row.words.footing != "on"
    ]
    return around([box, *beside])


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
