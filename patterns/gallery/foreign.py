"""Sheets from elsewhere: drawings of the few plain elements that mendfold writes, and nothing more.

Nothing in them runs, links or fetches; whatever else a file holds, it is no sheet.
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET

_SVG = "{http://www.w3.org/2000/svg}"
_ELEMENTS = frozenset(
    [
        "svg",
        "title",
        "desc",
        "defs",
        "g",
        "path",
        "circle",
        "ellipse",
        "rect",
        "line",
        "polyline",
        "polygon",
        "text",
        "tspan",
    ]
)
_ATTRIBUTES = frozenset(
    [
        "baseProfile",
        "class",
        "cx",
        "cy",
        "d",
        "fill",
        "fill-rule",
        "font-family",
        "font-size",
        "font-style",
        "font-weight",
        "height",
        "id",
        "lengthAdjust",
        "opacity",
        "points",
        "preserveAspectRatio",
        "r",
        "rx",
        "ry",
        "stroke",
        "stroke-dasharray",
        "stroke-linecap",
        "stroke-linejoin",
        "stroke-width",
        "text-anchor",
        "textLength",
        "transform",
        "version",
        "viewBox",
        "width",
        "x",
        "x1",
        "x2",
        "y",
        "y1",
        "y2",
        "{http://www.w3.org/XML/1998/namespace}space",
    ]
)
_OPENING = re.compile(r"\s*<\?xml [^<>?]*\?>")


def why_no_sheet(data: bytes) -> str:
    """Say why an SVG file is no drawing such as mendfold writes; empty when it is one.

    >>> why_no_sheet(b'<svg xmlns="http://www.w3.org/2000/svg"><g onload="x()"/></svg>')
    'holds onload, which no sheet has'
    """
    try:
        text = data.decode()
        root = ET.fromstring(text)
    except (ValueError, ET.ParseError):
        return "is no SVG drawing"
    body = _OPENING.sub("", text, count=1)
    if "<!" in body or "<?" in body:
        return "holds a declaration or an instruction, which no sheet has"
    for element in root.iter():
        if element.tag.removeprefix(_SVG) not in _ELEMENTS:
            return f"holds {_local(element.tag)}, which no sheet has"
        for name, value in element.attrib.items():
            if name not in _ATTRIBUTES:
                return f"holds {_local(name)}, which no sheet has"
            if "url(" in value.lower():
                return f"fetches something by {_local(name)}, which no sheet does"
    return ""


def _local(name: str) -> str:
    return name.rpartition("}")[2]
