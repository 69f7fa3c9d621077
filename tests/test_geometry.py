"""Arcs, layers and tapers against published tables, and against curves measured point by point."""

import math
import random
import statistics
from collections.abc import Callable
from itertools import pairwise

import pytest

from patterns.errors import RecordError
from patterns.formulas import geometry

CURVE_STEPS = 20_000


def walked(curve: Callable[[float], tuple[float, float]], start: float, end: float) -> float:
    """Length of a curve walked in small straight steps."""
    points = [curve(start + (end - start) * i / CURVE_STEPS) for i in range(CURVE_STEPS + 1)]
    return math.fsum(math.dist(a, b) for a, b in pairwise(points))


def through_crown(chord: float, depth: float, edge_deg: float) -> tuple[float, float]:
    """Half axes of the ellipse with this edge angle, found by halving its height alone."""

    def half_width(high: float) -> float:
        return chord / 2 / math.sqrt(1 - ((high - depth) / high) ** 2)

    def edge(high: float) -> float:
        return math.degrees(math.atan2(high**2 * chord / 2, half_width(high) ** 2 * (high - depth)))

    low, high = depth * (1 + 1e-12), depth * 1e6
    for _ in range(200):
        middle = math.sqrt(low * high)
        low, high = (middle, high) if edge(middle) > edge_deg else (low, middle)
    return half_width(low), low


# Circle


@pytest.mark.parametrize(
    ("chord", "depth", "radius", "turn", "length", "digits"),
    [
        # Machinery's Handbook 31, pp. 50 and 78–79: segments of circles; its chord of 13.27 and
        # angle of 67.13° (from the rounded arc; exactly 67.115°) are rounded
        (16, 6, 8 + 1 / 3, None, None, 1e-9),
        (13.2665, 2, 12, 67.13, 14.06, 0.02),
        # the same handbook at 35 mm and 60°; it prints 36.645 with a rounded π/180
        (35, 35 - 35 * math.cos(math.pi / 6), 35, 60, 36.6519, 1e-4),
        # computed two independent ways
        (40, 8, 29, 87.20564, 44.138740, 1e-5),
        (50, 12, None, None, 57.357143, 1e-6),
        (60, 5, None, None, 61.105011, 1e-6),
    ],
)
def test_circle_agrees_with_handbook(
    chord: float,
    depth: float,
    radius: float | None,
    turn: float | None,
    length: float | None,
    digits: float,
) -> None:
    arc = geometry.circle_arc(chord, depth)
    for found, wanted in ((arc.radius_mm, radius), (arc.turn_deg, turn), (arc.length_mm, length)):
        if wanted is not None:
            assert found == pytest.approx(wanted, abs=digits)


def test_a_third_of_a_circle_is_the_published_round() -> None:
    """Roberts & Etherington, "rounding"; Zaehnsdorf: arc 1.2092 c, depth 0.2887 c, radius 0.5774 c."""
    arc = geometry.circle_arc(30, 8.66025)
    assert arc.turn_deg == pytest.approx(120, abs=1e-3)
    assert arc.length_mm == pytest.approx(36.3, abs=0.05)
    assert arc.length_mm / 30 == pytest.approx(1.2092, abs=5e-5)
    assert arc.radius_mm / 30 == pytest.approx(0.5774, abs=5e-5)
    assert geometry.depth_mm(30, 120) == pytest.approx(8.7, abs=0.05)


@pytest.mark.parametrize("depth", [0.02, 1, 8, 20, 35, 90])
def test_circle_equals_the_walked_circle_also_past_a_semicircle(depth: float) -> None:
    """Independent: the circle through both tips and the crown, walked tip to tip."""
    radius = (20**2 + depth**2) / (2 * depth)
    centre = depth - radius
    half = math.atan2(20, -centre)
    length = walked(lambda a: (radius * math.sin(a), centre + radius * math.cos(a)), -half, half)
    assert geometry.circle_arc(40, depth).length_mm == pytest.approx(length, rel=1e-7)


@pytest.mark.parametrize("ratio", [1e-6, 5e-5, 9.9e-5, 1.01e-4, 1e-3])
def test_the_series_for_flat_spines_meets_the_circle(ratio: float) -> None:
    """x / sin x, x half the turning angle, is exact in floating point where R·φ is not."""
    x = 2 * math.atan(2 * ratio)
    assert geometry.circle_arc(50, 50 * ratio).length_mm == pytest.approx(
        50 * x / math.sin(x), rel=2e-13
    )


