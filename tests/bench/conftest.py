"""A folder with three books, and a bench open on it."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.bench.benches import Asking, opened
from tests.books import DEMO

BOOKS = ("atlas", "logbook", "pay_book")


def fill(folder: Path) -> Path:
    """Put three invented books into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    for name in BOOKS:
        shutil.copy(DEMO / f"{name}.toml", folder / f"{name}.toml")
    return folder


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with three books; the gallery's index stays beside it."""
    monkeypatch.setenv("MENDFOLD_CACHE", str(tmp_path / "cache"))
    return fill(tmp_path / "books")


@pytest.fixture
def bench(folder: Path) -> Iterator[Asking]:
    """A bench open on three books: atlas is number 1, the logbook 2, the pay book 3."""
    with opened(folder) as asking:
        assert asking.get("/books").status == 200
        yield asking


@pytest.fixture(scope="module")
def chromium() -> Iterator[Any]:
    """A browser for the tests of one module."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        browser = play.chromium.launch(
            executable_path="/usr/bin/chromium", args=["--no-sandbox", "--disable-gpu"]
        )
        yield browser
        browser.close()
