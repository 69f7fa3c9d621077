"""The tables a survey leaves, as CSV that any spreadsheet opens: books, problems, materials."""

from __future__ import annotations

import csv
import os
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Protocol

from patterns.survey.counts import Counts, priority
from patterns.unfinished import part_file

BOOKS = (
    "id", "row", "state", "class", "urgency", "findings", "first_way", "structures", "needs_measuring",
)  # fmt: skip
PROBLEMS = ("id", "row", "where", "column", "found", "allowed", "remedy")
MATERIALS = ("material", "pieces", "area_m2", "thread_m")
_FORMULA = ("=", "+", "-", "@", "\t", "\r")
"""With these a spreadsheet begins what it would reckon, or run."""


class Writer(Protocol):
    """What `csv.writer` makes."""

    def writerow(self, row: Iterable[Any], /) -> Any:
        """Write one row."""


@contextmanager
def table(path: Path, heads: Sequence[str]) -> Iterator[Writer]:
    """Lend a new table to write rows in; it takes its place when it is whole."""
    with part_file(path.parent, b"") as part:
        with part.open("w", encoding="utf-8-sig", newline="") as file:
            writer = csv.writer(file, lineterminator="\r\n")
            writer.writerow(heads)
            yield writer
        os.replace(part, path)


def harmless(cell: object) -> object:
    """Return a cell that no spreadsheet takes for a formula.

    >>> harmless('=HYPERLINK("x")'), harmless(12)
    ('\\'=HYPERLINK("x")', 12)
    """
    return f"'{cell}" if isinstance(cell, str) and cell.startswith(_FORMULA) else cell


def book_row(row: int, told: Mapping[str, Any]) -> list[object]:
    """Return one book as it stands in books.csv; urgency is need × value × use."""
    urgency = priority(told)
    cells = [
        told["id"],
        row,
        told["state"],
        told.get("class", ""),
        "" if urgency is None else urgency,
        " ".join(dict.fromkeys(told.get("findings", ()))),
        told.get("first_way", ""),
        " ".join(told.get("structures", ())),
        " ".join(told.get("needs_measuring", ())),
    ]
    return [harmless(cell) for cell in cells]


def problem_rows(row: int, told: Mapping[str, Any]) -> Iterator[list[object]]:
    """Yield one row for each problem of a book, and for a draft that did not come about."""
    for one in told.get("problems", ()):
        column = one["column"] or one["field"]
        cells = (
            told["id"],
            row,
            told["where"],
            column,
            one["found"],
            one["allowed"],
            one["remedy"],
        )
        yield [harmless(cell) for cell in cells]
    if "not_drafted" in told:
        cells = (told["id"], row, told["where"], told["first_way"], told["not_drafted"], "", "")
        yield [harmless(cell) for cell in cells]


def material_rows(counts: Counts) -> Iterator[list[object]]:
    """Yield what all drafted books need of each material."""
    for name, (pieces, area, thread) in sorted(counts.materials.items()):
        yield [harmless(name), pieces, f"{area:.4f}", f"{thread:.2f}"]
