"""One book judged: read, examined and, on wish, drafted; what comes of it is one plain line of results.

This runs in the workers. Whatever it needs beside the book (materials, templates, paper) is loaded once and kept.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any

import patterns
from patterns.errors import MendfoldError, Problem
from patterns.examine.examination import examine
from patterns.examine.finding import NOTHING, Call, Examination, Finding
from patterns.record.record import Record
from patterns.stock import materials
from patterns.stock.materials import Library
from patterns.stock.printer import UNCORRECTED, Correction
from patterns.structures import catalogue
from patterns.survey.columns import BookColumn
from patterns.survey.numbers import Decimal
from patterns.survey.rows import UNSTORED, ReadBook, RowProblem, from_cells, from_text
from patterns.survey.sources import Raw

NEED: dict[Call, int] = {"note": 1, "measure": 2, "mend": 3, "stop": 4}
"""What a finding asks for as a class: keep in mind, measure or watch, fails, stop."""
SEARCH_SHARE = 1 / 50
"""Of the steps that one book's examination may take to find places for stitches. A draft takes them all."""
PARTS = {
    "text_block": "text block",
    "spine": "spine",
    "cover": "boards and cover",
    "sewing": "sewing",
    "union": "unions",
    "album": "album leaves",
    "condition": "paper, leather, mould and pests",
    "book": "weight and size",
}
"""The parts of a book by the record's tables, as the survey's page names them."""


@dataclass(frozen=True, slots=True)
class SurveyWish:
    """What is to be done with every book beside examining it."""

    draft: bool = False
    paper: str = "A4"
    formats: tuple[str, ...] = ("pdf",)
    correction: Correction = UNCORRECTED
    out: str = ""
    """Folder for the drafted books; the same for every worker."""
    force: bool = False


@dataclass(frozen=True, slots=True)
class Task:
    """Some books for one worker, with everything that reading and judging them goes by."""

    raws: tuple[Raw, ...]
    columns: tuple[BookColumn, ...]
    decimal: Decimal
    wish: SurveyWish
    basis: str
    """Digest of all that a result depends on beside its row."""
    twice: frozenset[int] = frozenset()
    """Rows whose book has the id of one above it."""


def work(task: Task) -> list[tuple[int, str, str]]:
    """Judge the books of a task: for each its row, its key and its result as one line of JSON."""
    return [
        (raw.row, key(raw, task.basis, raw.row in task.twice), _line(raw, task))
        for raw in task.raws
    ]


def key(raw: Raw, basis: str, twice: bool) -> str:
    """Return what a result is known by: the row's content and all else that it depends on."""
    content = repr((raw.cells, raw.text, raw.where if raw.text else "", twice))
    return hashlib.sha256(f"{basis}\n{content}".encode("utf-8", "replace")).hexdigest()[:24]


def basis(columns: tuple[BookColumn, ...], decimal: Decimal, wish: SurveyWish) -> str:
    """Return the digest of everything but the row that a result depends on."""
    goes_by = (
        patterns.__version__,
        columns,
        decimal,
        _library(),
        replace(wish, out="", force=False),
    )
    return hashlib.sha256(repr(goes_by).encode()).hexdigest()[:24]


@cache
def _library() -> Library:
    return materials.load()


def _line(raw: Raw, task: Task) -> str:
    return json.dumps(result(raw, task), ensure_ascii=False, separators=(",", ":"))


def result(raw: Raw, task: Task) -> dict[str, Any]:
    """Return everything that the survey tells of one book, as plain values."""
    book = _read(raw, task)
    told: dict[str, Any] = {
        "id": book.name,
        "where": raw.where,
        "value": book.value,
        "use": book.use,
        "not_measured": list(book.not_measured),
        "about": list(book.about),
    }
    problems = [*book.problems]
    if raw.row in task.twice:
        problems.insert(0, _twice(book.name))
    if raw.beyond:
        problems.insert(0, _moved(raw.beyond))
    if problems or book.record is None:
        return {**told, "state": "refused", "problems": [_problem(one) for one in problems]}
    examined = examine(book.record, _library(), catalogue.templates(), search_share=SEARCH_SHARE)
    told |= _examined(book.record, examined)
    return {
        **told,
        **(
            _drafted(book.record, told["first_way"], told["needs_measuring"], task.wish)
            if task.wish.draft
            else {"state": "examined"}
        ),
    }


