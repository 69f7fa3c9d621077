"""The form of a record as plain values for its template: every field of the one table, in its group."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations

from patterns.bench.figures import Figures
from patterns.errors import MendfoldError, Problem
from patterns.record.field import USED, Field, Repeated
from patterns.record.fields import FIELDS, LIST_TABLES, TABLES
from patterns.record.interview import parts

FormValues = dict[str, object]
_ABOUT = {
    "cover.front": "only what differs at the front board",
    "cover.back": "only what differs at the back board",
    "album": "only where leaves hang on stubs or guards",
    "sewing.fold": "one block for each irregular gathering",
    "union": "one block for each join of two parts",
}
_HOW = {
    "lengths": "distances with spaces between",
    "length or lengths": "one figure, or one a leaf with spaces between",
    "three lengths": "three lengths with spaces between",
    "id": "letters, digits, - and _, no spaces",
    "date": "as 2026-11-25, or today",
    "two names": "as text block / boards",
    "fields": "names of fields with spaces between",
}
_READ: dict[Repeated, str] = {
    "least": "read it up to three times",
    "mean": "read it up to three times",
    "spread": "or read one length three times",
}
_STOPS = {"union": "joins", "measuring": "measured"}
_TITLES = {"union": "join", "sewing.fold": "irregular gathering"}
MOST_COMBINED = 3


def label(field: Field) -> str:
    """Return what a field is called.

    >>> from patterns.record.fields import BY_NAME
    >>> label(BY_NAME["text_block.leaves_per_gathering"])
    'leaves per gathering'
    """
    return field.key.replace("_", " ")


def title(table: str) -> str:
    """Return what a table is called.

    >>> title("cover.front"), title("union")
    ('cover, front', 'join')
    """
    return _TITLES.get(table, table.replace("_", " ").replace(".", ", "))


def stops(
    words: Mapping[str, str], blocks: Mapping[str, int], figures: Figures
) -> list[FormValues]:
    """Return the form as it is handled: a stop for each part of the book, its groups of fields in it.

    `blocks` says how many of a list table are shown at least.
    """
    found: dict[str, list[FormValues]] = {}
    for table in TABLES:
        group = _group(table, words, blocks.get(table, 0), figures)
        found.setdefault(table.partition(".")[0], []).append(group)
    return [
        {"name": name, "title": _STOPS.get(name, title(name)), "groups": groups}
        for name, groups in found.items()
    ]


def _group(table: str, words: Mapping[str, str], least: int, figures: Figures) -> FormValues:
    own = [field for field in FIELDS if field.table == table]
    many = table in LIST_TABLES
    count = max(least, *blocks(table, words), 0) if many else 0
    names = [f"{table}[{number}]" for number in range(1, count + 1)] if many else [table]
    shown = [
        {
            "name": name,
            "fields": [shown_field(field, f"{name}.{field.key}", words, figures) for field in own],
        }
        for name in names
    ]
    measured = any(_of(name) == table for name in words)
    return {
        "table": table,
        "id": table.replace(".", "-"),
        "title": title(table),
        "about": _ABOUT.get(table, ""),
        "many": many,
        "blocks": shown,
        "apart": "." in table,
        "open": measured,
    }


def _of(name: str) -> str:
    """Return the table of a field's name, the number of its block left out."""
    before = name.rpartition(".")[0]
    return before.partition("[")[0]


def blocks(table: str, words: Mapping[str, str]) -> Iterator[int]:
    yield 0
    for name in words:
        if name.startswith(f"{table}["):
            yield int(name.removeprefix(f"{table}[").partition("]")[0])


def shown_field(field: Field, name: str, words: Mapping[str, str], figures: Figures) -> FormValues:
    """Return one field as its template shows it."""
    held = words.get(name, "")
    readings = _readings(field, held)
    return {
        "name": name,
        "id": name.replace(".", "-").replace("[", "-").replace("]", ""),
        "label": label(field),
        "unit": field.unit,
        "words": readings[0],
        "more": list(zip(field.places[1:], readings[1:], strict=True)) if field.repeated else [],
        "place": field.places[0],
        "reason": field.reason,
        "range": allowed(field, figures),
        "how": f"{_READ[field.repeated]}: {USED[field.repeated]} counts"
        if field.repeated
        else _HOW.get(field.kind, ""),
        "figures": bool(field.unit) or field.kind == "count",
        "long": field.kind in ("text", "fields", "lengths", "length or lengths")
        and field.high != 80,
        "options": options(field, held),
        "visits": " ".join(field.visits),
    }


def _readings(field: Field, held: str) -> list[str]:
    """Return the words of each reading; all in the first where they are not up to three figures."""
    try:
        found = parts(held) if field.repeated else [held]
    except MendfoldError:
        found = [held]
    if not 1 < len(found) <= len(field.places):
        found = [held]
    return [*found, *[""] * (len(field.places) - len(found))]


def allowed(field: Field, figures: Figures) -> str:
    """Return what may stand in a field of figures, in a few words; "" for others."""
    if not field.unit and field.kind != "count":
        return ""
    return figures.span(field.low, field.high, field.unit)


def options(field: Field, held: str) -> list[str]:
    """Return what can be chosen, for a field that one chooses in; what stands there is among it."""
    found: Sequence[str] = ()
    if field.kind == "choice":
        found = field.words
    elif field.kind == "yes or no":
        found = ("yes", "no")
    elif field.kind == "choices" and len(field.words) <= MOST_COMBINED:
        several = range(1, len(field.words))
        found = (
            "none",
            *(", ".join(some) for count in several for some in combinations(field.words, count)),
            "all",
        )
    if not found:
        return []
    return [*dict.fromkeys((*found, *([held] if held else [])))]


def beside(problems: Sequence[Problem]) -> dict[str, list[str]]:
    """Return problems by the name of the field that they stand beside; "" for no one field.

    Where one of several fields would do, it stands beside each.
    """
    found: dict[str, list[str]] = {}
    for problem in problems:
        for name in problem.field.split("|"):
            lines = found.setdefault(name, [])
            if problem.words not in lines:
                lines.append(problem.words)
    return found
