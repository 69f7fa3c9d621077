"""A piece that goes round spine and joints, laid flat: stops across it at head and tail, and turn-ins."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from shapely import LineString, Polygon

from patterns.formulas import geometry
from patterns.model.drawing import Point, Ring


@dataclass(frozen=True, slots=True)
class SpinePiece:
    """Stops from the left edge to the right one, 0 the middle of the spine; y from the turn-in's edge.

    Between head and tail the stops run straight; both turn-ins carry on as the piece does.
    """

    head: tuple[float, ...]
    tail: tuple[float, ...]
    height: float
    """Without the turn-ins."""
    turn_in: float

    @property
    def whole(self) -> float:
        """Height with both turn-ins."""
        return self.height + 2 * self.turn_in

    @property
    def origin(self) -> float:
        """Where the middle of the spine lies, counted from the piece's left edge where it is widest."""
        return -min(self._across(0, y) for y in (0.0, self.whole))

    def _across(self, stop: int, y: float) -> float:
        head, tail = self.head[stop], self.tail[stop]
        return head + (tail - head) * (y - self.turn_in) / self.height

    def at(self, stop: int, y: float) -> Point:
        """Return where a stop lies at a height, in the piece's own coordinates."""
        return self._across(stop, y) + self.origin, y

    def outline(self) -> Any:
        """Return the whole piece: a trapezoid, or the cone's sector where it bows."""
        widths = [self._across(-1, y) - self._across(0, y) for y in (0.0, self.whole)]
        middle = (self.head[0] + self.head[-1]) / 2
        ring = geometry.tapered_outline(widths[0], widths[1], self.whole)
        return Polygon([(x + middle + self.origin, y) for x, y in ring])

    def band(self, left: int, right: int, top: float, bottom: float) -> Ring:
        """Return what lies between two stops and two heights; the bow of a head or tail edge is followed."""
        out, low = (1.0 if edge else 0.0 for edge in (top <= 0, bottom >= self.whole))
        corners = [
            self.at(left, top - out),
            self.at(right, top - out),
            self.at(right, bottom + low),
            self.at(left, bottom + low),
        ]
        shape: Any = Polygon(corners).intersection(self.outline())
        return tuple(shape.exterior.coords[:-1])

    def across(self, y: float) -> tuple[Point, Point]:
        """Return the line across the piece at a height."""
        left, _, right, _ = self.outline().bounds
        line: Any = LineString([(left - 1, y), (right + 1, y)]).intersection(self.outline())
        (x1, _), (x2, _) = line.coords[0], line.coords[-1]
        return (x1, y), (x2, y)

    def down(self, stop: int, top: float, bottom: float) -> tuple[Point, Point]:
        """Return the line along a stop between two heights."""
        return self.at(stop, top), self.at(stop, bottom)


LEFT_TIP, RIGHT_TIP = 2, 3
"""Of the six stops of a piece that reaches onto both boards: where the spine begins and ends."""


@dataclass(frozen=True, slots=True)
class TurnedPiece(SpinePiece):
    """A piece of six stops that is turned in over two boards, each at its own head and tail.

    Over the spine its fold goes straight from the one board's edge to the other's.
    """

    left: tuple[float, float]
    """Where it folds at the head and the tail of the left board, from the piece's upper edge."""
    right: tuple[float, float]

    @property
    def level(self) -> bool:
        """True where both boards end at the same heights."""
        return max(abs(a - b) for a, b in zip(self.left, self.right, strict=True)) < 1e-6

    def beside(self, stop: int) -> tuple[float, float]:
        """Return head and tail fold at the board that a stop belongs to."""
        return self.left if stop <= LEFT_TIP else self.right

    def folds(self) -> tuple[tuple[Point, Point], ...]:
        """Return the lines that it is turned in at: one at each end, or three where the boards differ."""
        if self.level:
            return tuple(self.across(y) for y in self.left)
        lines = []
        for left, right in zip(self.left, self.right, strict=True):
            inner = self.at(LEFT_TIP, left), self.at(RIGHT_TIP, right)
            outer = self.across(left)[0], self.across(right)[1]
            lines += [(outer[0], inner[0]), inner, (inner[1], outer[1])]
        return tuple(lines)

    def over_spine(self) -> Ring:
        """Return what lies over the spine, from fold to fold."""
        if self.level:
            return self.band(LEFT_TIP, RIGHT_TIP, *self.left)
        (left, left_low), (right, right_low) = self.left, self.right
        return (
            self.at(LEFT_TIP, left),
            self.at(RIGHT_TIP, right),
            self.at(RIGHT_TIP, right_low),
            self.at(LEFT_TIP, left_low),
        )

    def turned(self) -> tuple[Ring, Ring]:
        """Return what is turned in at the head and at the tail."""
        if self.level:
            head, tail = self.left
            return self.band(0, -1, 0.0, head), self.band(0, -1, tail, self.whole)
        whole: Any = self.outline()
        found = []
        for end, away in ((0, -1.0), (1, self.whole + 1.0)):
            a, b = self.left[end], self.right[end]
            left, right = self.at(0, a), self.at(-1, b)
            corners = [
                (left[0] - 99.0, away), (right[0] + 99.0, away), (right[0] + 99.0, b),
                self.at(RIGHT_TIP, b), self.at(LEFT_TIP, a), (left[0] - 99.0, a),
            ]  # fmt: skip
            ring: Any = whole.intersection(Polygon(corners))
            found.append(tuple(ring.exterior.coords[:-1]))
        return found[0], found[1]
