"""Books at the ends of what may be written: sound sheets, or one line; never a traceback."""

from __future__ import annotations

import time
from collections.abc import Mapping
from dataclasses import replace
from functools import cache

import pytest

from patterns.drafting import job
from patterns.drafting.making import make
from patterns.drafting.order import Drafted, Order
from patterns.errors import MendfoldError
from patterns.record import reading
from patterns.record.record import Record
from patterns.stock import materials, paper
from patterns.stock.materials import Library
from patterns.structures import catalogue
from tests.extreme_books import BOOKS, Tables, limits, toml
from tests.test_ladder import sound

NAMES = tuple(catalogue.templates())
TOGETHER = ("board_slot", "secondary_sewing")
PAPERS = ("A4", "letter", "148x210", "roll:610")
LARGE = ("two metres tall", "two metres wide", "400 thick", "album of 2000", "album uneven")
"""Books whose pieces fill hundreds of small sheets: they go on a roll."""
LIMITS: Mapping[str, Tables] = {f"{field} {end}": tables for field, end, tables in limits()}
LONGEST_S = 10.0
"""Of one draft, in processor time."""


@cache
def library() -> Library:
    """Return the materials that come with mendfold."""
    return materials.built_in()


def plain_line(error: MendfoldError) -> None:
    """Check that a refusal is one printable line that says something to do."""
    assert str(error).isprintable()
    assert 30 < len(str(error)) < 800
    assert "came out as" not in str(error)  # an overflow is no refusal


def drafted(book: Record, *names: str) -> Drafted | None:
    """Return the sound draft of structures on a book, or None when it is refused in one line."""
    start = time.process_time()
    try:
        found = job.draft(Order(book, names, stock=library()))
    except MendfoldError as error:
        plain_line(error)
        return None
    finally:
        assert time.process_time() - start < LONGEST_S
    sound(found)
    return found


@pytest.mark.parametrize("name", BOOKS)
def test_an_extreme_book_is_drafted_soundly_or_refused(name: str) -> None:
    """Every structure on every book: valid pieces with all that is on them, or one line."""
    book = reading.parse(toml(BOOKS[name]), "book.toml")
    for structure in NAMES:
        drafted(book, structure)
    drafted(book, *TOGETHER)


@pytest.mark.parametrize("number", range(0, len(BOOKS) * len(NAMES), 17))
def test_sheets_of_extreme_books(number: int) -> None:
    """A share of all pairs, each on another paper: pages in SVG and PDF, or one line."""
    tables, structure = BOOKS[list(BOOKS)[number // len(NAMES)]], NAMES[number % len(NAMES)]
    book = reading.parse(toml(tables), "book.toml")
    found = drafted(book, structure)
    if found is None:
        return
    large = list(BOOKS)[number // len(NAMES)] in LARGE
    chosen = paper.parse("roll:610" if large else PAPERS[number // 17 % len(PAPERS)])
    try:
        made = make(replace(found, order=replace(found.order, paper=chosen)))
    except MendfoldError as error:
        plain_line(error)
        return
    assert made.remarks == ()
    assert len(made.files) == made.sheets + 3
    assert all(made.files.values())


@pytest.mark.parametrize("case", LIMITS)
def test_each_field_at_its_ends(case: str) -> None:
    """A usual book with one field at its least or most: read or refused, and so is each draft."""
    try:
        book = reading.parse(toml(LIMITS[case]), "book.toml")
    except MendfoldError as error:
        plain_line(error)
        return
    for structure in NAMES:
        drafted(book, structure)


def test_the_record_decides_what_is_extreme() -> None:
    """Every extreme book is a legal record, and every field of numbers stands at its ends."""
    for tables in BOOKS.values():
        assert reading.parse(toml(tables), "book.toml").book.id
    assert len(LIMITS) > 150
