"""Words find places that touch nothing: compared with a search through every choice."""

from __future__ import annotations

import itertools
import math

import numpy as np
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from patterns.commands.demo import orders
from patterns.drafting.job import draft
from patterns.model.drawing import Circle, Line, LineKind, Words
from patterns.sheets.obstacles import Obstacles, rows
from patterns.sheets.place import Desk, Wanted, place, words_slots
from patterns.sheets.zones import small_views
from patterns.sketch.marks import Box, box_of, rectangle

PAGE = Box(0.0, 0.0, 100.0, 100.0)
SIZES = st.floats(2, 25)
PLACES = st.floats(-10, 110)


@st.composite
def boxes(draw: st.DrawFn) -> Box:
    x, y = draw(PLACES), draw(PLACES)
    return Box(x, y, x + draw(SIZES), y + draw(SIZES))


LINES = st.builds(
    lambda a, b, c, d: Line(LineKind.CUT, ((a, b), (c, d))), PLACES, PLACES, PLACES, PLACES
)


def chosen_for(
    wanted: list[list[Box]], hard: Obstacles, soft: Obstacles | None = None
) -> tuple[int | None, ...]:
    """Return what is chosen for slots that are given as boxes."""
    return place([rows(slots) for slots in wanted], hard, soft, PAGE)


def polygon(box: Box) -> shapely.Polygon:
    return shapely.box(box.left, box.top, box.right, box.bottom)


@settings(deadline=None, max_examples=60)
@given(
    st.lists(st.lists(boxes(), max_size=6), max_size=6),
    st.lists(LINES, max_size=6),
    st.lists(boxes(), max_size=3),
)
def test_chosen_places_are_free_and_apart(
    wanted: list[list[Box]], lines: list[Line], filled: list[Box]
) -> None:
    """No chosen box leaves the page, touches an obstacle or meets another; shapely is the judge."""
    solid = [rectangle(LineKind.CUT, box) for box in filled]
    chosen = chosen_for(wanted, Obstacles([*lines, *solid]))
    assert len(chosen) == len(wanted)
    placed = [slots[i] for slots, i in zip(wanted, chosen, strict=True) if i is not None]
    for box in placed:
        assert PAGE.holds(box)
        assert not any(shapely.LineString(m.points).intersects(polygon(box)) for m in lines)
        assert not any(shapely.LinearRing(m.points).intersects(polygon(box)) for m in solid)
    for one, other in itertools.combinations(placed, 2):
        assert shapely.intersection(polygon(one), polygon(other)).area < 1e-9


@settings(deadline=None, max_examples=40)
@given(st.lists(st.lists(boxes(), min_size=1, max_size=3), min_size=1, max_size=5))
def test_a_label_is_left_out_only_when_its_places_are_taken(wanted: list[list[Box]]) -> None:
    """Whatever found no place has none left that is on the page and clear of the placed ones."""
    chosen = chosen_for(wanted, Obstacles())
    placed = [slots[i] for slots, i in zip(wanted, chosen, strict=True) if i is not None]
    for slots, index in zip(wanted, chosen, strict=True):
        if index is None:
            assert all(
                not PAGE.holds(slot) or any(polygon(slot).intersects(polygon(b)) for b in placed)
                for slot in slots
            )


def test_who_has_fewest_places_chooses_first() -> None:
    """Three labels, one arrangement for all of them: it is found (by hand: a2, b1, c0)."""
    cells = [Box(10.0 * i, 0.0, 10.0 * i + 8, 8.0) for i in range(3)]
    wanted = [[cells[0], cells[1], cells[2]], [cells[0], cells[1]], [cells[0]]]
    assert chosen_for(wanted, Obstacles()) == (2, 1, 0)


