"""One section shows every layer of every structure, and how each is joined to the next."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings

from patterns.model.drawing import Area, Line, LineKind, Mark, Words
from patterns.model.part import Diagram, Layer, Part, Union
from patterns.model.pattern import Pattern
from patterns.sheets.compose import plan
from patterns.sheets.layers import half_spine_mm, reach, stack, total
from patterns.sheets.page import Layout, numbered
from patterns.sketch.marks import Box, box_of
from patterns.stock.paper import parse
from tests.clear import assert_clear
from tests.some_patterns import PATTERNS
from tests.test_layout_overview import PATTERN, SMALL, words
from tests.text_pages import assembly_of

BLOCK = Layer(
    "text block", "", 52.0, -26.0, 26.0, "free", on_spine=False, existing=True, block=True
)
COVER = Layer("cover", "leather", 0.8, -200, 200, "free", "pasted", existing=True)
TISSUE = Layer("first lining", "tissue", 0.05, -26, 26, "pasted")
CLOTH = Layer("sewn lining", "cotton", 0.3, -77, 77, "sewn", "laced")
TUBE = (
    Layer("tube, on", "kraft", 0.12, -26, 26, "pasted"),
    Layer("hollow", "", 0.0, -26, 26, "free"),
    Layer("tube, off", "kraft", 0.12, -26, 26, "free"),
)
INLAY = Layer("inlay", "card", 0.4, -25, 25, "free")


def pattern_of(*layers: tuple[Layer, ...], front_on_right: bool = True) -> Pattern:
    parts = tuple(
        Part(f"part_{n}", f"Part {n}", None, (), layers=one) for n, one in enumerate(layers)
    )
    return replace(PATTERN, parts=parts, front_on_right=front_on_right)


ALL = pattern_of((BLOCK, TISSUE, CLOTH, COVER), (*TUBE, COVER), (INLAY, COVER))


def marks_of(pattern: Pattern, paper: str = "A4") -> list[Mark]:
    return [m for s in assembly_of(Layout(pattern, parse(paper))) for m in s.drawing.marks]


def test_layers_of_all_structures_make_one_stack_each_physical_layer_once() -> None:
    """Later structures lie outside earlier ones and inside the cover that all of them share."""
    names = [layer.name for layer in stack(ALL)]
    assert names == [
        *("text block", "first lining", "sewn lining"),
        *("tube, on", "hollow", "tube, off", "inlay", "cover"),
    ]


def test_the_text_block_is_added_where_no_structure_names_it() -> None:
    first, *_ = stack(pattern_of((INLAY,)))
    assert (first.name, first.existing) == ("text block", True)


def test_every_layer_is_numbered_in_the_section_and_named_in_the_table() -> None:
    said = words(assembly_of(Layout(ALL, parse("A4"))))
    for number, layer in enumerate(stack(ALL), start=1):
        assert f"{number}  {layer.name}" in said
        assert str(number) in said
    assert "sewn lining, cotton" in said
    assert "sewn; beyond the spine laced in" in " ".join(said)
    assert "77.0 back, 77.0 front" in said


def test_the_total_over_the_spine_counts_what_is_added_and_nothing_else() -> None:
    """0.05 + 0.3 + 0.12 + 0.12 + 0.4 = 0.99, added by hand."""
    assert total(stack(ALL)).endswith("= 0.99 mm.")


def test_layers_bend_at_the_block_else_at_half_the_girth() -> None:
    assert half_spine_mm(ALL, stack(ALL)) == 26.0
    lining = Part("lining", "Lining", None, (), layers=(CLOTH,), girth_mm=50.0)
    alone = replace(ALL, parts=(lining,))
    assert half_spine_mm(alone, (CLOTH,)) == 25.0


@pytest.mark.parametrize(
    ("union", "kind"),
    [
        ("pasted", LineKind.PASTED),
        ("sewn", LineKind.SEWN_OUTSIDE),
        ("free", None),
        ("laced", None),
    ],
)
def test_unions_are_told_apart_by_their_lines(union: Union, kind: LineKind | None) -> None:
    lines = [
        m
        for m in marks_of(pattern_of((BLOCK, replace(TISSUE, union=union))))
        if isinstance(m, Line) and m.kind in (LineKind.PASTED, LineKind.SEWN_OUTSIDE)
    ]
    assert {m.kind for m in lines} == ({kind} if kind else set())


def test_pasted_unions_are_hatched_at_45_degrees() -> None:
    hatch = [m for m in marks_of(ALL) if isinstance(m, Line) and m.kind is LineKind.PASTED]
    assert len(hatch) > 40
    for (x0, y0), (x1, y1) in (m.points for m in hatch):
        assert abs(math.degrees(math.atan2(y1 - y0, x1 - x0))) % 90 == pytest.approx(45)


def test_free_unions_stay_white() -> None:
    """No line crosses the space beneath a free layer but the words that say so."""
    marks = marks_of(pattern_of((BLOCK, replace(TISSUE, union="free"))))
    (free,) = [
        box_of(m) for m in marks if isinstance(m, Words) and m.text == "free" and m.at[1] < 90
    ]
    crossing = [
        m
        for m in marks
        if isinstance(m, Line) and box_of(m).meets(Box(free.left, free.top, 150, free.bottom))
    ]
    assert crossing == []


@pytest.mark.parametrize("front_on_right", [True, False])
def test_front_and_back_stand_at_their_sides(front_on_right: bool) -> None:
    turned = pattern_of((BLOCK, CLOTH), front_on_right=front_on_right)
    at = {m.text: m.at[0] for m in marks_of(turned) if isinstance(m, Words)}
    assert (at["FRONT"] > at["BACK"]) is front_on_right


def test_the_books_own_layers_are_tinted_and_new_ones_white() -> None:
    greys = {m.grey for m in marks_of(pattern_of((BLOCK, TISSUE))) if isinstance(m, Area)}
    assert greys == {1.0}
    greys = {m.grey for m in marks_of(pattern_of((BLOCK, TISSUE, COVER))) if isinstance(m, Area)}
    assert len(greys) == 2


def test_it_says_that_it_is_not_to_scale() -> None:
    assert any("not to scale" in text for text in words(assembly_of(Layout(ALL, parse("A4")))))


def test_a_board_is_said_from_where_to_where() -> None:
    board = Layer("board", "", 3.2, -180.0, -27.04, "free")
    assert reach(board, ("front", "back")) == "27.0 to 180.0 front"


@pytest.mark.parametrize(("paper", "figures"), [("A5", 1), ("A4", 1)])
def test_a_stack_too_high_for_a_page_goes_on_in_another_figure(paper: str, figures: int) -> None:
    many = tuple(replace(TISSUE, name=f"lining {n}") for n in range(40))
    said = words(assembly_of(Layout(pattern_of((BLOCK, *many)), parse(paper))))
    shown = {text.split("  ")[0] for text in said if "  lining" in text}
    assert shown == {str(n) for n in range(2, 42)}
    assert sum(text == "1  text block" for text in said) > figures


def test_a_diagram_larger_than_the_page_is_cut_into_sheets_at_its_own_size() -> None:
    """The line of 300 mm stands on several sheets, which overlap, and its words on one of them."""
    ruler = Line(LineKind.SLIT, ((10.0, 20.0), (310.0, 20.0)))
    view = Diagram("joint", "x", "Joint shut", "5:1", 320.0, 60.0, (ruler,), ("board shut",))
    part = Part("x", "X", None, (), diagrams=(view,))
    sheets = numbered(plan(Layout(replace(PATTERN, parts=(part,)), parse("A4"))))
    lines = [
        m
        for s in sheets
        for m in s.drawing.marks
        if isinstance(m, Line) and m.kind is LineKind.SLIT and box_of(m).width > 20
    ]
    assert len(lines) == len(sheets) == 2
    assert sum(math.dist(*m.points) for m in lines) == pytest.approx(300.0 + 10.0)
    assert words(sheets).count("board shut") == 1


def test_nothing_to_show_makes_no_page() -> None:
    assert assembly_of(Layout(pattern_of(()), parse("A4"))) == ()


@settings(max_examples=30, deadline=None)
@given(PATTERNS)
def test_words_never_meet_nor_leave_the_page(pattern: Pattern) -> None:
    for paper in (*SMALL, parse("A3")):
        for sheet in assembly_of(Layout(pattern, paper)):
            assert_clear(sheet.drawing)
