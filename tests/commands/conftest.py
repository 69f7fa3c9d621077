"""A bench of its own for every test of a command."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from patterns import cli
from tests.books import DEMO
from tests.commands.bench import Run, Said


@pytest.fixture
def bench(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of its own with a good record, and settings and gallery of its own."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("MENDFOLD_CONFIG", str(tmp_path / "settings"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "settings" / "cache"))
    monkeypatch.delenv("MENDFOLD_GALLERY", raising=False)
    (tmp_path / "settings").mkdir()
    shutil.copy(DEMO / "logbook.toml", tmp_path / "book.toml")
    return tmp_path


@pytest.fixture
def run(bench: Path, capsys: pytest.CaptureFixture[str]) -> Run:
    """Run a command in this process and return its status and words."""
    assert bench

    def called(*arguments: str) -> Said:
        with pytest.raises(SystemExit) as leave:
            cli.main(arguments)
        told = capsys.readouterr()
        assert isinstance(leave.value.code, int)
        return Said(leave.value.code, told.out, told.err)

    return called
