"""A drawing as DXF, by ezdxf, for plotters and cutters: millimetres, one layer a line kind.

y runs up in DXF, so a place (x, y) of the drawing is written as (x, height − y). A hole is its
circle alone, since a cutter would follow the cross, and white grounds, which only hide what lies
beneath them on paper, are left out.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING

from patterns.errors import MendfoldError
from patterns.model import lettering
from patterns.model.drawing import PENS, Area, Circle, Drawing, Line, LineKind, Mark, Point, Words
from patterns.model.sheet import Sheet
from patterns.writers.ink import check_drawing, kind_of, start_of

if TYPE_CHECKING:
    from ezdxf.document import Drawing as Document
    from ezdxf.layouts import Modelspace

WHITE = 1.0
STYLES = {False: "SHEET", True: "SHEET-BOLD"}


def write(_sheets: Sequence[Sheet], _title: str, pieces: Callable[[], Drawing]) -> list[bytes]:
    """Return all pieces side by side as one DXF; a cutter needs no pages."""
    return [dxf_text(pieces()).encode()]


def dxf_text(drawing: Drawing) -> str:
    """Write the drawing as DXF R2010 at full size; the same drawing always gives the same text.

    Lines become LWPOLYLINE, circles CIRCLE, filled areas solid HATCH, words TEXT. Raises
    MendfoldError when ezdxf is not installed, for a place that is no number, or a character
    that the typeface lacks.
    """
    check_drawing(drawing)
    try:
        import ezdxf
        from ezdxf import units
    except ImportError:
        raise MendfoldError.kind("no dxf", "DXF needs one library more, ezdxf") from None
    with _no_clock():
        document = ezdxf.new("R2010", units=units.MM)
        document.header["$MEASUREMENT"] = 1
        for bold, name in STYLES.items():
            document.styles.add(name, font=lettering.font_path(bold).name)
        for kind in LineKind:
            if any(kind_of(mark) is kind for mark in drawing.marks):
                _add_layer(document, kind)
        space = document.modelspace()
        for mark in drawing.marks:
            _add(space, mark, drawing.height_mm)
        corner = (drawing.width_mm, drawing.height_mm)
        document.header["$EXTMIN"], document.header["$EXTMAX"] = (0, 0, 0), (*corner, 0)
        space.reset_extents((0, 0, 0), (*corner, 0))
        space.reset_limits((0, 0), corner)
        for name in sorted(document.entitydb.dxf_types_in_use()):
            document.classes.add_class(name)  # ezdxf takes them as a set gives them
        file = io.StringIO()
        document.write(file)
    return file.getvalue()


@contextmanager
def _no_clock() -> Iterator[None]:
    """Let ezdxf write fixed dates and identifiers, so that a drawing repeats itself."""
    import ezdxf

    before = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before


def _add_layer(document: Document, kind: LineKind) -> None:
    """Add the layer of a line kind with its dashes, and the nearest width that DXF knows."""
    from ezdxf.lldxf.const import VALID_DXF_LINEWEIGHTS

    pen, linetype = PENS[kind], "CONTINUOUS"
    if pen.dashes:
        linetype = kind.value
        strokes = [length * (-1) ** turn for turn, length in enumerate(pen.dashes)]
        document.linetypes.add(linetype, pattern=[sum(pen.dashes), *strokes])
    weight = min(VALID_DXF_LINEWEIGHTS, key=lambda known: abs(known - pen.width * 100))
    layer = document.layers.add(kind.value, linetype=linetype, lineweight=weight)
    if pen.grey:
        layer.rgb = _rgb(pen.grey)


def _add(space: Modelspace, mark: Mark, height_mm: float) -> None:
    on = {"layer": kind_of(mark).value}
    match mark:
        case Line():
            places = _upright(mark.points, height_mm)
            space.add_lwpolyline(places, format="xy", close=mark.closed, dxfattribs=on)
        case Circle():
            (centre,) = _upright((mark.centre,), height_mm)
            space.add_circle(centre, mark.radius, dxfattribs=on)
        case Area() if mark.grey < WHITE:
            fill = space.add_hatch(dxfattribs=on)
            fill.rgb = _rgb(mark.grey)
            fill.paths.add_polyline_path(_upright(mark.outline, height_mm), is_closed=True)
        case Words():
            (at,) = _upright((start_of(mark),), height_mm)
            words = space.add_text(
                _plain(lettering.composed(mark.text)),
                height=mark.cap_mm,
                rotation=mark.angle_deg,
                dxfattribs={"style": STYLES[mark.bold], **on},
            )
            words.set_placement(at)


def _upright(points: Iterable[Point], height_mm: float) -> list[Point]:
    return [(x, height_mm - y) for x, y in points]


def _plain(text: str) -> str:
    """Guard the signs that DXF reads as codes: a doubled per cent sign and the caret."""
    return text.replace("%%", "%%%%%%").replace("^", "^ ")


def _rgb(grey: float) -> tuple[int, int, int]:
    shade = round(grey * 255)
    return shade, shade, shade
