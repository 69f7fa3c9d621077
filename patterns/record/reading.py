"""Reading a record: from its text to its values, or to a refusal that holds all its problems.

The refusal's line tells the first of them, with the count of the others.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from patterns import reading
from patterns.errors import Problem, RecordError
from patterns.record.fields import inner
from patterns.record.record import Record
from patterns.record.tables import check, known_tables
from patterns.record.text import line_of, read_text

_LINES = "lines such as height = 240 below a [table]"


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


def checked(text: str, name: str) -> dict[str, Any]:
    """Return table name → {key: value in the field's own unit}. Raises RecordError."""
    found = check(_parsed(text, name))
    if found.problems:
        line = line_of(found.problems[0].field, text)
        where = f"{name}, line {line}" if line else name
        raise RecordError(f"{where}: {told(found.problems)}", found.problems)
    return found.values


def told(problems: Sequence[Problem]) -> str:
    """Return the first problem in full and the count of the others."""
    more = f" (and {len(problems) - 1} more)" if len(problems) > 1 else ""
    return f"{problems[0].line}{more}"


def as_typed(text: str, name: str) -> dict[str, Any]:
    """Return checked tables with every value as it was written, units and all. Raises RecordError."""
    checked(text, name)
    return unchecked(text, name)


def unchecked(text: str, name: str) -> dict[str, Any]:
    """Return the tables of a text as they were written, whether their values can stand or not.

    An empty text has none. Raises RecordError for what is no TOML.
    """
    return dict(known_tables(_parsed(text, name))) if text.strip() else {}


def tables_of(text: str, name: str) -> dict[str, Any]:
    """Return everything that a text holds, whatever it is about. Raises RecordError for no TOML."""
    return _parsed(text, name) if text.strip() else {}


def _parsed(text: str, name: str) -> dict[str, Any]:
    if not text.strip():
        problem = Problem("", "is empty", _LINES, "fill in a record", "empty")
        raise RecordError(f"{name} {problem.words}", [problem])
    try:
        return reading.tables(text)
    except reading.TooDeep as why:
        raise _unread(name, f"{why}", "write plain [table] heads") from None
    except tomllib.TOMLDecodeError as why:
        raise _not_toml(str(why), name, text) from None
    except ValueError:  # what Python has to say of a number too long to be turned into one
        found = "a number of thousands of digits"
        raise _unread(name, found, "write the measurement in its own unit") from None


def _unread(where: str, found: str, remedy: str) -> RecordError:
    problem = Problem("", found, _LINES, remedy, "text")
    return RecordError(f"{where}: {problem.words}", [problem])


def _not_toml(why: str, name: str, text: str) -> RecordError:
    """Refuse for what tomllib found; its sentence is all that it gives, the line's number in it."""
    found = re.search(r" \(at (?:line (\d+), column \d+|end of document)\)", why)
    row = int(found[1]) if found and found[1] else text.count("\n") + 1 if found else 0
    where = f"{name}, line {row}" if row else name
    seen = text.split("\n")[row - 1].strip()[:60] if row else ""
    if "Cannot overwrite" in why or "Cannot declare" in why or "Cannot mutate" in why:
        return _unread(where, f"“{seen}” is written a second time", "keep one of the two")
    remedy = 'name = number, or name = "words" in straight quotes'
    if re.search(r"=\s*[+-]?\d[\d.,/ ]*[ ,/a-z]", seen):
        remedy = 'a number with a point for decimals, or in quotes with its unit: "9 3/4 in"'
    reason = why[: found.start()] if found else why
    return _unread(where, f"“{seen}” cannot be read ({reason})", f"write {remedy}")
