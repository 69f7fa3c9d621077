"""What words must not touch, as plain numbers: many boxes asked against many lines at once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from copy import copy
from itertools import pairwise
from typing import Any

import numpy as np

from patterns.model.drawing import Line, Mark
from patterns.sketch.marks import Box, box_of

Sides = tuple[float, float, float, float]
"""Left, top, right, bottom."""
LEVEL = 1e-9
"""A line whose ends differ less across is level or upright: a box."""
ROWLESS = np.empty((0, 4))


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


def crosses(box: Sides, segment: Sides) -> bool:
    """Tell the same of one box and one segment."""
    left, top, right, bottom = box
    ax, ay, bx, by = segment
    if (left > ax and left > bx) or (right < ax and right < bx):
        return False
    if (top > ay and top > by) or (bottom < ay and bottom < by):
        return False
    dx, dy = bx - ax, by - ay
    middle = dx * ((top + bottom) / 2 - ay) - dy * ((left + right) / 2 - ax)
    return abs(middle) <= (abs(dx) * (bottom - top) + abs(dy) * (right - left)) / 2


class Obstacles:
    """Boxes and lines that words must not touch; what is placed is added to them.

    One box is asked with plain numbers, many at once as arrays, which are made only for that.
    """

    def __init__(self, marks: Iterable[Mark] = ()) -> None:
        self._boxes: list[Sides] = []
        self._segments: list[Sides] = []
        for mark in marks:
            if isinstance(mark, Line):
                run = (*mark.points, mark.points[0]) if mark.closed else mark.points
                for (ax, ay), (bx, by) in pairwise(run):
                    if abs(bx - ax) < LEVEL or abs(by - ay) < LEVEL:
                        self._boxes.append((min(ax, bx), min(ay, by), max(ax, bx), max(ay, by)))
                    else:
                        self._segments.append((ax, ay, bx, by))
            else:
                self._boxes.append(box_of(mark))
        self._sides, self._slanting = ROWLESS, ROWLESS

    def copy(self) -> Obstacles:
        """Return the same obstacles, to add others to."""
        other = copy(self)
        other._boxes, other._segments = [*self._boxes], [*self._segments]
        return other

    def add(self, box: Sides) -> None:
        """Add a box."""
        self._boxes.append(box)

    def add_segment(self, segment: Sides) -> None:
        """Add a line from x, y to x, y."""
        self._segments.append(segment)

    @property
    def sides(self) -> Any:
        """All boxes and level lines as rows."""
        self._sides = _grown(self._sides, self._boxes)
        return self._sides

    @property
    def slanting(self) -> Any:
        """All other lines as rows x, y, x, y."""
        self._slanting = _grown(self._slanting, self._segments)
        return self._slanting

    def touches(self, box: Sides) -> bool:
        """Tell whether a box is touched."""
        left, top, right, bottom = box
        for one in self._boxes:
            if one[0] <= right and one[2] >= left and one[1] <= bottom and one[3] >= top:
                return True
        return any(crosses(box, segment) for segment in self._segments)

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


def _grown(rows: Any, every: Sequence[Sides]) -> Any:
    """Return rows with those of a list that were added to it since they were made."""
    return rows if len(rows) == len(every) else np.vstack([rows, every[len(rows) :]])
