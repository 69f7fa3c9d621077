"""`mendfold examine`: what fails, why, and what would hold, before anything is drafted."""

from __future__ import annotations

from pathlib import Path

import click

from patterns.examine.examination import examine as examined
from patterns.examine.finding import Examination
from patterns.examine.wording import as_data, as_text
from patterns.record import reading
from patterns.record.record import Record
from patterns.stock import materials
from patterns.structures import catalogue


@click.command()
@click.argument("record", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document and nothing else.")
@click.option(
    "--pdf",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Also write a one-page examination sheet.",
)
@click.option("--paper", default="A4", show_default=True, help="Paper of the examination sheet.")
@click.option("--force", is_flag=True, help="Replace a different sheet that is already there.")
def examine(record: Path, as_json: bool, pdf: Path | None, paper: str, force: bool) -> None:
    """Examine the book of RECORD: findings, each with its figure, limit and source, and what suits.

    The answer ends with the ways to go on, doing nothing among them; the first comes with the
    exact command that drafts it.
    """
    read = reading.load(record)
    result = examined(read, materials.load(), catalogue.templates(), str(record))
    if pdf is not None:
        _write_sheet(pdf, read, result, paper, force)
    if as_json:
        import json

        click.echo(json.dumps(as_data(result), ensure_ascii=False, indent=2))
    else:
        click.echo(as_text(result))


def _write_sheet(target: Path, book: Record, result: Examination, paper: str, force: bool) -> None:
    from patterns.examine.page import examination_page
    from patterns.files import write_new_file
    from patterns.stock.paper import parse
    from patterns.writers.pdf import PdfPage, pdf_bytes

    page = PdfPage(examination_page(book, result, parse(paper)), "1", "Examination")
    made = pdf_bytes([page], f"Examination of {result.book_id or target.stem}")
    state = write_new_file(target, made, force)
    click.echo(f"{target}: examination sheet {state}.", err=True)
