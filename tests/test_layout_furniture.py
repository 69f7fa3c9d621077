"""Title, title block, legend, bars and forms of a page."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patterns.errors import PaperError
from patterns.model.drawing import Drawing, Line, LineKind, Words
from patterns.sheets.furniture import Arrangement, Heading, boxed, frame
from patterns.sheets.legend import MEANINGS
from patterns.sketch.marks import box_of
from tests.clear import assert_clear
from tests.some_patterns import NAME, TEXT

HEADING = Heading(
    "Tube strip",
    "Hollow tube",
    "CHART-07",
    "Pilot’s chart book, limp cover",
    (("Piece", "strip"), ("Material", "kraft lining paper, 0.12 mm"), ("Grain", "head–tail")),
    2,
    5,
    "A4",
    "1:1",
    "none",
    "2026-11-25",
    "0.1.0",
)
SIDES: tuple[Arrangement, ...] = ("foot", "side", "edge", "turned")
SMALL_MM = 200.0
"""A paper with a side below this may be refused for words that take the room of the bars."""
PAGES = ((210.0, 297.0), (297.0, 210.0), (420.0, 297.0), (215.9, 279.4), (148.0, 210.0))


@pytest.mark.parametrize("side", SIDES)
@pytest.mark.parametrize("page", PAGES)
@pytest.mark.parametrize("stretch", [(1.0, 1.0), (1.005, 0.997)])
def test_two_bars_at_right_angles(
    side: Arrangement, page: tuple[float, float], stretch: tuple[float, float]
) -> None:
    """One bar lies level, one stands upright; each is 100 mm times the printer's factor."""
    marks = frame(HEADING, *page, (), True, side, stretch).marks
    bars = [m for m in marks if isinstance(m, Line) and m.kind is LineKind.BAR]
    longest = sorted(bars, key=lambda m: math.dist(*m.points))[-2:]
    spans = {(box_of(m).width > 1, math.dist(*m.points)) for m in longest}
    assert {(level, round(length, 6)) for level, length in spans} == {
        (True, round(100 * stretch[0], 6)),
        (False, round(100 * stretch[1], 6)),
    }


@pytest.mark.parametrize("side", SIDES)
@pytest.mark.parametrize("page", PAGES)
def test_the_free_box_is_free(side: Arrangement, page: tuple[float, float]) -> None:
    """Nothing of the furniture reaches into the box it leaves."""
    made = frame(HEADING, *page, tuple(MEANINGS), True, side)
    marks, box = made.marks, made.box
    assert_clear(Drawing(*page, marks))
    assert box.width > 60
    assert box.height > 100
    assert not any(box.meets(box_of(mark)) for mark in marks)


@pytest.mark.parametrize("side", SIDES)
def test_the_title_block_says_what_it_must(side: Arrangement) -> None:
    """Book, piece, page n of m, scale, correction, record date, version, and how to check."""
    heading = replace(HEADING, correction="desk, across × 1.0050, down × 0.9970")
    marks = frame(heading, 210, 297, (), True, side).marks
    said = " ".join(m.text for m in marks if isinstance(m, Words))
    for words in (
        "Tube strip",
        "CHART-07",
        "2 of 5 · ",
        "A4 · 1:1",
        "desk, across",
        "2026-11-25",
        "mendfold 0.1.0",
        "99.7–100.3",
    ):
        assert words in said


def test_a_strip_says_nothing_twice_and_cuts_no_page_number_short() -> None:
    """What title and subtitle say is no field besides; however long the book's name, the page stays."""
    heading = replace(
        HEADING,
        fields=(("Structure", "Hollow tube"), ("Piece", "strip")),
        subtitle="Hollow tube",
        book_title="a name as long as a line of the page is wide " * 3,
    )
    marks = frame(heading, 210, 297, (), True, "edge").marks
    said = " ".join(m.text for m in marks if isinstance(m, Words))
    assert "Structure:" not in said
    assert "Piece: strip." in said
    assert "page 2 of 5 · CHART-07" in said


def test_the_legend_shows_only_what_is_used() -> None:
    """One sign in, one meaning out; the bars and frames explain themselves."""
    for sign, words in MEANINGS.items():
        marks = frame(HEADING, 210, 297, (sign, LineKind.BAR, LineKind.FRAME)).marks
        said = {m.text for m in marks if isinstance(m, Words)}
        assert said & set(MEANINGS.values()) == {words}


@settings(deadline=None, max_examples=60)
@given(NAME, TEXT, TEXT, st.lists(st.tuples(NAME, TEXT), max_size=5), st.sampled_from(PAGES))
def test_long_words_stay_apart_and_on_the_page(
    title: str,
    subtitle: str,
    book: str,
    fields: list[tuple[str, str]],
    page: tuple[float, float],
) -> None:
    """However long title, book and fields are, no words meet and none leaves the page.

    Only the smallest papers may be refused, in one line, where the fields leave the bars no room.
    """
    heading = replace(
        HEADING, title=title, subtitle=subtitle, book_title=book, fields=tuple(fields)
    )
    for side in SIDES:
        try:
            marks = frame(heading, *page, tuple(MEANINGS), True, side).marks
        except PaperError:
            assert min(page) < SMALL_MM
            continue
        assert_clear(Drawing(*page, marks))


@settings(deadline=None, max_examples=30)
@given(st.integers(1, 888), st.integers(1, 888), st.sampled_from(SIDES))
def test_a_page_number_never_takes_more_room_than_was_planned(
    page: int, pages: int, side: Arrangement
) -> None:
    """Pages are planned as 888 of 888; every real number leaves at least that much room."""
    planned = frame(replace(HEADING, page=888, pages=888), 210, 297, (), True, side)
    real = frame(replace(HEADING, page=page, pages=pages), 210, 297, (), True, side)
    assert real.box.holds(planned.box)


def test_a_page_too_small_for_the_bars_is_refused() -> None:
    """118 mm high: no bar of 100 mm stands upright between its margins."""
    with pytest.raises(PaperError, match="too small for two bars"):
        frame(HEADING, 210, 118, tuple(MEANINGS), True, "foot")


def test_boxed_words_are_framed_and_bold() -> None:
    """A warning stands bold inside its frame."""
    block = boxed("TOO WEAK: the paper bears 0.7 N, each stitch must hold 1.5 N.", 60.0)
    framed = [box_of(m) for m in block.marks if isinstance(m, Line)]
    words = [m for m in block.marks if isinstance(m, Words)]
    assert len(framed) == 1
    assert all(m.bold and framed[0].holds(box_of(m)) for m in words)
