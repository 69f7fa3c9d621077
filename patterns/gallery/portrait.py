"""The picture of a pattern: all its pieces side by side to one scale, as one would lay them out.

Only the shapes, their folds and slits, and in grey what is pasted; it is read from pattern.json,
so a pattern kept by any version has one.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from patterns.model.drawing import Area, Circle, Drawing, Line, LineKind, Mark, Point

WIDE_MM, HIGH_MM = 160.0, 120.0
MARGIN_MM = 2.0
GAP_SHARE = 0.06
"""White between two pieces, as a share of the tallest."""
PASTED_GREY = {"up": 0.84, "under": 0.93}
"""The face that lies up darker than the under face."""
MOST_PIECES = 24

Piece = Mapping[str, Any]


def portrait(tree: Mapping[str, Any]) -> Drawing:
    """Return the picture of a parsed pattern.json, 160 × 120 mm."""
    pieces = [piece for piece in tree.get("pieces", ()) if _size(piece)][:MOST_PIECES]
    marks: list[Mark] = []
    if pieces:
        rows, scale = _rows(pieces)
        marks = list(_placed(rows, scale))
    return Drawing(WIDE_MM, HIGH_MM, tuple(marks))


def _size(piece: Piece) -> tuple[float, float] | None:
    """Return width and height of an outline, or None when it is no outline to draw."""
    points = _points(piece.get("outline_mm"))
    if len(points) < 3:
        return None
    xs, ys = zip(*points, strict=True)
    size = max(xs) - min(xs), max(ys) - min(ys)
    return size if min(size) > 0 else None


def _points(ring: object) -> tuple[Point, ...]:
    if not isinstance(ring, list | tuple):
        return ()
    try:
        points = tuple((float(x), float(y)) for x, y in ring)
    except (TypeError, ValueError):
        return ()
    return points if all(math.isfinite(v) for point in points for v in point) else ()


def _rows(pieces: Sequence[Piece]) -> tuple[list[list[Piece]], float]:
    """Break the pieces into the rows that show them largest; return them with the scale."""
    best: tuple[float, list[list[Piece]]] = (0.0, [])
    for count in range(1, min(4, len(pieces)) + 1):
        widths = [_measures(piece)[0] for piece in pieces]
        share, at = sum(widths) / count, 0.0
        rows: list[list[Piece]] = [[] for _ in range(count)]
        for piece, width in zip(pieces, widths, strict=True):
            rows[min(count - 1, int((at + width / 2) / share))].append(piece)
            at += width
        rows = [row for row in rows if row]
        gap = _gap(pieces)
        wide = max(sum(_measures(p)[0] for p in row) + gap * (len(row) - 1) for row in rows)
        high = sum(max(_measures(p)[1] for p in row) for row in rows) + gap * (len(rows) - 1)
        scale = min((WIDE_MM - 2 * MARGIN_MM) / wide, (HIGH_MM - 2 * MARGIN_MM) / high)
        best = max(best, (scale, rows), key=lambda one: one[0])
    return best[1], best[0]


def _measures(piece: Piece) -> tuple[float, float]:
    return _size(piece) or (0.0, 0.0)


def _gap(pieces: Sequence[Piece]) -> float:
    return GAP_SHARE * max(_measures(piece)[1] for piece in pieces)


def _placed(rows: Sequence[Sequence[Piece]], scale: float) -> Iterator[Mark]:
    """Yield the marks of all pieces, every row standing on its own line, rows from the left."""
    gap = _gap(list(itertools.chain(*rows)))
    heights = [max(_measures(piece)[1] for piece in row) for row in rows]
    y = HIGH_MM - MARGIN_MM - scale * (sum(heights) + gap * (len(rows) - 1))
    for row, high in zip(rows, heights, strict=True):
        x = MARGIN_MM
        for piece in row:
            width, height = _measures(piece)
            yield from _piece(piece, x, y + scale * (high - height), scale)
            x += scale * (width + gap)
        y += scale * (high + gap)


def _piece(piece: Piece, left: float, top: float, scale: float) -> Iterator[Mark]:
    outline = _points(piece["outline_mm"])
    x0, y0 = min(x for x, _ in outline), min(y for _, y in outline)

    def to(points: object) -> tuple[Point, ...]:
        return tuple((left + (x - x0) * scale, top + (y - y0) * scale) for x, y in _points(points))

    zones = [zone for zone in piece.get("zones", ()) if zone.get("kind") == "pasted"]
    for face, grey in reversed(PASTED_GREY.items()):
        for zone in zones:
            if zone.get("face") == face and len(ring := to(zone.get("outline_mm"))) > 2:
                yield Area(LineKind.PASTED, ring, grey)
    for fold in piece.get("folds", ()):
        if len(line := to(fold.get("line_mm"))) == 2:
            kind = LineKind.VALLEY if fold.get("kind") == "valley" else LineKind.MOUNTAIN
            yield Line(kind, line)
    for slit in piece.get("slits", ()):
        if len(line := to(slit)) == 2:
            yield Line(LineKind.OUTLINE, line)
    for hole in to(piece.get("holes_mm", ())):
        yield Circle(LineKind.HOLE, hole, 0.4)
    for opening in piece.get("openings_mm", ()):
        if len(ring := to(opening)) > 2:
            yield Line(LineKind.OUTLINE, ring, closed=True)
    yield Line(LineKind.CUT, to(outline), closed=True)
