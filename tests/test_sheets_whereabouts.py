"""Words that stand on another page than their piece name the pages that show it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

import pytest

from patterns.commands.demo import orders
from patterns.drafting.job import draft
from patterns.errors import TemplateError
from patterns.model.drawing import Words
from patterns.model.sheet import Sheet
from patterns.model.traits import Traits
from patterns.sheets import whole
from patterns.sheets.page import Layout
from patterns.sheets.whereabouts import LIKEWISE, told
from patterns.stock.paper import parse
from patterns.structures import comparing
from patterns.structures.steps import StepTemplate
from tests.books import changed, drafted


def test_notes_apart_from_their_piece_name_its_pages() -> None:
    order = next(one for one in orders() if one.record.book.id == "chart_book")
    made = whole.sheets(Layout(draft(order).pattern, parse("A4")))
    said = [m.text for sheet in made for m in sheet.drawing.marks if isinstance(m, Words)]
    named = [re.fullmatch(r"To (.+), page (\d+)", text) for text in said]
    found = [one for one in named if one]
    assert [one[1] for one in found] == ["Tube strip"]
    assert "strip" in made[int(found[0][2]) - 1].pieces
    assert not any("888" in text for text in said)


def test_a_piece_told_on_another_page_names_that_page() -> None:
    """The chart book's tube on page 4 is told on page 6; what is told where it stands names none."""
    order = next(one for one in orders() if one.record.book.id == "chart_book")
    made = whole.sheets(Layout(draft(order).pattern, parse("A4")))
    said = [" ".join(m.text for m in one.drawing.marks if isinstance(m, Words)) for one in made]
    (there,) = [n for n, text in enumerate(said, 1) if "To Tube strip, page" in text]
    pointed = {n: text for n, text in enumerate(said, 1) if "Notes: page" in text}
    assert list(pointed) == [n for n, one in enumerate(made, 1) if "strip" in one.pieces]
    assert all(f"Notes: page {there}." in text.replace("\u00a0", " ") for text in pointed.values())


ORDERS = {f"{one.record.book.id}-{'+'.join(one.structures)}": one for one in orders()}
POINTS = re.compile(
    r"as drawn|sheet shows|sewing sheet|printed sheet|the sheet\b|the plan\b|paper plan|profile|"
    r"(pricking|placing|marking|edge) strip|(depth|corner) gauge"
)
"""Words of a step that send its reader to a sheet."""


def _told(made: Sequence[Sheet]) -> str:
    """Return what the pages of words say, column by column."""
    columns: dict[tuple[int, float], list[str]] = {}
    for number, sheet in enumerate(made):
        for mark in sheet.drawing.marks:
            if isinstance(mark, Words) and sheet.group in ("overview", "steps"):
                columns.setdefault((number, round(mark.at[0], 1)), []).append(mark.text)
    return " ".join(" ".join(lines) for lines in columns.values()).replace("\u00a0", " ")


@pytest.mark.parametrize("name", ORDERS)
def test_a_step_names_the_pages_of_what_it_is_done_by(name: str) -> None:
    """The page named shows the piece: read off the finished pages, also on a paper of other counts."""
    for paper in ("A4", "A3"):
        order = replace(ORDERS[name], paper=parse(paper))
        pattern = draft(order).pattern
        made = whole.sheets(Layout(pattern, order.paper))
        said = _told(made)
        assert "888" not in said
        seeing = [step for step in pattern.steps if step.sees]
        assert seeing
        for step in seeing:
            end = " ".join(step.text.replace("\u00a0", " ").split()[-3:])
            (found,) = re.findall(re.escape(end) + r" See pages? ([\d–, ]+)\.", said)[:1]
            pages = {
                number
                for run in found.split(", ")
                for number in range(int(run.split("–")[0]), int(run.split("–")[-1]) + 1)
            }
            shown = {one for number in pages for one in made[number - 1].pieces}
            assert set(step.sees) <= shown, (step.text, pages)


@pytest.mark.parametrize("name", ORDERS)
def test_no_step_points_to_a_sheet_without_naming_it(name: str) -> None:
    for step in draft(ORDERS[name]).pattern.steps:
        if step.structure and POINTS.search(step.text):
            assert step.sees, step.text


def test_a_step_that_sees_what_is_not_there_is_refused() -> None:
    """The names of what there is stand in the message."""
    part = draft(ORDERS["signal_book-joint_tacket"]).pattern.parts[0]
    wrong = StepTemplate("join", "Do.", (), (), Traits(), False, {}, sees=("chart",))
    with pytest.raises(TemplateError, match=r"'chart', which is no piece.*marking strip, front"):
        comparing.seen(part, wrong)


def test_what_is_said_alike_names_the_page_of_the_other_piece() -> None:
    """The page named shows it, and is never the very page."""
    seen = 0
    for order in ORDERS.values():
        pattern = draft(order).pattern
        titles = {
            (p.title or p.name).lower(): p.name for part in pattern.parts for p in part.pieces
        }
        made = whole.sheets(Layout(pattern, order.paper))
        for number, sheet in enumerate(made, 1):
            text = " ".join(m.text for m in sheet.drawing.marks if isinstance(m, Words))
            text = text.replace("\u00a0", " ")
            assert "777" not in text
            for title, pages in re.findall(
                r"all else as said of ([^()]{1,60}?) \(pages? ([\d–, ]+)\)", text
            ):
                numbers = [int(one) for one in re.findall(r"\d+", pages)]
                assert number not in numbers
                assert all(titles[title.lower()] in made[n - 1].pieces for n in numbers)
                seen += 1
    assert seen


def test_words_that_wait_for_the_very_page_lose_their_brackets() -> None:
    marks = [
        Words((0.0, 0.0), f"as said of Slip ({LIKEWISE})", 2.5),
        Words((0.0, 4.0), f"({LIKEWISE})", 2.5),
    ]
    assert [m.text for m in told(marks, ["", ""]) if isinstance(m, Words)] == ["as said of Slip"]
    assert [m.text for m in told(marks, ["6", "6–7"]) if isinstance(m, Words)] == [
        "as said of Slip (page 6)",
        "(pages 6–7)",
    ]


def test_a_step_names_the_page_of_what_is_drawn_as_another() -> None:
    """Guards of several widths are one drawing with a table: a step about any of them names its page."""
    thick = (0.4, 1.5, 2.1, 1.1, 1.4, 1.5, 0.9, 0.8, 2.2, 0.4, 0.2, 0.2, 1.8, 0.1, 2.0, 0.4, 1.3)
    album = {"leaves": len(thick), "contents_thickness": thick, "leaf_thickness": 0.71}
    pattern = drafted(changed("seaweed_album", album=album), "album_guards").pattern
    assert any(piece.drawn_as for piece in pattern.parts[0].pieces if "guard" in piece.name)
    made = whole.sheets(Layout(pattern, parse("A4")))
    words = [m.text for sheet in made for m in sheet.drawing.marks if isinstance(m, Words)]
    assert not any("888" in one or "777" in one for one in words)
