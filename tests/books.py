"""Drafting demo records in tests, by name."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from pathlib import Path
from typing import Any

import patterns
from patterns.drafting import job
from patterns.drafting.making import Made, make
from patterns.drafting.order import Drafted, Order
from patterns.model.part import Part
from patterns.model.piece import Piece
from patterns.record import reading
from patterns.record.record import Record
from patterns.stock.paper import parse
from patterns.stock.printer import UNCORRECTED, Correction
from patterns.structures import catalogue

DEMO = Path(patterns.__file__).parent / "demo"


def demo(name: str) -> Record:
    """Return a demo record by its name."""
    return reading.load(DEMO / f"{name}.toml")


def changed(name: str, **tables: Mapping[str, object]) -> Record:
    """Return a demo record with some fields replaced: `changed("logbook", spine={"shoulder": 0})`."""
    found = demo(name)
    return replace(
        found,
        **{
            table: as_read(replace(getattr(found, table), **given))
            for table, given in tables.items()
        },
    )


def as_read(table: Any) -> Any:
    """Return a table with every measurement a float, as a record that is read has it.

    14 and 14.0 are equal, so what is remembered of the one would answer for the other and print it.
    """
    numbers: dict[str, object] = {}
    for one in fields(table):
        value = getattr(table, one.name)
        if is_dataclass(value):
            numbers[one.name] = as_read(value)
        elif type(value) is int and "float" in str(one.type):
            numbers[one.name] = float(value)
        elif isinstance(value, tuple) and "tuple[float" in str(one.type):
            numbers[one.name] = tuple(map(float, value))
    return replace(table, **numbers)


def drafted(book: Record | str, *structures: str, **settings: object) -> Drafted:
    """Draft structures on a record (or a demo record's name); settings as for `--set`.

    On its own example record a structure gets the settings its template gives for it.
    """
    given = {key.replace("__", "."): str(value) for key, value in settings.items()}
    for one in map(catalogue.find, structures):
        if one.example == book:
            for key, value in one.example_settings.items():
                if key not in given:
                    given.setdefault(f"{one.name}.{key}", value)
    return job.draft(Order(demo(book) if isinstance(book, str) else book, structures, given))


def made(
    book: Record | str,
    *structures: str,
    settings: Mapping[str, str] | None = None,
    paper: str = "A4",
    correction: Correction = UNCORRECTED,
    formats: tuple[str, ...] = ("svg", "pdf"),
) -> Made:
    """Draft structures on a record (or a demo record's name) and return every file of it."""
    record = demo(book) if isinstance(book, str) else book
    order = Order(
        record, structures, settings or {},
        paper=parse(paper), correction=correction, formats=formats,
    )  # fmt: skip
    return make(job.draft(order))


def part(found: Drafted, name: str) -> Part:
    """Return one structure's part of a draft."""
    return next(one for one in found.pattern.parts if one.structure == name)


def piece(found: Drafted, name: str) -> Piece:
    """Return one piece of a draft by its name."""
    return next(one for p in found.pattern.parts for one in p.pieces if one.name == name)


def figure(found: Drafted, structure: str, name: str) -> float:
    """Return one computed figure."""
    value = part(found, structure).quantities[name]
    assert isinstance(value, (int, float))
    return float(value)
