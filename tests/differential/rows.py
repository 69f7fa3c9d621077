"""A drawn record as tables of rows, and its text."""

from __future__ import annotations

from collections.abc import Sequence
from random import Random

Row = dict[str, object]
Tables = dict[str, Row | list[Row]]
TABLE_ORDER = (
    "book", "condition", "text_block", "spine", "cover", "cover.front", "cover.back", "sewing",
    "sewing.fold", "album", "union", "measuring",
)  # fmt: skip


class Bare(str):
    """Words of TOML that take no quotes, as a date."""


def toml(tables: Tables) -> str:
    """Return a record's text."""
    lines = ["# A book drawn by chance. Bare numbers are millimetres and kilograms."]
    named = [*TABLE_ORDER, *(name for name in tables if name not in TABLE_ORDER)]
    for name in named:
        held = tables.get(name)
        rows: Sequence[Row] = held if isinstance(held, list) else [held] if held else []
        head = f"[[{name}]]" if isinstance(held, list) else f"[{name}]"
        for row in rows:
            lines += ["", head, *(f"{key} = {_toml(value)}" for key, value in row.items())]
    return "\n".join(lines) + "\n"


def _toml(value: object) -> str:
    if isinstance(value, Bare):
        return str(value)
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return '"' + value.replace("\\", "\\\\").replace('"', '\\"') + '"'
    if isinstance(value, list):
        return f"[{', '.join(map(_toml, value))}]"
    return f"{value:g}" if isinstance(value, float) and value == int(value) else str(value)


def tenth(value: float) -> float:
    """Return a length as it is read off a rule."""
    return round(value, 1)


def between(chance: Random, low: float, high: float) -> float:
    """Return a length drawn evenly."""
    return tenth(chance.uniform(low, high))


def figure(row: Row, key: str) -> float:
    """Return a figure of a row; 0 where it has none."""
    value = row.get(key, 0.0)
    return float(value) if isinstance(value, int | float) else 0.0
