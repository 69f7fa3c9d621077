"""Pasted and free parts of a face: hatching, dotted outlines, and the two small views of a piece."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Sequence
from typing import Any

import shapely

from patterns.model.capitals import BODY
from patterns.model.drawing import Line, LineKind, Mark, Point
from patterns.model.lettering import wrap
from patterns.model.piece import Piece, Zone
from patterns.sheets.flow import close, stack
from patterns.sheets.obstacles import Obstacles, rows
from patterns.sheets.place import Desk, Wanted, WordRoom, joined, words_slots
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


def letters(piece: Piece) -> tuple[str, ...]:
    """Return the letter of each zone of a piece that is shown in small views as well, else none.

    It names the zone on the piece, in its view and in the key: those of the face that lies up
    come first. Numbers name all else.
    """
    if not any(zone.face == "under" and zone.kind == "pasted" for zone in piece.zones):
        return ("",) * len(piece.zones)
    order = sorted(range(len(piece.zones)), key=lambda i: piece.zones[i].face == "under")
    named = {place: _letter(number) for number, place in enumerate(order)}
    return tuple(named[place] for place in range(len(piece.zones)))


def _letter(number: int) -> str:
    """Count by letters.

    >>> _letter(0), _letter(25), _letter(26)
    ('a', 'z', 'aa')
    """
    more, last = divmod(number, 26)
    return (_letter(more - 1) if more else "") + chr(ord("a") + last)


def small_views(piece: Piece, width: float, known: Collection[str] = ()) -> Block:
    """Return both faces of a piece, small, pasted parts hatched, each zone with its letter.

    Of what is told beneath them `known` lines are left out.
    """
    half = (width - 5) / 2
    scale = min(half / piece.width_mm, VIEW_MM / piece.height_mm)
    pair = _pair(piece, half, scale)
    over = pair.width - width
    if over > 0.05:  # letters on lines beside the views
        pair = _pair(piece, half, max(scale * LEAST_SHARE, scale - over / (2 * piece.width_mm)))
    told = (close(text, BODY, width) for text in beneath(piece) if text not in known)
    return stack((pair, *told), gap=1.2)


def _pair(piece: Piece, half: float, scale: float) -> Block:
    """Return both faces side by side, each below its name, half a width wide."""
    named = letters(piece)
    views = []
    for face, title in (("up", "this face"), ("under", "under face")):
        shown = [
            (zone, letter)
            for zone, letter in zip(piece.zones, named, strict=True)
            if zone.face == face
        ]
        view = _view(piece, shown, scale, mirrored=face == "under")
        views.append((close(wrap(title, BODY, half), BODY, half), view))
    top = max(words.height for words, _ in views) + 1.2
    marks: list[Mark] = []
    x = 0.0
    for words, view in views:
        marks += moved(words.marks, x, top - 1.2 - words.height)
        marks += moved(view.marks, x, top)
        x = max(half + 5, view.width + 4)
    wide = max(2 * half + 5, *(box_of(mark).right for mark in marks))
    return Block(wide, top + max(view.height for _, view in views), tuple(marks))


LEAST_SHARE = 0.6
"""The views are made smaller to this share at least, so that all letters find room."""
VIEW_MM = 28.0
"""How high the small views are at most."""
TURNED = "under face: turned over side to side"


def beneath(piece: Piece) -> tuple[str, ...]:
    """Return what is told beneath both faces: how the under one is turned, and what is pasted."""
    return TURNED, *adhesives(piece)


def zones_alike(piece: Piece, other: Piece) -> bool:
    """Tell whether the zones of two pieces have the same letters and say the same of their faces.

    Of one board's piece and the other board's they do where nothing but the board's name differs.
    """
    one, two = (
        [(each.kind, each.face, says(each)) for each in both.zones] for both in (piece, other)
    )
    if one == two:
        return True
    names = [{word for *_, told in each for word in SIDE.findall(told)} for each in (one, two)]
    return [len(each) for each in names] == [1, 1] and _sideless(one) == _sideless(two)


SIDE = re.compile(r"\b(front|back)\b")


def _sideless(zones: Sequence[tuple[str, str, str]]) -> list[tuple[str, str, str]]:
    return [(kind, face, SIDE.sub("", told)) for kind, face, told in zones]


def adhesives(piece: Piece) -> Iterator[str]:
    """Yield which lettered zones are pasted, by their adhesive; all others stay free."""
    rows: dict[str, list[str]] = {}
    for zone, letter in zip(piece.zones, letters(piece), strict=True):
        if zone.kind == "pasted":
            told = f"pasted, {zone.adhesive}" if zone.adhesive else "pasted"
            rows.setdefault(told, []).append(letter)
    for told, named in rows.items():
        yield f"{told}: {', '.join(sorted(named, key=lambda one: (len(one), one)))}"


def _view(piece: Piece, shown: Sequence[tuple[Zone, str]], scale: float, mirrored: bool) -> Block:
    edge_left, edge_top, edge_right, _ = piece.bounds

    def to(point: Point) -> Point:
        x = edge_right - point[0] if mirrored else point[0] - edge_left
        return x * scale, (point[1] - edge_top) * scale

    width, height = piece.width_mm * scale, piece.height_mm * scale
    outline = tuple(map(to, piece.outline))
    folds = [tuple(map(to, fold.line)) for fold in piece.folds]
    rings = [tuple(map(to, zone.outline)) for zone, _ in shown]
    lines = (
        *(Line(LineKind.REFERENCE, fold) for fold in folds),
        Line(LineKind.OUTLINE, outline, closed=True),
    )
    edges = [Line(LineKind.REFERENCE, ring, closed=True) for ring in rings]
    room = Box(-9.0, -3.0, width + 9.0, height + 6.0)
    desk = Desk(room, Obstacles(lines), Obstacles(edges))
    desk.add(
        [
            _lettered(zone, letter, shapely.Polygon(ring))
            for (zone, letter), ring in zip(shown, rings, strict=True)
        ]
    )
    pasted = [
        shapely.Polygon(ring).buffer(0)
        for (zone, _), ring in zip(shown, rings, strict=True)
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


def _lettered(zone: Zone, letter: str, shape: Any) -> Wanted:
    """Return a zone's letter, with its word where that fits; beside it on a short line else."""
    point = shape.representative_point()
    middle = shape.centroid
    at = (float(point.x), float(point.y))
    left, top, right, bottom = shape.bounds
    spots = [
        (float(middle.x), float(middle.y)),
        at,
        *(
            (left + (right - left) * u, top + (bottom - top) * v)
            for v in (0.25, 0.75, 0.1, 0.9)
            for u in (0.5, 0.2, 0.8)
        ),
    ]
    word = (zone.to or "free") if zone.kind == "free" else f"to {zone.to}"
    full = words_slots(
        f"{letter} · {word}", BODY, [(x, y, turn) for turn in (90.0, 0.0) for x, y in spots]
    )
    alone = words_slots(letter, BODY, [(x, y, 0.0) for x, y in spots])
    within = WordRoom(shape).covered(joined([full, alone]))
    ends = ((at[0], top + (bottom - top) * v) for v in (0.94, 0.06))
    also = tuple(end for end in ends if shapely.intersects_xy(shape, *end))
    return Wanted(letter, at, within, also=also, name=letter)
