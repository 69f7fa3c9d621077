"""Small pictures that stand beside a step: how they are put together, and how wide they may be."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from patterns.model.capitals import BODY
from patterns.model.drawing import Anchor, Drawing, Line, LineKind, Mark, Point, Words
from patterns.model.lettering import wrap
from patterns.sketch.arrows import HEAD_MM, arrowhead
from patterns.sketch.marks import LEADING, around, box_of, moved

WIDE_MM = 52.0
"""Widest that a picture may be to stand beside its step."""
HIGH_MM = 30.0


def picture(marks: Iterable[Mark], told: str = "") -> Drawing:
    """Return marks as a picture, moved to its corner; what is `told`, its scale, stands below."""
    every = list(marks)
    box = around([box_of(mark) for mark in every])
    made = [*moved(every, -box.left, -box.top)]
    height = box.height + 1.0
    for line in wrap(told, BODY, WIDE_MM):
        height += BODY * LEADING
        made.append(Words((0.0, height - 0.8), line, BODY))
    width = max(box_of(mark).right for mark in made)
    return Drawing(width, height + 1.0, tuple(made))


def pull(points: Sequence[Point]) -> tuple[Mark, ...]:
    """Return a thin way with an arrowhead at its end: where something is moved to."""
    return (
        Line(LineKind.DIMENSION, tuple(points)),
        arrowhead(LineKind.DIMENSION, points[-1], points[-2], HEAD_MM),
    )


def word(at: Point, text: str, side: int = 1) -> Words:
    """Return a word beside a place: at the right of it (1), at the left (-1) or about it (0)."""
    anchors: tuple[Anchor, ...] = ("middle", "start", "end")
    return Words((at[0] + side * 1.2, at[1] + BODY / 2), text, BODY, False, anchors[side])
