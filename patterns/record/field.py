"""How a field of the record is declared: one line that holds its kind, range, reason and order.

    height: float | None = mm(20, 2000, "along the fold, from the head as it is now to the tail")

Nothing else is said of it anywhere: `fields` gathers the declarations, and reading, refusing, the
interview, the blank record, the form and the writing go by them. Fields are asked for in the order
they are declared in; a lower `order` comes before its table's others.
"""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from typing import Any, Literal, NamedTuple

FieldKind = Literal[
    "mm", "kg", "mN", "g/m²", "°", "count", "lengths", "length or lengths",
    "text", "id", "choice", "choices", "yes or no", "date", "two names", "fields", "three lengths",
]  # fmt: skip
Repeated = Literal["least", "mean", "spread"]
"""What is used of a figure that is read several times; of a spread its half, as ± of one reading."""
USED: dict[Repeated, str] = {
    "least": "the least",
    "mean": "their mean",
    "spread": "half of what they differ by",
}
"""What is used of several readings, in words."""
Visit = Literal["first", "cleaned", "sewn"]
"""When a book is measured: at first, its spine cleaned of old linings, its new sewing done."""
FIRST: tuple[Visit, ...] = ("first",)
CLEANED: tuple[Visit, ...] = ("first", "cleaned")
EVERY: tuple[Visit, ...] = ("first", "cleaned", "sewn")
NEVER: tuple[Visit, ...] = ()
SEWN: tuple[Visit, ...] = ("sewn",)
ALONG = ("head", "middle", "tail")
EACH = ("first", "second", "third")
_READINGS = "a list of readings, as [3.2, 3.1, 3.2]: the least counts"
ASKED = "asked"
"""Key of a field's metadata: what is asked for, a `Field`."""
INNER = "inner"
"""Key of a field's metadata: the table that stands here, an `InnerTable`."""


@dataclass(frozen=True, slots=True)
class Field:
    """One thing to measure or say: where it stands, what it may be, and why it is asked."""

    kind: FieldKind
    reason: str
    low: float = 0.0
    high: float = 0.0
    words: tuple[str, ...] = ()
    when_true: str | tuple[str, ...] = ""
    """What a plain true is read as, where a yes was enough once; "" where it never was."""
    when_false: str | tuple[str, ...] = ""
    order: int = 0
    needed: bool = False
    """Without it the block it stands in says nothing."""
    repeated: Repeated | None = None
    """What is used where it is read several times; None where one reading alone is taken."""
    places: tuple[str, ...] = ALONG
    """Where the three readings are taken, of a figure that may be read three times."""
    visits: tuple[Visit, ...] = FIRST
    """At which visits to the book it is asked for."""
    table: str = ""
    key: str = ""

    @property
    def name(self) -> str:
        """Dotted name, as `text_block.height`."""
        return f"{self.table}.{self.key}"

    @property
    def unit(self) -> str:
        """Unit of a bare number; empty for what is no measurement."""
        if self.kind in ("lengths", "length or lengths", "three lengths"):
            return "mm"
        return self.kind if self.kind in ("mm", "kg", "mN", "g/m²", "°") else ""

    @property
    def allowed(self) -> str:
        """What may stand here, in words."""
        span = f"{self.low:g} to {self.high:g}"
        several = f"distances in mm from {span}, as [12, 60.5, 110]"
        quoted = ", ".join(f'"{word}"' for word in self.words)
        if self.repeated == "least":
            return f"{span} {self.unit}, or {_READINGS}"
        return {
            "count": f"a whole number from {span}",
            "lengths": several,
            "three lengths": f"three lengths in mm from {span}, as [312, 218, 42]",
            "length or lengths": f"{span} mm, or a list with one figure a leaf",
            "text": f"words in quotes, one line, at most {self.high:g} characters",
            "id": "1 to 64 letters A–Z a–z, digits, - and _, starting with a letter or digit",
            "choice": quoted,
            "choices": f"a list of {quoted}; [] for none",
            "yes or no": "true or false",
            "date": "a date without quotes, as 2026-11-25",
            "two names": 'two names, as ["text block", "boards"]',
            "fields": 'names of fields, as ["cover.back.board_thickness", "text_block.leaves"]',
        }.get(self.kind, f"{span} {self.unit}")


