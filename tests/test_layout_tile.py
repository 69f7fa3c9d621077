"""Tiles: how many, where the joints lie, and that pasted by their letters they are the whole."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import example, given, settings
from hypothesis import strategies as st

from patterns.model.drawing import Area, Circle, Line, LineKind, Mark, Point, Words
from patterns.record import reading
from patterns.sheets import tile, whole
from patterns.sheets.page import Layout
from patterns.sketch.marks import Box, box_of, moved
from patterns.stock.paper import parse
from tests.books import drafted
from tests.clear import assert_clear

PORTRAIT, LANDSCAPE = (190.0, 277.0), (277.0, 190.0)
"""What A4 leaves within margins of 10 mm."""
SMALL = reading.parse(
    """
[book]
id = "small"
[condition]
paper = "fair"
[text_block]
height = 251
width = 187.6
thickness = 40
leaves = 296
gatherings = 37
leaves_per_gathering = 8
leaf_thickness = 0.134
[spine]
profile = "flat"
shoulder = 0
round_depth = 0
girth_head = 40
girth_tail = 40.6
linings = 0
strip_over = 0
over_shoulders = 39.6
[cover]
thickness = 0.41
turn_in = 15.1
side_height = 253.4
side_width = 194.1
spine_width = 47.6
endband_head = 0
endband_tail = 0
[sewing]
supports = "recessed"
kettles = [14.8, 231.1]
supports_at = [51.3, 83.9, 121.2, 160.6, 197.4]
support_width = 3
""",
    "small",
)


def test_the_worked_example_of_a_large_sheet() -> None:
    """700 × 500 on A4, margins 10, overlap 10: 4 × 2 upright, 3 × 3 lying (worked by hand)."""
    _, upright = tile.best([(700.0, 500.0)], [PORTRAIT])
    _, lying = tile.best([(700.0, 500.0)], [LANDSCAPE])
    assert (len(upright.columns), len(upright.rows), upright.pages) == (4, 2, 8)
    assert (len(lying.columns), len(lying.rows), lying.pages) == (3, 3, 9)
    index, chosen = tile.best([(700.0, 500.0)] * 2, [PORTRAIT, LANDSCAPE])
    assert (index, chosen.pages) == (0, 8)


@example(
    474.5, 61.6875
)  # nine windows would cover it, but not in whole tenths: 9 × 61.6 − 80 = 474.4
@given(st.floats(1, 3000), st.floats(60, 600))
def test_windows_cover_the_length_and_overlap_enough(length: float, room: float) -> None:
    """Windows follow each other with at least the overlap, fit the page, and one fewer would not do."""
    made = tile.spans(length, room)
    assert made[0][0] == 0.0
    assert made[-1][1] == pytest.approx(length)
    assert all(b - a <= room + 1e-6 for a, b in made)
    laps = [before[1] - after[0] for before, after in itertools.pairwise(made)]
    assert all(lap >= tile.OVERLAP - 1e-6 for lap in laps)
    assert max(laps, default=0.0) - min(laps, default=0.0) < 1e-6
    fewer = len(made) - 1
    if fewer:  # counted in whole tenths of a millimetre
        page = math.floor(room * 10 + 1e-6) / 10
        assert fewer * page - (fewer - 1) * tile.OVERLAP < length + 1e-6


@settings(deadline=None, max_examples=60)
@given(
    st.floats(100, 900),
    st.floats(90, 300),
    st.lists(st.floats(0, 1), min_size=1, max_size=12),
)
def test_no_joint_is_near_a_hole_where_one_could_be_clear(
    length: float, room: float, shares: list[float]
) -> None:
    """Against brute force: every row of joints on a grid of 2 mm that windows of this room allow."""
    holes = [(share * length - 1, share * length + 1) for share in shares]
    made = tile.clear_spans(length, room, tuple(holes))
    count = tile.number(length, room)
    assert len(made) == count
    assert made[0][0] == 0.0
    assert made[-1][1] == pytest.approx(length)
    assert all(b - a <= room + 1e-5 for a, b in made)
    pairs = list(itertools.pairwise(made))
    assert all(before[1] - after[0] >= tile.OVERLAP - 1e-5 for before, after in pairs)
    lacks = [near((before[1] + after[0]) / 2, holes) < 8 - 1e-6 for before, after in pairs]
    grid = [i * 2.0 for i in range(1, int(length / 2))]
    reached = {0.0}
    for number in range(1, count):
        most = room - (5 if number == 1 else 10)
        reached = {
            x for x in grid if near(x, holes) >= 8 and any(10 <= x - a <= most for a in reached)
        }
    if count > 1 and any(length - a <= room - 5 for a in reached):
        assert not any(lacks)


def near(at: float, spans: list[tuple[float, float]]) -> float:
    """Return how far a place lies from the nearest span."""
    return min(max(low - at, at - high, 0.0) for low, high in spans)


def test_a_hole_is_drawn_and_named_on_the_sheet_where_it_is_seen() -> None:
    """Every hole of a row through two overlaps is whole on one sheet and has its words there alone."""
    heights = [4.0 + 11.3 * i for i in range(64)]
    signs: list[Mark] = [Circle(LineKind.HOLE, (50.0, y), 0.5) for y in heights]
    signs += [Words((53.0, y + 1.25), f"{y:.1f}", 2.5) for y in heights]
    made = tile.Tiling(((0.0, 100.0),), tile.spans(725, 277), 100, 725)
    made = made.clear_of(signs, (190.0, 277.0))
    shown = [mark for _, marks in tile.cut(signs, made) for mark in marks if mark in signs]
    assert len(shown) == len(signs)
    for _, marks in tile.cut(signs, made):
        held = {f"{m.centre[1]:.1f}" for m in marks if isinstance(m, Circle)}
        assert held == {m.text for m in marks if isinstance(m, Words) and m in signs}


def test_no_line_strikes_through_a_match_marks_name_where_another_place_is_free() -> None:
    """Lines run through both home places, down across a level joint and along beside an upright one."""
    struck = [
        Line(LineKind.CUT, ((0.0, 100.6), (400.0, 99.4))),
        *(Line(LineKind.VALLEY, ((x, 0.0), (x, 500.0))) for x in (18.0, 21.0, 80.5, 312.0)),
    ]
    made = tile.Tiling(tile.spans(400, 190), tile.spans(500, 277), 400, 500)
    made = made.clear_of(struck, (190.0, 277.0))
    grounds = [tile.ground(one) for one in tile.matches(made)]
    assert len(grounds) == 2 * made.joints
    for line in struck:
        edge = shapely.LineString(line.points)
        for box in grounds:
            assert not edge.intersects(shapely.box(box.left, box.top, box.right, box.bottom))


def test_an_exact_fit_needs_no_second_page() -> None:
    """Length equal to the page, and to two pages less the overlap, in tenths of a millimetre."""
    assert [tile.number(x, 190.0) for x in (190.0, 190.1, 370.0, 370.1)] == [1, 2, 2, 3]
    assert tile.number(0.1 + 0.2 + 189.7, 190.0) == 1


def test_the_spine_stays_whole_when_one_page_more_suffices() -> None:
    """200 × 330: lying down takes two sheets, joined across the width; upright whole rows win."""
    rooms = [(210.0, 150.0), (120.0, 340.0)]
    _, cheapest = tile.best([(200.0, 330.0)] * 2, rooms)
    index, whole = tile.best([(200.0, 330.0)] * 2, rooms, joint_free=True)
    assert (cheapest.pages, len(cheapest.columns)) == (2, 2)
    assert (index, whole.pages, len(whole.columns)) == (0, 3, 1)


def test_the_spine_is_divided_when_two_pages_more_were_needed() -> None:
    """The price of a whole width is one page, never two."""
    rooms = [(210.0, 100.0), (120.0, 340.0)]
    _, made = tile.best([(200.0, 330.0)] * 2, rooms, joint_free=True)
    assert (made.pages, len(made.columns)) == (2, 2)


def test_fewest_joints_break_a_tie() -> None:
    """Six sheets as 6 × 1 have five joints, as 3 × 2 seven."""
    index, made = tile.best([(300.0, 300.0)] * 2, [(110.0, 155.0), (60.0, 400.0)])
    assert (index, made.pages, made.joints) == (1, 6, 5)


def assembled(sheets: list[tuple[Mark, ...]]) -> tuple[dict[int, Point], float]:
    """Put sheets together by their lettered diamonds alone.

    Returns each sheet's place relative to the first, and the worst misfit of a diamond in mm.
    """
    seen: list[dict[str, Point]] = [_diamonds(marks) for marks in sheets]
    places: dict[int, Point] = {0: (0.0, 0.0)}
    worst = 0.0
    while len(places) < len(sheets):
        before = len(places)
        for number, found in enumerate(seen):
            for known in list(places):
                shared = set(found) & set(seen[known])
                if not shared or number == known:
                    continue
                offsets = [
                    (
                        places[known][0] + seen[known][letter][0] - found[letter][0],
                        places[known][1] + seen[known][letter][1] - found[letter][1],
                    )
                    for letter in sorted(shared)
                ]
                here = places.setdefault(number, offsets[0])
                worst = max(worst, *(math.dist(here, offset) for offset in offsets))
        assert len(places) > before, "a sheet shares no letter with the others"
    return places, worst


def _diamonds(marks: tuple[Mark, ...]) -> dict[str, Point]:
    """Return the middle of each match mark by the letter beside it."""
    words = [m for m in marks if isinstance(m, Words) and m.bold and m.text.isupper()]
    found = {}
    for mark in marks:
        if isinstance(mark, Line) and mark.kind is LineKind.MATCH and mark.closed:
            middle = box_of(mark).middle
            nearest = min(words, key=lambda w: math.dist(box_of(w).middle, middle))
            found[nearest.text] = middle
    return found


def scattered(window: Box) -> Point:
    """Return a place for a sheet that tells nothing of where it belongs."""
    return 13.7 - 1.31 * window.left, 7.1 - 0.77 * window.top


@settings(deadline=None, max_examples=40)
@given(
    st.floats(30, 800),
    st.floats(30, 900),
    st.lists(st.tuples(st.floats(0, 1), st.floats(0, 1)), min_size=3, max_size=8),
)
def test_sheets_put_together_by_their_letters_are_the_whole(
    width: float, height: float, shares: list[Point]
) -> None:
    """Each sheet is moved anywhere; aligned by letters, every line is back within 0.01 mm."""
    _, tiling = tile.best([(width, height)] * 2, [PORTRAIT, LANDSCAPE])
    outline = Line(LineKind.CUT, ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height)), True)
    path = Line(LineKind.REFERENCE, tuple((x * width, y * height) for x, y in shares))
    sheets = []
    for window, marks in tile.cut((outline, path), tiling):
        dx, dy = scattered(window)
        sheets.append(moved(marks, dx, dy))
        page = window.moved(dx, dy)
        assert all(page.grown(1e-6).holds(box_of(m)) for m in sheets[-1] if m.__class__ is Line)
    places, worst = assembled(sheets)
    assert worst < 0.01
    first = next(iter(tiling.windows()))
    home = scattered(first)
    drawn = shapely.union_all(
        [
            shapely.LineString(
                [(x + places[i][0] - home[0], y + places[i][1] - home[1]) for x, y in points]
            )
            for i, marks in enumerate(sheets)
            for m in marks
            if isinstance(m, Line) and m.kind is not LineKind.MATCH
            for points in [(*m.points, m.points[0]) if m.closed else m.points]
        ]
    )
    whole = shapely.union_all(
        [
            shapely.LineString([*outline.points, outline.points[0]]),
            shapely.LineString(path.points),
        ]
    )
    assert whole.difference(drawn.buffer(0.01)).length < 1e-6
    assert drawn.difference(whole.buffer(0.01)).length < 1e-6


def test_every_joint_has_two_letters_of_its_own() -> None:
    """3 × 2 sheets have 7 joints, so 14 letters, each on the two sheets beside its joint."""
    tiling = tile.Tiling(tile.spans(500, 190), tile.spans(500, 277), 500, 500)
    letters = [set(_diamonds(marks)) for _, marks in tile.cut((), tiling)]
    every = sorted(letter for found in letters for letter in found)
    assert len(set(every)) == 14
    assert all(every.count(letter) == 2 for letter in every)


def test_words_across_a_joint_move_into_one_window() -> None:
    """An author's words cut by both windows are written whole on the sheet where they mostly lie."""
    tiling = tile.Tiling(tile.spans(300, 190), ((0.0, 100.0),), 300, 100)
    words = Words(
        (150.0, 50.0), "words that lie across the joint of two sheets", 2.5, anchor="middle"
    )
    sheets = [marks for _, marks in tile.cut((words,), tiling)]
    found = [m for marks in sheets for m in marks if isinstance(m, Words) and m.text == words.text]
    assert found
    assert {m.text for m in found} == {words.text}


