"""The assembly section: the book cut across its spine, its layers drawn apart.

Every layer is a band wrapped over the spine and, where it reaches further, down the sides. What
lies between two bands says how they are joined: hatched at 45° where pasted, crossed by stitches
where sewn, a zigzag where laced, white where nothing holds. Widths and thicknesses are drawn to
be seen, not to be measured; the table beneath says both in mm.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import groupby
from typing import Any

import shapely

from patterns.model.capitals import BODY
from patterns.model.drawing import Area, Line, LineKind, Mark, Point, Words
from patterns.model.lettering import width_mm
from patterns.model.part import Layer, Union
from patterns.sheets.layers import Seated
from patterns.sketch.hatching import slants
from patterns.sketch.marks import Block, Box, box_of, corners

BAND = 4.4
BETWEEN = 4.3
PITCH = BAND + BETWEEN
LEAST_SPINE, MOST_SPINE = 44.0, 108.0
LEG = 29.0
"""Room below the spine's edge for what lies on the sides."""
FOOT = 9.0
TOP = 3.0
HATCH = 1.6
TINT = 0.86
"""The book's own parts are tinted; new ones are white."""
STITCH = 13.0


@dataclass(frozen=True, slots=True)
class _Band:
    """Where a layer is drawn: its middle line's height over the spine, and how far out it hangs."""

    item: Seated
    up: float
    out: tuple[float, float]


@dataclass(frozen=True, slots=True)
class _Book:
    """The drawn book: the middle and half width of its spine, the spine's height on the page."""

    middle: float
    half: float
    top: float
    half_mm: float

    def x(self, u: float) -> float:
        """Return the drawn place of u mm from the middle, held over the spine."""
        return self.middle + max(-1.0, min(1.0, u / self.half_mm)) * self.half

    def y(self, u: float) -> float:
        """Return the drawn depth of u mm from the middle; far places draw ever closer together."""
        beyond = max(0.0, abs(u) - self.half_mm)
        return self.top + 1.25 * LEG * beyond / (beyond + 30.0)

    def path(self, left: float, right: float, up: float, out: tuple[float, float]) -> Any:
        """Return the line of a layer from u = left to u = right at a distance from the book."""
        points: list[Point] = []
        for sign, u in ((-1, left), (1, right)):
            hangs = out[sign > 0] > 0 and sign * u > self.half_mm
            leg = self._leg(sign, u, up, out[sign > 0]) if hangs else [(self.x(u), self.top - up)]
            points += leg if sign < 0 else leg[::-1]
        return shapely.LineString(points)

    def _leg(self, sign: int, u: float, up: float, out: float) -> list[Point]:
        """Return the run from the end of a leg up round the spine's edge."""
        edge = self.middle + sign * self.half
        quarter = [i * math.pi / 96 for i in range(49)]
        bend = [(edge + sign * out * math.cos(t), self.top - up * math.sin(t)) for t in quarter]
        return [(edge + sign * out, min(self.y(u), self.top + LEG)), *bend]

    def side(self, sign: int, near: float, far: float, out: float) -> Any:
        """Return the upright line of a layer that lies on one side alone."""
        x = self.middle + sign * (self.half + out)
        return shapely.LineString([(x, self.y(near)), (x, min(self.y(far), self.top + LEG))])


