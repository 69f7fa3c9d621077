"""The way of the needle through the chosen gatherings, and the thread it takes.

`fold` sews each gathering alone: bars outside on the lining, runs inside the fold, both ends tied
inside. `loops` ties every stitch by itself. `continuous` keeps the stitch inside the fold and
travels outside, from gathering to gathering. Heights are mm from the head of the text block.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from math import ceil, hypot
from typing import NamedTuple

from patterns.book.scattered import ThreadPath
from patterns.errors import PlacementError
from patterns.model.stitches import Move, Pass
from patterns.sewing.maximin import exact
from patterns.units import bare, told_apart

__all__ = [
    "Length",
    "SewnGathering",
    "Stitching",
    "holes",
    "order",
    "sew",
    "through_mm",
    "travelled_mm",
]

Holes = tuple[float, float]

WASTE = 1.1  # of the length drawn through, for the take-up of the thread (practice)
TAILS_MM = 200.0  # two tails of 100; knot, hitches and the way back are taken from them
KNOT_TAIL_MM = 60.0  # of a single loop, twice
LONGEST_TRAVEL_MM = 60.0
LONGEST_THREAD_MM = 900.0


class SewnGathering(NamedTuple):
    """One chosen gathering: the holes of its stitches from the head down, and its thickness."""

    gathering: int
    holes_mm: tuple[Holes, ...]
    through_mm: float
    """What the needle passes through: the lining and the folios of the gathering."""


class Length(NamedTuple):
    """One length of thread, or several equal ones, and the gatherings it sews."""

    gatherings: tuple[int, ...]
    net_mm: float
    """Lies in the book, tails and waste left out."""
    cut_mm: float
    quantity: int = 1

    @property
    def cut_to_mm(self) -> float:
        """Return the length to cut, rounded up to 5 mm."""
        return 5.0 * ceil(round(self.cut_mm / 5, 6))


class Stitching(NamedTuple):
    """The whole path, in the order sewn, and every length of thread."""

    passes: tuple[Pass, ...]
    lengths: tuple[Length, ...]

    @property
    def total_mm(self) -> float:
        """Return the thread the whole book takes: every length as it is cut."""
        return sum(length.cut_to_mm * length.quantity for length in self.lengths)


def holes(centres_mm: Iterable[float], stitch_mm: float) -> tuple[Holes, ...]:
    """Return the two holes of every stitch, from the head down.

    >>> holes([27.5], 15)
    ((20.0, 35.0),)
    """
    half = exact(stitch_mm) / 2
    return tuple((float(exact(c) - half), float(exact(c) + half)) for c in sorted(centres_mm))


def through_mm(lining_mm: float, folios: int, leaf_mm: float) -> float:
    """Return what the needle passes through: the lining and the folded sheets, in mm."""
    return float(exact(lining_mm) + folios * exact(leaf_mm))


def order(gatherings: Iterable[int], total: int) -> tuple[int, ...]:
    """Return the gatherings in the order sewn: nearest the middle, then front and back by turns.

    The first one fixes the lining, so that it cannot creep to one side (practice).

    >>> order([1, 2, 5, 8, 12, 15, 16], 16)
    (8, 5, 12, 2, 15, 1, 16)
    """
    left = sorted(gatherings)
    if not left:
        return ()
    first = min(left, key=lambda gathering: (abs(2 * gathering - total - 1), gathering))
    front = [gathering for gathering in reversed(left) if gathering < first]
    back = [gathering for gathering in left if gathering > first]
    turns = [side[i] for i in range(len(left)) for side in (front, back) if i < len(side)]
    return (first, *turns)


def travelled_mm(stitches: Sequence[tuple[float, float, float, float]]) -> float:
    """Return the thread of stitches joined by straight travels outside, tails left out, in mm.

    Each stitch is its place on the girth, the height where the needle goes in, the height where it
    comes out, and what it passes through.
    """
    sewn = sum(abs(leave - enter) + 2 * through for _, enter, leave, through in stitches)
    travels = (
        hypot(x2 - x1, enter - leave) for (x1, _, leave, _), (x2, enter, _, _) in pairwise(stitches)
    )
    return sewn + sum(travels)


def sew(
    sewn: Sequence[SewnGathering],
    total: int,
    path: ThreadPath = "fold",
    *,
    pitch_mm: float = 0.0,
    raised_mm: Sequence[tuple[float, float]] = (),
) -> Stitching:
    """Return every move of the needle and every length of thread.

    `total` counts all gatherings of the book; `pitch_mm`, from one to the next on the girth, and
    `raised_mm`, head and tail side of each raised support, matter to `continuous` alone. Raises
    PlacementError where a continuous thread would travel too far or over a raised support.
    """
    if path == "continuous":
        return _continuous(sorted(sewn, key=lambda one: one.gathering), pitch_mm, raised_mm)
    by_number = {one.gathering: one for one in sewn}
    ordered = [by_number[gathering] for gathering in order(by_number, total)]
    if path == "loops":
        return Stitching(
            tuple(Pass(one.gathering, tuple(_loops(one))) for one in ordered),
            tuple(_loop_length(one) for one in ordered),
        )
    return Stitching(
        tuple(Pass(one.gathering, tuple(_fold_moves(one))) for one in ordered),
        tuple(_fold_length(one) for one in ordered),
    )


def _fold_moves(one: SewnGathering) -> Iterator[Move]:
    (first, second), *others = one.holes_mm
    yield from (("out", first), ("in", second), ("knot",))
    for start, end in others:
        yield from (("out", start), ("in", end))
    if others:
        yield ("hitch", others[-1][0])


def _fold_length(one: SewnGathering) -> Length:
    run = one.holes_mm[-1][1] - one.holes_mm[0][0]
    net = run + 2 * len(one.holes_mm) * one.through_mm
    return Length((one.gathering,), net, WASTE * (net + TAILS_MM))


def _loops(one: SewnGathering) -> Iterator[Move]:
    for start, end in one.holes_mm:
        yield from (("out", start), ("in", end), ("knot",))


def _loop_length(one: SewnGathering) -> Length:
    start, end = one.holes_mm[0]
    net = end - start + 2 * one.through_mm
    cut = WASTE * (net + 2 * KNOT_TAIL_MM)
    return Length((one.gathering,), net, cut, quantity=len(one.holes_mm))


class _Inside(NamedTuple):
    """One stitch of a continuous thread, in the direction sewn: it lies inside the fold."""

    gathering: int
    place_mm: float
    enter_mm: float
    leave_mm: float
    through_mm: float


def _continuous(
    sewn: Sequence[SewnGathering], pitch_mm: float, raised_mm: Sequence[tuple[float, float]]
) -> Stitching:
    stitches = [
        _Inside(one.gathering, one.gathering * pitch_mm, *ends, one.through_mm)
        for turn, one in enumerate(sewn)
        for ends in (one.holes_mm if turn % 2 == 0 else [h[::-1] for h in one.holes_mm[::-1]])
    ]
    for before, after in pairwise(stitches):
        _refuse_travel(before, after, raised_mm)
    threads = _split(stitches)
    moves: dict[int, list[Move]] = {one.gathering: [] for one in sewn}
    for thread in threads:
        for number, stitch in enumerate(thread):
            here = moves[stitch.gathering]
            here.append(("in", stitch.enter_mm))
            if number == 1:  # the first travel is there: the first tail can be tied round it
                moves[thread[0].gathering].append(("hitch", thread[0].enter_mm))
            here.append(("out", stitch.leave_mm))
        if len(thread) == 1:
            here.append(("hitch", thread[0].enter_mm))
        here.append(("hitch", thread[-1].leave_mm))
    return Stitching(
        tuple(Pass(gathering, tuple(made)) for gathering, made in moves.items()),
        tuple(_thread_length(thread) for thread in threads),
    )


def _refuse_travel(
    before: _Inside, after: _Inside, raised_mm: Sequence[tuple[float, float]]
) -> None:
    low, high = sorted((before.leave_mm, after.enter_mm))
    where = (
        f"path continuous: from {before.leave_mm:g} mm in gathering {before.gathering} to "
        f"{after.enter_mm:g} mm in gathering {after.gathering} the thread would travel"
    )
    travel = hypot(after.place_mm - before.place_mm, high - low)
    if travel > LONGEST_TRAVEL_MM:
        long, most = told_apart(travel, LONGEST_TRAVEL_MM)
        raise PlacementError(
            f"{where} {long} mm outside, at most {bare(most)} is allowed: "
            "use path fold or loops, or more stitches"
        )
    if any(start < high and end > low for start, end in raised_mm):
        raise PlacementError(f"{where} over a raised support: use path fold or loops")


def _thread_length(thread: Sequence[_Inside]) -> Length:
    net = travelled_mm([(s.place_mm, s.enter_mm, s.leave_mm, s.through_mm) for s in thread])
    gatherings = tuple(dict.fromkeys(stitch.gathering for stitch in thread))
    return Length(gatherings, net, WASTE * (net + TAILS_MM))


def _split(stitches: Sequence[_Inside]) -> list[list[_Inside]]:
    """Cut the sewing into threads no longer than can be drawn through without wear."""
    threads: list[list[_Inside]] = []
    for stitch in stitches:
        if threads and _thread_length([*threads[-1], stitch]).cut_mm <= LONGEST_THREAD_MM:
            threads[-1].append(stitch)
        else:
            threads.append([stitch])
    return threads