def test_soft_obstacles_are_avoided_while_there_is_a_choice() -> None:
    """The second slot is taken when the first crosses a hatch edge; the first when it is alone."""
    first, second = Box(0.0, 0.0, 10.0, 5.0), Box(20.0, 0.0, 30.0, 5.0)
    edge = Obstacles([Line(LineKind.PASTED, ((5.0, -5.0), (5.0, 50.0)))])
    assert chosen_for([[first, second]], Obstacles(), edge) == (1,)
    assert chosen_for([[first]], Obstacles(), edge) == (0,)


def test_words_without_room_become_tags_with_a_key() -> None:
    """Twelve words at one place: some stand there, the rest are numbered, none is lost."""
    desk = Desk(Box(0.0, 0.0, 90.0, 60.0), Obstacles())
    texts = [f"words number {i} of twelve" for i in range(12)]
    desk.add(
        [
            Wanted(
                text, (45.0, 30.0), words_slots(text, 2.5, [(45.0, 30.0, 0.0), (45.0, 36.0, 0.0)])
            )
            for text in texts
        ]
    )
    words = [mark for mark in desk.marks if isinstance(mark, Words)]
    written = {mark.text for mark in words}
    assert len(written & set(texts)) == 2
    keyed = [text.rpartition(": ")[2] for _, text in desk.key]
    assert sorted(keyed) == sorted(set(texts) - written)
    assert {number for number, _ in desk.key} <= {*written, "–"}
    boxes_ = [polygon(box_of(mark)) for mark in desk.marks if isinstance(mark, Words | Circle)]
    tags = [box for box in boxes_ if box.area > 10]
    for one, other in itertools.combinations(tags, 2):
        assert one.intersection(other).area < 1e-9 or one.contains(other) or other.contains(one)


def test_a_slot_is_as_large_as_its_words_need() -> None:
    """The words drawn in a slot lie inside its box, level and upright."""
    slots = words_slots(
        "Every crease folds the same way", 2.5, [(50.0, 50.0, 0.0), (50.0, 50.0, 90.0)], widths=[30]
    )
    assert len([*slots]) == 2
    for slot in slots:
        drawn = slot.draw()
        assert len(drawn) > 1
        assert all(Box(*slot.sides).holds(box_of(mark)) for mark in drawn)


def test_many_slots_agree_with_a_plain_overlap_count() -> None:
    """The obstacle test of boxes and level lines equals shapely's on 400 random pairs."""
    rng = np.random.default_rng(5)
    corner = rng.uniform(0, 90, (400, 2))
    sides = np.hstack([corner, corner + rng.uniform(1, 8, (400, 2))])
    lines = [
        Line(LineKind.CUT, ((20.0, 0.0), (20.0, 90.0))),
        Line(LineKind.CUT, ((0.0, 33.0), (90.0, 33.0), (90.0, 70.0)), closed=True),
        Line(LineKind.CUT, ((3.0, 5.0), (80.0, 77.0))),
    ]
    ours = Obstacles(lines).touched(sides)
    shapes = shapely.MultiLineString(
        [list(lines[0].points), [*lines[1].points, lines[1].points[0]], list(lines[2].points)]
    )
    assert (ours == shapely.intersects(shapely.box(*sides.T), shapes)).all()


def test_lines_to_tags_do_not_cross_where_there_is_another_way() -> None:
    """The joints of the day book's lining, too narrow for a letter, seen small on its under face."""
    (order,) = [one for one in orders() if one.record.book.id == "day_book"]
    pieces = {piece.title: piece for part in draft(order).pattern.parts for piece in part.pieces}
    marks = small_views(pieces["lining cloth"], 42.0).marks
    rings = [box_of(mark) for mark in marks if isinstance(mark, Circle)]
    ends = [
        mark.points
        for mark in marks
        if isinstance(mark, Line) and mark.kind is LineKind.REFERENCE and len(mark.points) == 2
    ]
    leaders = [
        shapely.LineString(points)
        for points in ends
        if any(abs(math.dist(points[1], ring.middle) - ring.width / 2) < 0.01 for ring in rings)
    ]
    assert len(leaders) == len(rings) == 2
    assert not leaders[0].crosses(leaders[1])
