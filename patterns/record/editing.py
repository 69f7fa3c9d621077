"""A record's text with some of its values changed and everything else as somebody wrote it.

Comments, order, spaces and units stay (tomlkit reads and writes them). What comes out is read back
and compared; where it is not what was meant, the record is written anew, without its comments.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT

from patterns.errors import RecordError
from patterns.record import reading
from patterns.record.fields import LIST_TABLES
from patterns.record.writing import toml, written

Tables = Mapping[str, Any]
"""Table name → {key: value as written}, or a list of such."""


def edited(text: str, wanted: Tables) -> str:
    """Return `text` changed to hold just the values of `wanted`; unknown tables of it stay.

    A text without a word is written anew, in handling order.
    """
    tables = {name: rows for name, rows in wanted.items() if rows}
    if not text.strip():
        return written(tables)
    try:
        before = reading.unchecked(text, "record")
        changed = _changed(text, before, tables)
        if _filled(reading.unchecked(changed, "record")) == tables:
            return changed
    except (RecordError, TOMLKitError, TypeError, KeyError, AttributeError):
        pass
    return written(tables)


def _filled(tables: Tables) -> dict[str, Any]:
    return {name: rows for name, rows in tables.items() if rows}


def _changed(text: str, before: Tables, wanted: Tables) -> str:
    document = tomlkit.parse(text)
    for name in dict.fromkeys((*before, *wanted)):
        old, new = before.get(name, {}), wanted.get(name, {})
        if name in LIST_TABLES:
            _change_blocks(document, name, old or [], new or [])
            continue
        _change_keys(document, name, old, new)
    return tomlkit.dumps(document)


def _change_keys(document: Any, name: str, old: Tables, new: Tables) -> None:
    news = {key: value for key, value in new.items() if key not in old or old[key] != value}
    gone = [key for key in old if key not in new]
    if not news and not gone:
        return
    table = _table(document, name)
    for key in gone:
        del table[key]
    for key, value in news.items():
        table[key] = _item(value)


def _table(document: Any, name: str) -> Any:
    """Return the table of a dotted name, made where it is missing."""
    held = document
    for step in name.split("."):
        if step not in held:
            held[step] = tomlkit.table()
        held = held[step]
    return held


def _change_blocks(document: Any, name: str, old: Sequence[Tables], new: Sequence[Tables]) -> None:
    if list(old) == list(new):
        return
    parent, _, key = name.rpartition(".")
    within = _table(document, parent) if parent else document
    if key not in within:
        within[key] = tomlkit.aot()
    blocks: AoT = within[key]
    for place, row in enumerate(new):
        if place >= len(old):
            blocks.append(tomlkit.table())
        block = blocks[place]
        for gone in [one for one in block if one not in row]:
            del block[gone]
        for one, value in row.items():
            if (
                one not in block
                or (place < len(old) and old[place].get(one) != value)
                or place >= len(old)
            ):
                block[one] = _item(value)
    for _ in range(len(old) - len(new)):
        del blocks[-1]
    if not new:
        del within[key]


def _item(value: Any) -> Any:
    """Return a value as it is written in every record."""
    return tomlkit.value(toml(value))
