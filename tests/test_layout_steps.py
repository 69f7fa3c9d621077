"""The steps stand in order, every caution beside its own step, with room to sign."""

from __future__ import annotations

from dataclasses import replace
from itertools import groupby

import pytest
from hypothesis import given, settings

from patterns.model.drawing import Line, Words
from patterns.model.part import Beyond, Check, Layer, Step
from patterns.model.pattern import Pattern
from patterns.model.sheet import Sheet
from patterns.sheets.flow import Strip, pour
from patterns.sheets.page import Layout
from patterns.stock import cautions
from patterns.stock.paper import Paper, parse
from tests.clear import assert_clear
from tests.some_patterns import PATTERNS
from tests.test_layout_overview import LYING, PATTERN, SMALL, run_together, words
from tests.text_pages import steps_of

KNIFE, SPOT = "knife", "solvents_on_object"
LONG = replace(
    PATTERN,
    steps=tuple(
        Step(phase, f"{text} {number}, " + "and go on until it is done " * 3, cautions)
        for number, (phase, text, cautions) in enumerate(
            [
                ("record", "Photograph the book", ()),
                ("record", "Test every liquid", (SPOT,)),
                ("sew", "Prick from the strip", (KNIFE, SPOT)),
                ("finish", "Keep removed parts", ()),
            ]
            * 6
        )
    ),
    tools=("bone folder", "awl"),
    undo=("Hollow tube: a damp poultice on the off side, then lift.",),
)


def columns(sheet: Sheet) -> dict[float, list[Words]]:
    """Return the words of a page by their left edge, from the top."""
    at = sorted(
        (m for m in sheet.drawing.marks if isinstance(m, Words) and m.cap_mm == 2.5),
        key=lambda m: (round(m.at[0], 3), m.at[1]),
    )
    return {x: list(group) for x, group in groupby(at, key=lambda m: round(m.at[0], 3))}


def test_every_step_is_there_in_order_with_a_box_to_tick() -> None:
    sheets = steps_of(Layout(LONG, parse("A4")))
    numerals = [
        int(m.text)
        for sheet in sheets
        for m in sheet.drawing.marks
        if isinstance(m, Words) and m.bold and m.anchor == "end" and m.text.isdigit()
    ]
    assert numerals == list(range(1, 25))
    squares = [m for s in sheets for m in s.drawing.marks if isinstance(m, Line) and m.closed]
    assert len(squares) >= 24


@pytest.mark.parametrize("paper", ["A4", "A3", "letter"])
def test_each_caution_begins_on_the_line_of_its_step(paper: str) -> None:
    """Beside means: the same page, and the same baseline as the step's number."""
    few = cautions.find(KNIFE).few
    begun = 0
    for sheet in steps_of(Layout(LONG, parse(paper))):
        marks = [m for m in sheet.drawing.marks if isinstance(m, Words)]
        numbers = {m.at[1] for m in marks if m.anchor == "end" and m.text.isdigit()}
        for text in (m for m in marks if m.text.startswith("Prick from")):
            beside = [m for m in marks if m.text == few and m.at[1] == text.at[1]]
            begun += len(beside)
            assert text.at[1] in numbers
    assert begun == 6


@pytest.mark.parametrize("paper", [parse("A4"), LYING, parse("A5")])
def test_a_caution_stands_once_in_full_and_before_every_step(paper: Paper) -> None:
    """Nobody reads a thing that is printed twelve times: once in full, and the rules once."""
    first, *others = steps_of(Layout(LONG, paper))
    for key in (KNIFE, SPOT):
        full = cautions.find(key).words.replace(" ", "")
        assert run_together((first,)).count(full) == 1
        assert full not in run_together(tuple(others))
    said = run_together((first, *others))
    assert said.count(cautions.find(KNIFE).ending.replace(" ", "")) == 1
    assert said.index(cautions.find(SPOT).ending.replace(" ", "")) < said.index("Photograph")


def test_a_narrow_page_has_the_cautions_beneath_the_step() -> None:
    said = run_together(steps_of(Layout(LONG, parse("A5"))))
    assert said.count(cautions.find(KNIFE).few.replace(" ", "")) == 6


