"""Pages as one PDF, by reportlab: the sheets that are printed and cut by.

Coordinates are written in millimetres to 0.0001 under one matrix a page. Neighbouring marks of
one kind share a path, which keeps their painting order and makes the writing quick.
"""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise
from math import cos, pi, radians, sin, tan

from reportlab import rl_config
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfgen import canvas as pdfgen
from reportlab.pdfgen.pathobject import PDFPathObject

from patterns.model import lettering
from patterns.model.drawing import PENS, Area, Circle, Drawing, Line, LineKind, Mark, Point, Words
from patterns.model.sheet import Sheet
from patterns.units import MM_PER_POINT
from patterns.writers.ink import check_drawing, cross, grey_of, kind_of, start_of

rl_config.useA85 = 0  # streams stay binary: a quarter smaller, and no slow coding into letters

ROUND_JOIN = 1
NON_ZERO = 1  # fill rule: what SVG fills by, too
ARCS_N = 8  # Bézier arcs a circle; each leaves the circle by 4 millionths of the radius
HANDLE = 4 / 3 * tan(pi / (2 * ARCS_N))
AROUND = [(cos(2 * pi * i / ARCS_N), sin(2 * pi * i / ARCS_N)) for i in range(ARCS_N + 1)]


@dataclass(frozen=True, slots=True)
class PlacedPhotograph:
    """A JPEG or PNG file's bytes and the room on the page, in mm, that it fills."""

    data: bytes
    left_mm: float
    top_mm: float
    width_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True)
class PdfPage:
    """One page: its drawing, the label a viewer shows for it, and its entry in the outline."""

    drawing: Drawing
    label: str
    outline_title: str
    photographs: tuple[PlacedPhotograph, ...] = ()
    phase: str = ""
    """The entry above its own in the outline, shared with the pages next to it."""


def write(sheets: Sequence[Sheet], title: str, _pieces: object) -> list[bytes]:
    """Return all sheets as one PDF, each labelled with its number."""
    pages = [
        PdfPage(sheet.drawing, f"{page}", sheet.title, phase=sheet.phase)
        for page, sheet in enumerate(sheets, 1)
    ]
    return [pdf_bytes(pages, title)]


def pdf_bytes(pages: Sequence[PdfPage], title: str, subject: str = "") -> bytes:
    """Write the pages as one PDF at full size; the same pages always give the same bytes.

    The file asks the viewer not to scale, embeds the letters it uses, and carries `title`,
    page labels and an outline. Raises MendfoldError for a place that is no number or a
    character that the typeface lacks.
    """
    for page in pages:
        check_drawing(page.drawing)
    lettering.check_glyphs(title)
    for bold in (False, True):
        pdfmetrics.registerFont(lettering.face(bold))
    file = io.BytesIO()
    canvas = pdfgen.Canvas(
        file,
        invariant=1,
        bottomup=0,
        pageCompression=1,
        initialFontName=_font(False),  # type: ignore[arg-type]  # the stub wants a number
        lang="en-GB",
    )
    canvas.setTitle(title)
    canvas.setSubject(subject)
    canvas.setAuthor("")
    canvas.setCreator("mendfold")
    canvas.setViewerPreference("PrintScaling", "None")
    canvas.setViewerPreference("DisplayDocTitle", "true")
    before = ""
    for number, page in enumerate(pages):
        if page.phase and page.phase != before:
            canvas.bookmarkPage(f"phase-{number + 1}")
            canvas.addOutlineEntry(page.phase, f"phase-{number + 1}", level=0)
        before = page.phase
        _write_page(canvas, number, page)
    canvas.save()
    return file.getvalue()


