"""The finished PDF read back: sheets put together by the letters of their match marks, at true size.

Readers are pypdf's (`tests.readers`); what is divided out is the correction that the printer was set with.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import dist
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from tests.hand.worked import Cut, Point
from tests.readers import pdf_labels, pdf_page_mm, pdf_shapes
from tests.shapes import Label, Shape

NEAR = 0.03
"""How far a drawn line may lie from where the hand puts it, in mm."""
WIDEST_SLIT = 1.0
TURNS = ((1, 0, 0, 1), (0, -1, 1, 0), (-1, 0, 0, -1), (0, 1, -1, 0))
Move = tuple[float, float]


@dataclass(frozen=True)
class Canvas:
    """Everything drawn on one or more sheets pasted together, in true mm."""

    title: str
    shapes: tuple[Shape, ...]
    labels: tuple[Label, ...]

    def moved(self, by: Move) -> Canvas:
        """Return it moved."""

        def at(p: Point) -> Point:
            return p[0] + by[0], p[1] + by[1]

        return Canvas(
            self.title,
            tuple(replace(one, points=tuple(map(at, one.points))) for one in self.shapes),
            tuple(replace(one, at=at(one.at)) for one in self.labels),
        )

    @cached_property
    def lines(self) -> shapely.STRtree:
        """All that is drawn as lines, and the middles of slits that are filled as wide as they are."""
        drawn = [
            shapely.LineString((*one.points, one.points[0]) if one.closed else one.points)
            for one in self.shapes
            if not one.filled and not one.curved and len(one.points) > 1
        ]
        return shapely.STRtree([*drawn, *filter(None, map(_slit, self.shapes))])

    def drawn_along(self, run: Sequence[Point]) -> bool:
        """Tell whether a line is drawn all along a run, looked at every half millimetre."""
        line = shapely.LineString(run)
        count = int(line.length / 0.5) + 2
        places = shapely.line_interpolate_point(line, np.linspace(0, line.length, count))
        near, _ = self.lines.query(places, "dwithin", distance=2 * NEAR)
        return len(np.unique(near)) == count

    @cached_property
    def corners(self) -> NDArray[np.float64]:
        """The ends and corners of every line."""
        points = {p for one in self.shapes if not one.curved and not one.filled for p in one.points}
        return np.array(sorted(points))

    @cached_property
    def drawn(self) -> shapely.STRtree:
        """The corners, to be asked which lie near a place."""
        return shapely.STRtree([shapely.Point(x, y) for x, y in self.corners])

    @cached_property
    def circles(self) -> NDArray[np.float64]:
        """The middles of every circle, which a printer's correction draws a little longer than wide."""
        boxes = [one.box for one in self.shapes if one.curved and one.closed]
        middles = [((box[0] + box[2]) / 2, (box[1] + box[3]) / 2) for box in boxes]
        return np.array(middles or [(np.inf, np.inf)])

    @cached_property
    def marks(self) -> dict[str, Point]:
        """The middle of each match mark by the name beside it."""
        names = [one for one in self.labels if re.fullmatch(r"M\d+", one.text.strip())]
        found: dict[str, Point] = {}
        for shape in self.shapes:
            if not shape.closed or shape.curved or len(shape.points) != 4 or not names:
                continue
            left, top, right, bottom = shape.box
            x, y = (left + right) / 2, (top + bottom) / 2
            tips = ((left, y), (right, y), (x, top), (x, bottom))
            if all(min(dist(tip, p) for p in shape.points) < 0.01 for tip in tips):
                nearest = min(names, key=lambda one: dist(one.at, (x, y)))
                found[nearest.text.strip()] = (x, y)
        return found


def _slit(shape: Shape) -> shapely.LineString | None:
    """Return the middle of a filled ring that is far longer than wide; None for any other shape."""
    if not shape.filled or shape.curved or len(shape.points) < 4:
        return None
    left, top, right, bottom = shape.box
    if min(right - left, bottom - top) > WIDEST_SLIT or max(right - left, bottom - top) < 20:
        return None
    if right - left < bottom - top:
        return shapely.LineString([((left + right) / 2, top), ((left + right) / 2, bottom)])
    return shapely.LineString([(left, (top + bottom) / 2), (right, (top + bottom) / 2)])


def canvases(
    document: Mapping[str, Any], pdf: bytes, across: float, down: float
) -> tuple[Canvas, ...]:
    """Return the cutting and sewing sheets of a draft, those of one drawing put together.

    `document` is its pattern.json.

    `across` and `down` are the printer's factors on an upright sheet, and on a roll.
    """
    lying = not document["paper"].startswith("roll")
    drawings: dict[str, list[Canvas]] = defaultdict(list)
    for number, sheet in enumerate(document["sheets"]):
        if sheet["group"] in ("cutting", "sewing"):
            width, height = pdf_page_mm(pdf, number)
            factors = (across, down) if width <= height or not lying else (down, across)
            title = re.sub(r", sheet \d+ of \d+$", "", sheet["title"])
            drawings[title].append(_page(pdf, number, title, factors))
    return tuple(one for pages in drawings.values() for one in _together(pages))


