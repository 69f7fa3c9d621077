"""Lengths round a spine: arcs, the layers on them, the folds in them, and tapered pieces.

Every paper that goes round a spine is longer than the one beneath it. The circle, ellipse and
parabola here give the girth; the layer rule carries it outwards. Formulas: plane geometry;
uncertainty after JCGM 100 (the GUM).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

from patterns.errors import Problem, RecordError

if TYPE_CHECKING:
    from patterns.model.drawing import Point

TRAPEZOID_BOW_MM = 0.25
"""A tapered piece with less bow than this at its ends is cut with straight ends."""
_SERIES_BELOW = 1e-4
_CHORD_ERROR_MM = 0.005


class Arc(NamedTuple):
    """The section of a spine: radius (infinite when flat), whole turning angle, length along it.

    A fallen-in spine has a negative turning angle: layers laid on it grow shorter outwards.
    """

    radius_mm: float
    turn_deg: float
    length_mm: float


class Sector(NamedTuple):
    """A cone's spine laid flat: opening angle, and the radius of its head and tail edges."""

    turn_deg: float
    head_radius_mm: float
    tail_radius_mm: float


def circle_arc(chord_mm: float, depth_mm: float) -> Arc:
    """Return the circular arc over a chord with a round depth; a negative depth has fallen in.

    Good past a semicircle. Nearly flat spines use the series. Machinery's Handbook 31, p. 78.

    >>> round(circle_arc(40, 8).length_mm, 2)
    44.14
    """
    _need_chord(chord_mm)
    if depth_mm == 0:
        return Arc(math.inf, 0.0, chord_mm)
    radius = (chord_mm**2 + 4 * depth_mm**2) / (8 * abs(depth_mm))
    turn = 4 * math.atan2(2 * depth_mm, chord_mm)
    ratio = abs(depth_mm) / chord_mm
    if ratio < _SERIES_BELOW:
        length = chord_mm * (1 + 8 / 3 * ratio**2 - 32 / 15 * ratio**4)
    else:
        length = radius * abs(turn)
    return Arc(radius, math.degrees(turn), length)


def parabola_mm(chord_mm: float, depth_mm: float) -> float:
    """Return the length of a parabola over a chord: the shortest spine of that round."""
    _need_chord(chord_mm)
    slope = 4 * abs(depth_mm) / chord_mm
    if slope < 4 * _SERIES_BELOW:
        return chord_mm * (1 + slope**2 / 6)
    return chord_mm / 2 * (math.hypot(1, slope) + math.asinh(slope) / slope)


def ellipse_mm(chord_mm: float, depth_mm: float, edge_angle_deg: float) -> float:
    """Return the length of the ellipse that leaves the chord at a given angle at both edges.

    90° is half an ellipse. Raises RecordError when no ellipse has so flat an edge
    (tan of the angle must exceed 4 × depth / chord). Abramowitz & Stegun 17.2.

    >>> round(ellipse_mm(40, 8, 60), 2)
    44.79
    """
    _need_chord(chord_mm)
    depth = abs(depth_mm)
    if depth == 0:
        return chord_mm
    least = math.degrees(math.atan2(4 * depth, chord_mm))
    if not least < edge_angle_deg < 180:
        found, allowed = f"{edge_angle_deg:g}°", f"more than {least:.1f}° and less than 180°"
        remedy = "measure it again or leave it out"
        raise RecordError(
            f"spine.edge_angle = {found}: a spine {chord_mm:.1f} mm wide and {depth:.1f} mm deep "
            f"needs {allowed}; {remedy}",
            [Problem("spine.edge_angle", f"is {found}", allowed, remedy, "limit")],
        )
    k = chord_mm * math.tan(math.radians(edge_angle_deg)) / (2 * depth)
    end = math.acos(1 / (k - 1))
    wide = chord_mm / (2 * math.sin(end))
    high = depth / (1 - math.cos(end))
    steps = 400
    width = end / steps
    speeds = [
        math.hypot(wide * math.cos(i * width), high * math.sin(i * width)) for i in range(401)
    ]
    inner = 4 * math.fsum(speeds[1:-1:2]) + 2 * math.fsum(speeds[2:-1:2])
    return 2 * width / 3 * (speeds[0] + inner + speeds[-1])


