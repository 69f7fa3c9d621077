"""`mendfold demo`: invented books, all the way from record to sheets."""

from __future__ import annotations

import shlex
import tomllib
from collections.abc import Sequence
from pathlib import Path

import click

from patterns.bench.desk import OpenBook
from patterns.bench.shelf import Shelf
from patterns.cutting import stock, writing
from patterns.cutting.plan import Wish
from patterns.drafting import making
from patterns.drafting.job import draft
from patterns.drafting.order import Order
from patterns.files import write_file, write_folder
from patterns.model.kept import KeptPattern
from patterns.record import reading
from patterns.stock import materials
from patterns.stock.paper import A4, Paper, parse
from patterns.structures import catalogue

BOOKS = Path(__file__).parent.parent / "demo"


@click.command()
@click.option(
    "--out",
    type=click.Path(path_type=Path, file_okay=False),
    default=Path("mendfold-demo"),
    show_default=True,
    help="Folder to write into.",
)
@click.option("--paper", default="A4", show_default=True, help="Paper of the sheets.")
@click.option("--force", is_flag=True, help="Set earlier, different folders aside.")
def demo(out: Path, paper: str, force: bool) -> None:
    """Draft the invented books of an invented harbour office, and say where everything lies."""
    kept: list[tuple[str, KeptPattern]] = []
    for order in orders(parse(paper)):
        made = making.make(draft(order))
        kept.append((made.folder, KeptPattern.from_json(made.files["pattern.json"])))
        state = making.write(made, out, force)
        folder = out / made.folder
        click.echo(f"{folder}: {state}")
        click.echo("  record.toml    what was measured")
        click.echo(f"  sheets.pdf     {made.sheets} sheets: print at 100 %, measure both bars")
        click.echo("  sheet-01.svg … one drawing a page")
        click.echo("  pattern.json   every figure, piece, stitch and step")
        if made.warnings:
            click.echo("  warnings, as on sheet 1:", err=True)
        for line in made.warnings:
            click.echo(f"  - {line}", err=True)

    _plan(kept, out, parse(paper), force)
    books(out / "books", paper)
    click.echo("\nThe same books on a page in the browser, to change and to try:")
    click.echo(f"  mendfold bench {shlex.quote(str(out / 'books'))}")


def _plan(kept: Sequence[tuple[str, KeptPattern]], out: Path, paper: Paper, force: bool) -> None:
    """Lay the pieces of all books on the stock of the invented studio."""
    rows = stock.load(BOOKS / "stock.toml")
    plan, files = writing.make(kept, rows, Wish(), materials.load(), paper)
    state = write_folder(out / writing.FOLDER, files, force)
    click.echo(f"{out / writing.FOLDER}: {state}")
    click.echo(
        f"  plan.pdf       all pieces on {len(plan.sheets)} pieces of stock, with their cuts"
    )
    click.echo("  shopping.csv   what is taken from stock, what is to be bought")


def books(folder: Path, paper: str) -> None:
    """Lay the books out for the bench, each with its structures chosen; one that is there stays as it is."""
    shelf = Shelf(folder)
    for order in orders():
        file = f"{order.record.book.id}.toml"
        if (shelf.folder / file).exists():
            continue
        text = order.record.text
        write_file(shelf.folder / file, text.encode())
        settings = {_of_structure(name, order): words for name, words in order.settings.items()}
        shelf.remember(OpenBook(file, text, {}, order.structures, settings, parse(paper).name))


def _of_structure(name: str, order: Order) -> str:
    """Return the full name of a setting that one structure of an order has."""
    every = (catalogue.find(one) for one in order.structures)
    (own,) = (one.name for one in every if name in one.parameters)
    return f"{own}.{name}"


def orders(paper: Paper = A4) -> tuple[Order, ...]:
    """Return what is drafted for each demo book."""
    rows = tomllib.loads((BOOKS / "orders.toml").read_text(encoding="utf-8"))["order"]
    return tuple(
        Order(
            reading.load(BOOKS / f"{row['record']}.toml"),
            tuple(row["structures"]),
            row.get("settings", {}),
            paper=paper,
        )
        for row in rows
    )
