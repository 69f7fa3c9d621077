"""Wound tubes and their fans, against published proportions and by folding them up again."""

import math

import pytest

from patterns.formulas import tubes
from patterns.model.drawing import Point


def mirrored(point: Point, line: tuple[Point, Point]) -> Point:
    """The point's image across a crease."""
    (x, y), ((x1, y1), (x2, y2)) = point, line
    dx, dy = x2 - x1, y2 - y1
    along = ((x - x1) * dx + (y - y1) * dy) / (dx * dx + dy * dy)
    return 2 * (x1 + along * dx) - x, 2 * (y1 + along * dy) - y


def area(ring: tuple[Point, ...]) -> float:
    return abs(
        math.fsum(
            a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)
        )
        / 2
    )


def crease_mm(number: int, panel: float, thickness: float) -> float:
    """Where a crease of a straight strip lies, from its first edge."""
    fan = tubes.tube_fan(panel, panel, 200, number + 1, thickness)
    return fan.creases[number - 1][0][0]


def strip_mm(panels: int, panel: float, thickness: float, lap: float = 0.0) -> float:
    """How wide a straight strip is."""
    fan = tubes.tube_fan(panel, panel, 200, panels, thickness, lap)
    return max(x for x, _ in fan.outline)


def test_creases_and_strips_of_three_and_four_panels() -> None:
    """Worked figures: panels of 44 in paper of 0.1."""
    assert [crease_mm(k, 44, 0.1) for k in (1, 2)] == pytest.approx([44.0785, 88.3142], abs=5e-5)
    assert strip_mm(3, 44, 0.1) == pytest.approx(132.471239, abs=1e-6)
    assert strip_mm(4, 44, 0.1) == pytest.approx(176.942478, abs=1e-6)


def test_published_proportions() -> None:
    """Three thicknesses: 3 × the spine (Roberts & Etherington, "tube"); four: slightly over 4 ×
    (Adam, Practical Bookbinding, 1903, ch. VIII). Worked: w 51.1, t 0.12 → 3.011, 4.022."""
    three, four = (strip_mm(n, 51.1, 0.12) / 51.1 for n in (3, 4))
    assert (three, four) == pytest.approx((3.011, 4.022), abs=5e-4)
    assert round(three, 1) == 3.0
    assert 4 < four < 4.1


def test_two_layers_with_a_lap() -> None:
    """Stated: creases w + πt/4 and 2w + πt, strip 2w + 3πt/2 + lap."""
    w, t, lap = 44, 0.2, 10
    assert strip_mm(2, w, t, lap) == pytest.approx(2 * w + 1.5 * math.pi * t + lap)
    assert crease_mm(2, w, t) == pytest.approx(2 * w + math.pi * t)


def test_the_strip_wound_turn_by_turn() -> None:
    """Independent: wind it, half turns round 1, 2, 3 … papers, each along the paper's middle."""
    w, t = 51.1, 0.4
    used, crease = 0.0, []
    for papers_inside in range(1, 6):
        used += w
        # the fold's middle runs on a half circle across the papers it closes over
        turn = math.pi * (papers_inside * t) / 2
        crease.append(used + turn / 2)
        used += turn
    assert [crease_mm(k, w, t) for k in range(1, 6)] == pytest.approx(crease)
    assert strip_mm(6, w, t) == pytest.approx(used + w)


@pytest.mark.parametrize(
    ("head", "tail", "height", "panels", "thickness"),
    [(50, 55, 240, 3, 0.1), (55, 50, 240, 4, 0.12), (20, 31, 150, 5, 0.3), (44, 44, 200, 3, 0.2)],
)
def test_each_panel_folds_onto_the_one_before(
    head: float, tail: float, height: float, panels: int, thickness: float
) -> None:
    fan = tubes.tube_fan(head, tail, height, panels, thickness)
    assert (len(fan.panels), len(fan.creases)) == (panels, panels - 1)
    for before, after, crease in zip(fan.panels, fan.panels[1:], fan.creases, strict=False):
        a, b, c, d = (mirrored(point, crease) for point in after)
        for found, wanted in zip((b, a, d, c), before, strict=True):
            assert found == pytest.approx(wanted, abs=1e-9)
    for a, b, c, d in fan.panels:
        assert math.dist(a, b) == pytest.approx(head, abs=1e-9)
        assert math.dist(c, d) == pytest.approx(tail, abs=1e-9)
        middles = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2), ((c[0] + d[0]) / 2, (c[1] + d[1]) / 2)
        assert math.dist(*middles) == pytest.approx(height, abs=1e-9)
    leg = math.dist(*fan.creases[0])
    bands = math.pi * thickness * panels * (panels - 1) / 4
    whole = panels * (head + tail) / 2 * height + bands * leg
    assert area(fan.outline) == pytest.approx(whole, rel=1e-12)
    assert min(x for x, _ in fan.outline) == 0
    assert min(y for _, y in fan.outline) == 0


def test_a_straight_tube_is_a_rectangle_with_the_wound_creases() -> None:
    fan = tubes.tube_fan(44, 44, 200, 3, 0.1)
    assert max(x for x, _ in fan.outline) == pytest.approx(132.471239, abs=1e-6)
    assert max(y for _, y in fan.outline) == pytest.approx(200)
    assert [crease[0][0] for crease in fan.creases] == pytest.approx([44.0785, 88.3142], abs=5e-5)
    assert len(tubes.tube_fan(44, 44, 200, 2, 0.1, lap_mm=10).creases) == 2


def test_the_fan_from_50_to_55() -> None:
    """Worked figures: 240 high, three panels: ψ 1.1936°; the arc through the head corners bows 1.17.

    The corners themselves are joined by straight lines and rise less: 1.04.
    """
    fan = tubes.tube_fan(50, 55, 240, 3, 0)
    left, right = fan.creases
    angles = [math.atan2(b[1] - a[1], b[0] - a[0]) for a, b in (left, right)]
    assert math.degrees(angles[0] - angles[1]) == pytest.approx(1.1936, abs=5e-5)
    first, second, last = fan.panels[0][0], fan.panels[0][1], fan.panels[2][1]
    rise = second[1] - first[1]
    assert rise == pytest.approx(1.04, abs=0.005)
    # circle through three corners, by its chord and one point on it
    half, x = math.dist(first, last) / 2, second[0] - first[0]
    radius = math.hypot(half, (x * (2 * half - x) - rise**2) / (2 * rise))
    assert radius - math.sqrt(radius**2 - half**2) == pytest.approx(1.17, abs=0.005)


def test_how_far_a_straight_strip_would_miss() -> None:
    """Independent: fold a straight strip over a tapered spine; each fold tilts the next panel."""
    tilt = 2 * math.asin(2.5 / math.hypot(240, 2.5))
    miss = 52.5 * math.sin(2 * tilt)
    assert tubes.out_of_square_mm(50, 55, 240) == pytest.approx(miss, rel=1e-3)
    assert tubes.out_of_square_mm(50, 50.4, 240) < 0.25
