"""The curve that a section's layers lie on: spine, joints and boards, enlarged, in mm on paper.

(0, 0) is the middle of the chord from tip to tip, x runs to the right and y from the spine towards
the fore edge, so that the crown of a rounded spine lies at a negative y. Places along the spine are
shares of half the girth, -1 and 1 at the tips; `up` is a distance from the curve, outwards.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import shapely

from patterns.model.drawing import Point, Ring
from patterns.model.profile import SideProfile, SpineProfile

STEPS = 64
"""Straight pieces of a drawn curve, from tip to tip."""
FLAT_MM = 0.05
"""A rise less than this is drawn flat."""


@dataclass(frozen=True, slots=True)
class Curve:
    """A book's spine at a scale; sides are drawn `leg` mm long, the boards `apart` from the block."""

    profile: SpineProfile
    scale: float
    leg: float
    apart: tuple[float, float]

    @property
    def half(self) -> float:
        """Half the chord."""
        return self.profile.chord_mm * self.scale / 2

    def at(self, share: float, up: float) -> Point:
        """Return the point at a share of half the girth, so far out of the curve."""
        return self.run([share], up)[0]

    def over(self, left: float, right: float, up: float) -> list[Point]:
        """Return the run over the spine from one share to another, `up` from the curve."""
        count = max(2, round(STEPS * (right - left) / 2))
        return self.run([left + (right - left) * i / count for i in range(count + 1)], up)

    def run(self, shares: Iterable[float], up: float) -> list[Point]:
        """Return the points at some shares of half the girth, so far out of the curve."""
        half, rise = self.half, self.profile.round_mm * self.scale
        if abs(rise) < FLAT_MM:
            return [(share * half, -up) for share in shares]
        sign = math.copysign(1.0, rise)
        radius = (half**2 + rise**2) / (2 * abs(rise))
        angle = math.atan2(abs(rise), half)
        far = max(radius + sign * up, 0.5)
        centre = sign * (radius - abs(rise))
        turns = [share * 2 * angle for share in shares]
        return [(far * math.sin(turn), centre - sign * far * math.cos(turn)) for turn in turns]

    def side(self, sign: int) -> DrawnSide:
        """Return the joint and board at the left (-1) or right (1)."""
        own = self.profile.right if sign > 0 else self.profile.left
        return DrawnSide(sign, own, self.half, self.scale, self.leg, self.apart[sign > 0])

    def block(self) -> Ring:
        """Return the text block, open where it is broken off below."""
        left, right = self.side(-1), self.side(1)
        return (
            (left.face(0.0), self.leg),
            (left.face(0.0), left.base_y),
            *self.over(-1.0, 1.0, 0.0),
            (right.face(0.0), right.base_y),
            (right.face(0.0), self.leg),
        )


@dataclass(frozen=True, slots=True)
class DrawnSide:
    """One joint with its board, the book shut; `z` is outwards from the block's face."""

    sign: int
    own: SideProfile
    half: float
    scale: float
    leg: float
    apart: float
    """How far the board is drawn off the block, for what lies beneath it."""

    @property
    def boarded(self) -> bool:
        """There is a board."""
        return self.own.board_mm > 0

    @property
    def base_y(self) -> float:
        """Where the base of the shoulder lies, below the tip."""
        return -self.own.lean_mm * self.scale

    @property
    def edge_y(self) -> float:
        """Where the board's spine edge lies; without a board, the tip."""
        return self.base_y + self.own.gap_mm * self.scale if self.boarded else 0.0

    def face(self, z: float) -> float:
        """Return the x of a place so far outwards from the block's face."""
        return self.sign * (self.half - self.own.shoulder_mm * self.scale + z)

    def outer(self, out: float) -> float:
        """Return the x of a place outwards from the board's outer face; without one, from the tip."""
        if not self.boarded:
            return self.sign * (self.half + out)
        return self.face(self.apart + self.own.board_mm * self.scale + out)

    def board(self) -> Ring:
        """Return the board as far as it is drawn."""
        inner, outer = self.face(self.apart), self.outer(0.0)
        top = self.edge_y
        return (inner, top), (outer, top), (outer, self.leg), (inner, self.leg)

    def slot(self, to_mm: float) -> tuple[Point, Point]:
        """Return the middle line of the slot from its mouth to a depth in mm."""
        slot = self.own.slot
        assert slot is not None
        share = min(1.0, to_mm / slot.depth_mm)
        rise = slot.bottom_mm - slot.mouth_mm
        run = math.sqrt(max(slot.depth_mm**2 - rise**2, 0.0)) * share * self.scale
        mouth = (self.face(self.apart + slot.mouth_mm * self.scale), self.edge_y)
        z = self.apart + (slot.mouth_mm + rise * share) * self.scale
        return mouth, (self.face(z), self.edge_y + run)

    def outside(self, out: float, reach_mm: float) -> list[Point]:
        """Return the way on from the tip over the outer face, `out` mm off it.

        A groove is followed to the middle of its floor; the way ends where the cloth does.
        """
        floor: list[Point] = []
        if self.own.groove:
            floor = [(self.face(out), self.base_y + self.own.gap_mm * self.scale / 2)]
        x = self.outer(out)
        tip = (self.sign * self.half, 0.0)
        ground = [*((self.face(0.0), y) for _, y in floor), (self.outer(0.0), self.edge_y)]
        return [*floor, (x, self.edge_y), (x, self._end(tip, ground, reach_mm))]

    def inside(self, out: float, reach_mm: float) -> list[Point]:
        """Return the way on from the tip along the block, `out` mm off it, beneath the board."""
        x, tip = self.face(out), (self.sign * self.half, 0.0)
        ground = [(self.face(0.0), self.edge_y)]
        base = [(x, self.base_y)] if self.own.groove else []
        return [*base, (x, self.edge_y), (x, self._end(tip, ground, reach_mm))]

    def _end(self, tip: Point, ground: list[Point], reach_mm: float) -> float:
        """Return how far down a cloth reaches that follows the ground from the tip on."""
        run = [tip, *ground]
        used = sum(math.dist(a, b) for a, b in pairwise(run))
        down = self.edge_y + max(0.5, reach_mm * self.scale - used)
        return min(down, self.leg)


def thick(line: list[Point], thickness: float) -> Any:
    """Return a run of points as a band of a thickness."""
    return shapely.LineString(line).buffer(thickness / 2, cap_style="flat", join_style="mitre")


def between(low: list[Point], high: list[Point]) -> Any:
    """Return what lies between two runs of points."""
    return shapely.Polygon([*low, *reversed(high)]).buffer(0)