def _write_page(canvas: pdfgen.Canvas, number: int, page: PdfPage) -> None:
    drawing, key = page.drawing, f"page-{number + 1}"
    mm, width, height = 1 / MM_PER_POINT, drawing.width_mm, drawing.height_mm
    canvas.setPageSize((width * mm, height * mm))
    canvas.addPageLabel(number, prefix=page.label)
    canvas.bookmarkPage(key)
    canvas.addOutlineEntry(page.outline_title, key, level=1 if page.phase else 0)
    canvas.scale(mm, mm)
    canvas.setLineJoin(ROUND_JOIN)
    for (shape, kind, grey), run in groupby(drawing.marks, _paint):
        if shape is Words:
            _write_words(canvas, run, grey)
        elif shape is Area:
            canvas.setFillGray(grey)
            for area in run:  # one by one: overlapping areas of one path could cancel out
                canvas.drawPath(_path([area]), stroke=0, fill=1, fillMode=NON_ZERO)
        else:
            pen = PENS[kind]
            canvas.setStrokeGray(grey)
            canvas.setLineWidth(pen.width)
            canvas.setDash(list(pen.dashes))
            canvas.drawPath(_path(run), stroke=1, fill=0)
    for photograph in page.photographs:
        _place(canvas, photograph)
    canvas.showPage()


def _place(canvas: pdfgen.Canvas, photograph: PlacedPhotograph) -> None:
    from reportlab.lib.utils import ImageReader  # only reports carry photographs

    canvas.saveState()
    canvas.transform(
        1, 0, 0, -1, photograph.left_mm, photograph.top_mm + photograph.height_mm
    )  # pictures stand on their feet in a page measured downwards
    picture = ImageReader(io.BytesIO(photograph.data))
    canvas.drawImage(picture, 0, 0, photograph.width_mm, photograph.height_mm)
    canvas.restoreState()


def _paint(mark: Mark) -> tuple[type[Mark], LineKind, float]:
    """Return what neighbouring marks must share to be painted in one stroke."""
    shape = Line if isinstance(mark, Circle) else type(mark)
    return shape, kind_of(mark), grey_of(mark)


def _write_words(canvas: pdfgen.Canvas, run: Iterable[Mark], grey: float) -> None:
    canvas.setFillGray(grey)
    text = canvas.beginText()
    held = ("", 0.0)
    for words in run:
        assert isinstance(words, Words)
        font = (_font(words.bold), lettering.size_mm(words.cap_mm))
        if font != held:
            text.setFont(*font)
            held = font
        if words.angle_deg:
            turn = radians(words.angle_deg)
            along, up = cos(turn), sin(turn)
            text.setTextTransform(along, -up, up, along, *start_of(words))
        else:
            text.setTextOrigin(*start_of(words))
        text.textLine(lettering.composed(words.text))  # textOut would measure it once more
    canvas.drawText(text)


def _path(run: Iterable[Mark]) -> PDFPathObject:
    """Return one path through all marks of the run, in mm."""
    code: list[str] = []
    for mark in run:
        match mark:
            case Line():
                code.append(_segments(mark.points, mark.closed))
            case Area():
                code.append(_segments(mark.outline, closed=True))
            case Circle():
                code.append(_round(mark))
                code.extend(_segments(stroke, closed=False) for stroke in cross(mark))
    return PDFPathObject(code)


def _segments(points: Sequence[Point], closed: bool) -> str:
    (x, y), *rest = points
    steps = "".join([f" {x:.4f} {y:.4f} l" for x, y in rest])
    return f"{x:.4f} {y:.4f} m{steps}{' h' if closed else ''}"


def _round(circle: Circle) -> str:
    (x, y), r = circle.centre, circle.radius
    code = f"{x + r:.4f} {y:.4f} m"
    for (a, b), (c, d) in pairwise(AROUND):
        code += (
            f" {x + r * (a - HANDLE * b):.4f} {y + r * (b + HANDLE * a):.4f}"
            f" {x + r * (c + HANDLE * d):.4f} {y + r * (d - HANDLE * c):.4f}"
            f" {x + r * c:.4f} {y + r * d:.4f} c"
        )
    return code + " h"


def _font(bold: bool) -> str:
    return str(lettering.face(bold).fontName)
