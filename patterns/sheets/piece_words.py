"""The words wanted on a piece, each with the places it may take, what matters most first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial
from itertools import pairwise
from typing import Any

import numpy as np
import shapely

from patterns.model.capitals import BODY, HEAD, NAME
from patterns.model.drawing import Mark, Point
from patterns.model.lettering import width_mm
from patterns.model.piece import UPRIGHT, WARPS, Fold, Hole, Label, Piece, Zone
from patterns.sheets.place import (
    Slots,
    Wanted,
    WordPlace,
    WordRoom,
    joined,
    line_slots,
    words_slots,
)
from patterns.sheets.zones import letters, says
from patterns.sketch.arrows import grain
from patterns.sketch.hatching import crossings

LEVEL = (0.0, 1.0)
"""Across a level line."""
RISES = (0.5, 0.42, 0.58, 0.35, 0.65, 0.28, 0.72, 0.2, 0.8)
"""Where the words of an edge are tried, as shares of the height."""


def batches(piece: Piece) -> tuple[list[Wanted], ...]:
    """Return the words to be placed, what matters most first."""
    sheet = WordRoom(shapely.Polygon(piece.outline))
    solid = WordRoom(shapely.Polygon(piece.outline, piece.openings)) if piece.openings else sheet
    labels = _unsaid(piece)
    return (
        _ends(piece, sheet),
        [*([_grain(piece, sheet)] if piece.stock else []), _name(piece, solid)],
        [_label(label, sheet) for label in labels if label.rank == "name"],
        [
            *(_fold(fold) for fold in piece.folds if fold.label),
            *(_label(label, sheet) for label in labels if label.rank == "note"),
            *_zones(piece),
            *_face(piece, solid),
        ],
        [
            *(_hole(hole) for hole in piece.holes if hole.label),
            *(_label(label, sheet) for label in labels if label.rank == "small"),
        ],
    )


def _unsaid(piece: Piece) -> list[Label]:
    """Return an author's words that neither the piece's own name nor what a zone is pasted to says."""
    told = {(piece.title or piece.name).lower(), *(zone.to.lower() for zone in piece.zones)}
    return [each for each in piece.labels if each.rank == "name" or each.text.lower() not in told]


def _name(piece: Piece, solid: WordRoom) -> Wanted:
    """Return the piece's own name in bold, to stay with it when it is cut out."""
    left, top, right, bottom = piece.bounds
    text = (piece.title or piece.name)[:1].upper() + (piece.title or piece.name)[1:]
    shares = (0.5, 0.3, 0.7, 0.2, 0.8)
    rises = (0.12, 0.2, 0.3, 0.42, 0.55, 0.66, 0.78, 0.88)
    spots = [(left + (right - left) * u, top + (bottom - top) * v) for v in rises for u in shares]
    level = [(x, y, 0.0) for x, y in spots]
    upright = [(x, y, 90.0) for x, y in spots]
    within = words_slots(text, HEAD, [*level, *upright], bold=True)
    beside = [(x, top + (bottom - top) * v, 90.0) for x in (left - 4, right + 4) for v in rises]
    slots = solid.covered(within)
    return Wanted("", spots[0], joined([slots, words_slots(text, HEAD, beside, bold=True)]))


