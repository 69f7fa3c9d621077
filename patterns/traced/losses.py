"""Losses mended as outlines, and the infills that fill them: overlap, leaf's edges, islands."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from shapely import affinity
from shapely.validation import explain_validity

from patterns.errors import SettingError
from patterns.model.drawing import Ring
from patterns.units import tenth

LEAST_MM2 = 0.5
"""Anything smaller than this is a slip of the pen."""
EDGE_MM = 0.05
MOST_CROSSINGS = 200
CHUNK = 64
FINE_MM = 0.01


@dataclass(frozen=True, slots=True)
class Mended:
    """Losses as polygons in reading order, and a sentence for everything that was put right."""

    losses: tuple[Any, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Infill:
    """One infill: what it fills, its nominal shape, the shape to cut first."""

    numbers: tuple[int, ...]
    loss: Any
    shape: Any
    rough: Any | None


def mended(traced: Sequence[Sequence[Ring]]) -> Mended:
    """Make sound polygons of traced rings; rings of one loss cut islands by the even-odd rule.

    Raises SettingError where nothing is left.
    """
    _refuse_tangle([ring for rings in traced for ring in rings])
    notes: list[str] = []
    parts: list[Any] = []
    for number, rings in enumerate(traced, 1):
        shape = shapely.Polygon()
        for ring in rings:
            shape = shape.symmetric_difference(_sound(ring, number, notes))
        polygons = [part for part in _polygons(shape) if part.area >= LEAST_MM2]
        if len(list(_polygons(shape))) > len(polygons):
            notes.append(f"outline {number}: slivers under {LEAST_MM2} mm² were left out")
        if len(polygons) > 1:
            notes.append(f"outline {number} is {len(polygons)} losses; each is filled by itself")
        parts += polygons
    merged = list(_polygons(shapely.union_all(parts)))
    if len(merged) < len(parts):
        notes.append(
            f"{len(parts)} outlines overlap or touch and were joined to {len(merged)}: see that none was traced twice"
        )
    merged = [part for part in merged if part.area >= LEAST_MM2]
    if not merged:
        raise SettingError(
            "loss_infill.outline: nothing with an area is enclosed; trace the loss as one closed line"
        )
    ordered = sorted(merged, key=lambda one: (round(one.bounds[1]), round(one.bounds[0])))
    return Mended(tuple(ordered), tuple(dict.fromkeys(notes)))


def _refuse_tangle(rings: Sequence[Ring]) -> None:
    """Refuse lines that cross each other or themselves too often to be put right."""
    pieces = []
    for ring in rings:
        ends = np.asarray(ring)
        runs = np.stack([ends, np.roll(ends, -1, axis=0)], axis=1)
        pieces.append(runs[np.any(runs[:, 0] != runs[:, 1], axis=1)])
    lines: Any = shapely.linestrings(np.concatenate(pieces))
    tree, crossings = shapely.STRtree(lines), 0
    for start in range(0, len(lines), CHUNK):
        some = lines[start : start + CHUNK]
        met = tree.query(some, predicate="intersects").shape[1]
        crossings += met - 3 * len(some)  # every piece meets itself and its two neighbours
        if crossings > 2 * MOST_CROSSINGS:
            raise SettingError(
                f"loss_infill.outline: the lines cross more than {MOST_CROSSINGS} times; trace each loss as one line once "
                "round it"
            )


def _sound(ring: Ring, number: int, notes: list[str]) -> Any:
    shape = shapely.Polygon(ring)
    if shape.is_valid:
        return shape
    reason = explain_validity(shape)
    where = reason.partition("[")[2].rstrip("]").split()
    place = f" near {float(where[0]):.1f},{float(where[1]):.1f}" if len(where) >= 2 else ""
    notes.append(
        f"outline {number} crosses or touches itself{place}: it was parted there; compare it with the leaf"
    )
    return shapely.union_all(list(_polygons(shapely.make_valid(shape))))


def _polygons(shape: Any) -> Iterator[Any]:
    for part in shapely.get_parts(shape):
        if part.geom_type in ("MultiPolygon", "GeometryCollection"):
            yield from _polygons(part)
        elif part.geom_type == "Polygon" and not part.is_empty:
            yield part


def mirrored(shapes: Iterable[Any], about_x: float) -> list[Any]:
    """Turn shapes over side to side about an upright line."""
    return [affinity.scale(one, -1.0, 1.0, origin=(about_x, 0.0)) for one in shapes]


def infills(
    losses: Sequence[Any],
    overlap_mm: float,
    oversize_mm: float,
    leaf: Any | None,
    spine_left: bool,
) -> tuple[list[Infill], list[str]]:
    """Grow every loss by the overlap, inside the leaf's edges; near ones are filled together.

    At head, tail and fore edge the rough shape stands out by `oversize_mm`, to be trimmed last; at
    the spine edge it does not. Raises SettingError for a loss outside the leaf.
    """
    notes: list[str] = []
    inside = [one if leaf is None else _within(one, leaf, n) for n, one in enumerate(losses, 1)]
    grown = [one.buffer(overlap_mm, quad_segs=_quarter(overlap_mm)) for one in inside]
    found = []
    for shape in _polygons(shapely.union_all(grown)):
        numbers = tuple(n for n, one in enumerate(grown, 1) if shape.buffer(FINE_MM).covers(one))
        if len(numbers) > 1:
            notes.append(
                f"losses {', '.join(map(str, numbers))} lie so close that their overlaps meet; one infill fills them"
            )
        loss = shapely.union_all([inside[n - 1] for n in numbers])
        islands = sum(len(part.interiors) for part in _polygons(loss))
        if islands > len(shape.interiors):
            notes.append(
                f"an island in loss {', '.join(map(str, numbers))} is too narrow for an opening; the infill goes under it"
            )
        found.append(_trimmed(numbers, loss, shape, leaf, oversize_mm, spine_left))
    return sorted(found, key=lambda one: one.numbers), notes


def _quarter(radius_mm: float) -> int:
    """Return the pieces of a quarter circle that lie within a hundredth of it (sagitta)."""
    return math.ceil(math.pi / 4 / math.acos(1 - FINE_MM / radius_mm))


def _within(loss: Any, leaf: Any, number: int) -> Any:
    inside = max(_polygons(loss.intersection(leaf)), key=lambda part: part.area, default=None)
    if inside is None or inside.area < LEAST_MM2:
        raise SettingError(
            f"loss_infill: loss {number} lies outside the leaf ({_place(loss)}); measure its points from the head "
            "corner of the leaf, or trace the leaf's edges with it and name that line “leaf”"
        )
    return inside


def _place(shape: Any) -> str:
    left, top, right, bottom = shape.bounds
    return f"x {tenth(left)} to {tenth(right)}, y {tenth(top)} to {tenth(bottom)} mm"


def _trimmed(
    numbers: tuple[int, ...],
    loss: Any,
    shape: Any,
    leaf: Any | None,
    oversize: float,
    spine_left: bool,
) -> Infill:
    if leaf is None:
        return Infill(numbers, loss, _fine(shape), None)
    kept = _whole(shape.intersection(leaf), numbers)
    along = _contact(kept, leaf)
    if not oversize or along.is_empty:
        return Infill(numbers, loss, _fine(kept), None)
    left, top, right, bottom = leaf.bounds
    spine, fore = (0.0, oversize) if spine_left else (oversize, 0.0)
    page = shapely.box(left - spine, top - oversize, right + fore, bottom + oversize)
    beyond = along.buffer(oversize, cap_style="flat", join_style="mitre").intersection(page)
    rough = _whole(kept.union(beyond.difference(leaf.buffer(-EDGE_MM / 2))), numbers)
    if rough.area - kept.area < LEAST_MM2:
        return Infill(numbers, loss, _fine(kept), None)
    return Infill(numbers, loss, _fine(kept), _fine(rough))


def _contact(kept: Any, leaf: Any) -> Any:
    """Return the lines along which an infill ends at the leaf's edge."""
    shared = kept.exterior.intersection(leaf.exterior.buffer(1e-6))
    lines = [one for one in shapely.get_parts(shared) if one.length > FINE_MM]
    return shapely.line_merge(shapely.MultiLineString(lines)).simplify(EDGE_MM / 50)


