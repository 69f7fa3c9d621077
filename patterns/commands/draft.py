"""`mendfold draft`: from a record and structure names to the sheets."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

import click

from patterns.drafting.given import settings_given
from patterns.errors import MendfoldError, WriteError
from patterns.record import reading
from patterns.writers import table

if TYPE_CHECKING:
    from patterns.model.sheet import FullSize, Printout


@click.command()
@click.argument("record", type=click.Path(path_type=Path))
@click.argument("structures", nargs=-1, required=True, metavar="STRUCTURE...")
@click.option(
    "--set",
    "settings",
    multiple=True,
    metavar="NAME=VALUE",
    help="Set one parameter, as in hollow_tube.on=2.",
)
@click.option(
    "--paper", default="A4", show_default=True, help="A4, B3, letter, 297x420, roll:610 …"
)
@click.option(
    "--full-size",
    type=click.Choice(["all", "shaped"]),
    default=None,
    help="Draw all at full size, or no plain piece; else plain pieces of up to two sheets.",
)
@click.option(
    "--sheets",
    "shown",
    type=click.Choice(["all", "cutting"]),
    default="all",
    show_default=True,
    help="All sheets, or only the pieces that are cut.",
)
@click.option(
    "--printer", default="none", show_default=True, help="A printer kept by `mendfold printer set`."
)
@click.option(
    "--out",
    type=click.Path(path_type=Path, file_okay=False),
    default=Path("."),
    show_default=True,
    help="Parent folder.",
)
@click.option(
    "--formats", default="svg,pdf", show_default=True, help=f"Of {', '.join(table.NAMES)}."
)
@click.option("--keep", is_flag=True, help="Keep the pattern in the gallery as well.")
@click.option(
    "--gallery",
    type=click.Path(path_type=Path, file_okay=False),
    envvar="MENDFOLD_GALLERY",
    default=Path("gallery"),
    help="Gallery folder for --keep.",
)
@click.option("--force", is_flag=True, help="Set an earlier, different folder aside.")
@click.option(
    "--with-owner",
    is_flag=True,
    help="Draw the sheets with the owner's name as well: one PDF beside the folder, for printing "
    "alone.",
)
@click.option("--json", "as_json", is_flag=True, help="Print the pattern as one JSON document.")
def draft(
    record: Path,
    structures: tuple[str, ...],
    settings: tuple[str, ...],
    paper: str,
    full_size: FullSize | None,
    shown: Printout,
    printer: str,
    out: Path,
    formats: str,
    keep: bool,
    gallery: Path,
    force: bool,
    with_owner: bool,
    as_json: bool,
) -> None:
    """Work out STRUCTURES for the book in RECORD and write its full-size sheets."""
    given, wanted = settings_given(settings), table.chosen(formats)
    read = reading.load(record)
    from patterns.drafting import job, making  # heavy, and a refused record needs none of it
    from patterns.drafting.order import Order
    from patterns.stock import paper as papers
    from patterns.stock import printer as printers
    from patterns.stock.materials import studio_folder

    order = Order(
        read,
        structures,
        given,
        paper=papers.parse(paper),
        full_size=full_size or "",
        shown=shown,
        correction=printers.correction(studio_folder(), printer),
        formats=wanted,
        with_owner=with_owner,
    )
    made = making.make(job.draft(order))
    state = making.write(made, out, force)
    try:
        kept = _keep(gallery, made.folder, made.files) if keep else None
    except MendfoldError as error:
        raise WriteError(f"not kept: {error}. The sheets are in {out / made.folder}") from error
    for line in (*made.warnings, *made.remarks):
        click.echo(f"warning: {line}", err=True)
    if as_json:
        click.echo(made.files["pattern.json"].decode(), nl=False)
        return
    click.echo(f"{out / made.folder}: {state}, {made.sheets} sheets")
    if made.for_printing:
        click.echo(f"{out / made.printed_as}: the same with the owner's name, for printing alone")
    if kept is not None:
        click.echo(f"kept as {kept}")


def _keep(gallery: Path, folder: str, files: Mapping[str, bytes]) -> Path:
    from patterns.gallery import store
    from patterns.gallery.thumbnail import with_thumbnail

    whole, remark = with_thumbnail(files)
    kept = store.keep(gallery, folder, whole, no_owner_drawn=True)
    if remark:  # only what was kept can lack its picture
        click.echo(f"warning: {remark}", err=True)
    return kept
