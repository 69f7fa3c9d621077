"""PDF sheets read back by independent readers: pypdf's contents, PDFium's pixels, poppler."""

from __future__ import annotations

import io
import subprocess
from pathlib import Path
from typing import Any
from unicodedata import normalize

import numpy as np
import pypdfium2
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from patterns.errors import MendfoldError
from patterns.model.drawing import PENS, Area, Circle, Drawing, Line, LineKind, Words
from patterns.writers.pdf import PdfPage, pdf_bytes
from tests.drawings import LETTERS, K, bars, drawings, sheet
from tests.readers import ink_box, pdf_labels, pdf_page_mm, pdf_shapes, raster
from tests.test_lettering import outside_width_mm

# ISO 216 (A4, A3, A0), ANSI/ASME Y14.1 (letter, tabloid): width and height in mm
SIZES = [(210.0, 297.0), (297.0, 420.0), (841.0, 1189.0), (215.9, 279.4), (431.8, 279.4)]
DPI = 600


def one_page(drawing: Drawing) -> bytes:
    return pdf_bytes([PdfPage(drawing, "1", "Sheet 1")], "Sheets")


def three_pages() -> bytes:
    pages = [
        PdfPage(sheet(210, 297), "overview", "Overview – “Almanac”"),
        PdfPage(sheet(420, 297), "1 of 2", "Strip, sheet 1"),
        PdfPage(sheet(215.9, 279.4), "2 of 2", "Strip, sheet 2"),
    ]
    return pdf_bytes(pages, "Tide almanac – hollow tube", "ALM-01")


@given(drawings)
@settings(max_examples=60, deadline=None)
def test_every_mark_comes_back_where_it_was_put_in_painting_order(drawing: Drawing) -> None:
    pdf = one_page(drawing)
    assert pdf_page_mm(pdf) == pytest.approx((drawing.width_mm, drawing.height_mm), abs=0.001)
    shapes, labels = list(pdf_shapes(pdf)), list(pdf_labels(pdf))
    for mark in drawing.marks:
        match mark:
            case Line() | Area():
                shape = shapes.pop(0)
                points = mark.points if isinstance(mark, Line) else mark.outline
                closed = isinstance(mark, Area) or mark.closed
                assert (shape.closed, shape.filled) == (closed, isinstance(mark, Area))
                for (x, y), (u, v) in zip(points, shape.points, strict=True):
                    assert max(abs(x - u), abs(y - v)) < 0.0007
                if isinstance(mark, Line):
                    assert shape.width_mm == pytest.approx(PENS[mark.kind].width, abs=1e-4)
                    assert shape.dashes_mm == pytest.approx(PENS[mark.kind].dashes, abs=1e-4)
                    assert shape.grey == PENS[mark.kind].grey
                else:
                    assert shape.grey == mark.grey
            case Circle():
                circle = shapes.pop(0).circle
                assert circle == pytest.approx((*mark.centre, mark.radius), abs=0.0015)
                for _ in range(2 if mark.kind is LineKind.HOLE else 0):
                    (x, y), (u, v) = shapes.pop(0).points
                    assert ((x + u) / 2, (y + v) / 2) == pytest.approx(mark.centre, abs=0.0007)
            case Words():
                label = labels.pop(0)
                length = outside_width_mm(mark.text, mark.cap_mm, mark.bold)
                assert label.length_mm == pytest.approx(length, rel=1e-4)
                assert (label.bold, label.grey) == (mark.bold, mark.grey)
    assert not shapes
    assert not labels


@pytest.mark.parametrize("anchor", ["start", "middle", "end"])
@pytest.mark.parametrize("angle", [0.0, 90.0, -90.0, 30.0])
def test_words_stand_where_they_are_anchored_and_turn_anticlockwise(
    anchor: Any, angle: float
) -> None:
    """PDFium's pixels: the ink lies about the anchor on the side that anchor and turn ask for."""
    words = Words((100, 100), "HIGH", 5.0, anchor=anchor, angle_deg=angle)
    pdf = one_page(Drawing(200, 200, (words,)))
    left, top, right, bottom = ink_box(raster(pdf, dpi=DPI), (0, 0, 200, 200), DPI)
    width = outside_width_mm("HIGH", 5.0, False)
    ends = np.array([0.0, 1.0]) - {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor]
    turn = np.deg2rad(angle)
    along, up = np.array([np.cos(turn), -np.sin(turn)]), np.array([-np.sin(turn), -np.cos(turn)])
    corners = np.array([100 + along * end * width + up * h for end in ends for h in (0.0, 5.0)])
    want = (*corners.min(axis=0), *corners.max(axis=0))
    assert (left, top, right, bottom) == pytest.approx(want, abs=0.8)  # side bearings of H
    assert pdf_labels(pdf)[0].angle_deg == pytest.approx(angle, abs=1e-3)
    assert pdf_labels(pdf)[0].text == "HIGH"


def test_a_capital_is_as_high_as_asked() -> None:
    pdf = one_page(Drawing(200, 200, (Words((50, 100), "HHH", 20.0),)))
    _, top, _, bottom = ink_box(raster(pdf, dpi=DPI), (0, 0, 200, 200), DPI)
    assert bottom == pytest.approx(100, abs=0.05)
    assert bottom - top == pytest.approx(20, rel=0.013)  # the drawn H against OS/2 sCapHeight


