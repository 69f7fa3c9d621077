"""`mendfold draft`: from a record and structure names to the sheets."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import click

from patterns.errors import MendfoldError, SettingError, WriteError
from patterns.record import reading
from patterns.writers import table as formats_table


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
    "--formats", default="svg,pdf", show_default=True, help=f"Of {', '.join(formats_table.NAMES)}."
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
    pairs, wanted = _pairs(settings), formats_table.chosen(formats)
    book = reading.load(record)  # a refused record costs no heavy import
    from patterns.drafting import making as drafting

    made = drafting.make(drafting.Wish(book, structures, pairs, paper, printer, wanted, with_owner))
    state = drafting.write(made, out, force)
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


def _pairs(settings: tuple[str, ...]) -> dict[str, str]:
    pairs: dict[str, str] = {}
    for one in settings:
        name, sign, value = one.partition("=")
        if not sign or not name.strip() or not value.strip():
            raise SettingError(f"--set {one!r}: write NAME=VALUE, as in --set hollow_tube.on=2")
        if name.strip() in pairs:
            raise SettingError(f"--set {name.strip()}: given twice; give it once")
        pairs[name.strip()] = value.strip()
    return pairs