def test_checks_stand_behind_the_steps() -> None:
    said = words(steps_of(Layout(PATTERN, parse("A4"))))
    assert {"3.011", "three times the rounded spine"} <= set(said)


def test_undoing_as_cut_sizes_and_signatures_have_their_place() -> None:
    said = words(steps_of(Layout(LONG, parse("A4"))))
    for wanted in ("To undo it", "As cut", "Checked by", "Cut by"):
        assert wanted in said
    assert "tube, 1\u00a0of\u00a02" in said
    six = replace(PATTERN.parts[0].pieces[0], name="layer", title="", quantity=6)
    many = replace(PATTERN, parts=(replace(PATTERN.parts[0], pieces=(six,)),))
    assert "layer: 6\u00a0alike" in words(steps_of(Layout(many, parse("A4"))))
    assert (
        said.count("153.9\u00a0×\u00a0328.0") == 2
    )  # two tubes, each with its blank; the gauge is paper


def test_each_caution_has_its_sign() -> None:
    """A triangle before each: two in full, eighteen with a few words."""
    signs = [
        m
        for sheet in steps_of(Layout(LONG, parse("A4")))
        for m in sheet.drawing.marks
        if isinstance(m, Line) and m.closed and len(m.points) == 3
    ]
    assert len(signs) == 2 + 3 * 6
    for (left, low), (middle, high), (right, _) in (m.points for m in signs):
        assert right - left == pytest.approx(2 * (middle - left))
        assert low > high


@pytest.mark.parametrize("beyond", ["outer face", "inner face", "slot", "board"])
@pytest.mark.parametrize("ends", [(-2.0, -1.0), (1.0, 2.0), (-60.0, -1.0), (1.5, 60.0)])
def test_a_layer_beside_the_spine_alone_is_drawn(ends: tuple[float, float], beyond: Beyond) -> None:
    """However short: a strip that ends where the spine does, half a girth from its middle."""
    block = Layer(
        "text block", "", 0.0, -1.0, 1.0, "free", on_spine=False, existing=True, block=True
    )
    strip = Layer("strip", "cloth", 0.3, *ends, "pasted", on_spine=False, beyond=beyond)
    pattern = replace(PATTERN, parts=(replace(PATTERN.parts[0], layers=(block, strip)),))
    assert any("strip" in word for word in words(steps_of(Layout(pattern, parse("A4")))))


@settings(max_examples=25, deadline=None)
@given(PATTERNS)
def test_words_never_meet_nor_leave_the_page(pattern: Pattern) -> None:
    for paper in SMALL:
        for sheet in steps_of(Layout(pattern, paper)):
            assert_clear(sheet.drawing)


def test_what_belongs_together_moves_on_together() -> None:
    line = Strip(10.0, (Words((0.0, 5.0), "a", 2.5),))
    kept = replace(line, keep=True)
    assert [len(column) for column in pour([line, line, kept, line], 30.0)] == [2, 2]
    assert [len(column) for column in pour([kept] * 7 + [line], 30.0)] == [3, 3, 2]


def test_white_space_does_not_begin_a_column() -> None:
    line = Strip(10.0, (Words((0.0, 5.0), "a", 2.5),))
    first, second = pour([line, line, Strip(5.0), line], 22.0)
    assert [m.at for m in second if isinstance(m, Words)] == [(0.0, 5.0)]
    assert len(first) == 2


def test_a_strip_that_no_column_holds_is_an_error_and_never_lost() -> None:
    with pytest.raises(ValueError, match="no place"):
        pour([Strip(40.0, (Words((0.0, 5.0), "a", 2.5),))], 30.0)


def test_a_checked_length_is_told_as_calipers_read_it() -> None:
    """Hundredths of a millimetre, forces to two figures, a ratio to four: no length is known to 0.4597 mm."""
    figures = ((0.4597, "mm"), (-3.14, "mm"), (195.6, "mm"), (0.4286, "N"), (3.0114, ""))
    checks = tuple(Check("a", value, unit, "b") for value, unit in figures)
    pattern = replace(PATTERN, parts=(replace(PATTERN.parts[0], checks=checks),))
    said = {text.replace("\u00a0", " ") for text in words(steps_of(Layout(pattern, parse("A4"))))}
    assert {"0.46 mm", "-3.14 mm", "195.6 mm", "0.43 N", "3.011"} <= said
