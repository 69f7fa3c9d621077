"""Reading a record's text: from TOML to checked values, or to one plain line of refusal.

Problems are gathered and the first in handling order is told, with the count of the others.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from patterns import reading
from patterns.errors import MendfoldError, RecordError, nearest
from patterns.record.checks import impossible
from patterns.record.fields import BY_NAME, FIELDS, LIST_TABLES, ORDER, TABLES, inner
from patterns.record.record import Record
from patterns.record.text import line_of, read_text
from patterns.record.values import value


def load(path: Path) -> Record:
    """Read a record from a file. Raises RecordError: one line with file, line, field and remedy."""
    return parse(read_text(path), path.name)


def parse(text: str, name: str) -> Record:
    """Read a record from TOML text; `name` is the file's name in messages. Raises RecordError."""
    return build(checked(text, name), text, name)


def build(tables: dict[str, Any], text: str = "", name: str = "record") -> Record:
    """Make a record from checked values: table name → {key: value}, or a list of such."""
    built: Record = _built(Record, "", tables)
    return replace(built, text=text, source=name)


def _built(holds: type[Any], name: str, tables: dict[str, Any]) -> Any:
    row = dict(tables.get(name, {}))
    for attribute, below, found in inner(holds, name):
        if found.many:
            row[attribute] = tuple(found.holds(**item) for item in tables.get(below, []))
        else:
            row[attribute] = _built(found.holds, below, tables)
    return holds(**row)


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong: its dotted name (with [n] for the n-th of several), and the words."""

    name: str
    words: str
    place: float


def checked(text: str, name: str) -> dict[str, Any]:
    """Return table name → {key: value in the field's own unit}. Raises RecordError, one line."""
    problems: list[Problem] = []
    tables = dict(_tables(_parsed(text, name), problems))
    values = {table: _values(table, content, problems) for table, content in tables.items()}
    if not problems:
        problems = [
            Problem(field, words, ORDER[_plain(field)]) for field, words in impossible(values)
        ]
    if problems:
        first = min(problems, key=lambda problem: problem.place)
        line = line_of(first.name, text)
        where = f"{name}, line {line}" if line else name
        more = f" (and {len(problems) - 1} more)" if len(problems) > 1 else ""
        raise RecordError(f"{where}: {first.name} {first.words}{more}")
    return values


def as_typed(text: str, name: str) -> dict[str, Any]:
    """Return checked tables with every value as it was written, units and all. Raises RecordError."""
    checked(text, name)
    return dict(_tables(_parsed(text, name), []))


def _parsed(text: str, name: str) -> dict[str, Any]:
    if not text.strip():
        raise RecordError(f"{name} is empty: fill in a record from “mendfold measure --blank”")
    try:
        return reading.tables(text)
    except ValueError as why:
        if "nested too deep" in str(why):
            raise RecordError(f"{name}: {why}: write plain [table] heads") from None
        raise RecordError(_not_toml(str(why), name, text)) from None


def _not_toml(why: str, name: str, text: str) -> str:
    found = re.search(r" \(at (?:line (\d+), column \d+|end of document)\)", why)
    row = int(found[1]) if found and found[1] else text.count("\n") + 1 if found else 0
    where = f"{name}, line {row}" if row else name
    if "Cannot overwrite" in why or "Cannot declare" in why or "Cannot mutate" in why:
        return f"{where}: “{_row_of(text, row)}” is written a second time: keep one of the two"
    if "Exceeds the limit" in why:
        return f"{where}: a number of thousands of digits: write the measurement in its own unit"
    seen = _row_of(text, row)
    remedy = 'name = number, or name = "words" in straight quotes'
    if re.search(r"=\s*[+-]?\d[\d.,/ ]*[ ,/a-z]", seen):
        remedy = 'a number with a point for decimals, or in quotes with its unit: "9 3/4 in"'
    reason = why[: found.start()] if found else why
    return f"{where}: “{seen}” cannot be read ({reason}): write {remedy}"


def _row_of(text: str, row: int) -> str:
    return text.split("\n")[row - 1].strip()[:60] if row else ""


def _tables(raw: dict[str, Any], problems: list[Problem]) -> Iterator[tuple[str, Any]]:
    """Split the parsed text into known tables; complain of unknown or misshapen ones."""
    for table, content in _flat(raw):
        place = ORDER[next(f.name for f in FIELDS if f.table == table)] if table in TABLES else -1
        if table not in TABLES:
            problems.append(Problem(table, _unknown_table(table), place))
        elif table in LIST_TABLES:
            if isinstance(content, list) and all(isinstance(item, dict) for item in content):
                yield table, content
            else:
                problems.append(Problem(table, f"is a list of blocks: write [[{table}]]", place))
        elif isinstance(content, dict):
            yield table, content
        else:
            problems.append(Problem(table, f"is a table: write [{table}] on a line", place))


def _flat(raw: dict[str, Any]) -> Iterator[tuple[str, Any]]:
    for table, content in raw.items():
        inside = [name.partition(".")[2] for name in TABLES if name.startswith(f"{table}.")]
        if inside and isinstance(content, dict):
            yield table, {key: value for key, value in content.items() if key not in inside}
            yield from ((f"{table}.{key}", content[key]) for key in inside if key in content)
        else:
            yield table, content


def _unknown_table(table: str) -> str:
    at_home = [field.name for field in FIELDS if field.key == table]
    if at_home:
        return f"stands outside its table: write it below [{at_home[0].rpartition('.')[0]}]"
    close = nearest(table, TABLES, 1)
    known = f"did you mean [{close[0]}]?" if close else f"known: {', '.join(TABLES)}"
    return f"is no part of a record: {known}"


def _values(table: str, content: Any, problems: list[Problem]) -> Any:
    if table not in LIST_TABLES:
        return _row(table, table, content, problems)
    rows = []
    for number, item in enumerate(content, 1):
        rows.append(_row(table, f"{table}[{number}]", item, problems))
        for one in FIELDS:
            if one.table == table and one.needed and one.key not in item:
                words = f"lacks {one.key} ({one.reason}): write {one.allowed}"
                problems.append(Problem(f"{table}[{number}]", words, ORDER[one.name]))
    return rows


def _row(table: str, shown: str, content: dict[str, Any], problems: list[Problem]) -> Any:
    row = {}
    for key, raw in content.items():
        field = BY_NAME.get(f"{table}.{key}")
        name = f"{shown}.{key}"
        if field is None:
            problems.append(_unknown_key(table, key, name))
            continue
        try:
            row[key] = value(field, raw)
        except MendfoldError as why:
            problems.append(Problem(name, str(why), ORDER[field.name]))
    return row


def _unknown_key(table: str, key: str, name: str) -> Problem:
    known = {field.key: field for field in FIELDS if field.table == table}
    close = nearest(key, known, 1)
    if close:
        return Problem(name, f"is unknown: did you mean {close[0]}?", ORDER[known[close[0]].name])
    elsewhere = [field.table for field in FIELDS if field.key == key]
    if elsewhere:
        return Problem(name, f"is unknown here: it belongs below [{elsewhere[0]}]", -1)
    return Problem(name, f"is unknown: [{table}] may hold {', '.join(known)}", -1)


def _plain(name: str) -> str:
    return re.sub(r"\[\d+\]", "", name)
