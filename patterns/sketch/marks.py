"""Boxes, and what can be done to marks as a whole: move, measure, stretch, cut to a window."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Any, NamedTuple

import numpy as np
import shapely

from patterns.model.drawing import Area, Circle, Line, LineKind, Mark, Point, Ring, Words
from patterns.model.lettering import width_mm

ASCENT, DESCENT = 1.12, 0.32
"""Reach of letters above and below the baseline as shares of the capital's height."""
LEADING = 1.6
"""Distance of baselines in a paragraph, as a share of the capital's height."""


class Box(NamedTuple):
    """An upright rectangle in mm; y runs down."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """Extent in x."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Extent in y."""
        return self.bottom - self.top

    @property
    def area(self) -> float:
        """Its surface in square millimetres."""
        return self.width * self.height

    @property
    def middle(self) -> Point:
        """Its centre."""
        return (self.left + self.right) / 2, (self.top + self.bottom) / 2

    def moved(self, dx: float, dy: float) -> Box:
        """Return the box moved by (dx, dy)."""
        return Box(self.left + dx, self.top + dy, self.right + dx, self.bottom + dy)

    def grown(self, by: float) -> Box:
        """Return the box with every side pushed out."""
        return Box(self.left - by, self.top - by, self.right + by, self.bottom + by)

    def away(self, other: Box) -> float:
        """Return how far another box lies from it, 0 where they touch."""
        across = max(other.left - self.right, self.left - other.right, 0.0)
        down = max(other.top - self.bottom, self.top - other.bottom, 0.0)
        return math.hypot(across, down)

    def meets(self, other: Box) -> bool:
        """Tell whether the two share more than an edge."""
        return (
            min(self.right, other.right) - max(self.left, other.left) > 1e-6
            and min(self.bottom, other.bottom) - max(self.top, other.top) > 1e-6
        )

    def holds(self, other: Box) -> bool:
        """Tell whether `other` lies inside."""
        return (
            other.left >= self.left - 1e-6
            and other.top >= self.top - 1e-6
            and other.right <= self.right + 1e-6
            and other.bottom <= self.bottom + 1e-6
        )


class Block:
    """Marks with an extent, its left top corner at (0, 0): something to be set on a page.

    One that is set together from others moves their marks only once, when it is drawn; `late` makes
    the marks of one when they are first asked for.
    """

    __slots__ = ("_late", "_marks", "_parts", "height", "width")

    def __init__(
        self,
        width: float,
        height: float,
        marks: tuple[Mark, ...] = (),
        parts: Sequence[tuple[Block, float, float]] = (),
        late: Callable[[], tuple[Mark, ...]] | None = None,
    ) -> None:
        self.width = width
        self.height = height
        self._marks: tuple[Mark, ...] | None = None if parts or late else marks
        self._parts = parts
        self._late = late

    @property
    def marks(self) -> tuple[Mark, ...]:
        """All marks of it."""
        if self._marks is None:
            self._marks = self._late() if self._late else tuple(self._moved(0.0, 0.0))
        return self._marks

    @property
    def area(self) -> float:
        """Its surface in square millimetres."""
        return self.width * self.height

    def _moved(self, dx: float, dy: float) -> Iterator[Mark]:
        if self._late or self._marks is not None:
            yield from moved(self.marks, dx, dy)
            return
        for block, x, y in self._parts:
            yield from block._moved(dx + x, dy + y)


def around(boxes: Iterable[Box]) -> Box:
    """Return the box round all boxes."""
    every = list(boxes)
    return Box(
        min(b.left for b in every),
        min(b.top for b in every),
        max(b.right for b in every),
        max(b.bottom for b in every),
    )


def words_corners(words: Words) -> tuple[Point, Point, Point, Point]:
    """Return the corners of the rectangle that a line of words fills."""
    start, up, end, down = _level(words)
    turn = math.radians(words.angle_deg)
    cos, sin = math.cos(turn), math.sin(turn)
    x0, y0 = words.at

    def turned(x: float, y: float) -> Point:
        return x0 + x * cos + y * sin, y0 - x * sin + y * cos

    return turned(start, up), turned(end, up), turned(end, down), turned(start, down)


def _level(words: Words) -> tuple[float, float, float, float]:
    """Return left, top, right and bottom of a line of words about its place, before it is turned."""
    width, cap = width_mm(words.text, words.cap_mm, words.bold), words.cap_mm
    start = 0.0 if words.anchor == "start" else -width / 2 if words.anchor == "middle" else -width
    return start, -ASCENT * cap, start + width, DESCENT * cap


