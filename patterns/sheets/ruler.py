"""Ruler sheets: a plain piece too large for the page, drawn small with every size written.

Nothing is cut out of such a sheet. Upright creases are measured off from the left edge, level ones
from the upper one, with a rule and a square; the diagonal tells whether the corners are true.
"""

from __future__ import annotations

import math
from dataclasses import replace

from patterns.model.drawing import Area, Circle, Line, LineKind, Mark, Point, Ring
from patterns.model.piece import Dimension, Fold, Label, Piece
from patterns.sheets import dimensions
from patterns.sketch.scales import REDUCED, Scale, largest
from patterns.units import mm

ROOM_MM = (150.0, 180.0)
"""The most that the small drawing fills, dimensions left out."""
SQUARE_MM = 0.05
"""A rectangle's corners agree with its bounds within this."""


def plain(piece: Piece) -> bool:
    """Tell whether rule and square suffice: a rectangle with nothing but level or upright creases."""
    if piece.holes or piece.slits or piece.openings or piece.rough or piece.marks:
        return False
    left, top, right, bottom = piece.bounds
    corners = len(piece.outline) == 4 and all(
        min(abs(x - left), abs(x - right)) < SQUARE_MM
        and min(abs(y - top), abs(y - bottom)) < SQUARE_MM
        for x, y in piece.outline
    )
    return corners and all(
        abs(a[0] - b[0]) < SQUARE_MM or abs(a[1] - b[1]) < SQUARE_MM
        for a, b in (fold.line for fold in piece.folds)
    )


def how(piece: Piece) -> str:
    """Say how a piece is measured off: from the edge or the edges that its creases are told from."""
    ways = {_upright(fold) for fold in piece.folds} or {True}
    upper = piece.head or "upper edge"
    edges = [
        *(["all widths from the left edge"] if True in ways else []),
        *([f"all heights from the {upper}"] if False in ways else []),
    ]
    return (
        f"NOT FULL SIZE: measure off with a rule and a square, {' and '.join(edges)} (the datum). "
        "Cut it in waste paper first and lay that on the book."
    )


def _upright(fold: Fold) -> bool:
    (ax, _), (bx, _) = fold.line
    return abs(ax - bx) < SQUARE_MM


def scale_of(piece: Piece) -> Scale:
    """Return the largest scale that its room allows."""
    sides = zip((piece.width_mm, piece.height_mm), ROOM_MM, strict=True)
    return largest(list(sides), Scale(1, 2)) or REDUCED[-1]


def ruled(piece: Piece) -> Piece:
    """Return the piece as it is drawn small: its sizes as words, from the datum edge."""
    factor = scale_of(piece).factor
    left, top, right, bottom = piece.bounds
    whole = dimensions.complete(replace(piece, dimensions=(*piece.dimensions, *_from_datum(piece))))

    def to(point: Point) -> Point:
        return (point[0] - left) * factor, (point[1] - top) * factor

    def ring(points: Ring) -> Ring:
        return tuple(map(to, points))

    diagonal = ((left, bottom), (right, top))
    long = math.dist(*diagonal)
    at = (left + (right - left) * 0.62, top + (bottom - top) * 0.38)
    return replace(
        whole,
        outline=ring(whole.outline),
        folds=tuple(replace(f, line=(to(f.line[0]), to(f.line[1]))) for f in whole.folds),
        zones=tuple(replace(zone, outline=ring(zone.outline)) for zone in whole.zones),
        dimensions=tuple(replace(d, start=to(d.start), end=to(d.end)) for d in whole.dimensions),
        references=(*map(ring, whole.references), ring(diagonal)),
        labels=(
            Label(to(_upper(piece)), f"NOT FULL SIZE: {scale_of(piece)}", "name"),
            Label(to(at), f"diagonal {mm(long, 1)}", within=ring(whole.outline)),
            *(replace(one, at=to(one.at), within=ring(one.within)) for one in whole.labels),
        ),
    )


def _upper(piece: Piece) -> Point:
    """Return a place in the upper left part of a piece, for words that are to be seen first."""
    left, top, right, bottom = piece.bounds
    return left + (right - left) * 0.3, top + (bottom - top) * 0.2


def _from_datum(piece: Piece) -> list[Dimension]:
    """Return the distance of each upright crease from the left edge, of each level one from the head."""
    left, top, _, bottom = piece.bounds
    made = []
    for fold in piece.folds:
        (ax, ay), (bx, by) = fold.line
        if _upright(fold):
            low = max(ay, by)
            made.append(Dimension((left, bottom), (ax, low), "tail", text=mm(ax - left, 1)))
        else:
            made.append(Dimension((left, top), (min(ax, bx), ay), "right", text=mm(ay - top, 1)))
    return sorted(made, key=lambda one: one.text.rjust(9))


def as_seen(mark: Mark) -> Mark:
    """Return a line to cut along as a line to look at: nothing is cut out of a ruler sheet."""
    if isinstance(mark, Area | Line | Circle) and mark.kind is LineKind.CUT:
        return replace(mark, kind=LineKind.OUTLINE)
    return mark
