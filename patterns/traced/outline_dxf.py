"""Traced outlines from a DXF file: closed polylines, circles, ellipses and splines, in mm.

Layers named “scale…” and “leaf…” hold the scale bar and the leaf's edges; every other closed line
is a loss. Y runs upwards in DXF and is turned over.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from typing import Any

from patterns import units
from patterns.errors import SettingError
from patterns.traced.svg_path import FLAT_MM, MOST_POINTS, Run, too_long
from patterns.traced.tracing import Gathered, Traced, role

MM_IN_UNITS = {1: units.MM_PER_INCH, 4: 1.0, 5: 10.0, 6: 1000.0}
"""$INSUNITS of the DXF reference: inches, millimetres, centimetres, metres."""
CURVES = {"LWPOLYLINE", "POLYLINE", "CIRCLE", "ELLIPSE", "SPLINE", "ARC", "LINE"}
WORDS = {"TEXT", "MTEXT", "DIMENSION", "POINT", "LEADER"}
AGAIN = "save the traced lines again as DXF R2000 or later, in mm, blocks exploded"


def read(data: bytes, name: str) -> Traced:
    """Read the outlines of a DXF file in mm; a SettingError names the file and the remedy."""
    try:
        import ezdxf
        from ezdxf import recover
    except ModuleNotFoundError:
        raise SettingError(
            f"{name}: reading DXF needs one library more: pip install “mendfold[dxf]”, or give an SVG file"
        ) from None
    try:
        document, _ = recover.read(io.BytesIO(data))
        gathered = Gathered([], [], [])
        mm = _mm(document, name)
        for entity in document.modelspace():
            if entity.dxftype() in CURVES:
                runs = [Run(list(_points(entity, mm)), _is_closed(entity))]
                gathered.add(role([entity.dxf.layer], "loss"), runs)
            elif entity.dxftype() not in WORDS:
                raise SettingError(f"{name} holds {entity.dxftype()}, which is not read; {AGAIN}")
    except (ezdxf.DXFError, OSError, ValueError, UnicodeError) as error:
        raise SettingError(f"{name} is no whole DXF file ({error}); {AGAIN}") from None
    found = gathered.traced(name)
    if not document.header.get("$INSUNITS", 0) and found.scale_mm is None:
        raise SettingError(
            f"{name} says no unit and has no scale bar, so its true size is unknown; {AGAIN}"
        )
    return found


def _mm(document: Any, name: str) -> float:
    """Return the mm in one drawing unit; a file without a unit counts as mm, by its scale bar."""
    code = document.header.get("$INSUNITS", 0)
    if code and code not in MM_IN_UNITS:
        raise SettingError(
            f"{name} is drawn in a unit that is not read ($INSUNITS {code}); {AGAIN}"
        )
    return MM_IN_UNITS.get(code, 1.0)


def _points(entity: Any, mm: float) -> Iterator[tuple[float, float]]:
    from ezdxf.path import make_path

    for count, point in enumerate(make_path(entity).flattening(FLAT_MM / mm)):
        if count > MOST_POINTS:
            raise too_long()
        yield point.x * mm, -point.y * mm


def _is_closed(entity: Any) -> bool:
    if entity.dxftype() in ("CIRCLE", "ELLIPSE"):
        return True
    return bool(getattr(entity, "is_closed", getattr(entity, "closed", False)))
