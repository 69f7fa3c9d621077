"""What a tracing holds once it is read: rings in mm, a scale bar, the leaf's own edges."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from patterns.errors import SettingError
from patterns.model.drawing import Point, Ring
from patterns.traced.svg_path import MOST_POINTS, Run, too_long

JOIN_MM = 1.0
"""A line whose ends lie no further apart was meant to be closed."""


@dataclass(frozen=True, slots=True)
class Traced:
    """Losses as compound outlines in mm (x right, y down), as they were drawn, not yet mended.

    `scale_mm` is the length of the drawn scale bar, `leaf` the leaf's own outline, `name` the file.
    """

    losses: tuple[tuple[Ring, ...], ...]
    scale_mm: float | None = None
    leaf: Ring | None = None
    name: str = ""


def role(names: Sequence[str], held: str) -> str:
    """Return what a shape is by its names: "scale", "leaf", or what its group is (`held`)."""
    for name in names:
        for word in ("scale", "leaf"):
            if name.strip().lower().startswith(word):
                return word
    return held


@dataclass(slots=True)
class Gathered:
    """Shapes gathered from a file by what they are."""

    losses: list[tuple[Ring, ...]]
    bars: list[float]
    leaves: list[Ring]
    points: int = 0

    def add(self, kind: str, runs: Sequence[Run]) -> None:
        """Take in one shape; open lines are refused unless they are a scale bar."""
        self.points += sum(len(run.points) for run in runs)
        if self.points > MOST_POINTS:
            raise too_long()
        if kind == "scale":
            self.bars += [_length(run.points) for run in runs if len(run.points) > 1]
            return
        rings = tuple(_closed(run) for run in runs if len(run.points) > 1)
        if kind == "leaf":
            self.leaves += rings
        elif rings:
            self.losses.append(rings)

    def traced(self, name: str) -> Traced:
        """Return what was gathered; a second leaf is refused."""
        if len(self.leaves) > 1:
            raise SettingError(
                f"{name} has {len(self.leaves)} outlines named “leaf”; trace one leaf to a file"
            )
        leaf = self.leaves[0] if self.leaves else None
        return Traced(tuple(self.losses), max(self.bars, default=None), leaf, name)


def _closed(run: Run) -> Ring:
    points = [p for i, p in enumerate(run.points) if i == 0 or p != run.points[i - 1]]
    gap = math.dist(points[0], points[-1])
    if not run.closed and gap > JOIN_MM:
        x, y = points[-1]
        raise SettingError(
            f"an outline is open by {gap:.1f} mm near {x:.1f},{y:.1f}; close it, along the leaf's edge "
            "where the loss reaches it (a line that is a scale bar is named “scale”)"
        )
    if len(points) > 1 and gap < 1e-9:
        points.pop()
    if len(points) < 3:
        x, y = points[0]
        raise SettingError(f"a line near {x:.1f},{y:.1f} encloses nothing; close it or take it out")
    return tuple(points)


def _length(points: Sequence[Point]) -> float:
    """Return the length of a bar: a thin box's longer side, else the distance of its far ends."""
    if len({*points}) == 4 and len(points) in (4, 5):
        return max(math.dist(points[0], points[1]), math.dist(points[1], points[2]))
    if len(points) > 1000:
        raise SettingError("the scale bar is no plain line; draw it as one straight line")
    return max(math.dist(p, q) for p in points for q in points)