@pytest.mark.parametrize("size", SIZES)
def test_page_box_is_the_paper(size: tuple[float, float]) -> None:
    pdf = one_page(Drawing(*size, bars(60, size[1] - 15)))
    assert pdf_page_mm(pdf) == pytest.approx(size, abs=0.005)
    with pypdfium2.PdfDocument(pdf) as document:
        points = document[0].get_size()
    assert [side * 25.4 / 72 for side in points] == pytest.approx(size, abs=0.005)


@pytest.mark.parametrize("size", [*SIZES[:2], *SIZES[3:]])
def test_both_bars_are_100_mm_for_two_independent_readers(size: tuple[float, float]) -> None:
    left, bottom = 60.0, size[1] - 15
    pdf = one_page(Drawing(*size, bars(left, bottom)))
    across, down, *_ = pdf_shapes(pdf)
    assert across.box == pytest.approx((left, bottom, left + 100, bottom), abs=0.005)
    assert across.length_mm == pytest.approx(100, abs=0.005)
    assert down.length_mm == pytest.approx(100, abs=0.005)
    half, right, top = PENS[K.BAR].width / 2, left + 100, bottom - 100
    image = raster(pdf, dpi=DPI)
    low = ink_box(image, (left - 5, bottom - 1, right + 5, bottom + 1), DPI)
    side = ink_box(image, (right - 1, top - 5, right + 1, bottom + 5), DPI)
    # the outermost ticks and the other bar stand on the ends, half a pen's width beyond each
    assert low[2] - low[0] - 2 * half == pytest.approx(100, abs=0.1)
    assert side[3] - side[1] - 2 * half == pytest.approx(100, abs=0.1)


@given(st.floats(20, 100), st.floats(20, 100), st.floats(5, 100), st.floats(5, 180))
@settings(max_examples=10, deadline=None)
def test_pixels_of_any_rectangle_lie_where_it_was_put(
    x: float, y: float, width: float, height: float
) -> None:
    ring = ((x, y), (x + width, y), (x + width, y + height), (x, y + height))
    pdf = one_page(Drawing(210, 297, (Line(K.CUT, ring, closed=True),)))
    half = PENS[K.CUT].width / 2
    want = (x - half, y - half, x + width + half, y + height + half)
    assert ink_box(raster(pdf, dpi=400), (0, 0, 210, 297), 400) == pytest.approx(want, abs=0.1)


def test_overlapping_areas_never_cancel_out() -> None:
    """Two white grounds drawn in opposite senses still hide all that lies beneath (PDFium)."""
    dark = Area(K.OUTLINE, ((0, 0), (100, 0), (100, 100), (0, 100)))
    one = Area(K.TEXT, ((10, 10), (60, 10), (60, 60), (10, 60)), 1.0)
    other = Area(K.TEXT, ((40, 40), (40, 90), (90, 90), (90, 40)), 1.0)
    image = raster(one_page(Drawing(100, 100, (dark, one, other))), dpi=100)
    assert image[197, 197] == 255  # 50 mm, 50 mm
    assert image[20, 20] == 0


def test_the_file_asks_for_no_scaling_and_carries_labels_outline_and_title() -> None:
    reader = PdfReader(io.BytesIO(three_pages()), strict=True)
    preferences: Any = reader.root_object["/ViewerPreferences"]
    assert preferences["/PrintScaling"] == "/None"
    assert reader.page_labels == ["overview", "1 of 2", "2 of 2"]
    entries: Any = reader.outline
    outline = [(entry.title, reader.get_destination_page_number(entry)) for entry in entries]
    assert outline == [("Overview – “Almanac”", 0), ("Strip, sheet 1", 1), ("Strip, sheet 2", 2)]
    assert reader.metadata is not None
    assert reader.metadata.title == "Tide almanac – hollow tube"
    assert reader.metadata.subject == "ALM-01"
    widths = [float(page.mediabox.width) * 25.4 / 72 for page in reader.pages]
    assert widths == pytest.approx([210, 420, 215.9], abs=0.005)


def test_pages_of_one_phase_stand_below_its_name_in_the_outline() -> None:
    pages = [
        PdfPage(sheet(210, 297), "1", "Overview"),
        PdfPage(sheet(210, 297), "2", "Strip", phase="Boards"),
        PdfPage(sheet(210, 297), "3", "Gauge", phase="Boards"),
        PdfPage(sheet(210, 297), "4", "Lining", phase="Sew"),
    ]
    reader = PdfReader(io.BytesIO(pdf_bytes(pages, "Tide almanac", "")), strict=True)
    found: Any = reader.outline
    told = [[e.title for e in one] if isinstance(one, list) else one.title for one in found]
    assert told == ["Overview", "Boards", ["Strip", "Gauge"], "Sew", ["Lining"]]
    assert reader.get_destination_page_number(found[3]) == 3


