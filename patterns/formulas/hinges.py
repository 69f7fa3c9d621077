"""The tissue of a hinge laid flat: a stub behind the folds, a side on the cover, a joint between.

x counts from the joint edge of the block, + towards the fore edge; y from the head of the block.
The stub's far edge follows the taper of the spine.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import shapely
from shapely import Polygon, box, union_all

CORNER_MM = 3.0
"""Radius of the step between stub and side (practice): a sharp corner tears."""


@dataclass(frozen=True, slots=True)
class Tissue:
    """One tissue: stub widths at its head and tail, heights of stub and side, what stays free."""

    stub_head: float
    stub_tail: float
    stub_top: float
    stub_bottom: float
    reach: float
    """How far the side part goes from the joint edge."""
    side_top: float
    side_bottom: float
    keep: float
    """Unbonded on the stub, from the joint edge inwards."""
    free: float
    """Unbonded on the side, from the joint edge outwards, slack included."""
    stub_end: float = 1.0
    """How far the stub stops short of the far joint."""
    slack: float = 0.0
    """Of the tissue across the joint; it lies in the free strip."""

    @property
    def stub_mm(self) -> float:
        """Return the stub's width where it is widest."""
        return max(self.stub_head, self.stub_tail)

    @property
    def width_mm(self) -> float:
        """Return the whole width, spine to fore edge."""
        return self.stub_mm + self.reach

    def stub(self, less: float = 0.0, near: float = 0.0) -> Any:
        """Return the stub from `less` short of its far edge to `near` short of the joint edge."""
        return Polygon(
            [
                (-(self.stub_head - less), self.stub_top),
                (-near, self.stub_top),
                (-near, self.stub_bottom),
                (-(self.stub_tail - less), self.stub_bottom),
            ]
        )

    def side(self, near: float = 0.0) -> Any:
        """Return the side from `near` beyond the joint edge to its fore edge."""
        return box(near, self.side_top, self.reach, self.side_bottom)

    def outline(self) -> Any:
        """Return the whole tissue, its steps at the joint rounded."""
        steps = [
            _step(self.stub_top, self.side_top, -1),
            _step(self.stub_bottom, self.side_bottom, 1),
        ]
        return union_all([self.stub(), self.side(), *steps]).simplify(1e-6)

    def free_strip(self) -> Any:
        """Return the strip across the joint that nothing is bonded to."""
        top, bottom = min(self.stub_top, self.side_top), max(self.stub_bottom, self.side_bottom)
        return box(-self.keep, top, self.free, bottom).intersection(self.outline())


def _step(stub: float, side: float, outwards: int) -> Any:
    """Fill the inner corner of a step; `outwards` is −1 at the head and 1 at the tail.

    The corner lies on the stub where the side is the higher, else on the side.
    """
    radius = min(CORNER_MM, abs(side - stub))
    if radius == 0:
        return Polygon()
    lies, at = (-1, stub) if outwards * (side - stub) > 0 else (1, side)
    (left, right), (top, bottom) = (
        sorted((0.0, lies * radius)),
        sorted((at, at + outwards * radius)),
    )
    disc = shapely.Point(lies * radius, at + outwards * radius).buffer(radius, quad_segs=32)
    return box(left, top, right, bottom).difference(disc)