def _whole(shape: Any, numbers: tuple[int, ...]) -> Any:
    parts = sorted(_polygons(shape), key=lambda one: -one.area)
    if not parts:
        raise SettingError(
            f"loss_infill: nothing of loss {numbers[0]} lies on the leaf; trace it again"
        )
    return parts[0]


def _fine(shape: Any) -> Any:
    """Take out points that lie on a line to a hundredth of a millimetre."""
    simple = shape.simplify(FINE_MM / 2)
    return simple if simple.is_valid and simple.geom_type == "Polygon" else shape


def without_holes(shape: Any) -> list[Any]:
    """Cut a shape into parts that need no inner ring to be drawn.

    >>> ring = shapely.box(0, 0, 9, 9).difference(shapely.box(3, 3, 6, 6))
    >>> [len(part.interiors) for part in without_holes(ring)]
    [0, 0]
    """
    done: list[Any] = []
    rest = [part for part in _polygons(shape) if part.area > 0.01]
    while rest:
        part = rest.pop()
        if not part.interiors:
            done.append(part)
            continue
        hole = shapely.Polygon(part.interiors[0])
        left, top, right, bottom = part.bounds
        x = (hole.bounds[0] + hole.bounds[2]) / 2
        for half in (
            shapely.box(left - 1, top - 1, x, bottom + 1),
            shapely.box(x, top - 1, right + 1, bottom + 1),
        ):
            rest += [one for one in _polygons(part.intersection(half)) if one.area > 0.01]
    return sorted(done, key=lambda one: (one.bounds[0], one.bounds[1]))
