"""Sheets from elsewhere: drawings of the few plain elements that mendfold writes, and PDFs that do nothing.

Nothing in them runs, links or fetches; whatever else a file holds, it is no sheet.
"""

from __future__ import annotations

import io
import logging
import re
import xml.etree.ElementTree as ET
from typing import Any

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


_ACTIVE = frozenset(
    [
        "/AA",
        "/AcroForm",
        "/Annots",
        "/EF",
        "/EmbeddedFiles",
        "/GoToE",
        "/GoToR",
        "/ImportData",
        "/JS",
        "/JavaScript",
        "/Launch",
        "/Movie",
        "/OpenAction",
        "/Rendition",
        "/RichMedia",
        "/Sound",
        "/SubmitForm",
        "/URI",
        "/XFA",
    ]
)
"""What makes a PDF do something, or carry something (ISO 32000-1, 12.6 and 7.11): no sheet has any of it."""


def pdf_reader(data: bytes) -> Any:
    """Return pypdf's strict reader; what it doubts is raised, or told to nobody."""
    from pypdf import PdfReader

    logging.getLogger("pypdf").setLevel(logging.CRITICAL)
    return PdfReader(io.BytesIO(data), strict=True)


def why_no_pdf(data: bytes) -> str:
    """Say why a PDF is none such as mendfold writes: it acts, carries files or cannot be read; else empty.

    >>> why_no_pdf(b"%PDF-1.4")
    'cannot be read as a PDF'
    """
    from pypdf.errors import PyPdfError
    from pypdf.generic import ArrayObject, DictionaryObject, IndirectObject

    try:
        reader = pdf_reader(data)
        if reader.is_encrypted:
            return "is locked with a password"
        left: list[object] = [reader.trailer]
        met: set[int] = set()
        while left:
            one = left.pop()
            if isinstance(one, IndirectObject):
                if one.idnum in met:
                    continue
                met.add(one.idnum)
                one = one.get_object()
            if isinstance(one, DictionaryObject):
                names = {str(name) for name in (*one.keys(), one.get("/S"))}
                if found := sorted(names & _ACTIVE):
                    return f"holds {found[0]}, which no sheet has"
                left.extend(one.raw_get(name) for name in one)
            elif isinstance(one, ArrayObject):
                left.extend(list.__iter__(one))
    except (PyPdfError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return "cannot be read as a PDF"
    return ""


def _local(name: str) -> str:
    return name.rpartition("}")[2]
