"""An examination in words for the terminal, and as plain data for other programs."""

from __future__ import annotations

import dataclasses
import textwrap
from collections.abc import Iterator
from typing import Any

from patterns.examine.finding import NOTHING, Choice, Examination, Finding, Suit
from patterns.stock import cautions
from patterns.units import bare, told_apart, trimmed

FORMAT = "mendfold-examination/1"
WIDTH = 92
FROM = {"published": "published", "memory": "from memory, not confirmed"}
"""What stands before a limit's source; practice and mendfold's own say so in the source itself."""
CALLS = {
    "stop": "Stop",
    "measure": "Measure again",
    "mend": "What fails, and what would hold",
    "note": "To keep in mind",
}


def figure_words(finding: Finding) -> str:
    """Return figure, limit and where the limit comes from, in one line.

    >>> from patterns.examine.finding import Finding
    >>> figure_words(Finding("k", "sewing", "note", "t", "w", (), "Bailey 1916", "published",
    ...     "counted", figure=2, unit="supports", limit=3))
    '2 supports, limit 3 supports (published: Bailey 1916); counted'
    """
    source = finding.limit_source
    origin = f"{FROM[finding.status]}: {source}" if finding.status in FROM else source
    if finding.figure is None:
        return f"{origin}; {finding.sureness}"
    if finding.limit is None:
        figure = f"{trimmed(finding.figure)} {finding.unit}".strip()
        return f"{figure} ({origin}); {finding.sureness}"
    pair = told_apart(finding.figure, finding.limit, 2)
    figure, limit = (f"{bare(text)} {finding.unit}".strip() for text in pair)
    return f"{figure}, limit {limit} ({origin}); {finding.sureness}"


def as_data(examination: Examination) -> dict[str, Any]:
    """Return the whole examination as plain lists and dictionaries, cautions in full words."""
    data = dataclasses.asdict(examination)
    for finding in data["findings"]:
        del finding["need"], finding["isolates"]  # told by what suits
    data["cautions"] = {key: cautions.text(key) for key in examination.cautions}
    return {"format": FORMAT, **data}


def as_text(examination: Examination) -> str:
    """Return the examination as lines for a terminal, in the order in which it is to be read."""
    return "\n".join(_lines(examination))


def _lines(examination: Examination) -> Iterator[str]:
    name = examination.book_title or examination.book_id or "Untitled book"
    yield f"{name} ({examination.book_id})" if examination.book_id else name
    if not examination.findings:
        yield "\nNothing found that is out of order."
    number, told = 0, set[Suit]()
    for call, title in CALLS.items():
        rows = [finding for finding in examination.findings if finding.call == call]
        if rows:
            yield f"\n{title.upper()}"
        for finding in rows:
            number += 1
            yield from _finding(number, finding, told)
            told.update(finding.suits)
    if examination.cautions:
        yield "\nCAUTIONS"
        for key in examination.cautions:
            yield from _wrapped(cautions.text(key), "  • ", "    ")
    yield "\nWAYS TO GO ON"
    for place, choice in enumerate(examination.choices, 1):
        yield from _choice(place, choice)


def _finding(number: int, finding: Finding, told: set[Suit]) -> Iterator[str]:
    yield from _wrapped(finding.title, f"{number:>3}. ", "     ")
    yield from _wrapped(finding.words)
    label = "     rule:   " if finding.figure is None else "     figure: "
    yield from _wrapped(figure_words(finding), label, "             ")
    yield from _wrapped(", ".join(finding.fields), "     from:   ", "             ")
    for suit in finding.suits:
        nothing = suit.structure == NOTHING
        name = "do nothing" if nothing else suit.structure.replace("+", " + ")
        reasons = "as above" if suit in told else f"{suit.pro}; but {suit.con}"
        label = "     or:     " if nothing else "     suits:  "
        yield from _wrapped(f"{name}: {reasons}", label, "             ")


def _choice(place: int, choice: Choice) -> Iterator[str]:
    yield from _wrapped(choice.title, f"{place:>3}. ", "     ")
    for words, rows in (("for", choice.pros), ("against", choice.cons)):
        for row in rows:
            yield from _wrapped(row, f"     {words + ':':<9}", "              ")
    if choice.leaves:
        yield from _wrapped("; ".join(choice.leaves), "     leaves:  ", "              ")
    if choice.missing:
        yield from _wrapped(", ".join(choice.missing), "     first measure: ", "              ")
    if choice.command:
        yield f"     {choice.command}"


def _wrapped(words: str, first: str = "     ", rest: str = "     ") -> list[str]:
    return textwrap.wrap(
        words, WIDTH, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False
    )
