"""The assembly section: the book cut across its spine, its layers on its own curve.

Round, shoulders, joints, boards and slots are drawn from this book's figures at a stated scale, the
book shut. New layers are drawn thicker by a stated factor and all of them a little apart, since what
lies between two of them says how they are joined: hatched at 45° where pasted, threads with a bar
outside where sewn, a zigzag where laced, white where nothing holds.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import shapely

from patterns.model.drawing import Area, Line, LineKind, Mark, Point
from patterns.model.part import Union
from patterns.model.profile import SpineProfile
from patterns.sheets.curve import Curve, between, ring_of, thick
from patterns.sheets.layers import Seated
from patterns.sketch.hatching import hatch
from patterns.sketch.marks import Block, around, box_of, circle, moved, runs
from patterns.sketch.scales import REDUCED, Scale, largest

ROOM_MM = 84.0
"""Widest that block and boards are drawn."""
LEG = 20.0
"""How far below the edges of the boards the sides are drawn."""
MOST = Scale(5)
GAP, FREE_GAP, HOLLOW = 1.5, 2.2, 3.6
"""White between joined layers, between free ones, and in a layer of air."""
LEAST, MOST_THICK = 0.5, 4.5
"""Bounds of a layer's drawn thickness."""
SIDE_MM = GAP + MOST_THICK
"""What a layer takes at most at a side."""
SEEN = 0.8
"""What the thinnest new layer is drawn with where the thickest allows it."""
HATCH, LEAF = 1.3, 2.0
TINT = 0.86
"""The book's own parts are tinted; new ones are white."""
SEWN: frozenset[Union] = frozenset({"sewn", "pasted and sewn"})
PASTED: frozenset[Union] = frozenset({"pasted", "pasted and sewn"})
RAY = 0.4
"""Where along the right half the leaders leave the layers."""
STITCH = 11.0


@dataclass(frozen=True, slots=True)
class Band:
    """Where a layer is drawn: from where to where over the spine and off each side, outwards."""

    item: Seated
    under: float
    """Where the layer within it ends, over the spine."""
    low: float
    high: float
    sides: tuple[tuple[float, float, float], tuple[float, float, float]]
    """The same for left and right: where the one within ends, its own two faces."""

    @property
    def middle(self) -> float:
        """Its middle line over the spine."""
        return (self.low + self.high) / 2


@dataclass(frozen=True, slots=True)
class DrawnSection:
    """A drawn section: its marks, where each layer's leader begins, and how it is drawn."""

    block: Block
    anchors: tuple[tuple[int, Point], ...]
    """Number of the layer and the place of its leader; that of the block is for its number itself."""
    words: str
    """The scale and by what new layers are thickened."""


@dataclass(frozen=True, slots=True)
class Magnified:
    """How large a book is drawn, and by how much its new layers are thickened."""

    scale: Scale
    times: int

    def of(self, item: Seated) -> float:
        """Return a layer's drawn thickness."""
        layer = item.layer
        if item.air:
            return HOLLOW
        drawn = layer.thickness_mm * self.scale.factor * (1 if layer.existing else self.times)
        return min(max(LEAST, drawn), MOST_THICK)


def magnified(items: Sequence[Seated], profile: SpineProfile, room: float) -> Magnified:
    """Return the scale and the factor: the thinnest new layer seen, the thickest not too thick."""
    sides = (profile.left, profile.right)
    wide = profile.chord_mm + sum(max(0.0, one.board_mm - one.shoulder_mm) for one in sides)
    aside = max((sum(one.sides[k] for one in items) for k in (0, 1)), default=0)
    scale = largest([(wide, min(ROOM_MM, room - 2 * SIDE_MM * aside))], MOST) or REDUCED[-1]
    own = [one.layer.thickness_mm for one in items if not one.layer.existing and not one.air]
    drawn = [thickness * scale.factor for thickness in own if thickness]
    if not drawn:
        return Magnified(scale, 1)
    times = min(math.ceil(SEEN / min(drawn)), math.floor(MOST_THICK / max(drawn)))
    return Magnified(scale, max(1, times))