def box_of(mark: Mark) -> Box:
    """Return the extent of a mark's geometry, line widths left out."""
    if isinstance(mark, Circle):
        (x, y), r = mark.centre, mark.radius
        return Box(x - r, y - r, x + r, y + r)
    if isinstance(mark, Words):
        if not mark.angle_deg:
            (x, y), (left, top, right, bottom) = mark.at, _level(mark)
            return Box(left + x, top + y, right + x, bottom + y)
        points: Sequence[Point] = words_corners(mark)
    else:
        points = mark.points if isinstance(mark, Line) else mark.outline
    if len(points) == 2:  # most are
        (ax, ay), (bx, by) = points
        return Box(min(ax, bx), min(ay, by), max(ax, bx), max(ay, by))
    xs, ys = zip(*points, strict=True)
    return Box(min(xs), min(ys), max(xs), max(ys))


def upright(mark: Mark) -> tuple[float, float]:
    """Return the top and the bottom of a mark's extent; level words need not be measured for it."""
    if isinstance(mark, Words) and not mark.angle_deg:
        y, cap = mark.at[1], mark.cap_mm
        return y - ASCENT * cap, y + DESCENT * cap
    box = box_of(mark)
    return box.top, box.bottom


def stretched(
    marks: Iterable[Mark], fx: float = 1.0, fy: float = 1.0, dx: float = 0.0, dy: float = 0.0
) -> tuple[Mark, ...]:
    """Return the marks at (x·fx + dx, y·fy + dy); words keep their size, small circles theirs."""
    if fx == fy == 1.0 and dx == dy == 0.0:
        return tuple(marks)

    def to(points: Iterable[Point]) -> tuple[Point, ...]:
        return tuple([(x * fx + dx, y * fy + dy) for x, y in points])

    def one(mark: Mark) -> Mark:
        match mark:
            case Line():
                return Line(mark.kind, to(mark.points), mark.closed)
            case Area():
                return Area(mark.kind, to(mark.outline), mark.grey)
            case Words(at=(x, y)):
                at = x * fx + dx, y * fy + dy
                rest = mark.text, mark.cap_mm, mark.bold, mark.anchor, mark.angle_deg, mark.grey
                return Words(at, *rest)
        if mark.radius <= SYMBOL_MM or fx == fy == 1.0:
            return Circle(mark.kind, to([mark.centre])[0], mark.radius)
        return Line(mark.kind, to(circle(mark.centre, mark.radius)), closed=True)

    return tuple(map(one, marks))


SYMBOL_MM = 3.0
"""Circles up to this radius are signs for a place, larger ones are geometry."""


def moved(marks: Iterable[Mark], dx: float, dy: float) -> tuple[Mark, ...]:
    """Return the marks moved by (dx, dy)."""
    if dx == 0.0 and dy == 0.0:
        return tuple(marks)
    made: list[Mark] = []
    for mark in marks:
        if type(mark) is Line:
            points = mark.points
            if len(points) == 2:  # most are
                (ax, ay), (bx, by) = points
                there: Ring = ((ax + dx, ay + dy), (bx + dx, by + dy))
            else:
                there = tuple([(x + dx, y + dy) for x, y in points])
            made.append(Line(mark.kind, there, mark.closed))
        elif type(mark) is Words:
            x, y = mark.at
            at, turn = (x + dx, y + dy), mark.angle_deg
            made.append(Words(at, mark.text, mark.cap_mm, mark.bold, mark.anchor, turn, mark.grey))
        elif type(mark) is Circle:
            x, y = mark.centre
            made.append(Circle(mark.kind, (x + dx, y + dy), mark.radius))
        elif type(mark) is Area:
            outline = tuple([(x + dx, y + dy) for x, y in mark.outline])
            made.append(Area(mark.kind, outline, mark.grey))
    return tuple(made)


def turned(marks: Iterable[Mark]) -> tuple[Mark, ...]:
    """Return the marks turned a quarter about (0, 0), so that what ran right runs up."""

    def to(point: Point) -> Point:
        return point[1], -point[0]

    def one(mark: Mark) -> Mark:
        match mark:
            case Line():
                return Line(mark.kind, tuple(map(to, mark.points)), mark.closed)
            case Area():
                return Area(mark.kind, tuple(map(to, mark.outline)), mark.grey)
            case Words():
                turn = mark.angle_deg + 90.0
                rest = mark.text, mark.cap_mm, mark.bold, mark.anchor, turn, mark.grey
                return Words(to(mark.at), *rest)
        return Circle(mark.kind, to(mark.centre), mark.radius)

    return tuple(map(one, marks))


