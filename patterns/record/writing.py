"""Writing a record: values as TOML, and the empty record with its reasons as comments."""

from __future__ import annotations

import textwrap
from collections.abc import Collection, Iterator, Mapping
from dataclasses import fields, replace
from typing import Any

from patterns.errors import RecordError
from patterns.record.field import Field
from patterns.record.fields import FIELDS, LIST_TABLES, TABLES
from patterns.record.reading import parse
from patterns.record.record import FoldTable, Record, UnionTable
from patterns.record.text import without_key
from patterns.units import mm

_BLANK_HEAD = """\
# The measurements of one book, in the order of handling it.
# Write what you measured after the = and take away the # before the name; leave out the rest.
# Bare numbers are in the unit named; in quotes with a unit of your own: "9 3/4 in", "24.5 cm".
"""
_ABOUT = {
    "cover.front": "only what differs at the front board",
    "cover.back": "only what differs at the back board",
    "sewing.fold": "one block for each irregular gathering",
    "union": "one block for each join",
}


def dump(record: Record) -> str:
    """Write a record as TOML, tables and keys in handling order."""
    tables: dict[str, Any] = {
        "sewing.fold": [_filled(item) for item in record.sewing.fold],
        "union": [_filled(item) for item in record.unions],
    }
    for one in FIELDS:
        if one.table not in LIST_TABLES and (value := record.get(one.name)) is not None:
            tables.setdefault(one.table, {})[one.key] = value
    return written(tables)


def _filled(item: FoldTable | UnionTable) -> dict[str, Any]:
    pairs = ((one.name, getattr(item, one.name)) for one in fields(item))
    return {key: value for key, value in pairs if value is not None}


def without_owner(record: Record) -> Record:
    """Return the record, and its text, with the owner left out."""
    if record.book.owner is None:
        return record
    bare = replace(record, book=replace(record.book, owner=None))
    text = without_key(record.text, "book.owner")
    try:
        kept = parse(text, record.source)
    except RecordError:
        return replace(bare, text=dump(bare))
    return replace(bare, text=text if kept == bare else dump(bare))


def toml(value: Any) -> str:
    """Write one value as TOML.

    >>> toml((12.0, 60.5)), toml("a \\"b\\""), toml(True)
    ('[12, 60.5]', '"a \\\\"b\\\\""', 'true')
    """
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        escaped = value.replace("\\", "\\\\").replace('"', '\\"')  # no text holds control marks
        return f'"{escaped}"'
    if isinstance(value, float):
        mm(value)  # refuses what is no number
        return repr(value).removesuffix(".0")
    if isinstance(value, list | tuple):
        return f"[{', '.join(map(toml, value))}]"
    return str(value)


def written(tables: Mapping[str, Any]) -> str:
    """Write tables (name → {key: value}, or a list of such) as TOML in handling order."""
    blocks = []
    for table in TABLES:
        head = f"[[{table}]]" if table in LIST_TABLES else f"[{table}]"
        content = tables.get(table)
        items: list[dict[str, Any]] = content if isinstance(content, list) else [content or {}]
        for item in filter(None, items):
            rows = [f"{one.key} = {toml(item[one.key])}" for one in _keys(table, item)]
            blocks.append("\n".join([head, *rows]))
    return "\n\n".join(blocks) + "\n"


def blank(names: Collection[str] | None = None) -> str:
    """Write the empty record: every field commented out, with what may stand there and why.

    `names` are the fields to ask for, all of them without.
    """
    asked = [field for field in FIELDS if names is None or field.name in names]
    lines = [_BLANK_HEAD.rstrip()]
    for table in TABLES:
        if not any(field.table == table for field in asked):
            continue
        # an empty [table] is harmless; an empty [[table]] would be a join or a fold without a name
        lines += ["", f"#[[{table}]]" if table in LIST_TABLES else f"[{table}]"]
        lines += [f"# {_ABOUT[table]}"] if table in _ABOUT else []
        for one in (field for field in asked if field.table == table):
            if table not in ("cover.front", "cover.back"):
                about = f"{one.reason} ({one.allowed})"
                lines += [
                    "",
                    *textwrap.wrap(about, 96, initial_indent="# ", subsequent_indent="# "),
                ]
            lines.append(f"#{one.key} =")
    return "\n".join(lines) + "\n"


def _keys(table: str, item: Mapping[str, Any]) -> Iterator[Field]:
    return (field for field in FIELDS if field.table == table and field.key in item)