def test_key_map_marks_the_sheet_in_hand() -> None:
    """Six cells, one of them grey, with their numbers."""
    tiling = tile.Tiling(tile.spans(500, 190), tile.spans(500, 277), 500, 500)
    block = tile.key_map(tiling, [((0, 0), (500, 0), (500, 500), (0, 500))], 4, 24.0)
    greys = [m for m in block.marks if m.__class__.__name__ == "Area"]
    numbers = {m.text for m in block.marks if isinstance(m, Words)}
    assert len(greys) == 1
    assert numbers == {"1", "2", "3", "4", "5", "6"}
    bold = [m.text for m in block.marks if isinstance(m, Words) and m.bold]
    assert bold == ["5"]


def test_where_to_trim_is_said_in_the_least_overlap() -> None:
    """Half of 10 mm is room for a line of capitals of 2.5: upright and level joints say it once."""
    for spans in [((0.0, 150.0), (140.0, 290.0)), ((0.0, 60.0), (50.0, 120.0))]:
        for columns, rows in [(spans, ((0.0, 100.0),)), (((0.0, 100.0),), spans)]:
            tiling = tile.Tiling(columns, rows, columns[-1][1], rows[-1][1])
            said = [
                sum(isinstance(m, Words) and m.text in tile.TRIM for m in marks)
                for _, marks in tile.cut((), tiling)
            ]
            assert said == [0, 1]


