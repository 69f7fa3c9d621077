"""The examination sheet: one page, everything on it, the outline at the scale it states."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from itertools import combinations
from pathlib import Path

import pytest
from pypdf import PdfReader

from patterns.examine.examination import examine
from patterns.examine.outline import outline_of
from patterns.examine.page import examination_page
from patterns.model.drawing import Drawing, Line, LineKind, Words
from patterns.record import reading
from patterns.record.record import Record
from patterns.sketch.marks import box_of
from patterns.stock.paper import parse
from patterns.structures import catalogue
from patterns.writers.pdf import PdfPage, pdf_bytes
from tests.books import DEMO
from tests.examine_books import BOOKS, LIBRARY, SOUND, changed, joint

PAPERS = ("A4", "A3", "A5", "letter", "roll:610")

WORST = changed(
    SOUND,
    {
        "book.owner": "Nobody's business",
        "condition.mould": True, "condition.active_pests": True, "condition.parchment": True,
        "condition.paper": "brittle", "condition.leather": "red-rot", "condition.iron_gall": True,
        "condition.soluble_media": True, "condition.green_cloth": True,
        "text_block.weight": 2.4, "text_block.grain": "spine-fore edge",
        "text_block.thickness_fore_edge": 50.0, "spine.girth_tail": 61.0,
        "sewing.supports": "recessed", "sewing.kettles": (3.0, 5.0, 196.0),
        "cover.spine_width": 24.0, "cover.square_tail": 9.0, "album.kind": "single",
        "unions": (*joint("pasted", "failed"), *joint("pasted", "weak", "leaves", "stubs")),
    },
)  # fmt: skip


def page(book: Record, paper: str = "A4") -> Drawing:
    found = examine(book, LIBRARY, catalogue.templates(), "book.toml")
    return examination_page(book, found, parse(paper))


def words(drawing: Drawing) -> list[Words]:
    return [mark for mark in drawing.marks if isinstance(mark, Words)]


def told(drawing: Drawing) -> str:
    return " ".join(mark.text for mark in words(drawing))


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("book", [*map(reading.load, BOOKS), WORST, SOUND, Record()])
def test_nothing_leaves_the_page_and_no_words_touch(book: Record, paper: str) -> None:
    drawing = page(book, paper)
    boxes = [box_of(mark) for mark in words(drawing)]
    for box in (*boxes, *(box_of(mark) for mark in drawing.marks)):
        assert box.left >= 5
        assert box.top >= 5
        assert box.right <= drawing.width_mm - 5
        assert box.bottom <= drawing.height_mm - 5
    for one, other in combinations(boxes, 2):
        tight = one.grown(-0.3)
        assert not tight.meets(other.grown(-0.3))


@pytest.mark.parametrize("path", BOOKS, ids=lambda path: str(path.stem))
def test_every_finding_of_a_demonstration_book_stands_on_the_page(path: Path) -> None:
    """Read back from the PDF by another library."""
    book = reading.load(path)
    found = examine(book, LIBRARY, catalogue.templates(), "book.toml")
    data = pdf_bytes([PdfPage(page(book), "1", "Examination")], "Examination")
    (sheet,) = PdfReader(io.BytesIO(data)).pages
    text = " ".join(sheet.extract_text().split())
    for finding in found.findings:
        assert finding.title in text
    for choice in found.choices:
        assert choice.title in text
    if found.choices[0].command:
        assert found.choices[0].command in text
    assert float(sheet.mediabox.width) * 127 / 360 == pytest.approx(210, abs=0.01)
    assert float(sheet.mediabox.height) * 127 / 360 == pytest.approx(297, abs=0.01)


def test_what_has_no_room_is_counted() -> None:
    found = examine(WORST, LIBRARY)
    small, large = told(page(WORST, "A5")), told(page(WORST, "roll:610"))
    shown = sum(finding.title in small for finding in found.findings)
    (more,) = re.findall(r"(\d+) more: “mendfold examine”", small)
    assert shown + int(more) == len(found.findings)
    assert "more: “mendfold" not in large
    assert all(finding.title in large for finding in found.findings)


def test_a_small_page_still_names_every_way_to_go_on_or_counts_the_rest() -> None:
    found = examine(WORST, LIBRARY, catalogue.templates(), "book.toml")
    for paper in ("A5", "A4", "148x210"):
        text = told(page(WORST, paper)).replace("  ", " ")
        assert all(f"{n}. {c.title.split()[0]}" in text for n, c in enumerate(found.choices, 1))


def test_the_owner_is_never_printed() -> None:
    assert "Nobody" not in told(page(WORST, "roll:610"))


def test_the_outline_reaches_as_far_as_the_book_does() -> None:
    """Logbook: round 12, then gap 1 and board 232, more than the leaves' 230; 339 of board; 62 and twice 3.2."""
    found = outline_of(reading.load(DEMO / "logbook.toml"))
    assert found is not None
    assert (found.wide, found.high) == pytest.approx((12 + 1 + 232, 339))
    assert found.deep == pytest.approx(62 + 2 * 3.2)
    bare = replace(found, side_width=None, side_height=None)
    assert (bare.wide, bare.high) == pytest.approx((12 + 230, 330))


