"""The measuring form asks for every field of the record, on one page, in handling order."""

from __future__ import annotations

import io
import re
from collections.abc import Sequence
from pathlib import Path

import pypdf
import pytest
from click.testing import CliRunner

from patterns.commands.measure import measure
from patterns.errors import PaperError, WriteError
from patterns.model.drawing import Drawing, Line, LineKind, Words
from patterns.record.fields import BY_NAME, FIELDS
from patterns.sheets.form import LATER, form_page, form_pages
from patterns.sheets.form_views import views
from patterns.stock.paper import Paper, parse
from patterns.structures import catalogue
from tests.clear import assert_clear

PAPERS = ("A4", "letter", "legal", "A3", "B4", "A0", "roll:610")
ASKED = [
    field
    for field in FIELDS
    if field.table not in ("cover.front", "cover.back") and field.name not in LATER
]
TAKES = [take for view in views() for take in (*view.left, *view.right)]


@pytest.mark.parametrize("name", PAPERS)
def test_words_are_apart_and_large_enough_to_read_at_the_bench(name: str) -> None:
    assert_clear(form_page(parse(name)), least_cap=2.5)


def test_every_field_stands_on_it_once_under_its_number_in_handling_order() -> None:
    said = [m.text for m in form_page(parse("A4")).marks if isinstance(m, Words)]
    numbers = [int(m[1]) for text in said if (m := re.match(r"(\d+) [a-z]", text))]
    assert sorted(numbers) == list(range(1, len(ASKED) + 1))
    for number, field in enumerate(ASKED, start=1):
        first = field.key.split("_")[0]
        assert any(re.match(rf"{number} (cover$|{first}\b)", text) for text in said), field.name


def test_each_choice_has_a_square_for_every_word() -> None:
    marks = form_page(parse("A4")).marks
    said = [m.text for m in marks if isinstance(m, Words)]
    for field in ASKED:
        assert all(word in said for word in field.words), field.name


def test_what_is_drawn_is_a_length_in_mm_of_the_record() -> None:
    assert len({take.field for take in TAKES}) == len(TAKES)
    for take in TAKES:
        assert BY_NAME[take.field].unit == "mm", take.field


def test_each_drawn_measurement_has_a_box_to_write_in_and_a_leader_to_its_place() -> None:
    """A box is wide enough for two figures by pencil, 20 × 5 mm; a leader starts at its side."""
    marks = form_page(parse("A4")).marks
    lines = [m for m in marks if isinstance(m, Line)]
    boxes = [
        m
        for m in lines
        if m.closed
        and m.kind is LineKind.OUTLINE
        and 20 <= m.points[1][0] - m.points[0][0] <= 30
        and 5 <= m.points[2][1] - m.points[1][1] <= 6
    ]
    assert len(boxes) == len(TAKES)
    starts = [m.points[0] for m in lines if m.kind is LineKind.REFERENCE and not m.closed]
    for box in boxes:
        middle = (box.points[0][1] + box.points[2][1]) / 2
        sides = (box.points[0][0], box.points[1][0])
        assert any(
            y == pytest.approx(middle) and any(x == pytest.approx(side) for side in sides)
            for x, y in starts
        )


def test_the_command_writes_it_and_replaces_nothing_unasked(tmp_path: Path) -> None:
    """Read back by pypdf: A4 pages (ISO 216), each with its title."""
    out = tmp_path / "form.pdf"
    CliRunner().invoke(measure, ["--form", str(out)], catch_exceptions=False)
    reader = pypdf.PdfReader(io.BytesIO(out.read_bytes()))
    page, *more = reader.pages
    assert more
    assert all("Measuring form" in one.extract_text() for one in more)
    assert float(page.mediabox.height) == pytest.approx(841.889764, abs=1e-3)
    assert "Measuring form" in page.extract_text()
    with pytest.raises(WriteError, match="already there"):
        CliRunner().invoke(measure, ["--form", str(out)], catch_exceptions=False)


@pytest.mark.parametrize("name", ["A5", "B5", "148x400"])
def test_a_paper_too_small_is_refused_with_what_to_give(name: str) -> None:
    with pytest.raises(PaperError, match="give A4, letter or a larger paper"):
        form_page(parse(name))


