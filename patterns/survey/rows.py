"""One row of a survey: from its cells to a record, with every problem it has beside its column.

A cell is a text, or what a spreadsheet holds typed: a number, a truth, a day. An empty cell says nothing; “–” or “?”
say that nothing was measured; “ca. 30” is a reading whose error is three times the usual.
"""

from __future__ import annotations

import datetime
import hashlib
import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from patterns.book import spine
from patterns.errors import MendfoldError, Problem, RecordError
from patterns.record import reading as records
from patterns.record.field import Field
from patterns.record.fields import BY_NAME
from patterns.record.reading import build
from patterns.record.record import Record
from patterns.record.tables import check
from patterns.record.values import ID
from patterns.survey.columns import OWN, BookColumn, parts
from patterns.survey.numbers import NOT_MEASURED, Decimal, about, plain_figures

SheetCell = str | int | float | bool | datetime.date | None
FORMULA = "a formula without a stored value"
"""Stands as a cell's text, with `UNSTORED` before it, where a spreadsheet kept no value."""
UNSTORED = "\x00"
"""First mark of a cell that cannot be read; the rest of the cell says why."""
_YES = {"yes": True, "y": True, "true": True, "x": True, "no": False, "n": False, "false": False}
_BARE = re.compile(r"[+-]?\d+(?:\.\d+)?")
_UNIT_MARKS = "°\"″”'′’"
"""What may stand for a unit beside letters."""
_POINTED_DAY = re.compile(r"(\d{1,2})\. ?(\d{1,2})\. ?(\d{4})")
"""A day as it is written with points, the day before the month: 12.03.2026."""
_CALIPERS = re.compile(r"(?:board|leaf)_thickness$|^cover\.(?:front\.|back\.)?thickness$")
"""Fields that calipers read; everything else is read by rule or strip."""
_TIMES = 3.0
"""How much further off a reading may be that was only taken “about”."""


@dataclass(frozen=True, slots=True)
class RowProblem:
    """What is wrong with one cell; `column` is the heading it stands under, or the field's name."""

    column: str
    problem: Problem


@dataclass(frozen=True, slots=True)
class ReadBook:
    """One book of a survey as it was read; without a record where a problem stands in the way."""

    record: Record | None
    problems: tuple[RowProblem, ...]
    not_measured: tuple[str, ...] = ()
    """Fields whose cells say so."""
    about: tuple[str, ...] = ()
    """Fields read only about."""
    value: int | None = None
    use: int | None = None
    name: str = ""
    """What the cells give as the book's id: a library's own shelf mark, as it is written."""


def from_cells(
    cells: Sequence[SheetCell], columns: Sequence[BookColumn], decimal: Decimal
) -> ReadBook:
    """Read a row of a table."""
    row = _Row(decimal)
    for column in columns:
        row.take(column, cells[column.place] if column.place < len(cells) else None)
    return row.read({column.shown: column.heading for column in columns})


def from_text(text: str, name: str) -> ReadBook:
    """Read a record's own file: TOML as every other command reads it."""
    try:
        record = records.parse(text, name)
    except RecordError as error:
        wrong = tuple(RowProblem(problem.field, problem) for problem in error.problems)
        return ReadBook(None, wrong, name=name.removesuffix(".toml"))
    if record.book.id is None:
        return ReadBook(None, (_nameless("book.id"),), name=name.removesuffix(".toml"))
    return ReadBook(record, (), name=record.book.id)