def test_every_typeface_is_embedded_as_a_subset() -> None:
    reader = PdfReader(io.BytesIO(three_pages()), strict=True)
    for page in reader.pages:
        resources: Any = page["/Resources"]
        fonts = resources["/Font"]
        assert len(fonts) >= 2
        for font in (entry.get_object() for entry in fonts.values()):
            assert font["/BaseFont"][7:8] == "+"
            assert "/FontFile2" in font["/FontDescriptor"]
    assert len(three_pages()) < 60_000  # both whole files are ten times that


def test_the_words_can_be_searched() -> None:
    with pypdfium2.PdfDocument(three_pages()) as document:
        text = document[0].get_textpage().get_text_bounded()
    assert "HEAD Ø 12½ ± 0.5 µm" in text
    assert "Almanac “é” ĄЖΩ" in text


def test_the_same_pages_give_the_same_bytes() -> None:
    assert three_pages() == three_pages()


def test_more_letters_than_one_subset_holds_are_all_written() -> None:
    """Over 256 different letters: the second subset is decoded like the first."""
    letters = [mark for mark in normalize("NFC", LETTERS) if mark.isalpha()][:600]
    rows = ["".join(letters[i : i + 40]) for i in range(0, len(letters), 40)]
    marks = tuple(Words((10, 10 + 6 * i), row, 2.5) for i, row in enumerate(rows))
    read = "".join(label.text for label in pdf_labels(one_page(Drawing(400, 200, marks))))
    assert read == "".join(rows)


@pytest.mark.parametrize("title", ["⌀", "海"])
def test_a_title_the_typeface_lacks_is_refused(title: str) -> None:
    with pytest.raises(MendfoldError):
        pdf_bytes([PdfPage(Drawing(210, 297), "1", "one")], title)


@pytest.mark.outside
@pytest.mark.parametrize("command", [["pdfinfo"], ["pdffonts"], ["pdftocairo", "-svg"]])
def test_poppler_has_no_complaint(tmp_path: Path, command: list[str]) -> None:
    file = tmp_path / "sheets.pdf"
    file.write_bytes(three_pages())
    more = [str(tmp_path / "out.svg")] if "-svg" in command else []
    ran = subprocess.run([*command, str(file), *more], capture_output=True, text=True, check=True)
    assert ran.stderr == ""


@pytest.mark.outside
def test_poppler_sees_the_bars_at_100_mm(tmp_path: Path) -> None:
    file = tmp_path / "bars.pdf"
    file.write_bytes(one_page(Drawing(210, 297, bars(60, 282))))
    run = ["pdftoppm", "-r", str(DPI), "-gray", "-singlefile", str(file), str(tmp_path / "bars")]
    subprocess.run(run, check=True)
    head, size, _, body = (tmp_path / "bars.pgm").read_bytes().split(b"\n", 3)
    assert head == b"P5"
    columns, rows = map(int, size.split())
    image = np.frombuffer(body, np.uint8).reshape(rows, columns)
    low = ink_box(image, (55, 281, 165, 283), DPI)
    side = ink_box(image, (159, 177, 161, 287), DPI)
    assert low[2] - low[0] - PENS[K.BAR].width == pytest.approx(100, abs=0.1)
    assert side[3] - side[1] - PENS[K.BAR].width == pytest.approx(100, abs=0.1)


@pytest.mark.outside
def test_chromium_shows_the_pdf_at_its_size(tmp_path: Path) -> None:
    """Chromium's viewer at 100 %: 100 mm are 377.95 CSS px (CSS Values 4: 1 in = 96 px)."""
    from PIL import Image
    from playwright.sync_api import sync_playwright

    file, picture, ratio = tmp_path / "bars.pdf", tmp_path / "seen.png", 3
    file.write_bytes(one_page(Drawing(210, 297, bars(60, 282))))
    with sync_playwright() as driver:
        browser = driver.chromium.launch(
            executable_path="/usr/bin/chromium",
            args=["--no-sandbox", "--headless=new"],
            ignore_default_args=["--headless=old"],
        )
        view = {"width": 1000, "height": 1300}
        page = browser.new_page(viewport=view, device_scale_factor=ratio)  # type: ignore[arg-type]
        page.goto(f"{file.as_uri()}#zoom=100&toolbar=0&navpanes=0")
        before = image = np.zeros((0, 0))
        for _ in range(60):  # until the viewer shows the sheet, and nothing of it changes any more
            page.wait_for_timeout(1500)
            page.screenshot(path=picture)
            before, image = image, np.array(Image.open(picture).convert("L"))
            if (image > 250).any() and np.array_equal(image, before):
                break
        browser.close()
    sheet_rows, sheet_columns = np.nonzero(image > 250)
    inner = image[sheet_rows.min() + 9 : sheet_rows.max() - 9][
        :, sheet_columns.min() + 9 : sheet_columns.max() - 9
    ]
    rows, columns = np.nonzero(inner < 128)
    pixel = 25.4 / 96 / ratio
    seen = [(np.ptp(axis) + 1) * pixel - PENS[K.BAR].width for axis in (columns, rows)]
    assert seen == pytest.approx([100, 100], abs=0.15)  # a pixel is 0.09 mm