@pytest.mark.parametrize("path", BOOKS, ids=lambda path: str(path.stem))
@pytest.mark.parametrize("paper", PAPERS)
def test_the_outline_is_drawn_at_the_scale_it_states(path: Path, paper: str) -> None:
    """The block's outline on the page times the stated reduction is the block's own size."""
    book = reading.load(path)
    drawing = page(book, paper)
    (scale,) = re.findall(r"Scale 1:(\d+)", told(drawing))
    (block,) = [
        box_of(mark)
        for mark in drawing.marks
        if isinstance(mark, Line) and mark.kind is LineKind.REFERENCE and mark.closed
    ]
    assert block.width * int(scale) == pytest.approx(book.text_block.width, abs=0.01)
    assert block.height * int(scale) == pytest.approx(book.text_block.height, abs=0.01)
    side = book.cover.side("front")
    if side.board_height or side.side_height:
        sizes = {
            (round(box.width * int(scale), 1), round(box.height * int(scale), 1))
            for mark in drawing.marks
            if isinstance(mark, Line) and mark.kind is LineKind.OUTLINE and mark.closed
            for box in [box_of(mark)]
        }
        limp = side.side_height is not None
        wanted = (side.side_width, side.side_height) if limp else (
            side.board_width, side.board_height)  # fmt: skip
        assert wanted in sizes


def test_a_right_to_left_book_has_its_spine_at_the_right() -> None:
    """The front board is seen with the spine at its right: its groove lies on that side."""

    def edges(reading: str) -> tuple[float, float]:
        drawing = page(changed(SOUND, {"book.reading": reading, "cover.joint_gap": 6.0}))
        block = next(
            box_of(mark)
            for mark in drawing.marks
            if isinstance(mark, Line) and mark.kind is LineKind.REFERENCE and mark.closed
        )
        board = max(
            (
                box_of(mark)
                for mark in drawing.marks
                if isinstance(mark, Line) and mark.kind is LineKind.OUTLINE and mark.closed
            ),
            key=lambda box: box.height,
        )
        return board.left - block.left, block.right - board.right

    left, right = edges("left-to-right")
    mirrored_left, mirrored_right = edges("right-to-left")
    assert left > 1.0 > 0 > right
    assert mirrored_left == pytest.approx(right)
    assert mirrored_right == pytest.approx(left)


def test_the_page_repeats_both_boards_where_they_differ() -> None:
    """Each figure that is unlike with its side, whether shared or written for each; alike ones once."""
    apart = {
        "cover.board_height": 206.0, "cover.back.board_height": 204.0, "cover.board_thickness": None,
        "cover.front.board_thickness": 2.4, "cover.back.board_thickness": 2.9,
        "spine.shoulder": None, "spine.shoulder_front": 2.5, "spine.shoulder_back": 2.1,
    }  # fmt: skip
    text = told(page(changed(SOUND, apart)))
    assert "boards 206 (front) and 204 (back) high" in text
    assert "2.4 (front) and 2.9 (back) thick" in text
    assert "shoulder 2.5 (front) and 2.1 (back)" in text
    once = told(page(changed(SOUND, {"cover.board_height": 206.0})))
    assert "boards 206 high" in once
    assert "(front)" not in once
