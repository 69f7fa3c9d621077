"""`mendfold survey`: a whole collection examined, counted and shown; on wish every book drafted."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

import click

from patterns.errors import SettingError

if TYPE_CHECKING:
    from patterns.survey.counts import Counts
    from patterns.survey.judging import SurveyWish
    from patterns.survey.numbers import Decimal
    from patterns.survey.page import Told
    from patterns.survey.sources import Source

_DECIMAL: Mapping[str, Decimal | None] = {"auto": None, "point": "point", "comma": "comma"}


@click.command()
@click.argument("books", type=click.Path(path_type=Path), required=False)
@click.option(
    "--out",
    type=click.Path(path_type=Path, file_okay=False),
    default="survey",
    show_default=True,
    help="Folder for the page, the tables and the drafted books.",
)
@click.option(
    "--blank",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Write an empty table's headings.",
)
@click.option("--short", is_flag=True, help="With --blank: what can be taken at the shelf.")
@click.option(
    "--columns",
    "columns_file",
    type=click.Path(path_type=Path, dir_okay=False),
    help="A TOML file of fields for a library's own headings.",
)
@click.option(
    "--decimal",
    type=click.Choice(["auto", "point", "comma"]),
    default="auto",
    show_default=True,
    help="Decimal sign of the table.",
)
@click.option("--jobs", type=click.IntRange(1, 256), help="Processes; by default one a core.")
@click.option(
    "--scheduler", default="", help="Address of a running Dask scheduler, instead of --jobs."
)
@click.option("--tls", default="", help="ca,certificate,key for a scheduler on another machine.")
@click.option("--draft", is_flag=True, help="Draft the first way of every book that lacks nothing.")
@click.option("--paper", default="A4", show_default=True, help="Paper of the drafted sheets.")
@click.option("--printer", default="none", show_default=True, help="Printer of the drafted sheets.")
@click.option("--formats", default="pdf", show_default=True, help="Files of the drafted sheets.")
@click.option("--population", type=click.IntRange(1), help="The books are a sample of so many.")
@click.option("--sample", type=click.IntRange(1), help="Take so many of the books at random.")
@click.option("--seed", default=1, show_default=True, help="Another number, another sample.")
@click.option(
    "--hours",
    "hours_file",
    type=click.Path(path_type=Path, dir_okay=False),
    help="The studio's hours a structure: TOML, a table [hours].",
)
@click.option("--force", is_flag=True, help="Set earlier, different drafts aside.")
def survey(
    books: Path | None,
    out: Path,
    blank: Path | None,
    short: bool,
    columns_file: Path | None,
    decimal: str,
    jobs: int | None,
    scheduler: str,
    tls: str,
    draft: bool,
    paper: str,
    printer: str,
    formats: str,
    population: int | None,
    sample: int | None,
    seed: int,
    hours_file: Path | None,
    force: bool,
) -> None:
    """Examine every book of BOOKS: a CSV, an XLSX or a folder of records.

    A row that cannot be read stops nothing. A survey that was stopped goes on where it was when the
    same command is given again.
    """
    if blank is not None:
        _write_blank(blank, short)
        return
    if books is None:
        raise SettingError(
            "survey: name a CSV, an XLSX or a folder of records; --blank FILE writes an empty table"
        )
    from patterns.survey import columns, hours, writing
    from patterns.survey import sample as sampling
    from patterns.survey.page import Told
    from patterns.survey.sources import source

    wish = _wish(draft, paper, formats, printer, out, force)
    each = hours.load(hours_file)
    found = source(books, columns.renamed(columns_file), _DECIMAL[decimal])
    for heading in found.columns.left:
        click.echo(f"not read: “{heading}” is no field of a record", err=True)
    picked = sampling.pick(found.count, sample, seed) if sample else None
    population = _population(population, found.count, picked)
    writing.prepare(out)
    counts = _survey(
        found, picked, wish, out, (jobs, scheduler, tls), Told(found.name, population, each)
    )
    click.echo(f"{out / writing.PAGE}: {counts.judged:,} of {counts.books:,} books examined")


def _wish(
    draft: bool, paper: str, formats: str, printer: str, out: Path, force: bool
) -> SurveyWish:
    """Check what drafted sheets go by, before any book is read. Raises MendfoldError."""
    from patterns.stock import paper as papers
    from patterns.stock import printer as printers
    from patterns.stock.materials import studio_folder
    from patterns.survey.judging import SurveyWish
    from patterns.writers import table

    papers.parse(paper)
    correction = printers.correction(studio_folder(), printer)
    place = str((out / "books").absolute())
    return SurveyWish(draft, paper, table.chosen(formats), correction, place, force)


def _population(given: int | None, count: int, picked: frozenset[int] | None) -> int | None:
    """Return the books of the whole collection, where those surveyed are a sample of it."""
    if picked is not None and given is None:
        return count
    if given is not None and given < count:
        raise SettingError(
            f"--population {given}: {count} books stand in the table: give at least that"
        )
    return given


def _write_blank(target: Path, short: bool) -> None:
    from patterns.files import write_new_file
    from patterns.survey.columns import blank

    write_new_file(
        target, blank(short).encode("utf-8-sig"), remedy="It may be filled in: look at it"
    )
    click.echo(f"{target}: one row a book; then: mendfold survey {target}")


def _survey(
    source: Source,
    picked: frozenset[int] | None,
    wish: SurveyWish,
    out: Path,
    workers: tuple[int | None, str, str],
    told: Told,
) -> Counts:
    from patterns.survey import run, writing
    from patterns.survey.store import Results
    from patterns.survey.workers import workers as lend

    jobs, scheduler, tls = workers
    count = len(picked) if picked is not None else source.count
    with writing.held(out), Results(out) as results:
        try:
            with (
                click.progressbar(length=count, label=f"{count:,} books", file=sys.stderr) as bar,
                lend(jobs or os.cpu_count() or 1, scheduler, tls) as lent,
            ):
                surveyed = run.survey(source, picked, wish, results, lent, bar.update)
        except KeyboardInterrupt:
            click.echo(
                f"{len(results):,} finished books are kept: the same command goes on from them",
                err=True,
            )
            raise
        return writing.write(out, surveyed, results, told)
