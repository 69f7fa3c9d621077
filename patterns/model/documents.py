"""JSON documents as frozen dataclasses: read with limits, every shape checked, written key by key.

A field is declared once, in its dataclass: its name is the key, its annotation what may stand
there, its default what an older document without that key is taken to say. Keys that no field has
are passed over, so that a later version may add some.
"""

from __future__ import annotations

import dataclasses
import json
import types
import typing
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import MISSING, fields, is_dataclass
from functools import cache
from itertools import chain
from typing import Any, Literal, TypeVar, cast, get_args, get_origin, get_type_hints

from patterns.errors import MendfoldError, plain
from patterns.model.values import Value, plain_value

T = TypeVar("T")
_Reader = Callable[[object], object]

LARGEST_BYTES = 20_000_000
MOST_VALUES = 1_000_000
"""Far more than the largest book's pattern holds (about 40,000)."""
DEEPEST = 50
LARGEST_NUMBER = 1e9
"""A thousand kilometres in mm; every figure lies far below."""


class Misshapen(MendfoldError):
    """A document, or the value at `key` in it, is not what may stand there."""

    def __init__(self, found: str, allowed: str, key: str = "") -> None:
        self.found, self.allowed, self.key = found, allowed, key
        super().__init__(f"{key or 'the document'}: {found}; allowed is {allowed}")

    def within(self, step: str) -> Misshapen:
        """Return the same fault one step further out; `step` is a key, or "[3]" for a place."""
        between = "." if self.key and not self.key.startswith("[") else ""
        return Misshapen(self.found, self.allowed, f"{step}{between}{self.key}")


def read(kind: type[T], data: bytes) -> T:
    """Return the document in `data` as a `kind`, a dataclass; raises Misshapen."""
    shape: Any = kind
    return cast(T, _table(shape)(_parsed(data)))


def _parsed(data: bytes) -> object:
    """Return a JSON text as Python has it, once its size, depth and number of values are known."""
    if len(data) > LARGEST_BYTES:
        size = f"{len(data) / 1e6:.0f} MB"
        raise Misshapen(size, f"at most {LARGEST_BYTES // 1_000_000} MB")
    if sum(map(data.count, (b",", b"[", b"{"))) > MOST_VALUES:
        raise Misshapen("too many values", f"at most {MOST_VALUES:,}")
    try:
        tree: object = json.loads(data)
    except RecursionError:
        raise Misshapen("brackets in brackets", f"at most {DEEPEST} deep") from None
    except ValueError as error:  # what is no UTF-8, no JSON, or a number of thousands of digits
        raise Misshapen(f"no JSON ({error})", "what mendfold wrote") from None
    level: list[object] = [tree]
    for _ in range(DEEPEST):
        if not level:
            return tree
        level = list(chain.from_iterable(map(_inner, level)))
    raise Misshapen("brackets in brackets", f"at most {DEEPEST} deep")


def _inner(value: object) -> Iterator[object]:
    """Yield the tables and rows directly inside a value."""
    inside = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    return (one for one in inside if isinstance(one, dict | list))


@cache
def _reader(hint: Any) -> _Reader:
    """Return what turns a value of a parsed JSON text into what an annotation says."""
    origin, inner = get_origin(hint), get_args(hint)
    if hint in _SCALARS:
        return _SCALARS[hint]
    if isinstance(hint, type) and is_dataclass(hint):
        return _table(hint)
    if origin is Literal:
        return _choice(inner)
    if origin is tuple:
        return _rows(inner[0]) if inner[-1] is Ellipsis else _row(inner)
    if origin is Mapping:
        return _keyed(inner[1])
    if origin in (typing.Union, types.UnionType):
        anything = any(get_origin(one) is Mapping for one in inner)
        return _value if anything else _either(inner)
    raise TypeError(f"{hint} has no shape in a document")


def _text(value: object) -> str:
    if not isinstance(value, str):
        raise Misshapen(_shown(value), "words in quotes")
    if not value.isascii() and any("\ud800" <= mark <= "\udfff" for mark in value):
        raise Misshapen("half a letter", "words in quotes")
    return value


