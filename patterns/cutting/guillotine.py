"""Laying pieces so that every cut runs through: what board shears and long knives need.

Each region of stock takes one piece at its corner and is parted beside it by two through cuts;
what is left makes two regions more. A piece that fills a side of the region comes first, for it
needs one cut less; else the first in turn that fits.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from patterns.cutting.shapes import ANY_AREA, Filled, LaidShape, Parted, Region, Shape


def fill(
    order: Sequence[Shape],
    lengthwise: Sequence[bool],
    left: list[int],
    width: int,
    length: int,
    spare: int = ANY_AREA,
) -> Filled:
    """Lay what is left on a rectangle; `left` is counted down. See `shapes.Fill`."""
    waiting = [
        (shape, first) for shape, first in zip(order, lengthwise, strict=True) if left[shape.kind]
    ]
    by_across: dict[int, list[_Turn]] = {}
    by_along: dict[int, list[_Turn]] = {}
    for place, (shape, first) in enumerate(waiting):
        turn = (place, shape, first)
        by_across.setdefault(shape.across, []).append(turn)
        by_along.setdefault(shape.along, []).append(turn)
    parted: list[Parted] = []
    regions = [Region(0, 0, width, length)]
    empty = 0
    while regions and empty <= spare:
        region = regions.pop()
        found = _exact(region, by_across, by_along, left) or _first(region, waiting)
        if found is None:
            parted.append(Parted(region))
            empty += region.width * region.length
            continue
        shape, first = found
        left[shape.kind] -= 1
        if not left[shape.kind]:
            waiting = [one for one in waiting if one[0].kind != shape.kind]
        done = Parted(region, LaidShape(shape, region.across, region.along), first)
        parted.append(done)
        regions += remainders(done)
    return Filled(tuple(one.spot for one in parted if one.spot), tuple(parted), empty)


_Turn = tuple[int, Shape, bool]
"""Its place in the order, the shape, and whether its first cut runs lengthwise."""


def _exact(
    region: Region,
    by_across: Mapping[int, Sequence[_Turn]],
    by_along: Mapping[int, Sequence[_Turn]],
    left: Sequence[int],
) -> tuple[Shape, bool] | None:
    """Return what fills the region, else the first in turn that fills one of its sides."""
    best: _Turn | None = None
    for turn in by_across.get(region.width, ()):
        shape = turn[1]
        if shape.along <= region.length and left[shape.kind]:
            if shape.along == region.length:
                return turn[1:]
            best = best or turn
    for turn in by_along.get(region.length, ()):
        shape = turn[1]
        if shape.across < region.width and left[shape.kind]:
            if best is None or turn[0] < best[0]:
                best = turn
            break
    return None if best is None else best[1:]


def _first(region: Region, waiting: Sequence[tuple[Shape, bool]]) -> tuple[Shape, bool] | None:
    """Return the first in turn that fits."""
    for turn in waiting:
        if turn[0].across <= region.width and turn[0].along <= region.length:
            return turn
    return None


def remainders(one: Parted) -> tuple[Region, ...]:
    """Return the regions left beside the piece at a region's corner, the smaller last."""
    if one.spot is None:
        return ()
    (x, y, width, length), shape = one.region, one.spot.shape
    right, below = width - shape.across, length - shape.along
    if one.lengthwise:
        beside = Region(x + shape.across, y, right, length)
        beyond = Region(x, y + shape.along, shape.across, below)
    else:
        beside = Region(x + shape.across, y, right, shape.along)
        beyond = Region(x, y + shape.along, width, below)
    if right <= 0:
        return (beyond,) if below > 0 else ()
    if below <= 0:
        return (beside,)
    if beside.width * beside.length < beyond.width * beyond.length:
        return beyond, beside
    return beside, beyond