def test_every_paper_it_accepts_is_clear() -> None:
    """From the largest refused height upwards, millimetre by millimetre."""
    accepted = 0
    for height in range(255, 300):
        try:
            drawing = form_page(Paper("cut", 210.0, float(height)))
        except PaperError:
            assert not accepted
            continue
        accepted += 1
        assert_clear(drawing, least_cap=2.5)
    assert accepted


def test_the_form_says_how_the_covers_spine_is_read_on_each_kind() -> None:
    """Limp, with boards, or still on its book: the same box holds another figure."""
    said = " ".join(m.text for m in form_page(parse("A4")).marks if isinstance(m, Words))
    for words in (
        "limp, fold to fold",
        "edge to edge, cover off and flat",
        "else spine strip",
    ):
        assert words in said


@pytest.mark.parametrize("name", PAPERS)
def test_the_further_pages_can_be_read_on_every_paper(name: str) -> None:
    """Words apart from each other and from lines, none off the page."""
    _, *more = form_pages(parse(name))
    assert more
    for page in more:
        assert_clear(page, least_cap=2.5)


def said(pages: Sequence[Drawing]) -> list[str]:
    return [m.text for page in pages for m in page.marks if isinstance(m, Words)]


def test_it_holds_thirty_contents_and_ten_irregular_gatherings() -> None:
    """A box of 16 × 7 mm for each of thirty leaves; lines for gathering, folios and holes."""
    _, page, *_ = form_pages(parse("A4"))
    boxes = [m for m in page.marks if isinstance(m, Line) and m.closed]
    sizes = {(m.points[1][0] - m.points[0][0], m.points[2][1] - m.points[1][1]) for m in boxes}
    assert len(boxes) == 30
    assert all(wide >= 15 and high == pytest.approx(7) for wide, high in sizes)
    words = [m.text for m in page.marks if isinstance(m, Words)]
    assert {str(n) for n in range(1, 31)} <= set(words)
    lines = [m for m in page.marks if isinstance(m, Line) and m.kind is LineKind.DIMENSION]
    assert len(lines) == 1 + 3 * 10


def test_it_says_where_and_under_which_press_each_figure_is_read() -> None:
    """Every field's reason in full, under its number; the press for all that gives way."""
    _, *more = form_pages(parse("A4"))
    words = " ".join(" ".join(said(more)).split())
    assert "under the same light press" in words
    assert "about 1 kg" in words
    rows = {m.text for page in more for m in page.marks if isinstance(m, Words)}
    for number, field in enumerate(ASKED, start=1):
        if field.unit:
            assert str(number) in rows
            assert field.reason.split()[0] in words, field.name


@pytest.mark.parametrize("way", ["--form", "--blank"])
def test_only_what_a_structure_needs_is_asked_for(tmp_path: Path, way: str) -> None:
    """`--for`: the fields that its template needs and no others."""
    out = tmp_path / ("form.pdf" if way == "--form" else "record.toml")
    command = [way, str(out), "--for", "album_guards"]
    CliRunner().invoke(measure, command, catch_exceptions=False)
    if way == "--form":
        text = " ".join(page.extract_text() for page in pypdf.PdfReader(out).pages)
        assert "contents thickness" in text
        assert "joint gap" not in text
        assert "Irregular gatherings" not in text
        assert "Leaf by leaf" in text
    else:
        asked = set(re.findall(r"^#(\w+) =", out.read_text("utf-8"), re.M))
        needs = {need.rpartition(".")[2] for need in catalogue.find("album_guards").needs}
        assert needs <= asked
        assert "joint_gap" not in asked
        assert "[sewing]" not in out.read_text("utf-8")
        assert "[album]" in out.read_text("utf-8")


def test_a_form_in_svg_is_one_file_a_page(tmp_path: Path) -> None:
    """form.svg, form-2.svg …; none is replaced unasked."""
    out = tmp_path / "form.svg"
    CliRunner().invoke(measure, ["--form", str(out)], catch_exceptions=False)
    names = sorted(path.name for path in tmp_path.iterdir())
    assert names[:2] == ["form-2.svg", "form-3.svg"]
    assert "form.svg" in names
