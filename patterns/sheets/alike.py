"""Pieces of the same outline, and drawings of one look: one drawing serves for all."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import shapely

from patterns.model.drawing import Line, Mark, Point, Ring, Words
from patterns.model.part import Diagram
from patterns.model.piece import Piece
from patterns.sheets.item import Item

CUT_MM = 0.5
"""What is cut by hand comes out within this (practice): outlines as close are one outline."""
SEEN_MM = 1.0
"""On the paper of a drawing to look at: a board 0.1 thicker than the other is 0.4 at 4:1."""
HOLE_MM = 0.05
"""Holes, creases and slits are the same only within this."""


def alike(items: Sequence[Item]) -> list[Item]:
    """Return the items with those of one outline joined: the largest is drawn, and names the others.

    None of them differs from the one that is drawn by more than the cut.
    """
    groups: list[list[Item]] = []
    for item in items:
        home = next((group for group in groups if all(_same(item, one) for one in group)), None)
        if home is None:
            groups.append([item])
        else:
            home.append(item)
    return [_joined(group) for group in groups]


def _joined(group: Sequence[Item]) -> Item:
    if len(group) == 1:
        return group[0]
    first, *more = group
    if isinstance(first.subject, Diagram):
        return replace(
            first, looks=tuple(one.subject for one in more if isinstance(one.subject, Diagram))
        )
    pieces = [one.subject for one in group if isinstance(one.subject, Piece)]
    drawn = max(pieces, key=lambda one: (not one.mirrors, one.width_mm * one.height_mm))
    others = tuple(one for one in pieces if one is not drawn)
    return replace(group[0], subject=drawn, serves=others)


def _same(one: Item, other: Item) -> bool:
    """Tell whether one drawing serves for both: the same stuff, marks, words, and nearly one outline."""
    a, b = one.subject, other.subject
    if isinstance(a, Diagram) and isinstance(b, Diagram):
        return _looks(a, b)
    if not isinstance(a, Piece) or not isinstance(b, Piece):
        return False
    if b.mirrors == a.name or a.mirrors == b.name:
        return _mirrored(a, b)
    return (
        _stuff(a) == _stuff(b)
        and _words(a) == _words(b)
        and _zones(a) == _zones(b)
        and _marked(a)[0] == _marked(b)[0]
        and _near(a.outline, b.outline, CUT_MM)
        and _near(a.rough, b.rough, CUT_MM)
        and _near(_marked(a)[1], _marked(b)[1], HOLE_MM)
    )


def _looks(a: Diagram, b: Diagram) -> bool:
    """Tell whether two drawings of the assembly look the same on the paper, their words too."""
    return (
        a.page == b.page == "assembly"
        and (a.structure, a.scale, len(a.marks)) == (b.structure, b.scale, len(b.marks))
        and all(map(_one_mark, a.marks, b.marks))
    )


def _one_mark(one: Mark, other: Mark) -> bool:
    if isinstance(one, Words) and isinstance(other, Words):
        return one.text == other.text and _near([one.at], [other.at], SEEN_MM)
    if isinstance(one, Line) and isinstance(other, Line):
        return one.kind == other.kind and _near(one.points, other.points, SEEN_MM)
    return one == other


def _mirrored(a: Piece, b: Piece) -> bool:
    """Tell whether a drawing serves for a piece and, turned over, for its mirror image.

    Neither may have anything on it that turning over would put on the wrong face: a crease, a hole,
    a slit. Every zone has its counterpart, pasted or free on the same face.
    """
    for one in (a, b):
        if one.holes or one.folds or one.slits or one.openings or one.rough or one.marks:
            return False
    zones = [[(zone.kind, zone.face, zone.adhesive) for zone in one.zones] for one in (a, b)]
    rings = [(x.outline, y.outline) for x, y in zip(a.zones, b.zones, strict=False)]
    return (
        _stuff(a) == _stuff(b)
        and zones[0] == zones[1]
        and all(_covers(x, y, a, b) for x, y in ((a.outline, b.outline), *rings))
    )


def _covers(ring: Ring, other: Ring, a: Piece, b: Piece) -> bool:
    """Tell whether a ring of one piece and the mirrored ring of the other are one within the cut."""
    turn = b.bounds[0] + b.bounds[2] - (b.bounds[0] - a.bounds[0])
    mirrored = shapely.Polygon([(turn - x, y) for x, y in other])
    away = shapely.hausdorff_distance(shapely.Polygon(ring).exterior, mirrored.exterior)
    return bool(away <= CUT_MM)


def _stuff(piece: Piece) -> tuple[object, ...]:
    return (
        piece.structure, piece.material, piece.thickness_mm, piece.grain, piece.stock,
        piece.face_up, piece.head, piece.tail, piece.tolerance_mm,
    )  # fmt: skip


def _words(piece: Piece) -> tuple[object, ...]:
    return piece.left, piece.right, bool(piece.rough), piece.marks


def _marked(piece: Piece) -> tuple[list[object], list[Point]]:
    """Return what creases, holes, slits and openings there are, and where."""
    kinds: list[object] = [*(fold.kind for fold in piece.folds), *(h.old for h in piece.holes)]
    places = [
        *(hole.at for hole in piece.holes), *(at for fold in piece.folds for at in fold.line),
        *(at for slit in piece.slits for at in slit), *(at for ring in piece.openings for at in ring),
    ]  # fmt: skip
    return kinds, places


def _zones(piece: Piece) -> list[tuple[str, str, str, str, str]]:
    return [(zone.kind, zone.face, zone.to, zone.adhesive, zone.words) for zone in piece.zones]


def _near(one: Sequence[Point], other: Sequence[Point], within: float) -> bool:
    """Tell whether two runs of points agree, point by point."""
    return len(one) == len(other) and all(
        abs(a - c) <= within and abs(b - d) <= within
        for (a, b), (c, d) in zip(one, other, strict=True)
    )
