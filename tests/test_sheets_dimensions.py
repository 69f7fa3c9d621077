"""Dimensions as they are read off a printed page: the figure belongs to the interval it stands at.

A reader looks from the figure to the line beneath it; if that is a shelf, along its stem. What is
found so must be as long as the figure says. Nothing of this shares code with what places words.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from itertools import pairwise
from math import dist

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patterns.commands.demo import orders
from patterns.drafting.job import draft
from patterns.model.drawing import Area, Line, LineKind, Mark, Point, Words
from patterns.model.piece import Dimension, Piece
from patterns.model.sheet import Sheet
from patterns.sheets import ruler, whole
from patterns.sheets.page import Layout
from patterns.sheets.piece_view import Face, view
from patterns.sketch.marks import box_of
from patterns.stock.paper import parse

ORDERS = {f"{one.record.book.id}-{'+'.join(one.structures)}": one for one in orders()}
FIGURE = re.compile(r"(?<![\d.])\d+\.\d+")
NEAR = 4.0
"""A figure this near a line is taken to stand at it."""


@dataclass(frozen=True)
class Interval:
    """What a dimension line with two heads, or two ticks, measures: level or upright."""

    a: Point
    b: Point

    @property
    def level(self) -> bool:
        return abs(self.a[1] - self.b[1]) < 1e-6

    @property
    def span(self) -> tuple[float, float]:
        axis = 0 if self.level else 1
        return min(self.a[axis], self.b[axis]), max(self.a[axis], self.b[axis])

    @property
    def at(self) -> float:
        return self.a[1] if self.level else self.a[0]

    @property
    def middle(self) -> Point:
        return (self.a[0] + self.b[0]) / 2, (self.a[1] + self.b[1]) / 2


def _straight(marks: Sequence[Mark]) -> Iterator[Line]:
    for mark in marks:
        if isinstance(mark, Line) and mark.kind is LineKind.DIMENSION and len(mark.points) == 2:
            yield mark


def _heads(marks: Sequence[Mark]) -> list[Area]:
    return [
        mark
        for mark in marks
        if isinstance(mark, Area) and mark.kind is LineKind.DIMENSION and len(mark.outline) == 3
    ]


def intervals(marks: Sequence[Mark]) -> list[Interval]:
    """Return the lines that end in a head's tip or in the middle of a slanting tick."""
    tips = [head.outline[0] for head in _heads(marks)]
    ticks = [
        ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        for a, b in (line.points for line in _straight(marks))
        if abs(abs(a[0] - b[0]) - abs(a[1] - b[1])) < 1e-6
    ]
    found = []
    for line in _straight(marks):
        a, b = line.points
        if min(abs(a[0] - b[0]), abs(a[1] - b[1])) > 1e-6:
            continue
        for ends in (tips, ticks):
            if all(any(dist(end, one) < 1e-6 for one in ends) for end in (a, b)):
                found.append(Interval(a, b))
                break
    return found


def others(marks: Sequence[Mark], measured: Sequence[Interval]) -> list[Interval]:
    """Return every other level or upright line of a dimension: shelves, stems, lines drawn out.

    One with a head of its own at one end is no such line: a tile's edge cut its other end off.
    """
    lines = [Interval(*line.points) for line in _straight(marks)]
    known = {(one.a, one.b) for one in measured}
    return [
        one
        for one in lines
        if (one.a, one.b) not in known
        and min(abs(one.a[0] - one.b[0]), abs(one.a[1] - one.b[1])) < 1e-6
        and not any(_headed(one, head) for head in _heads(marks))
    ]


def _headed(line: Interval, head: Area) -> bool:
    """Tell whether a head begins at an end of a line and lies on it."""
    tip, *sides = head.outline
    back = (sum(x for x, _ in sides) / 2, sum(y for _, y in sides) / 2)
    return any(dist(end, tip) < 1e-6 for end in (line.a, line.b)) and (
        dist(line.a, back) + dist(back, line.b) - dist(line.a, line.b) < 1e-6
    )


def read(word: Words, measured: Sequence[Interval], more: Sequence[Interval]) -> list[Interval]:
    """Return every interval that a figure can be read for, by what lies at it."""
    box = box_of(word)
    upright = abs(word.angle_deg - 90) < 1
    low, high = (box.top, box.bottom) if upright else (box.left, box.right)
    upper, lower = (box.left, box.right) if upright else (box.top, box.bottom)
    along = [one for one in (*measured, *more) if one.level != upright]
    beneath = [
        one
        for one in along
        if min(high, one.span[1]) - max(low, one.span[0]) > 0.2 and -0.3 < one.at - lower < NEAR
    ]
    shelves = [
        one
        for one in along
        if one in more
        and min(abs(one.at - upper), abs(one.at - lower)) < 1.5
        and _under(one, low, high)
    ]
    if led := [one for shelf in shelves for one in _followed(shelf, measured, more)]:
        return led
    found = [one for one in beneath if one in measured]
    if not upright and not beneath:
        found += [one for one in measured if not one.level and _beside(word, one)]
    return found


def _under(shelf: Interval, low: float, high: float) -> bool:
    return shelf.span[0] <= low + 0.3 and high - 0.3 <= shelf.span[1]


def _beside(word: Words, line: Interval) -> bool:
    box = box_of(word)
    gap = min(abs(box.left - line.at), abs(box.right - line.at))
    return gap < NEAR and min(box.bottom, line.span[1]) - max(box.top, line.span[0]) > 0.2


