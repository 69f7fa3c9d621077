"""What was filled in of a kept treatment, and of the photographs that it names.

A treatment.toml that cannot be read says nothing here: who adds one, or wants a report, is told why.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from patterns.errors import plain
from patterns.reading import LARGEST_BYTES, tables

TREATMENT = "treatment.toml"
WHEN = {"before": "Before treatment", "during": "During treatment", "after": "After treatment"}
"""When a photograph was taken, in order, and how its caption begins."""
_OF_THE_BOOK = frozenset({"proposal", "undo", "note", "where", "result", "why", "shows"})
"""Keys of a treatment that hold what somebody wrote of this book; the rest is the pattern's own."""


@dataclass(frozen=True, slots=True)
class Shown:
    """A photograph by its file's name, with its caption."""

    file: str
    caption: str


def photographs(files: Mapping[str, bytes]) -> list[Shown]:
    """Return the photographs that a treatment names, before, during and after."""
    order = {when: place for place, when in enumerate(WHEN)}
    rows = [(str(row.get("when", "")), row) for row in _rows(files, "photograph")]
    rows.sort(key=lambda pair: order.get(pair[0], len(order)))
    return [
        Shown(name, caption(name, when, str(row.get("shows", ""))))
        for when, row in rows
        if isinstance(name := row.get("file"), str) and name
    ]


def caption(file: str, when: str, shows: str) -> str:
    """Return a photograph's caption; its file's name where nothing was said of it.

    >>> caption("a.jpg", "before", "the spine"), caption("a.jpg", "", "")
    ('Before treatment: the spine', 'a.jpg')
    """
    return ": ".join(filter(None, (WHEN.get(when, ""), plain(shows)))) or plain(file)


def words(files: Mapping[str, bytes]) -> str:
    """Return the words that somebody wrote of this book into its treatment."""
    tree = _tree(files)
    head = tree.get("treatment")
    rows: list[Mapping[str, object]] = [head] if isinstance(head, dict) else []
    rows += [row for name in tree for row in _rows(files, name)]
    told = (
        value
        for row in rows
        for key, value in row.items()
        if key in _OF_THE_BOOK and isinstance(value, str)
    )
    return " ".join(filter(None, told))


def _rows(files: Mapping[str, bytes], table: str) -> Iterator[Mapping[str, object]]:
    given = _tree(files).get(table)
    return (row for row in (given if isinstance(given, list) else ()) if isinstance(row, dict))


def _tree(files: Mapping[str, bytes]) -> dict[str, object]:
    data = files.get(TREATMENT, b"")
    if len(data) > LARGEST_BYTES:
        return {}
    try:
        return tables(data.decode())
    except ValueError:
        return {}
