"""SVG sheets read back: sizes, places, groups, painting order, words and refusals."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import xml.etree.ElementTree as ET
from collections.abc import Callable
from dataclasses import replace
from itertools import combinations
from math import inf, nan
from pathlib import Path

import pytest
from hypothesis import given, settings
from shapely import Polygon, box
from shapely.geometry.base import BaseGeometry

from patterns.errors import MendfoldError
from patterns.model.drawing import PENS, Area, Circle, Drawing, Line, LineKind, Mark, Words
from patterns.writers.dxf import dxf_text
from patterns.writers.grouping import grouped
from patterns.writers.pdf import PdfPage, pdf_bytes
from patterns.writers.svg import svg_text
from tests.drawings import K, drawings, sheet
from tests.readers import pdf_shapes, svg_labels, svg_page_mm, svg_shapes
from tests.shapes import unmatched
from tests.test_lettering import outside_width_mm

HALF_STEP = 0.0005 + 1e-9


def one_page(drawing: Drawing) -> bytes:
    return pdf_bytes([PdfPage(drawing, "1", "Sheet 1")], "Sheets")


def groups_of(svg: str) -> list[ET.Element]:
    return [element for element in ET.fromstring(svg) if element.tag.endswith("}g")]


@given(drawings)
@settings(max_examples=60, deadline=None)
def test_every_mark_comes_back_where_it_was_put(drawing: Drawing) -> None:
    svg = svg_text(drawing, "t")
    width, height = svg_page_mm(svg)
    assert abs(width - drawing.width_mm) <= HALF_STEP
    assert abs(height - drawing.height_mm) <= HALF_STEP
    shapes, labels = list(svg_shapes(svg)), list(svg_labels(svg))
    for _, kind, marks in grouped(drawing.marks):
        for mark in marks:
            match mark:
                case Line() | Area():
                    shape = shapes.pop(0)
                    points = mark.points if isinstance(mark, Line) else mark.outline
                    assert shape.closed == (isinstance(mark, Area) or mark.closed)
                    assert shape.kind == kind.value
                    for (x, y), (u, v) in zip(points, shape.points, strict=True):
                        assert max(abs(x - u), abs(y - v)) <= HALF_STEP
                    if isinstance(mark, Line):
                        assert shape.dashes_mm == PENS[kind].dashes
                        assert shape.width_mm == PENS[kind].width
                case Circle():
                    shape, crossed = shapes.pop(0), mark.kind is LineKind.HOLE
                    assert shape.circle == pytest.approx((*mark.centre, mark.radius), abs=0.0006)
                    strokes = [shapes.pop(0) for _ in range(2 if crossed else 0)]
                    for stroke in strokes:
                        (x, y), (u, v) = stroke.points
                        assert ((x + u) / 2, (y + v) / 2) == pytest.approx(mark.centre, abs=0.001)
                        assert stroke.length_mm == pytest.approx(2 * mark.radius, abs=0.002)
                case Words():
                    label = labels.pop(0)
                    length = outside_width_mm(mark.text, mark.cap_mm, mark.bold)
                    assert label.length_mm == pytest.approx(length, abs=HALF_STEP)
                    assert label.bold == mark.bold
    assert not shapes
    assert not labels


@given(drawings)
@settings(max_examples=40, deadline=None)
def test_numbers_are_plain_short_and_never_minus_nought(drawing: Drawing) -> None:
    svg = re.sub(r">[^<]*<", "><", svg_text(drawing, "t"))
    assert not re.search(r"-0(?:\.0*)?[\"\s,LZM]", svg)
    assert not re.search(r"nan|inf|\de[-+]\d|\.\d{4}", svg)


def test_the_same_drawing_gives_the_same_text() -> None:
    assert svg_text(sheet(), "t") == svg_text(sheet(), "t")


def test_one_named_group_for_each_line_kind_present() -> None:
    drawing = sheet()
    names = [group.attrib["id"] for group in groups_of(svg_text(drawing, "t"))]
    present = {K.TEXT if isinstance(mark, Words) else mark.kind for mark in drawing.marks}
    assert sorted(names) == sorted(kind.value for kind in present)


def test_words_are_escaped_and_read_back() -> None:
    text = "<b> & \"q\" 'a'  two spaces ><"
    drawing = Drawing(100, 100, (Words((10, 10), text, 2.5),))
    svg = svg_text(drawing, 'a <title> & "more"')
    assert svg_labels(svg)[0].text == text
    title = ET.fromstring(svg).find("{http://www.w3.org/2000/svg}title")
    assert title is not None
    assert title.text == 'a <title> & "more"'


def ink(mark: Mark) -> BaseGeometry:
    """Return what a mark certainly covers, by shapely."""
    match mark:
        case Area():
            return Polygon(mark.outline).buffer(0)
        case Line():
            return box(*Polygon([*mark.points, mark.points[0]]).bounds)
        case Circle():
            x, y = mark.centre
            return box(x - mark.radius, y - mark.radius, x + mark.radius, y + mark.radius)
        case Words():
            return box(*mark.at, mark.at[0] + 0.01, mark.at[1] + 0.01)


@given(drawings)
@settings(max_examples=100, deadline=None)
def test_grouping_keeps_what_lies_over_what(drawing: Drawing) -> None:
    """By brute force: an area and what it overlaps in another grey keep their order."""
    written = [mark for _, _, marks in grouped(drawing.marks) for mark in marks]
    assert sorted(map(id, written)) == sorted(map(id, drawing.marks))
    place = {id(mark): index for index, mark in enumerate(written)}
    for under, over in combinations(drawing.marks, 2):
        greys = [
            mark.grey if isinstance(mark, Area | Words) else PENS[mark.kind].grey
            for mark in (under, over)
        ]
        if isinstance(under, Area) or isinstance(over, Area):
            covers = ink(under).intersects(ink(over)) and greys[0] != greys[1]
            assert not covers or place[id(under)] < place[id(over)]


def test_a_kind_is_split_only_when_an_area_lies_between() -> None:
    white = Area(K.REFERENCE, ((0, 0), (50, 0), (50, 50), (0, 50)), 1.0)
    low, high = Line(K.CUT, ((10, 10), (40, 40))), Line(K.CUT, ((10, 40), (40, 10)))
    names = [name for name, _, _ in grouped((low, white, high))]
    assert names == ["cut", "reference", "cut-2"]
    aside = replace(high, points=((60, 60), (90, 90)))
    assert [name for name, _, _ in grouped((low, white, aside))] == ["cut", "reference"]


@pytest.mark.parametrize("bad", [nan, inf, -inf])
@pytest.mark.parametrize(
    "mark",
    [
        lambda bad: Line(K.CUT, ((0, 0), (1, bad))),
        lambda bad: Area(K.CUT, ((0, 0), (1, 1), (bad, 1))),
        lambda bad: Area(K.CUT, ((0, 0), (1, 1), (0, 1)), bad),
        lambda bad: Circle(K.HOLE, (5, 5), bad),
        lambda bad: Circle(K.HOLE, (bad, 5), 1),
        lambda bad: Words((bad, 5), "a", 2.5),
        lambda bad: Words((5, 5), "a", bad),
        lambda bad: Words((5, 5), "a", 2.5, angle_deg=bad),
    ],
)
def test_a_place_that_is_no_number_is_refused_by_every_writer(
    mark: Callable[[float], Mark], bad: float
) -> None:
    drawing = Drawing(100, 100, (mark(bad),))
    for write in (lambda: svg_text(drawing, "t"), lambda: one_page(drawing)):
        with pytest.raises(MendfoldError, match="no number"):
            write()
    with pytest.raises(MendfoldError, match="no number"):
        dxf_text(drawing)


@pytest.mark.parametrize(
    "drawing",
    [
        Drawing(0, 100),
        Drawing(100, nan),
        Drawing(100, 100, (Line(K.CUT, ((1, 1),)),)),
        Drawing(100, 100, (Area(K.CUT, ((1, 1), (2, 2))),)),
        Drawing(100, 100, (Circle(K.HOLE, (1, 1), 0),)),
        Drawing(100, 100, (Words((1, 1), "a", -1),)),
        Drawing(100, 100, (Line(K.TEXT, ((1, 1), (2, 2))),)),
        Drawing(100, 100, (Words((1, 1), "bore ⌀ 3", 2.5),)),
    ],
)
def test_what_cannot_be_drawn_is_refused(drawing: Drawing) -> None:
    with pytest.raises(MendfoldError):
        svg_text(drawing, "t")
    with pytest.raises(MendfoldError):
        one_page(drawing)


def test_svg_and_pdf_agree_in_every_line() -> None:
    drawing = sheet()
    assert not unmatched(svg_shapes(svg_text(drawing, "t")), pdf_shapes(one_page(drawing)), 0.005)


BARE = """
import hashlib
from tests.drawings import sheet
from tests.test_render_svg import one_page
from patterns.writers.svg import svg_text
print(hashlib.sha256(svg_text(sheet(), "t").encode() + one_page(sheet())).hexdigest())
"""


def test_a_machine_without_typefaces_writes_the_same_sheets(tmp_path: Path) -> None:
    """A process whose fontconfig knows no typeface at all gives the same bytes as this one."""
    none = tmp_path / "fonts.conf"
    none.write_text("<fontconfig></fontconfig>")
    found = []
    for more in ({}, {"FONTCONFIG_FILE": str(none), "HOME": str(tmp_path), "XDG_DATA_HOME": ""}):
        run = [sys.executable, "-c", BARE]
        env = {**os.environ, **more}
        found.append(subprocess.run(run, env=env, check=True, capture_output=True, text=True))
    assert found[0].stdout == found[1].stdout


@pytest.mark.outside
def test_cairo_reads_the_svg_as_the_pdf_says() -> None:
    """cairosvg, an independent reader, turns our SVG into a PDF whose lines are those of ours."""
    import cairosvg

    drawing = sheet()
    theirs = cairosvg.svg2pdf(bytestring=svg_text(drawing, "t").encode())
    ours = pdf_shapes(one_page(drawing))
    outlines = [shape for shape in pdf_shapes(theirs) if not (shape.curved and shape.filled)]
    assert not unmatched(ours, outlines, 0.005)


@pytest.mark.outside
@pytest.mark.parametrize("size", [(210.0, 297.0), (279.4, 215.9), (297.0, 420.0)])
def test_chromium_prints_the_sheet_at_its_size(tmp_path: Path, size: tuple[float, float]) -> None:
    """On a page that sets `@page`, as the gallery's does, both bars come out at 100 mm."""
    from playwright.sync_api import sync_playwright

    width, height = size
    rule = f"@page{{size:{width}mm {height}mm;margin:0}}body{{margin:0}}svg{{display:block}}"
    page_file = tmp_path / "sheet.html"
    sheet_svg = svg_text(sheet(width, height), "t")
    page_file.write_text(f"<!doctype html><style>{rule}</style>{sheet_svg}", encoding="utf-8")
    with sync_playwright() as driver:
        browser = driver.chromium.launch(
            executable_path="/usr/bin/chromium", args=["--no-sandbox", "--disable-gpu"]
        )
        page = browser.new_page()
        page.goto(page_file.as_uri())
        printed = page.pdf(prefer_css_page_size=True)
        browser.close()
    lines = [s for s in pdf_shapes(printed) if abs(s.width_mm - PENS[K.BAR].width) < 0.02]
    boxes = [s.box for s in lines if s.length_mm == pytest.approx(100, abs=0.1)]
    assert sum(b[2] - b[0] == pytest.approx(100, abs=0.1) for b in boxes) >= 1
    assert sum(b[3] - b[1] == pytest.approx(100, abs=0.1) for b in boxes) >= 1
