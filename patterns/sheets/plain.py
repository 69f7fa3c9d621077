"""All pieces of a pattern side by side on one plain drawing, without words or page furniture."""

from __future__ import annotations

from collections.abc import Sequence

from patterns.model.drawing import Circle, Drawing, Line, LineKind, Mark, Point
from patterns.model.piece import Piece

GAP_MM = 10.0


def side_by_side(pieces: Sequence[Piece]) -> Drawing:
    """Return the pieces' lines at 1:1, from left to right in order, 10 mm apart."""
    marks: list[Mark] = []
    x, tallest = GAP_MM, 0.0
    for piece in pieces:
        ring = piece.rough or piece.outline
        left, top = min(p[0] for p in ring), min(p[1] for p in ring)
        right, bottom = max(p[0] for p in ring), max(p[1] for p in ring)
        marks += plain_marks(piece, x - left, GAP_MM - top)
        x += right - left + GAP_MM
        tallest = max(tallest, bottom - top)
    return Drawing(x, tallest + 2 * GAP_MM, tuple(marks))


def plain_marks(piece: Piece, dx: float, dy: float) -> list[Mark]:
    """Return a piece's cuts, folds, slits, holes and zone outlines moved by (dx, dy)."""

    def moved(points: Sequence[Point]) -> tuple[Point, ...]:
        return tuple((px + dx, py + dy) for px, py in points)

    marks: list[Mark] = [Line(LineKind.CUT, moved(piece.rough or piece.outline), closed=True)]
    if piece.rough:
        marks.append(Line(LineKind.REFERENCE, moved(piece.outline), closed=True))
    marks += [Line(LineKind.CUT, moved(ring), closed=True) for ring in piece.openings]
    for fold in piece.folds:
        kind = LineKind.VALLEY if fold.kind == "valley" else LineKind.MOUNTAIN
        marks.append(Line(kind, moved(fold.line)))
    marks += [Line(LineKind.SLIT, moved(slit)) for slit in piece.slits]
    marks += [Line(LineKind.REFERENCE, moved(line)) for line in piece.references]
    for zone in piece.zones:
        if zone.kind == "pasted":
            kind = LineKind.PASTED if zone.face == "up" else LineKind.UNDER
            marks.append(Line(kind, moved(zone.outline), closed=True))
    marks += [
        Circle(LineKind.OLD_HOLE if hole.old else LineKind.HOLE, moved([hole.at])[0], hole.radius)
        for hole in piece.holes
    ]
    return marks
