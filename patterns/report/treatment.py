"""treatment.toml: what was really done, filled in at the bench beside the pattern.

An empty string or an empty list is a thing not filled in yet; it is left out of the report.
"""

from __future__ import annotations

import datetime
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from patterns import units
from patterns.errors import GalleryError, MendfoldError, nearest, plain
from patterns.files import why_unsafe
from patterns.reading import LARGEST_BYTES, tables

FORMAT = "mendfold-treatment/1"
FATES = ("covered", "removed", "kept")
WHENS = ("before", "during", "after")
LONGEST = 2_000

HEAD = {
    "by": "text",
    "begun": "day",
    "ended": "day",
    "proposal": "text",
    "weight_before": "kg",
    "weight_after": "kg",
    "opening_before": "angle",
    "opening_after": "angle",
    "undo": "text",
}
ROWS = {
    "step": {"text": "text", "done": "day", "by": "text", "note": "text"},
    "test": {"what": "text", "where": "text", "result": "text", "done": "day", "by": "text"},
    "material": {"name": "text", "lot": "text", "used_for": "text"},
    "adhesive": {"name": "text", "recipe": "text", "lot": "text"},
    "deviation": {"what": "text", "why": "text"},
    "piece": {"name": "text", "planned_mm": "size", "cut_mm": "size"},
    "evidence": {"what": "text", "fate": "fate", "note": "text"},
    "photograph": {"file": "file", "shows": "text", "when": "when"},
}
"""Every table of treatment.toml and what its keys may hold."""

_ALLOWED = {
    "text": f"words in quotes, one line, at most {LONGEST} characters",
    "day": 'a day, as 2026-11-25, or "" while it is open',
    "kg": 'a weight in kg from 0.005 to 80, or with a unit, as "2 lb 3 oz"',
    "angle": "an angle in degrees from 0 to 360",
    "size": 'width and height in mm, as [51.0, 194.0], or with units, as ["2 in", "19.4 cm"], or []',
    "fate": 'one of "covered", "removed", "kept", or ""',
    "when": 'one of "before", "during", "after", or ""',
    "file": 'the name of a picture beside this file, as "before.jpg"',
}

TreatmentRow = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Treatment:
    """What was filled in: single entries by key, and the rows of each list; empty ones left out."""

    head: TreatmentRow
    rows: Mapping[str, tuple[TreatmentRow, ...]]

    def filled(self, table: str, key: str) -> tuple[TreatmentRow, ...]:
        """Return the rows of `table` in which `key` is filled in."""
        return tuple(row for row in self.rows[table] if row.get(key))


def read(text: str, where: str) -> Treatment:
    """Read treatment.toml; `where` names it in the GalleryError for what cannot be used."""
    if len(text) > LARGEST_BYTES:
        raise GalleryError.kind(
            "no treatment",
            f"{where}: over {LARGEST_BYTES // 10**6} MB, far more than a treatment holds",
        )
    try:
        tree = tables(text)
    except ValueError as error:
        raise GalleryError.kind("no treatment", f"{where}: {error}") from None
    if tree.pop("format", None) != FORMAT:
        raise GalleryError.kind("no treatment", f'{where}: format must be "{FORMAT}"')
    head = tree.pop("treatment", {})
    _known(tree, ROWS, where, "table")
    rows = {}
    for table, keys in ROWS.items():
        given = tree.get(table, [])
        if not isinstance(given, list):
            raise GalleryError(
                f"{where}: write [[{table}]] with two brackets, one for each {table}"
            )
        rows[table] = tuple(
            _checked(row, keys, f"{where}: {table} {number}") for number, row in enumerate(given, 1)
        )
    return Treatment(_checked(head, HEAD, f"{where}: treatment"), rows)


def _known(given: Mapping[str, Any], allowed: Mapping[str, Any], where: str, what: str) -> None:
    for key in given:
        if key not in allowed:
            close = nearest(key, allowed) or list(allowed)
            raise GalleryError(
                f"{where}: unknown {what} {key!r}; did you mean {' or '.join(close)}?"
            )


def _checked(given: object, keys: Mapping[str, str], where: str) -> TreatmentRow:
    if not isinstance(given, dict):
        raise GalleryError(f"{where}: must be a table of {', '.join(keys)}")
    _known(given, keys, where, "key")
    found = {}
    for key, value in given.items():
        if value in ("", []):
            continue
        try:
            found[key] = _value(value, keys[key])
        except (ValueError, TypeError, MendfoldError):
            raise GalleryError(
                f"{where}, {key}: {_shown(value)!r}; allowed is {_ALLOWED[keys[key]]}"
            ) from None
    return found


def _shown(value: object) -> str:
    try:
        return plain(str(value))[:60]
    except ValueError:  # Python writes no number of more than 4,300 digits
        return "a number of thousands of digits"


