"""How long the writers take, as ratios to something outside; run  python -m tests.benchmarks.bench_render.

Interleaved runs, medians. The limits are part of what the project promises: the process ends with
status 1 when one is missed.
"""

from __future__ import annotations

import io
import statistics
import sys
import time
from collections.abc import Callable, Sequence
from itertools import pairwise
from math import cos, radians, sin

import cairosvg
from reportlab.lib.units import mm
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfgen.canvas import Canvas

from patterns.model import lettering
from patterns.model.drawing import CAP_HEIGHT_EM, PENS, Area, Circle, Drawing, Line, LineKind, Words
from patterns.writers.grouping import grouped
from patterns.writers.pdf import PdfPage, pdf_bytes
from patterns.writers.svg import svg_text
from tests.drawings import sheet

RUNS = 25


def medians_ms(jobs: Sequence[Callable[[], object]], runs: int = RUNS) -> list[float]:
    """Return the median time of each job in ms, the jobs taking turns."""
    times: list[list[float]] = [[] for _ in jobs]
    for _ in range(runs):
        for job, taken in zip(jobs, times, strict=True):
            start = time.perf_counter()
            job()
            taken.append((time.perf_counter() - start) * 1000)
    return [statistics.median(taken) for taken in times]


def raw_calls(drawing: Drawing) -> bytes:
    """Draw the sheet by the plainest calls of reportlab's canvas, a mark at a time."""
    file = io.BytesIO()
    canvas = Canvas(file, invariant=1, pagesize=(drawing.width_mm * mm, drawing.height_mm * mm))
    canvas.transform(mm, 0, 0, -mm, 0, drawing.height_mm * mm)
    for mark in drawing.marks:
        if isinstance(mark, Words):
            canvas.saveState()
            turn = radians(mark.angle_deg)
            along, up = cos(turn), sin(turn)
            canvas.transform(along, -up, -up, -along, *mark.at)
            canvas.setFillGray(mark.grey)
            canvas.setFont(lettering.face(mark.bold).fontName, mark.cap_mm / CAP_HEIGHT_EM)
            draw = {
                "start": canvas.drawString,
                "middle": canvas.drawCentredString,
                "end": canvas.drawRightString,
            }[mark.anchor]
            draw(0, 0, mark.text)
            canvas.restoreState()
            continue
        pen = PENS[mark.kind]
        canvas.setStrokeGray(pen.grey)
        canvas.setLineWidth(pen.width)
        canvas.setDash(list(pen.dashes))
        if isinstance(mark, Circle):
            (x, y), r = mark.centre, mark.radius
            canvas.circle(x, y, r)
            if mark.kind is LineKind.HOLE:
                canvas.lines([(x - r, y, x + r, y), (x, y - r, x, y + r)])
            continue
        points = mark.outline if isinstance(mark, Area) else mark.points
        if isinstance(mark, Line) and not mark.closed:
            canvas.lines([(*a, *b) for a, b in pairwise(points)])
            continue
        path = canvas.beginPath()
        path.moveTo(*points[0])
        for point in points[1:]:
            path.lineTo(*point)
        path.close()
        if isinstance(mark, Area):
            canvas.setFillGray(mark.grey)
        canvas.drawPath(path, stroke=isinstance(mark, Line), fill=isinstance(mark, Area))
    canvas.showPage()
    canvas.save()
    return file.getvalue()


def dense(marks_n: int = 200) -> Drawing:
    """Return a page of about `marks_n` marks, a third of them words on white grounds."""
    base = sheet(hatch_n=marks_n // 3)
    more: list[Area | Words] = []
    for i in range(marks_n // 6):
        x, y = 15 + 48 * (i % 4), 160 + 4 * (i // 4)
        more.append(
            Area(LineKind.TEXT, ((x, y - 3), (x + 45, y - 3), (x + 45, y), (x, y)), grey=1.0)
        )
        more.append(Words((x, y), f"{i}: paste to cover, 2 dry at each fold", 1.8))
    return Drawing(base.width_mm, base.height_mm, base.marks + tuple(more))


def main() -> int:
    """Print the ratios; return 1 when a limit is missed."""
    for bold in (False, True):
        pdfmetrics.registerFont(lettering.face(bold))
    page = dense()
    pages = [PdfPage(page, f"{n} of 12", f"Sheet {n}") for n in range(1, 13)]
    svgs = [svg_text(page, f"Sheet {n}").encode() for n in range(1, 13)]
    ours, theirs = medians_ms(
        [
            lambda: pdf_bytes(pages, "Sheets"),
            lambda: [cairosvg.svg2pdf(bytestring=svg) for svg in svgs],
        ]
    )
    one, raw = medians_ms([lambda: pdf_bytes(pages[:1], "Sheet"), lambda: raw_calls(page)])
    big = dense(1000)
    svg, group, width = medians_ms(
        [
            lambda: svg_text(page, "t"),
            lambda: grouped(big.marks),
            lambda: lettering.width_mm("paste to cover, 2 dry at each fold", 2.5),
        ]
    )
    print(f"a page of {len(page.marks)} marks; {RUNS} interleaved runs, medians")
    print(f"12 pages to PDF: {ours:.1f} ms; cairosvg from the same 12 SVGs: {theirs:.1f} ms")
    print(f"  ratio {ours / theirs:.3f} (limit 0.100)")
    print(f"one sheet to PDF: {one:.2f} ms; the raw calls of reportlab: {raw:.2f} ms")
    print(f"  ratio {one / raw:.2f} (limit 2.00)")
    print(f"one sheet to SVG: {svg:.2f} ms; {len(big.marks)} marks grouped: {group:.2f} ms")
    print(f"measuring a line of words: {width * 1000:.1f} µs")
    return int(ours / theirs > 0.1 or one / raw > 2)


if __name__ == "__main__":
    sys.exit(main())
