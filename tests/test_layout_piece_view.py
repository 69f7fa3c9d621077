"""A piece at full size: its lines where they belong, its words where they touch nothing."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from patterns.model.capitals import BODY
from patterns.model.drawing import Circle, Line, LineKind, Words
from patterns.model.piece import Dimension, Hole, Piece, Zone
from patterns.sheets import card, piece_words
from patterns.sheets.piece_view import Face, View, view
from patterns.sheets.zones import small_views
from patterns.sketch.hatching import hatch
from patterns.sketch.marks import box_of
from tests.layout_pieces import EVERY, band, crowded_lining, inlay, long_lining, tube


def drawn(piece: Piece, stretch: tuple[float, float] = (1.0, 1.0)) -> View:
    face = Face(piece, stretch)
    return view(face, face.room(24.0))


def said(of: View) -> set[str]:
    return {m.text for m in of.marks if isinstance(m, Words)}


@pytest.mark.parametrize("piece", EVERY, ids=lambda one: one.name)
def test_the_outline_is_drawn_at_its_size(piece: Piece) -> None:
    """The cut line is the outline itself, not a copy made by measuring."""
    cuts = [m for m in drawn(piece).marks if isinstance(m, Line) and m.kind is LineKind.CUT]
    assert [m.points for m in cuts if m.closed] == [piece.outline]


def test_width_and_height_are_always_given() -> None:
    """A piece without dimensions gets both; the limits stand at the width, which carries them."""
    plain = Piece("p", "s", "m", 0.1, band(0.0, 60.0, 120.0), "head-tail", tolerance_mm=0.5)
    assert {"60.0 ± 0.5", "120.0"} <= said(drawn(plain))


def test_a_given_overall_dimension_is_not_repeated() -> None:
    """The author's own words for the height stand alone."""
    piece = Piece(
        "p",
        "s",
        "m",
        0.1,
        band(0.0, 60.0, 120.0),
        "head-tail",
        dimensions=(Dimension((0.0, 0.0), (0.0, 120.0), "left", text="120.0 head to tail"),),
    )
    assert "120.0 head to tail" in said(drawn(piece))
    assert "120.0" not in said(drawn(piece))


def test_dimensions_that_would_cover_each_other_take_rows_of_their_own() -> None:
    """Two spans over the same edge in row 0 are drawn on different levels."""
    piece = Piece(
        "p",
        "s",
        "m",
        0.1,
        band(0.0, 60.0, 120.0),
        "any",
        dimensions=(
            Dimension((0.0, 0.0), (40.0, 0.0), "head"),
            Dimension((20.0, 0.0), (60.0, 0.0), "head"),
        ),
    )
    levels = [row.a[1] for row in Face(piece).rows if row.dimension.side == "head"]
    assert len(levels) == len(set(levels)) == 3


@pytest.mark.parametrize("piece", EVERY, ids=lambda one: one.name)
def test_words_touch_neither_cuts_nor_folds_nor_holes(piece: Piece) -> None:
    """Judged by shapely on the finished marks; the word of a tag lies in its circle."""
    made = drawn(piece)
    solid: list[shapely.Geometry] = [
        shapely.LineString((*m.points, m.points[0]) if m.closed else m.points)
        for m in made.marks
        if isinstance(m, Line)
        and m.kind in (LineKind.CUT, LineKind.VALLEY, LineKind.SLIT, LineKind.DIMENSION)
    ]
    solid += [
        shapely.Point(m.centre).buffer(m.radius)
        for m in made.marks
        if isinstance(m, Circle) and m.kind in (LineKind.HOLE, LineKind.OLD_HOLE)
    ]
    tree = shapely.STRtree(solid)
    for words in (m for m in made.marks if isinstance(m, Words)):
        box = box_of(words)
        shape = shapely.box(box.left, box.top, box.right, box.bottom)
        assert not len(tree.query(shape, predicate="intersects")), words


def test_every_hole_is_labelled_or_keyed() -> None:
    """Sixty labels on 90 × 305: each is written at its hole or stands in the key."""
    piece = crowded_lining()
    made = drawn(piece)
    keyed = " ".join(text for _, text in made.key)
    assert made.key
    for hole in piece.holes:
        assert hole.label in said(made) or hole.label in keyed
    assert {number for number, _ in made.key if number != "–"} <= said(made)


