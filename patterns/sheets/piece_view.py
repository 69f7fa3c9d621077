"""A piece as it lies before you, at full size: lines, signs, words and dimensions around it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import shapely

from patterns.model.drawing import Area, Circle, Line, LineKind, Mark, Point, Ring, Words
from patterns.model.piece import Piece
from patterns.sheets import dimension_words, dimensions, piece_words
from patterns.sheets.legend import Sign
from patterns.sheets.obstacles import Obstacles
from patterns.sheets.place import Desk, Wanted
from patterns.sheets.zones import dotted, hatched
from patterns.sketch.marks import Block, Box, around, box_of, runs, stretched

FOLD_KINDS = {"valley": LineKind.VALLEY, "mountain": LineKind.MOUNTAIN}
Key = tuple[tuple[str, str], ...]


@dataclass(frozen=True, eq=False)
class View:
    """A drawn piece: the room it fills, the signs used, the key of its tags.

    Its marks are drawn when they are asked for.
    """

    box: Box
    draw: Callable[[], tuple[Mark, ...]]
    signs: frozenset[Sign]
    key: Key
    limit: Box
    """The room that words could use."""

    @cached_property
    def marks(self) -> tuple[Mark, ...]:
        """All its marks."""
        return self.draw()


@dataclass(frozen=True)
class Face:
    """A piece made ready for drawing: everything that does not depend on the page.

    `stretch` holds the printer's factors across and down.
    """

    piece: Piece
    stretch: tuple[float, float] = (1.0, 1.0)
    scale: float = 1.0
    """A millimetre of the piece in millimetres of its drawing: less than 1 on a ruler sheet."""

    @cached_property
    def whole(self) -> Piece:
        """The piece stretched for the printer, its dimensions complete."""
        return stretched_piece(dimensions.complete(self.piece), *self.stretch)

    @cached_property
    def bounds(self) -> tuple[float, float, float, float]:
        """Least and greatest x and y of everything that is cut, as the dimensions stand off it."""
        xs, ys = zip(*self.whole.outline, *self.whole.rough, strict=True)
        return min(xs), min(ys), max(xs), max(ys)

    @cached_property
    def rows(self) -> list[dimension_words.Row]:
        """The dimensions in their rows."""
        return dimensions.rows(self.whole.dimensions, self.bounds)

    @cached_property
    def rim(self) -> tuple[Mark, ...]:
        """The lines of the dimensions."""
        return tuple(mark for row in self.rows for mark in dimensions.marks(row, self.bounds))

    @cached_property
    def reach(self) -> Box:
        """The room of piece, marks and dimensions: the least it can be drawn in."""
        return around([dimensions.reach(self.rows, self.bounds), self.inked])

    @cached_property
    def inked(self) -> Box:
        """The room of the piece's own lines and marks."""
        return around([box_of(mark) for mark in (*self.lines, *self.whole.marks)])

    @cached_property
    def lines(self) -> tuple[Mark, ...]:
        """The lines of the piece itself."""
        return face_lines(self.whole)

    @cached_property
    def words(self) -> tuple[list[Wanted], ...]:
        """The words wanted, in batches, what matters most first."""
        return (
            [dimension_words.wanted(row) for row in self.rows],
            *piece_words.batches(self.whole),
        )

    @cached_property
    def signs(self) -> frozenset[Sign]:
        """The signs that a legend must explain: those of the piece, not of the words on it."""
        marks = (*self.lines, *self.whole.marks)
        kinds: set[Sign] = {mark.kind for mark in marks if not isinstance(mark, Words)}
        if any(zone.kind == "free" for zone in self.whole.zones):
            kinds.add("free")
        if self.pasted:
            kinds.add(LineKind.PASTED)
        return frozenset(kinds)

    @cached_property
    def pasted(self) -> list[Any]:
        """The parts of this face that are pasted."""
        return [
            shapely.Polygon(zone.outline).buffer(0)
            for zone in self.whole.zones
            if zone.kind == "pasted" and zone.face == "up"
        ]

    def room(self, spare: float) -> Box:
        """Return the room of the drawing with some more for words round it."""
        box, more = self.reach, spare / 3 if spare > 2.0 else 0.0
        return Box(box.left - spare, box.top - more, box.right + spare, box.bottom + more)


def worded(face: Face, page: Box, clear: Sequence[Mark] = (), joints: Sequence[Line] = ()) -> Desk:
    """Return a desk with all words of a piece placed in the room `page`, in the piece's coordinates.

    `clear` is what words keep off besides, `joints` the lines that a tag's line must not cross.
    """
    whole = face.whole
    soft = Obstacles([Line(LineKind.PASTED, zone.outline, closed=True) for zone in whole.zones])
    hard = Obstacles((*face.lines, *face.rim, *whole.marks, *clear))
    desk = Desk(page, hard, soft, joints, face.scale)
    for batch in face.words:
        desk.add(batch)
    return desk


