"""What an independent person finds out about a plan: from plan.json alone, by shapely."""

from __future__ import annotations

import json
from typing import Any

from shapely.geometry import LineString, Polygon, box
from shapely.ops import split

from patterns.cutting.plan import Plan

Sheet = dict[str, Any]


def sheets(plan: Plan) -> list[Sheet]:
    """Return the stock of a plan as its document tells it."""
    found: list[Sheet] = json.loads(plan.to_json())["stock"]
    return found


def outlines(sheet: Sheet) -> list[Polygon]:
    """Return the pieces of one sheet."""
    return [Polygon(piece["outline_mm"]) for piece in sheet["pieces"]]


def whole(sheet: Sheet) -> Polygon:
    """Return the stock itself."""
    return box(0, 0, sheet["width_mm"], sheet["length_mm"])


def least_distance(sheet: Sheet) -> float:
    """Return how near any two pieces come to each other, in mm."""
    found = outlines(sheet)
    pairs = [(one, two) for n, one in enumerate(found) for two in found[n + 1 :]]
    return min((one.distance(two) for one, two in pairs), default=float("inf"))


def least_margin(sheet: Sheet) -> float:
    """Return how near any piece comes to an edge of the stock; below 0 when it leaves it."""
    edge = whole(sheet)
    return min(
        one.distance(edge.exterior) if edge.contains(one) or edge.covers(one) else -1.0
        for one in outlines(sheet)
    )


def parted(sheet: Sheet) -> list[Polygon]:
    """Cut the stock by every cut in its order; each must run right through one part, no further.

    A roll is longer than what is cut off it: its first cut lies at its end and parts nothing here.
    """
    parts = [whole(sheet)]
    for start, end in sheet["cuts"]:
        line = LineString([start, end])
        touched = [part for part in parts if line.intersection(part).length > 1e-6]
        edges = [
            part
            for part in touched
            if part.exterior.distance(line.interpolate(0.5, normalized=True)) < 1e-6
        ]
        if edges and len(edges) == len(touched):
            assert whole(sheet).exterior.distance(line.interpolate(0.5, normalized=True)) < 1e-6, (
                line
            )
            continue
        assert len(touched) == 1, f"{line} crosses {len(touched)} parts"
        (part,) = touched
        assert part.exterior.distance(line.boundary.geoms[0]) < 1e-3
        assert part.exterior.distance(line.boundary.geoms[1]) < 1e-3
        halves = [
            half
            for half in split(part, LineString(_longer(start, end))).geoms
            if isinstance(half, Polygon)
        ]
        assert len(halves) == 2, f"{line} does not part anything"
        parts.remove(part)
        parts += halves
    return parts


def _longer(start: list[float], end: list[float]) -> list[tuple[float, float]]:
    """Return a cut a hair longer than it is, as a blade is."""
    (x0, y0), (x1, y1) = start, end
    length = max(abs(x1 - x0), abs(y1 - y0))
    dx, dy = 0.001 * (x1 - x0) / length, 0.001 * (y1 - y0) / length
    return [(x0 - dx, y0 - dy), (x1 + dx, y1 + dy)]


def falls_apart(sheet: Sheet) -> None:
    """Assert that each piece's rectangle is one of the parts that the cuts leave."""
    parts = parted(sheet)
    for one in outlines(sheet):
        wanted = one.envelope
        hair = 0.11 * wanted.length  # sizes are rounded up to a tenth of a millimetre
        assert any(wanted.symmetric_difference(part).area < hair for part in parts), wanted.bounds
