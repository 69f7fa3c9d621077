"""Which gatherings are sewn, and at which heights: scattered stitches over a whole spine.

Heights are common to the book: they are placed once, as far apart as the folds allow, and shared
out so that neighbouring gatherings are never sewn at one height. `classes` deals them in order;
`best` searches for the layout whose stitches lie farthest apart (patterns/sewing/spread.py). Where a small
book has no room, a fixed ladder of concessions is climbed and every concession is named.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import lru_cache, partial
from itertools import pairwise
from math import lcm, sqrt
from typing import Literal

from patterns.errors import PlacementError
from patterns.sewing.concessions import Rung, conceded, ladder
from patterns.sewing.maximin import Interval, exact, most_even, most_that_fit
from patterns.sewing.meter import Meter, Spent
from patterns.sewing.pins import lie_free, refuse_bad_pins
from patterns.sewing.sharing import HeightChoice
from patterns.sewing.spread import least_pitch, least_square, spread
from patterns.sewing.stations import FoldToSew, centre_set, refuse_if_too_many, shared

__all__ = ["Request", "StitchPlaces", "arrange", "chosen_gatherings", "heights_that_fit"]

Centres = tuple[Fraction, ...]


@dataclass(frozen=True, slots=True)
class Request:
    """What is to be arranged; heights in mm from the head of the fold."""

    gatherings: tuple[int, ...]
    """Numbers of the gatherings to be sewn, counted from the first."""
    pitch_mm: float
    """From one gathering to the next on the unrolled spine."""
    fold: FoldToSew
    """The common fold; its `reuse` allows old holes as the last concession only."""
    stitches: int
    """In each gathering that has no number of its own."""
    stitch_mm: float = 15.0
    layout: Literal["best", "classes"] = "best"
    strips: int | None = None
    """Number of pricking strips: dealt out by `classes` (2), not exceeded by `best` (no limit).

    A gathering with pinned stitches has a strip of its own, which is not counted.
    """
    fixed: tuple[tuple[int, float | Fraction], ...] = ()
    """Pinned stitches: gathering and centre."""
    own_holes_mm: Mapping[int, tuple[float, ...]] = field(default_factory=dict)
    """Old holes of the gatherings whose fold differs from the common one."""
    own_stitches: Mapping[int, int] = field(default_factory=dict)
    """Gatherings that take another number."""


@dataclass(frozen=True, slots=True)
class StitchPlaces:
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
    placed: Mapping[int, Centres]
    """The centres exactly, to be pinned by."""


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


def heights_that_fit(fold: FoldToSew, stitch_mm: float) -> int:
    """Return how many common heights fit on the fold with no two bars level.

    Neighbouring gatherings can take half of them each, so this bounds the stitches of one.
    """
    return most_that_fit(centre_set(fold, stitch_mm), stitch_mm)


def arrange(request: Request, meter: Meter | None = None) -> StitchPlaces:
    """Return the arrangement asked for, after as few concessions as make it possible.

    `meter` holds the steps that the search may take, those of a whole draft unless given. Raises
    PlacementError when a pinned stitch breaks a clearance, and when nothing fits even after
    the last concession; the line says what would have to give.
    """
    meter = meter or Meter()
    pinned = {gathering for gathering, _ in request.fixed}
    request = replace(request, gatherings=tuple(sorted({*request.gatherings, *pinned})))
    alone, dealt = len(request.gatherings) == 1, request.layout == "classes"
    strips = request.strips
    if alone or dealt:
        strips = min(request.strips or 2, len(request.gatherings))
    asked = Rung(request.fold, exact(request.stitch_mm), request.stitches, strips)
    _refuse_level(request)
    new_holes = replace(asked, fold=replace(asked.fold, reuse=False))
    refuse_bad_pins(
        request.gatherings,
        _rooms(request, new_holes),
        _pins(request),
        asked.stitch,
        exact(asked.fold.clear_mm),
    )
    for rung in ladder(asked, dealt=dealt):
        found = _dealt(request, rung) if dealt else _searched(request, rung, meter)
        if found is not None:
            return replace(found, eased=conceded(asked, rung))
    raise _refusal(request, rung)


def _refuse_level(request: Request) -> None:
    """Raise PlacementError where one strip would have to serve two neighbours, which are then level."""
    pinned = {gathering for gathering, _ in request.fixed}
    alike = [not {one, other} & pinned for one, other in pairwise(request.gatherings)]
    if request.strips == 1 and any(alike):
        raise PlacementError(
            "strips 1: one strip for all gatherings sews neighbours at one height; give 2 or more"
        )


def _rooms(request: Request, rung: Rung) -> list[tuple[Interval, ...]]:
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


def _dealt(request: Request, rung: Rung) -> StitchPlaces | None:
    """Deal common heights out to the strips in order from the head, or None when they do not fit."""
    strips, count = rung.strips or 2, rung.stitches
    rooms, all_pins = _rooms(request, rung), _pins(request)
    room = shared(rooms)
    apart = rung.stitch + exact(rung.fold.clear_mm)
    alone = len(request.gatherings) == 1
    if most_that_fit(room, apart if alone else rung.stitch) < strips * count:
        return None
    heights = most_even(room, strips * count, rung.fold.height_mm)
    centres = [_pinned(heights[i % strips :: strips], pins) for i, pins in enumerate(all_pins)]
    if not lie_free(rooms, all_pins) or not _sewable(centres, rung.stitch, apart):
        return None
    return _arrangement(request, rung, heights, centres)


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


def _searched(request: Request, rung: Rung, meter: Meter) -> StitchPlaces | None:
    """Search for the layout with the farthest stitches, or None when there is none."""
    if len(request.gatherings) == 1 and (not request.fixed or len(request.fixed) >= rung.stitches):
        dealt = _dealt(request, rung)
        return dealt and replace(dealt, status="proven", bound_mm=dealt.distance_mm)
    choices, whole_choice = _affordable(_height_choices(request, rung, meter))
    rooms, pins = _rooms(request, rung), _pins(request)
    if not choices or not lie_free(rooms, pins):
        return None
    apart = rung.stitch + exact(rung.fold.clear_mm)
    places = [_place(request, gathering) for gathering in request.gatherings]
    unit = _unit([rung.stitch, apart, *places, *(y for some in (*choices, *pins) for y in some)])
    whole = partial(_whole, unit=unit)
    stitch, least = whole((rung.stitch, apart))
    scaled = [
        HeightChoice(
            places=whole(places),
            heights=heights,
            rooms=_frees(heights, rooms, unit),
            counts=tuple(
                max(count - len(pinned), 0)
                for count, pinned in zip(_counts(request, rung), pins, strict=True)
            ),
            pins=tuple(map(whole, pins)),
            stitch=stitch,
            apart=least,
        )
        for heights in map(whole, choices)
    ]
    found = spread(scaled, rung.strips, meter)
    if found is None:
        return None
    bound = sqrt(found.bound) / unit
    if not found.layout:
        dealt = _dealt(request, rung)
        return dealt and replace(dealt, status="best found", bound_mm=bound)
    centres = [tuple(Fraction(y, unit) for y in fold) for fold in found.layout]
    arrangement = _arrangement(request, rung, choices[found.choice], centres)
    proven = found.proven and whole_choice
    return replace(arrangement, status="proven" if proven else "best found", bound_mm=bound)


def _counts(request: Request, rung: Rung) -> tuple[int, ...]:
    """Return the stitches of every sewn gathering on a rung: its own number falls with the others'."""
    less = request.stitches - rung.stitches
    return tuple(
        max(rung.stitches, request.own_stitches.get(g, request.stitches) - less)
        for g in request.gatherings
    )


