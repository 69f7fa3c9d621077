"""The one table of fields of a record, in the order a person handles the book.

Reading, refusing, the interview, the blank record and the list of what is missing all go by it:
first what the book is and what may harm it or you, then the book closed, then the boards, then
the book opened, last the joins and the measuring itself. It is gathered from the declarations in
`record`, where a field is added.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from typing import Any

from patterns.record.field import ASKED, INNER, Field, InnerTable
from patterns.record.record import Record


def inner(holds: type[Any], name: str = "") -> Iterator[tuple[str, str, InnerTable]]:
    """Yield (attribute, dotted name, table) of every table within the table `name`."""
    for item in dataclasses.fields(holds):
        if INNER in item.metadata:
            found: InnerTable = item.metadata[INNER]
            own = found.name or item.name
            yield item.name, f"{name}.{own}" if name else own, found


def _fields(holds: type[Any], name: str = "") -> Iterator[Field]:
    own = [item for item in dataclasses.fields(holds) if ASKED in item.metadata]
    placed = (dataclasses.replace(item.metadata[ASKED], table=name, key=item.name) for item in own)
    yield from sorted(placed, key=lambda one: one.order)
    for _, below, found in inner(holds, name):
        yield from _fields(found.holds, below)


def _lists(holds: type[Any], name: str = "") -> Iterator[str]:
    for _, below, found in inner(holds, name):
        yield from [below] if found.many else _lists(found.holds, below)


FIELDS: tuple[Field, ...] = tuple(_fields(Record))
BY_NAME = {field.name: field for field in FIELDS}
ORDER = {field.name: place for place, field in enumerate(FIELDS)}
TABLES = tuple(dict.fromkeys(field.table for field in FIELDS))
LIST_TABLES = tuple(_lists(Record))
