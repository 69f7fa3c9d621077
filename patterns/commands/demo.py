"""`mendfold demo`: invented books, all the way from record to sheets."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import click

from patterns import drafting

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
    for name, order in orders().items():
        record = BOOKS / f"{name}.toml"
        made = drafting.make(
            drafting.Wish(record, tuple(order["structures"]), order.get("settings", {}), paper)
        )
        state = drafting.write(made, out, force)
        folder = out / made.folder
        click.echo(f"{folder}: {state}")
        click.echo(f"  record.toml    what was measured ({record.name})")
        click.echo(f"  sheets.pdf     {made.sheets} sheets: print at 100 %, measure both bars")
        click.echo("  sheet-01.svg … one drawing a page")
        click.echo("  pattern.json   every figure, piece, stitch and step")
        if made.warnings:
            click.echo(f"  {len(made.warnings)} warnings stand on sheet 1, and here:", err=True)
        for line in made.warnings:
            click.echo(f"  - {line}", err=True)


def orders() -> Mapping[str, Any]:
    """Return what is drafted for each demo book."""
    return tomllib.loads((BOOKS / "orders.toml").read_text(encoding="utf-8"))
