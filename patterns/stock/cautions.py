"""The cautions that belong to steps, in full and in few words, each with its source.

Sheets, reports and the examination ask for them by short keys; the words live in
`data/cautions.toml`, and every one ends by handing over to the rules of the place and to a
qualified person.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import NamedTuple

from patterns.errors import TemplateError, nearest


class Caution(NamedTuple):
    """One caution: the work it belongs to, its words long and short, and where it comes from."""

    key: str
    work: str
    few: str
    """What stands beside a step."""
    words: str
    """The caution in full, without the ending that hands over to the rules of the place."""
    ending: str
    source: str
    confidence: str
    only: tuple[str, ...] = ()
    """Fields of the record's condition it belongs to: printed only for a book that is so."""
    beside: tuple[str, ...] = ()
    """It stands beside the first of these cautions, where one draft has all of them."""

    @property
    def text(self) -> str:
        """The caution in full, with its ending."""
        return f"{self.words} {self.ending}"


@cache
def load() -> Mapping[str, Caution]:
    """Return every caution by its key, in the order of the file."""
    path = Path(__file__).parent / "data" / "cautions.toml"
    tables = tomllib.loads(path.read_text("utf-8"))
    ending = tables.pop("ending")
    return {
        key: Caution(
            key,
            row["work"],
            row["few"],
            row["text"],
            ending,
            row["source"],
            row["confidence"],
            tuple(row.get("only", ())),
            tuple(row.get("with", ())),
        )
        for key, row in tables.items()
    }


def find(key: str) -> Caution:
    """Return one caution; TemplateError with the nearest keys when there is no such caution."""
    known = load()
    if key not in known:
        near = nearest(key, known) or list(known)
        raise TemplateError(f"no caution is called “{key}”; nearest: {', '.join(near)}")
    return known[key]


def text(key: str) -> str:
    """Return the full words of one caution; TemplateError when there is no such caution.

    >>> text("lift")[:36]
    'Lift the book by its text block, wit'
    """
    return find(key).text