def test_where_to_trim_is_said_over_hatching_too_on_a_white_ground() -> None:
    """Lines 3 mm apart leave no blank for the words: they cover the strip that is cut away, no more."""
    tiling = tile.Tiling(((0.0, 150.0),), ((0.0, 60.0), (50.0, 120.0)), 150.0, 120.0)
    hatch = [Line(LineKind.PASTED, ((3.0 * n, 0.0), (3.0 * n, 120.0))) for n in range(1, 50)]
    _, (_, below) = tile.cut(hatch, tiling)
    (said,) = [m for m in below if isinstance(m, Words) and m.text in tile.TRIM]
    (ground,) = [m for m in below if isinstance(m, Area)]
    assert ground.grey == 1.0
    assert box_of(ground).grown(1e-6).holds(box_of(said))
    assert box_of(ground).top >= 50.0
    assert box_of(ground).bottom < 55.0


@given(st.floats(40, 180), st.lists(st.floats(0, 180), min_size=0, max_size=6, unique=True))
def test_match_marks_stand_clear_of_lines_where_there_is_room(
    width: float, at: list[float]
) -> None:
    """Upright lines through a joint: where some place of a half leaves 6 mm to either side, the mark keeps off them."""
    lines = [Line(LineKind.SLIT, ((x, 0.0), (x, 400.0))) for x in at if x < width]
    made = tile.Tiling(((0.0, width),), tile.spans(400.0, 277.0), width, 400.0).clear_of(
        lines, (190.0, 277.0)
    )
    wide = tile.ground(tile.Match((0.0, 0.0), "M88", False)).width / 2
    for one, (low, high) in zip(tile.matches(made), ((0.04, 0.42), (0.58, 0.96)), strict=True):
        places = np.arange(width * low, width * high, 0.25)
        room = [x for x in places if all(abs(x - line) > wide + 2.0 for line in at)]
        if room:
            assert not any(tile.ground(one).meets(box_of(line)) for line in lines)


