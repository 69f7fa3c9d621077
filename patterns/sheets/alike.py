"""Pieces of the same outline, of which one drawing serves for all."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from patterns.model.drawing import Point
from patterns.model.piece import Piece
from patterns.sheets.item import Item

CUT_MM = 0.5
"""What is cut by hand comes out within this (practice): outlines as close are one outline."""
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
    pieces = [one.subject for one in group if isinstance(one.subject, Piece)]
    drawn = max(pieces, key=lambda one: one.width_mm * one.height_mm)
    others = tuple(one for one in pieces if one is not drawn)
    return replace(group[0], subject=drawn, serves=others)


def _same(one: Item, other: Item) -> bool:
    """Tell whether one drawing serves for both: the same stuff, marks, words, and nearly one outline."""
    a, b = one.subject, other.subject
    if not isinstance(a, Piece) or not isinstance(b, Piece):
        return False
    said = [
        (p.structure, p.material, p.thickness_mm, p.grain, p.stock, p.face_up, p.left, p.right,
         p.head, p.tail, bool(p.rough), p.tolerance_mm, p.marks)
        for p in (a, b)
    ]  # fmt: skip
    if said[0] != said[1] or _zones(a) != _zones(b) or len(a.outline) != len(b.outline):
        return False
    marks = [
        [*(hole.at for hole in p.holes), *(at for fold in p.folds for at in fold.line),
         *(at for slit in p.slits for at in slit), *(at for ring in p.openings for at in ring)]
        for p in (a, b)
    ]  # fmt: skip
    kinds = [[fold.kind for fold in p.folds] + [hole.old for hole in p.holes] for p in (a, b)]
    return (
        kinds[0] == kinds[1]
        and _near(a.outline, b.outline, CUT_MM)
        and _near(a.rough, b.rough, CUT_MM)
        and _near(marks[0], marks[1], HOLE_MM)
    )


def _zones(piece: Piece) -> list[tuple[str, str, str, str, str]]:
    return [(zone.kind, zone.face, zone.to, zone.adhesive, zone.words) for zone in piece.zones]


def _near(one: Sequence[Point], other: Sequence[Point], within: float) -> bool:
    """Tell whether two runs of points agree, point by point."""
    return len(one) == len(other) and all(
        abs(a - c) <= within and abs(b - d) <= within
        for (a, b), (c, d) in zip(one, other, strict=True)
    )
