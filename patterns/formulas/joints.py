"""How far a cloth travels across a joint while its board opens.

The section is square to the spine, the book closed, the board uppermost. x runs from the base of
the shoulder towards the fore edge, z outwards to the board's outer face; the cloth's own
thickness is ignored. A board turns by θ from +x towards +z.

    O (0, 0)  base of the shoulder        S (−j/tan σ, j)  tip of the shoulder
    N (g, 0)  board's inner spine arris   C (g, B)  its outer arris   Q (g, e)  mouth of the slot
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from patterns.formulas.geometry import Point

JointKind = Literal["tight", "flush", "french"]
PathStart = Literal["S", "O"]
PathEnd = Literal["N", "C"] | tuple[Literal["Q"], float]

COLLISION_LIMIT_MM = 0.25
"""Board and shoulder do not match when arris and tip would overlap by more than this."""
SHORTER_MM = 1.0
"""A flange ends this far short of the slot's bottom."""


@dataclass(frozen=True, slots=True)
class Joint:
    """One board's joint: its kind, the shoulder, the gap, the bare board, how far it opens."""

    kind: JointKind
    shoulder_mm: float
    shoulder_angle_deg: float
    gap_mm: float
    board_mm: float
    opening_deg: float = 180.0
    pivot: Point | None = None

    @property
    def name(self) -> str:
        """What the joint is called on the sheets."""
        return "French joint" if self.kind == "french" else f"{self.kind} joint"

    @property
    def tip(self) -> Point:
        """S, the tip of the shoulder, in mm."""
        return (
            -self.shoulder_mm / math.tan(math.radians(self.shoulder_angle_deg)),
            self.shoulder_mm,
        )

    @property
    def flank_mm(self) -> float:
        """Length of the shoulder's flank from its base to its tip."""
        return math.hypot(*self.tip)

    @property
    def hinge(self) -> Point:
        """H, what the board turns about: the given pivot, the covering's middle, or the fold."""
        if self.pivot is not None:
            return self.pivot
        if self.kind == "flush":
            return (0.0, 0.0)
        x, z = self.tip
        return ((x + self.gap_mm) / 2, (z + self.board_mm) / 2)


@dataclass(frozen=True, slots=True)
class JointPath:
    """A cloth across a joint: what it needs at the worst opening, shut, and the difference."""

    length_mm: float
    straight_mm: float
    slack_mm: float

    def flange_mm(self, depth_mm: float) -> float:
        """Return the flange's width for a slot `depth_mm` deep: J + L − 1."""
        return self.length_mm + depth_mm - SHORTER_MM


def path(joint: Joint, start: PathStart, end: PathEnd) -> JointPath:
    """Return the cloth's length from S or O on the block to N, C or ("Q", e) on the board.

    Tight and flush joints: the greatest distance met while the board opens. French joints: the
    closed groove or, if longer, the way round the shoulder when the board lies against it (with
    a pivot given, also the distance about that pivot).
    """
    on_board = {"N": 0.0, "C": joint.board_mm}[end] if isinstance(end, str) else end[1]
    fixed = joint.tip if start == "S" else (0.0, 0.0)
    moving = (joint.gap_mm, on_board)
    straight = math.dist(fixed, moving)
    lengths = [straight]
    if joint.kind == "french":
        shut, opened = joint.gap_mm + on_board, joint.board_mm - on_board
        if start == "S":
            lengths += [joint.flank_mm + shut, opened]
        else:
            lengths += [shut, joint.flank_mm + opened]
    if joint.kind != "french" or joint.pivot is not None:
        lengths.append(_greatest(fixed, moving, joint.hinge, joint.opening_deg))
    length = max(lengths)
    return JointPath(length, straight, length - straight)


def _greatest(fixed: Point, moving: Point, hinge: Point, opening_deg: float) -> float:
    """Greatest distance between two points, one turning about the hinge up to the opening."""
    p, q = math.dist(fixed, hinge), math.dist(moving, hinge)
    if p == 0 or q == 0:
        return p + q
    at_rest = math.atan2(moving[1] - hinge[1], moving[0] - hinge[0]) - math.atan2(
        fixed[1] - hinge[1], fixed[0] - hinge[0]
    )
    if math.degrees(math.pi - at_rest) % 360 <= opening_deg:
        return p + q
    ends = (at_rest, at_rest + math.radians(opening_deg))
    return max(math.sqrt(p * p + q * q - 2 * p * q * math.cos(turn)) for turn in ends)


def covering_mm(joint: Joint) -> float:
    """Return the covering's way over a closed joint, from the shoulder's tip to the outer arris.

    Straight from S to C; in a French joint down to the middle of the groove's floor, (g/2, 0), and
    up again. The covering's own thickness is ignored.

    >>> round(covering_mm(Joint("french", 2.5, 90.0, 6.4, 2.5)), 4)
    8.1216
    """
    arris = (joint.gap_mm, joint.board_mm)
    if joint.kind == "french":
        floor = (joint.gap_mm / 2, 0.0)
        return math.dist(joint.tip, floor) + math.dist(floor, arris)
    return math.dist(joint.tip, arris)


def french_contact_deg(joint: Joint) -> float:
    """Return the opening in degrees at which a French joint's board meets an upright shoulder.

    Up to it the board turns about the middle of the groove, beyond it about the shoulder's tip.
    """
    half, shoulder, board = joint.gap_mm / 2, joint.shoulder_mm, joint.board_mm
    lean = math.atan2(half, shoulder)
    if shoulder <= board:
        return math.degrees(2 * lean)
    return math.degrees(lean + math.acos(board / math.hypot(half, shoulder)))


def collision_mm(joint: Joint) -> float:
    """Return by how much the board's arris and the shoulder's tip would overlap as it opens."""
    apart = joint.gap_mm - joint.tip[0]
    return (math.hypot(apart, joint.board_mm - joint.shoulder_mm) - apart) / 2


def sink_mm(joint: Joint) -> float:
    """Return how far a board thicker than the shoulder may sink past its tip in a French joint."""
    return max(0.0, joint.board_mm - joint.shoulder_mm)


def turned(joint: Joint, point: Point, opening_deg: float) -> Point:
    """Return where a point of the board lies when it is open by an angle.

    The board turns about the hinge; in a French joint first about the middle of the groove until
    it meets the shoulder, then about the shoulder's tip.
    """
    if joint.kind != "french" or joint.pivot is not None:
        return _about(point, joint.hinge, opening_deg)
    first = min(opening_deg, french_contact_deg(joint))
    return _about(_about(point, (joint.gap_mm / 2, 0.0), first), joint.tip, opening_deg - first)


def _about(point: Point, centre: Point, angle_deg: float) -> Point:
    dx, dz, turn = point[0] - centre[0], point[1] - centre[1], math.radians(angle_deg)
    return (
        centre[0] + dx * math.cos(turn) - dz * math.sin(turn),
        centre[1] + dx * math.sin(turn) + dz * math.cos(turn),
    )


def taut(joint: Joint, moving: Point, opening_deg: float) -> tuple[Point, ...]:
    """Return how a thread from the shoulder's base to a point of the open board lies when taut.

    Straight, or bent at the tip where the shoulder stands in its way.
    """
    base, tip, end = (0.0, 0.0), joint.tip, turned(joint, moving, opening_deg)
    if tip[0] * end[1] - tip[1] * end[0] > 1e-9:
        return base, tip, end
    return base, end


def run_mm(points: tuple[Point, ...]) -> float:
    """Return the length of a run of straight pieces."""
    return sum(math.dist(a, b) for a, b in pairwise(points))
