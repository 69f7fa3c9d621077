"""SVG path data turned into points: lines, Béziers and arcs of SVG 1.1, chapter 8, at true size.

Curves are cut into straight pieces that lie at most `FLAT_MM` off, measured after the transform.
Data that breaks off or holds anything else is refused, where a viewer would draw what it could.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise

from patterns.errors import SettingError
from patterns.model.drawing import Point

FLAT_MM = 0.01
MOST_POINTS = 20_000
MOST_MM = 1e5
"""No leaf, and no number in a tracing, is larger than a hundred metres."""
_SPACE = re.compile(r"[\s,]*")
_NUMBER = re.compile(r"[-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]+)?")
_TAKES = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7, "Z": 0}


@dataclass(frozen=True, slots=True)
class Matrix:
    """An affine map x' = a·x + c·y + e, y' = b·x + d·y + f."""

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    def __matmul__(self, inner: Matrix) -> Matrix:
        """Return the map that applies `inner` first."""
        return Matrix(
            self.a * inner.a + self.c * inner.b,
            self.b * inner.a + self.d * inner.b,
            self.a * inner.c + self.c * inner.d,
            self.b * inner.c + self.d * inner.d,
            self.a * inner.e + self.c * inner.f + self.e,
            self.b * inner.e + self.d * inner.f + self.f,
        )

    def __call__(self, point: Point) -> Point:
        x, y = point
        return self.a * x + self.c * y + self.e, self.b * x + self.d * y + self.f

    @property
    def stretch(self) -> float:
        """No length grows by more than this."""
        return math.sqrt(self.a**2 + self.b**2 + self.c**2 + self.d**2)


@dataclass(slots=True)
class Run:
    """One subpath as points; `closed` when it was closed by Z."""

    points: list[Point]
    closed: bool = False


@dataclass(slots=True)
class PathPen:
    """Draws path commands in the user's units and keeps points in mm."""

    matrix: Matrix
    runs: list[Run] = field(default_factory=list)
    at: Point = (0.0, 0.0)
    start: Point = (0.0, 0.0)
    drawn: int = 0

    def move(self, to: Point) -> None:
        """Begin a subpath."""
        self.runs.append(Run([]))
        self._add([self.matrix(to)])
        self.at = self.start = to

    def line(self, to: Point) -> None:
        """Draw a straight line."""
        self._add([self.matrix(to)])
        self.at = to

    def bezier(self, *points: Point) -> None:
        """Draw a quadratic or cubic curve, of which `points` are the controls and the end."""
        all_ = [self.matrix(p) for p in (self.at, *points)]
        bends = [
            math.hypot(p[0] - 2 * q[0] + r[0], p[1] - 2 * q[1] + r[1])
            for p, q, r in zip(all_, all_[1:], all_[2:], strict=False)
        ]
        # a curve of degree n leaves its chord by at most |B''|/8, |B''| ≤ n(n − 1)·greatest bend
        degree = len(points)
        pieces = _count(math.sqrt(degree * (degree - 1) * max(bends) / (8 * FLAT_MM)))
        self._add([_casteljau(all_, i / pieces) for i in range(1, max(1, pieces))])
        self._add([all_[-1]])
        self.at = points[-1]

    def arc(self, rx: float, ry: float, turn: float, large: bool, sweep: bool, to: Point) -> None:
        """Draw an elliptical arc (SVG 1.1, appendix F.6)."""
        rx, ry = abs(rx), abs(ry)
        if to == self.at:
            return
        if not rx or not ry:
            self.line(to)
            return
        cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
        half = ((self.at[0] - to[0]) / 2, (self.at[1] - to[1]) / 2)
        x, y = cos * half[0] + sin * half[1], cos * half[1] - sin * half[0]
        over = (x / rx) ** 2 + (y / ry) ** 2
        if over > 1:
            rx, ry, over = rx * math.sqrt(over), ry * math.sqrt(over), 1.0
        lift = math.sqrt(max(0.0, 1 / over - 1)) * (-1 if large == sweep else 1)
        cx, cy = lift * rx * y / ry, -lift * ry * x / rx
        first = math.atan2((y - cy) / ry, (x - cx) / rx)
        angle = math.atan2((-y - cy) / ry, (-x - cx) / rx) - first
        if sweep and angle < 0:
            angle += 2 * math.pi
        elif not sweep and angle > 0:
            angle -= 2 * math.pi
        middle = ((self.at[0] + to[0]) / 2, (self.at[1] + to[1]) / 2)
        centre = (cos * cx - sin * cy + middle[0], sin * cx + cos * cy + middle[1])
        for place in self._sampled(centre, (rx, ry), (cos, sin), first, angle):
            self._add([place])
        self.line(to)

    def _sampled(
        self,
        centre: Point,
        radii: tuple[float, float],
        tilt: tuple[float, float],
        first: float,
        angle: float,
    ) -> Iterator[Point]:
        # an arc of radius R leaves its chord by R(1 − cos(s/2)) ≤ R·s²/8
        reach = max(radii) * self.matrix.stretch
        pieces = _count(max(abs(angle) * math.sqrt(reach / (8 * FLAT_MM)), abs(angle) / 0.8))
        for i in range(1, pieces):
            t = first + angle * i / pieces
            x, y = radii[0] * math.cos(t), radii[1] * math.sin(t)
            yield self.matrix(
                (centre[0] + tilt[0] * x - tilt[1] * y, centre[1] + tilt[1] * x + tilt[0] * y)
            )

    def close(self) -> None:
        """Close the subpath; the next one may begin at its start."""
        self.runs[-1].closed = True
        self.at = self.start

    def _add(self, points: list[Point]) -> None:
        if self.runs[-1].closed:  # drawing on after Z begins anew at the start
            self.runs.append(Run([self.matrix(self.start)]))
        self.runs[-1].points += points
        self.drawn += len(points)
        if self.drawn > MOST_POINTS:
            raise too_long()


