"""The kit of the diagrams: scales, hatching and arrows, held against plain geometry."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely.affinity import rotate

from patterns.model.drawing import Line, LineKind
from patterns.sketch import arrows, hatching, scales
from patterns.sketch.scales import SCALES, Scale, largest

LENGTHS = st.floats(1, 2000)


@given(LENGTHS, LENGTHS, LENGTHS, LENGTHS)
def test_no_larger_scale_would_fit(wide: float, across: float, high: float, down: float) -> None:
    """The chosen scale fits both rooms, and the next larger one on the list does not."""
    found = largest([(wide, across), (high, down)], SCALES[0])
    if found is None:
        assert wide / 100 > across or high / 100 > down
        return
    assert wide * found.drawn / found.real <= across + 1e-9
    assert high * found.drawn / found.real <= down + 1e-9
    larger = [one for one in SCALES if one.factor > found.factor]
    if larger:
        next_up = min(larger, key=lambda one: one.factor)
        assert wide * next_up.factor > across or high * next_up.factor > down


def test_a_scale_is_kept_within_its_limits_and_read_in_whole_numbers() -> None:
    """A small thing is drawn no larger than asked; one side of the ratio is always 1."""
    assert str(largest([(1.0, 1000.0)], Scale(6))) == "6:1"
    assert largest([(1000.0, 1.0)], least=scales.REDUCED[0]) is None
    assert all(1 in (one.drawn, one.real) for one in SCALES)
    assert [one.factor for one in SCALES] == sorted((o.factor for o in SCALES), reverse=True)


@given(st.floats(20, 200), st.floats(20, 200), st.floats(1, 6))
def test_hatching_covers_its_region_evenly(wide: float, high: float, pitch: float) -> None:
    """Lines a pitch apart: their whole length is area ÷ pitch, but for the edges; none leaves the region."""
    region = shapely.box(5, 7, 5 + wide, 7 + high)
    lines = [shapely.LineString(line.points) for line in hatching.hatch(region, pitch)]
    total = sum(line.length for line in lines)
    assert total == pytest.approx(wide * high / pitch, abs=2.1 * math.hypot(wide, high))
    assert all(line.within(region.buffer(1e-6)) for line in lines)
    for line in lines:
        (x1, y1), (x2, y2) = line.coords
        assert abs(x2 - x1) == pytest.approx(abs(y2 - y1))


@given(st.floats(1, 150), st.floats(1, 8), st.floats(1, 4))
def test_paste_between_two_layers_stays_between_them(
    length: float, height: float, pitch: float
) -> None:
    """Every stroke leans at 45° and ends on an edge of the band."""
    for line in hatching.paste(10.0, 10.0 + length, 20.0, 20.0 + height, pitch):
        assert line.kind is LineKind.PASTED
        (x1, y1), (x2, y2) = line.points
        assert abs(x2 - x1) == pytest.approx(abs(y1 - y2))
        assert min(x1, x2) >= 10 - 1e-9
        assert max(x1, x2) <= 10 + length + 1e-9
        assert min(y1, y2) >= 20 - 1e-9
        assert max(y1, y2) <= 20 + height + 1e-9
        cut_short = min(x1, x2) <= 10 + 1e-9 or max(x1, x2) >= 10 + length - 1e-9
        assert cut_short or abs(y1 - y2) == pytest.approx(height)


@given(st.floats(-100, 100), st.floats(-100, 100))
def test_a_head_lies_behind_its_tip(x: float, y: float) -> None:
    """The tip is where it is asked for, the two other corners the head's length back along the line."""
    if math.hypot(x, y) < 1:
        return
    line, head = arrows.arrow(LineKind.GRAIN, (0.0, 0.0), (x, y))
    assert isinstance(line, Line)
    assert line.points == ((0.0, 0.0), (x, y))
    tip, *sides = head.outline  # type: ignore[union-attr]
    assert tip == (x, y)
    for corner in sides:
        along = ((x - corner[0]) * x + (y - corner[1]) * y) / math.hypot(x, y)
        assert along == pytest.approx(arrows.HEAD_MM)


@pytest.mark.parametrize("turn", [0.0, 13.0, 45.1])
def test_hatching_is_what_shapely_leaves_of_each_line(turn: float) -> None:
    """Two parts, one of them with a hole, turned: as many strokes and as long as shapely cuts them."""
    ring = shapely.box(0.3, 0.2, 60.1, 40.7).difference(shapely.box(10.0, 11.0, 31.0, 29.5))
    region = rotate(shapely.union_all([ring, shapely.box(70.0, 5.0, 81.3, 77.7)]), turn)
    strokes = shapely.linestrings([line.points for line in hatching.hatch(region, 2.0)])
    left, top, right, bottom = region.bounds
    step = 2.0 * 2**0.5
    every = [
        shapely.LineString([(i * step - bottom, bottom), (i * step - top, top)])
        for i in range(int((left + top) // step), int((right + bottom) // step) + 2)
    ]
    cut = shapely.get_parts(shapely.intersection(every, region))
    cut = cut[(shapely.get_type_id(cut) == 1) & (shapely.length(cut) > 1e-6)]
    assert len(strokes) == len(cut)
    assert np.allclose(sorted(shapely.length(strokes)), sorted(shapely.length(cut)))
    assert shapely.covers(region.buffer(1e-9), strokes).all()
