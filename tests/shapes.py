"""Shapes and labels as the readers of tests give them back, in mm from the top left, y down."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import dist

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Shape:
    """One painted outline: its corners (of a curve, points along it) and its pen."""

    points: tuple[Point, ...]
    closed: bool = False
    curved: bool = False
    filled: bool = False
    grey: float = 0.0
    width_mm: float = 0.0
    dashes_mm: tuple[float, ...] = ()
    kind: str = ""
    """The group it stands in; PDF has none."""

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Least x, least y, greatest x, greatest y of the corners."""
        xs, ys = zip(*self.points, strict=True)
        return min(xs), min(ys), max(xs), max(ys)

    @property
    def circle(self) -> tuple[float, float, float] | None:
        """Centre and radius, when it is a closed curve whose corners lie about one centre."""
        left, top, right, bottom = self.box
        x, y, r = (left + right) / 2, (top + bottom) / 2, (right - left) / 2
        round_ = all(abs(dist((x, y), point) - r) < 0.005 for point in self.points)
        return (x, y, r) if self.curved and self.closed and round_ else None

    @property
    def length_mm(self) -> float:
        """Length along its corners."""
        return sum(map(dist, self.points, self.points[1:]))


@dataclass(frozen=True, slots=True)
class Label:
    """One line of words: where its baseline begins, its type size and its turn (anticlockwise)."""

    at: Point
    text: str
    size_mm: float
    angle_deg: float = 0.0
    bold: bool = False
    grey: float = 0.0
    length_mm: float | None = None


def bars(shapes: Iterable[Shape]) -> list[tuple[Point, Point]]:
    """Return every heavy straight line of two points that is 100 mm long within 0.05."""
    return [
        (s.points[0], s.points[1])
        for s in shapes
        if len(s.points) == 2 and abs(dist(*s.points) - 100) < 0.05 and s.width_mm > 0.3
    ]


def unmatched(some: Iterable[Shape], others: Iterable[Shape], tolerance_mm: float) -> list[Shape]:
    """Return what is in one set of shapes and not in the other, pen and corners compared.

    Each shape is matched once; corners may lie `tolerance_mm` apart in x and in y.
    """
    left, rest = list(others), []
    for shape in some:
        twin = next((i for i, other in enumerate(left) if _same(shape, other, tolerance_mm)), None)
        if twin is None:
            rest.append(shape)
        else:
            del left[twin]
    return rest + left


def _same(a: Shape, b: Shape, tolerance_mm: float) -> bool:
    pens = [(*s.dashes_mm, s.grey * 0.1, s.width_mm) for s in (a, b)]
    if (a.closed, a.filled, a.curved, len(pens[0])) != (b.closed, b.filled, b.curved, len(pens[1])):
        return False
    if any(abs(p - q) > 0.002 for p, q in zip(*pens, strict=True)):
        return False
    if a.curved:  # by centre and half width: cairo draws a circle by two arcs, 2 % flat at the top
        (al, at, ar, ab), (bl, bt, br, bb) = a.box, b.box
        halves = ((al + ar, bl + br), (at + ab, bt + bb), (ar - al, br - bl))
        return all(abs(p - q) / 2 <= tolerance_mm for p, q in halves)
    if len(a.points) != len(b.points):
        return False
    turns = _rings(b.points) if a.closed else (b.points,)  # cairo starts a rectangle elsewhere
    return any(_near(a.points, points, tolerance_mm) for points in turns)


def _rings(points: tuple[Point, ...]) -> Iterable[tuple[Point, ...]]:
    """Yield a closed ring from every start, both ways round."""
    for way in (points, points[::-1]):
        for start in range(len(way)):
            yield way[start:] + way[:start]


def _near(some: tuple[Point, ...], others: tuple[Point, ...], tolerance_mm: float) -> bool:
    return all(
        abs(p - q) <= tolerance_mm
        for one, other in zip(some, others, strict=True)
        for p, q in zip(one, other, strict=True)
    )
