"""A drawing as SVG, by svgwrite: one user unit is one millimetre, one named group a line kind.

Numbers are written to 0.001 mm: rounding to 0.01 would spend by itself the 0.005 mm within which
SVG and PDF must agree.
"""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections.abc import Sequence
from math import isfinite

import svgwrite
from svgwrite.base import BaseElement

from patterns.errors import MendfoldError
from patterns.model import lettering
from patterns.model.drawing import PENS, Area, Circle, Drawing, Line, LineKind, Mark, Point, Words
from patterns.model.sheet import Sheet
from patterns.writers.grouping import grouped
from patterns.writers.ink import check_drawing, cross, start_of


def write(sheets: Sequence[Sheet], _title: str, _pieces: object) -> list[bytes]:
    """Return one SVG a sheet; each carries its sheet's own title."""
    return [svg_text(sheet.drawing, sheet.title).encode() for sheet in sheets]


def svg_text(drawing: Drawing, title: str) -> str:
    """Write the drawing as SVG at full size; the same drawing always gives the same text.

    Every label carries the length it has in the project's typeface, so that another typeface
    cannot make it longer. Raises MendfoldError for a place that is no number or a character
    that the typeface lacks.
    """
    check_drawing(drawing)
    width, height = number(drawing.width_mm), number(drawing.height_mm)
    svg = svgwrite.Drawing(
        size=(f"{width}mm", f"{height}mm"), viewBox=f"0 0 {width} {height}", debug=False
    )
    svg.set_desc(title=title)
    svg.update({"xml:space": "preserve"})
    for name, kind, marks in grouped(drawing.marks):
        group = svg.g(id=name, class_=kind.value, **_pen(kind))
        for mark in marks:
            for element in _elements(svg, mark):
                group.add(element)
        svg.add(group)
    return ET.tostring(svg.get_xml(), encoding="unicode").replace("><", ">\n<") + "\n"


def number(value: float) -> str:
    """Return `value` to 0.001 without trailing noughts and never as minus nought.

    >>> number(-0.0001), number(12.5), number(1 / 3)
    ('0', '12.5', '0.333')
    """
    if not isfinite(value):
        raise MendfoldError(f"{value} is no place on a sheet; nothing can be drawn there")
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _pen(kind: LineKind) -> dict[str, str]:
    if kind is LineKind.TEXT:
        return {"font_family": f"'{lettering.FAMILY}', sans-serif", "stroke": "none"}
    pen = PENS[kind]
    look = {
        "fill": "none",
        "stroke": _colour(pen.grey),
        "stroke_width": number(pen.width),
        "stroke_linejoin": "round",
    }
    if pen.dashes:
        look["stroke_dasharray"] = " ".join(map(number, pen.dashes))
    return look


def _elements(svg: svgwrite.Drawing, mark: Mark) -> list[BaseElement]:
    match mark:
        case Line():
            return [svg.path(_d(mark.points, mark.closed))]
        case Area():
            return [svg.path(_d(mark.outline, True), fill=_colour(mark.grey), stroke="none")]
        case Circle():
            x, y = map(number, mark.centre)
            ring = svg.circle((x, y), number(mark.radius))
            return [ring, *(svg.path(_d(line, False)) for line in cross(mark))]
        case Words():
            return [_words(svg, mark)]


def _words(svg: svgwrite.Drawing, words: Words) -> BaseElement:
    x, y = map(number, start_of(words))
    look = {
        "fill": _colour(words.grey),
        "font_size": number(lettering.size_mm(words.cap_mm)),
        "lengthAdjust": "spacingAndGlyphs",
        "textLength": number(lettering.width_mm(words.text, words.cap_mm, words.bold)),
    }
    if words.bold:
        look["font_weight"] = "bold"
    if words.angle_deg:
        look["transform"] = f"rotate({number(-words.angle_deg)} {x} {y})"
    return svg.text(lettering.composed(words.text), x=(x,), y=(y,), **look)


def _d(points: Sequence[Point], closed: bool) -> str:
    places = [f"{number(x)} {number(y)}" for x, y in points]
    return "M" + "L".join(places) + ("Z" if closed else "")


def _colour(grey: float) -> str:
    return "#" + f"{round(grey * 255):02x}" * 3
