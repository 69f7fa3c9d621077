"""Where a survey's books come from: a CSV, an XLSX, or a folder of records. Rows are streamed, never held.

A table's headings may stand in one row, or in two where the upper one names the record's tables over merged cells and
the lower one the fields. Rows above them (a title, a date) are passed over.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

from patterns import reading
from patterns.errors import FileError, SettingError
from patterns.record.fields import BY_NAME
from patterns.survey.columns import OWN, TableColumns, columns, is_field
from patterns.survey.numbers import Decimal, Signs
from patterns.survey.rows import UNSTORED, SheetCell

LARGEST_BYTES = 500_000_000
"""Fifty thousand books of eighty-five fields are ten million bytes."""
LONGEST_CELL = 4_000
_HEADS_WITHIN = 6
"""Rows in which headings are looked for."""
_SEPARATORS = (";", ",", "\t")

CellRow = Sequence[SheetCell]
Opener = Callable[[], Iterator[CellRow]]


@dataclass(frozen=True, slots=True)
class Raw:
    """One book before it is read: its place among the books from 1, where it stands, and what stands there."""

    row: int
    where: str
    cells: tuple[SheetCell, ...] = ()
    text: str = ""
    """A whole record's text; then there are no cells."""
    beyond: str = ""
    """What stands to the right of the last heading: the row's cells may have moved."""


@dataclass(frozen=True, slots=True)
class Source:
    """Books to be read, as often as they are asked for."""

    name: str
    columns: TableColumns
    decimal: Decimal
    count: int
    opener: Callable[[], Iterator[Raw]]


def source(path: Path, renamed: Mapping[str, str], decimal: Decimal | None) -> Source:
    """Open a survey's books and settle what their headings and figures mean. Raises MendfoldError.

    All figures are read once to settle the decimal sign, unless it is given.
    """
    if path.is_dir():
        return _folder(path)
    if path.suffix.lower() in (".xlsx", ".xlsm"):
        from patterns.survey.xlsx import sheet_rows

        return _table(path, lambda: sheet_rows(path), renamed, decimal)
    return _csv(path, renamed, decimal)


def _folder(path: Path) -> Source:
    files = sorted(each for each in path.iterdir() if each.suffix == ".toml" and each.is_file())
    if not files:
        raise SettingError(
            f"{path}: no record (.toml) lies in this folder: name a folder of records, a CSV or an XLSX"
        )

    def opened() -> Iterator[Raw]:
        for number, file in enumerate(files, 1):
            yield Raw(number, file.name, text=_text(file))

    return Source(path.name, TableColumns((), ()), "point", len(files), opened)


def _text(file: Path) -> str:
    try:
        return reading.read_text(file)
    except FileError as error:
        return f"{UNSTORED}{error.words}"


def _csv(path: Path, renamed: Mapping[str, str], decimal: Decimal | None) -> Source:
    try:
        with reading.plain_file(path, LARGEST_BYTES) as file:
            start = file.read(65_536)
        encoding = _encoding(start, path)
    except FileError as error:
        raise SettingError(f"{error}: name a CSV, an XLSX or a folder of records") from None
    head = start.decode(encoding, "ignore")
    separator = max(_SEPARATORS, key=lambda mark: _most_known(_split(head, mark), renamed))
    return _table(path, lambda: _csv_rows(path, encoding, separator), renamed, decimal)