def _ends(piece: Piece, sheet: WordRoom) -> list[Wanted]:
    """Return HEAD and TAIL at the ends, and the words of the left and right edges.

    An edge's word stays in its own half of the piece: past the middle it would name the other edge.
    """
    left, top, right, bottom = piece.bounds
    made = []
    for text, y, inward in ((piece.head, top, 1), (piece.tail, bottom, -1)):
        if not text:
            continue
        x = _middle_at(sheet, y + inward * 0.5)
        half = width_mm(text, HEAD, bold=True) / 2
        shifts = (0.0, half + 3, -half - 3, 2 * half + 6, -2 * half - 6)
        places = [
            (x + dx, y + inward * depth, 0.0) for depth in (4.0, 6.0, 9.0, 13.0) for dx in shifts
        ]
        places += [
            (x + dx, y + inward * (half + 2.5 + more), 90.0)
            for more in (0, 4, 9)
            for dx in (0.0, 4.5, -4.5)
        ]
        places += [(x + dx, y - inward * away, 0.0) for away in (3.5, 9.0, 16.0) for dx in shifts]
        places += [
            (x + (right - left) / 2 + half + 2, y + inward * depth, 0.0)
            for depth in (3.0, 8.0, 13.0)
        ]
        made.append(Wanted(text, (x, y), words_slots(text, HEAD, places, bold=True)))
    for text, x, inward in ((piece.left, left, 1), (piece.right, right, -1)):
        if not text:
            continue
        ys = [top + (bottom - top) * v for v in RISES]
        edges = _edges_at(sheet, ys, inward)
        places = [
            (edge + inward * depth, y, 90.0)
            for depth in (4.0, 6.0, 9.0)
            if depth + HEAD / 2 <= (right - left) / 2
            for edge, y in zip(edges, ys, strict=True)
        ]
        places += [(x - inward * 3.5, y, 90.0) for y in ys]
        made.append(Wanted(text, (edges[0], ys[0]), words_slots(text, HEAD, places, bold=True)))
    return made


def _middle_at(sheet: WordRoom, y: float) -> float:
    """Return the middle of the longest run of a sheet at a height."""
    left, _, right, _ = sheet.bounds
    if sheet.upright:
        return (left + right) / 2
    _, x = crossings(sheet.shape, LEVEL, np.array([y]))
    if not len(x):
        return (left + right) / 2
    longest = 2 * int(np.argmax(x[1::2] - x[::2]))
    return float((x[longest] + x[longest + 1]) / 2)


def _edges_at(sheet: WordRoom, ys: Sequence[float], inward: int) -> list[float]:
    """Return where the left edge (inward 1) or the right one lies at some heights."""
    outermost = sheet.bounds[0] if inward == 1 else sheet.bounds[2]
    if sheet.upright:
        return [outermost] * len(ys)
    line, x = crossings(sheet.shape, LEVEL, np.array(ys))
    at = np.searchsorted(line, np.arange(len(ys) + 1))
    return [
        float(x[a if inward == 1 else b - 1]) if b > a else outermost
        for a, b in pairwise(at.tolist())
    ]


def _grain(piece: Piece, sheet: WordRoom) -> Wanted:
    """Return the double-headed arrow with its word; on the piece, else beside it."""
    left, top, right, bottom = piece.bounds
    at = ((left + right) / 2, (top + bottom) / 2)
    if piece.grain == "any":
        places = [
            (left + (right - left) * u, top + (bottom - top) * v, 0.0)
            for v in (0.8, 0.2, 0.6, 0.4)
            for u in (0.5, 0.25, 0.75)
        ]
        places += [(right + 16, top + (bottom - top) * v, 0.0) for v in (0.5, 0.2, 0.8)]
        return Wanted("", at, words_slots("grain: any way", BODY, places))
    word = "WARP" if piece.grain in WARPS else "grain"
    upright = piece.grain in UPRIGHT
    extent = piece.height_mm if upright else piece.width_mm
    within, beside = list[Arrow](), list[Arrow]()
    shares = (0.25, 0.75, 0.5, 0.35, 0.65, 0.15, 0.85)
    for length in (45.0, 28.0, 17.0):
        if length > extent - 4:
            continue
        for v in (0.7, 0.6, 0.35, 0.5):
            for u in shares:
                along, over = (v, u) if upright else (u, v)
                x, y = (
                    left + (right - left) * (over if upright else along),
                    top + (bottom - top) * (along if upright else over),
                )
                within.append((x, y, length))
    for away in (5.0, 9.0, 14.0, 22.0, 30.0):
        for v in (0.5, 0.2, 0.8):
            y = top + (bottom - top) * v
            for length in (28.0, 17.0):
                reach = away if upright else length / 2 + away - 3
                beside += [(right + reach, y, length), (left - reach, y, length)]
    x = at[0]
    for away in (5.0, 9.0, 14.0):
        beside += [(x, bottom + away, 17.0), (x, top - away, 17.0)]
    inner, outer = (_arrows(word, places, upright) for places in (within, beside))
    slots = joined([sheet.covered(inner), outer])
    return Wanted(f"{word} runs {'head-tail' if upright else 'spine-fore edge'}", at, slots)


