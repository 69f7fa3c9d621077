"""The slot in a board's spine edge that takes a flange of cloth: where it fits, how deep.

Heights are measured from the board's inner face. The slot's middle goes from its mouth towards
one face; half the kerf is kerf/(2·cos α) through the thickness, and every wall must hold, even on
a board that was read too thick by as much as calipers err: the slot is laid out in B − error.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Literal, NamedTuple

from patterns.errors import SettingError, Unsuitable

Toward = Literal["inner", "outer"]

FIRST_DEPTH_MM = 10.0
"""Depth that is tried first: beyond it depth adds no strength (memory: 10 to 13)."""
WALL_MM = 0.8
"""What is left of the board on both sides of a slot (practice)."""
_STEP_MM = 0.5
_STEEPEST_DEG = 12.0
_STEP_DEG = 0.5
"""A fence or a wedge under the board is set to half a degree, not finer (practice)."""
_SLOPE_DEG = 2.0
"""Depth is given up for this slope; less slope only at the least depth (practice)."""


class Slot(NamedTuple):
    """A slot in a board's spine edge; heights are of its middle, from the board's inner face."""

    depth_mm: float
    angle_deg: float
    mouth_mm: float
    bottom_mm: float
    kerf_mm: float
    least_wall_mm: float
    """Where the board is thinner than read by as much as calipers err."""
    toward: Toward


def slot(
    board_mm: float,
    kerf_mm: float,
    depth_mm: float | None = None,
    angle_deg: float | None = None,
    wall_mm: float = WALL_MM,
    least_angle_deg: float = 0.0,
    least_depth_mm: float = 6.0,
    toward: Toward = "inner",
    entry_mm: float | None = None,
    error_mm: float = 0.0,
) -> Slot:
    """Return the slot that keeps `wall_mm` of board on both sides, as steep and deep as allowed.

    Left open, the angle is the smaller of 12° and what the walls allow, rounded down to half
    degrees; the depth goes from 10 mm down in steps of 0.5 until the angle is 2° (or
    `least_angle_deg` where that is more), and only at `least_depth_mm` may the angle fall to
    `least_angle_deg`. A given angle is taken as it is. `error_mm` is that of the board's reading.
    Raises SettingError when a given depth or angle breaks out, with what would hold; Unsuitable
    when nothing in the range holds.
    """
    room = BoardEdge(board_mm, kerf_mm, wall_mm, entry_mm, toward, error_mm)
    depths = [depth_mm] if depth_mm is not None else _depths(least_depth_mm)
    for depth in depths:
        most = room.largest_angle_deg(depth)
        if most is None:
            continue
        if angle_deg is not None:
            if angle_deg <= most + 1e-9:
                return room.cut(depth, angle_deg)
            continue
        wanted = least_angle_deg if depth == depths[-1] else max(_SLOPE_DEG, least_angle_deg)
        angle = _rounded(min(_STEEPEST_DEG, most), least_angle_deg)
        if angle >= wanted:
            return room.cut(depth, angle)
    raise _no_slot(room, depth_mm, angle_deg, least_angle_deg, least_depth_mm)


def _depths(least_mm: float) -> list[float]:
    """Return the depths that are tried, the first first; the least one is always among them."""
    first = max(FIRST_DEPTH_MM, least_mm)
    count = math.ceil((first - least_mm) / _STEP_MM - 1e-9)
    return [*(first - _STEP_MM * i for i in range(count)), least_mm]


def _rounded(angle_deg: float, least_deg: float) -> float:
    """Round an angle down to half degrees, but not below what the tool can cut and the walls allow."""
    down = math.floor(angle_deg / _STEP_DEG + 1e-9) * _STEP_DEG
    return max(down, min(least_deg, angle_deg))


def least_board_mm(
    kerf_mm: float,
    wall_mm: float = WALL_MM,
    angle_deg: float = 0.0,
    depth_mm: float = 6.0,
    error_mm: float = 0.0,
) -> float:
    """Return the thinnest board that takes such a slot: 2·wall + kerf/cos α + L·sin α + error.

    >>> round(least_board_mm(0.35, error_mm=0.1), 3)
    2.05
    """
    angle = math.radians(angle_deg)
    return 2 * wall_mm + kerf_mm / math.cos(angle) + depth_mm * math.sin(angle) + error_mm


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


class BoardEdge(NamedTuple):
    """What a board's edge offers a slot: measured from the face the slot leaves behind."""

    board_mm: float
    kerf_mm: float
    wall_mm: float = WALL_MM
    entry_mm: float | None = None
    toward: Toward = "inner"
    error_mm: float = 0.0

    @property
    def sure_mm(self) -> float:
        """How thick the board is at least."""
        return self.board_mm - self.error_mm

    def _half_kerf(self, angle_deg: float) -> float:
        return self.kerf_mm / (2 * math.cos(math.radians(angle_deg)))

    def _rise_left(self, angle_deg: float) -> float:
        """How far the middle may climb through the thickness; negative when a wall is thin."""
        half = self._half_kerf(angle_deg)
        if self.entry_mm is None:
            return self.sure_mm - 2 * (self.wall_mm + half)
        behind = self.entry_mm if self.toward == "outer" else self.sure_mm - self.entry_mm
        ahead = self.sure_mm - behind
        return ahead - self.wall_mm - half if behind - half >= self.wall_mm - 1e-9 else -1.0

    def largest_depth_mm(self, angle_deg: float) -> float | None:
        """Return the deepest slot at that angle that keeps its walls (infinite at 0°), or None."""
        left = self._rise_left(angle_deg)
        if left < -1e-9:
            return None
        return math.inf if angle_deg == 0 else left / math.sin(math.radians(angle_deg))

    @lru_cache(maxsize=256)  # noqa: B019, edges are values: a book's are asked again and again
    def largest_angle_deg(self, depth_mm: float) -> float | None:
        """Return the steepest angle at that depth that keeps the walls, or None when none does."""
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
        """Return the slot of that depth and angle; whether its walls hold is not asked again."""
        rise = depth_mm * math.sin(math.radians(angle_deg))
        sign = 1 if self.toward == "outer" else -1
        mouth = self.sure_mm / 2 - sign * rise / 2 if self.entry_mm is None else self.entry_mm
        bottom = mouth + sign * rise
        thinnest = min(mouth, bottom, self.sure_mm - mouth, self.sure_mm - bottom)
        least = thinnest - self._half_kerf(angle_deg)
        return Slot(depth_mm, angle_deg, mouth, bottom, self.kerf_mm, least, self.toward)


def _no_slot(
    room: BoardEdge,
    depth_mm: float | None,
    angle_deg: float | None,
    least_angle_deg: float,
    least_depth_mm: float,
) -> SettingError | Unsuitable:
    board = f"a board {room.board_mm:.1f} mm thick with walls of {room.wall_mm:.1f} mm"
    if room.error_mm:
        board += f", read ± {room.error_mm:g} mm,"
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