def _encoding(start: bytes, path: Path) -> str:
    """Return how a CSV is written: UTF-8, or UTF-16 by its mark; anything else is refused."""
    if start[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return "utf-16"
    try:
        start[:-8].decode("utf-8-sig") if len(start) > 8 else start.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        if error.reason != "unexpected end of data":
            raise SettingError(
                f"{path}: is no UTF-8 text: save it as “CSV UTF-8”, or as XLSX"
            ) from None
    if b"\0" in start:
        raise SettingError(
            f"{path}: holds binary data, no text: name a CSV, an XLSX or a folder of records"
        )
    return "utf-8-sig"


def _split(text: str, separator: str) -> list[CellRow]:
    rows = csv.reader(io.StringIO(text[:20_000], newline=""), delimiter=separator)
    try:
        return list(islice(rows, _HEADS_WITHIN))
    except csv.Error:
        return []


def _most_known(rows: Sequence[CellRow], renamed: Mapping[str, str]) -> int:
    return max((_known(headings, renamed) for _, headings in _candidates(rows)), default=0)


def _csv_rows(path: Path, encoding: str, separator: str) -> Iterator[CellRow]:
    with reading.plain_file(path, LARGEST_BYTES) as file:
        text = io.TextIOWrapper(file, encoding=encoding, newline="")
        try:
            for row in csv.reader(text, delimiter=separator):
                yield [cell[:LONGEST_CELL] for cell in row]
        except (csv.Error, UnicodeError) as why:
            raise SettingError(
                f"{path}: cannot be read as a table ({why}): save it as “CSV UTF-8” again"
            ) from None
        finally:
            text.detach()


def _table(
    path: Path, opener: Opener, renamed: Mapping[str, str], decimal: Decimal | None
) -> Source:
    first = list(islice(opener(), _HEADS_WITHIN + 1))
    above, headings = _headings(first, renamed, path)
    found = columns(headings, renamed, path.name)

    def opened() -> Iterator[Raw]:
        number = 0
        for place, cells in enumerate(islice(opener(), above, None), above + 1):
            if any(cell is not None and cell != "" for cell in cells):
                number += 1
                over = next((str(cell) for cell in cells[len(headings) :] if cell), "")
                yield Raw(number, f"row {place}", tuple(cells), beyond=over)

    signs, count = Signs(), 0
    measured = [one for one in found.read if one.name not in OWN and _holds_figures(one.name)]
    for raw in opened():
        count += 1
        for column in () if decimal else measured:
            cell = raw.cells[column.place] if column.place < len(raw.cells) else None
            if isinstance(cell, str) and ("," in cell or "." in cell):
                signs.look(cell, f"{raw.where}, {column.heading}")
    if not count:
        raise SettingError(f"{path}: holds no book below its headings: write one row a book")
    return Source(path.name, found, decimal or signs.settled(path.name), count, opened)


def _holds_figures(name: str) -> bool:
    one = BY_NAME[name]
    return bool(one.unit) or one.kind == "count"


def _headings(
    rows: Sequence[CellRow], renamed: Mapping[str, str], path: Path
) -> tuple[int, list[str]]:
    """Return how many rows stand above the first book, and the headings."""
    best = max(_candidates(rows), key=lambda pair: _known(pair[1], renamed), default=(0, []))
    if not _known(best[1], renamed):
        raise SettingError.kind(
            "unknown heading",
            f"{path}: none of its first {_HEADS_WITHIN} rows holds headings such as text_block.height [mm]",
        )
    return best


def _candidates(rows: Sequence[CellRow]) -> Iterator[tuple[int, list[str]]]:
    """Yield what may be the headings and their row: each row alone, and with the one above it over merged cells."""
    above: list[str] = []
    for number, row in enumerate(rows, 1):
        lower = [" ".join(str(cell).split()) if cell is not None else "" for cell in row]
        yield number, lower
        yield number, _joined(above, lower)
        above = lower


def _joined(upper: Sequence[str], lower: Sequence[str]) -> list[str]:
    """Join two rows of headings: a merged cell's words stand over every column until the next.

    A cell merged over both rows keeps its words in the upper one and is a heading of its own.
    """
    names, over = [], ""
    for place, below in enumerate(lower):
        own = upper[place] if place < len(upper) else ""
        over = own or over
        names.append(f"{over}.{below}" if over and below and not is_field(below) else below or own)
    return names


def _known(headings: Sequence[str], renamed: Mapping[str, str]) -> int:
    """Count the headings that stand for a field."""
    return sum(one in renamed or is_field(one) for one in headings)