def _read(raw: Raw, task: Task) -> ReadBook:
    if raw.text.startswith(UNSTORED):
        found = Problem("", raw.text[1:], "a plain text file", "save it as UTF-8 text", "text")
        return ReadBook(None, (RowProblem("", found),), name=raw.where.removesuffix(".toml"))
    if raw.text or not task.columns:
        return from_text(raw.text, raw.where)
    return from_cells(raw.cells, task.columns, task.decimal)


def _twice(name: str) -> RowProblem:
    found = f"“{name}” is the id of a book above"
    return RowProblem(
        "book.id", Problem("book.id", found, "an id of its own", "give each book its own", "clash")
    )


def _moved(cell: str) -> RowProblem:
    found = f"“{cell[:40]}” stands to the right of the last heading"
    remedy = (
        "put words with a comma in quotes, or clear the cell; every cell before it may have moved"
    )
    return RowProblem("", Problem("", found, "a heading over every cell", remedy, "unread"))


def _problem(one: RowProblem) -> dict[str, str]:
    return {
        "column": one.column,
        "field": one.problem.field,
        "found": one.problem.found,
        "allowed": one.problem.allowed,
        "remedy": one.problem.remedy,
    }


def _examined(record: Record, examined: Examination) -> dict[str, Any]:
    """Return the findings with their classes, and the ways to go on."""
    ways = examined.choices
    first = ways[0]
    offered = dict.fromkeys(
        name for way in ways if way.structure != NOTHING for name in way.structure.split("+")
    )
    return {
        "class": max((NEED[finding.call] for finding in examined.findings), default=1),
        "findings": [finding.key for finding in examined.findings],
        "parts": dict(_parts(record, examined.findings)),
        "first_way": "" if first.structure == NOTHING else first.structure,
        "structures": list(offered),
        "cautions": list(examined.cautions),
        "needs_measuring": [field.replace(" or ", "|") for field in first.missing],
    }


def _parts(record: Record, findings: tuple[Finding, ...]) -> Iterator[tuple[str, int]]:
    """Yield the class of each part that anything is known of: by its worst finding, else 1."""
    worst: dict[str, int] = {}
    for finding in findings:
        for table in {field.partition(".")[0].partition("[")[0] for field in finding.fields}:
            worst[table] = max(worst.get(table, 1), NEED[finding.call])
    for table in PARTS:
        if table in worst:
            yield table, worst[table]
        elif _known(record, table):
            yield table, 1


def _known(record: Record, table: str) -> bool:
    """Tell whether the record says anything of a part that could be judged."""
    if table == "union":
        return bool(record.unions)
    held = getattr(record, table)
    names = ("weight",) if table == "book" else held.__slots__
    return any(getattr(held, name) not in (None, ()) for name in names)


def _drafted(record: Record, way: str, missing: list[str], wish: SurveyWish) -> dict[str, Any]:
    """Draft the first way into the survey's folder; what hinders it is told, and stops nothing."""
    if not way or missing:
        return {"state": "examined"}
    from patterns.drafting import job, making
    from patterns.drafting.order import Order
    from patterns.stock import paper
    from patterns.survey.needed import needed

    order = Order(
        record,
        tuple(way.split("+")),
        stock=_library(),
        paper=paper.parse(wish.paper),
        correction=wish.correction,
        formats=wish.formats,
    )
    try:
        drafted = job.draft(order)
        made = making.make(drafted)
        making.write(made, Path(wish.out), wish.force)
    except MendfoldError as error:
        return {"state": "examined", "not_drafted": str(error)}
    return {
        "state": "drafted",
        "folder": made.folder,
        "sheets": made.sheets,
        "needed": needed(drafted),
    }