def girth_spread(
    chord_mm: float, depth_mm: float, edge_angle_deg: float = 60.0
) -> dict[str, float]:
    """Return the girth in mm of each likely shape over the same chord and round depth.

    Chord and depth do not fix the girth; without a strip the sheet states this spread. The
    ellipse is left out where none leaves the edge at `edge_angle_deg`.
    """
    spread = {
        "parabola": parabola_mm(chord_mm, depth_mm),
        "circle": circle_arc(chord_mm, depth_mm).length_mm,
    }
    if math.tan(math.radians(edge_angle_deg)) * chord_mm > 4 * abs(depth_mm):
        spread["ellipse"] = ellipse_mm(chord_mm, depth_mm, edge_angle_deg)
    spread["half ellipse"] = ellipse_mm(chord_mm, depth_mm, 90.0)
    return spread


def turn_from_girth(girth_mm: float, chord_mm: float) -> float:
    """Return the whole turning angle in degrees from girth and chord (negate it if fallen in).

    Solves φ/(2 sin(φ/2)) = girth/chord. A girth short of the chord by no more than the readings
    may differ, max(1 mm, 3 %), counts as flat; a shorter one raises RecordError.

    >>> round(turn_from_girth(46, 40), 2)
    103.46
    """
    _need_chord(chord_mm)
    if girth_mm <= chord_mm:
        if chord_mm - girth_mm <= max(1.0, 0.03 * chord_mm):
            return 0.0
        found = f"{girth_mm:.1f} mm, is less than its width, {chord_mm:.1f} mm"
        name, remedy = "spine.girth_head|spine.girth_tail", "measure both again"
        raise RecordError(
            f"the girth of the spine, {found}; a girth is never less than the width: {remedy}",
            [Problem(name, f"is {found}", f"{chord_mm:.1f} mm or more", remedy, "clash")],
        )
    low, high = 0.0, 2 * math.pi
    for _ in range(100):
        turn = (low + high) / 2
        if turn * chord_mm < girth_mm * 2 * math.sin(turn / 2):
            low = turn
        else:
            high = turn
    return math.degrees((low + high) / 2)


def depth_mm(chord_mm: float, turn_deg: float) -> float:
    """Return the round depth in mm of a circular arc from its chord and turning angle."""
    return chord_mm / 2 * math.tan(math.radians(turn_deg) / 4)


def arc_points(chord_mm: float, depth_mm: float) -> tuple[Point, ...]:
    """Return the arc from (0, 0) to (chord, 0), crown at y = depth, at most 0.005 mm off."""
    arc = circle_arc(chord_mm, depth_mm)
    if arc.turn_deg == 0:
        return (0.0, 0.0), (chord_mm, 0.0)
    half = math.radians(arc.turn_deg) / 2
    radius = math.copysign(arc.radius_mm, half)
    angles = _sweep(-half, half, arc.radius_mm)
    return tuple(
        (chord_mm / 2 + radius * math.sin(a), radius * (math.cos(a) - math.cos(half)))
        for a in angles
    )


def girth_error_mm(chord_mm: float, depth_mm: float, reading_mm: float) -> float:
    """Return the standard uncertainty of a circular girth when both readings are ± `reading_mm`.

    Readings are taken as evenly likely within their limits, u = reading/√3; twice the result
    covers about 95 %. JCGM 100:2008, 4.3.7 and 5.1.2.
    """
    _need_chord(chord_mm)
    c, h = chord_mm, abs(depth_mm)
    ratio = h / c
    if ratio < _SERIES_BELOW:
        by_chord, by_depth = 1 - 8 / 3 * ratio**2, 16 / 3 * ratio
    else:
        arc = circle_arc(c, h)
        turn, q = math.radians(arc.turn_deg), c * c + 4 * h * h
        by_chord = turn * c / (4 * h) - 8 * h * arc.radius_mm / q
        by_depth = turn * (0.5 - c * c / (8 * h * h)) + 8 * c * arc.radius_mm / q
    return reading_mm / math.sqrt(3) * math.hypot(by_chord, by_depth)


