"""A drawing as SVG, by svgwrite: one user unit is one millimetre, one named group a line kind.

Numbers are written to 0.001 mm: rounding to 0.01 would spend by itself the 0.005 mm within which
SVG and PDF must agree.
"""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections.abc import Sequence
from math import isfinite

import svgwrite

from patterns.errors import MendfoldError
from patterns.model import lettering
from patterns.model.drawing import PENS, Area, Circle, Drawing, Line, LineKind, Mark, Point, Words
from patterns.writers.grouping import grouped
from patterns.writers.ink import check_drawing, cross, start_of


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
            for element in _elements(mark):
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


class _Element:
    """One mark of a group as a plain element, its attributes in svgwrite's order.

    Half of writing a sheet went into svgwrite's own elements.
    """

    def __init__(self, name: str, look: dict[str, str], text: str | None = None) -> None:
        self.xml = ET.Element(name, dict(sorted(look.items())))
        self.xml.text = text

    def get_xml(self) -> ET.Element:
        """Return the element, as svgwrite asks for it."""
        return self.xml


def _elements(mark: Mark) -> list[_Element]:
    match mark:
        case Line():
            return [_Element("path", {"d": _d(mark.points, mark.closed)})]
        case Area():
            look = {"d": _d(mark.outline, True), "fill": _colour(mark.grey), "stroke": "none"}
            return [_Element("path", look)]
        case Circle():
            x, y = map(number, mark.centre)
            ring = _Element("circle", {"cx": x, "cy": y, "r": number(mark.radius)})
            return [ring, *(_Element("path", {"d": _d(line, False)}) for line in cross(mark))]
        case Words():
            return [_words(mark)]


def _words(words: Words) -> _Element:
    x, y = map(number, start_of(words))
    look = {
        "fill": _colour(words.grey),
        "font-size": number(lettering.size_mm(words.cap_mm)),
        "lengthAdjust": "spacingAndGlyphs",
        "textLength": number(lettering.width_mm(words.text, words.cap_mm, words.bold)),
        "x": x,
        "y": y,
    }
    if words.bold:
        look["font-weight"] = "bold"
    if words.angle_deg:
        look["transform"] = f"rotate({number(-words.angle_deg)} {x} {y})"
    return _Element("text", look, lettering.composed(words.text))


def _d(points: Sequence[Point], closed: bool) -> str:
    places = [f"{number(x)} {number(y)}" for x, y in points]
    return "M" + "L".join(places) + ("Z" if closed else "")


def _colour(grey: float) -> str:
    return "#" + f"{round(grey * 255):02x}" * 3
