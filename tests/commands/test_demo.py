"""`mendfold demo` ends well, and ends with the line that opens its books on the bench."""

from __future__ import annotations

import shlex
from pathlib import Path

import pytest
from click.testing import CliRunner

from patterns.bench.shelf import Shelf
from patterns.commands import demo
from patterns.drafting.order import Order
from patterns.record import reading
from patterns.structures import catalogue

ORDERS = {"pay_book", "atlas"}


@pytest.fixture
def few(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two of the invented books: all are drafted by the tests of the gallery."""
    every = demo.orders

    def chosen(*more: object) -> tuple[Order, ...]:
        return tuple(one for one in every(*more) if one.record.book.id in ORDERS)  # type: ignore[arg-type]

    monkeypatch.setattr(demo, "orders", chosen)


@pytest.mark.usefixtures("few")
def test_the_last_line_opens_the_books_on_the_bench(tmp_path: Path) -> None:
    """The folder that it names holds every record as it is, its structures chosen, its sheets to be seen."""
    out = tmp_path / "some demo"
    told = CliRunner().invoke(demo.demo, ["--out", str(out), "--paper", "A3"])
    assert told.exit_code == 0, told.output
    program, command, folder = shlex.split(told.output.splitlines()[-1])
    assert (program, command) == ("mendfold", "bench")
    shelf = Shelf(Path(folder))
    books = shelf.books()
    assert {one.id for one in books} == ORDERS
    for one in books:
        desk = shelf.take(one.number)
        assert desk.base == (demo.BOOKS / one.file).read_text(encoding="utf-8")
        assert not desk.unsaved
        assert desk.paper == "A3"
        drawn = next(out.glob(f"{one.id}-*/pattern.json")).parent.name
        assert drawn == f"{one.id}-{'+'.join(desk.structures)}"
    (atlas,) = [one for one in books if one.id == "atlas"]
    outline = shelf.take(atlas.number).settings["loss_infill.outline"]
    assert outline.startswith("198,355")
    assert catalogue.find("loss_infill").parameters["outline"].kind == "outline"


@pytest.mark.usefixtures("few")
def test_what_was_changed_on_the_bench_stays(tmp_path: Path) -> None:
    """Run once more, it writes no book over: what somebody typed there is theirs."""
    out = tmp_path / "demo"
    assert CliRunner().invoke(demo.demo, ["--out", str(out)]).exit_code == 0
    shelf = Shelf(out / "books")
    (number,) = [one.number for one in shelf.books() if one.id == "pay_book"]
    desk = shelf.take(number)
    desk.write("book.title", "Mine")
    shelf.save(desk)
    told = CliRunner().invoke(demo.demo, ["--out", str(out)])
    assert told.exit_code == 0
    assert "unchanged" in told.output
    assert reading.load(out / "books" / "pay_book.toml").book.title == "Mine"
