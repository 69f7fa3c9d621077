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
from typing import TYPE_CHECKING, Literal, NamedTuple

if TYPE_CHECKING:
    from patterns.model.drawing import Point


JointKind = Literal["tight", "flush", "french"]
PathStart = Literal["S", "O"]
PathEnd = Literal["N", "C"] | tuple[Literal["Q"], float]

COLLISION_LIMIT_MM = 0.25
"""Board and shoulder do not match when arris and tip would overlap by more than this."""
_ROUND_STEPS = 720
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


class JointPath(NamedTuple):
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
    a pivot given, also the distance about that pivot), and never less than the shortest way round
    the shoulder's tip and the board's outer arris at any degree of its turn.
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
            lengths += [shut, joint.flank_mm + opened, _way_round(joint, moving)]
    if joint.kind != "french" or joint.pivot is not None:
        lengths.append(_greatest(fixed, moving, joint.hinge, joint.opening_deg))
    length = max(lengths)
    return JointPath(length, straight, length - straight)


def _way_round(joint: Joint, moving: Point) -> float:
    """Longest of the shortest ways from the shoulder's base to a point of the turning board."""
    steps = max(1, math.ceil(joint.opening_deg))
    angles = (joint.opening_deg * step / steps for step in range(steps + 1))
    return max(run_mm(taut(joint, moving, angle)) for angle in angles)


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
    """Return the opening in degrees at which a French joint's board meets the shoulder's tip.

    Up to it the board turns about the middle of the groove, beyond it about the shoulder's tip. It
    meets the tip with its spine edge, or, where the tip is further away than its outer arris, with
    its outer face. A tip nearer to the middle than the board's edge is never met: 360.
    """
    half, board = joint.gap_mm / 2, joint.board_mm
    away = (joint.tip[0] - half, joint.tip[1])
    far = math.hypot(*away)
    if far < half:
        return 360.0
    met = math.acos(half / far) if far <= math.hypot(half, board) else math.asin(board / far)
    return math.degrees(math.atan2(away[1], away[0]) - met)


def collision_mm(joint: Joint) -> float:
    """Return by how much the board's arris and the shoulder's tip would overlap as it opens."""
    apart = joint.gap_mm - joint.tip[0]
    return (math.hypot(apart, joint.board_mm - joint.shoulder_mm) - apart) / 2


def round_entered_mm(joint: Joint, chord_mm: float, turn_deg: float, opening_deg: float) -> float:
    """Return how far the round of a spine reaches into a flush board open by an angle.

    The board turns about the outer fold, and its spine edge meets the circle that bulges beyond the
    folds, `chord_mm` apart, by `turn_deg` in all. 0 where they do not meet.
    """
    if turn_deg <= 0:
        return 0.0
    half = math.radians(turn_deg) / 2
    radius, turn = chord_mm / (2 * math.sin(half)), math.radians(opening_deg)
    deepest = 0.0
    for step in range(_ROUND_STEPS + 1):
        at = half - 2 * half * step / _ROUND_STEPS
        x = radius * (math.cos(half) - math.cos(at))
        z = radius * (math.sin(at) - math.sin(half))
        along = x * math.cos(turn) + z * math.sin(turn) - joint.gap_mm
        across = z * math.cos(turn) - x * math.sin(turn)
        if -1e-9 <= across <= joint.board_mm:
            deepest = max(deepest, along)
    return deepest


def clear_of_round_deg(joint: Joint, chord_mm: float, turn_deg: float) -> int:
    """Return to how many whole degrees a flush board opens before it meets the round; 180 at most."""
    openings = range(180, -1, -1)
    clear = (deg for deg in openings if round_entered_mm(joint, chord_mm, turn_deg, deg) < 1e-6)
    return next(clear, 0)


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
    """Return how a thread from the shoulder's base to the open board's spine edge lies when taut.

    Straight, or bent at the tip where the shoulder stands in its way, and at the outer arris where
    the board itself does: the end then lies behind it.
    """
    base, tip = (0.0, 0.0), joint.tip
    end = turned(joint, moving, opening_deg)
    first = _past_the_arris(joint, base, end, opening_deg)
    if tip[0] * first[0][1] - tip[1] * first[0][0] > 1e-9:
        return base, tip, *_past_the_arris(joint, tip, end, opening_deg)
    return base, *first


def _past_the_arris(
    joint: Joint, start: Point, end: Point, opening_deg: float
) -> tuple[Point, ...]:
    """Return the way on to the spine edge: by the outer arris from a place over the outer face."""
    inner, arris = (
        turned(joint, (joint.gap_mm, height), opening_deg) for height in (0.0, joint.board_mm)
    )
    out = (arris[0] - inner[0], arris[1] - inner[1])
    seen = (start[0] - arris[0], start[1] - arris[1])
    over = seen[0] * out[0] + seen[1] * out[1]
    towards_fore_edge = seen[0] * out[1] - seen[1] * out[0]
    hidden = over > -1e-9 and towards_fore_edge > 1e-9 and math.dist(end, arris) > 1e-9
    return (arris, end) if hidden else (end,)


def run_mm(points: tuple[Point, ...]) -> float:
    """Return the length of a run of straight pieces."""
    return sum(math.dist(a, b) for a, b in pairwise(points))
