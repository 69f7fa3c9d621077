"""Stitches that the sewer has pinned: looked at before anything is arranged around them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from itertools import pairwise

from patterns.errors import PlacementError
from patterns.sewing.maximin import Interval

__all__ = ["lie_free", "refuse_bad_pins"]


def lie_free(rooms: Iterable[Sequence[Interval]], pins: Iterable[Sequence[Fraction]]) -> bool:
    """Tell whether the pinned centres of every gathering lie in its room, its centre set."""
    return all(
        any(a <= pin <= b for a, b in room)
        for room, pinned in zip(rooms, pins, strict=True)
        for pin in pinned
    )


def refuse_bad_pins(
    gatherings: Sequence[int],
    rooms: Sequence[Sequence[Interval]],
    pins: Sequence[Sequence[Fraction]],
    stitch: Fraction,
    clear: Fraction,
) -> None:
    """Raise PlacementError for the first pin that breaks a clearance or is level with another.

    One room and one tuple of pinned centres (rising) for every gathering, in order; mm.
    """
    for gathering, room, pinned in zip(gatherings, rooms, pins, strict=True):
        for pin in pinned:
            if not lie_free([room], [(pin,)]):
                free = ", ".join(f"{float(a):g} to {float(b):g}" for a, b in room) or "nowhere"
                raise PlacementError(
                    f"fixed {gathering}@{float(pin):g}: a stitch of {float(stitch):g} mm there "
                    f"breaks a clearance; its centre may lie at {free} mm from the head"
                )
        for one, other in pairwise(pinned):
            if other - one < stitch + clear:
                raise PlacementError(
                    f"fixed {gathering}@{float(one):g} and {gathering}@{float(other):g}: stitches "
                    f"of one fold need {float(stitch + clear):g} mm from centre to centre, these "
                    f"have {float(other - one):g}: move or drop one"
                )
    for (first, ones), (second, others) in pairwise(zip(gatherings, pins, strict=True)):
        for one in ones:
            for other in others:
                if abs(one - other) < stitch:
                    raise PlacementError(
                        f"fixed {first}@{float(one):g} and {second}@{float(other):g}: neighbouring "
                        f"gatherings would be level; move one until they lie {float(stitch):g} mm "
                        "or more apart in height"
                    )
