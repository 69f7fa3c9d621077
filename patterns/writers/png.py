"""A sheet as a picture to look at, by cairosvg; never something to cut by.

cairosvg needs the system library cairo, so both are reached for only when a picture is asked
for: sheets as SVG, PDF and DXF do without. The words are turned into outlines of the project's
typeface first, which makes the picture the same whatever typefaces the machine has.
"""

from __future__ import annotations

import signal
import threading
import xml.etree.ElementTree as ET
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from functools import cache
from io import BytesIO
from types import FrameType
from typing import Any

from patterns.errors import MendfoldError
from patterns.model import lettering
from patterns.model.drawing import CAP_HEIGHT_EM
from patterns.model.sheet import Sheet
from patterns.units import MM_PER_INCH
from patterns.writers.svg import svg_text

SVG = "http://www.w3.org/2000/svg"
DPI = 150.0
"""Of a sheet as a picture."""
MOST_PIXELS = 20_000
LIBRARY = (
    "the picture (PNG) needs the system library cairo, which is missing: on Debian run  "
    "apt install libcairo2 ; on macOS  brew install cairo ; on Windows install the GTK 3 runtime "
    "and open a new terminal; SVG, PDF and DXF sheets need none of this"
)


def write(sheets: Sequence[Sheet], _title: str, _pieces: object) -> list[bytes]:
    """Return one PNG a sheet."""
    return [png_bytes(svg_text(sheet.drawing, sheet.title), DPI) for sheet in sheets]


def png_bytes(svg: str, dpi: float) -> bytes:
    """Return a sheet of `writers.svg` as a PNG of `dpi` dots to the inch, on white.

    Raises MendfoldError, with the remedy, when the cairo library is missing, and
    when the picture would have no pixel or more than 20,000 along a side.
    """
    try:
        import cairosvg
    except OSError:
        raise MendfoldError(LIBRARY) from None
    root = ET.fromstring(svg)
    sides = [float(root.attrib[side].removesuffix("mm")) for side in ("width", "height")]
    if not all(1 <= side * dpi / MM_PER_INCH <= MOST_PIXELS for side in sides):
        raise MendfoldError(
            f"a picture of {sides[0]:g} × {sides[1]:g} mm at {dpi:g} dots to the inch cannot be "
            f"made; allowed are 1 to {MOST_PIXELS:,} dots along each side; choose another dpi"
        )
    _outline_words(root)
    with _ctrl_c_after():
        picture: bytes = cairosvg.svg2png(
            bytestring=ET.tostring(root), dpi=dpi, background_color="white"
        )
    return picture


@contextmanager
def _ctrl_c_after() -> Iterator[None]:
    """Answer Ctrl-C when this is done: cairo calls Python back, where it would be complained of and lost."""
    if threading.current_thread() is not threading.main_thread():  # no other hears it
        yield
        return
    heard: list[tuple[int, FrameType | None]] = []
    answer = signal.signal(signal.SIGINT, lambda number, frame: heard.append((number, frame)))
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, answer)
        if heard and callable(answer):
            answer(*heard[0])


def _outline_words(root: ET.Element) -> None:
    """Turn every label of the sheet into the outlines of its letters."""
    for text in root.iter(f"{{{SVG}}}text"):
        x, y, size = (float(text.attrib[name]) for name in ("x", "y", "font-size"))
        placed = f"{text.attrib.get('transform', '')} translate({x} {y})"
        bold, scale = text.attrib.get("font-weight") == "bold", size / 1000
        letters, at = text.text or "", 0.0
        look = {"fill": text.attrib["fill"], "transform": placed.strip()}
        text.clear()
        text.tag, text.attrib = f"{{{SVG}}}g", look
        for letter in letters:
            turn = f"translate({at * scale} 0) scale({scale} {-scale})"
            ET.SubElement(text, f"{{{SVG}}}path", d=_outline(letter, bold), transform=turn)
            at += lettering.width_mm(letter, CAP_HEIGHT_EM * 1000, bold)


@cache
def _outline(letter: str, bold: bool) -> str:
    """Return the SVG path of one letter in thousandths of the type size, y up."""
    from fontTools.pens.svgPathPen import SVGPathPen

    glyphs, names = _glyphs(bold)
    pen = SVGPathPen(glyphs)
    glyphs[names[ord(letter)]].draw(pen)
    return str(pen.getCommands())


@cache
def _glyphs(bold: bool) -> tuple[Any, dict[int, str]]:
    from fontTools.ttLib import TTFont

    font = TTFont(BytesIO(lettering.font_path(bold).read_bytes()))
    return font.getGlyphSet(), font.getBestCmap()