@dataclass(slots=True)
class _Row:
    """What has been read of one row so far."""

    decimal: Decimal
    tables: dict[str, Any] = field(default_factory=dict)
    blocks: dict[tuple[str, str], dict[str, Any]] = field(default_factory=dict)
    headings: dict[tuple[str, str], str] = field(default_factory=dict)
    problems: list[RowProblem] = field(default_factory=list)
    not_measured: list[str] = field(default_factory=list)
    about: list[str] = field(default_factory=list)
    own: dict[str, int] = field(default_factory=dict)

    def take(self, column: BookColumn, cell: SheetCell) -> None:
        """Take one cell; what cannot be read is noted as a problem."""
        if isinstance(cell, str):
            cell = cell.strip()
            if cell in NOT_MEASURED:
                self.not_measured.append(column.shown)
                return
        if cell is None or cell == "":
            return
        try:
            self._put(column, self._value(column, cell))
        except MendfoldError as error:
            self.problems += [
                RowProblem(column.heading, one.at(column.shown)) for one in error.problems
            ]

    def _value(self, column: BookColumn, cell: SheetCell) -> Any:
        if isinstance(cell, str) and cell.startswith(UNSTORED):
            remedy = "open the table, let it be reckoned and save it, or write the figure itself"
            raise _cannot(f"holds {cell[1:]}", "a value", remedy)
        if column.name in OWN:
            return _one_to_four(cell)
        return self._raw(column, BY_NAME[column.name], cell)

    def _raw(self, column: BookColumn, one: Field, cell: SheetCell) -> Any:
        """Return what TOML would have given for a cell."""
        if isinstance(cell, datetime.datetime):
            cell = cell.date()
        if isinstance(cell, str) and (one.unit or one.kind == "count"):
            cell, rough = about(cell)
            if rough:
                self.about.append(column.shown)
            cell = plain_figures(cell, self.decimal)
        if one.unit:
            return self._measured(column, one, cell)
        return _told(one, cell)

    def _measured(self, column: BookColumn, one: Field, cell: SheetCell) -> Any:
        if not isinstance(cell, str):
            return f"{cell} {column.unit}" if column.unit and not isinstance(cell, bool) else cell
        pieces = [piece.strip() for piece in re.split(r"[;,|]", cell) if piece.strip()]
        many = one.kind in ("lengths", "three lengths") or len(pieces) > 1
        read = [_quantity(piece, column.unit) for piece in pieces]
        return read if many else read[0]

    def _put(self, column: BookColumn, raw: Any) -> None:
        if column.name in OWN:
            self.own[column.name] = raw
            return
        table, _, key = column.name.rpartition(".")
        if column.block:
            block = self.blocks.setdefault((table, column.block), _joined(column.block))
            block[key] = raw
        else:
            self.tables.setdefault(table, {})[key] = raw

    def read(self, headings: Mapping[str, str]) -> ReadBook:
        """Check everything that was taken, and make the record where nothing is wrong."""
        named = dict(headings)
        for (table, which), block in sorted(self.blocks.items(), key=lambda pair: _order(pair[0])):
            rows = self.tables.setdefault(table, [])
            rows.append(block)
            for key in block:
                shown = f"{table}[{which}].{key}"
                named[f"{table}[{len(rows)}].{key}"] = named.get(shown, shown)
        name = str(self.tables.get("book", {}).get("id", ""))
        if name.isprintable() and name:
            self.tables["book"]["id"] = as_id(name)
        found = check(self.tables)
        self.problems += [
            RowProblem(named.get(one.field, one.field), one) for one in found.problems
        ]
        if not name and not self._told("book.id"):
            self.problems.append(_nameless(named.get("book.id", "book.id")))
        record = None if self.problems else self._record(found.values)
        return ReadBook(
            record,
            tuple(self.problems),
            tuple(self.not_measured),
            tuple(self.about),
            self.own.get("value"),
            self.own.get("use"),
            name,
        )

    def _told(self, name: str) -> bool:
        return any(one.problem.field == name for one in self.problems)

    def _record(self, values: dict[str, Any]) -> Record:
        record = build(values, name="record")
        if not self.about:
            return record
        measuring = record.measuring
        calipers = [name for name in self.about if _CALIPERS.search(name)]
        if len(calipers) < len(self.about):
            measuring = replace(measuring, error=_TIMES * spine.reading(record).value)
        if calipers:
            measuring = replace(measuring, caliper_error=_TIMES * spine.caliper(record).value)
        return replace(record, measuring=measuring)


