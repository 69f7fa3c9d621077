"""Girth, chord and round, and the cover's spine that goes round them, held against each other."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from patterns.book import spine as spines
from patterns.book.boards import SIDES
from patterns.examine.doubt import SHARE, doubt
from patterns.examine.facts import Facts
from patterns.examine.finding import Finding
from patterns.examine.proportion import deficiencies_mm
from patterns.formulas import geometry
from patterns.units import trimmed

STRIP_MM, STRIP_SHARE = 1.0, 0.03
"""A strip against the girth of chord and depth: whichever is the greater."""
TAPER_SHARE = 0.15
"""Believable difference of the girths at head and tail."""
NARROW_SHARE, WIDE_MM, WIDE_SHARE = 0.25, 2.0, 0.08
"""Believable lack and excess of a cover's spine against the way round its block."""


def find(facts: Facts) -> Iterator[Finding]:
    """Yield every pair of figures that does not agree."""
    for check in (_tips, _girths, _cover_spine):
        yield from check(facts)


def _tips(facts: Facts) -> Iterator[Finding]:
    """Compare calipers over the shoulders with thickness and shoulders."""
    over, thickness = facts.record.spine.over_shoulders, facts.record.text_block.thickness
    if over is None or thickness is None:
        return
    tips = sum(map(facts.book.shoulder_mm, SIDES))
    off, limit = over - thickness - tips, max(STRIP_MM, STRIP_SHARE * over)
    if abs(off) > limit:
        yield doubt(
            "shoulders_disagree",
            "Over the shoulders, and thickness with shoulders, do not agree",
            f"They differ by {trimmed(abs(off), 1)} mm.",
            ("spine.over_shoulders", "text_block.thickness", "spine.shoulder"),
            abs(off),
            limit,
        )


def _girths(facts: Facts) -> Iterator[Finding]:
    """Compare the mean of the strips with chord and depth, and the two strips with each other.

    Chord and depth are read once for the whole spine: of a tapered one they are the middle's.
    """
    spine = facts.record.spine
    strips = {
        f"spine.{key}": value
        for key in ("girth_head", "girth_tail")
        if (value := getattr(spine, key)) is not None
    }
    if facts.record.text_block.thickness is None and spine.over_shoulders is None:
        return
    if strips:
        yield from _curve(facts, strips)
    if len(strips) == 2:
        low, high = sorted(strips.values())
        if high - low > max(STRIP_MM, TAPER_SHARE * low):
            yield doubt(
                "girths_differ",
                "The girths at head and tail are far apart",
                f"They differ by {trimmed(high - low, 1)} mm.",
                tuple(strips),
                high - low,
                max(STRIP_MM, TAPER_SHARE * low),
            )


def _curve(facts: Facts, strips: Mapping[str, float]) -> Iterator[Finding]:
    """Doubt strips whose mean no curve of this chord and depth has, naming all that were laid."""
    spine = facts.record.spine
    chord = spines.chord_mm(facts.record)
    depth = 0.0 if spine.profile == "flat" else spine.round_depth
    width = "text_block.thickness" if spine.over_shoulders is None else "spine.over_shoulders"
    strip = sum(strips.values()) / len(strips)
    # Without a depth any round from flat to half a circle may be the right one.
    least = most = geometry.circle_arc(chord, depth).length_mm if depth is not None else chord
    if depth is None:
        most = geometry.circle_arc(chord, chord / 2).length_mm
    off = max(strip - most, least - strip)
    limit = max(STRIP_MM, STRIP_SHARE * strip)
    if off <= limit:
        return
    yield doubt(
        "girth_disagrees",
        "The girth does not agree with width and round of the spine",
        f"The strip reads {' and '.join(trimmed(mm, 1) for mm in strips.values())} mm, a spine "
        f"{trimmed(chord, 1)} mm wide"
        + (f" and {trimmed(depth, 1)} mm deep" if depth is not None else "")
        + f" comes to {trimmed(least if strip < least else most, 1)} mm.",
        (*strips, width, *(("spine.round_depth",) if depth is not None else ())),
        off,
        limit,
    )


def _cover_spine(facts: Facts) -> Iterator[Finding]:
    """Doubt a cover's spine far too narrow, wider than its block, or unlike at head and tail."""
    short = deficiencies_mm(facts)
    cover, spine = facts.record.cover, facts.spine
    for name, lack in short.items():
        way = facts.record.get(name) + lack
        least, most = NARROW_SHARE * way, max(WIDE_MM, WIDE_SHARE * way)
        if lack > least or -lack > most:
            yield doubt(
                "cover_spine_disagrees",
                "The cover's spine does not agree with the block",
                f"It is {trimmed(abs(lack), 1)} mm {'narrower' if lack > 0 else 'wider'} than "
                "the way round block and joints.",
                (name, "spine.girth" if spine and spine.by_strip else "text_block.thickness"),
                abs(lack),
                least if lack > 0 else most,
            )
    ends = {
        f"cover.{key}": value
        for key in ("spine_width", "spine_width_head", "spine_width_tail")
        if (value := getattr(cover, key)) is not None
    }
    if len(ends) > 1 and max(ends.values()) > (1 + SHARE) * min(ends.values()):
        yield doubt(
            "cover_spine_differs",
            "The cover's spine is unlike at head, middle and tail",
            f"It measures from {trimmed(min(ends.values()), 1)} to {trimmed(max(ends.values()), 1)} mm.",
            tuple(ends),
            100 * (max(ends.values()) / min(ends.values()) - 1),
            100 * SHARE,
            "%",
        )
