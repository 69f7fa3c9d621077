"""Pictures beside a step: small, of this book's figures, declared by the structure alone."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import combinations, pairwise

import pytest

from patterns.commands.demo import orders
from patterns.drafting.job import draft
from patterns.errors import TemplateError
from patterns.formulas.joints import Joint
from patterns.formulas.slots import Slot
from patterns.model.capitals import BODY
from patterns.model.drawing import Area, Circle, Drawing, Line, LineKind, Words
from patterns.sheets.flow import placed, tightened
from patterns.sheets.steps_page import steps_strips
from patterns.sketch.marks import Box, box_of
from patterns.sketch.pictures import WIDE_MM
from patterns.structures import catalogue, comparing
from patterns.structures.shared import pictures

ORDERS = {f"{o.record.book.id}-{o.structures[-1]}": o for o in orders()}
SHOWN = {
    "logbook-spine_inlay": {"board_slot", "secondary_sewing", "hollow_tube"},
    "chart_book-spine_inlay": {"hollow_tube"},
    "seaweed_album-album_guards": {"album_guards"},
    "almanac-tissue_hinge": {"tissue_hinge"},
    "light_list-board_paper": {"sewn_cloth_joint"},
    "day_book-casing_in": {"casing_in"},
    "signal_book-reback": {"hollow_tube", "reback"},
}


@pytest.mark.parametrize("name", ORDERS)
def test_pictures_stand_beside_the_steps_that_ask_for_them(name: str) -> None:
    """None is wider than its room; their words are as large as all that is read at the bench."""
    steps = [step for step in draft(ORDERS[name]).pattern.steps if step.picture]
    assert {step.structure for step in steps} == SHOWN.get(name, set())
    for step in steps:
        assert step.picture is not None
        assert step.picture.width_mm <= WIDE_MM
        page = Box(-0.01, -0.01, step.picture.width_mm + 0.01, step.picture.height_mm + 0.01)
        assert all(page.holds(box_of(mark)) for mark in step.picture.marks)
        assert {m.cap_mm for m in step.picture.marks if isinstance(m, Words)} == {BODY}


def test_what_template_or_module_names_alone_is_an_error() -> None:
    found = catalogue.find("hollow_tube")
    with pytest.raises(TemplateError, match="a step shows wound, which PICTURES does not draw"):
        comparing.pictures(found, ())
    with pytest.raises(TemplateError, match="no step shows folded of PICTURES"):
        comparing.pictures(found, ("wound", "folded"))


def heavy(drawing: Drawing) -> list[Line]:
    return [m for m in drawing.marks if isinstance(m, Line) and m.kind is LineKind.SECTION]


def test_a_wound_tube_shows_each_panel_once_in_winding_order() -> None:
    """off 1 within off 2, both above on 1; every later panel is hatched to the one two before it."""
    made = pictures.wound(["off 1", "on 1", "off 2"], False, 46.7)
    at = {m.text: m.at[1] for m in made.marks if isinstance(m, Words)}
    assert at["3 · off 2"] < at["1 · off 1"] < at["2 · on 1"]
    assert at["to the cover"] < at["3 · off 2"]
    assert at["to the spine"] > at["2 · on 1"]
    assert len(heavy(made)) == 1
    hatch = [m for m in made.marks if isinstance(m, Line) and m.kind is LineKind.PASTED]
    assert hatch
    top, low = at["3 · off 2"] - BODY / 2, at["1 · off 1"] - BODY / 2
    assert all(top - 0.01 <= y <= low + 0.01 for line in hatch for _, y in line.points)


def test_a_flange_on_its_way_lies_in_line_with_its_slot() -> None:
    """Slot 10 deep, mouth 2, bottom 1: the drawn flange slopes 1 in √99, down towards the inner face."""
    slot = Slot(10.0, 5.739, 2.0, 1.0, 0.35, 0.8, "inner")
    (cloth,) = heavy(pictures.slid(3.2, slot, 10.6))
    (x0, y0), (x1, y1) = cloth.points
    assert (y1 - y0) / (x1 - x0) == pytest.approx(1 / 99**0.5)


def test_a_stitch_is_as_long_as_its_bar() -> None:
    made = pictures.closed(15.0)
    (bar,) = [m for m in made.marks if isinstance(m, Line) and m.kind is LineKind.SEWN_OUTSIDE]
    assert bar.points[1][0] - bar.points[0][0] == pytest.approx(2 * 15.0)
    assert "2:1, along the fold" in [m.text for m in made.marks if isinstance(m, Words)]


def test_a_strip_turned_back_has_its_seam_edge_on_the_shoulder() -> None:
    """5 at 2:1, 2 of it up the shoulder; the rest goes up as well, over the open board's inner face."""
    made = pictures.turned_back(Joint("french", 2.0, 90.0, 6.4, 2.2), 5.0, 25.0, 180.0)
    assert any("2:1" in m.text for m in made.marks if isinstance(m, Words))
    seam, body = heavy(made)
    legs = [math.dist(a, b) for a, b in pairwise(seam.points)]
    assert legs == pytest.approx([6.0, 4.0])
    (board,) = [m for m in made.marks if isinstance(m, Area) and m.grey > 0.5]
    assert max(x for x, _ in board.outline) == pytest.approx(seam.points[-1][0])
    assert body.points[-1][0] < body.points[0][0]
    top = min(y for _, y in board.outline)
    assert body.points[-1][1] == pytest.approx(top - 0.7)


