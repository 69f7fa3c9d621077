"""One section shows every layer of every structure, and how each is joined to the next."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import combinations

import pytest
import shapely
from hypothesis import given, settings

from patterns.drafting.job import draft
from patterns.model.drawing import Area, Line, LineKind, Mark, Words
from patterns.model.part import Diagram, Layer, Part, Union
from patterns.model.pattern import Pattern
from patterns.model.profile import SideProfile, SlotProfile, SpineProfile
from patterns.sheets.assembly import strips
from patterns.sheets.compose import plan
from patterns.sheets.layers import half_spine_mm, reach, stack, total
from patterns.sheets.page import Layout, numbered
from patterns.sketch.marks import Box, box_of
from patterns.stock.paper import parse
from tests.clear import assert_clear
from tests.some_patterns import PATTERNS
from tests.test_layout_overview import ORDERS, PATTERN, SMALL, words
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
        assert str(number) in said
        assert layer.name in " ".join(said)
    together = " ".join(said)
    assert (
        "sewn lining, cotton, 0.30\u00a0mm: sewn, laced in on the sides; 77.0 each side" in together
    )


def test_a_narrow_column_numbers_the_layers_and_names_them_in_a_table() -> None:
    said = words(assembly_of(Layout(ALL, parse("A5"))))
    for number in range(1, len(stack(ALL)) + 1):
        assert said.count(str(number)) == 2
    assert "77.0 each side" in said


def test_the_total_over_the_spine_counts_what_is_added_and_nothing_else() -> None:
    """0.05 + 0.3 + 0.12 + 0.12 + 0.4 = 0.99, added by hand."""
    assert total(stack(ALL)).endswith("= 0.99 mm.")


def test_layers_bend_at_the_block_else_at_half_the_girth() -> None:
    assert half_spine_mm(ALL, stack(ALL)) == 26.0
    lining = Part("lining", "Lining", None, (), layers=(CLOTH,), girth_mm=50.0)
    alone = replace(ALL, parts=(lining,))
    assert half_spine_mm(alone, (CLOTH,)) == 25.0


@pytest.mark.parametrize(
    ("union", "kinds"),
    [
        ("pasted", {LineKind.PASTED}),
        ("sewn", {LineKind.SEWN_OUTSIDE, LineKind.SEWN_INSIDE}),
        ("pasted and sewn", {LineKind.PASTED, LineKind.SEWN_OUTSIDE, LineKind.SEWN_INSIDE}),
        ("free", set()),
        ("laced", set()),
    ],
)
def test_unions_are_told_apart_by_their_lines(union: Union, kinds: set[LineKind]) -> None:
    signs = (LineKind.PASTED, LineKind.SEWN_OUTSIDE, LineKind.SEWN_INSIDE)
    marks = marks_of(pattern_of((BLOCK, replace(TISSUE, union=union))))
    found = {m.kind for m in marks if isinstance(m, Line | Area) and m.kind in signs}
    assert found == kinds


def test_pasted_unions_are_hatched_at_45_degrees() -> None:
    hatch = [m for m in marks_of(ALL) if isinstance(m, Line) and m.kind is LineKind.PASTED]
    assert len(hatch) > 40
    for (x0, y0), (x1, y1) in (m.points for m in hatch):
        assert abs(math.degrees(math.atan2(y1 - y0, x1 - x0))) % 90 == pytest.approx(45)


@pytest.mark.parametrize("front_on_right", [True, False])
def test_front_and_back_stand_at_their_sides(front_on_right: bool) -> None:
    turned = pattern_of((BLOCK, CLOTH), front_on_right=front_on_right)
    at = {m.text: m.at[0] for m in marks_of(turned) if isinstance(m, Words)}
    assert (at["FRONT"] > at["BACK"]) is front_on_right


def bands(pattern: Pattern) -> list[Area]:
    """Return the drawn layers and boards; grounds of words are smaller than any of them."""
    areas = [m for m in marks_of(pattern) if isinstance(m, Area) and m.kind is LineKind.OUTLINE]
    return [m for m in areas if box_of(m).width > 8 or box_of(m).height > 8]


def test_the_books_own_layers_are_tinted_and_new_ones_white() -> None:
    assert {m.grey for m in bands(pattern_of((BLOCK, TISSUE)))} == {1.0}
    assert len({m.grey for m in bands(pattern_of((BLOCK, TISSUE, COVER)))}) == 2


SIDE = SideProfile(shoulder_mm=3.0, gap_mm=1.0, board_mm=3.0)


def rounded(layer: Layer, round_mm: float = 8.0, side: SideProfile = SIDE) -> Pattern:
    """Return a layer on a girth of 44.1387 over a chord of 40, round 8: R 29, φ 87.2056°."""
    pattern = pattern_of((layer,))
    part = replace(pattern.parts[0], girth_mm=44.1387)
    return replace(pattern, parts=(part,), profile=SpineProfile(40.0, round_mm, side, side))


LINING = Layer("lining", "paper", 0.2, -22.06935, 22.06935, "pasted")


def test_a_layer_is_drawn_on_the_books_own_round_at_the_scale_that_is_said() -> None:
    """At 2:1 R is 58; the white for the paste 1.5, the layer 2 × 2 × 0.2 = 0.8 thick."""
    said = words(assembly_of(Layout(rounded(LINING), parse("A4"))))
    assert any(text.startswith("Scale 2:1, new layers 2 times as thick") for text in said)
    (band,) = [m for m in bands(rounded(LINING)) if m.grey == 1.0]
    xs, ys = zip(*band.outline, strict=True)
    at = ((min(xs) + max(xs)) / 2, min(ys) + 58.0 + 1.5 + 0.8)
    radii = sorted(math.dist(at, point) for point in band.outline)
    assert radii[0] == pytest.approx(59.5, abs=0.03)
    assert radii[-1] == pytest.approx(60.3, abs=0.03)
    half_turn = math.asin((max(xs) - at[0]) / 60.3)
    assert math.degrees(2 * half_turn) == pytest.approx(87.2056, abs=0.2)


def test_boards_stand_at_the_block_and_are_as_thick_as_they_are() -> None:
    """At 2:1 a board of 3 is 6 thick; the inner faces stand 2 × (40 − 2 × 3) apart."""
    boards = sorted(
        (box_of(m) for m in bands(rounded(LINING)) if m.grey < 1.0), key=lambda b: b.left
    )
    assert [round(one.width, 6) for one in boards] == [6.0, 6.0]
    assert boards[1].left - boards[0].right == pytest.approx(2 * (40.0 - 2 * 3.0))


@pytest.mark.parametrize(("round_mm", "sign"), [(0.0, 0), (-6.0, 1), (6.0, -1)])
def test_a_flat_spine_is_drawn_flat_and_a_fallen_one_hollow(round_mm: float, sign: int) -> None:
    (band,) = [m for m in bands(rounded(LINING, round_mm)) if m.grey == 1.0]
    xs = [x for x, _ in band.outline]
    middle = (min(xs) + max(xs)) / 2
    top = shapely.Polygon(band.outline)
    crown, tip = (
        shapely.intersection(top, shapely.LineString([(x, -99), (x, 999)])).bounds[1]
        for x in (middle, max(xs) - 4.0)
    )
    assert (crown > tip + 2) - (crown < tip - 2) == sign


def test_cloth_goes_into_the_slot_of_its_board() -> None:
    """Slot 10 deep, its bottom 1 nearer the inner face: the heavy line ends 1 mm short of it, at 2:1."""
    slotted = replace(SIDE, slot=SlotProfile(2.0, 1.0, 10.0))
    cloth = Layer("cloth", "cotton", 0.3, -33.0, 33.0, "sewn", "pasted", beyond="slot")
    marks = marks_of(rounded(cloth, side=slotted))
    heavy = [m for m in marks if isinstance(m, Line) and m.kind is LineKind.SECTION]
    assert len(heavy) == 2
    for line in heavy:
        mouth, end = line.points[-2:]
        assert math.dist(mouth, end) == pytest.approx(2 * 9.0)
        assert end[1] - mouth[1] == pytest.approx(2 * 0.9 * math.sqrt(10.0**2 - 1.0**2))


def test_a_flange_beneath_the_board_is_pasted_to_the_board() -> None:
    """The board stands off the block by the cloth; what lies between cloth and board is hatched."""
    cloth = Layer("cloth", "cotton", 0.3, -40.0, 40.0, "free", "pasted", beyond="inner face")
    made = rounded(cloth)
    left, right = sorted((box_of(m) for m in bands(made) if m.grey < 1.0), key=lambda b: b.left)
    assert right.left - left.right > 2 * (40.0 - 2 * 3.0) + 2 * 3.0
    hatch = [m for m in marks_of(made) if isinstance(m, Line) and m.kind is LineKind.PASTED]
    assert hatch
    for box in map(box_of, hatch):
        assert min(abs(box.left - left.right), abs(box.right - right.left)) < 1.6


@pytest.mark.parametrize("name", ORDERS)
def test_every_demonstration_shows_what_holds_its_layers(name: str) -> None:
    """Hatched where something is pasted, threads where something is sewn, nothing of the kind else."""
    pattern = draft(ORDERS[name]).pattern
    layers = [one for one in stack(pattern) if not one.block]
    marks = marks_of(pattern)
    kinds = {m.kind for m in marks if isinstance(m, Line | Area)}
    over = {one.union for one in layers if one.left_mm < 0 < one.right_mm}
    assert (LineKind.SEWN_OUTSIDE in kinds) == any("sewn" in union for union in over)
    unions = over | {one.union_sides for one in layers if one.beyond != "slot"}
    if LineKind.PASTED in kinds:
        assert any("pasted" in union for union in unions)
    if any("pasted" in union for union in over):
        assert LineKind.PASTED in kinds


def test_a_board_is_said_from_where_to_where() -> None:
    board = Layer("board", "", 3.2, -180.0, -27.04, "free")
    assert reach(board, ("front", "back")) == "27.0 to 180.0 front"


@pytest.mark.parametrize(("paper", "most"), [("A5", 8), ("A4", 12)])
def test_a_stack_too_high_for_a_page_goes_on_in_another_figure(paper: str, most: int) -> None:
    many = tuple(replace(TISSUE, name=f"lining {n}") for n in range(40))
    said = words(assembly_of(Layout(pattern_of((BLOCK, *many)), parse(paper))))
    assert {str(n) for n in range(1, 42)} <= set(said)
    assert sum(text.startswith("Section across") for text in said) >= 40 / most


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


@pytest.mark.parametrize("name", ORDERS)
def test_no_leader_of_the_section_crosses_another(name: str) -> None:
    """A leader begins in a dot; they are compared in a wide column and in a narrow one."""
    pattern = draft(ORDERS[name]).pattern
    for wide in (190.0, 130.0, 100.0):
        for strip in strips(pattern, Box(0.0, 0.0, wide, 250.0)):
            areas = [m for m in strip.marks if isinstance(m, Area) and m.kind is LineKind.REFERENCE]
            dots = [box_of(m).middle for m in areas]
            leaders = [
                shapely.LineString(m.points)
                for m in strip.marks
                if isinstance(m, Line) and any(math.dist(m.points[0], dot) < 0.05 for dot in dots)
            ]
            crossing = [(a, b) for a, b in combinations(leaders, 2) if a.intersects(b)]
            assert not crossing, wide