def _page(pdf: bytes, number: int, title: str, factors: tuple[float, float]) -> Canvas:
    def true(p: Point) -> Point:
        return p[0] / factors[0], p[1] / factors[1]

    return Canvas(
        title,
        tuple(replace(s, points=tuple(map(true, s.points))) for s in pdf_shapes(pdf, number)),
        tuple(replace(one, at=true(one.at)) for one in pdf_labels(pdf, number)),
    )


def _together(pages: Sequence[Canvas]) -> Iterator[Canvas]:
    """Yield the sheets of one title as they lie once every pair of diamonds meets; each alone that has none."""
    waiting = list(pages)
    while waiting:
        placed = [waiting.pop(0)]
        while page := next((one for one in waiting if len(_shared(one, placed)) >= 2), None):
            waiting.remove(page)
            moves = _shared(page, placed)
            assert max(dist(moves[0], one) for one in moves) < NEAR, "the diamonds do not meet"
            placed.append(page.moved(moves[0]))
        yield Canvas(
            placed[0].title,
            tuple(shape for page in placed for shape in page.shapes),
            tuple(label for page in placed for label in page.labels),
        )


def _shared(page: Canvas, placed: Sequence[Canvas]) -> list[Move]:
    """Return how each diamond that a page shares with those placed moves it."""
    known = {name: at for one in placed for name, at in one.marks.items()}
    both = [(at, known[name]) for name, at in page.marks.items() if name in known]
    return [(there[0] - here[0], there[1] - here[1]) for here, there in both]


@dataclass(frozen=True)
class Place:
    """Where a piece lies on a canvas: turned by right angles, and moved."""

    turn: tuple[int, int, int, int]
    move: Move

    def at(self, point: Point) -> Point:
        a, b, c, d = self.turn
        return (
            a * point[0] + b * point[1] + self.move[0],
            c * point[0] + d * point[1] + self.move[1],
        )


def missing(cut: Cut, canvas: Canvas) -> list[str]:
    """Return what of a piece is not found on a canvas where it lies best; empty when all is."""
    found = [list(_lacking(cut, place, canvas)) for place in _places(cut, canvas)]
    return min(found, key=len, default=["its outline"])


def _places(cut: Cut, canvas: Canvas) -> Iterator[Place]:
    """Yield every turn and move that puts all corners of an outline on drawn corners."""
    for turn in TURNS:
        ring = np.array([Place(turn, (0.0, 0.0)).at(p) for p in cut.outline])
        moves = np.unique((canvas.corners - ring[0]).round(2), axis=0)
        for corner in ring:
            laid = shapely.points(moves + corner)
            near, _ = canvas.drawn.query(laid, "dwithin", distance=2 * NEAR)
            moves = moves[np.unique(near)]
        yield from (Place(turn, (float(dx), float(dy))) for dx, dy in moves)


def _lacking(cut: Cut, place: Place, canvas: Canvas) -> Iterator[str]:
    rings = [(*one, one[0]) for one in (cut.outline, cut.cut_first, *cut.openings) if one]
    for name, runs in (("outline", rings), ("fold", cut.folds), ("slit", cut.slits)):
        for run in runs:
            if not canvas.drawn_along([place.at(p) for p in run]):
                yield f"{name} {run}"
    for hole in (*cut.holes, *cut.old_holes):
        away = np.hypot(*(canvas.circles - np.array(place.at(hole))).T).min()
        if away > 2 * NEAR:
            yield f"hole {hole}, {away:.2f} mm away"
    yield from _misnamed(cut, place, canvas)


def _misnamed(cut: Cut, place: Place, canvas: Canvas) -> Iterator[str]:
    """Yield the edges whose nearest name is that of the edge across."""
    (left, top), (right, bottom) = np.min(cut.outline, axis=0), np.max(cut.outline, axis=0)
    for (one, *edge), other in (
        ((cut.head, (left, top), (right, top)), cut.tail),
        ((cut.tail, (left, bottom), (right, bottom)), cut.head),
        ((cut.left, (left, top), (left, bottom)), cut.right),
        ((cut.right, (right, top), (right, bottom)), cut.left),
    ):
        line = shapely.LineString([place.at(at) for at in edge])
        named = [label for label in canvas.labels if label.text.strip() in (one, other) and one]
        nearest = min(named, key=lambda label: line.distance(shapely.Point(label.at)), default=None)
        if one and (nearest is None or nearest.text.strip() != one):
            yield f"{one} at its edge"