def too_long() -> SettingError:
    """Return the refusal of an outline with too many points."""
    return SettingError(
        f"the outlines have more than {MOST_POINTS} points: simplify them in the drawing program, "
        "or trace with fewer nodes"
    )


def _count(pieces: float) -> int:
    """Return a whole number of pieces; no figure of a real tracing comes near the limit."""
    if not pieces <= MOST_POINTS:
        raise too_long()
    return math.ceil(pieces)


def _casteljau(points: list[Point], t: float) -> Point:
    row = points
    while len(row) > 1:
        row = [(p[0] + (q[0] - p[0]) * t, p[1] + (q[1] - p[1]) * t) for p, q in pairwise(row)]
    return row[0]


def draw(data: str, pen: PathPen) -> None:
    """Draw path data with a pen; a SettingError names the place where it cannot be read."""
    smooth: tuple[str, Point] = ("", (0.0, 0.0))
    for letter, values in _commands(data):
        kind, relative = letter.upper(), letter.islower()
        if not pen.runs and kind != "M":
            raise SettingError("path data does not begin with a move (M)")
        x0, y0 = pen.at if relative else (0.0, 0.0)
        if kind == "A":
            pen.arc(*values[:3], values[3] != 0, values[4] != 0, (x0 + values[5], y0 + values[6]))  # type: ignore[call-arg, arg-type]
            smooth = ("", pen.at)
            continue
        if kind in "HV":
            along = values[0] + ((x0 if kind == "H" else y0) if relative else 0.0)
            pen.line((along, pen.at[1]) if kind == "H" else (pen.at[0], along))
            smooth = ("", pen.at)
            continue
        points = [(x0 + x, y0 + y) for x, y in zip(values[::2], values[1::2], strict=True)]
        if kind in "ST":
            family = "C" if kind == "S" else "Q"
            held = smooth[1] if smooth[0] == family else pen.at
            points.insert(0, (2 * pen.at[0] - held[0], 2 * pen.at[1] - held[1]))
            kind = family
        if kind == "M":
            pen.move(points[0])
        elif kind == "L":
            pen.line(points[0])
        elif kind == "Z":
            pen.close()
        else:
            pen.bezier(*points)
        smooth = (kind, points[-2]) if kind in "CQ" else ("", pen.at)


def _commands(data: str) -> Iterator[tuple[str, list[float]]]:
    """Yield every command with one set of figures, repeated ones spelled out."""
    at, letter = 0, ""
    while True:
        at = _past_space(data, at)
        if at == len(data):
            return
        if data[at].isalpha():
            letter, at = data[at], at + 1
            if letter.upper() not in _TAKES:
                raise SettingError(f"path data holds {letter!r}, which is no command")
        elif not letter or letter in "Zz":
            raise SettingError(f"path data cannot be read at {data[at : at + 12]!r}")
        values: list[float] = []
        for i in range(_TAKES[letter.upper()]):
            flag = letter in "Aa" and i in (3, 4)
            value, at = _figure(data, _past_space(data, at), flag)
            values.append(value)
        yield letter, values
        letter = {"M": "L", "m": "l"}.get(letter, letter)


def _past_space(data: str, at: int) -> int:
    found = _SPACE.match(data, at)
    return found.end() if found else at


def _figure(data: str, at: int, flag: bool) -> tuple[float, int]:
    if flag and data[at : at + 1] in ("0", "1"):
        return float(data[at]), at + 1
    found = None if flag else _NUMBER.match(data, at)
    if found is None:
        raise SettingError(
            f"path data breaks off at {data[at : at + 12]!r}"
            if at < len(data)
            else "path data breaks off"
        )
    value = float(found[0])
    if not abs(value) <= MOST_MM * 100:
        raise SettingError(f"path data holds {found[0][:20]}, too large for any leaf")
    return value, found.end()
