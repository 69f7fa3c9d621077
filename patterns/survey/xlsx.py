"""A spreadsheet's first sheet, row by row, by openpyxl: values as they were stored, never reckoned here."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from patterns import reading
from patterns.errors import FileError, SettingError
from patterns.survey.rows import FORMULA, UNSTORED, SheetCell

LARGEST_BYTES = 100_000_000


def sheet_rows(path: Path) -> Iterator[list[SheetCell]]:
    """Yield the rows of a workbook's first sheet. Raises SettingError.

    A formula whose value was never stored, and a spreadsheet's own error, stay as cells that say
    so: neither is an empty cell.
    """
    values, formulas = _sheet(path, stored=True), _sheet(path, stored=False)
    for stored, written in zip(values, formulas, strict=True):
        yield [_cell(value, formula) for value, formula in zip(stored, written, strict=True)]


def _sheet(path: Path, stored: bool) -> Iterator[tuple[Any, ...]]:
    try:
        import openpyxl
    except ImportError:
        raise SettingError.kind(
            "no xlsx",
            f"{path}: openpyxl, which reads workbooks, is not installed: save the table as CSV",
        ) from None
    try:
        with reading.plain_file(path, LARGEST_BYTES) as file:
            sheet = openpyxl.load_workbook(file, read_only=True, data_only=stored).worksheets[0]
            sheet.reset_dimensions()
            yield from sheet.iter_rows(values_only=True)
    except FileError as error:
        raise SettingError(f"{error}: name a CSV, an XLSX or a folder of records") from None
    except (
        Exception
    ) as why:  # a broken workbook fails in as many ways as zip, XML and openpyxl have
        raise SettingError(
            f"{path}: cannot be read as a workbook ({type(why).__name__}): save it again, or as CSV"
        ) from None


def _cell(value: Any, formula: Any) -> SheetCell:
    if value is None and isinstance(formula, str) and formula.startswith("="):
        return f"{UNSTORED}{FORMULA}"
    if isinstance(value, str) and value.startswith("#") and value.rstrip("!?").isupper():
        return f"{UNSTORED}the spreadsheet's own error {value[:20]}"
    if isinstance(value, datetime.time | datetime.timedelta):
        return str(value)
    return (
        value if isinstance(value, str | int | float | bool | datetime.date | None) else str(value)
    )
