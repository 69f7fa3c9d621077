"""Hatching at 45°: what is pasted, on a piece or between two layers of a section."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
import shapely

from patterns.model.drawing import Line, LineKind, Point
from patterns.sketch.marks import runs

PITCH = 3.0


def hatch(region: Any, pitch: float = PITCH) -> tuple[Line, ...]:
    """Return lines at 45° clipped to a polygon, `pitch` mm apart, only those that have length."""
    if region.is_empty:
        return ()
    left, top, right, bottom = shapely.bounds(region)
    step = pitch * 2**0.5
    sums = np.arange(np.ceil((left + top) / step), np.floor((right + bottom) / step) + 1) * step
    if not len(sums):
        return ()
    starts = np.stack([sums - bottom, np.full_like(sums, bottom)], axis=1)
    ends = np.stack([sums - top, np.full_like(sums, top)], axis=1)
    every = shapely.multilinestrings([*np.stack([starts, ends], axis=1)])
    cut = shapely.intersection(every, region)  # all at once: a fifth of the time of one by one
    return tuple(Line(LineKind.PASTED, run) for run in sorted(runs(cut), key=_along))


def _along(run: tuple[Point, ...]) -> tuple[float, float]:
    """Return which line a stroke lies on, and where, so that strokes follow each other."""
    (x, y), *_ = run
    return round(x + y, 3), x


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