def _number(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise Misshapen(_shown(value), "a number")
    if not -LARGEST_NUMBER <= value <= LARGEST_NUMBER:  # nor is nan
        raise Misshapen(_shown(value), f"a number from -{LARGEST_NUMBER:g} to {LARGEST_NUMBER:g}")
    return value


def _whole(value: object) -> int:
    if isinstance(number := _number(value), int):
        return number
    raise Misshapen(_shown(value), "a whole number")


def _flag(value: object) -> bool:
    if isinstance(value, bool):
        return value
    raise Misshapen(_shown(value), "true or false")


def _nothing(value: object) -> None:
    if value is not None:
        raise Misshapen(_shown(value), "null")


_SCALARS: Mapping[Any, _Reader] = {
    str: _text,
    float: _number,
    int: _whole,
    bool: _flag,
    type(None): _nothing,
}


def _value(value: object) -> Value:
    """Return any value, frozen; its numbers and words are checked all the same."""
    match value:
        case dict():
            return cast("Value", _keyed(Value)(value))
        case list():
            return cast("Value", _rows(Value)(value))
        case bool() | None:
            return value
        case str():
            return _text(value)
    return _number(value)


def _choice(allowed: tuple[object, ...]) -> _Reader:
    def choose(value: object) -> object:
        if value not in allowed:
            raise Misshapen(_shown(value), " or ".join(map(_shown, allowed)))
        return value

    return choose


def _either(hints: tuple[Any, ...]) -> _Reader:
    """Return a reader of the first of several shapes that fits."""
    readers = [_reader(hint) for hint in hints]

    def choose(value: object) -> object:
        faults: list[Misshapen] = []
        for one in readers:
            try:
                return one(value)
            except Misshapen as fault:
                faults.append(fault)
        for found in faults:
            if found.key:  # further in than the others: this shape was meant
                raise found
        allowed = dict.fromkeys(found.allowed for found in faults)
        raise Misshapen(_shown(value), ", or ".join(allowed))

    return choose


@cache
def _rows(hint: Any) -> _Reader:
    each = _reader(hint)

    def read_rows(value: object) -> tuple[object, ...]:
        if not isinstance(value, list):
            raise Misshapen(_shown(value), "a list in [ ]")
        return tuple(_all((f"[{number}]", each, one) for number, one in enumerate(value, 1)))

    return read_rows


def _row(hints: tuple[Any, ...]) -> _Reader:
    """Return the reader of a list of a fixed length, each place with its own shape: a point."""
    each = [(f"[{number}]", _reader(hint)) for number, hint in enumerate(hints, 1)]

    def read_row(value: object) -> tuple[object, ...]:
        if not isinstance(value, list) or len(value) != len(each):
            raise Misshapen(_shown(value), f"a list of {len(each)} in [ ]")
        return tuple(_all((*one, held) for one, held in zip(each, value, strict=True)))

    return read_row


@cache
def _keyed(hint: Any) -> _Reader:
    each = _reader(hint)

    def read_keyed(value: object) -> dict[str, object]:
        if not isinstance(value, dict):
            raise Misshapen(_shown(value), "a table in { }")
        rows = ((key, each, held) for key, held in value.items())
        return dict(zip(map(_text, value), _all(rows), strict=True))

    return read_keyed


def _all(rows: Iterable[tuple[str, _Reader, object]]) -> list[object]:
    """Return what each reader makes of its value; a fault is told with the step that led to it."""
    found = []
    for step, each, value in rows:
        try:
            found.append(each(value))
        except Misshapen as fault:
            raise fault.within(step) from None
    return found


@cache
def _table(kind: Any) -> _Reader:
    hints = get_type_hints(kind)
    readers = {row.name: _reader(hints[row.name]) for row in fields(kind)}
    needed = [row.name for row in fields(kind) if _needed(row)]

    def read_table(value: object) -> object:
        if not isinstance(value, dict):
            raise Misshapen(_shown(value), "a table in { }")
        for name in needed:
            if name not in value:
                raise Misshapen("is missing", "only a document that has it", name)
        given = [name for name in readers if name in value]
        held = _all((name, readers[name], value[name]) for name in given)
        return kind(**dict(zip(given, held, strict=True)))

    return read_table


def _needed(row: dataclasses.Field[Any]) -> bool:
    return row.default is MISSING and row.default_factory is MISSING


def _shown(value: object) -> str:
    """Return a value as it stands in the document, shortened to one short line.

    >>> _shown([1, 2, 3]), _shown(True), _shown("head")
    ('a list of 3', 'true', '"head"')
    """
    match value:
        case dict() | list():
            return f"a {'table' if isinstance(value, dict) else 'list'} of {len(value)}"
        case float():
            return f"{value:g}"
        case int() if not isinstance(value, bool):
            return str(value) if abs(value) < LARGEST_NUMBER else "a huge number"
    return plain(json.dumps(value, ensure_ascii=False))[:60]


def write(value: object) -> bytes:
    """Return a dataclass as JSON in UTF-8, one key a line, one line end at the end."""
    return (json.dumps(plain_value(value), ensure_ascii=False, indent=1) + "\n").encode()
