"""The gallery's commands that work on kept patterns: reuse, page, verify, export and import."""

from __future__ import annotations

import time
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

import click

from patterns.commands import advice
from patterns.commands.gallery_options import (
    gallery_option,
    json_option,
    out_option,
    print_json,
    progress,
    shortened,
    table,
)
from patterns.drafting.given import settings_given
from patterns.drafting.order import Order
from patterns.errors import MendfoldError, PrinterError
from patterns.record import reading
from patterns.stock import paper as papers
from patterns.stock import printer as printers
from patterns.stock.materials import studio_folder
from patterns.stock.printer import Correction

NAMED = 3
"""So many files are named in one warning."""


@click.command()
@click.argument("pattern", metavar="ID")
@click.argument("record", type=click.Path(path_type=Path))
@click.option("--set", "settings", multiple=True, metavar="NAME=VALUE", help="Set otherwise.")
@click.option("--paper", help="Another paper than the old pattern's.")
@click.option("--printer", help="Another printer than the old pattern's.")
@click.option("--force", is_flag=True, help="Set an earlier, different folder aside.")
@out_option
@gallery_option
@json_option
def reuse(
    pattern: str,
    record: Path,
    settings: tuple[str, ...],
    paper: str | None,
    printer: str | None,
    force: bool,
    out: Path,
    place: Path,
    as_json: bool,
) -> None:
    """Draft the structures and settings of the kept pattern ID for the book of RECORD."""
    from patterns.drafting import again, making
    from patterns.gallery import store
    from patterns.gallery.changes import between, said
    from patterns.gallery.summary import kept_of

    name = store.find(place, pattern)
    old = store.newest(place / name).files()
    kept = kept_of(old, name)
    correction, remark = _correction(kept.printer, printer)
    own = Order(
        reading.load(record),
        kept.structures,
        settings_given(settings),
        paper=papers.parse(paper) if paper else papers.named(kept.paper),
        correction=correction,
        full_size=kept.full_size,
        shown=kept.shown,
    )
    result = again.reuse(kept, own)
    made = result.made
    state = making.write(made, out, force)
    order = ("parameter", "figure", "measurement")
    changes = sorted(between(old, made.files, name), key=lambda one: order.index(one.where))
    for line in (*made.warnings, *result.left_out, *([remark] if remark else [])):
        click.echo(f"warning: {line}", err=True)
    if as_json:
        print_json(
            {
                "from": name,
                "folder": str(out / made.folder),
                "state": state,
                "settings": result.settings,
                "left_out": result.left_out,
                "differs": [asdict(change) for change in changes],
            }
        )
        return
    click.echo(f"{out / made.folder}: {state}, {made.sheets} sheets, after {name}")
    for key, text in result.settings.items():
        click.echo(f"taken over: {key} = {text}")
    if changes:
        rows = [
            (f"{one.where} {one.name}", shortened(said(one.before)), shortened(said(one.after)))
            for one in changes
        ]
        table(("what differs", "then", "now"), rows)


def _correction(old: str, asked: str | None) -> tuple[Correction, str]:
    """Return the factors of the printer asked for, or of the old pattern's, and a remark."""
    try:
        return printers.correction(studio_folder(), asked or old), ""
    except PrinterError:
        if asked:
            raise
        remark = f"the printer {old} of the old pattern is not stored here: sheets not corrected"
        return printers.UNCORRECTED, remark


@click.command()
@click.option(
    "--out",
    type=click.Path(path_type=Path, file_okay=False),
    default="gallery-page",
    show_default=True,
    help="Folder of the page; an earlier page there is replaced.",
)
@gallery_option
def page(out: Path, place: Path) -> None:
    """Write the gallery as a folder of web pages; open its index.html, no network needed."""
    from patterns.gallery import site
    from patterns.report.writing import report_files

    def report(name: str, kept: Mapping[str, bytes]) -> dict[str, bytes]:
        text = kept["treatment.toml"].decode(errors="replace")
        try:
            return report_files(kept, text, kept.get, f"{name}/treatment.toml")
        except MendfoldError as error:
            click.echo(f"warning: no report on the page: {advice.told(error)}", err=True)
            return {}

    built = site.build(place, out, report, progress)
    for trouble in built.missing:
        click.echo(f"warning: not on the page: {trouble}", err=True)
    _point_out(built.mentions)
    if built.left:
        click.echo(f"warning: files that are not the page's lie in {built.left} now", err=True)
    shown = len(built.entries)
    click.echo(f"{out / 'index.html'}: {shown} pattern{'' if shown == 1 else 's'}")


def _point_out(mentions: Sequence[str]) -> None:
    """Warn of files in which the owner's name can still be read: a title, a note, a treatment."""
    if mentions:
        more = f" and {len(mentions) - NAMED} more" if len(mentions) > NAMED else ""
        click.echo(
            f"warning: the owner's name can still be read in {', '.join(mentions[:NAMED])}{more}; "
            "look at it before you pass it on",
            err=True,
        )