def layer_mm(
    girth_mm: float,
    turn_deg: float,
    under_mm: float,
    thickness_mm: float,
    strip_over_mm: float = 0.0,
    strip_mm: float = 0.0,
) -> float:
    """Return the length in mm of a layer that lies on `under_mm` of other layers.

    A + φ·(u − u₀ + t/2 − t_strip/2): the girth was read with a strip `strip_mm` thick over
    linings `strip_over_mm` thick (both 0 for a computed girth); any layer's own length is that
    of its middle.

    >>> round(layer_mm(46.0, 87.20564, 0.30, 0.10, strip_mm=0.1), 3)
    46.457
    """
    outwards = under_mm - strip_over_mm + (thickness_mm - strip_mm) / 2
    return girth_mm + math.radians(turn_deg) * outwards


def taper_bow_mm(head_mm: float, tail_mm: float, height_mm: float) -> float:
    """Return how far the wider end of a tapered spine piece bows, in mm, laid flat."""
    return max(head_mm, tail_mm) * abs(tail_mm - head_mm) / (8 * height_mm)


def cone_sector(head_mm: float, tail_mm: float, height_mm: float) -> Sector:
    """Return the cone's sector with the given girths at head and tail, which must differ.

    `height_mm` is the length along the spine. Radii count from the apex, always positive.
    """
    turn = abs(tail_mm - head_mm) / height_mm
    head, tail = head_mm / turn, tail_mm / turn
    return Sector(math.degrees(turn), head, tail)


def tapered_outline(head_mm: float, tail_mm: float, height_mm: float) -> tuple[Point, ...]:
    """Return a spine piece's outline about the centre line x = 0, head's middle at (0, 0).

    A trapezoid (or rectangle) while the bow is at most 0.25 mm, beyond that the cone's sector.
    """
    if taper_bow_mm(head_mm, tail_mm, height_mm) <= TRAPEZOID_BOW_MM:
        head, tail = head_mm / 2, tail_mm / 2
        return (-head, 0.0), (head, 0.0), (tail, height_mm), (-tail, height_mm)
    sector = cone_sector(head_mm, tail_mm, height_mm)
    half = math.radians(sector.turn_deg) / 2
    away = 1 if tail_mm > head_mm else -1  # the apex lies beyond the narrower end
    apex_y = -away * sector.head_radius_mm

    def edge(radius: float) -> list[Point]:
        return [
            (radius * math.sin(a), apex_y + away * radius * math.cos(a))
            for a in _sweep(-half, half, radius)
        ]

    return (*edge(sector.head_radius_mm), *reversed(edge(sector.tail_radius_mm)))


def tapered_point(
    head_mm: float, tail_mm: float, height_mm: float, share: float, down_mm: float
) -> Point:
    """Return a place on the piece of `tapered_outline`: a share of its width, so far from the head.

    The share runs from 0 at the left edge to 1; on a cone `down_mm` counts along the cone.

    >>> tapered_point(50, 55, 240, 0.5, 120)
    (0.0, 120)
    """
    if taper_bow_mm(head_mm, tail_mm, height_mm) <= TRAPEZOID_BOW_MM:
        width = head_mm + (tail_mm - head_mm) * down_mm / height_mm
        return (share - 0.5) * width, down_mm
    sector = cone_sector(head_mm, tail_mm, height_mm)
    away = 1 if tail_mm > head_mm else -1
    radius, angle = (
        sector.head_radius_mm + away * down_mm,
        math.radians(sector.turn_deg) * (share - 0.5),
    )
    return radius * math.sin(angle), away * (radius * math.cos(angle) - sector.head_radius_mm)


def _sweep(start: float, end: float, radius: float) -> list[float]:
    """Return angles close enough that straight lines between them keep to the arc."""
    widest = 4 * math.asin(math.sqrt(min(0.5, _CHORD_ERROR_MM / (2 * radius))))
    count = max(2, math.ceil(abs(end - start) / widest))
    return [start + (end - start) * i / count for i in range(count + 1)]


def _need_chord(chord_mm: float) -> None:
    if not chord_mm > 0:
        name, found = "spine.over_shoulders|text_block.thickness", f"is {chord_mm:g} mm"
        raise RecordError(
            f"the spine {found} wide: it must be more than 0 mm; measure it again",
            [Problem(name, found, "more than 0 mm", "measure it again", "limit")],
        )