def _value(value: Any, kind: str) -> Any:
    """Return a checked value; ValueError, TypeError or MendfoldError when it cannot be used."""
    if kind == "day":
        day = value if isinstance(value, datetime.date) else datetime.date.fromisoformat(value)
        return day.isoformat()[:10]
    if kind == "kg":
        written = isinstance(value, str)  # the form's own quotes, its unit printed beside them
        return _within(units.quantity(value, "kg", bare=True) if written else value, 0.005, 80)
    if kind == "angle":
        written = isinstance(value, str)
        return _within(units.quantity(value, "°", bare=True) if written else value, 0, 360)
    if kind == "size":
        width, height = value
        return _length(width), _length(height)
    if (
        not isinstance(value, str)
        or len(value) > LONGEST
        or plain(value) != " ".join(value.split())
    ):
        raise ValueError
    if (kind == "fate" and value not in FATES) or (kind == "when" and value not in WHENS):
        raise ValueError
    if kind == "file" and why_unsafe(value):
        raise ValueError
    return plain(value)


def _length(value: Any) -> float:
    """Return a length in mm: a bare number, or one with its unit in quotes."""
    return _within(units.quantity(value, "mm") if isinstance(value, str) else value, 0.1, 4000)


def _within(value: Any, least: float, most: float) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError
    if not least <= value <= most:  # nor any for what is no number
        raise ValueError
    return float(value)


@dataclass(frozen=True, slots=True)
class Proposed:
    """What a pattern says beforehand, to be confirmed or changed in treatment.toml."""

    book: str
    steps: tuple[str, ...]
    materials: tuple[tuple[str, str], ...]
    """Name, and what it is used for."""
    adhesives: tuple[str, ...]
    pieces: tuple[tuple[str, float, float], ...]
    """Name, width and height in mm."""
    evidence: tuple[str, ...]


def blank(proposed: Proposed) -> str:
    """Return a treatment.toml to fill in, with everything the pattern already says."""
    return "\n".join(_lines(proposed)) + "\n"


def _lines(proposed: Proposed) -> Iterator[str]:
    yield f"# Treatment of {plain(proposed.book)}. Fill in what was done; leave the rest as it is."
    yield "# Days are written 2026-11-25, in quotes. Then: mendfold gallery add ID treatment.toml"
    yield f'format = "{FORMAT}"'
    yield "\n[treatment]"
    yield 'by = ""              # initials of who is answerable'
    yield 'begun = ""\nended = ""'
    yield 'proposal = ""        # what was agreed, with whom and when'
    yield 'weight_before = ""   # kg, as 1.25\nweight_after = ""'
    yield 'opening_before = ""  # degrees the book opens by itself, as 95\nopening_after = ""'
    yield 'undo = ""            # anything the next conservator must know to undo this'
    yield "\n# Steps: the day and the initials of who did it."
    for text in proposed.steps:
        yield f'\n[[step]]\ntext = {_quoted(text)}\ndone = ""\nby = ""\nnote = ""'
    yield "\n# Tests made beforehand: on what, and what came of it; one block for each."
    for name in proposed.adhesives or [""]:
        what = f"spot test: {name}" if name else ""
        yield f'\n[[test]]\nwhat = {_quoted(what)}\nwhere = ""\nresult = ""\ndone = ""\nby = ""'
    yield "\n# Materials, thread among them, each with its lot or delivery."
    for name, use in proposed.materials:
        yield f'\n[[material]]\nname = {_quoted(name)}\nlot = ""\nused_for = {_quoted(use)}'
    yield "\n# Adhesives: the recipe, as mixed."
    for name in proposed.adhesives or [""]:
        yield f'\n[[adhesive]]\nname = {_quoted(name)}\nrecipe = ""\nlot = ""'
    yield '\n# Sizes as they were cut: width and height in mm, or with units: ["2 in", "19.4 cm"].'
    for name, width, height in proposed.pieces:
        size = f"planned_mm = [{width:.1f}, {height:.1f}]"
        yield f"\n[[piece]]\nname = {_quoted(name)}\n{size}\ncut_mm = []"
    yield "\n# Evidence on the book: covered, removed or kept, and where it is now."
    for what in proposed.evidence or [""]:
        yield f'\n[[evidence]]\nwhat = {_quoted(what)}\nfate = ""\nnote = ""'
    yield "\n# What was done otherwise than proposed, and why; one block for each."
    yield '\n[[deviation]]\nwhat = ""\nwhy = ""'
    yield "\n# Photographs beside this file; when is before, during or after; one block for each."
    yield '\n[[photograph]]\nfile = ""\nshows = ""\nwhen = "before"'


def _quoted(text: str) -> str:
    return json.dumps(plain(text), ensure_ascii=False)
