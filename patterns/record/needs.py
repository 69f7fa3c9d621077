"""What a book's record must hold before a structure can be worked out, and what it lacks of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from patterns.errors import Problem, RecordError
from patterns.record.fields import BY_NAME, ORDER
from patterns.record.record import Record
from patterns.record.text import line_of


def present(record: Record, name: str) -> bool:
    """Say whether a dotted field has a value; a cover's field also when both sides override it."""
    if record.get(name) is not None:
        return True
    table, _, key = name.rpartition(".")
    sides = [f"{table}.{side}.{key}" for side in ("front", "back")]
    return all(one in BY_NAME and record.get(one) is not None for one in sides)


def missing(record: Record, names: Sequence[str]) -> tuple[Problem, ...]:
    """Return a problem for each of `names` that a record lacks, in handling order.

    A name may hold alternatives, "spine.girth_head|spine.round_depth": one of them is enough.
    `book.id` is always needed.
    """
    wanted = dict.fromkeys(["book.id", *names])
    lacking = [name for name in wanted if not any(present(record, one) for one in _each(name))]
    lacking.sort(key=lambda name: min(map(_place, _each(name))))
    return tuple(replace(needed(name), found="is missing", kind="missing") for name in lacking)


def needed(name: str) -> Problem:
    """Return the problem of a field that has no value though another makes it needed; or of several
    alternatives, of which one would do.
    """
    fields = [BY_NAME[one] for one in _each(name)]
    allowed = ", or ".join(one.allowed for one in fields)
    remedy = f"give it: {fields[0].reason}"
    if len(fields) > 1:
        remedy = f"give one: {'; or '.join(f'{one.name}: {one.reason}' for one in fields)}"
    return Problem(name, "is needed", allowed, remedy, "needed")


def require(record: Record, names: Sequence[str]) -> None:
    """Refuse a record that lacks any of `names`, naming all that lack. Raises RecordError."""
    problems = missing(record, names)
    if problems:
        words = ", ".join(" or ".join(map(_with_unit, _each(one.field))) for one in problems)
        line = line_of(_each(problems[0].field)[0], record.text)
        where = f"{record.source}, line {line}" if line else record.source
        raise RecordError(f"{where}: missing {words}", problems)


def _each(name: str) -> list[str]:
    return name.split("|")


def _place(name: str) -> int:
    return ORDER[name]


def _with_unit(name: str) -> str:
    unit = BY_NAME[name].unit
    return f"{name} ({unit})" if unit else name
