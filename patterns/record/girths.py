"""A spine's chord, round, girth, and its head and tail, that cannot be those of one spine.

No way from tip to tip is shorter than the chord c, and no convex curve between the tips that rises
h above their line is longer than c + 2·|h|; where h was not read, half a circle, π/2 · c, is the
most. A strip over linings of thickness s is longer by π·s at most. Each of these figures is as
uncertain as its readings: E = error × (readings in the chord + 2 where the depth was read + 1).
"""

from __future__ import annotations

from collections.abc import Callable
from math import pi
from typing import NamedTuple

from patterns.errors import Problem, Problems
from patterns.record.legible import Legible
from patterns.units import trimmed

READING_MM = 0.5
"""± of one reading where the record gives none (practice)."""
DEEPEST = 1.3
"""No round is deeper than this share of its chord: beyond it a circle is longer than c + 2·|h|."""
_ENDS = ("head", "tail")
TAPER_TIMES, TAPER_MM = 2.0, 10.0
"""No spine is wider at one end than so many times the other end and so many mm more (practice)."""


class _Chord(NamedTuple):
    """The straight width of a spine, tip to tip, in mm, and how many readings are in it."""

    mm: float
    readings: int


def _chord(read: Legible) -> _Chord | None:
    """Return the chord: over both tips, else thickness and shoulders; one read for both counts twice."""
    over, thickness = read.get("spine.over_shoulders"), read.get("text_block.thickness")
    if over:
        return _Chord(over, 1)
    both = read.get("spine.shoulder")
    tips = [read.get(f"spine.shoulder_{which}", both) for which in ("front", "back")]
    known = [tip for tip in tips if tip is not None]
    return _Chord(thickness + sum(known), 1 + len(known)) if thickness else None


def _over_shoulders(read: Legible) -> Problems:
    over, thickness = read.get("spine.over_shoulders"), read.get("text_block.thickness")
    if over and thickness and over < thickness - max(1.0, 0.03 * thickness):
        yield Problem(
            "spine.over_shoulders",
            f"is {trimmed(over)} mm, less than the thickness of {trimmed(thickness)} mm between "
            "the boards",
            f"{trimmed(thickness)} mm or more",
            "measure both again",
        )


def _depth(read: Legible) -> Problems:
    depth, chord = read.get("spine.round_depth"), _chord(read)
    if depth is None or chord is None or abs(depth) <= DEEPEST * chord.mm:
        return
    yield Problem(
        "spine.round_depth",
        f"is {trimmed(depth)} mm, too deep for the spine's {trimmed(chord.mm)} mm from tip to tip",
        f"at most {trimmed(DEEPEST * chord.mm)} mm either way",
        "measure from the line joining the tips to the crown",
    )


def _girth(read: Legible) -> Problems:
    girths = {end: girth for end in _ENDS if (girth := read.get(f"spine.girth_{end}"))}
    chord = _chord(read)
    if not girths or chord is None:
        return
    mean = sum(girths.values()) / len(girths)
    least, most = _limits(read, chord)
    if least - 1e-9 <= mean <= most + 1e-9:
        return
    told = " and ".join(f"{trimmed(girth)} mm at the {end}" for end, girth in girths.items())
    yield Problem(
        f"spine.girth_{next(iter(girths))}",
        f"(the strip) reads {told}, the straight line from tip to tip {trimmed(chord.mm)} mm",
        f"{trimmed(max(0.0, least), 1)} to {trimmed(most, 1)} mm"
        + (" for their mean" if len(girths) > 1 else ""),
        "lay the strip again, tip to tip, and measure the width and the round again",
        "limit",
    )


def _limits(read: Legible, chord: _Chord) -> tuple[float, float]:
    """Return the least and the greatest mean girth in mm that this chord and round allow."""
    depth, profile = read.get("spine.round_depth"), read.get("spine.profile")
    readings = chord.readings + 1 + (0 if depth is None else 2)
    doubt = read.get("measuring.error", READING_MM) * readings
    over = pi * read.get("spine.strip_over", 0.0)
    if profile == "flat":
        depth = 0.0
    longest = pi / 2 * chord.mm if depth is None else chord.mm + 2 * abs(depth)
    return chord.mm - doubt, longest + over + doubt


def _taper(read: Legible) -> Problems:
    """Refuse a head and a tail of which one was misread: what lies between would be no spine's shape."""
    for name in ("spine.girth", "spine.girth_sewn", "cover.spine_width"):
        head, tail = (read.get(f"{name}_{end}") for end in _ENDS)
        if not head or not tail:
            continue
        most = TAPER_TIMES * min(head, tail) + TAPER_MM
        if max(head, tail) > most:
            yield Problem(
                f"{name}_{'head' if head > tail else 'tail'}",
                f"is {trimmed(max(head, tail))} mm and {name}_{'tail' if head > tail else 'head'} "
                f"{trimmed(min(head, tail))} mm: no spine tapers so much",
                f"at most {trimmed(most, 1)} mm beside it",
                "measure both ends again",
            )


CHECKS: tuple[Callable[[Legible], Problems], ...] = (_over_shoulders, _depth, _girth, _taper)
