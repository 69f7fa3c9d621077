"""The picture of a pattern: all its pieces side by side to one scale, as one would lay them out.

Only the shapes, their folds and slits, and in grey what is pasted; it is read from pattern.json,
so a pattern kept by any version has one.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Sequence

from patterns.model.drawing import Area, Circle, Drawing, Line, LineKind, Mark, Ring
from patterns.model.kept import KeptPiece

WIDE_MM, HIGH_MM = 160.0, 120.0
MARGIN_MM = 2.0
GAP_SHARE = 0.06
"""White between two pieces, as a share of the tallest."""
PASTED_GREY = {"up": 0.84, "under": 0.93}
"""The face that lies up darker than the under face."""
MOST_PIECES = 24


def portrait(pieces: Iterable[KeptPiece]) -> Drawing:
    """Return the picture of a pattern's pieces, 160 × 120 mm; one without an outline is left out."""
    shown = [piece for piece in pieces if min(_size(piece)) > 0][:MOST_PIECES]
    marks: list[Mark] = []
    if shown:
        rows, scale = _rows(shown)
        marks = list(_placed(rows, scale))
    return Drawing(WIDE_MM, HIGH_MM, tuple(marks))


def _size(piece: KeptPiece) -> tuple[float, float]:
    """Return width and height of an outline, 0 for what is none."""
    if len(piece.outline_mm) < 3:
        return 0.0, 0.0
    xs, ys = zip(*piece.outline_mm, strict=True)
    return max(xs) - min(xs), max(ys) - min(ys)


def _rows(pieces: Sequence[KeptPiece]) -> tuple[list[list[KeptPiece]], float]:
    """Break the pieces into the rows that show them largest; return them with the scale."""
    best: tuple[float, list[list[KeptPiece]]] = (0.0, [])
    for count in range(1, min(4, len(pieces)) + 1):
        widths = [_size(piece)[0] for piece in pieces]
        share, at = sum(widths) / count, 0.0
        rows: list[list[KeptPiece]] = [[] for _ in range(count)]
        for piece, width in zip(pieces, widths, strict=True):
            rows[min(count - 1, int((at + width / 2) / share))].append(piece)
            at += width
        rows = [row for row in rows if row]
        gap = _gap(pieces)
        wide = max(sum(_size(p)[0] for p in row) + gap * (len(row) - 1) for row in rows)
        high = sum(max(_size(p)[1] for p in row) for row in rows) + gap * (len(rows) - 1)
        scale = min((WIDE_MM - 2 * MARGIN_MM) / wide, (HIGH_MM - 2 * MARGIN_MM) / high)
        best = max(best, (scale, rows), key=lambda one: one[0])
    return best[1], best[0]


def _gap(pieces: Sequence[KeptPiece]) -> float:
    return GAP_SHARE * max(_size(piece)[1] for piece in pieces)


def _placed(rows: Sequence[Sequence[KeptPiece]], scale: float) -> Iterator[Mark]:
    """Yield the marks of all pieces, every row standing on its own line, rows from the left."""
    gap = _gap(list(itertools.chain(*rows)))
    heights = [max(_size(piece)[1] for piece in row) for row in rows]
    y = HIGH_MM - MARGIN_MM - scale * (sum(heights) + gap * (len(rows) - 1))
    for row, high in zip(rows, heights, strict=True):
        x = MARGIN_MM
        for piece in row:
            width, height = _size(piece)
            yield from _piece(piece, x, y + scale * (high - height), scale)
            x += scale * (width + gap)
        y += scale * (high + gap)


def _piece(piece: KeptPiece, left: float, top: float, scale: float) -> Iterator[Mark]:
    x0, y0 = (min(sides) for sides in zip(*piece.outline_mm, strict=True))

    def to(points: Ring) -> Ring:
        return tuple((left + (x - x0) * scale, top + (y - y0) * scale) for x, y in points)

    for face, grey in reversed(PASTED_GREY.items()):
        for zone in piece.zones:
            if zone.kind == "pasted" and zone.face == face and len(zone.outline_mm) > 2:
                yield Area(LineKind.PASTED, to(zone.outline_mm), grey)
    for fold in piece.folds:
        kind = LineKind.VALLEY if fold.kind == "valley" else LineKind.MOUNTAIN
        yield Line(kind, to(fold.line_mm))
    for slit in piece.slits:
        yield Line(LineKind.OUTLINE, to(slit))
    for hole in to(piece.holes_mm):
        yield Circle(LineKind.HOLE, hole, 0.4)
    for opening in piece.openings_mm:
        if len(opening) > 2:
            yield Line(LineKind.OUTLINE, to(opening), closed=True)
    yield Line(LineKind.CUT, to(piece.outline_mm), closed=True)
