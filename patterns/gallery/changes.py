"""What changed from one revision to the next: measurements, parameters, figures, files."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from patterns.errors import plain
from patterns.gallery.summary import parsed, record_of
from patterns.record.fields import BY_NAME, FIELDS, LIST_TABLES
from patterns.record.record import Record


@dataclass(frozen=True, slots=True)
class Change:
    """One value before and after; None where there was none. `where` is measurement,
    parameter or figure."""

    where: str
    name: str
    before: object
    after: object

    def __str__(self) -> str:
        return f"{self.name}: {said(self.before)} → {said(self.after)}"


def said(value: object) -> str:
    """Return a value as one reads it aloud."""
    if value is None:
        return "not given"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.3f}".rstrip("0").rstrip(".")
    if isinstance(value, list | tuple):
        return ", ".join(map(said, value))
    if isinstance(value, Mapping):
        return ", ".join(f"{key} {said(one)}" for key, one in value.items())
    return plain(str(value))


def between(
    before: Mapping[str, bytes], after: Mapping[str, bytes], where: str = "pattern"
) -> list[Change]:
    """Return what differs in measurements, parameters and figures of two revisions' files.

    The owner is left out. Raises GalleryError or RecordError when one of them cannot be read.
    """
    old, new = parsed(before, where), parsed(after, where)
    return [
        *_compare("measurement", *(dict(fields(record_of(f, where))) for f in (before, after))),
        *_compare("parameter", *(dict(flat(tree.get("parameters"))) for tree in (old, new))),
        *_compare("figure", *(dict(flat(tree.get("quantities"))) for tree in (old, new))),
    ]


def _compare(where: str, old: dict[str, Any], new: dict[str, Any]) -> list[Change]:
    names = dict.fromkeys((*old, *new))
    pairs = ((name, old.get(name), new.get(name)) for name in names)
    return [Change(where, name, one, other) for name, one, other in pairs if one != other]


def fields(record: Record) -> Iterator[tuple[str, object]]:
    """Yield every given field of a record by its dotted name, the owner left out."""
    for row in FIELDS:
        if row.table in LIST_TABLES or row.name == "book.owner":
            continue
        if (value := record.get(row.name)) is not None:
            yield row.name, value
    for fold in record.sewing.fold:
        yield f"sewing.fold {fold.gathering}", (fold.folios, fold.holes)
    for union in record.unions:
        moves = {True: "moves", False: "does not move", None: None}[union.moves]
        told = [word for word in (moves, union.made, union.state) if word]
        yield f"union {' and '.join(union.between)}", ", ".join(told)


def with_unit(name: str, value: object) -> str:
    """Return a record field's value as one reads it aloud, with its unit.

    >>> with_unit("text_block.height", 196.0)
    '196 mm'
    """
    unit = BY_NAME[name].unit if name in BY_NAME else ""
    return f"{said(value)}{'' if unit == '°' else ' '}{unit}".strip()


def flat(tree: object, path: str = "") -> Iterator[tuple[str, object]]:
    """Yield every value of a tree of tables by its dotted name; lists stay whole."""
    if isinstance(tree, Mapping):
        for key, value in tree.items():
            yield from flat(value, f"{path}.{key}" if path else str(key))
    else:
        yield path, tree