Arrow = tuple[float, float, float]
"""The middle of an arrow, and its length."""


def _arrows(word: str, places: Sequence[Arrow], upright: bool) -> Iterator[WordPlace]:
    """Yield slots for arrows with their word at the left, or above where they are level."""
    off = BODY * 0.72 + 1.0
    middles = [(x - off, y, 90.0) if upright else (x, y - off, 0.0) for x, y, _ in places]
    lettered = line_slots(word, BODY, middles, bold=True)
    for (x, y, length), words in zip(places, lettered, strict=True):
        half = length / 2
        wide, high = (1.2, half) if upright else (half, 1.2)
        left, top, right, bottom = words.sides
        sides = min(left, x - wide), min(top, y - high), max(right, x + wide), max(bottom, y + high)
        yield WordPlace(sides, partial(_arrow, x, y, half, upright, words))


def _arrow(x: float, y: float, half: float, upright: bool, words: WordPlace) -> tuple[Mark, ...]:
    """Return an arrow of half a length about its middle, with its word."""
    ends = ((x, y - half), (x, y + half)) if upright else ((x - half, y), (x + half, y))
    return *grain(*ends), *words.draw()


def _fold(fold: Fold) -> Wanted:
    """Return a fold's words, beside its line."""
    (ax, ay), (bx, by) = fold.line
    upright = abs(by - ay) >= abs(bx - ax)
    places = []
    for off in (3.2, 4.4, 6.0):
        for share in (0.84, 0.16, 0.7, 0.3, 0.6, 0.4, 0.92, 0.08):
            x, y = ax + (bx - ax) * share, ay + (by - ay) * share
            if upright:
                places += [(x - off, y, 90.0), (x + off, y, 90.0)]
            else:
                places += [(x, y - off, 0.0), (x, y + off, 0.0)]
    return Wanted(fold.label, ((ax + bx) / 2, (ay + by) / 2), words_slots(fold.label, BODY, places))


def _face(piece: Piece, solid: WordRoom) -> list[Wanted]:
    """Return which face lies up; where the piece has no room for it, it is said beside it."""
    if not piece.face_up:
        return []
    left, top, _, _ = piece.bounds
    wide, high = piece.width_mm, piece.height_mm
    downs = ((0.15, 11.0), (0.2, 17.0), (0.3, 26.0), (0.4, 40.0), (0.5, 70.0), (0.7, 200.0))
    level = [
        (left + wide * u, top + min(high * v, down), 0.0)
        for v, down in downs
        for u in (0.5, 0.25, 0.75, 0.17, 0.83)
    ]
    upright = [
        (left + wide * u, top + high * v, 90.0)
        for v in (0.25, 0.5, 0.75)
        for u in (0.5, 0.25, 0.75)
    ]
    widths = [w for w in (wide - 4, wide * 0.48, wide * 0.3, wide * 0.22) if w > 14]
    slots = [
        words_slots(piece.face_up, BODY, level, widths=widths),
        words_slots(piece.face_up, BODY, upright, widths=[high - 6, high * 0.45]),
    ]
    return [Wanted("", (left + wide / 2, top + high / 4), joined(slots), solid)]


def _zones(piece: Piece) -> list[Wanted]:
    made = []
    for zone, letter in zip(piece.zones, letters(piece), strict=True):
        text = says(zone)
        shown = f"{letter} · {text}" if letter else text
        shape = shapely.Polygon(zone.outline).buffer(0)
        x, y = at = _inner_point(shape)
        rise = (shape.bounds[3] - shape.bounds[1]) * 0.3
        others = tuple(
            (x, y + dy) for dy in (rise, -rise) if shapely.intersects_xy(shape, x, y + dy)
        )
        ground = WordRoom(shape)
        made.append(Wanted(text, at, _filling(shown, ground, at, zone), ground, others, letter))
    return made


def _inner_point(shape: Any) -> Point:
    middle = shape.centroid
    point = middle if shape.covers(middle) else shape.representative_point()
    return float(point.x), float(point.y)


