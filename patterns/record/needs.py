"""What a book's record must hold before a structure can be worked out, and what it lacks of it."""

from __future__ import annotations

from collections.abc import Sequence

from patterns.errors import RecordError
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


def require(record: Record, names: Sequence[str]) -> None:
    """Refuse a record that lacks any of `names`, naming all that lack, in handling order.

    A name may hold alternatives, "spine.girth_head|spine.round_depth": one of them is enough.
    `book.id` is always required. Raises RecordError.
    """
    wanted = dict.fromkeys(["book.id", *names])
    missing = [name for name in wanted if not any(present(record, one) for one in name.split("|"))]
    if missing:
        missing.sort(key=lambda name: min(ORDER[one] for one in name.split("|")))
        words = ", ".join(" or ".join(map(_with_unit, name.split("|"))) for name in missing)
        line = line_of(missing[0].split("|")[0], record.text)
        where = f"{record.source}, line {line}" if line else record.source
        raise RecordError(
            f"{where}: missing {words}: measure and add each below its [table], "
            "or run “mendfold measure” for the reason of each"
        )


def _with_unit(name: str) -> str:
    unit = BY_NAME[name].unit
    return f"{name} ({unit})" if unit else name
