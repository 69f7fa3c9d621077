"""Shapes that are cut out by hand, laid by their true outlines where rectangles leave room.

Each shape in turn, the largest first, is tried with its corners at the corners of what is free,
and lies where it ends nearest to the beginning of the stock. The places tried are counted, and
nothing else bounds them: the same pieces give the same plan everywhere.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon, affinity

from patterns.cutting.plan import LaidPiece, area_of
from patterns.cutting.stock import GrainAlong
from patterns.cutting.wanted import StockPiece

FULL = 0.98
"""A piece that fills this share of the rectangle about it is cut as one."""
MOST_PLACES = 3000
"""Places of one shape on one stock that are looked at closely."""
HAIR_MM = 0.005
"""What a place may lose by being told in hundredths of a millimetre."""


def is_shape(piece: StockPiece) -> bool:
    """Tell whether a piece leaves much of its rectangle empty."""
    width, height = piece.size_mm
    return area_of(piece.outline) < FULL * width * height


@dataclass(slots=True)
class Pane:
    """A rectangle of stock: its usable part and what of that is still free, x along the width."""

    grain: GrainAlong
    usable: Polygon
    free: shapely.Geometry
    gap: float

    @classmethod
    def of(cls, grain: GrainAlong, usable: Polygon, laid: Sequence[LaidPiece], gap: float) -> Pane:
        """Return the pane with pieces on it, each taking its rectangle and the gap about it."""
        taken = [Polygon(one.outline).envelope for one in laid]
        grown = shapely.buffer(taken, gap + 2 * HAIR_MM, join_style="mitre")
        return cls(grain, usable, usable.difference(shapely.union_all(grown)), gap)

    def lay(self, piece: StockPiece) -> LaidPiece | None:
        """Lay a shape where it ends nearest to the beginning; None where it has no place."""
        best: tuple[tuple[float, float], LaidPiece, Polygon] | None = None
        for turn in _turns(piece, self.grain):
            shape = affinity.rotate(Polygon(piece.outline), turn, origin=(0, 0))
            left, top, *_ = shape.bounds
            shape = affinity.translate(shape, -left, -top)
            for reach, x, y in self._places(shape):
                if best is None or reach < best[0]:
                    moved = affinity.translate(shape, x, y)
                    ring = tuple((px, py) for px, py in moved.exterior.coords[:-1])
                    best = (
                        reach,
                        LaidPiece(piece.pattern, piece.name, turn, ring, by_hand=True),
                        moved,
                    )
                break
        if best is None:
            return None
        taken = best[2].buffer(self.gap + 2 * HAIR_MM, join_style="mitre", mitre_limit=2.0)
        self.free = shapely.difference(self.free, taken)
        return best[1]

    def _places(self, shape: Polygon) -> Iterator[tuple[tuple[float, float], float, float]]:
        """Yield where a shape fits, nearest first: (end along the grain, start across), x, y."""
        wide, high = shape.bounds[2:]
        spots = self._corners(shape)
        inside = shapely.buffer(self.free, HAIR_MM, join_style="mitre")
        shapely.prepare(inside)
        for px, py in shape.exterior.coords[:-1]:
            spots = spots[shapely.intersects_xy(inside, spots[:, 0] + px, spots[:, 1] + py)]
        along, across = (1, 0) if self.grain == "length" else (0, 1)
        extent = high if self.grain == "length" else wide
        order = np.lexsort((spots[:, across], spots[:, along]))[:MOST_PLACES]
        for x, y in spots[order]:
            if inside.covers(affinity.translate(shape, x, y)):
                ends = (y, x) if self.grain == "length" else (x, y)
                yield (round(float(ends[0] + extent), 2), float(ends[1])), float(x), float(y)

    def _corners(self, shape: Polygon) -> NDArray[np.float64]:
        """Return the places at which a corner of the shape, or of its rectangle, meets a free corner."""
        free = np.unique(np.round(shapely.get_coordinates(self.free), 3), axis=0)
        own = np.vstack(
            [
                shapely.get_coordinates(shape.convex_hull)[:-1],
                shapely.get_coordinates(shape.envelope)[:-1],
            ]
        )
        both = (free[:, None, :] - own[None, :, :]).reshape(-1, 2)
        return np.unique(np.round(both, 2), axis=0)


def _turns(piece: StockPiece, grain: GrainAlong) -> tuple[int, ...]:
    """Return the turns that keep a piece's grain along the stock's, its face up."""
    if piece.along is None:
        return 0, 90, 180, 270
    level = (piece.along == "y") == (grain == "length")
    return (0, 180) if level else (90, 270)


def nest(shapes: Sequence[StockPiece], panes: Sequence[Pane]) -> list[list[LaidPiece]] | None:
    """Lay every shape on the first pane that has a place; None where one has none on any."""
    each = [one for one in shapes for _ in range(one.count)]
    found: list[list[LaidPiece]] = [[] for _ in panes]
    for piece in sorted(each, key=lambda one: -area_of(one.outline)):
        for pane, own in zip(panes, found, strict=True):
            if laid := pane.lay(piece):
                own.append(laid)
                break
        else:
            return None
    return found
