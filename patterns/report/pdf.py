"""The report in print: the content flows down A4 pages, photographs follow two to a page."""

from __future__ import annotations

import io
from collections.abc import Iterator, Mapping

from patterns.gallery.pictures import upright
from patterns.model.capitals import HEAD
from patterns.model.drawing import Drawing, Line, LineKind, Mark, Words
from patterns.report.blocks import Passage, Photograph, Report, Table, Text, Unions
from patterns.report.unions import ROW_MM, row_marks
from patterns.sheets.flow import Strip, Strips, fit, gap, heading, paragraph, pour, table, together
from patterns.sketch.marks import moved
from patterns.stock.paper import parse
from patterns.writers.pdf import PdfPage, PlacedPhotograph, pdf_bytes

MARGIN_MM = 18.0
TITLE_MM = 22.0
FOOT_MM = 10.0
LEAD_MM = 95.0
"""Most height of the photograph that the report begins with."""
MOST_LINES = 8
"""Of a caption beneath a photograph."""
MOST_PX = 2000
"""A photograph's longer side in the print; the file itself lies beside the report."""


def report_pdf(report: Report, photographs: Mapping[str, bytes], paper: str = "A4") -> bytes:
    """Return the report as a PDF; `photographs` holds every picture it names.

    Raises GalleryError for a picture that cannot be read, PaperError for an unknown paper.
    """
    sheet = parse(paper)
    width, height = sheet.width_mm, sheet.height_mm
    room, high = width - 2 * MARGIN_MM, height - 2 * MARGIN_MM - TITLE_MM - FOOT_MM
    first, placed = _lead(report.lead, photographs, room, high)
    columns = pour((*first, *_strips(report, room)), high)
    pages: list[tuple[tuple[Mark, ...], tuple[PlacedPhotograph, ...]]] = [
        (moved(marks, MARGIN_MM, MARGIN_MM + TITLE_MM), placed if number == 0 else ())
        for number, marks in enumerate(columns)
    ]
    pages += _photograph_pages(report.photographs, photographs, room, high)
    return pdf_bytes(
        [
            PdfPage(
                Drawing(width, height, (*_frame(report, n, len(pages), width, height), *marks)),
                str(n),
                f"Page {n}",
                placed,
            )
            for n, (marks, placed) in enumerate(pages, 1)
        ],
        f"Treatment report: {report.title}",
        report.book_id,
    )


def _frame(report: Report, page: int, pages: int, width: float, height: float) -> Iterator[Mark]:
    left, right, base = MARGIN_MM, width - MARGIN_MM, MARGIN_MM + 5.0
    room = right - left
    yield Words((left, base), "Treatment report", 5.0 if page == 1 else 3.5, bold=True)
    yield Words((right, base), report.book_id, 3.2, bold=True, anchor="end")
    yield Words((left, base + 7.0), fit(report.title, 2.5, room * 0.6), 2.5)
    made = fit(report.made, 2.0, room * 0.38)
    yield Words((right, base + 7.0), made, 2.0, anchor="end", grey=0.35)
    yield Line(LineKind.FRAME, ((left, base + 10.0), (right, base + 10.0)))
    foot = height - MARGIN_MM
    yield Line(LineKind.REFERENCE, ((left, foot - 5.0), (right, foot - 5.0)))
    yield Words((left, foot), report.foot, 1.8, grey=0.35)
    yield Words((right, foot), f"page {page} of {pages}", 1.8, anchor="end", grey=0.35)


def _lead(
    lead: Photograph | None, files: Mapping[str, bytes], room: float, high: float
) -> tuple[Strips, tuple[PlacedPhotograph, ...]]:
    """Return the room of the first photograph with its caption, and the photograph in it."""
    if lead is None:
        return (), ()
    data, (across, down) = _prepared(lead.file, files[lead.file])
    scale = min(room / across, min(LEAD_MM, high * 0.45) / down)
    at = PlacedPhotograph(data, MARGIN_MM, MARGIN_MM + TITLE_MM, across * scale, down * scale)
    tall = down * scale
    caption, *more = paragraph(lead.caption, room)
    first = Strip(tall + 2.0 + caption.height_mm, moved(caption.marks, 0.0, tall + 2.0), keep=True)
    return (first, *together((*more, *gap(3.0)))), (at,)


def _strips(report: Report, width: float) -> Iterator[Strip]:
    yield from paragraph(report.opening, width, cap=HEAD)
    for section in report.sections:
        if all(isinstance(block, Photograph) for block in section.blocks):
            continue
        yield from heading(section.title, width)
        for block in section.blocks:
            yield from _block(block, width)
            yield from gap(2.0)


def _block(block: Passage, width: float) -> Strips:
    match block:
        case Text(words):
            return paragraph(words, width)
        case Table(heads, rows):
            return table(heads, rows, width)
        case Unions(found):
            return tuple(Strip(ROW_MM, row_marks(join, width)) for join in found)
        case Photograph():
            return ()


def _photograph_pages(
    shown: tuple[Photograph, ...], files: Mapping[str, bytes], room: float, high: float
) -> Iterator[tuple[tuple[Mark, ...], tuple[PlacedPhotograph, ...]]]:
    each = high / 2
    for first in range(0, len(shown), 2):
        marks: list[Mark] = []
        placed = []
        for number, one in enumerate(shown[first : first + 2]):
            top = MARGIN_MM + TITLE_MM + number * each
            data, (across, down) = _prepared(one.file, files[one.file])
            caption = paragraph(one.caption, room)[:MOST_LINES]
            lines = sum(strip.height_mm for strip in caption)
            scale = min(room / across, (each - 6.0 - lines) / down)
            wide, tall = across * scale, down * scale
            placed.append(PlacedPhotograph(data, MARGIN_MM, top, wide, tall))
            y = top + tall + 1.5
            for strip in caption:
                marks += moved(strip.marks, MARGIN_MM, y)
                y += strip.height_mm
        yield tuple(marks), tuple(placed)


def _prepared(name: str, data: bytes) -> tuple[bytes, tuple[int, int]]:
    """Return a photograph upright, no larger than print needs, as JPEG, and its size in pixels."""
    picture = upright(name, data)
    picture.thumbnail((MOST_PX, MOST_PX))
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=88)
    return out.getvalue(), picture.size
