"""Surveys run by the command line, and their tables read back with the standard library alone."""

from __future__ import annotations

import csv
import hashlib
import json
import subprocess
import sys
from collections.abc import Iterable, Mapping
from pathlib import Path

import openpyxl

from patterns import cli
from tests.survey.harbour import HEADINGS

OUTPUTS = ("books.csv", "problems.csv", "materials.csv", "survey.html", "results.jsonl")


def surveyed(books: Path, out: Path, *options: str) -> Path:
    """Survey in this process with one worker and return the folder."""
    try:
        cli.main(["survey", str(books), "--out", str(out), "--jobs", "1", *options])
    except SystemExit as leave:
        assert leave.code == 0, f"status {leave.code}"  # noqa: PT017
    return out


def apart(books: Path, out: Path, *options: str) -> subprocess.Popen[bytes]:
    """Start a survey in a process of its own."""
    command = [sys.executable, "-m", "patterns", "survey", str(books), "--out", str(out), *options]
    return subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)


def digests(out: Path) -> dict[str, str]:
    """Return a digest of everything a survey left, by name."""
    files = [path for path in sorted(out.rglob("*")) if path.is_file()]
    return {
        str(path.relative_to(out)): hashlib.sha256(path.read_bytes()).hexdigest() for path in files
    }


def rows(path: Path) -> list[dict[str, str]]:
    """Return a table's rows by their headings."""
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def as_xlsx(path: Path, books: Iterable[Mapping[str, object]]) -> None:
    """Write a workbook with typed cells: numbers as numbers, never as text."""
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.append(list(HEADINGS))
    for row in books:
        cells = [row[one] for one in HEADINGS]
        sheet.append(
            ["; ".join(map(str, cell)) if isinstance(cell, list) else cell for cell in cells]
        )
    book.save(path)


def as_records(folder: Path, books: Iterable[Mapping[str, object]]) -> None:
    """Write each book as a record of its own, as a person would type it."""
    folder.mkdir()
    for row in books:
        tables: dict[str, list[str]] = {}
        for heading, cell in row.items():
            name = heading.partition(" [")[0] if "union" not in heading else heading
            table, _, key = name.rpartition(".")
            if cell not in ("", None) and table:
                tables.setdefault(table, []).append(f"{key} = {_toml(cell)}")
        joins = tables.pop("union[text block + boards]", [])
        lines = [f"[{table}]\n" + "\n".join(keys) for table, keys in tables.items()]
        if joins:
            lines.append("\n".join(['[[union]]\nbetween = ["text block", "boards"]', *joins]))
        (folder / f"{row['book.id']}.toml").write_text("\n\n".join(lines) + "\n", encoding="utf-8")


def _toml(cell: object) -> str:
    if isinstance(cell, str) and (cell in ("yes", "no") or cell[:5] == "2026-"):
        return {"yes": "true", "no": "false"}.get(cell, cell)
    return json.dumps(cell)