def _followed(
    shelf: Interval, measured: Sequence[Interval], more: Sequence[Interval]
) -> list[Interval]:
    """Return what a shelf belongs to: the interval that it draws out, or that its stem ends on.

    None where the line is no shelf.
    """
    along = [one for one in measured if one.level == shelf.level]
    drawn_out = [
        one
        for one in along
        if abs(one.at - shelf.at) < 1e-6
        and min(abs(a - b) for a in one.span for b in shelf.span) < 1e-6
    ]
    ends = [
        (stem.at, end)
        for stem in more
        if stem.level != shelf.level
        and shelf.span[0] - 1e-6 <= stem.at <= shelf.span[1] + 1e-6
        and min(abs(end - shelf.at) for end in stem.span) < 1e-6
        for end in stem.span
        if abs(end - shelf.at) > 1e-6
    ]
    stood_on = [
        one
        for one in along
        for at, end in ends
        if abs(one.at - end) < 1e-6 and one.span[0] + 0.1 < at < one.span[1] - 0.1
    ]
    return drawn_out + stood_on


def misread(marks: Sequence[Mark], factor: float = 1.0) -> list[str]:
    """Return every figure at a dimension line that is not what the line measures."""
    measured = intervals(marks)
    more = others(marks, measured)
    wrong = []
    for word in (mark for mark in marks if isinstance(mark, Words)):
        figures = [float(one) for one in FIGURE.findall(word.text)]
        if not figures:
            continue
        for one in read(word, measured, more):
            long = (one.span[1] - one.span[0]) / factor
            if min(abs(long - figure) for figure in figures) > 0.06:
                wrong.append(f"{word.text!r} at {word.at} stands at an interval of {long:.2f}")
    return wrong


def untold(marks: Sequence[Mark]) -> list[str]:
    """Return every interval that no figure stands at and no tag's line begins on."""
    measured = intervals(marks)
    more = others(marks, measured)
    words = [m for m in marks if isinstance(m, Words) and FIGURE.search(m.text)]
    told = {one for word in words for one in read(word, measured, more)}
    tags = [m.points for m in marks if isinstance(m, Line) and m.kind is LineKind.REFERENCE]
    starts = [point for points in tags if len(points) == 2 for point in points]
    return [
        str(one)
        for one in measured
        if one not in told and not any(dist(one.middle, start) < 1e-6 for start in starts)
    ]


@cache
def pages(name: str, paper: str) -> tuple[Sheet, ...]:
    order = replace(ORDERS[name], paper=parse(paper), full_size="all")
    return whole.sheets(Layout(draft(order).pattern, order.paper, full_size="all"))


@pytest.mark.parametrize("name", ORDERS)
@pytest.mark.parametrize("paper", ["A4", "A0"])
def test_a_figure_is_read_for_what_its_line_measures(name: str, paper: str) -> None:
    """On A4 as it is printed, tiles too, and on A0, where everything stands whole."""
    for sheet in pages(name, paper):
        if sheet.group in ("cutting", "sewing"):
            assert not misread(sheet.drawing.marks), sheet.title


@pytest.mark.parametrize("name", ORDERS)
def test_every_interval_of_a_piece_is_told(name: str) -> None:
    """On A0 no dimension line is without its figure."""
    for sheet in pages(name, "A0"):
        if sheet.group == "cutting":
            assert not untold(sheet.drawing.marks), sheet.title


@pytest.mark.parametrize("name", ORDERS)
def test_a_piece_drawn_small_is_read_so_too(name: str) -> None:
    """What a ruler sheet shows, at its scale."""
    for part in draft(ORDERS[name]).pattern.parts:
        for piece in filter(ruler.plain, part.pieces):
            face = Face(ruler.ruled(piece))
            marks = view(face, face.room(2.0)).marks
            assert not misread(marks, ruler.scale_of(piece).factor), piece.name
            assert not untold(marks), piece.name


def chained(lengths: Sequence[float], side: str) -> Piece:
    """Return a piece with a chain of dimensions at one side, and its whole width and height."""
    ends = [0.0]
    for length in lengths:
        ends.append(ends[-1] + length)
    wide, high = (ends[-1], 60.0) if side in ("head", "tail") else (60.0, ends[-1])
    edge = {"head": 0.0, "tail": high, "left": 0.0, "right": wide}[side]

    def at(along: float) -> Point:
        return (along, edge) if side in ("head", "tail") else (edge, along)

    rows = tuple(
        Dimension(at(a), at(b), side)  # type: ignore[arg-type]
        for a, b in pairwise(ends)
    )
    outline = ((0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high))
    return Piece("p", "s", "m", 0.1, outline, "head-tail", dimensions=rows)


TENTHS = st.integers(3, 400).map(lambda n: n / 10)


@given(st.lists(TENTHS, min_size=1, max_size=9), st.sampled_from(("head", "tail", "left", "right")))
def test_any_chain_is_read_for_what_it_measures(lengths: list[float], side: str) -> None:
    """Lengths from 0.3 to 40 mm beside each other, on every side."""
    face = Face(chained(lengths, side))
    made = view(face, face.room(2.0))
    assert not misread(made.marks)
    assert not untold(made.marks)


def test_a_narrow_joint_is_led_to_its_own_interval() -> None:
    """5.0, 6.4 and 25.0 beside each other: 5.0 stands beyond the end, 6.4 outside on a stem."""
    face = Face(chained([5.0, 6.4, 25.0], "head"))
    footings = {row.text: row.words.footing for row in face.rows}
    assert footings["5.0"] == "before"
    assert footings["25.0"] == "on"