class InnerTable(NamedTuple):
    """A table within a table: the class of its values, and its name where the attribute's differs."""

    holds: type[Any]
    name: str = ""
    many: bool = False
    """Written as a list of blocks."""


def measured(
    kind: FieldKind, low: float, high: float, reason: str, visits: tuple[Visit, ...] = FIRST
) -> Any:
    """Declare a measurement in the unit `kind`, or a list of lengths."""
    return _declared(Field(kind, reason, low, high, visits=visits))


def mm(
    low: float,
    high: float,
    reason: str,
    repeated: Repeated | None = None,
    visits: tuple[Visit, ...] = FIRST,
    places: tuple[str, ...] = ALONG,
) -> Any:
    """Declare a length; what is used of it where it is read several times, and where it then is."""
    one = Field("mm", reason, low, high, repeated=repeated, places=places, visits=visits)
    return _declared(one)


def kg(low: float, high: float, reason: str) -> Any:
    """Declare a weight."""
    return measured("kg", low, high, reason)


def three(low: float, high: float, reason: str) -> Any:
    """Declare three lengths of one body: head to tail, spine to fore edge, thickness."""
    return measured("three lengths", low, high, reason)


def heights(reason: str, visits: tuple[Visit, ...] = FIRST) -> Any:
    """Declare a list of places along the fold."""
    return measured("lengths", 0, 2000, reason, visits)


def count(low: int, high: int, reason: str, *, needed: bool = False) -> Any:
    """Declare a whole number."""
    return _declared(Field("count", reason, low, high, needed=needed))


def text(reason: str, most: int = 200, visits: tuple[Visit, ...] = FIRST) -> Any:
    """Declare words, one line of at most `most` characters."""
    return _declared(Field("text", reason, 0, most, visits=visits))


def choice(
    words: str,
    reason: str,
    *,
    order: int = 0,
    when_true: str = "",
    when_false: str = "",
    visits: tuple[Visit, ...] = FIRST,
) -> Any:
    """Declare one of the words given, parted by bars; what true and false stand for, where they may."""
    every = tuple(words.split("|"))
    return _declared(
        Field("choice", reason, 0, 0, every, when_true, when_false, order, visits=visits)
    )


def choices(words: str, reason: str) -> Any:
    """Declare any of the words given, parted by bars: true stands for all, false for none."""
    every = tuple(words.split("|"))
    return _declared(Field("choices", reason, words=every, when_true=every, when_false=()))


def yes_or_no(reason: str) -> Any:
    """Declare what is true or false."""
    return _declared(Field("yes or no", reason))


def other(
    kind: Literal["id", "date", "two names", "fields"],
    reason: str,
    *,
    needed: bool = False,
    visits: tuple[Visit, ...] = FIRST,
) -> Any:
    """Declare a field whose kind says all of what may stand there."""
    return _declared(Field(kind, reason, needed=needed, visits=visits))


def table(holds: type[Any]) -> Any:
    """Declare a table within a table, empty when absent."""
    return dataclasses.field(default=holds(), metadata={INNER: InnerTable(holds)})


def blocks(holds: type[Any], name: str = "") -> Any:
    """Declare a list of blocks, none when absent; `name` where the attribute is not named so."""
    return dataclasses.field(default=(), metadata={INNER: InnerTable(holds, name, many=True)})


def _declared(one: Field) -> Any:
    """Return the dataclass field of a declaration: None when absent, unless it is needed."""
    if one.needed:
        return dataclasses.field(metadata={ASKED: one})
    return dataclasses.field(default=None, metadata={ASKED: one})
