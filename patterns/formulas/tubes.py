"""A tube wound from one strip: where its creases fall, and the fan it becomes on a tapered spine.

The k-th half turn goes round k thicknesses of paper, so every panel lies a little further along
the strip than the one before; the strip is a little longer than n panels.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from patterns.model.drawing import Point

    _Panel = tuple[Point, Point, Point, Point]
    _Crease = tuple[Point, Point]


class TubeFan(NamedTuple):
    """A tube's strip laid flat: outline, crease lines (head, tail) and the panels' own corners.

    Panels are (head left, head right, tail right, tail left); x and y start at 0.
    """

    outline: tuple[Point, ...]
    creases: tuple[_Crease, ...]
    panels: tuple[_Panel, ...]


SQUARE_MM = 0.25
"""Out of square by less than this, a rectangle of mean panels with trimmed ends serves."""


def out_of_square_mm(head_mm: float, tail_mm: float, height_mm: float) -> float:
    """Return how far a straight strip's third panel would miss the first one, in mm.

    Under 0.25 mm a rectangle of mean panels with trimmed ends serves instead of the fan.
    """
    return 2 * abs(tail_mm - head_mm) * (head_mm + tail_mm) / 2 / height_mm


def tube_fan(
    head_mm: float,
    tail_mm: float,
    height_mm: float,
    panels: int,
    thickness_mm: float,
    lap_mm: float = 0.0,
) -> TubeFan:
    """Return the strip for a tube whose panels are `head_mm` wide at head, `tail_mm` at tail.

    Each panel is the mirror image of the one before across its crease; the crease lies in the
    middle of a parallel band that the paper's thickness needs for the k-th half turn. A lap is
    one more, narrow panel with parallel edges. Equal widths give the plain rectangle.
    """
    leg = math.hypot(height_mm, (tail_mm - head_mm) / 2)
    lean = math.asin((tail_mm - head_mm) / (2 * leg))
    start, tilt = (0.0, 0.0), (panels - 1) * lean
    corners: list[_Panel] = []
    creases: list[_Crease] = []
    for k in range(1, panels + 1):
        right = _step(start, head_mm, tilt)
        corners.append(_panel(start, right, leg, tilt + lean, tilt - lean))
        square = tilt - lean  # square to the crease
        band = k * math.pi * thickness_mm / 2
        if k < panels or lap_mm:
            crease = _step(right, band / 2, square)
            creases.append((crease, _step(crease, leg, square + math.pi / 2)))
        start, tilt = _step(right, band, square), square - lean
    if lap_mm:
        corners.append(_panel(start, _step(start, lap_mm, square), leg, square, square))
    return _at_home(corners, creases)


def _panel(left: Point, right: Point, leg: float, left_tilt: float, right_tilt: float) -> _Panel:
    """Corners of a panel whose sides run tailwards from two points, each square to its tilt."""
    quarter = math.pi / 2
    return (
        left,
        right,
        _step(right, leg, right_tilt + quarter),
        _step(left, leg, left_tilt + quarter),
    )


def _at_home(panels: list[_Panel], creases: list[_Crease]) -> TubeFan:
    """Outline the panels and move all so that x and y start at 0."""
    heads = [point for panel in panels for point in panel[:2]]
    tails = [point for panel in panels for point in (panel[3], panel[2])]
    outline = (*heads, *reversed(tails))
    left, top = min(x for x, _ in outline), min(y for _, y in outline)

    def home(point: Point) -> Point:
        return point[0] - left, point[1] - top

    return TubeFan(
        tuple(map(home, outline)),
        tuple((home(a), home(b)) for a, b in creases),
        tuple((home(a), home(b), home(c), home(d)) for a, b, c, d in panels),
    )


def _step(start: Point, length: float, angle: float) -> Point:
    return start[0] + length * math.cos(angle), start[1] + length * math.sin(angle)