def capacity(width: float, height: float) -> tuple[int, int]:
    """Return how many layers fit over the spine, and how many at each side, in a box in mm."""
    over = int((height - TOP - LEG - FOOT - BODY * 2) // PITCH)
    return over, int(((width - LEAST_SPINE) / 2 - 2) // PITCH)


def section(items: Sequence[Seated], half_mm: float, width: float, names: tuple[str, str]) -> Block:
    """Return the section of the layers around the first as a block `width` mm wide.

    `names` are the boards at left and right. Not to scale.
    """
    base, *others = items
    bands, high, out = _bands(others)
    half = min(MOST_SPINE, max(LEAST_SPINE, width - 2 * out - 4)) / 2
    book = _Book(width / 2, half, TOP + high, half_mm)
    marks: list[Mark] = list(_text_block(book, base))
    for band in bands:
        if not band.item.air:
            marks += _filled(_shape(book, band), TINT if band.item.layer.existing else 1.0)
    for place in reversed(range(len(bands))):
        marks += _joins(book, bands, place)
    for band in bands:
        marks += _label(book, band)
    low = book.top + LEG + FOOT
    for sign, name in zip((-1, 1), names, strict=True):
        at = (book.middle + sign * (half + out / 2 + 1), low + BODY)
        marks.append(Words(at, name.upper(), BODY, bold=True, anchor="middle"))
    return Block(width, low + BODY * 1.6, tuple(marks))


def _bands(others: Sequence[Seated]) -> tuple[list[_Band], float, float]:
    """Stack the layers: outwards over the spine, and at each side only those that hang there."""
    bands: list[_Band] = []
    up, outs = 0.0, [0.0, 0.0]
    for item in others:
        up += PITCH * item.over
        outs = [out + PITCH * hangs for out, hangs in zip(outs, item.sides, strict=True)]
        left, right = (out * hangs for out, hangs in zip(outs, item.sides, strict=True))
        bands.append(_Band(item, up if item.over else 0.0, (left, right)))
    return bands, up + BAND / 2, max(outs) + BAND / 2


def _shape(book: _Book, band: _Band) -> Any:
    """Return the outline of a band."""
    layer = band.item.layer
    if band.item.over:
        line = book.path(layer.left_mm, layer.right_mm, band.up, band.out)
    else:
        sign = 1 if band.item.sides[1] else -1
        near, far = sorted((abs(layer.left_mm), abs(layer.right_mm)))
        line = book.side(sign, near, far, max(band.out))
    return line.buffer(BAND / 2, cap_style="flat", join_style="round")


def _filled(shape: Any, grey: float) -> Iterator[Mark]:
    ring = tuple((float(x), float(y)) for x, y in shape.exterior.coords[:-1])
    yield Area(LineKind.OUTLINE, ring, grey)
    yield Line(LineKind.OUTLINE, ring, closed=True)


def _text_block(book: _Book, base: Seated) -> Iterator[Mark]:
    """Draw the block as leaves seen at their edges, broken off below."""
    left, right = book.middle - book.half, book.middle + book.half
    low = book.top + LEG + FOOT - 2
    count = int((right - left) / 1.8)
    edges = [left + (right - left) * i / count for i in range(count + 1)]
    ends = [(x, low + 1.1 * math.sin(i * 0.9)) for i, x in enumerate(edges)]
    for x, y in ends[1:-1]:
        yield Line(LineKind.REFERENCE, ((x, book.top), (x, y)))
    yield Line(LineKind.OUTLINE, (ends[0], (left, book.top), (right, book.top), ends[-1]))
    yield Line(LineKind.REFERENCE, tuple(ends))
    at = (book.middle, book.top + LEG / 2)
    yield from _on_ground(_name(base, right - left - 8.0), at, 1.0)


def _joins(book: _Book, bands: Sequence[_Band], place: int) -> Iterator[Mark]:
    """Draw what holds a band to the one inside it, over the spine and at both sides."""
    band, layer = bands[place], bands[place].item.layer
    if band.item.over and not band.item.air:
        left, right = _shared(band, _inner(bands, place, None))
        ends = book.x(left), book.x(right)
        if ends[1] - ends[0] > 1.0:
            low = book.top - band.up + BAND / 2 + BETWEEN
            yield from _join(layer.union, (ends[0], low), (1, 0), (0, -1), ends[1] - ends[0])
            yield from _through(book, bands, place, low)
            words = Words((0.0, 0.0), layer.union, BODY)
            at = (ends[0] + 3.0 + width_mm(words.text, BODY) / 2, low - BETWEEN / 2)
            yield from _on_ground(words, at, 1.0)
    for sign, hangs in zip((-1, 1), band.item.sides, strict=True):
        if hangs:
            left, right = _shared(band, _inner(bands, place, sign))
            near, far = (-right, -left) if sign < 0 else (left, right)
            top, low = book.y(max(near, book.half_mm)), min(book.y(far), book.top + LEG)
            if low - top > 1.0:
                x = book.middle + sign * (book.half + band.out[sign > 0] - BAND / 2 - BETWEEN)
                yield from _join(layer.union_sides, (x, top), (0, 1), (sign, 0), low - top)
                if layer.union_sides in SEWN:
                    yield from _stitches((x, top), (0, 1), (sign, 0), low - top)


def _through(book: _Book, bands: Sequence[_Band], place: int, low: float) -> Iterator[Mark]:
    """Draw the thread through a band: bars on the outermost of those sewn as one, runs beneath all."""
    seen = [k for k, band in enumerate(bands) if band.item.over and not band.item.air]
    runs = [
        list(run)
        for sewn, run in groupby(seen, lambda k: bands[k].item.layer.union in SEWN)
        if sewn
    ]
    for run in runs:
        if place in run:
            shared = [_shared(bands[k], _inner(bands, k, None)) for k in run]
            left, right = book.x(max(a for a, _ in shared)), book.x(min(b for _, b in shared))
            yield from _stitches(
                (left, low), (1, 0), (0, -1), right - left, place == run[0], place == run[-1]
            )


def _inner(bands: Sequence[_Band], place: int, sign: int | None) -> Layer | None:
    """Return the next layer inwards, over the spine (sign None) or at a side; None: the block."""
    for band in reversed(bands[:place]):
        if band.item.over if sign is None else band.item.sides[sign > 0]:
            return band.item.layer
    return None


def _shared(band: _Band, inner: Layer | None) -> tuple[float, float]:
    """Return from where to where a band lies on the layer inside it, in mm from the middle."""
    layer = band.item.layer
    if inner is None:
        return layer.left_mm, layer.right_mm
    return max(layer.left_mm, inner.left_mm), min(layer.right_mm, inner.right_mm)


SEWN: frozenset[Union] = frozenset({"sewn", "pasted and sewn"})
PASTED: frozenset[Union] = frozenset({"pasted", "pasted and sewn"})


def _join(
    union: Union, start: Point, along: Point, outward: Point, length: float
) -> Iterator[Mark]:
    """Draw a union's sign in the space beneath a band: `start` lies on the inner layer's face."""

    at = partial(_at, start, along, outward)
    if union in PASTED:
        for low, high in slants(length, BETWEEN, HATCH):
            yield Line(LineKind.PASTED, (at(*low), at(*high)))
    if union == "laced":
        turns = max(2, round(length / 2.4))
        zigzag = [at(length * i / turns, BETWEEN if i % 2 else 0.0) for i in range(turns + 1)]
        yield Line(LineKind.OUTLINE, tuple(zigzag))


def _at(start: Point, along: Point, outward: Point, s: float, t: float) -> Point:
    """Return the point s along a face and t outwards from it."""
    return start[0] + s * along[0] + t * outward[0], start[1] + s * along[1] + t * outward[1]


def _stitches(
    start: Point,
    along: Point,
    outward: Point,
    length: float,
    inside: bool = True,
    outside: bool = True,
) -> Iterator[Mark]:
    """Draw stitches through a band, with their runs inside and their bars outside where asked."""
    at = partial(_at, start, along, outward)
    count, face = max(1, int(length / STITCH)), BETWEEN + BAND
    for i in range(count):
        middle = length * (i + 0.5) / count
        one, other = middle - 2.0, middle + 2.0
        for s in (one, other):
            yield Line(LineKind.OUTLINE, (at(s, 0.0), at(s, face)))
        if outside:
            yield Line(LineKind.SEWN_OUTSIDE, (at(one - 0.3, face), at(other + 0.3, face)))
        if inside:
            yield Line(LineKind.SEWN_INSIDE, (at(one, 0.0), at(other, 0.0)))


def _label(book: _Book, band: _Band) -> Iterator[Mark]:
    """Write the layer's number, and its name where there is room, on a ground in the band."""
    item = band.item
    grey = TINT if item.layer.existing else 1.0
    if item.over:
        left, right = book.x(item.layer.left_mm), book.x(item.layer.right_mm)
        words = _name(item, right - left - 4.0)
        yield from _on_ground(words, ((left + right) / 2, book.top - band.up), grey)
    else:
        sign = 1 if item.sides[1] else -1
        near, far = sorted(abs(u) for u in (item.layer.left_mm, item.layer.right_mm))
        low = min(book.y(far), book.top + LEG)
        at = (book.middle + sign * (book.half + max(band.out)), (book.y(near) + low) / 2)
        yield from _on_ground(_name(item, 0.0), at, grey)


def _name(item: Seated, room: float) -> Words:
    """Return number and name, or the number alone where the room does not hold both."""
    words = Words((0.0, 0.0), f"{item.number}  {item.layer.name}", BODY)
    if width_mm(words.text, BODY) <= room:
        return words
    return replace(words, text=str(item.number))


def _on_ground(words: Words, middle: Point, grey: float) -> Iterator[Mark]:
    """Set words about a point, on a ground that hides what is drawn beneath."""
    placed = replace(words, at=(middle[0], middle[1] + words.cap_mm / 2), anchor="middle")
    box = box_of(placed)
    ground = Box(box.left - 0.8, middle[1] - BODY * 0.72, box.right + 0.8, middle[1] + BODY * 0.72)
    yield Area(LineKind.OUTLINE, corners(ground), grey)
    yield placed
