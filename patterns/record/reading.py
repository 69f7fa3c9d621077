"""Reading a record's text: from TOML to checked values, or to one plain line of refusal.

Problems are gathered and the first in handling order is told, with the count of the others.
"""

from __future__ import annotations

import datetime
import math
import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from patterns import reading, units
from patterns.errors import MendfoldError, RecordError, nearest
from patterns.record.checks import impossible
from patterns.record.fields import BY_NAME, FIELDS, LIST_TABLES, ORDER, TABLES, Field
from patterns.record.text import line_of

_MOST_IN_LIST = 2000
_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,63}")


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
    inner = {"sewing": ("fold",), "cover": ("front", "back")}
    for table, content in raw.items():
        below = inner.get(table, ()) if isinstance(content, dict) else ()
        if below:
            yield table, {key: value for key, value in content.items() if key not in below}
            yield from ((f"{table}.{key}", content[key]) for key in below if key in content)
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
        needed = next(field for field in FIELDS if field.table == table)
        if needed.key not in item:
            name = f"{table}[{number}]"
            words = f"lacks {needed.key} ({needed.reason}): write {needed.allowed}"
            problems.append(Problem(name, words, ORDER[needed.name]))
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


def value(field: Field, raw: Any) -> Any:
    """Return a field's value from what TOML gave. Raises MendfoldError: what is wrong."""
    if field.kind in ("lengths", "length or lengths") and isinstance(raw, list):
        if not 0 < len(raw) <= _MOST_IN_LIST:
            raise MendfoldError(f"holds {len(raw)} figures: write {field.allowed}")
        return tuple(_number(field, item) for item in raw)
    if field.unit and field.kind != "lengths":
        return _number(field, raw)
    if field.kind in ("text", "id", "choice") and isinstance(raw, str):
        return _words(field, raw)
    if field.kind == "count" and isinstance(raw, int) and not isinstance(raw, bool):
        return _inside(field, raw)
    if field.kind == "yes or no" and isinstance(raw, bool):
        return raw
    if field.kind == "date" and type(raw) is datetime.date:
        return raw
    if (
        field.kind == "two names"
        and isinstance(raw, list)
        and len({item for item in raw if isinstance(item, str)}) == len(raw) == 2
    ):
        return tuple(_words(field, item) for item in raw)
    raise MendfoldError(f"is {_shown(raw)}; allowed: {field.allowed}: write it so")


def _number(field: Field, raw: Any) -> float:
    if isinstance(raw, str):
        try:
            return float(_inside(field, units.quantity(raw, field.unit)))
        except MendfoldError as why:
            if str(why).startswith("is "):
                raise
            raise MendfoldError(f"is no measurement: {why}; allowed: {field.allowed}") from None
    if isinstance(raw, bool) or not isinstance(raw, int | float):
        raise MendfoldError(f"is {_shown(raw)}; allowed: {field.allowed}: write the bare number")
    return float(_inside(field, raw))


def _inside(field: Field, number: float) -> float:
    if math.isfinite(number) if isinstance(number, float) else True:
        if field.low <= number <= field.high:
            return number
        shown = f"{_shown(number)} {field.unit}".strip()
        remedy = "measure again, or check the unit" if field.unit else "count again"
        raise MendfoldError(f"is {shown}; allowed: {field.allowed}: {remedy}")
    raise MendfoldError(f"is {number}, no number; allowed: {field.allowed}: measure again")


def _words(field: Field, raw: str) -> str:
    bad = next((mark for mark in raw if _hidden(mark)), None)
    if bad is not None:
        name = unicodedata.name(bad, f"character {ord(bad)}").lower()
        raise MendfoldError(f"holds a hidden character ({name}): type it again on one line")
    if field.kind == "id" and not _ID.fullmatch(raw):
        raise MendfoldError(f"is {_shown(raw)}; allowed: {field.allowed}: choose another")
    if field.kind == "choice" and raw not in field.words:
        close = nearest(raw, field.words, 1)
        hint = f"did you mean “{close[0]}”?" if close else "choose one"
        raise MendfoldError(f"is {_shown(raw)}; allowed: {field.allowed}: {hint}")
    if field.kind in ("text", "two names") and not raw.strip():
        raise MendfoldError("is empty: write words, or leave the line out")
    if len(raw) > (field.high or 80) and field.kind != "choice":
        raise MendfoldError(f"has {len(raw)} characters; allowed: {field.allowed}: shorten it")
    return raw


def _hidden(mark: str) -> bool:
    return unicodedata.category(mark) in ("Cc", "Cf", "Cs", "Co", "Zl", "Zp")


def _shown(raw: Any) -> str:
    if isinstance(raw, str):
        return f"“{raw[:40]}…”" if len(raw) > 40 else f"“{raw}”"
    if isinstance(raw, bool):
        return "true" if raw else "false"
    if isinstance(raw, dict | list):
        return "a table" if isinstance(raw, dict) else "a list"
    if isinstance(raw, int) and abs(raw) >= 10**15:
        return "a huge number"
    return f"{raw:.15g}" if isinstance(raw, float) else str(raw)


def _plain(name: str) -> str:
    return re.sub(r"\[\d+\]", "", name)