def test_a_flat_spine_is_its_chord() -> None:
    arc = geometry.circle_arc(40, 0)
    assert (arc.length_mm, arc.turn_deg) == (40, 0)
    assert arc.radius_mm == math.inf


def test_radius_of_a_nearly_flat_spine_means_nothing() -> None:
    """c = 50, h = 1.5 ± 0.25 gives a radius ± 35: why sheets draw from chord and depth."""
    radii = [geometry.circle_arc(50, depth).radius_mm for depth in (1.25, 1.75)]
    assert (radii[0] - radii[1]) / 2 == pytest.approx(35, abs=1)


def test_a_fallen_in_spine_gets_shorter_outwards() -> None:
    """Worked figure: 50 wide, 3 fallen in: girth 50.48, 50.26 at 0.45 above it."""
    arc = geometry.circle_arc(50, -3)
    assert arc.length_mm == pytest.approx(50.48, abs=0.005)
    assert geometry.layer_mm(arc.length_mm, arc.turn_deg, 0.45, 0) == pytest.approx(
        50.26, abs=0.006
    )
    assert geometry.circle_arc(50, 3).length_mm == arc.length_mm


@pytest.mark.parametrize("chord", [0.0, -3.0, math.nan])
def test_a_spine_without_width_is_refused(chord: float) -> None:
    with pytest.raises(RecordError, match="more than 0 mm"):
        geometry.circle_arc(chord, 5)


# Other shapes over the same chord and depth


def test_chord_and_depth_do_not_fix_the_girth() -> None:
    spread = geometry.girth_spread(40, 8)
    assert list(spread) == ["parabola", "circle", "ellipse", "half ellipse"]
    assert list(spread.values()) == pytest.approx([43.93, 44.14, 44.79, 46.03], abs=0.005)
    assert list(spread.values()) == sorted(spread.values())


def test_a_deep_round_has_no_flat_edged_ellipse() -> None:
    assert "ellipse" not in geometry.girth_spread(40, 18)
    with pytest.raises(
        RecordError, match=r"needs more than 60\.9° and less than 180°; "
    ) as refusal:
        geometry.ellipse_mm(40, 18, 60)
    (problem,) = refusal.value.problems
    assert (problem.field, problem.found) == ("spine.edge_angle", "is 60°")
    assert problem.allowed == "more than 60.9° and less than 180°"


def test_ellipse_against_published_elliptic_integrals() -> None:
    """Abramowitz & Stegun, table 17.1: E(0.75) = 1.211056028, E(0.5) = 1.350643881; E(0) = π/2."""
    assert geometry.ellipse_mm(2, 0.5, 90) == pytest.approx(2 * 1.211056028, abs=1e-8)
    assert geometry.ellipse_mm(2, math.sqrt(0.5), 90) == pytest.approx(2 * 1.350643881, abs=1e-8)
    assert geometry.ellipse_mm(2, 1, 90) == pytest.approx(math.pi, rel=1e-12)
    assert geometry.ellipse_mm(40, 10, 90) == pytest.approx(48.442241, abs=1e-6)
    assert geometry.ellipse_mm(40, 8, 60) == pytest.approx(44.78569, abs=1e-5)


@pytest.mark.parametrize(
    ("chord", "depth", "edge"), [(40, 8, 45), (40, 8, 60), (40, 8, 80), (25, 3, 30), (30, 12, 75)]
)
def test_ellipse_equals_one_found_and_walked_another_way(
    chord: float, depth: float, edge: float
) -> None:
    wide, high = through_crown(chord, depth, edge)
    end = math.asin(chord / 2 / wide)
    length = walked(lambda t: (wide * math.sin(t), high * math.cos(t)), -end, end)
    assert geometry.ellipse_mm(chord, depth, edge) == pytest.approx(length, rel=1e-7)


def test_parabola_equals_the_walked_parabola() -> None:
    assert geometry.parabola_mm(40, 8) == pytest.approx(43.929203, abs=1e-6)
    for depth in (1e-3, 0.5, 3, 20):
        length = walked(lambda x, d=depth: (x, d * (1 - x * x / 400)), -20, 20)  # type: ignore[misc]
        assert geometry.parabola_mm(40, depth) == pytest.approx(length, rel=1e-7)


# From girth and from swell


@pytest.mark.parametrize(
    ("swell", "shoulder", "turn", "depth"),
    [(6, 0, 103.46282, 9.696688), (8, 2, 82.07498, 8.23367)],
)
def test_round_from_swell(swell: float, shoulder: float, turn: float, depth: float) -> None:
    """Worked figures for a block 40 thick at its leaves, its folds thicker by the swell."""
    found = geometry.turn_from_girth(40 + swell, 40 + 2 * shoulder)
    assert found == pytest.approx(turn, abs=1e-5)
    assert geometry.depth_mm(40 + 2 * shoulder, found) == pytest.approx(depth, abs=1e-5)