def _filling(text: str, ground: WordRoom, middle: Point, zone: Zone) -> Slots:
    """Return slots for words inside a zone: upright and level, wrapped to its width and less."""
    left, top, right, bottom = ground.bounds
    wide, high = right - left, bottom - top
    x, y = middle
    tiers: tuple[float, ...] = (0.5, 0.42, 0.58, 0.33, 0.67, 0.25, 0.75, 0.15, 0.85)
    if zone.face == "under":
        tiers = (0.62, 0.7, 0.55, 0.78, 0.45, 0.38, 0.3, 0.22, 0.85, 0.13)
    level = [
        (cx, top + high * v, 0.0) for v in tiers for cx in (x, left + wide * 0.3, left + wide * 0.7)
    ]
    upright = [
        (left + wide * u, y + high * v, 90.0) for u in (0.5, 0.3, 0.7) for v in (0.0, 0.2, -0.2)
    ]
    slots: list[Slots] = []
    whole = max(width_mm(word, BODY) for word in text.split())  # no word is broken
    if wide > 14:
        widths = [w for w in (min(wide - 4, 60.0), wide * 0.7, wide * 0.48) if w > max(12, whole)]
        slots.append(words_slots(text, BODY, level, widths=widths))
    if high > 14:
        slots.append(
            words_slots(
                text,
                BODY,
                upright,
                widths=[w for w in (high - 4, high * 0.6, high * 0.36) if w > whole],
            )
        )
    return joined(slots)


def _label(label: Label, sheet: WordRoom) -> Wanted:
    """Return an author's words: at their place, then a little off, inside their ring if any."""
    cap = NAME if label.rank == "name" else BODY
    bold = label.rank == "name"
    x, y = label.at
    turned = 90.0 if abs(label.angle_deg % 180 - 90) < 45 else 0.0
    ground = WordRoom(shapely.Polygon(label.within)) if label.within else sheet
    shape = ground.shape
    inside = shapely.intersects_xy(shape, x, y) or shapely.intersects_xy(shape.buffer(0.01), x, y)
    left, top, right, bottom = ground.bounds
    room = (bottom - top) if turned else (right - left)
    steps = [(0.0, 0.0)]
    for reach in (2.5, 5.0, 8.0, 12.0, 17.0, 24.0, 33.0):
        steps += [
            (0, reach),
            (0, -reach),
            (reach, 0),
            (-reach, 0),
            (reach, reach),
            (-reach, reach),
            (reach, -reach),
            (-reach, -reach),
        ]
    places = [(x + dx, y + dy, turned) for dx, dy in steps]
    if label.within:
        places += [
            (left + (right - left) * u, top + (bottom - top) * v, turned)
            for v in (0.5, 0.3, 0.7, 0.15, 0.85)
            for u in (0.5, 0.3, 0.7)
        ]
    widths = (
        [w for w in (room - 3, room * 0.6, room * 0.42) if w > 10] or [room]
        if inside
        else [60.0, 30.0]
    )
    slots = words_slots(label.text, cap, places, bold, widths)
    if label.within or inside:
        across = [(px, py, 90.0 - turned) for px, py, _ in places[:25]]
        slots = joined([slots, words_slots(label.text, cap, across, bold, widths)])
    return Wanted(label.text, label.at, slots, ground if inside else None)


def _hole(hole: Hole) -> Wanted:
    """Return a hole's words: right of it, left, above, below, and the corners between."""
    half = width_mm(hole.label, BODY) / 2 + 0.6
    rise = BODY * 0.72 + 0.6
    x, y = hole.at
    places = []
    for away in (0.5, 2.0, 4.5):
        r = hole.radius + away
        places += [
            (x + r + half, y, 0.0),
            (x - r - half, y, 0.0),
            (x, y - r - rise, 0.0),
            (x, y + r + rise, 0.0),
        ]
        places += [
            (x + sx * (r * 0.7 + half), y + sy * (r * 0.7 + rise), 0.0)
            for sy in (-1, 1)
            for sx in (1, -1)
        ]
    return Wanted(hole.label, hole.at, words_slots(hole.label, BODY, places))