def section(
    items: tuple[Seated, ...], profile: SpineProfile, half_mm: float, room: float
) -> DrawnSection:
    """Return the section of the layers round the first, within a room in mm.

    `half_mm` is half the girth.
    """
    return _section(items, profile, half_mm, magnified(items[1:], profile, room))


@lru_cache(maxsize=8)
def _section(
    items: tuple[Seated, ...], profile: SpineProfile, half_mm: float, size: Magnified
) -> DrawnSection:
    base, *others = items
    bands, apart = _bands(others, size)
    joints = [one.gap_mm - one.lean_mm for one in (profile.left, profile.right)]
    curve = Curve(profile, size.scale.factor, LEG + max(joints) * size.scale.factor, apart)
    book = _Drawn(curve, half_mm, tuple(bands))
    marks = (*book.block(), *book.boards(), *book.layers(), *book.joins())
    anchors = [(base.number, (0.0, curve.leg * 0.5)), *book.anchors()]
    box = around([box_of(mark) for mark in marks]).grown(0.5)
    placed = tuple((n, (x - box.left, y - box.top)) for n, (x, y) in anchors)
    block = Block(box.width, box.height, moved(marks, -box.left, -box.top))
    thicker = f"new layers {size.times} times as thick, " if size.times > 1 else ""
    return DrawnSection(block, placed, f"Scale {size.scale}, {thicker}all drawn apart.")


def _bands(others: Sequence[Seated], size: Magnified) -> tuple[list[Band], tuple[float, float]]:
    """Stack the layers over the spine and at both sides, beneath the boards and over them."""
    up = 0.0
    inner, outer = [0.0, 0.0], [0.0, 0.0]
    bands = []
    for item in others:
        t, layer = size.of(item), item.layer
        under = up
        if item.over:
            up += 0.0 if item.air else FREE_GAP if layer.union == "free" else GAP
        sides = [(0.0, 0.0, 0.0), (0.0, 0.0, 0.0)]
        heap = inner if layer.beyond == "inner face" else outer
        for k, hangs in enumerate(item.sides):
            if hangs and layer.beyond in ("inner face", "outer face"):
                low = heap[k] + GAP
                sides[k] = (heap[k], low, low + t)
                heap[k] = low + t
        bands.append(Band(item, under, up, up + t if item.over else up, (sides[0], sides[1])))
        up += t if item.over else 0.0
    left, right = (one + GAP if one else 0.0 for one in inner)
    return bands, (left, right)