@click.command()
@click.argument("names", metavar="[ID]...", nargs=-1)
@click.option("--files-only", is_flag=True, help="Check the files against their manifests only.")
@gallery_option
@json_option
def verify(names: tuple[str, ...], files_only: bool, place: Path, as_json: bool) -> None:
    """Check every file kept, and draft every pattern again: what would today's version change?

    Ends with status 1 when anything is damaged or would be drawn differently.
    """
    from patterns.gallery import store

    chosen = [store.find(place, name) for name in names] or store.names(place)
    for folder in store.sweep(place, time.time()):
        click.echo(f"{folder}: unfinished, removed", err=True)
    results = []
    for number, name in enumerate(chosen):
        progress(number, len(chosen))
        results.append(_verified(place / name, files_only))
    if as_json:
        print_json({"patterns": results})
    else:
        for result in results:
            _tell(result)
    bad = sum(bool(one["damage"] or one["differences"] or one["refused"]) for one in results)
    if not as_json:
        many = "1 pattern" if len(results) == 1 else f"{len(results)} patterns"
        click.echo(f"{many} checked, {bad} with something to look at")
    if bad:
        raise click.exceptions.Exit(1)


def _verified(home: Path, files_only: bool) -> dict[str, Any]:
    from patterns.gallery import manifest as manifests
    from patterns.gallery import store
    from patterns.gallery.owner import naming_owner
    from patterns.gallery.summary import summarise

    damage: list[str] = []
    named: list[str] = []
    for revision in store.revisions(home):
        number, files = revision.folder.name, revision.files()
        try:
            listed = revision.manifest()
            damage += [f"{number}: {line}" for line in manifests.damage(listed, files)]
            if listed.pattern != home.name:
                damage.append(f"{number}: its manifest is that of {listed.pattern}")
            summarise(files, listed.added, number)
            named += [f"{number}: {name}" for name in naming_owner(revision)]
        except MendfoldError as error:
            damage.append(advice.told(error))  # which says where it stands
    result: dict[str, Any] = {
        "pattern": home.name,
        "damage": damage,
        "names_owner": named,
        "differences": [],
        "refused": "",
    }
    if not (files_only or damage):
        from patterns.gallery.differences import differences

        try:
            found = differences(store.newest(home).files(), home.name)
            result["differences"] = [asdict(one) | {"words": str(one)} for one in found]
        except MendfoldError as error:
            result["refused"] = advice.told(error)
    return result


def _few(found: Sequence[str]) -> str:
    more = f" and {len(found) - NAMED} more" if len(found) > NAMED else ""
    return ", ".join(found[:NAMED]) + more


def _tell(result: Mapping[str, Any]) -> None:
    name = result["pattern"]
    for line in result["damage"]:
        click.echo(f"{name}: DAMAGED {line}")
    if result["damage"]:
        click.echo(
            f"{name}: to mend it, restore it from a backup, ask whoever passed it on for it again, or draft "
            "its record again and keep that; then move the damaged revision out of the gallery"
        )
    if found := result["names_owner"]:
        click.echo(
            f"{name}: names the owner, or may, on {_few(found)}: page, report and export leave the name out, "
            "but pass the folder itself to nobody"
        )
    if result["refused"]:
        click.echo(f"{name}: cannot be drafted any more: {result['refused']}")
    for one in result["differences"]:
        click.echo(f"{name}: {one['words']}")
    if not (result["damage"] or result["refused"] or result["differences"]):
        click.echo(f"{name}: whole, and drawn the same today")


@click.command()
@click.argument("pattern", metavar="ID")
@click.option("--with-owner", is_flag=True, help="Leave the owner in the record.")
@out_option
@gallery_option
def export(pattern: str, with_owner: bool, out: Path, place: Path) -> None:
    """Write one pattern with all its revisions as one zip file."""
    from patterns.files import write_new_file
    from patterns.gallery import pack, store

    name = store.find(place, pattern)
    packed = pack.export(place, name, with_owner)
    for file in packed.left_out:
        click.echo(f"warning: {file} is left out: mendfold uses this name itself", err=True)
    _point_out(packed.mentions)
    target = out / f"{name}.zip"
    state = write_new_file(target, packed.data, remedy="Move it, or give another --out")
    click.echo(f"{target}: {state}, {len(packed.data) / 1e6:.1f} MB")


@click.command("import")
@click.argument("file", metavar="ZIP", type=click.Path(path_type=Path))
@gallery_option
@json_option
def import_(file: Path, place: Path, as_json: bool) -> None:
    """Take a pattern that was exported elsewhere into this gallery, with its author's dates."""
    from patterns.gallery import pack

    results = pack.take_in(place, file)
    if as_json:
        rows = [{"from": number, "to": str(folder), "new": new} for number, folder, new in results]
        print_json({"pattern": results[0][1].parent.name, "revisions": rows})
        return
    for number, folder, new in results:
        click.echo(f"{number}: {folder if new else f'already there as {folder}'}")
