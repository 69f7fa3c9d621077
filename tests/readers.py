"""Independent readers of what the writers wrote, for tests: PDF by pypdf, raster by PDFium, SVG.

Everything comes back in millimetres from the top left corner of the page, y down. None of this
shares code with `patterns.writers`.
"""

from __future__ import annotations

import io
import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import numpy as np
import pypdfium2
from numpy.typing import NDArray
from pypdf import PdfReader

from tests.pdf_stream import MM_PER_POINT, read_page
from tests.shapes import Label, Shape

MM_PER_UNIT = {"mm": 1.0, "cm": 10.0, "in": 25.4, "pt": 25.4 / 72, "px": 25.4 / 96}


def pdf_page_mm(pdf: bytes, page: int = 0) -> tuple[float, float]:
    """Return width and height of the page's media box in mm, read by pypdf."""
    box = PdfReader(io.BytesIO(pdf), strict=True).pages[page].mediabox
    return float(box.width) * MM_PER_POINT, float(box.height) * MM_PER_POINT


def pdf_shapes(pdf: bytes, page: int = 0) -> tuple[Shape, ...]:
    """Return every painted outline of a page in painting order."""
    return tuple(read_page(pdf, page).shapes)


def pdf_labels(pdf: bytes, page: int = 0) -> tuple[Label, ...]:
    """Return every shown string of a page in painting order, decoded by its /ToUnicode map."""
    return tuple(read_page(pdf, page).labels)


def raster(pdf: bytes, page: int = 0, dpi: float = 600) -> NDArray[np.uint8]:
    """Return the page as PDFium draws it: rows of grey pixels, 0 black."""
    with pypdfium2.PdfDocument(pdf) as document:
        image = document[page].render(scale=dpi / 72, grayscale=True).to_numpy()
        return np.array(image, dtype=np.uint8).reshape(image.shape[:2])


def ink_box(
    image: NDArray[np.uint8], window_mm: tuple[float, float, float, float], dpi: float = 600
) -> tuple[float, float, float, float]:
    """Return the box in mm of the dark pixels inside a window (left, top, right, bottom) in mm."""
    left, top, right, bottom = (round(side * dpi / 25.4) for side in window_mm)
    rows, columns = np.nonzero(image[top:bottom, left:right] < 128)
    if not len(rows):
        raise ValueError(f"no ink in {window_mm}")
    pixel = 25.4 / dpi
    return (
        (left + int(columns.min())) * pixel,
        (top + int(rows.min())) * pixel,
        (left + int(columns.max()) + 1) * pixel,
        (top + int(rows.max()) + 1) * pixel,
    )


def svg_page_mm(svg: str) -> tuple[float, float]:
    """Return width and height of the sheet in mm."""
    root = ET.fromstring(svg)
    return _length(root.attrib["width"]), _length(root.attrib["height"])


def svg_shapes(svg: str) -> tuple[Shape, ...]:
    """Return every outline of a sheet in painting order; refuses a viewBox that is not in mm."""
    return tuple(item for item in _read_svg(svg) if isinstance(item, Shape))


def svg_labels(svg: str) -> tuple[Label, ...]:
    """Return every line of words of a sheet in painting order."""
    return tuple(item for item in _read_svg(svg) if isinstance(item, Label))


def _length(text: str) -> float:
    found = re.fullmatch(r"([0-9.]+)(mm|cm|in|pt|px)?", text)
    if not found:
        raise ValueError(f"{text!r} is no length")
    return float(found[1]) * MM_PER_UNIT[found[2] or "px"]


def _local(element: ET.Element) -> str:
    return element.tag.rpartition("}")[2]


def _read_svg(svg: str) -> list[Shape | Label]:
    root = ET.fromstring(svg)
    page = (_length(root.attrib["width"]), _length(root.attrib["height"]))
    view = [float(side) for side in root.attrib["viewBox"].split()]
    if view != [0.0, 0.0, *page]:
        raise ValueError(f"one user unit is not one millimetre: {view} on {page}")
    found: list[Shape | Label] = []
    for element in root:
        _walk(element, {}, found)
    return found


def _walk(element: ET.Element, above: dict[str, str], found: list[Shape | Label]) -> None:
    look, tag = {**above, **element.attrib}, _local(element)
    if tag == "g":
        for child in element:
            _walk(child, look, found)
    elif tag == "circle":
        x, y, r = (float(look[name]) for name in ("cx", "cy", "r"))
        around = ((x + r, y), (x, y + r), (x - r, y), (x, y - r))
        found.append(_styled(Shape(around, closed=True, curved=True), look))
    elif tag == "path":
        for d in re.findall(r"M[^M]*", look["d"]):
            numbers = [float(n) for n in re.findall(r"-?[0-9.]+", d)]
            points = tuple(zip(numbers[::2], numbers[1::2], strict=True))
            if re.sub(r"[-0-9. ]+", "#", d).rstrip("Z") != "M#" + "L#" * (len(points) - 1):
                raise ValueError(f"only M, L and Z are read here: {d!r}")
            found.append(_styled(Shape(points, closed=d.endswith("Z")), look))
    elif tag == "text":
        at = float(look["x"]), float(look["y"])
        turn = re.fullmatch(r"rotate\((\S+) (\S+) (\S+)\)", look.get("transform", "rotate(0 0 0)"))
        if not turn or (float(turn[1]) and (float(turn[2]), float(turn[3])) != at):
            raise ValueError(f"words are turned about their own start: {look['transform']}")
        found.append(
            Label(
                at=at,
                text=element.text or "",
                size_mm=float(look["font-size"]),
                angle_deg=-float(turn[1]) + 0.0,
                bold=look.get("font-weight") == "bold",
                grey=_grey(look["fill"]),
                length_mm=float(look["textLength"]),
            )
        )
    elif tag not in ("title", "defs"):
        raise ValueError(f"a sheet holds no <{tag}>")


def _styled(shape: Shape, look: dict[str, str]) -> Shape:
    kind = look.get("class", "")
    if look.get("fill", "#000000") != "none":
        return replace(shape, filled=True, closed=True, grey=_grey(look["fill"]), kind=kind)
    dashes = tuple(float(dash) for dash in look.get("stroke-dasharray", "").split())
    width = float(look["stroke-width"])
    return replace(shape, grey=_grey(look["stroke"]), width_mm=width, dashes_mm=dashes, kind=kind)


def _grey(colour: str) -> float:
    found = re.fullmatch(r"#([0-9a-f]{2})\1\1", colour)
    if not found:
        raise ValueError(f"{colour!r} is no grey")
    return int(found[1], 16) / 255