@dataclass(frozen=True, slots=True)
class _Drawn:
    """The drawing itself, about the middle of the chord."""

    curve: Curve
    half_mm: float
    bands: tuple[Band, ...]

    def share(self, u: float) -> float:
        """Return the share of half the girth at u mm from the middle, held between the tips."""
        return max(-1.0, min(1.0, u / self.half_mm))

    def block(self) -> Iterator[Mark]:
        """Draw the block as leaves seen at their edges, broken off below."""
        ring = self.curve.block()
        shape = shapely.Polygon(ring).buffer(0)
        left, top, right, low = shape.bounds
        count = max(1, int((right - left) / LEAF))
        xs = [left + (right - left) * i / count for i in range(1, count)]
        if xs:
            ends = [[(x, top - 1), (x, low - (i % 2))] for i, x in enumerate(xs)]
            leaves = shapely.intersection(shapely.linestrings(ends), shape.buffer(-0.05))
            yield from (Line(LineKind.REFERENCE, run) for run in runs(leaves))
        yield Line(LineKind.OUTLINE, ring)

    def boards(self) -> Iterator[Mark]:
        """Draw the boards, tinted, with their slots."""
        for sign in (-1, 1):
            side = self.curve.side(sign)
            if side.boarded:
                yield Area(LineKind.OUTLINE, side.board(), TINT)
                yield Line(LineKind.OUTLINE, side.board(), closed=True)
                if side.own.slot:
                    slot = thick(list(side.slot(side.own.slot.depth_mm)), 0.9)
                    ring = ring_of(slot)
                    yield Area(LineKind.OUTLINE, ring, 1.0)
                    yield Line(LineKind.OUTLINE, ring, closed=True)

    def layers(self) -> Iterator[Mark]:
        """Draw every band, and the cloth that goes into a slot as a heavy line."""
        for band in self.bands:
            if band.item.air or band.item.layer.beyond == "board":
                continue
            grey = TINT if band.item.layer.existing else 1.0
            line = self.line(band)
            drawn = shapely.get_parts(thick(line, self._thick_mm(band))) if line else ()
            for part in drawn:
                ring = ring_of(part)
                yield Area(LineKind.OUTLINE, ring, grey)
                yield Line(LineKind.OUTLINE, ring, closed=True)
            yield from self._into_slots(band)

    def _thick_mm(self, band: Band) -> float:
        if band.item.over:
            return band.high - band.low
        return max(high - low for _, low, high in band.sides)

    def line(self, band: Band) -> list[Point]:
        """Return the middle line of a band, from left to right."""
        layer, points = band.item.layer, list[Point]()
        if band.item.over:
            points = self.curve.over(
                self.share(layer.left_mm), self.share(layer.right_mm), band.middle
            )
        for k, sign in enumerate((-1, 1)):
            if not band.item.sides[k] or not band.sides[k][2]:
                continue
            way = self._way(band, sign)
            if not band.item.over:
                return way
            points = [*reversed(way), *points] if sign < 0 else [*points, *way]
        return points

    def _way(self, band: Band, sign: int) -> list[Point]:
        """Return a band's way over one joint and on along the board."""
        layer, side = band.item.layer, self.curve.side(sign)
        _, low, high = band.sides[sign > 0]
        ends = sorted((sign * layer.left_mm, sign * layer.right_mm))
        follow = side.inside if layer.beyond == "inner face" else side.outside
        way = follow((low + high) / 2, ends[1] - self.half_mm)
        if band.item.over:
            return way
        begun = follow((low + high) / 2, ends[0] - self.half_mm)[-1]
        start = min(begun[1], way[-1][1] - 1.0)
        kept = [point for point in way if point[1] > start]
        return [(begun[0], start), *kept] if ends[0] > self.half_mm + 1.0 else way

    def _into_slots(self, band: Band) -> Iterator[Mark]:
        layer = band.item.layer
        for sign, hangs in zip((-1, 1), band.item.sides, strict=True):
            side = self.curve.side(sign)
            if not hangs or layer.beyond != "slot" or not side.own.slot:
                continue
            mouth, end = side.slot(max(1.0, side.own.slot.depth_mm - 1.0))
            floor = [(side.face(0.8), side.base_y)] if side.own.groove else []
            start = self.curve.at(float(sign), band.middle)
            yield Line(LineKind.SECTION, (start, *floor, mouth, end))

    def joins(self) -> Iterator[Mark]:
        """Draw what holds each band to the one inside it, over the spine and at both sides."""
        for place, band in enumerate(self.bands):
            layer = band.item.layer
            if band.item.over and not band.item.air:
                left, right = self._shared(place)
                if right - left > 0.02:
                    low, high = (self.curve.over(left, right, up) for up in (band.under, band.low))
                    yield from _held(layer.union, low, high)
            for sign in (-1, 1):
                yield from self._beside(band, sign)
        yield from self._threads()

    def _shared(self, place: int) -> tuple[float, float]:
        """Return from where to where a band lies on what is inside it, in shares."""
        layer = self.bands[place].item.layer
        within = [b.item.layer for b in self.bands[:place] if b.item.over]
        lefts, rights = [layer.left_mm], [layer.right_mm]
        if within:
            lefts.append(within[-1].left_mm)
            rights.append(within[-1].right_mm)
        return self.share(max(lefts)), self.share(min(rights))

    def _beside(self, band: Band, sign: int) -> Iterator[Mark]:
        """Draw what joins a band at one side: to the board it lies against, else to what is within."""
        k, layer, side = int(sign > 0), band.item.layer, self.curve.side(sign)
        inner = layer.beyond == "inner face"
        if layer.beyond == "board" and band.item.sides[k] and not band.item.over:
            beneath = [
                b for b in self.bands if b.item.layer.beyond == "inner face" and b.sides[k][2]
            ]
            if beneath and not beneath[-1].item.over:
                yield from self._between(beneath[-1], sign, layer.union_sides, side.apart)
            return
        if not band.sides[k][2]:
            return
        if inner and band.item.over:
            yield from self._between(band, sign, layer.union_sides, side.apart)
            return
        under, low, _ = band.sides[k]
        x = side.face if inner else side.outer
        yield from self._fill(band, sign, layer.union_sides, x(under), x(low))

    def _between(self, band: Band, sign: int, union: Union, board: float) -> Iterator[Mark]:
        side = self.curve.side(sign)
        high = band.sides[sign > 0][2]
        yield from self._fill(band, sign, union, side.face(high), side.face(board))

    def _fill(
        self, band: Band, sign: int, union: Union, one: float, other: float
    ) -> Iterator[Mark]:
        way = self._way(band, sign)
        top = max(self.curve.side(sign).edge_y, min(y for _, y in way))
        low = max(y for _, y in way)
        if low - top > 0.8:
            yield from _held(union, [(one, top), (one, low)], [(other, top), (other, low)])

    def _threads(self) -> Iterator[Mark]:
        """Draw the threads through those layers over the spine that are sewn as one."""
        sewn = [b for b in self.bands if b.item.over and b.item.layer.union in SEWN]
        if not sewn:
            return
        top = sewn[-1].high
        left = max(self.share(b.item.layer.left_mm) for b in sewn)
        right = min(self.share(b.item.layer.right_mm) for b in sewn)
        count = max(2, int((right - left) * self.curve.half / STITCH))
        for i in range(count):
            share = left + (right - left) * (i + 0.5) / count
            yield Line(
                LineKind.SEWN_INSIDE, (self.curve.at(share, -3.0), self.curve.at(share, 0.0))
            )
            yield Line(LineKind.OUTLINE, (self.curve.at(share, 0.0), self.curve.at(share, top)))
            x, y = self.curve.at(share, top + 0.2)
            yield Area(LineKind.SEWN_OUTSIDE, circle((x, y), 0.75), 0.0)

    def anchors(self) -> Iterator[tuple[int, Point]]:
        """Yield where the leader of each layer begins."""
        for band in self.bands:
            layer, side = band.item.layer, self.curve.side(1 if band.item.sides[1] else -1)
            if band.item.over:
                left, right = self.share(layer.left_mm), self.share(layer.right_mm)
                share = min(max(RAY, left), right)
                yield band.item.number, self.curve.at(share, band.middle)
            elif layer.beyond == "board":
                x = (side.face(side.apart) + side.outer(0.0)) / 2
                yield band.item.number, (x, side.edge_y + LEG * 0.35)
            else:
                way = self._way(band, side.sign)
                yield band.item.number, (way[-1][0], (way[-2][1] + way[-1][1]) / 2)


def _held(union: Union, low: list[Point], high: list[Point]) -> Iterator[Mark]:
    """Draw a union's sign between two runs of points."""
    if union in PASTED:
        region: Any = between(low, high)
        yield from hatch(region, HATCH)
    if union == "laced":
        turns = max(2, round(shapely.LineString(low).length / 2.4))
        ends = [shapely.LineString(run) for run in (low, high)]
        points = [
            ends[i % 2].interpolate(i / turns, normalized=True).coords[0] for i in range(turns + 1)
        ]
        yield Line(LineKind.OUTLINE, tuple((float(x), float(y)) for x, y in points))