def test_the_rod_lies_in_the_groove() -> None:
    """Groove 6.4 at 2:1: the rod's middle is over the groove's, 6.4 from its edges."""
    made = pictures.set_in(Joint("french", 2.5, 90.0, 6.4, 2.5))
    (rod,) = [m for m in made.marks if isinstance(m, Circle)]
    (board,) = [m for m in made.marks if isinstance(m, Area) and m.grey > 0.5]
    assert min(x for x, _ in board.outline) - rod.centre[0] == pytest.approx(6.4)
    assert rod.radius < 6.4


def test_a_picture_never_covers_the_caution_of_a_later_step() -> None:
    """Set as close as can be: the step after it begins below the picture where it has a caution, else beside it."""
    pattern = draft(ORDERS["day_book-casing_in"]).pattern
    (step,) = [one for one in pattern.steps if one.picture]
    assert step.picture is not None
    other = replace(step, picture=None, text="Next.")
    begins = {}
    for cautions in (step.cautions, ()):
        steps = (step, replace(other, cautions=cautions))
        strips = steps_strips(replace(pattern, steps=steps, undo=()), Box(0.0, 0.0, 190.0, 250.0))
        ((column,),) = [placed(tightened(strips, 0.4), 250.0)]
        at = {m.text: y + m.at[1] for y, one in column for m in one.marks if isinstance(m, Words)}
        foot = max(y for text, y in at.items() if text.startswith("2:1"))
        begins[bool(cautions)] = at["Next."] - foot
    assert begins[True] > BODY
    assert begins[False] < 0


def meeting(drawing: Drawing) -> list[tuple[Words, Words]]:
    """Return every two words that share a place."""
    words = [mark for mark in drawing.marks if isinstance(mark, Words)]
    pairs = combinations(words, 2)
    return [(one, other) for one, other in pairs if box_of(one).meets(box_of(other))]


@pytest.mark.parametrize("board_mm", [1.0, 1.8, 2.5, 3.5, 6.0, 12.0])
@pytest.mark.parametrize("flange_mm", [2.0, 4.0, 8.0, 12.0, 24.0, 50.0])
@pytest.mark.parametrize("angle_deg", [0.0, 2.0, 6.5])
def test_words_of_a_flange_on_its_way_stand_apart(
    board_mm: float, flange_mm: float, angle_deg: float
) -> None:
    """Whatever the board and the flange: a narrow flange before a thin board was named upon the inner face."""
    mouth = board_mm / 3
    for depth in (4.0, 10.0, 16.0):
        bottom = mouth + depth * math.sin(math.radians(angle_deg))
        slot = Slot(depth, angle_deg, mouth, bottom, 0.4, 0.8, "inner")
        made = pictures.slid(board_mm, slot, flange_mm)
        assert not meeting(made)
        assert made.width_mm <= WIDE_MM


@pytest.mark.parametrize("stitch_mm", [3.0, 6.0, 9.0, 14.0, 20.0, 31.0, 60.0, 200.0])
def test_words_of_a_stitch_stand_apart(stitch_mm: float) -> None:
    """The knot's name is wider than a short stitch; those of the two holes stand outside it."""
    made = pictures.closed(stitch_mm)
    assert not meeting(made)
    assert made.width_mm <= WIDE_MM
