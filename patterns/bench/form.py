"""The form of a record as plain values for its template: every field of the one table, in its group."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations

from patterns.errors import Problem
from patterns.record.field import Field
from patterns.record.fields import FIELDS, LIST_TABLES, TABLES

FormValues = dict[str, object]
_ABOUT = {
    "cover.front": "only what differs at the front board",
    "cover.back": "only what differs at the back board",
    "album": "only where leaves hang on stubs or guards",
    "sewing.fold": "one block for each irregular gathering",
    "union": "one block for each join of two parts",
}
_HOW = {
    "least length": "read it up to nine times, spaces between: the least counts",
    "lengths": "distances with spaces between",
    "length or lengths": "one figure, or one a leaf with spaces between",
    "three lengths": "three lengths with spaces between",
    "id": "letters, digits, - and _, no spaces",
    "date": "as 2026-11-25, or today",
    "two names": "as text block / boards",
    "fields": "names of fields with spaces between",
}
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

    >>> title("cover.front"), title("sewing.fold")
    ('cover, front', 'sewing, fold')
    """
    return table.replace("_", " ").replace(".", ", ")


def groups(words: Mapping[str, str], blocks: Mapping[str, int]) -> list[FormValues]:
    """Return every group with its fields; `blocks` says how many of a list table are shown at least."""
    return [_group(table, words, blocks.get(table, 0)) for table in TABLES]


def _group(table: str, words: Mapping[str, str], least: int) -> FormValues:
    own = [field for field in FIELDS if field.table == table]
    many = table in LIST_TABLES
    count = max(least, *blocks(table, words), 0) if many else 0
    parts = [f"{table}[{number}]" for number in range(1, count + 1)] if many else [table]
    shown = [
        {
            "name": part,
            "fields": [shown_field(field, f"{part}.{field.key}", words) for field in own],
        }
        for part in parts
    ]
    measured = sum(
        1 for name in words if name.startswith((f"{table}.", f"{table}[")) and _of(name) == table
    )
    return {
        "table": table,
        "id": table.replace(".", "-"),
        "title": title(table),
        "about": _ABOUT.get(table, ""),
        "many": many,
        "blocks": shown,
        "measured": measured,
        "all": len(own) * max(1, count),
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


def shown_field(field: Field, name: str, words: Mapping[str, str]) -> FormValues:
    """Return one field as its template shows it."""
    held = words.get(name, "")
    return {
        "name": name,
        "id": name.replace(".", "-").replace("[", "-").replace("]", ""),
        "label": label(field),
        "unit": field.unit,
        "words": held,
        "reason": field.reason,
        "range": allowed(field),
        "how": _HOW.get(field.kind, ""),
        "figures": bool(field.unit) or field.kind == "count",
        "long": field.kind in ("text", "fields", "lengths", "length or lengths")
        and field.high != 80,
        "options": options(field, held),
    }


def allowed(field: Field) -> str:
    """Return what may stand in a field of figures, in a few words; "" for others."""
    if not field.unit and field.kind != "count":
        return ""
    return f"{field.low:g} to {field.high:g} {field.unit}".rstrip()


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
