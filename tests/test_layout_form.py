"""The measuring form asks for every field of the record, on one page, in handling order."""

from __future__ import annotations

import io
import re
from pathlib import Path

import pypdf
import pytest
from click.testing import CliRunner

from patterns.commands.measure import measure
from patterns.errors import PaperError, WriteError
from patterns.model.drawing import Line, LineKind, Words
from patterns.record.fields import BY_NAME, FIELDS
from patterns.sheets.form import LATER, form_page
from patterns.sheets.form_views import views
from patterns.stock.paper import Paper, parse
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


def test_the_command_writes_it_as_one_page_and_replaces_nothing_unasked(tmp_path: Path) -> None:
    """Read back by pypdf: one A4 page (ISO 216) that carries its title."""
    out = tmp_path / "form.pdf"
    CliRunner().invoke(measure, ["--form", str(out)], catch_exceptions=False)
    reader = pypdf.PdfReader(io.BytesIO(out.read_bytes()))
    (page,) = reader.pages
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
