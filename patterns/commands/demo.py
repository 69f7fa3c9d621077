"""`mendfold demo`: invented books, all the way from record to sheets."""

from __future__ import annotations

import tomllib
from pathlib import Path

import click

from patterns.drafting import making
from patterns.drafting.job import draft
from patterns.drafting.order import Order
from patterns.record import reading
from patterns.stock.paper import A4, Paper, parse

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
    for order in orders(parse(paper)):
        made = making.make(draft(order))
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
