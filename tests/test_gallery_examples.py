"""The repository's gallery: the demonstration's patterns, drafted again and compared."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

import patterns
from patterns.commands.demo import orders
from patterns.drafting.job import draft
from patterns.drafting.making import Made, make
from patterns.drafting.order import Order
from patterns.gallery import store
from patterns.gallery.equal import different_files
from patterns.gallery.thumbnail import with_thumbnail
from patterns.writers.png import png_bytes
from tests.books import made as drafted

GALLERY = Path(patterns.__file__).parent.parent / "gallery"
KEPT = "2026-11-25T00:00:00Z"
SHOWN = ("record.toml", "pattern.json", "sheet-01.svg")
PICTURE_DPI = 72.0


def shown(made: Made) -> dict[str, bytes]:
    """Return what of a draft stands in the repository's gallery."""
    return {name: made.files[name] for name in SHOWN}


def name_of(order: Order) -> str:
    """Name an order for the test's line."""
    return f"{order.record.book.id}-{order.structures[0]}"


@pytest.mark.golden
@pytest.mark.parametrize("order", orders(), ids=name_of)
def test_the_examples_are_what_is_drafted_today(
    order: Order, request: pytest.FixtureRequest
) -> None:
    """Record, pattern and first drawing equal today's draft but for the version."""
    made = make(draft(order))
    home = GALLERY / made.folder
    if request.config.getoption("--update-golden"):
        shutil.rmtree(home, ignore_errors=True)
        files, _ = with_thumbnail(shown(made))
        store.keep(GALLERY, made.folder, files, KEPT)
        picture()
    held = store.newest(home).files()
    assert not different_files({name: held[name] for name in SHOWN}, shown(made))
    assert held["thumbnail.png"].startswith(b"\x89PNG")
    assert held.keys() == {*SHOWN, "thumbnail.png"}


def test_nothing_else_stands_in_the_gallery() -> None:
    """One pattern an order of the demonstration, a README and its pictures."""
    wanted = {make(draft(order)).folder for order in orders()}
    assert {path.name for path in GALLERY.iterdir()} == {
        *wanted,
        "README.md",
        "bench.png",
        "plan.png",
        "survey.png",
        "sheet.png",
    }


def picture() -> None:
    """Write the README's picture: the cutting page of a hollow tube."""
    made = drafted("chart_book", "hollow_tube", paper="A3")
    sheets = json.loads(made.files["pattern.json"])["sheets"]
    file = next(sheet["file"] for sheet in sheets if sheet["group"] == "cutting")
    (GALLERY / "sheet.png").write_bytes(png_bytes(made.files[file].decode(), PICTURE_DPI))