@pytest.mark.parametrize("turn", [0.5, 5, 45, 120, 180, 250, 340])
def test_turn_is_found_again_from_girth_and_chord(turn: float) -> None:
    half = math.radians(turn) / 2
    assert geometry.turn_from_girth(60 * half, 60 * math.sin(half)) == pytest.approx(turn, abs=1e-5)


def test_a_girth_just_short_of_the_chord_is_flat_and_a_shorter_one_refused() -> None:
    assert geometry.turn_from_girth(40, 40) == 0
    assert geometry.turn_from_girth(39.2, 40) == 0
    with pytest.raises(RecordError, match=r"38\.0 mm, is less than its width, 40\.0 mm") as refusal:
        geometry.turn_from_girth(38, 40)
    (problem,) = refusal.value.problems
    assert (problem.field, problem.allowed) == (
        "spine.girth_head|spine.girth_tail",
        "40.0 mm or more",
    )


def test_drawn_arcs_keep_to_the_circle() -> None:
    for depth in (8, 26, -3):
        arc, points = geometry.circle_arc(40, depth), geometry.arc_points(40, depth)
        assert points[0] == pytest.approx((0, 0), abs=1e-9)
        assert points[-1] == pytest.approx((40, 0), abs=1e-9)
        assert max((y for _, y in points), key=abs) == pytest.approx(depth, abs=0.005)
        centre = (20, depth - math.copysign(arc.radius_mm, depth))
        for a, b in pairwise(points):
            middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
            assert arc.radius_mm - math.dist(centre, middle) <= 0.0051
    assert geometry.arc_points(40, 0) == ((0, 0), (40, 0))


def test_a_round_too_shallow_to_see_is_still_an_arc() -> None:
    """A depth no rule can read has a radius of kilometres; its points lie on the chord."""
    for depth in (1e-6, 1e-12, 1e-38):
        points = geometry.arc_points(40, depth)
        assert points[0][0] == pytest.approx(0)
        assert points[-1][0] == pytest.approx(40)
        assert all(y == pytest.approx(0, abs=2e-6) for _, y in points)


# Layers


def test_layers_on_a_round_spine() -> None:
    """Worked figures: radius 29, 87.20564°, papers of 0.1 and then 0.3 mm."""
    arc = geometry.circle_arc(40, 8)
    first = geometry.layer_mm(arc.length_mm, arc.turn_deg, 0, 0.1)
    second = geometry.layer_mm(arc.length_mm, arc.turn_deg, 0.1, 0.3)
    assert (first, second) == pytest.approx((44.214842, 44.519247), abs=1e-6)


def test_layer_on_a_girth_read_by_strip() -> None:
    """Worked figure: strip 46.0 over (40, 8), lying on 0.30, 0.10 thick → 46.457."""
    turn = geometry.circle_arc(40, 8).turn_deg
    assert geometry.layer_mm(46.0, turn, 0.30, 0.10, strip_mm=0.1) == pytest.approx(
        46.457, abs=5e-4
    )
    # the strip itself, laid again where it was read, is as long as it was
    assert geometry.layer_mm(46.0, turn, 0.7, 0.1, strip_over_mm=0.7, strip_mm=0.1) == 46.0


def test_the_layer_rule_holds_for_any_convex_shape() -> None:
    """Independent: the offset curve of an ellipse, walked, against girth and turning angle alone."""
    wide, high, end, offset = 23.0, 11.0, 1.1, 0.8

    def offset_curve(t: float) -> tuple[float, float]:
        size = math.hypot(high * math.sin(t), wide * math.cos(t))
        return (
            wide * math.sin(t) + offset * high * math.sin(t) / size,
            high * math.cos(t) + offset * wide * math.cos(t) / size,
        )

    girth = walked(lambda t: (wide * math.sin(t), high * math.cos(t)), -end, end)
    turn = 2 * math.degrees(math.atan(high / wide * math.tan(end)))
    assert geometry.layer_mm(girth, turn, offset, 0) == pytest.approx(
        walked(offset_curve, -end, end), rel=1e-7
    )


# Uncertainty


