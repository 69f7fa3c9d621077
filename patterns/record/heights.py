"""Heights of the old sewing that cannot stand: outside the fold, out of order, one over another."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from itertools import pairwise

from patterns.errors import Problem, Problems
from patterns.record.legible import Legible
from patterns.units import trimmed

_HEIGHT = "text_block.height"


def _inside(read: Legible, name: str) -> Problems:
    yield from _outside(name, read.get(name), read.get(_HEIGHT))


def _in_order(read: Legible, name: str) -> Problems:
    yield from _slip(name, read.get(name))


def _outside(name: str, places: tuple[float, ...] | None, height: float | None) -> Problems:
    if places is None or height is None:
        return
    outside = [place for place in places if place > height]
    if outside:
        yield Problem(
            name,
            f"holds {trimmed(outside[0])} mm, outside the fold",
            f"0 to {trimmed(height)} mm from the head",
            "measure along the fold",
            "limit",
        )


def _slip(name: str, places: tuple[float, ...] | None) -> Problems:
    slip = next(((a, b) for a, b in pairwise(places or ()) if b <= a), None)
    if slip:
        yield Problem(
            name,
            f"has {trimmed(slip[1])} after {trimmed(slip[0])}",
            "rising heights, each once",
            "write each height once, from head to tail",
        )


def _no_supports(read: Legible) -> Problems:
    if read.get("sewing.supports_at") and read.get("sewing.supports") == "none":
        yield Problem(
            "sewing.supports_at",
            'names supports, but sewing.supports is "none"',
            'no heights beside sewing.supports = "none"',
            "keep one",
        )


def _support_in_fold(read: Legible) -> Problems:
    supports, width = read.get("sewing.supports_at"), read.get("sewing.support_width")
    height = read.get(_HEIGHT)
    if not (supports and width and height):
        return
    if supports[0] < width / 2 or supports[-1] > height - width / 2:
        least = min(supports[0], height - supports[-1])
        yield Problem(
            "sewing.support_width",
            f"is {trimmed(width)} mm: a support would stand out of the fold of "
            f"{trimmed(height)} mm",
            f"at most twice {trimmed(max(0.0, least))} mm, the least way from a support to an end",
            "measure its middle from the head again",
        )


def _supports_apart(read: Legible) -> Problems:
    supports, width = read.get("sewing.supports_at"), read.get("sewing.support_width")
    apart = min((tail - head for head, tail in pairwise(supports or ())), default=None)
    if width and apart is not None and apart < width:
        yield Problem(
            "sewing.support_width",
            f"is {trimmed(width)} mm: supports overlap",
            f"at most {trimmed(max(0.0, apart))} mm, from one middle to the next",
            "measure again",
        )


def _first_kettle(read: Legible) -> Problems:
    holes = read.get("sewing.kettles") or read.get("sewing.stations")
    if read.get("sewing.stations_from") == "kettle" and holes and holes[0] != 0:
        yield Problem(
            "sewing.stations_from",
            f'is "kettle", but the first kettle is at {trimmed(holes[0])}',
            '"head", or "kettle" with the first kettle at 0',
            "write it as 0 and measure the others from it",
        )


def _tie_down(read: Legible) -> Problems:
    down, height = read.get("sewing.tie_down"), read.get(_HEIGHT)
    if down and height and 2 * down >= height:
        yield Problem(
            "sewing.tie_down",
            f"is {trimmed(down)} mm at head and tail of {trimmed(height)} mm",
            f"less than half of {trimmed(height)} mm",
            "measure each from its own end",
        )


def _described_once(read: Legible) -> Problems:
    seen: set[int] = set()
    for name, fold in read.blocks("sewing.fold"):
        gathering = fold.get("gathering", 0)
        if gathering in seen:
            found = f"{gathering} is described twice"
            yield Problem(f"{name}.gathering", found, "each once", "keep one")
        seen |= {gathering} - {0}


def _is_there(read: Legible) -> Problems:
    first = read.get("text_block.anchor_first", 1)
    last = read.get("text_block.anchor_last") or read.get("text_block.gatherings")
    if last is None:
        return
    for name, fold in read.blocks("sewing.fold"):
        gathering, most = fold.get("gathering", 0), last - first + 1
        if gathering > most > 0:
            remedy = "count from the front"
            yield Problem(f"{name}.gathering", f"is {gathering}", f"1 to {most}", remedy, "limit")


def _holes_inside(read: Legible) -> Problems:
    height = read.get(_HEIGHT)
    for name, fold in read.blocks("sewing.fold"):
        yield from _outside(f"{name}.holes", fold.get("holes"), height)


def _holes_in_order(read: Legible) -> Problems:
    for name, fold in read.blocks("sewing.fold"):
        yield from _slip(f"{name}.holes", fold.get("holes"))


_LISTS = tuple(f"sewing.{key}" for key in ("stations", "kettles", "supports_at", "holes_at"))
CHECKS: tuple[Callable[[Legible], Problems], ...] = (
    *(partial(_inside, name=name) for name in _LISTS),
    *(partial(_in_order, name=name) for name in _LISTS),
    _no_supports,
    _support_in_fold,
    _supports_apart,
    _first_kettle,
    _tie_down,
    _described_once,
    _is_there,
    _holes_inside,
    _holes_in_order,
)
