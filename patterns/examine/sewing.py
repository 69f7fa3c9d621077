"""Sewing: old holes, supports and leaves that no thread holds."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from patterns.book.suits import Need
from patterns.examine.facts import Facts
from patterns.examine.finding import Finding, Status
from patterns.units import trimmed

APART_MM = 5.0
"""Holes closer than this tear into one another (practice)."""
END_MM = 6.4
"""Least distance of a kettle from head and tail (R&E, "kerf")."""
TAPES = ((305.0, 4), (203.0, 3))
"""Least supports from these heights on (Bailey 1916)."""


def find(facts: Facts) -> Iterator[Finding]:
    """Yield what is weak in the way the leaves are sewn."""
    for check in (
        _unsewn,
        _few_supports,
        _raised,
        _recessed,
        _unsupported,
        _holes_apart,
        _holes_at_ends,
    ):
        yield from check(facts)


def supports_asked(height_mm: float) -> int:
    """Return the least supports for a height in mm: 3 from 203, 4 from 305 (Bailey 1916), else 0.

    >>> supports_asked(202), supports_asked(203), supports_asked(305)
    (0, 3, 4)
    """
    return next((count for least, count in TAPES if height_mm >= least), 0)


def _unsewn(facts: Facts) -> Iterator[Finding]:
    """Find leaves that no thread can hold: single leaves on stubs, or gatherings of one leaf."""
    record = facts.record
    if record.album.kind == "single":
        yield _finding(
            "leaves_unsewn",
            "mend",
            "The leaves are not sewn",
            "Single leaves hang by paste: stubs fail one after another. Guards give every leaf a fold "
            "that thread can hold.",
            ("album.kind",),
            "common practice: a principle of the trade: album leaves joined by pasted stubs fail at the stubs",
            need="single leaves",
        )
    elif record.text_block.leaves_per_gathering == 1:
        yield _finding(
            "leaves_unsewn",
            "mend",
            "The leaves have no folds to sew through",
            "One leaf a gathering cannot be sewn through the fold: whatever holds them now is paste "
            "or thread through the side.",
            ("text_block.leaves_per_gathering",),
            "common practice: a principle of the trade: only a fold can be sewn through",
        )


def _few_supports(facts: Facts) -> Iterator[Finding]:
    height, sewing = facts.record.text_block.height, facts.record.sewing
    if height is None or sewing.supports_at is None or sewing.supports in (None, "none"):
        return
    asked, count = supports_asked(height), len(sewing.supports_at)
    if count < asked:
        yield _finding(
            "few_supports",
            "mend",
            "Fewer sewing supports than its height asks for",
            f"{count} where a book of {trimmed(height, 1)} mm was given {asked}.",
            ("sewing.supports_at", "text_block.height"),
            "Bailey 1916: 3 tapes at 203 mm, 4 at 305 mm",
            figure=count,
            limit=asked,
            unit="supports",
            status="published",
            need="old sewing",
        )


def _recessed(facts: Facts) -> Iterator[Finding]:
    if facts.record.sewing.supports == "recessed":
        yield _finding(
            "recessed_supports",
            "note",
            "Recessed supports",
            "Their grooves are sawn through the outer folios: keep new stitches clear of them, and "
            "trust the thin slips with no more than the book weighs now.",
            ("sewing.supports",),
            "common practice",
        )


def _raised(facts: Facts) -> Iterator[Finding]:
    if facts.record.sewing.supports == "raised":
        yield _finding(
            "raised_supports",
            "note",
            "Raised supports",
            "A hollow tube cannot lie over them: line the panels between, from support to support.",
            ("sewing.supports",),
            "common practice",
            need="raised supports",
        )


def _unsupported(facts: Facts) -> Iterator[Finding]:
    if facts.record.sewing.supports == "none" and facts.heavy and facts.mass is not None:
        yield _finding(
            "heavy_unsupported",
            "mend",
            "A heavy block sewn without supports",
            f"{trimmed(facts.mass.value)} kg hang on the thread at the kettles alone.",
            ("sewing.supports", "book.weight"),
            "common practice: supports from 1.5 kg on",
            figure=facts.mass.value,
            limit=1.5,
            unit="kg",
            need="old sewing",
        )


def _holes(facts: Facts) -> list[float]:
    sewing = facts.record.sewing
    single = (*(sewing.kettles or ()), *(sewing.holes_at or ()))
    return sorted({*(sewing.stations or ()), *single})


def _holes_apart(facts: Facts) -> Iterator[Finding]:
    closest = min(((b - a, a, b) for a, b in pairwise(_holes(facts))), default=None)
    if closest is not None and closest[0] < APART_MM:
        gap, upper, lower = closest
        yield _finding(
            "holes_close",
            "note",
            "Old holes close together",
            f"Those at {trimmed(upper, 1)} and {trimmed(lower, 1)} mm lie {trimmed(gap, 1)} mm apart "
            "and may tear into one: no new hole between them.",
            ("sewing.stations",),
            "common practice",
            figure=gap,
            limit=APART_MM,
            unit="mm",
        )


def _holes_at_ends(facts: Facts) -> Iterator[Finding]:
    height, holes = facts.record.text_block.height, _holes(facts)
    if height is None or not holes or facts.record.sewing.stations_from == "kettle":
        return
    nearest = min(holes[0], height - holes[-1])
    if nearest < END_MM:
        yield _finding(
            "holes_at_ends",
            "note",
            "Old holes close to head or tail",
            f"The nearest lies {trimmed(nearest, 1)} mm from the end of the fold: the thread can tear "
            "out there. New stitches stay further in.",
            ("sewing.stations", "text_block.height"),
            "R&E, “kerf”: kettle 6.4 to 12.7 mm from head and tail",
            figure=nearest,
            limit=END_MM,
            unit="mm",
            status="published",
        )


def _finding(
    key: str,
    call: str,
    title: str,
    words: str,
    fields: tuple[str, ...],
    source: str,
    *,
    figure: float | None = None,
    limit: float | None = None,
    unit: str = "",
    status: Status = "practice",
    need: Need | None = None,
) -> Finding:
    return Finding(
        key=key,
        topic="sewing",
        call="mend" if call == "mend" else "note",
        title=title,
        words=words,
        fields=fields,
        figure=figure,
        unit=unit,
        limit=limit,
        limit_source=source,
        status=status,
        sureness="measured" if figure is not None else "as seen",
        need=need,
    )
