"""Plain values, as JSON and TOML hold them, and how frozen dataclasses become such values."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from typing import Any, TypeVar, cast

Scalar = str | int | float | bool | None
Value = Scalar | tuple["Value", ...] | Mapping[str, "Value"]
"""Anything that JSON holds, frozen: its arrays are tuples."""
T = TypeVar("T")

PLACES = 4
"""Of a figure in a document: a tenth of a micrometre."""
UNLESS_DEFAULT = {"written": "unless default"}
"""Metadata of a field whose key is left out where it has its default."""


def rounded(value: T, places: int = PLACES) -> T:
    """Return a value with every broken number in it rounded, and never minus nought.

    A field's metadata may hold other `places` for itself.
    """
    return cast(T, _rounded(value, places))


def _rounded(value: object, places: int) -> object:
    match value:
        case float():
            return round(value, places) + 0.0
        case tuple():
            return tuple([_rounded(one, places) for one in value])
        case Mapping():
            return {key: _rounded(one, places) for key, one in value.items()}
    if not is_dataclass(value) or isinstance(value, type):
        return value
    held = {
        row.name: _rounded(getattr(value, row.name), row.metadata.get("places", places))
        for row in fields(value)
    }
    return type(value)(**held)


def plain_value(value: object) -> Value:
    """Return a dataclass, and all within it, as plain values by key, in the order of its fields.

    What JSON has no word for, a day or a path, becomes text.
    """
    if isinstance(value, str | int | float) or value is None:
        return value
    if isinstance(value, list | tuple):
        return tuple([plain_value(one) for one in value])
    if isinstance(value, Mapping):
        return plain_table(value)
    if not is_dataclass(value):
        return str(value)
    pairs = ((row, getattr(value, row.name)) for row in fields(value))
    return {
        row.name: plain_value(held)
        for row, held in pairs
        if row.metadata != UNLESS_DEFAULT or held != row.default
    }


def plain_table(rows: Mapping[Any, object]) -> Mapping[str, Value]:
    """Return a table as plain values, its keys as words."""
    return {str(key): plain_value(held) for key, held in rows.items()}


def leaves(value: Value, path: str = "") -> Iterator[tuple[str, Value]]:
    """Yield every value of a tree of tables by its dotted name; lists stay whole.

    >>> dict(leaves({"hollow_tube": {"on": 2, "off": (1, 2)}}))
    {'hollow_tube.on': 2, 'hollow_tube.off': (1, 2)}
    """
    if not isinstance(value, Mapping):
        yield path, value
        return
    for key, held in value.items():
        yield from leaves(held, f"{path}.{key}" if path else key)
