"""What words must not touch, as plain numbers: many boxes asked against many lines at once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import Any

import numpy as np

from patterns.model.drawing import Line, Mark, Point
from patterns.sketch.marks import Box, box_of


def rows(boxes: Iterable[Box]) -> Any:
    """Return boxes as rows of left, top, right, bottom."""
    return np.array([(b.left, b.top, b.right, b.bottom) for b in boxes]).reshape(-1, 4)


def crossing(sides: Any, segments: Any) -> Any:
    """Tell for each box (a row) and each segment x, y, x, y (a column) whether they touch.

    A segment misses a box when their extents are apart, or when the whole box lies on one side
    of the segment's line (the separating axes of two convex shapes).
    """
    left, top, right, bottom = (sides[:, i, None] for i in range(4))
    ax, ay, bx, by = segments.T
    dx, dy = bx - ax, by - ay
    apart = (left > np.maximum(ax, bx)) | (right < np.minimum(ax, bx))
    apart |= (top > np.maximum(ay, by)) | (bottom < np.minimum(ay, by))
    middle = dx * ((top + bottom) / 2 - ay) - dy * ((left + right) / 2 - ax)
    reach = (np.abs(dx) * (bottom - top) + np.abs(dy) * (right - left)) / 2
    apart |= np.abs(middle) > reach
    return ~apart


class Obstacles:
    """Boxes and lines that words must not touch; what is placed is added to them."""

    def __init__(self, marks: Iterable[Mark] = ()) -> None:
        boxes, segments = [], []
        for mark in marks:
            if isinstance(mark, Line):
                run = (*mark.points, mark.points[0]) if mark.closed else mark.points
                segments += [(*a, *b) for a, b in pairwise(run)]
            else:
                boxes.append(box_of(mark))
        pairs = np.array(segments).reshape(-1, 4)
        low, high = np.minimum(pairs[:, :2], pairs[:, 2:]), np.maximum(pairs[:, :2], pairs[:, 2:])
        level = (high - low < 1e-9).any(axis=1)
        self.sides = np.vstack([rows(boxes), np.hstack([low, high])[level]])
        self.slanting = pairs[~level]

    def add(self, box: Box) -> None:
        """Add a box."""
        self.sides = np.vstack([self.sides, rows([box])])

    def add_segment(self, a: Point, b: Point) -> None:
        """Add a line."""
        self.slanting = np.vstack([self.slanting, [(*a, *b)]])

    def touched(self, sides: Any) -> Any:
        """Tell which boxes, given as rows, are touched."""
        apart = sides[:, 0, None] > self.sides[:, 2]
        apart |= sides[:, 2, None] < self.sides[:, 0]
        apart |= sides[:, 1, None] > self.sides[:, 3]
        apart |= sides[:, 3, None] < self.sides[:, 1]
        hit = ~apart.all(axis=1)
        if len(self.slanting):
            clear = np.flatnonzero(~hit)
            hit[clear] = crossing(sides[clear], self.slanting).any(axis=1)
        return hit

    def crossed(self, segments: Sequence[tuple[Point, Point]]) -> Any:
        """Tell which segments touch a box or a level line."""
        given = np.array(segments).reshape(-1, 4)
        return crossing(self.sides, given).any(axis=0)
