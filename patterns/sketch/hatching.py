"""Hatching at 45°: what is pasted, on a piece or between two layers of a section."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
import shapely

from patterns.model.drawing import Line, LineKind, Point

PITCH = 3.0
LEAST_MM = 1e-6
"""A stroke shorter than this across is none."""


def hatch(region: Any, pitch: float = PITCH) -> tuple[Line, ...]:
    """Return lines at 45° within a polygon, `pitch` mm apart, only those that have length.

    Each stroke lies on a line x + y = s between two crossings of the polygon's rings, which have an
    even number on every line: counted so, all of them take a tenth of the time of intersections.
    """
    if region.is_empty:
        return ()
    left, top, right, bottom = shapely.bounds(region)
    step = pitch * 2**0.5
    sums = np.arange(np.ceil((left + top) / step), np.floor((right + bottom) / step) + 1) * step
    rings = shapely.get_rings(shapely.get_parts(region))
    points, owner = shapely.get_coordinates(rings, return_index=True)
    on = owner[1:] == owner[:-1]
    starts, ends = points[:-1][on], points[1:][on]
    low, high = starts.sum(axis=1), ends.sum(axis=1)
    crossed = (np.minimum(low, high) <= sums[:, None]) & (sums[:, None] < np.maximum(low, high))
    line, edge = np.nonzero(crossed)
    share = (sums[line] - low[edge]) / (high - low)[edge]
    x = starts[edge, 0] + share * (ends - starts)[edge, 0]
    along = np.lexsort((x, line))
    line, x = line[along], x[along]
    strokes = np.stack([x, sums[line] - x], axis=1).reshape(-1, 4)
    long = strokes[:, 2] - strokes[:, 0] > LEAST_MM
    return tuple(Line(LineKind.PASTED, ((a, b), (c, d))) for a, b, c, d in strokes[long].tolist())


def slants(length: float, height: float, pitch: float) -> Iterator[tuple[Point, Point]]:
    """Yield strokes at 45° across a band, as (along, up) in mm, clipped to its ends.

    A stroke shorter than 0.3 mm is left out.
    """
    for i in range(1, int((length + height) / pitch) + 1):
        low, high = max(0.0, i * pitch - height), min(length, i * pitch)
        if high - low > 0.3:
            yield (low, i * pitch - low), (high, i * pitch - high)


def paste(left: float, right: float, top: float, bottom: float, pitch: float) -> tuple[Line, ...]:
    """Return the hatching of a level band between two layers of a section."""
    return tuple(
        Line(LineKind.PASTED, tuple((left + along, bottom - up) for along, up in stroke))
        for stroke in slants(right - left, bottom - top, pitch)
    )
