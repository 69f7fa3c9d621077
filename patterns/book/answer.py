"""A figure of the book with where it comes from: read off the book, worked out, or taken for want of both."""

from __future__ import annotations

from typing import Literal, NamedTuple, TypeVar

from patterns.errors import RecordError
from patterns.record.needs import needed

How = Literal["measured", "estimated", "default"]
_T = TypeVar("_T")


class Answer(NamedTuple):
    """A figure (mm, kg …), how it is known, and in words by what."""

    value: float
    how: How
    source: str

    @property
    def assumed(self) -> bool:
        """True for a default: nobody read or reckoned it on this book."""
        return self.how == "default"


def recorded(value: float | None, default: float, source: str) -> Answer:
    """Return what the record gives, else a default with its source."""
    if value is None:
        return Answer(default, "default", source)
    return Answer(value, "measured", "measured")


def certain(value: _T | None, field: str) -> _T:
    """Return a value that cannot be done without. Raises RecordError naming the field to add.

    `field` may hold alternatives, "spine.girth_head|spine.girth_tail": one of them is enough.
    """
    if value is None:
        names = field.replace("|", " or ")
        line = f"{names} is needed here; measure it and add it to the record"
        raise RecordError(line, [needed(field)])
    return value
