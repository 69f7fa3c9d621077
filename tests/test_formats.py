"""The formats a draft is written in: one table, and a row and a module for a new one."""

from __future__ import annotations

import inspect
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from types import ModuleType

import pytest
from click.testing import CliRunner

from patterns.cli import cli
from patterns.commands.demo import BOOKS
from patterns.gallery import store
from patterns.model.drawing import Drawing
from patterns.model.sheet import Sheet
from patterns.writers import table
from patterns.writers.table import FORMATS, Format

BOOK = str(BOOKS / "chart_book.toml")


def test_every_module_of_the_room_that_writes_sheets_has_its_row() -> None:
    """No format is left without a row, and no row without a module."""
    folder = Path(table.__file__).parent
    modules = [path.stem for path in folder.glob("*.py") if "def write(" in path.read_text()]
    assert sorted(modules) == sorted({*FORMATS, "table"})


@pytest.mark.parametrize("name", FORMATS)
def test_every_writer_has_the_one_signature(name: str) -> None:
    assert [one.strip("_") for one in inspect.signature(FORMATS[name].write).parameters] == [
        "sheets", "title", "pieces",
    ]  # fmt: skip


def test_a_file_s_name_belongs_to_one_format() -> None:
    names = [one.file.format(page) for one in FORMATS.values() for page in (1, 12, 137)]
    assert {name: table.format_of(name) for name in names} == {
        name: one for name in names for one in FORMATS if FORMATS[one].writes(name)
    }
    for other in ("sheet-.svg", "sheet-1.jpg", "xsheets.pdf", "sheets.pdf.bak", "sheetsXpdf"):
        assert table.format_of(other) == ""


def write(sheets: Sequence[Sheet], title: str, pieces: Callable[[], Drawing]) -> list[bytes]:
    """Return what a format for this test holds: a line a sheet, and the size of all pieces."""
    assert pieces().width_mm > 0
    return [f"{title}: {sheet.title}".encode() for sheet in sheets]


def test_a_new_format_is_a_module_and_a_row(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """With both there, `draft` takes it, and the gallery knows its files as a draft's own."""
    module = ModuleType("patterns.writers.lines")
    module.write = write  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, module.__name__, module)
    rows = {**FORMATS, "lines": Format("lines", "line-{:02d}.lines")}
    monkeypatch.setattr(table, "FORMATS", rows)
    asked = ["draft", BOOK, "spine_inlay", "--formats", "lines,svg", "--out", str(tmp_path)]
    ran = CliRunner().invoke(cli, asked)
    assert ran.exit_code == 0, ran.output
    (folder,) = tmp_path.iterdir()
    drawn = sorted(path.stem for path in folder.glob("sheet-*.svg"))
    lines = sorted(folder.glob("*.lines"))
    assert [path.stem for path in lines] == [name.replace("sheet", "line") for name in drawn]
    assert lines[0].read_text().startswith("chart_book: ")
    assert store.is_drawn("line-01.lines")


def test_help_names_every_format() -> None:
    ran = CliRunner().invoke(cli, ["draft", "--help"])
    assert f"Of {', '.join(FORMATS)}." in " ".join(ran.output.split())