@pytest.mark.parametrize("piece", EVERY, ids=lambda one: one.name)
def test_grain_is_shown_with_its_word(piece: Piece) -> None:
    """Cloth says WARP, paper grain; the arrow runs the way the piece says, heads at both ends."""
    made = drawn(piece)
    arrows = [m for m in made.marks if isinstance(m, Line) and m.kind is LineKind.GRAIN]
    if piece.grain == "any" or not piece.stock:
        assert not arrows
        return
    assert ("WARP" if piece.grain.startswith("warp") else "grain") in said(made)
    (arrow,) = arrows
    (ax, ay), (bx, by) = arrow.points
    assert abs(by - ay) > 10 * abs(bx - ax)
    heads = [m for m in made.marks if getattr(m, "kind", None) is LineKind.GRAIN]
    assert len(heads) == 3


@pytest.mark.parametrize("piece", [tube(), inlay(), long_lining()], ids=lambda one: one.name)
def test_ends_and_edges_carry_their_words(piece: Piece) -> None:
    """HEAD stands above TAIL, the left word left of the right one."""
    at = {m.text: m.at for m in drawn(piece).marks if isinstance(m, Words)}
    assert at["HEAD"][1] < at["TAIL"][1]
    if piece.left:
        assert at[piece.left][0] < at[piece.right][0]


@settings(deadline=None, max_examples=40)
@given(
    st.lists(st.tuples(st.floats(0, 80), st.floats(0, 80)), min_size=3, max_size=9),
    st.floats(0.5, 5),
)
def test_hatching_fills_a_zone_and_nothing_else(
    points: list[tuple[float, float]], pitch: float
) -> None:
    """Lines at 45°, inside the zone, one pitch apart, so that their length is area over pitch."""
    zone = shapely.MultiPoint(points).convex_hull
    if zone.geom_type != "Polygon" or zone.area < 4 * pitch**2:
        return
    lines = [shapely.LineString(m.points) for m in hatch(zone, pitch)]
    for line in lines:
        (ax, ay), *_, (bx, by) = line.coords
        assert abs((bx - ax) + (by - ay)) < 1e-6
        assert line.length > 0
        assert zone.buffer(1e-6).covers(line)
    sums = sorted(sum(line.coords[0]) / math.sqrt(2) for line in lines)
    steps = [b - a for a, b in itertools.pairwise(sums)]
    assert all(abs(step - pitch) < 1e-6 for step in steps)
    assert abs(sum(line.length for line in lines) * pitch - zone.area) < zone.length * pitch


def test_hatching_leaves_the_ground_of_words_white() -> None:
    """No hatch line enters the box of any words on the pasted panel."""
    made = drawn(tube())
    lines = shapely.MultiLineString(
        [m.points for m in made.marks if isinstance(m, Line) and m.kind is LineKind.PASTED]
    )
    for words in (m for m in made.marks if isinstance(m, Words)):
        box = box_of(words)
        assert not shapely.box(box.left, box.top, box.right, box.bottom).intersects(lines)


def test_paste_on_the_under_face_is_dotted_and_said() -> None:
    """Three dotted outlines, three lines of words, and both small views."""
    made = drawn(tube())
    dots = [m for m in made.marks if isinstance(m, Line) and m.kind is LineKind.UNDER]
    assert len(dots) == 3
    words = " ".join(m.text for m in made.marks if isinstance(m, Words))
    assert words.count("under face:") == 3
    faces = card.both_faces(tube())
    assert faces is not None
    text = " ".join(m.text for m in faces.marks if isinstance(m, Words))
    assert "this face" in text
    assert "turned over" in text
    assert "pasted, wheat starch paste: c, d, e, f" in text


def test_a_zone_has_one_letter_on_the_piece_in_its_view_and_in_the_key() -> None:
    """Two narrow zones find no room for words on the piece: tag, view and key say the same letter."""
    zones = (
        Zone("free", "up", "joint: it bends", band(0.0, 4.0, 60.0)),
        Zone("pasted", "up", "the board", band(4.0, 60.0, 60.0), "wheat starch paste"),
        Zone("pasted", "under", "the stub", band(0.0, 4.0, 60.0), "wheat starch paste"),
    )
    piece = Piece("p", "s", "m", 0.1, band(0.0, 60.0, 60.0), "any", zones=zones)
    made = drawn(piece)
    assert [name for name, _ in made.key] == ["a", "c"]
    assert dict(made.key)["a"] == "no paste: joint: it bends"
    assert {"a", "c"} <= said(made)
    assert any(text.startswith("b · pasted to the board") for text in said(made))
    views = small_views(piece, 42.0)
    named = [m for m in views.marks if isinstance(m, Words) and m.text[:1] in "abc"]
    found = {m.text.partition(" ")[0]: m.at[0] for m in named}
    assert set(found) == {"a", "b", "c"}
    assert found["a"] < found["b"] < found["c"]  # the under face at the right, turned over
    assert {m.cap_mm for m in views.marks if isinstance(m, Words)} == {BODY}