def circle(centre: Point, radius: float) -> tuple[Point, ...]:
    """Return a circle as points, the chords at most 0.005 mm inside it."""
    n = max(16, math.ceil(math.pi / math.acos(1 - min(0.005 / radius, 1))))
    turns = [2 * math.pi * i / n for i in range(n)]
    return tuple(
        (centre[0] + radius * math.cos(t), centre[1] + radius * math.sin(t)) for t in turns
    )


def rectangle(kind: LineKind, box: Box) -> Line:
    """Return a box as a closed line."""
    return Line(kind, corners(box), closed=True)


def corners(box: Box) -> tuple[Point, ...]:
    """Return the four corners of a box, from the left top one."""
    return (
        (box.left, box.top),
        (box.right, box.top),
        (box.right, box.bottom),
        (box.left, box.bottom),
    )


def clipped(marks: Iterable[tuple[Mark, Box]], window: Box) -> tuple[Mark, ...]:
    """Return what of marks, given with their boxes, lies in the window.

    Lines and areas are cut, words are whole or not there at all; a circle that the edge cuts becomes
    an arc of short lines.
    """
    kept: list[tuple[Mark, ...]] = []
    crossed: list[Line | Area] = []
    homes: list[int] = []
    for mark, box in marks:
        if window.holds(box):
            kept.append((mark,))
        elif not isinstance(mark, Words) and _touches(window, box):
            if isinstance(mark, Circle):
                mark = Line(mark.kind, circle(mark.centre, mark.radius), closed=True)
            crossed.append(mark)
            homes.append(len(kept))
            kept.append(())
    for home, cut in zip(homes, _cut(crossed, window), strict=True):
        kept[home] = cut
    return tuple(mark for each in kept for mark in each)


def _cut(marks: Sequence[Line | Area], window: Box) -> list[tuple[Mark, ...]]:
    """Return what a window leaves of each mark; all are asked at once, as a sheet may cross thousands."""
    made: list[list[Mark]] = [[] for _ in marks]
    pane = shapely.box(window.left, window.top, window.right, window.bottom)
    lines = [(home, mark) for home, mark in enumerate(marks) if isinstance(mark, Line)]
    for k, run in _owned_runs(shapely.intersection(_as_lines([one for _, one in lines]), pane)):
        home, line = lines[k]
        made[home].append(Line(line.kind, run))
    for home, mark in enumerate(marks):
        if isinstance(mark, Area):
            left = shapely.intersection(shapely.Polygon(mark.outline), pane)
            made[home] += [
                replace(mark, outline=tuple(part.exterior.coords[:-1]))
                for part in shapely.get_parts(left)
                if part.geom_type == "Polygon" and part.area > 1e-9
            ]
    return [tuple(each) for each in made]


def _as_lines(marks: Sequence[Line]) -> Any:
    """Return line marks as an array of shapely's, closed lines with their last side."""
    if not marks:
        return np.array([], dtype=object)
    rings = [(*mark.points, mark.points[0]) if mark.closed else mark.points for mark in marks]
    owner = np.repeat(np.arange(len(rings)), [len(ring) for ring in rings])
    return shapely.linestrings([point for ring in rings for point in ring], indices=owner)


def _touches(one: Box, other: Box) -> bool:
    return not (
        one.right < other.left
        or other.right < one.left
        or one.bottom < other.top
        or other.bottom < one.top
    )


def runs(cut: Any) -> list[tuple[Point, ...]]:
    """Return the runs of points in what intersections left, only those that have length.

    `cut` is one geometry or an array of them.
    """
    return [run for _, run in _owned_runs(cut)]


def _owned_runs(cut: Any) -> Iterator[tuple[int, tuple[Point, ...]]]:
    """Yield each run with the place in the array of the geometry that it is a part of."""
    several = shapely.get_type_id(cut) == shapely.GeometryType.MULTILINESTRING
    merged = np.where(several, shapely.line_merge(cut), cut)
    parts, homes = shapely.get_parts(merged, return_index=True)
    kinds = shapely.get_type_id(parts)
    lines = (kinds == LINE) | (kinds == RING)
    lines &= shapely.length(parts) > 1e-6
    points, owner = shapely.get_coordinates(parts[lines], return_index=True)
    ends = np.searchsorted(owner, np.arange(lines.sum() + 1))
    every = [(x, y) for x, y in points.tolist()]
    for home, (a, b) in zip(homes[lines].tolist(), pairwise(ends.tolist()), strict=True):
        yield home, tuple(every[a:b])


LINE, RING = shapely.GeometryType.LINESTRING, shapely.GeometryType.LINEARRING


def length_mm(points: Sequence[Point]) -> float:
    """Return the length of a run of points."""
    return sum(math.dist(a, b) for a, b in pairwise(points))