def view(face: Face, page: Box, clear: Sequence[Mark] = (), joints: Sequence[Line] = ()) -> View:
    """Return the view of a piece with all its words placed, as `worded` does."""
    return drawn(face, worded(face, page, clear, joints))


def drawn(face: Face, desk: Desk) -> View:
    """Return the view of a piece with its words as they stand on a desk."""
    whole, words, taken = face.whole, tuple(desk.marks), tuple(desk.taken)

    def draw() -> tuple[Mark, ...]:
        written = (box_of(m).grown(0.6) for m in whole.marks if isinstance(m, Words))
        hatching = hatched(face.pasted, [*taken, *written])
        return (*hatching, *_zone_edges(whole), *face.lines, *whole.marks, *face.rim, *words)

    box = around([face.inked, *map(box_of, (*face.rim, *words))]).grown(0.3)
    return View(box, draw, face.signs, desk.key, desk.page)


def inserted(face: Face, desk: Desk, inserts: Sequence[Sequence[Block]]) -> View | None:
    """Return the view with blocks of words, each in several widths, on the blank parts of the piece.

    None where one of them finds no room. They are set on the desk.
    """
    within = Box(*face.whole.bounds).grown(-3.0)
    tallest_first = sorted(inserts, key=lambda blocks: -blocks[-1].height)
    return drawn(face, desk) if all(desk.insert(each, within) for each in tallest_first) else None


def stretched_piece(piece: Piece, fx: float, fy: float) -> Piece:
    """Return the piece with every place multiplied by the printer's factors; words stay."""
    if fx == fy == 1.0:
        return piece

    def to(point: Point) -> Point:
        return point[0] * fx, point[1] * fy

    def ring(points: Iterable[Point]) -> Ring:
        return tuple(map(to, points))

    return replace(
        piece,
        outline=ring(piece.outline),
        rough=ring(piece.rough),
        openings=tuple(map(ring, piece.openings)),
        holes=tuple(replace(hole, at=to(hole.at)) for hole in piece.holes),
        folds=tuple(replace(f, line=(to(f.line[0]), to(f.line[1]))) for f in piece.folds),
        slits=tuple((to(a), to(b)) for a, b in piece.slits),
        zones=tuple(replace(zone, outline=ring(zone.outline)) for zone in piece.zones),
        dimensions=tuple(replace(d, start=to(d.start), end=to(d.end)) for d in piece.dimensions),
        labels=tuple(
            replace(label, at=to(label.at), within=ring(label.within)) for label in piece.labels
        ),
        references=tuple(map(ring, piece.references)),
        marks=stretched(piece.marks, fx, fy),
    )


def face_lines(piece: Piece) -> tuple[Mark, ...]:
    """Return outline, openings, folds, slits, holes, references and the dots of under-face paste."""
    return (
        *(
            line
            for zone in piece.zones
            if zone.kind == "pasted" and zone.face == "under"
            for line in dotted(zone.outline)
        ),
        *(Line(LineKind.REFERENCE, tuple(points)) for points in piece.references),
        *(Line(FOLD_KINDS[fold.kind], fold.line) for fold in piece.folds),
        *slit_marks(piece),
        *(Line(LineKind.CUT, ring, closed=True) for ring in piece.openings),
        *((Line(LineKind.CUT, piece.rough, closed=True),) if piece.rough else ()),
        Line(LineKind.REFERENCE if piece.rough else LineKind.CUT, piece.outline, closed=True),
        *(
            Circle(LineKind.OLD_HOLE if hole.old else LineKind.HOLE, hole.at, hole.radius)
            for hole in piece.holes
        ),
    )


def slit_marks(piece: Piece) -> tuple[Mark, ...]:
    """Return the slits: one of a known width filled as wide as it is, the others as thick lines."""
    if not piece.kerf_mm:
        return tuple(Line(LineKind.SLIT, slit) for slit in piece.slits)
    ((ax, ay), (bx, by)), *others = piece.slits
    half = piece.kerf_mm / 2 / math.dist((ax, ay), (bx, by))
    dx, dy = (by - ay) * half, (ax - bx) * half
    ring = ((ax + dx, ay + dy), (bx + dx, by + dy), (bx - dx, by - dy), (ax - dx, ay - dy))
    return Area(LineKind.SLIT, ring), *(Line(LineKind.SLIT, slit) for slit in others)


def _zone_edges(piece: Piece) -> tuple[Line, ...]:
    """Return the edges of pasted parts where neither the outline nor a fold draws them."""
    zones = [zone for zone in piece.zones if zone.kind == "pasted" and zone.face == "up"]
    if not zones:
        return ()
    drawn = [shapely.LinearRing(piece.outline), *(shapely.LineString(f.line) for f in piece.folds)]
    near = shapely.union_all([line.buffer(0.3) for line in drawn])
    edges = [shapely.difference(shapely.LinearRing(zone.outline), near) for zone in zones]
    return tuple(Line(LineKind.PASTED, run) for edge in edges for run in runs(edge))
