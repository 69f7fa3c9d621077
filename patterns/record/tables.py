"""From the tables that TOML gave to values in their fields' own units, and everything wrong with them.

Nothing is refused here: every problem is kept, so that whoever shows them can show each beside its
field. A problem's place is that of its field in handling order; what belongs to no field comes first.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from patterns.errors import MendfoldError, Problem, nearest
from patterns.record.checks import impossible
from patterns.record.fields import BY_NAME, FIELDS, LIST_TABLES, ORDER, TABLES
from patterns.record.legible import Legible
from patterns.record.values import value

_NUMBER = re.compile(r"\[(\d+)\]")
_NOWHERE = -1
"""Place of what is no part of a record."""


class Checked(NamedTuple):
    """Values by table and key, and all that cannot stand: first what cannot be read by itself, then
    what cannot stand together, each in handling order.
    """

    values: dict[str, Any]
    problems: tuple[Problem, ...]


def check(raw: Mapping[str, Any]) -> Checked:
    """Check tables of values as they were written: table name → {key: value}, or a list of such.

    A contradiction is looked for wherever all that it rests on can be read.
    """
    noted = _Noted()
    tables = dict(known_tables(raw, noted))
    values = {table: _values(table, content, noted) for table, content in tables.items()}
    apart = [problem for _, problem in sorted(noted.problems, key=lambda pair: pair[0])]
    read = Legible(values, frozenset(noted.unread))
    together = sorted(dict.fromkeys(impossible(read)), key=lambda problem: _place(problem.field))
    return Checked(values, (*apart, *together))


def _place(name: str) -> tuple[int, int]:
    """Return where a field stands in handling order, and in which of several blocks."""
    number = _NUMBER.search(name)
    return ORDER[_NUMBER.sub("", name)], int(number[1]) if number else 0


@dataclass(slots=True)
class _Noted:
    """Problems with their places, and the names of fields and tables whose values stay unknown."""

    problems: list[tuple[int, Problem]] = field(default_factory=list)
    unread: set[str] = field(default_factory=set)

    def note(self, problem: Problem, place: int, unread: str = "") -> None:
        self.problems.append((place, problem))
        self.unread.add(unread or problem.field)


def known_tables(raw: Mapping[str, Any], noted: _Noted | None = None) -> Iterator[tuple[str, Any]]:
    """Yield the tables a record may hold, tables within tables by their dotted names."""
    for table, content in _flat(raw):
        problem, place = _misshapen(table, content)
        if problem is None:
            yield table, content
        elif noted is not None:
            noted.note(problem, place)


def _flat(raw: Mapping[str, Any]) -> Iterator[tuple[str, Any]]:
    for table, content in raw.items():
        inside = [name.partition(".")[2] for name in TABLES if name.startswith(f"{table}.")]
        if inside and isinstance(content, dict):
            yield table, {key: value for key, value in content.items() if key not in inside}
            yield from ((f"{table}.{key}", content[key]) for key in inside if key in content)
        else:
            yield table, content


def _misshapen(table: str, content: Any) -> tuple[Problem | None, int]:
    if table not in TABLES:
        return _unknown_table(table), _NOWHERE
    place = ORDER[next(one.name for one in FIELDS if one.table == table)]
    if table in LIST_TABLES:
        if isinstance(content, list) and all(isinstance(item, dict) for item in content):
            return None, place
        shape, remedy = f"[[{table}]], as often as needed", f"write [[{table}]]"
        return Problem(table, "is a list of blocks", shape, remedy, "name"), place
    if isinstance(content, dict):
        return None, place
    remedy = f"write [{table}] on a line"
    return Problem(table, "is a table", f"[{table}], once", remedy, "name"), place


def _unknown_table(table: str) -> Problem:
    at_home = [one.table for one in FIELDS if one.key == table]
    if at_home:
        remedy = f"write it below [{at_home[0]}]"
        return Problem(table, "stands outside its table", f"[{at_home[0]}]", remedy, "name")
    known = ", ".join(TABLES)
    close = nearest(table, TABLES, 1)
    remedy = f"did you mean [{close[0]}]?" if close else f"known: {known}"
    return Problem(table, "is no part of a record", known, remedy, "name")


def _values(table: str, content: Any, noted: _Noted) -> Any:
    if table not in LIST_TABLES:
        return _row(table, table, content, noted)
    rows = []
    for number, item in enumerate(content, 1):
        block = f"{table}[{number}]"
        rows.append(_row(table, block, item, noted))
        for one in FIELDS:
            if one.table == table and one.needed and one.key not in item:
                found, remedy = f"lacks {one.key} ({one.reason})", f"write {one.allowed}"
                noted.note(Problem(block, found, one.allowed, remedy, "name"), ORDER[one.name])
    return rows


def _row(table: str, shown: str, content: dict[str, Any], noted: _Noted) -> dict[str, Any]:
    row = {}
    for key, raw in content.items():
        one = BY_NAME.get(f"{table}.{key}")
        name = f"{shown}.{key}"
        if one is None:
            _note_unknown(table, key, name, noted)
            continue
        try:
            row[key] = value(one, raw)
        except MendfoldError as why:
            for problem in why.problems:
                noted.note(problem.at(name), ORDER[one.name])
    return row


def _note_unknown(table: str, key: str, name: str, noted: _Noted) -> None:
    """Note a key that its table does not have; a slip of the pen leaves the field meant unknown."""
    known = {one.key: one for one in FIELDS if one.table == table}
    allowed = ", ".join(known)
    close = nearest(key, known, 1)
    elsewhere = [one.table for one in FIELDS if one.key == key]
    if close:
        problem = Problem(name, "is unknown", allowed, f"did you mean {close[0]}?", "name")
        meant = f"{name.removesuffix(key)}{close[0]}"
        noted.note(problem, ORDER[known[close[0]].name], meant)
    elif elsewhere:
        remedy = f"it belongs below [{elsewhere[0]}]"
        noted.note(Problem(name, "is unknown here", allowed, remedy, "name"), _NOWHERE)
    else:
        remedy = f"[{table}] may hold {allowed}"
        noted.note(Problem(name, "is unknown", allowed, remedy, "name"), _NOWHERE)
