"""What changed from one revision to the next: measurements, parameters, figures, files."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from patterns.errors import plain
from patterns.gallery.summary import kept_of, record_of
from patterns.model.values import Value, leaves, plain_value
from patterns.record.fields import BY_NAME, FIELDS, LIST_TABLES
from patterns.record.record import Record


@dataclass(frozen=True, slots=True)
class Change:
    """One value before and after; None where there was none. `where` is measurement,
    parameter or figure."""

    where: str
    name: str
    before: Value
    after: Value

    def __str__(self) -> str:
        return f"{self.name}: {said(self.before)} → {said(self.after)}"


def said(value: Value) -> str:
    """Return a value as one reads it aloud."""
    match value:
        case None:
            return "not given"
        case True | False:
            return "yes" if value else "no"
        case float():
            return f"{value:.3f}".rstrip("0").rstrip(".")
        case tuple():
            return ", ".join(map(said, value))
        case Mapping():
            return ", ".join(f"{key} {said(one)}" for key, one in value.items())
    return plain(str(value))


def between(
    before: Mapping[str, bytes], after: Mapping[str, bytes], where: str = "pattern"
) -> list[Change]:
    """Return what differs in measurements, parameters and figures of two revisions' files.

    The owner is left out. Raises GalleryError or RecordError when one of them cannot be read.
    """
    old, new = kept_of(before, where), kept_of(after, where)
    return [
        *_compare("measurement", *(dict(fields(record_of(f, where))) for f in (before, after))),
        *_compare("parameter", *(dict(leaves(one.parameters)) for one in (old, new))),
        *_compare("figure", *(dict(leaves(one.quantities)) for one in (old, new))),
    ]


def _compare(where: str, old: Mapping[str, Value], new: Mapping[str, Value]) -> list[Change]:
    names = dict.fromkeys((*old, *new))
    pairs = ((name, old.get(name), new.get(name)) for name in names)
    return [Change(where, name, one, other) for name, one, other in pairs if one != other]


def fields(record: Record) -> Iterator[tuple[str, Value]]:
    """Yield every given field of a record by its dotted name, and its unions; the owner left out."""
    yield from measured(record)
    for union in record.unions:
        moves = {True: "moves", False: "does not move", None: None}[union.moves]
        told = [word for word in (moves, union.made, union.state) if word]
        yield f"union {' and '.join(union.between)}", ", ".join(told)


def measured(record: Record) -> Iterator[tuple[str, Value]]:
    """Yield every given field of a record by its dotted name, all but its unions and the owner."""
    for row in FIELDS:
        if row.table in LIST_TABLES or row.name == "book.owner":
            continue
        if (value := record.get(row.name)) is not None:
            yield row.name, plain_value(value)
    for fold in record.sewing.fold:
        yield f"sewing.fold {fold.gathering}", (fold.folios, fold.holes)


def with_unit(name: str, value: Value) -> str:
    """Return a record field's value as one reads it aloud, with its unit.

    >>> with_unit("text_block.height", 196.0)
    '196 mm'
    """
    unit = BY_NAME[name].unit if name in BY_NAME else ""
    return f"{said(value)}{'' if unit == '°' else ' '}{unit}".strip()