def as_id(mark: str) -> str:
    """Return a shelf mark as an id that can name a folder: as it is, else with a mark of its own.

    >>> as_id("MS_12"), as_id("MS. 12/3 (séa)")
    ('MS_12', 'MS-12-3-sea-5bef')
    """
    if ID.fullmatch(mark):
        return mark
    plain = unicodedata.normalize("NFKD", mark).encode("ascii", "ignore").decode()
    words = "-".join(re.findall(r"[A-Za-z0-9_]+", plain)).lstrip("_")[:59]
    return f"{words or 'book'}-{hashlib.sha256(mark.encode()).hexdigest()[:4]}"


def _joined(block: str) -> dict[str, Any]:
    """Return a new block: of a join, with the two parts that its heading names."""
    named = parts(block)
    return {"between": list(named)} if named else {}


def _order(block: tuple[str, str]) -> tuple[str, bool, int, str]:
    table, which = block
    return table, not which.isdigit(), int(which) if which.isdigit() else 0, which


def _quantity(text: str, unit: str) -> float | str:
    """Return a bare figure in the field's own unit, else the words, with the heading's unit where they have none."""
    if _BARE.fullmatch(text):
        return f"{text} {unit}" if unit else float(text)
    told = any(sign.isalpha() or sign in _UNIT_MARKS for sign in text)
    return f"{text} {unit}" if unit and not told else text


def _told(one: Field, cell: SheetCell) -> Any:
    """Return what TOML would have given for a field that is no measurement."""
    text = str(cell).strip()
    folded = text.casefold()
    if one.kind == "count" and not isinstance(cell, bool):
        return _whole(cell)
    if one.kind in ("text", "id"):
        return str(_whole(cell)) if isinstance(cell, float) else text
    if isinstance(cell, bool | datetime.date):
        return cell
    if one.kind == "date":
        return _day(text)
    if folded in _YES and (one.kind == "yes or no" or one.when_true):
        return _YES[folded]
    if one.kind == "choice":
        return next((word for word in one.words if _compared(word) == _compared(text)), text)
    if one.kind in ("choices", "fields", "two names"):
        return [piece.strip() for piece in re.split(r"[;,+|]", text) if piece.strip()]
    return text


def _compared(word: str) -> str:
    """Return a choice's word as it is compared: “Red rot” is red-rot, “in boards” in-boards."""
    return re.sub(r"[\s_-]+", "-", word.casefold())


def _whole(cell: SheetCell) -> SheetCell:
    """Return a whole number where a cell holds one in any dress: 12, 12.0, "12"."""
    if isinstance(cell, str) and re.fullmatch(r"[+-]?\d+(?:\.0+)?", cell):
        return int(float(cell))
    return int(cell) if isinstance(cell, float) and cell.is_integer() else cell


def _day(text: str) -> Any:
    try:
        if pointed := _POINTED_DAY.fullmatch(text):
            return datetime.date(int(pointed[3]), int(pointed[2]), int(pointed[1]))
        return datetime.date.fromisoformat(text)
    except ValueError:
        raise _cannot(
            f"is “{text[:40]}”", "a day as 2026-11-25 or 25.11.2026", "write it so"
        ) from None


def _one_to_four(cell: SheetCell) -> int:
    whole = _whole(cell)
    if isinstance(whole, int) and not isinstance(whole, bool) and 1 <= whole <= 4:
        return whole
    raise _cannot(f"is {str(cell)[:40]}", "1, 2, 3 or 4", "judge it so, or leave the cell empty")


def _cannot(found: str, allowed: str, remedy: str) -> MendfoldError:
    return MendfoldError.of(Problem("", found, allowed, remedy, "unread"))


def _nameless(column: str) -> RowProblem:
    remedy = "write the book's own name or shelf mark, or take the row out if it is no book"
    return RowProblem(
        column,
        Problem("book.id", "is missing", "a name or shelf mark", remedy, "missing"),
    )
