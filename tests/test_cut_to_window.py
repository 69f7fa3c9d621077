"""Many marks cut to the window of one sheet."""

from __future__ import annotations

from typing import Any

import pytest
import shapely

from patterns.model.drawing import Area, Circle, Line, LineKind, Mark
from patterns.sketch.marks import Box, box_of, clipped

WINDOW = Box(0.0, 0.0, 10.0, 10.0)


def cut(*marks: Mark) -> tuple[Mark, ...]:
    """Return what the window leaves."""
    return clipped([(mark, box_of(mark)) for mark in marks], WINDOW)


def test_what_is_left_stands_in_the_order_of_the_marks() -> None:
    """A line cut in two, one that only its box brings near, an area, and one that lies whole."""
    comb = Line(LineKind.CUT, ((2.0, -5.0), (2.0, 5.0), (-5.0, 5.0), (-5.0, 8.0), (4.0, 8.0)))
    beside = Line(LineKind.FRAME, ((-9.0, 4.0), (4.0, -9.0)))
    area = Area(LineKind.OUTLINE, ((8.0, 8.0), (12.0, 8.0), (12.0, 9.0), (8.0, 9.0)), 0.5)
    whole = Circle(LineKind.HOLE, (5.0, 5.0), 1.0)
    first, second, third, fourth = cut(comb, beside, area, whole)
    assert isinstance(first, Line)
    assert isinstance(second, Line)
    assert isinstance(third, Area)
    assert {first.points, second.points} == {
        ((2.0, 0.0), (2.0, 5.0), (0.0, 5.0)),
        ((0.0, 8.0), (4.0, 8.0)),
    }
    assert shapely.Polygon(third.outline).equals(shapely.box(8.0, 8.0, 10.0, 9.0))
    assert third.grey == 0.5
    assert fourth is whole


def test_a_closed_line_is_cut_with_its_last_side() -> None:
    """The side from the last point to the first is a side like any other."""
    ring = Line(LineKind.CUT, ((-5.0, 2.0), (-5.0, -5.0), (20.0, -5.0), (20.0, 2.0)), closed=True)
    (left,) = cut(ring)
    assert isinstance(left, Line)
    assert not left.closed
    assert sorted(left.points) == [(0.0, 2.0), (10.0, 2.0)]


def test_thousands_of_lines_are_asked_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """A sheet of a book of two metres crosses thousands of hatching lines: each by itself took a third of its time."""
    asked = 0
    really = shapely.get_parts

    def counted(*given: Any, **named: Any) -> Any:
        nonlocal asked
        asked += 1
        return really(*given, **named)

    monkeypatch.setattr(shapely, "get_parts", counted)
    hatching = [Line(LineKind.PASTED, ((-9.0, k / 100), (k / 100, -9.0))) for k in range(2000)]
    assert len(cut(*hatching)) == 1099
    assert asked < 10
