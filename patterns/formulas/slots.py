"""The slot in a board's spine edge that takes a flange of cloth: where it fits, how deep.

Heights are measured from the board's inner face. The slot's middle goes from its mouth towards
one face; half the kerf is kerf/(2·cos α) through the thickness, and every wall must hold.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from patterns.errors import SettingError, Unsuitable

Toward = Literal["inner", "outer"]

_STEP_MM = 0.5
_FIRST_DEPTH_MM = 12.0
_STEEPEST_DEG = 12.0


@dataclass(frozen=True, slots=True)
class Slot:
    """A slot in a board's spine edge; heights are of its middle, from the board's inner face."""

    depth_mm: float
    angle_deg: float
    mouth_mm: float
    bottom_mm: float
    kerf_mm: float
    least_wall_mm: float
    toward: Toward


def slot(
    board_mm: float,
    kerf_mm: float,
    depth_mm: float | None = None,
    angle_deg: float | None = None,
    wall_mm: float = 0.8,
    least_angle_deg: float = 0.0,
    least_depth_mm: float = 6.0,
    toward: Toward = "inner",
    entry_mm: float | None = None,
) -> Slot:
    """Return the slot that keeps `wall_mm` of board on both sides, as steep and deep as allowed.

    Left open, the angle is the smaller of 12° and what the walls allow, not below
    `least_angle_deg`; then the depth goes from 12 mm down to `least_depth_mm` in steps of 0.5.
    Raises SettingError when a given depth or angle breaks out, with what would hold; Unsuitable
    when nothing in the range holds.
    """
    room = _Room(board_mm, kerf_mm, wall_mm, entry_mm, toward)
    if depth_mm is not None:
        depths = [depth_mm]
    else:
        first = max(_FIRST_DEPTH_MM, least_depth_mm)
        count = math.floor((first - least_depth_mm) / _STEP_MM + 1e-9)
        depths = [first - _STEP_MM * i for i in range(count + 1)]
    for depth in depths:
        most = room.largest_angle_deg(depth)
        if angle_deg is None:
            angle = None if most is None else min(_STEEPEST_DEG, most)
            fits = angle is not None and angle >= least_angle_deg
        else:
            angle = angle_deg
            fits = most is not None and angle <= most + 1e-9
        if fits and angle is not None:
            return room.cut(depth, angle)
    raise _no_slot(room, depth_mm, angle_deg, least_angle_deg, least_depth_mm)


def largest_depth_mm(
    board_mm: float,
    kerf_mm: float,
    angle_deg: float,
    wall_mm: float = 0.8,
    toward: Toward = "inner",
    entry_mm: float | None = None,
) -> float | None:
    """Return the deepest slot at that angle that keeps its walls (infinite at 0°), or None."""
    return _Room(board_mm, kerf_mm, wall_mm, entry_mm, toward).largest_depth_mm(angle_deg)


def largest_angle_deg(
    board_mm: float,
    kerf_mm: float,
    depth_mm: float,
    wall_mm: float = 0.8,
    toward: Toward = "inner",
    entry_mm: float | None = None,
) -> float | None:
    """Return the steepest angle at that depth that keeps the walls, or None when none does."""
    return _Room(board_mm, kerf_mm, wall_mm, entry_mm, toward).largest_angle_deg(depth_mm)


def end_arc_mm(cutter_diameter_mm: float, depth_mm: float) -> float:
    """Return the length in mm of the curved run a disc cutter leaves at each end of a slot.

    0 for a diameter of 0 (square ends). Raises SettingError when the disc cannot cut so deep.
    """
    if cutter_diameter_mm == 0:
        return 0.0
    if depth_mm >= cutter_diameter_mm / 2:
        raise SettingError(
            f"cutter_diameter = {cutter_diameter_mm:g} mm: a disc cuts less deep than its radius, "
            f"and the slot is {depth_mm:g} mm deep; take a disc over {2 * depth_mm:g} mm, or 0 for "
            "square ends"
        )
    return math.sqrt(cutter_diameter_mm * depth_mm - depth_mm**2)


def slot_extent_mm(
    board_height_mm: float,
    setbacks_mm: tuple[float, float],
    squares_mm: tuple[float, float],
    margin_mm: float,
) -> tuple[float, float]:
    """Return where the slot starts and ends, in mm from the board's head.

    Setbacks and squares are (head, tail); the slot is 1 mm longer than the cloth at each end
    and never nearer the board's ends than the margin.
    """
    head, tail = (
        max(margin_mm, setback + square - 1.0)
        for setback, square in zip(setbacks_mm, squares_mm, strict=True)
    )
    return head, board_height_mm - tail


@dataclass(frozen=True, slots=True)
class _Room:
    """What a board's edge offers a slot: measured from the face the slot leaves behind."""

    board_mm: float
    kerf_mm: float
    wall_mm: float
    entry_mm: float | None
    toward: Toward

    def _half_kerf(self, angle_deg: float) -> float:
        return self.kerf_mm / (2 * math.cos(math.radians(angle_deg)))

    def _rise_left(self, angle_deg: float) -> float:
        """How far the middle may climb through the thickness; negative when a wall is thin."""
        half = self._half_kerf(angle_deg)
        if self.entry_mm is None:
            return self.board_mm - 2 * (self.wall_mm + half)
        behind = self.entry_mm if self.toward == "outer" else self.board_mm - self.entry_mm
        ahead = self.board_mm - behind
        return ahead - self.wall_mm - half if behind - half >= self.wall_mm - 1e-9 else -1.0

    def largest_depth_mm(self, angle_deg: float) -> float | None:
        left = self._rise_left(angle_deg)
        if left < -1e-9:
            return None
        return math.inf if angle_deg == 0 else left / math.sin(math.radians(angle_deg))

    def largest_angle_deg(self, depth_mm: float) -> float | None:
        low, high = 0.0, 90.0
        if self._rise_left(low) < -1e-9:
            return None
        for _ in range(60):
            angle = (low + high) / 2
            if depth_mm * math.sin(math.radians(angle)) <= self._rise_left(angle):
                low = angle
            else:
                high = angle
        return low

    def cut(self, depth_mm: float, angle_deg: float) -> Slot:
        rise = depth_mm * math.sin(math.radians(angle_deg))
        sign = 1 if self.toward == "outer" else -1
        mouth = self.board_mm / 2 - sign * rise / 2 if self.entry_mm is None else self.entry_mm
        bottom = mouth + sign * rise
        thinnest = min(mouth, bottom, self.board_mm - mouth, self.board_mm - bottom)
        least = thinnest - self._half_kerf(angle_deg)
        return Slot(depth_mm, angle_deg, mouth, bottom, self.kerf_mm, least, self.toward)


