"""What is given up, and in which order, when a small book has no room for the sewing asked for.

First fewer pricking strips, then fewer stitches; then a shorter stitch, then less clearance, then
the old holes themselves where the sewer allows it. Nothing is given up in silence.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from patterns.sewing.maximin import exact
from patterns.sewing.stations import FoldToSew

__all__ = ["Rung", "conceded", "ladder"]

SHORTEST_STITCH_MM, LEAST_CLEAR_MM = 8.0, 3.0
FEWEST_STITCHES = 2  # a single stitch lets the lining turn: a shorter stitch is the lesser evil
FEWEST_STRIPS = 2  # one strip alone would make neighbours level


@dataclass(frozen=True, slots=True)
class Rung:
    """One step of the ladder: what every gathering is asked for."""

    fold: FoldToSew
    stitch: Fraction
    stitches: int
    strips: int | None


def ladder(asked: Rung, *, dealt: bool) -> Iterator[Rung]:
    """Yield what to try, from what is asked for to the last concession.

    Where heights are not `dealt` out, `strips` is a limit that needs no lowering.
    """
    most = asked.strips if asked.strips else FEWEST_STRIPS
    fewer = range(most, min(most, FEWEST_STRIPS) - 1, -1) if dealt else [asked.strips]
    for fold, stitch in _small_book(asked):
        for stitches in range(asked.stitches, min(asked.stitches, FEWEST_STITCHES) - 1, -1):
            for strips in fewer:
                yield Rung(fold, stitch, stitches, strips)


def _small_book(asked: Rung) -> Iterator[tuple[FoldToSew, Fraction]]:
    """Yield fold and stitch as asked, then one concession more each time."""
    fold, stitch = replace(asked.fold, reuse=False), asked.stitch
    yield fold, stitch
    while stitch > SHORTEST_STITCH_MM:
        stitch = max(stitch - 1, exact(SHORTEST_STITCH_MM))
        yield fold, stitch
    while fold.clear_mm > LEAST_CLEAR_MM:
        fold = replace(fold, clear_mm=max(fold.clear_mm - 0.5, LEAST_CLEAR_MM))
        yield fold, stitch
    if asked.fold.reuse:
        yield replace(fold, reuse=True), stitch


def conceded(asked: Rung, given: Rung) -> tuple[str, ...]:
    """Return what was given up, in words for the sheet."""
    pairs = (
        ("pricking strips", asked.strips, given.strips),
        ("stitches in a gathering", asked.stitches, given.stitches),
        ("mm for a stitch", asked.stitch, given.stitch),
        ("mm clear of old holes and supports", asked.fold.clear_mm, given.fold.clear_mm),
    )
    words = [
        f"{float(now):g} {what} in place of {float(was):g}"
        for what, was, now in pairs
        if was and now and was != now
    ]
    return (*words, "old holes used again") if given.fold.reuse else tuple(words)
