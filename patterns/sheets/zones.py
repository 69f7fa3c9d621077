"""Pasted and free parts of a face: hatching, dotted outlines, and the two small views of a piece."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

import shapely

from patterns.model.drawing import Line, LineKind, Mark, Point
from patterns.model.lettering import wrap
from patterns.model.piece import Piece, Zone
from patterns.sheets.flow import BODY, SMALL, close, stack
from patterns.sheets.obstacles import Obstacles, rows
from patterns.sheets.place import Desk, Wanted, covered, tag_slots, words_slots
from patterns.sketch.hatching import PITCH, hatch
from patterns.sketch.marks import Block, Box, box_of, moved


def hatched(
    polygons: Iterable[Any], white: Iterable[Box], pitch: float = PITCH
) -> tuple[Line, ...]:
    """Return the hatching of pasted parts, with the grounds of words left white."""
    region = shapely.union_all(list(polygons))
    if region.is_empty:
        return ()
    grounds = shapely.box(*rows(white).T)
    if len(grounds):
        region = shapely.difference(region, shapely.union_all(grounds))
    return hatch(region, pitch)


def dotted(outline: Sequence[Point], inset: float = 1.0) -> tuple[Line, ...]:
    """Return the dotted outline of paste on the under face, a little inside the edge."""
    shape = shapely.Polygon(outline)
    inner = shape.buffer(-inset, join_style="mitre")
    shown = inner if not inner.is_empty else shape
    return tuple(
        Line(LineKind.UNDER, tuple(part.exterior.coords[:-1]), closed=True)
        for part in shapely.get_parts(shown)
    )


def says(zone: Zone) -> str:
    """Return what a zone says on the full-size drawing."""
    if zone.words:
        told = zone.words
    elif zone.kind == "free":
        told = f"no paste: {zone.to}" if zone.to else "free: no paste on this face"
    else:
        told = f"pasted to {zone.to}" + (f", {zone.adhesive}" if zone.adhesive else "")
    if zone.face == "under":
        return f"under face: {told}"
    return told


def small_views(piece: Piece, width: float) -> Block:
    """Return both faces of a piece, small, pasted parts hatched and numbered, with their key."""
    half = (width - 5) / 2
    scale = min(half / piece.width_mm, 34 / piece.height_mm)
    numbered: list[Zone] = []
    views = []
    for face, name in (("up", "this face"), ("under", "under face, turned over side to side")):
        zones = [zone for zone in piece.zones if zone.face == face]
        view = _view(piece, zones, scale, len(numbered) + 1, mirrored=face == "under")
        numbered += zones
        views.append((close(wrap(name, SMALL, half), SMALL, half), view))
    top = max(words.height for words, _ in views) + 1.2
    marks: list[Mark] = []
    x = 0.0
    for words, view in views:
        marks += moved(words.marks, x, top - 1.2 - words.height)
        marks += moved(view.marks, x, top)
        x = max(half + 5, view.width + 4)
    wide = max(width, *(box_of(mark).right for mark in marks))
    pair = Block(wide, top + max(view.height for _, view in views), tuple(marks))
    lines = [line for text in _key(numbered) for line in wrap(text, SMALL, width)]
    return stack((pair, close(lines, SMALL, width)), gap=1.8)


def _key(zones: Sequence[Zone]) -> Iterator[str]:
    """Yield what the numbers mean: the free parts, then the pasted ones by their adhesive."""
    adhesives = dict.fromkeys(zone.adhesive for zone in zones if zone.kind == "pasted")
    for adhesive in adhesives:
        told = [
            f"{i} to {zone.to}"
            for i, zone in enumerate(zones, 1)
            if zone.kind == "pasted" and zone.adhesive == adhesive
        ]
        yield f"Pasted{f' ({adhesive})' if adhesive else ''}: {', '.join(told)}."
    free = [
        f"{i}" + (f" {zone.to}" if zone.to else "")
        for i, zone in enumerate(zones, 1)
        if zone.kind == "free"
    ]
    if free:
        yield f"Left free: {', '.join(free)}."


def _view(piece: Piece, zones: Sequence[Zone], scale: float, first: int, mirrored: bool) -> Block:
    edge_left, edge_top, edge_right, _ = piece.bounds

    def to(point: Point) -> Point:
        x = edge_right - point[0] if mirrored else point[0] - edge_left
        return x * scale, (point[1] - edge_top) * scale

    width, height = piece.width_mm * scale, piece.height_mm * scale
    outline = tuple(map(to, piece.outline))
    folds = [tuple(map(to, fold.line)) for fold in piece.folds]
    rings = [tuple(map(to, zone.outline)) for zone in zones]
    lines = (
        *(Line(LineKind.REFERENCE, fold) for fold in folds),
        Line(LineKind.OUTLINE, outline, closed=True),
    )
    edges = [Line(LineKind.REFERENCE, ring, closed=True) for ring in rings]
    room = Box(-9.0, -3.0, width + 9.0, height + 6.0)
    desk = Desk(room, Obstacles(lines), Obstacles(edges))
    desk.add([_numbered(first + i, shapely.Polygon(ring)) for i, ring in enumerate(rings)])
    pasted = [
        shapely.Polygon(ring).buffer(0)
        for zone, ring in zip(zones, rings, strict=True)
        if zone.kind == "pasted"
    ]
    marks: tuple[Mark, ...] = (
        *hatched(pasted, desk.taken, 1.5),
        *edges,
        *lines,
        *desk.marks,
    )
    boxes = [box_of(mark) for mark in marks]
    left = min(0.0, *(box.left for box in boxes))
    top = min(0.0, *(box.top for box in boxes))
    low = max(box.bottom for box in boxes)
    right = max(box.right for box in boxes)
    return Block(right - left, low - top, moved(marks, -left, -top))


def _numbered(number: int, shape: Any) -> Wanted:
    """Return a zone's number: inside it, else beside it on a short line."""
    point = shape.representative_point()
    middle = shape.centroid
    at = (float(point.x), float(point.y))
    left, top, right, bottom = shape.bounds
    places = [
        (float(middle.x), float(middle.y), 0.0),
        (*at, 0.0),
        *(
            (left + (right - left) * u, top + (bottom - top) * v, 0.0)
            for v in (0.25, 0.75, 0.1, 0.9)
            for u in (0.5, 0.2, 0.8)
        ),
    ]
    within = covered(shape, words_slots(str(number), BODY, places))
    return Wanted("", at, within or tuple(tag_slots(str(number), at)))