def _affordable(choices: Iterator[Centres]) -> tuple[list[Centres], bool]:
    """Return the choices of heights that the steps allow, the first in any case; whether all of them."""
    found: list[Centres] = []
    try:
        for one in choices:
            found.append(one)
    except Spent:
        return found, False
    return found, True


def _height_choices(request: Request, rung: Rung, meter: Meter) -> Iterator[Centres]:
    """Yield every set of common heights worth trying, as few as will do first.

    Heights are placed on the common fold and, where some folds have holes of their own, also on
    what is free in all of them. Raises Spent, after a choice that could not be paid for.
    """
    counts = _counts(request, rung)
    fewest = max(map(sum, pairwise(counts)), default=counts[0])
    for room in dict.fromkeys((centre_set(rung.fold, rung.stitch), shared(_rooms(request, rung)))):
        most = most_that_fit(room, rung.stitch)
        for count in range(fewest, most + 1):
            yield _even(room, count, rung.fold.height_mm)
            meter.take(count * (len(room) ** 2 // 100 + len(request.gatherings) // 12))


@lru_cache(maxsize=1024)
def _even(room: tuple[Interval, ...], count: int, height_mm: float) -> Centres:
    """Return `most_even`; several ways of sewing one book ask for the same heights."""
    return most_even(room, count, height_mm)


def _frees(
    heights: Sequence[int], rooms: Sequence[tuple[Interval, ...]], unit: int
) -> tuple[int, ...]:
    """Return for every room which of the heights lie in it, one bit a height.

    Heights are whole numbers, so many to a mm as `unit` says; rooms are in mm.
    """
    known = {n: _free(heights, room, unit) for n, room in {id(r): r for r in rooms}.items()}
    return tuple(known[id(room)] for room in rooms)


def _free(heights: Sequence[int], room: Sequence[Interval], unit: int) -> int:
    """Return which of the heights lie in a room, one bit a height; they rise."""
    found = 0
    for low, high in room:
        first = bisect_left(heights, -(-low.numerator * unit // low.denominator))
        after = bisect_right(heights, high.numerator * unit // high.denominator)
        found |= (1 << after) - (1 << first)
    return found


def _unit(measures: Iterable[Fraction]) -> int:
    """Return into how many parts a mm must be cut for all measures to be whole."""
    return lcm(*{measure.denominator for measure in measures})


def _whole(measures: Iterable[Fraction], unit: int) -> tuple[int, ...]:
    return tuple(measure.numerator * (unit // measure.denominator) for measure in measures)


def _place(request: Request, gathering: int) -> Fraction:
    return gathering * exact(round(request.pitch_mm, 6))


def _arrangement(
    request: Request, rung: Rung, heights: Centres, centres: list[Centres]
) -> StitchPlaces:
    """Return an arrangement with its measures; heights were dealt out until more is known."""
    strips = {strip: k for k, strip in enumerate(dict.fromkeys(centres), 1)}
    places = [_place(request, gathering) for gathering in request.gatherings]
    unit = _unit([rung.stitch, *places, *(y for fold in centres for y in fold)])
    layout = [_whole(fold, unit) for fold in centres]
    (stitch,) = _whole([rung.stitch], unit)
    square, pitch = least_square(_whole(places, unit), layout, stitch), least_pitch(layout)
    return StitchPlaces(
        centres_mm={
            gathering: tuple(map(float, fold))
            for gathering, fold in zip(request.gatherings, centres, strict=True)
        },
        heights_mm=tuple(map(float, heights)),
        strips=dict(zip(request.gatherings, (strips[fold] for fold in centres), strict=True)),
        stitch_mm=float(rung.stitch),
        clear_mm=rung.fold.clear_mm,
        distance_mm=None if square is None else sqrt(square / unit**2),
        pitch_mm=None if pitch is None else pitch / unit,
        status="dealt",
        bound_mm=None,
        eased=(),
        placed=dict(zip(request.gatherings, centres, strict=True)),
    )


def _refusal(request: Request, last: Rung) -> PlacementError:
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
    return PlacementError(
        line + ("" if request.fold.reuse else "; or allow old holes with `reuse`")
    )
