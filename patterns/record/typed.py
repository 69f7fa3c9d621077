"""The values of a record as a person types them, and back: one field, one line of words.

    text_block.height      9 3/4 in
    sewing.kettles         12 228
    union[2].between       text block / boards

A field of several blocks bears the number of its block, from 1.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from patterns.errors import MendfoldError, Problem
from patterns.record.field import Field
from patterns.record.fields import BY_NAME, FIELDS, LIST_TABLES
from patterns.record.interview import understood
from patterns.record.tables import check

_BLOCK = re.compile(r"\[(\d{1,3})\]")
MOST_BLOCKS = 200
LONGEST = 20_000
"""So many letters may stand in one field: a list of a figure for each of 2000 leaves."""


def field_of(name: str) -> tuple[Field, int]:
    """Return the field of a name and the number of its block, 0 for a field that stands once.

    Raises KeyError for what is no field.
    """
    number = _BLOCK.search(name)
    field = BY_NAME[_BLOCK.sub("", name, count=1)]
    block = int(number[1]) if number else 0
    if (field.table in LIST_TABLES) != (1 <= block <= MOST_BLOCKS) or (
        number and f"{field.table}[{block}].{field.key}" != name
    ):
        raise KeyError(name)
    return field, block


def words_of(field: Field, raw: Any) -> str:
    """Return a value as it would be typed; it is understood as the same value again.

    >>> words_of(BY_NAME["sewing.kettles"], [12, 228.5]), words_of(BY_NAME["book.weight"], "2 lb 3 oz")
    ('12 228.5', '2 lb 3 oz')
    """
    if raw is None:
        return ""
    if isinstance(raw, bool):
        return _of_a_flag(field, raw)
    if isinstance(raw, list | tuple):
        return _of_a_list(field, list(raw))
    if isinstance(raw, float):
        return repr(raw).removesuffix(".0")
    return str(raw)


def _of_a_flag(field: Field, raw: bool) -> str:
    if field.kind == "choice":
        return str(field.when_true if raw else field.when_false)
    if field.kind == "choices":
        return "all" if raw else "none"
    return "yes" if raw else "no"


def _of_a_list(field: Field, raw: list[Any]) -> str:
    parts = [words_of(field, one) for one in raw]
    if field.kind == "choices":
        whole = len(parts) > 1 and set(parts) == set(field.words)
        return "all" if whole else ", ".join(parts) or "none"
    if field.kind == "two names":
        return " / ".join(parts)
    return ("; " if any(isinstance(one, str) for one in raw) and field.unit else " ").join(parts)


def all_words(tables: Mapping[str, Any]) -> dict[str, str]:
    """Return every value of some tables as it would be typed, by name in handling order."""
    found: dict[str, str] = {}
    for field in FIELDS:
        held = tables.get(field.table) or {}
        if isinstance(held, list):
            for number, row in enumerate(held, 1):
                if field.key in row:
                    found[f"{field.table}[{number}].{field.key}"] = words_of(field, row[field.key])
        elif field.key in held:
            found[field.name] = words_of(field, held[field.key])
    return found


@dataclass(frozen=True, slots=True)
class Typed:
    """What came of words: tables as they are written, and all that cannot stand in them."""

    tables: dict[str, Any]
    """Without what could not be understood."""
    values: dict[str, Any]
    """In the fields' own units."""
    problems: tuple[Problem, ...]


def typed(tables: Mapping[str, Any], words: Mapping[str, str]) -> Typed:
    """Return what tables become by the words typed since; empty words take a value away."""
    changed: dict[str, Any] = {
        name: [dict(row) for row in rows] if isinstance(rows, list) else dict(rows)
        for name, rows in tables.items()
    }
    unread: list[Problem] = []
    for name, typed_words in words.items():
        field, block = field_of(name)
        row = _row(changed, field.table, block)
        row.pop(field.key, None)
        if not typed_words.strip():
            continue
        try:
            row[field.key] = understood(field, typed_words.strip())
        except MendfoldError as why:
            unread += [one.at(name) for one in why.problems]
    numbers = _without_empty_blocks(changed)
    found = check(changed)
    told = (*unread, *(_renumbered(one, numbers) for one in found.problems))
    return Typed(changed, found.values, tuple(told))


def _row(tables: dict[str, Any], table: str, block: int) -> dict[str, Any]:
    if not block:
        row: dict[str, Any] = tables.setdefault(table, {})
        return row
    rows: list[dict[str, Any]] = tables.setdefault(table, [])
    while len(rows) < block:
        rows.append({})
    return rows[block - 1]


def _without_empty_blocks(tables: dict[str, Any]) -> dict[str, list[int]]:
    """Take out blocks that hold nothing; return, by table, the numbers that the others had."""
    numbers = {}
    for table in LIST_TABLES:
        rows = tables.get(table) or []
        numbers[table] = [number for number, row in enumerate(rows, 1) if row]
        if table in tables:
            tables[table] = [row for row in rows if row]
    return numbers


def _renumbered(problem: Problem, numbers: Mapping[str, list[int]]) -> Problem:
    """Name the block as it is numbered on the page, where empty ones are counted."""
    found = _BLOCK.search(problem.field)
    table = problem.field[: found.start()] if found else ""
    if not found or table not in numbers:
        return problem
    number = numbers[table][int(found[1]) - 1]
    return replace(problem, field=f"{table}[{number}]{problem.field[found.end() :]}")


def names() -> Iterator[str]:
    """Yield the name of every field, the first block's of those that stand in blocks."""
    for field in FIELDS:
        yield f"{field.table}[1].{field.key}" if field.table in LIST_TABLES else field.name