def test_a_piece_cut_larger_first_is_measured_twice() -> None:
    """Both sizes stand in rows of their own, the outer one to cut and the inner one to trim to."""
    rough = ((-4.0, -2.0), (64.0, -2.0), (64.0, 122.0), (-4.0, 122.0))
    piece = Piece("p", "s", "m", 0.1, band(0.0, 60.0, 120.0), "head-tail", rough=rough)
    made = drawn(replace(piece, tolerance_mm=0.5))
    assert {"cut first 68.0", "trim to 60.0 ± 0.5", "cut first 124.0", "trim to 120.0"} <= said(
        made
    )
    rows = {row.text: row for row in Face(piece).rows}
    assert rows["cut first 68.0"].a == (-4.0, rows["cut first 68.0"].b[1])
    assert rows["cut first 68.0"].a[1] < rows["trim to 60.0"].a[1]
    told = " ".join(m.text for m in card.about(piece, 60.0).marks if isinstance(m, Words))
    assert "first\u00a068.0\u00a0×\u00a0124.0" in told
    assert "60.0\u00a0×\u00a0120.0" in told


def test_a_side_that_is_not_cut_larger_is_measured_once() -> None:
    """A cloth with wider flanges alone has one height."""
    rough = ((-4.0, 0.0), (64.0, 0.0), (64.0, 120.0), (-4.0, 120.0))
    piece = Piece("p", "s", "m", 0.1, band(0.0, 60.0, 120.0), "head-tail", rough=rough)
    assert [row.text for row in Face(piece).rows if row.dimension.side == "left"] == ["120.0"]


def test_the_under_face_is_shown_turned_over_side_to_side() -> None:
    """A zone at the left edge of the piece stands at the right edge of the second view."""
    ring = band(0.0, 15.0, 60.0)
    zones = (Zone("pasted", "under", "the board", ring), Zone("free", "up", "", ring))
    piece = Piece("p", "s", "m", 0.1, band(0.0, 60.0, 60.0), "any", zones=zones)
    outlines = [
        box_of(m)
        for m in small_views(piece, 42.0).marks
        if isinstance(m, Line) and m.kind is LineKind.OUTLINE
    ]
    edges = [
        box_of(m)
        for m in small_views(piece, 42.0).marks
        if isinstance(m, Line) and m.kind is LineKind.REFERENCE and m.closed
    ]
    assert edges[0].left == pytest.approx(outlines[0].left)
    assert edges[1].right == pytest.approx(outlines[1].right)
    assert edges[1].left > outlines[1].middle[0]


def test_a_printers_factors_stretch_lines_but_not_what_is_said() -> None:
    """Places times the factors; dimensions in words stay nominal; signs keep their size."""
    piece = replace(inlay(), holes=(Hole((20.0, 50.0), "a"),))
    made = drawn(piece, (1.01, 0.99))
    (cut,) = [m for m in made.marks if isinstance(m, Line) and m.kind is LineKind.CUT and m.closed]
    for (x, y), (px, py) in zip(cut.points, piece.outline, strict=True):
        assert (x, y) == pytest.approx((px * 1.01, py * 0.99))
    (hole,) = [m for m in made.marks if isinstance(m, Circle) and m.kind is LineKind.HOLE]
    assert hole.centre == pytest.approx((20.2, 49.5))
    assert hole.radius == piece.holes[0].radius
    assert {"50.0", "200.0"} <= said(made)


def test_no_word_of_a_zone_is_broken_over_two_lines() -> None:
    """A turn-in 15 high: wherever its words may stand, upright as well, each line is of whole words."""
    ring = ((0.0, 0.0), (90.0, 0.0), (90.0, 15.0), (0.0, 15.0))
    strip = Piece(
        name="turn-in",
        structure="s",
        material="cloth",
        thickness_mm=0.3,
        outline=ring,
        grain="head-tail",
        zones=(Zone("pasted", "under", "itself, turned in", ring, "wheat starch paste"),),
    )
    said = [
        "a",
        "·",
        "under",
        "face:",
        "pasted",
        "to",
        "itself,",
        "turned",
        "in,",
        "wheat",
        "starch",
        "paste",
    ]
    lines = [
        mark.text
        for batch in piece_words.batches(strip)
        for wanted in batch
        if wanted.name == "a"
        for slot in wanted.slots
        for mark in slot.draw()
        if isinstance(mark, Words)
    ]
    assert lines
    assert all(word in said for line in lines for word in line.split())