@pytest.mark.parametrize(("chord", "depth", "wanted"), [(40, 8, 0.390), (30, 3, 0.319)])
def test_uncertainty_of_the_girth_by_monte_carlo(chord: float, depth: float, wanted: float) -> None:
    """JCGM 100 against JCGM 101: 40,000 draws of both readings, each ± 0.5."""
    draw = random.Random(2026)
    girths = [
        geometry.circle_arc(
            chord + draw.uniform(-0.5, 0.5), depth + draw.uniform(-0.5, 0.5)
        ).length_mm
        for _ in range(40_000)
    ]
    found = geometry.girth_error_mm(chord, depth, 0.5)
    assert found == pytest.approx(wanted, abs=5e-4)
    assert found == pytest.approx(statistics.stdev(girths), rel=0.015)


@pytest.mark.parametrize("depth", [1e-6, 0.003, 0.0049, 0.0051, 0.05, 1, 8, 30, -3])
def test_uncertainty_uses_the_true_slopes(depth: float) -> None:
    """Independent: slopes by differences of x / sin x, never of R·φ."""

    def girth(chord: float, deep: float) -> float:
        x = 2 * math.atan2(2 * deep, chord)
        return chord * x / math.sin(x) if x else chord

    step = 1e-4
    slopes = (
        (girth(50 + step, depth) - girth(50 - step, depth)) / (2 * step),
        (girth(50, depth + step) - girth(50, depth - step)) / (2 * step),
    )
    assert geometry.girth_error_mm(50, depth, 0.5) == pytest.approx(
        0.5 / math.sqrt(3) * math.hypot(*slopes), rel=1e-6
    )


# Tapers


def test_cone_between_a_head_of_50_and_a_tail_of_55() -> None:
    sector = geometry.cone_sector(50, 55, 240)
    assert (sector.head_radius_mm, sector.tail_radius_mm) == pytest.approx((2400, 2640), abs=1e-9)
    assert geometry.taper_bow_mm(50, 55, 240) == pytest.approx(0.1432, abs=5e-5)


def test_a_slight_taper_is_a_trapezoid_and_a_strong_one_a_sector() -> None:
    assert geometry.tapered_outline(50, 55, 240) == ((-25, 0), (25, 0), (27.5, 240), (-27.5, 240))
    assert geometry.taper_bow_mm(50, 62, 240) > geometry.TRAPEZOID_BOW_MM
    assert len(geometry.tapered_outline(50, 62, 240)) > 4


@pytest.mark.parametrize(("head", "tail"), [(50, 62), (62, 50)])
def test_a_sector_keeps_girths_height_and_middle(head: float, tail: float) -> None:
    """Independent: the drawn outline is walked and its middle measured."""
    outline = geometry.tapered_outline(head, tail, 240)
    half = next(i for i, (a, b) in enumerate(pairwise(outline), 1) if math.dist(a, b) > 200)
    across_head, across_tail = outline[:half], outline[half:]
    for edge, girth in ((across_head, head), (across_tail, tail)):
        length = math.fsum(math.dist(a, b) for a, b in pairwise(edge))
        assert length == pytest.approx(girth, abs=0.01)
    assert math.dist(outline[0], outline[-1]) == pytest.approx(240, abs=1e-9)
    assert math.dist(outline[half - 1], outline[half]) == pytest.approx(240, abs=1e-9)
    sector = geometry.cone_sector(head, tail, 240)
    drop = sector.head_radius_mm * (1 - math.cos(math.radians(sector.turn_deg) / 2))
    bow = drop * (1 if tail > head else -1)
    assert outline[0] == pytest.approx((-outline[half - 1][0], -bow), abs=1e-9)
    for edge, height in ((across_head, 0), (across_tail, 240)):
        assert [x for x, _ in edge] == pytest.approx([-x for x, _ in reversed(edge)])
        assert min((abs(x), y) for x, y in edge)[1] == pytest.approx(height, abs=0.006)


@pytest.mark.parametrize(("head", "tail"), [(50.0, 55.0), (40.0, 60.0), (60.0, 40.0)])
def test_places_on_a_tapered_piece_lie_on_its_outline_and_on_straight_folds(
    head: float, tail: float
) -> None:
    """Both edges' ends are corners of the outline; a fold from head to tail is straight, 240 long."""
    outline = geometry.tapered_outline(head, tail, 240)
    for share in (0.0, 1.0):
        for down in (0.0, 240.0):
            place = geometry.tapered_point(head, tail, 240, share, down)
            assert min(math.dist(place, corner) for corner in outline) < 1e-9
    top, middle, low = (geometry.tapered_point(head, tail, 240, 0.2, y) for y in (0, 120, 240))
    assert math.dist(top, middle) + math.dist(middle, low) == pytest.approx(math.dist(top, low))
    assert math.dist(top, low) == pytest.approx(240, abs=0.02)
