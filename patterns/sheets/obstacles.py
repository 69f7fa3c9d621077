"""What words must not touch, as plain numbers: many boxes asked against many lines at once."""

from __future__ import annotations

from collections.abc import Iterable
from copy import copy
from itertools import pairwise
from typing import Any

import numpy as np

from patterns.model.drawing import Line, Mark
from patterns.sketch.marks import Box, box_of

Sides = tuple[float, float, float, float]
"""Left, top, right, bottom."""


def rows(boxes: Iterable[Box]) -> Any:
    """Return boxes as rows of left, top, right, bottom."""
    return np.array(list(boxes)).reshape(-1, 4)


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
        boxes, segments = list[Sides](), list[Sides]()
        for mark in marks:
            if isinstance(mark, Line):
                run = (*mark.points, mark.points[0]) if mark.closed else mark.points
                segments += [(*a, *b) for a, b in pairwise(run)]
            else:
                box = box_of(mark)
                boxes.append((box.left, box.top, box.right, box.bottom))
        pairs = np.array(segments).reshape(-1, 4)
        low, high = np.minimum(pairs[:, :2], pairs[:, 2:]), np.maximum(pairs[:, :2], pairs[:, 2:])
        level = (high - low < 1e-9).any(axis=1)
        self._sides = np.vstack([np.array(boxes).reshape(-1, 4), np.hstack([low, high])[level]])
        self._slanting = pairs[~level]
        self._boxes: list[Sides] = []
        self._segments: list[Any] = []

    def copy(self) -> Obstacles:
        """Return the same obstacles, to add others to."""
        other = copy(self)
        other._boxes, other._segments = [*self._boxes], [*self._segments]
        return other

    def add(self, box: Sides) -> None:
        """Add a box."""
        self._boxes.append(box)

    def add_segment(self, row: Any) -> None:
        """Add a line, a row x, y, x, y."""
        self._segments.append(row)

    @property
    def sides(self) -> Any:
        """All boxes and level lines as rows."""
        if self._boxes:
            self._sides = np.vstack([self._sides, self._boxes])
            self._boxes = []
        return self._sides

    @property
    def slanting(self) -> Any:
        """All other lines as rows x, y, x, y."""
        if self._segments:
            self._slanting = np.vstack([self._slanting, self._segments])
            self._segments = []
        return self._slanting

    def touched(self, sides: Any) -> Any:
        """Tell which boxes, given as rows, are touched."""
        own, slanting = self.sides[:, :, None], self.slanting
        left, top, right, bottom = np.ascontiguousarray(sides.T)
        apart = left > own[:, 2]
        apart |= right < own[:, 0]
        apart |= top > own[:, 3]
        apart |= bottom < own[:, 1]
        hit = ~apart.all(axis=0)
        if len(slanting):
            clear = np.flatnonzero(~hit)
            hit[clear] = crossing(sides[clear], slanting).any(axis=1)
        return hit

    def crossed(self, segments: Any) -> Any:
        """Tell which segments, rows x, y, x, y, touch a box or a level line."""
        return crossing(self.sides, segments).any(axis=0)