def test_a_match_mark_finds_the_only_place_between_words() -> None:
    """Words all along the joint but for 20 mm in either half: both marks stand in these."""
    words = [Words((x, y), "MMM", 2.5) for y in (135.0, 139.0, 143.0) for x in range(0, 180, 8)]
    holes = ((30.0, 50.0), (120.0, 140.0))
    words = [w for w in words if not any(a - 10 < w.at[0] < b for a, b in holes)]
    made = replace(
        tile.Tiling(((0.0, 180.0),), ((0.0, 144.0), (134.0, 280.0)), 180.0, 280.0),
        avoid=tuple(words),
    )
    for one, (low, high) in zip(tile.matches(made), holes, strict=True):
        assert low < one.at[0] < high
        assert not any(tile.ground(one).meets(box_of(word)) for word in words)


def test_words_along_a_trim_line_stand_apart_from_other_words() -> None:
    """Other words near the middle of the joint: those of the trim line move along it, 4 mm away from them."""
    made = tile.Tiling(((0.0, 180.0),), ((0.0, 144.0), (134.0, 280.0)), 180.0, 280.0)
    label = Words((90.0, 144.5), "over the spine", 2.5, anchor="middle")
    (_, _), (_, lower) = tile.cut([label], made)
    (trim,) = [m for m in lower if isinstance(m, Words) and m.text in tile.TRIM]
    assert not box_of(trim).grown(3.9).meets(box_of(label))


def test_the_sheets_of_a_book_on_a_small_paper_have_no_words_in_each_others_way() -> None:
    """A5: its section is higher than a page and its spine view wider; neither meets a match mark's name."""
    found = drafted(SMALL, "tissue_hinge")
    made = whole.sheets(Layout(found.pattern, parse("148x210"), suggests=True))
    assert not any(sheet.title.startswith("Section, sheet") for sheet in made)
    for sheet in made:
        assert_clear(sheet.drawing)
