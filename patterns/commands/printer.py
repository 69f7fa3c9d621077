"""`mendfold printer`: print a calibration page, store what was read on it, list what is stored."""

from __future__ import annotations

from pathlib import Path

import click

from patterns.files import write_new_file
from patterns.stock import printer as printers
from patterns.stock.materials import studio_folder


@click.group()
def printer() -> None:
    """Measure a printer, so that the sheets come out at full size."""


@printer.command("test")
@click.option("--paper", default="A4", show_default=True, help="Paper of the page.")
@click.option(
    "--out",
    type=click.Path(path_type=Path, dir_okay=False),
    default="calibration.pdf",
    show_default=True,
    help="PDF file to write.",
)
@click.option("--force", is_flag=True, help="Replace a different file that is already there.")
def test(paper: str, out: Path, force: bool) -> None:
    """Write the calibration page: two bars, two diagonals, and what to do with them."""
    from patterns.sheets.calibration import bars_mm, calibration_page
    from patterns.stock import paper as papers
    from patterns.writers.pdf import PdfPage, pdf_bytes

    chosen = papers.parse(paper)
    page = PdfPage(calibration_page(chosen), "1", "Calibration page")
    made = pdf_bytes([page], "Calibration page", chosen.name)
    write_new_file(out, made, force)
    across, down = bars_mm(chosen)
    click.echo(
        f"{out}: calibration page, {chosen.name}. Print it at actual size, read the bars "
        f"({across:g} across, {down:g} down), then: mendfold printer set NAME "
        f"--across READ/{across:g} --down READ/{down:g}"
    )


@printer.command("set")
@click.argument("name")
@click.option("--across", required=True, metavar="READ/SAID", help="Bar across, as in 179.1/180.")
@click.option("--down", required=True, metavar="READ/SAID", help="Bar down, as in 250.6/250.")
@click.option(
    "--diagonals",
    type=(float, float),
    metavar="A B",
    help="Diagonals as read, in mm: A from upper left to lower right, then B.",
)
def set_(name: str, across: str, down: str, diagonals: tuple[float, float] | None) -> None:
    """Store what the rule shows on a printer's calibration page under NAME.

    Each bar is given as what was read, a slash, and what the bar says, in mm.
    """
    made = printers.profile(name, across, down, diagonals)
    path = printers.store(studio_folder(), made)
    for warning in made.warnings:
        click.echo(f"warning: {warning}", err=True)
    click.echo(f"{path}: {made.correction.words}. Use it with --printer {name}.")


@printer.command("list")
def list_() -> None:
    """List the stored printers with their readings and factors."""
    stored = printers.profiles(studio_folder())
    if not stored:
        click.echo("No printer is stored. Measure one with: mendfold printer test")
    for made in stored.values():
        click.echo(f"{made.correction.words} (read {made.across} across, {made.down} down)")
        for warning in made.warnings:
            click.echo(f"warning: {warning}", err=True)
