"""What is said of a drawing stands beside it, and never nearer to another's."""

from __future__ import annotations

import pytest

from patterns.model.drawing import Words
from patterns.record import reading
from patterns.record.record import Record
from patterns.sheets import compose, setting, whole
from patterns.sheets.page import Layout
from patterns.sheets.planning import Grounds
from patterns.stock.paper import parse
from tests.books import demo, drafted

QUARTO = reading.parse(
    """
[book]
id = "quarto"
weight = 1.25
[text_block]
height = 262
width = 198
thickness = 38
leaves = 240
gatherings = 30
leaves_per_gathering = 8
leaf_thickness = 0.15
[spine]
profile = "rounded"
round_depth = 8
shoulder = 3
girth_head = 47.5
girth_tail = 48.2
strip_over = 0
linings = 0
[cover]
kind = "in-boards"
board_height = 270
board_width = 200
board_thickness = 2.9
joint = "tight"
joint_gap = 1
square_head = 4
square_tail = 4
square_fore_edge = 4
[sewing]
kettles = [14, 248]
supports_at = [52, 95, 140, 182, 221]
support_width = 5
support_height = 2.6
supports = "raised"
""",
    "quarto",
)
"""Six panels between five raised bands, of six heights and nearly one width."""
TOUCHING = 6.5
"""Words that begin so near their drawing stand at its side, whatever else is near."""
BOOKS = [
    (QUARTO, ("spine_lining", "secondary_sewing"), "A4"),
    (QUARTO, ("spine_lining",), "A4"),
    (QUARTO, ("spine_lining",), "letter"),
    (QUARTO, ("spine_lining", "secondary_sewing"), "A3"),
    (demo("day_book"), ("spine_lining", "casing_in"), "A4"),
    (demo("almanac"), ("tissue_hinge",), "A4"),
]


def planned(book: Record, structures: tuple[str, ...], paper: str) -> Grounds:
    layout = Layout(drafted(book, *structures).pattern, parse(paper))
    return compose._planned(layout, compose._wanted(layout, ()))


@pytest.mark.parametrize(("book", "structures", "paper"), BOOKS)
def test_words_stand_nearest_to_the_drawing_that_they_are_said_of(
    book: Record, structures: tuple[str, ...], paper: str
) -> None:
    told = 0
    for ground in planned(book, structures, paper):
        places = [place for _, place in ground.places]
        for place in places:
            if place.item.words or place.words is None:
                continue
            told += 1
            away = place.words.away(place.own)
            assert away <= setting.FAR
            others = [one.own for one in places if one is not place and not one.item.words]
            if away > TOUCHING:
                nearest = min(map(place.words.away, others), default=away)
                assert away <= nearest, place.item.subject.name
    assert told


def test_what_was_said_of_one_panel_is_not_said_again_of_the_next() -> None:
    """One of six panels brings its two faces, its key and its paper; the others their size and place."""
    layout = Layout(drafted(QUARTO, "spine_lining").pattern, parse("A4"))
    words = [
        m.text.replace("\u00a0", " ")
        for sheet in whole.sheets(layout)
        if sheet.group == "cutting"
        for m in sheet.drawing.marks
        if isinstance(m, Words)
    ]
    assert sum(text.startswith("Key to spine lining, panel") for text in words) == 1
    assert words.count("under face") == 1
    assert sum(text.startswith("all else as said of") for text in words) >= 4
    assert sum(text.startswith("lies ") and "on" not in text for text in words) >= 5
