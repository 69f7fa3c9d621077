"""Traced outlines from a DXF file: closed polylines, circles, ellipses and splines, in mm.

Layers named “scale…” and “leaf…” hold the scale bar and the leaf's edges; every other closed line
is a loss. Y runs upwards in DXF and is turned over.
"""

from __future__ import annotations

import io
import logging
from collections.abc import Iterable, Iterator
from typing import Any

from patterns import units
from patterns.errors import SettingError
from patterns.traced.dxf_figures import refuse_guessed
from patterns.traced.svg_path import FLAT_MM, MOST_MM, MOST_POINTS, Run, too_long
from patterns.traced.tracing import Gathered, Traced, role

MM_IN_UNITS = {1: units.MM_PER_INCH, 4: 1.0, 5: 10.0, 6: 1000.0}
"""$INSUNITS of the DXF reference: inches, millimetres, centimetres, metres."""
CURVES = {"LWPOLYLINE", "POLYLINE", "CIRCLE", "ELLIPSE", "SPLINE", "ARC", "LINE"}
WORDS = {"TEXT", "MTEXT", "DIMENSION", "POINT", "LEADER"}
PIECES = 4
"""Every span of a curve is cut into so many at least."""
MOST_DEGREE = 25
"""Of a spline; drawing programs write 3 and 5, and the work grows fast with it."""
MOST_BENT_MM = 10 * MOST_MM
"""Where a curve's handles may lie, as worked out: far enough for a flat arc, near enough to cut it."""
LENGTHS = {"radius", "elevation", "thickness"}
"""Attributes of one figure that are in drawing units; all others are angles, ratios, weights."""
AGAIN = "save the traced lines again as DXF R2000 or later, in mm, blocks exploded"


def read(data: bytes, name: str) -> Traced:
    """Read the outlines of a DXF file in mm; a SettingError names the file and the remedy."""
    try:
        from ezdxf import recover
    except ModuleNotFoundError:
        line = f"{name}: reading DXF needs one library more, ezdxf; give an SVG file, or install it"
        raise SettingError.kind("no dxf", line) from None
    refuse_guessed(data, name, AGAIN)
    logging.getLogger("ezdxf").addHandler(logging.NullHandler())  # else it prints what it mends
    try:
        document, _ = recover.read(io.BytesIO(data))
        found = _gathered(document, name).traced(name)
    except SettingError:
        raise
    except Exception as error:  # ezdxf keeps no closed list of what a broken file makes it raise
        reason = str(error) or type(error).__name__
        raise SettingError(f"{name} is no whole DXF file ({reason}); {AGAIN}") from None
    if not document.header.get("$INSUNITS", 0) and found.scale_mm is None:
        raise SettingError(
            f"{name} says no unit and has no scale bar, so its true size is unknown; {AGAIN}"
        )
    return found


def _gathered(document: Any, name: str) -> Gathered:
    gathered = Gathered([], [], [])
    mm = _mm(document, name)
    for entity in document.modelspace():
        if entity.dxftype() in CURVES:
            runs = [Run(list(_points(entity, mm, name)), _is_closed(entity))]
            gathered.add(role([entity.dxf.layer], "loss"), runs)
        elif entity.dxftype() not in WORDS:
            raise SettingError(f"{name} holds {entity.dxftype()}, which is not read; {AGAIN}")
    return gathered


def _mm(document: Any, name: str) -> float:
    """Return the mm in one drawing unit; a file without a unit counts as mm, by its scale bar."""
    code = document.header.get("$INSUNITS", 0)
    if code and code not in MM_IN_UNITS:
        raise SettingError(
            f"{name} is drawn in a unit that is not read ($INSUNITS {code}); {AGAIN}"
        )
    return MM_IN_UNITS.get(code, 1.0)


def _points(entity: Any, mm: float, name: str) -> Iterator[tuple[float, float]]:
    """Yield an entity's points in mm; what it holds is looked at before any curve is followed.

    A curve through a place that is no number, or further away than its tolerance can be told
    from, is followed without end.
    """
    from ezdxf.path import make_path

    _refuse_too_much(entity, name)
    lengths, others = _figures(entity)
    _refuse_far((v * mm for v in lengths), MOST_MM, entity, name)
    _refuse_far(others, MOST_MM, entity, name)
    path = make_path(entity)
    bent = (v * mm for point in path.control_vertices() for v in point.xyz)
    _refuse_far(bent, MOST_BENT_MM, entity, name)
    for count, point in enumerate(path.flattening(FLAT_MM / mm, PIECES)):
        if count > MOST_POINTS:
            raise too_long()
        yield point.x * mm, -point.y * mm


def _refuse_too_much(entity: Any, name: str) -> None:
    """Refuse a spline that would be too long in the end, and takes long to find that out."""
    if entity.dxftype() != "SPLINE":
        return
    if PIECES * max(len(entity.control_points), len(entity.fit_points)) > MOST_POINTS:
        raise too_long()
    if not 1 <= entity.dxf.degree <= MOST_DEGREE:
        raise SettingError(
            f"{name}: a SPLINE of degree {entity.dxf.degree}; allowed are 1 to {MOST_DEGREE}; {AGAIN}"
        )


def _figures(entity: Any) -> tuple[list[float], list[float]]:
    """Return every figure of an entity: those in drawing units, and all others."""
    from ezdxf.math import Vec2, Vec3

    lengths: list[float] = []
    others: list[float] = []
    for key, value in entity.dxfattribs().items():
        if isinstance(value, Vec2 | Vec3):
            lengths += Vec3(value).xyz
        elif isinstance(value, float):
            (lengths if key in LENGTHS else others).append(value)
    kind = entity.dxftype()
    if kind == "LWPOLYLINE":
        for x, y, _start, _end, bulge in entity.get_points("xyseb"):
            lengths += (x, y)
            others.append(bulge)
    elif kind == "POLYLINE":
        for vertex in entity.vertices:
            lengths += vertex.dxf.location.xyz
            others.append(vertex.dxf.bulge)
    elif kind == "SPLINE":
        for point in (*entity.control_points, *entity.fit_points):
            lengths += Vec3(point).xyz
        others += [*entity.knots, *entity.weights]
    return lengths, others


def _refuse_far(figures: Iterable[float], most: float, entity: Any, name: str) -> None:
    """Refuse what is not a number, infinite, or further away than any leaf reaches."""
    for figure in figures:
        if not abs(figure) <= most:
            raise SettingError(
                f"{name}: {figure:g} in {entity.dxftype()} is no figure of a traced leaf (allowed are "
                f"{MOST_MM / 1000:g} m either way); trace near the page's corner, then {AGAIN}"
            )


def _is_closed(entity: Any) -> bool:
    if entity.dxftype() in ("CIRCLE", "ELLIPSE"):
        return True
    return bool(getattr(entity, "is_closed", getattr(entity, "closed", False)))
