"""One value: from what TOML gave to the field's own unit, or the problem with it."""

from __future__ import annotations

import datetime
import math
import re
import unicodedata
from dataclasses import replace
from typing import Any

from patterns import units
from patterns.errors import MendfoldError, Problem, RecordError, nearest
from patterns.record.confirmed import shared
from patterns.record.field import Field, Repeated
from patterns.record.fields import BY_NAME

_MOST_IN_LIST = {"lengths": 200, "length or lengths": 2000}
"""Holes of one fold; leaves of an album."""
_MOST_READINGS = 9
_LONGEST_MM = 2200.0
"""The longest that is read of any book."""
ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,63}")


def value(field: Field, raw: Any) -> Any:
    """Return a field's value from what TOML gave. Raises RecordError of one problem, unnamed."""
    if field.kind in ("lengths", "length or lengths") and isinstance(raw, list):
        most = _MOST_IN_LIST[field.kind]
        if not 0 < len(raw) <= most:
            raise _none(field, f"holds {len(raw)} figures", f"write 1 to {most}: {field.allowed}")
        return tuple(_number(field, item) for item in raw)
    if field.repeated and isinstance(raw, list):
        return _used(field, field.repeated, raw)
    if field.kind == "three lengths" and isinstance(raw, list) and len(raw) == 3:
        return tuple(_number(field, item) for item in raw)
    if field.unit and field.kind not in ("lengths", "three lengths"):
        return _number(field, raw)
    if field.kind in ("text", "id", "choice") and isinstance(raw, str):
        return _words(field, raw)
    if field.kind in ("choice", "choices") and isinstance(raw, bool) and field.when_true:
        return field.when_true if raw else field.when_false
    if field.kind == "choices" and isinstance(raw, list):
        return _several(field, raw)
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
    if field.kind == "fields" and isinstance(raw, list) and raw:
        return tuple(_name(field, item) for item in raw)
    raise _outside(field, f"is {_shown(raw)}", "write it so")


def _used(field: Field, repeated: Repeated, raw: list[Any]) -> float:
    """Return what is used of several readings, in mm to 0.001."""
    fewest = 2 if repeated == "spread" else 1
    if not fewest <= len(raw) <= _MOST_READINGS:
        remedy = f"write {fewest} to {_MOST_READINGS}"
        raise _none(field, f"holds {len(raw)} readings", remedy)
    if repeated == "spread":
        lengths = replace(field, low=0.0, high=_LONGEST_MM, repeated=None)
        read = [_number(lengths, item) for item in raw]
        return float(_inside(field, round((max(read) - min(read)) / 2, 3)))
    read = [_number(field, item) for item in raw]
    return min(read) if repeated == "least" else round(sum(read) / len(read), 3)


def _name(field: Field, raw: Any) -> str:
    """Return the dotted name of a field of the record."""
    if isinstance(raw, str) and (raw in BY_NAME or shared(raw)):
        return raw
    close = nearest(raw, BY_NAME, 1) if isinstance(raw, str) else []
    hint = f"did you mean “{close[0]}”?" if close else "write table, point and key"
    raise _outside(field, f"holds {_shown(raw)}, no field of a record", hint)


def _several(field: Field, raw: list[Any]) -> tuple[str, ...]:
    """Return the words of a list in their own order, each once."""
    for item in raw:
        if item not in field.words:
            raise _outside(field, f"holds {_shown(item)}", "choose among these")
    return tuple(word for word in field.words if word in raw)


def _outside(field: Field, found: str, remedy: str) -> RecordError:
    return RecordError.of(Problem("", found, field.allowed, remedy))


def _none(field: Field, found: str, remedy: str) -> RecordError:
    return RecordError.of(Problem("", found, field.allowed, remedy, "content"))


def _number(field: Field, raw: Any) -> float:
    if isinstance(raw, str):
        return float(_inside(field, _quantity(field, raw)))
    if isinstance(raw, bool) or not isinstance(raw, int | float):
        raise _outside(field, f"is {_shown(raw)}", "write the bare number")
    return float(_inside(field, raw))


def _quantity(field: Field, raw: str) -> float:
    try:
        return units.quantity(raw, field.unit)
    except MendfoldError as why:
        (read,) = why.problems
        found = f"is no measurement: {read.found}"
        problem = Problem("", found, field.allowed, read.remedy, "unread")
        raise RecordError.of(problem) from None


def _inside(field: Field, number: float) -> float:
    if math.isfinite(number) if isinstance(number, float) else True:
        if field.low <= number <= field.high:
            return number
        found = f"is {_shown(number)} {field.unit}".rstrip()
        remedy = "measure again, or check the unit" if field.unit else "count again"
        raise _outside(field, found, remedy)
    raise _outside(field, f"is {number}, no number", "measure again")


def _words(field: Field, raw: str) -> str:
    bad = next((mark for mark in raw if _hidden(mark)), None)
    if bad is not None:
        name = unicodedata.name(bad, f"character {ord(bad)}").lower()
        raise _none(field, f"holds a hidden character ({name})", "type it again on one line")
    if field.kind == "id" and not ID.fullmatch(raw):
        raise _outside(field, f"is {_shown(raw)}", "choose another")
    if field.kind == "choice" and raw not in field.words:
        close = nearest(raw, field.words, 1)
        hint = f"did you mean “{close[0]}”?" if close else "choose one, or leave it out"
        raise _outside(field, f"is {_shown(raw)}", hint)
    if field.kind in ("text", "two names") and not raw.strip():
        raise _none(field, "is empty", "write words, or leave the line out")
    if len(raw) > (field.high or 80) and field.kind != "choice":
        raise _outside(field, f"has {len(raw)} characters", "shorten it")
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