def _no_slot(
    room: _Room,
    depth_mm: float | None,
    angle_deg: float | None,
    least_angle_deg: float,
    least_depth_mm: float,
) -> SettingError | Unsuitable:
    board = f"a board {room.board_mm:.1f} mm thick with walls of {room.wall_mm:.1f} mm"
    if room.entry_mm is not None:
        board += f" and the mouth {room.entry_mm:.2f} mm from its inner face"
    at_depth = depth_mm if depth_mm is not None else least_depth_mm
    at_angle = angle_deg if angle_deg is not None else least_angle_deg
    deepest, steepest = room.largest_depth_mm(at_angle) or 0.0, room.largest_angle_deg(at_depth)
    if steepest is None:
        return Unsuitable(
            f"{board} has no room for a cut of {room.kerf_mm:.2f} mm; take a thinner cloth or "
            "thinner walls, move the entry, or use a cloth hinge pasted to the board"
        )
    hold = (
        f"the largest depth at {at_angle:.1f}° is {math.floor(deepest * 10) / 10:.1f} mm, "
        f"the largest angle at {at_depth:.1f} mm is {math.floor(steepest * 10) / 10:.1f}°"
    )
    if depth_mm is None and angle_deg is None:
        return Unsuitable(
            f"{board} takes no slot {least_depth_mm:g} mm deep at {least_angle_deg:g}° or more: "
            f"{hold}; lower least_angle or least_depth, or use another attachment"
        )
    return SettingError(f"the slot breaks out of {board}: {hold}; set depth or angle within that")
