"""Whole drafts read back: page sizes, bars and outlines in the finished PDF and SVG files.

Readers: pypdf (pages, vectors), PDFium by pypdfium2 (pixels), cairo by cairosvg (our SVG as PDF).
"""

from __future__ import annotations

import io
import json
from dataclasses import replace
from functools import cache
from itertools import pairwise
from math import dist

import pypdf
import pytest

from patterns.commands.demo import orders
from patterns.drafting.job import draft
from patterns.drafting.making import Made, make
from patterns.stock.paper import parse
from tests.books import made as drafted
from tests.readers import ink_box, pdf_page_mm, pdf_shapes, raster, svg_page_mm, svg_shapes
from tests.shapes import Point, bars, unmatched

ORDERS = {str(order.record.book.id): order for order in orders()}
NAMES = tuple(ORDERS)
DPI = 400


@cache
def made(name: str, paper: str) -> Made:
    """Draft one demo book on a paper."""
    return make(draft(replace(ORDERS[name], paper=parse(paper))))


def pattern(name: str, paper: str) -> dict[str, list[dict[str, object]]]:
    """Return pattern.json of one demo book."""
    found: dict[str, list[dict[str, object]]] = json.loads(made(name, paper).files["pattern.json"])
    return found


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("paper", ["A4", "letter"])
def test_pages_are_as_large_as_the_pattern_says(name: str, paper: str) -> None:
    """ISO 216: A4 is 210 × 297; ANSI/ASME Y14.1: letter is 215.9 × 279.4."""
    sides = {"A4": (210.0, 297.0), "letter": (215.9, 279.4)}[paper]
    pdf = made(name, paper).files["sheets.pdf"]
    sheets = pattern(name, paper)["sheets"]
    assert len(pypdf.PdfReader(io.BytesIO(pdf), strict=True).pages) == len(sheets)
    for number, sheet in enumerate(sheets):
        said = (sheet["page_width_mm"], sheet["page_height_mm"])
        assert pdf_page_mm(pdf, number) == pytest.approx(said, abs=0.001)
        assert sorted(pdf_page_mm(pdf, number)) == pytest.approx(sorted(sides), abs=0.001)
        svg = made(name, paper).files[str(sheet["file"])].decode()
        assert svg_page_mm(svg) == pytest.approx(said, abs=0.001)


@pytest.mark.parametrize("name", NAMES)
def test_every_cutting_page_has_two_bars_of_100_mm_at_right_angles(name: str) -> None:
    """Read as vectors within 0.005 mm and as pixels of PDFium at 400 dpi within 0.1 mm."""
    pdf = made(name, "A4").files["sheets.pdf"]
    pages = [
        number
        for number, sheet in enumerate(pattern(name, "A4")["sheets"])
        if sheet["group"] == "cutting"
    ]
    assert pages
    for number in pages:
        found = bars(pdf_shapes(pdf, number))
        across = [b for b in found if abs(b[0][1] - b[1][1]) < 0.001]
        down = [b for b in found if abs(b[0][0] - b[1][0]) < 0.001]
        assert across, number
        assert down, number
        for start, end in (across[0], down[0]):
            assert dist(start, end) == pytest.approx(100, abs=0.005)
    image = raster(pdf, pages[0], DPI)
    found = bars(pdf_shapes(pdf, pages[0]))
    (x1, y1), (x2, _) = next(b for b in found if abs(b[0][1] - b[1][1]) < 0.001)
    left, right = sorted((x1, x2))
    ink = ink_box(image, (left - 0.6, y1 - 0.1, right + 0.6, y1 + 0.1), DPI)
    # a tick as wide as the bar's own line stands at each end
    assert ink[2] - ink[0] == pytest.approx(100, abs=0.1 + 0.35)


@pytest.mark.parametrize("name", NAMES)
def test_every_outline_is_found_at_its_size_in_the_pdf(name: str) -> None:
    """On paper that needs no tiles each outline of pattern.json stands in the PDF to 0.005 mm."""
    pdf = made(name, "A1").files["sheets.pdf"]
    document = pattern(name, "A1")
    closed = [
        shape.points
        for number, sheet in enumerate(document["sheets"])
        if sheet["group"] in ("cutting", "sewing")
        for shape in pdf_shapes(pdf, number)
        if shape.closed
    ]
    parts = draft(ORDERS[name]).pattern.parts
    told = {piece.name for part in parts for piece in part.pieces if piece.drawn_as}
    for piece in document["pieces"]:
        if piece["name"] in told:  # its size stands beside the one that is drawn
            continue
        outline = [(x, y) for x, y in piece["outline_mm"]]  # type: ignore[attr-defined]
        assert any(same(outline, list(points)) for points in closed), piece["name"]


def same(outline: list[Point], drawn: list[Point]) -> bool:
    """Tell whether two rings have the same sides and diagonals in the same order."""
    if len(outline) != len(drawn):
        return False
    first, second = (
        [dist(a, b) for a, b in pairwise(ring)] + [dist(ring[0], p) for p in ring]
        for ring in (outline, drawn)
    )
    return all(abs(a - b) < 0.005 for a, b in zip(first, second, strict=True))


@pytest.mark.parametrize("name", NAMES)
def test_svg_and_pdf_hold_the_same_vectors(name: str) -> None:
    """Every outline of each SVG is in the PDF page of the same number, and the reverse."""
    files = made(name, "A4").files
    for number, sheet in enumerate(pattern(name, "A4")["sheets"]):
        one, two = (
            svg_shapes(files[str(sheet["file"])].decode()),
            pdf_shapes(files["sheets.pdf"], number),
        )
        assert not unmatched(one, two, 0.005), sheet["file"]
        assert not unmatched(two, one, 0.005), sheet["file"]


@pytest.mark.outside
@pytest.mark.parametrize("name", NAMES)
def test_cairo_reads_our_svg_as_our_pdf(name: str) -> None:
    """The first cutting page, turned into PDF by cairosvg, agrees with our own PDF."""
    import cairosvg

    files = made(name, "A4").files
    sheets = pattern(name, "A4")["sheets"]
    number = next(n for n, sheet in enumerate(sheets) if sheet["group"] == "cutting")
    other = cairosvg.svg2pdf(bytestring=files[str(sheets[number]["file"])])
    ours = [s for s in pdf_shapes(files["sheets.pdf"], number) if not s.filled]
    theirs = [s for s in pdf_shapes(other) if not s.filled]
    assert not unmatched(ours, theirs, 0.005)


def test_the_same_record_gives_the_same_bytes() -> None:
    """Byte-identical for one Python build and set of libraries."""
    names = ("hollow_tube", "spine_inlay")
    again = drafted("chart_book", *names)
    assert again.files == drafted("chart_book", *reversed(names)).files
