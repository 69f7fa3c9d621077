"""Which gatherings are sewn, and at which heights: scattered stitches over a whole spine.

Heights are common to the book: they are placed once, as far apart as the folds allow, and shared
out so that neighbouring gatherings are never sewn at one height. `classes` deals them in order;
`best` searches for the layout whose stitches lie farthest apart (patterns/spread.py). Where a small
book has no room, a fixed ladder of concessions is climbed and every concession is named.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import combinations, pairwise
from math import hypot
from typing import Literal

from patterns.errors import PlacementError
from patterns.maximin import Interval, exact, most_even, most_that_fit
from patterns.stations import Fold, centre_set, refuse_if_too_many, shared

__all__ = ["Arrangement", "Request", "arrange", "chosen_gatherings", "heights_that_fit"]

SHORTEST_STITCH_MM, LEAST_CLEAR_MM = 8.0, 3.0
FEWEST_STITCHES = 2  # one stitch lets the lining turn: a shorter stitch is the lesser evil

Centres = tuple[Fraction, ...]


@dataclass(frozen=True, slots=True)
class Request:
    """What is to be arranged; heights in mm from the head of the fold."""

    gatherings: tuple[int, ...]
    """Numbers of the gatherings to be sewn, counted from the first."""
    pitch_mm: float
    """From one gathering to the next on the unrolled spine."""
    fold: Fold
    """The common fold; its `reuse` allows old holes as the last concession only."""
    stitches: int
    """In each gathering."""
    stitch_mm: float = 15.0
    layout: Literal["best", "classes"] = "best"
    strips: int | None = None
    """Number of pricking strips: dealt out by `classes` (2), not exceeded by `best` (no limit)."""
    fixed: tuple[tuple[int, float], ...] = ()
    """Pinned stitches: gathering and centre."""
    own_holes_mm: Mapping[int, tuple[float, ...]] = field(default_factory=dict)
    """Old holes of the gatherings whose fold differs from the common one."""


@dataclass(frozen=True, slots=True)
class Arrangement:
    """Where every stitch lies, and how good that is."""

    centres_mm: Mapping[int, tuple[float, ...]]
    """Centres of the stitches of each sewn gathering, from the head down."""
    heights_mm: tuple[float, ...]
    """The common heights that the gatherings share out."""
    strips: Mapping[int, int]
    """Number of the pricking strip of each sewn gathering, from 1."""
    stitch_mm: float
    clear_mm: float
    distance_mm: float | None
    """Least distance between two bars on the unrolled spine; none for a single stitch."""
    pitch_mm: float | None
    """Least distance between two centres of one fold; none when every fold has one stitch."""
    status: Literal["proven", "best found", "dealt"]
    bound_mm: float | None
    """No layout of these heights has a larger least distance; none when heights were dealt."""
    eased: tuple[str, ...]
    """Concessions made because the book is small, in the order they were made."""


@dataclass(frozen=True, slots=True)
class _Rung:
    """One step of the ladder: what is asked of every gathering."""

    fold: Fold
    stitch: Fraction
    stitches: int
    strips: int | None


def chosen_gatherings(gatherings: int, every: float = 3) -> tuple[int, ...]:
    """Return the numbers of the gatherings to sew: both ends and about every `every`-th between.

    >>> chosen_gatherings(16)
    (1, 2, 5, 8, 12, 15, 16)
    """
    if gatherings <= 5:
        return tuple(range(1, gatherings + 1))
    inner = gatherings - 3
    n = max(1, round(inner / exact(every)))
    between = (round(2 + Fraction(i * inner, n)) for i in range(1, n))
    return tuple(sorted({1, 2, *between, gatherings - 1, gatherings}))


def heights_that_fit(fold: Fold, stitch_mm: float) -> int:
    """Return how many common heights fit on the fold with no two bars level.

    Neighbouring gatherings can take half of them each, so this bounds the stitches of one.
    """
    return most_that_fit(centre_set(fold, stitch_mm), stitch_mm)


def arrange(request: Request) -> Arrangement:
    """Return the arrangement asked for, after as few concessions as make it possible.

    Raises PlacementError when a pinned stitch breaks a clearance, and when nothing fits even after
    the last concession; the line says what would have to give.
    """
    pinned = {gathering for gathering, _ in request.fixed}
    request = replace(request, gatherings=tuple(sorted({*request.gatherings, *pinned})))
    asked, *_ = ladder = list(_ladder(request))
    _refuse_bad_pins(request, asked)
    for rung in ladder:
        if (found := _dealt(request, rung)) is not None:
            return replace(found, eased=tuple(_concessions(asked, rung)))
    raise _refusal(request, ladder[-1])


def _ladder(request: Request) -> Iterator[_Rung]:
    """Yield what to try: fewer strips, fewer stitches, then shorter stitches, less clearance."""
    for fold, stitch in _small_book(request):
        fewest = min(request.stitches, FEWEST_STITCHES)
        for stitches in range(request.stitches, fewest - 1, -1):
            if request.layout == "best":
                yield _Rung(fold, stitch, stitches, request.strips)
                continue
            most = min(request.strips or 2, len(request.gatherings))
            for strips in range(most, min(most, 2) - 1, -1):
                yield _Rung(fold, stitch, stitches, strips)


def _small_book(request: Request) -> Iterator[tuple[Fold, Fraction]]:
    """Yield fold and stitch as asked, then one concession more each time."""
    fold, stitch = replace(request.fold, reuse=False), exact(request.stitch_mm)
    yield fold, stitch
    while stitch > SHORTEST_STITCH_MM:
        stitch = max(stitch - 1, exact(SHORTEST_STITCH_MM))
        yield fold, stitch
    while fold.clear_mm > LEAST_CLEAR_MM:
        fold = replace(fold, clear_mm=max(fold.clear_mm - 0.5, LEAST_CLEAR_MM))
        yield fold, stitch
    if request.fold.reuse:
        yield replace(fold, reuse=True), stitch


def _concessions(asked: _Rung, given: _Rung) -> Iterator[str]:
    if given.strips != asked.strips:
        yield f"{given.strips} pricking strips in place of {asked.strips}"
    if given.stitches != asked.stitches:
        yield f"{given.stitches} stitches in a gathering in place of {asked.stitches}"
    if given.stitch != asked.stitch:
        yield f"stitch {float(given.stitch):g} mm in place of {float(asked.stitch):g}"
    if given.fold.clear_mm != asked.fold.clear_mm:
        yield f"clear {given.fold.clear_mm:g} mm in place of {asked.fold.clear_mm:g}"
    if given.fold.reuse:
        yield "existing holes used again"


def _rooms(request: Request, rung: _Rung) -> list[tuple[Interval, ...]]:
    """Return the centre set of every sewn gathering, in order."""
    common = centre_set(rung.fold, rung.stitch)
    return [
        centre_set(replace(rung.fold, holes_mm=request.own_holes_mm[gathering]), rung.stitch)
        if gathering in request.own_holes_mm
        else common
        for gathering in request.gatherings
    ]


def _pins(request: Request) -> list[Centres]:
    """Return the pinned centres of every sewn gathering, in order."""
    return [
        tuple(sorted(exact(centre) for pinned, centre in request.fixed if pinned == gathering))
        for gathering in request.gatherings
    ]


def _pins_lie_free(rooms: Iterable[Sequence[Interval]], pins: Iterable[Centres]) -> bool:
    return all(
        any(a <= pin <= b for a, b in room)
        for room, pinned in zip(rooms, pins, strict=True)
        for pin in pinned
    )


def _refuse_bad_pins(request: Request, asked: _Rung) -> None:
    for gathering, room, pins in zip(
        request.gatherings, _rooms(request, asked), _pins(request), strict=True
    ):
        for pin in pins:
            if not _pins_lie_free([room], [(pin,)]):
                free = ", ".join(f"{float(a):g} to {float(b):g}" for a, b in room) or "nowhere"
                raise PlacementError(
                    f"fixed {gathering}@{float(pin):g}: a stitch of {request.stitch_mm:g} mm there "
                    f"breaks a clearance; its centre may lie at {free} mm from the head"
                )
        apart = request.stitch_mm + request.fold.clear_mm
        for one, other in pairwise(pins):
            if other - one < exact(request.stitch_mm) + exact(request.fold.clear_mm):
                raise PlacementError(
                    f"fixed {gathering}@{float(one):g} and {gathering}@{float(other):g} lie "
                    f"{float(other - one):g} mm apart; stitches of one fold need {apart:g} mm from "
                    "centre to centre: move or drop one"
                )


def _dealt(request: Request, rung: _Rung) -> Arrangement | None:
    """Deal common heights out to the strips in order from the head, or None when they do not fit."""
    strips, count = rung.strips or 1, rung.stitches
    rooms, all_pins = _rooms(request, rung), _pins(request)
    room = shared(rooms)
    apart = rung.stitch + exact(rung.fold.clear_mm)
    alone = len(request.gatherings) == 1
    if most_that_fit(room, apart if alone else rung.stitch) < strips * count:
        return None
    heights = most_even(room, strips * count, rung.fold.height_mm)
    centres = [_pinned(heights[i % strips :: strips], pins) for i, pins in enumerate(all_pins)]
    if not _pins_lie_free(rooms, all_pins) or not _sewable(centres, rung.stitch, apart):
        return None
    return _arrangement(request, rung, heights, centres, "dealt", None)


def _pinned(strip: Centres, pins: Centres) -> Centres:
    """Put pins in place of the nearest centres of a strip."""
    for pin in pins:
        if strip:
            nearest = min(strip, key=lambda y: abs(y - pin))
            strip = tuple(y for y in strip if y != nearest)
    return tuple(sorted(strip + pins))


def _sewable(centres: list[Centres], stitch: Fraction, apart: Fraction) -> bool:
    """Tell whether folds keep their clearance and neighbours are nowhere level."""
    return all(b - a >= apart for fold in centres for a, b in pairwise(fold)) and all(
        abs(a - b) >= stitch for one, other in pairwise(centres) for a in one for b in other
    )


def _arrangement(
    request: Request,
    rung: _Rung,
    heights: Centres,
    centres: list[Centres],
    status: Literal["proven", "best found", "dealt"],
    bound_mm: float | None,
) -> Arrangement:
    strips = {strip: k for k, strip in enumerate(dict.fromkeys(centres), 1)}
    pitches = [b - a for fold in centres for a, b in pairwise(fold)]
    return Arrangement(
        centres_mm={
            gathering: tuple(map(float, fold))
            for gathering, fold in zip(request.gatherings, centres, strict=True)
        },
        heights_mm=tuple(map(float, heights)),
        strips=dict(zip(request.gatherings, (strips[fold] for fold in centres), strict=True)),
        stitch_mm=float(rung.stitch),
        clear_mm=rung.fold.clear_mm,
        distance_mm=least_distance(request, centres, rung.stitch),
        pitch_mm=float(min(pitches)) if pitches else None,
        status=status,
        bound_mm=bound_mm,
        eased=(),
    )


def least_distance(request: Request, centres: list[Centres], stitch: Fraction) -> float | None:
    """Return the least distance between two bars on the unrolled spine, in mm."""
    bars = [
        (exact(request.pitch_mm) * gathering, y)
        for gathering, fold in zip(request.gatherings, centres, strict=True)
        for y in fold
    ]
    distances = [
        hypot(float(x2 - x1), float(max(abs(y2 - y1) - stitch, Fraction(0))))
        for (x1, y1), (x2, y2) in combinations(bars, 2)
    ]
    return min(distances, default=None)


def _refusal(request: Request, last: _Rung) -> PlacementError:
    """Return the refusal with its numbers, at the end of the ladder."""
    alone = len(request.gatherings) == 1
    stitch = float(last.stitch)
    wanted = last.stitches * (1 if alone else 2)
    line = (
        f"even {last.stitches} stitches of {stitch:g} mm in a gathering, {last.fold.clear_mm:g} mm "
        f"clear of old holes and supports, cannot be placed on a fold of {last.fold.height_mm:g} mm"
    )
    try:
        refuse_if_too_many(last.fold, stitch, wanted, between_mm=None if alone else 0)
    except PlacementError as reason:
        line += f": {reason}"
    else:
        line += " without neighbours being level: own holes or pinned stitches leave no room for it"
    return PlacementError(line + ("" if request.fold.reuse else "; or allow old holes with reuse"))
