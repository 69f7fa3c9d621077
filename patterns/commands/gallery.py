"""`mendfold gallery`: keep patterns, find them again, show, draft anew, check and pass them on."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from patterns.commands.gallery_options import (
    gallery_option,
    json_option,
    print_json,
    progress,
    read_folder,
    table,
)
from patterns.commands.gallery_work import export, import_, page, reuse, verify
from patterns.errors import FileError, GalleryError, SettingError

if TYPE_CHECKING:
    from patterns.gallery.index import GalleryEntry


@click.group()
def gallery() -> None:
    """Keep every pattern, find it again, use it for the next book, and pass it on."""


@gallery.command()
@click.argument("pattern", type=click.Path(path_type=Path))
@gallery_option
@json_option
def keep(pattern: Path, place: Path, as_json: bool) -> None:
    """Keep the folder PATTERN that a draft wrote, as the next revision."""
    from patterns.gallery import store
    from patterns.gallery.owner import drawn_without_owner
    from patterns.gallery.summary import pattern_name
    from patterns.gallery.thumbnail import with_thumbnail

    files, stray = _of_a_draft(read_folder(pattern))
    for file in stray:
        click.echo(
            f"warning: {file} was not written by the draft and is not kept; "
            "photographs and notes are added with `mendfold gallery add`",
            err=True,
        )
    name = pattern_name(files, str(pattern))
    files = drawn_without_owner(files, str(pattern))
    files, remark = with_thumbnail(files)
    if remark:
        click.echo(remark, err=True)
    before = {revision.folder for revision in store.revisions(place / name)}
    kept = store.keep(place, name, files, no_owner_drawn=True)
    _tell_kept(kept, before, as_json)


def _of_a_draft(files: dict[str, bytes]) -> tuple[dict[str, bytes], list[str]]:
    """Part a folder's files into those that a draft writes and the names of all others."""
    from patterns.gallery.store import is_drawn

    own = {name: data for name, data in files.items() if is_drawn(name)}
    return own, [name for name in files if name not in own]


@gallery.command()
@click.argument("pattern", metavar="ID")
@click.argument(
    "files", nargs=-1, required=True, type=click.Path(path_type=Path, exists=True, dir_okay=False)
)
@gallery_option
@json_option
def add(pattern: str, files: tuple[Path, ...], place: Path, as_json: bool) -> None:
    """Add photographs, notes or a treatment.toml to a kept pattern, as a new revision."""
    from patterns.gallery import pictures, store
    from patterns.reading import LARGEST_ADDED_BYTES, read_bytes
    from patterns.report import writing as written

    name = store.find(place, pattern)
    if len({path.name for path in files}) < len(files):
        raise GalleryError("two of the files have one name; rename one of them")
    try:
        given = {path.name: read_bytes(path, LARGEST_ADDED_BYTES) for path in files}
    except FileError as error:
        raise GalleryError(f"{error}; nothing was added") from error
    for file, data in given.items():  # said now, not when the report is wanted
        pictures.check_pixels(file, data)
    pictures.check(given)
    if "treatment.toml" in given:
        beside = {**store.newest(place / name).files(), **given}
        written.checked(given["treatment.toml"], "treatment.toml", beside.get)
    before = {revision.folder for revision in store.revisions(place / name)}
    _tell_kept(store.add(place, name, given), before, as_json)


def _tell_kept(folder: Path, before: set[Path], as_json: bool) -> None:
    new = folder not in before
    if as_json:
        print_json({"pattern": folder.parent.name, "revision": folder.name, "new": new})
    else:
        click.echo(f"{folder}: {'kept' if new else 'unchanged, already kept'}")


@gallery.command("list")
@gallery_option
@click.option("--rebuild", is_flag=True, help="Build the search index anew from the folders.")
@json_option
def list_(place: Path, rebuild: bool, as_json: bool) -> None:
    """List every kept pattern."""
    from patterns.gallery.index import Query

    _answer(place, Query(), as_json, rebuild)


@gallery.command()
@click.argument("text", nargs=-1)
@click.option("--structure", multiple=True, help="With this structure; may be given again.")
@click.option("--material", multiple=True, help="With this material; may be given again.")
@click.option("--height", metavar="FROM-TO", help="Height of the text block in mm, as 190-210.")
@click.option("--width", metavar="FROM-TO", help="Width of the text block in mm.")
@click.option("--thickness", metavar="FROM-TO", help="Thickness of the text block in mm.")
@click.option("--weight", metavar="FROM-TO", help="Weight of the book in kg.")
@click.option("--since", metavar="DATE", help="Measured on this day or later, as 2026-11-25.")
@click.option("--until", metavar="DATE", help="Measured on this day or earlier.")
@click.option(
    "--limit", type=click.IntRange(1), default=50, show_default=True, help="Show at most so many."
)
@gallery_option
@json_option
def find(
    text: tuple[str, ...],
    structure: tuple[str, ...],
    material: tuple[str, ...],
    since: str | None,
    until: str | None,
    limit: int,
    place: Path,
    as_json: bool,
    **sizes: str | None,
) -> None:
    """Find kept patterns by words in titles, ids and notes (every word, its beginning is enough)."""
    from patterns.gallery.index import Query

    ranges = {name: _range(name, given) for name, given in sizes.items() if given is not None}
    query = Query(
        " ".join(text), structure, material, ranges,
        _day("since", since), _day("until", until), limit,
    )  # fmt: skip
    _answer(place, query, as_json)


def _range(name: str, given: str) -> tuple[float | None, float | None]:
    figure = r"(\d+(?:\.\d+)?)"
    found = re.fullmatch(rf"\s*{figure}?\s*[-–]\s*{figure}?\s*|\s*{figure}\s*", given, re.ASCII)
    if found and any(found.groups()):
        least, most, only = (float(one) if one else None for one in found.groups())
        if only is not None:
            return only, only
        if least is None or most is None or least <= most:
            return least, most
    raise SettingError(
        f"--{name} {given!r}: give the least and the most, as 190-210, or one of them, as 190- or -210"
    )


def _day(name: str, given: str | None) -> str:
    import datetime

    try:
        return datetime.date.fromisoformat(given).isoformat() if given else ""
    except ValueError:
        raise SettingError(f"--{name} {given!r}: write a day as 2026-11-25") from None


def _answer(place: Path, query: Any, as_json: bool, rebuild: bool = False) -> None:
    from patterns.gallery.index import search

    entries, total = search(place, query, progress, rebuild)
    if as_json:
        print_json({"patterns": [asdict(entry) for entry in entries], "all": total})
        return
    _name_damaged(entries)
    if not entries:
        click.echo("No pattern found.")
        return
    rows = [
        (
            entry.name.rpartition("-")[0],
            entry.title or "(no title)",
            " + ".join(entry.structures),
            _size(entry.features),
            entry.date,
            f"r{entry.revision:04d}",
        )
        for entry in entries
    ]
    table(("id", "title", "structures", "height × width × thickness", "measured", "revision"), rows)
    if total > len(entries):
        click.echo(f"({total - len(entries)} more; narrow the search or raise --limit)", err=True)


def _name_damaged(entries: Iterable[GalleryEntry]) -> None:
    """Say which patterns could not be read."""
    for entry in entries:
        if entry.trouble:
            click.echo(f"warning: {entry.trouble}", err=True)


def _size(features: Any) -> str:
    sizes = [features.get(name) for name in ("height", "width", "thickness")]
    return " × ".join(f"{size:g}" if size is not None else "?" for size in sizes)


@gallery.command()
@click.argument("record", type=click.Path(path_type=Path))
@click.option(
    "--limit", type=click.IntRange(1), default=5, show_default=True, help="Show at most so many."
)
@gallery_option
@json_option
def similar(record: Path, limit: int, place: Path, as_json: bool) -> None:
    """Name the past books nearest to RECORD, and in what they are near and far."""
    from patterns.gallery.changes import said
    from patterns.gallery.index import Query, search
    from patterns.gallery.similar import nearest
    from patterns.gallery.summary import features
    from patterns.record import reading

    asked = features(reading.load(record))
    entries, _ = search(place, Query(), progress)
    near = nearest(asked, entries, limit)
    if as_json:
        print_json(
            {"record": str(record), "features": asked, "nearest": [asdict(one) for one in near]}
        )
        return
    _name_damaged(entries)
    if not near:
        click.echo("No pattern of a comparable book found.")
    for one in near:
        book = one.entry.id or one.entry.name
        click.echo(f"{book}: distance {one.distance:.2f}  {one.entry.title}")
        rows = [
            (f"  {row.name}", said(row.asked), said(row.found), f"{row.distance:.2f}")
            for row in one.features
        ]
        table(("  feature", "this book", "that book", "distance"), rows)
        click.echo(f"  patterns: {', '.join(one.patterns)}")


@gallery.command()
@click.argument("pattern", metavar="ID")
@click.option("--with-owner", is_flag=True, help="Show the owner, too.")
@gallery_option
@json_option
def show(pattern: str, with_owner: bool, place: Path, as_json: bool) -> None:
    """Show one pattern: its book, its revisions, and what changed from one to the next."""
    from patterns.gallery import store
    from patterns.gallery.changes import with_unit
    from patterns.gallery.history import history

    name = store.find(place, pattern)
    told = history(place / name)
    last = told[-1]
    if as_json:
        print_json(_as_document(name, told, with_owner))
        return
    click.echo(f"{name}  {last.title or '(no title)'}")
    if with_owner and last.owner:
        click.echo(f"owner: {last.owner}")
    table(
        ("measurement", "value"), [(key, with_unit(key, value)) for key, value in last.measurements]
    )
    for one in told:
        click.echo(f"\n{one.revision.folder.name}  kept {one.kept}  {len(one.files)} files")
        for line in one.lines:
            click.echo(f"  {line}")


def _as_document(name: str, told: Sequence[Any], with_owner: bool) -> dict[str, object]:
    last = told[-1]
    document: dict[str, object] = {
        "pattern": name,
        "title": last.title,
        "measurements": dict(last.measurements),
        "revisions": [
            {
                "revision": one.revision.folder.name,
                "kept": one.kept,
                "files": one.files,
                "added": one.added,
                "changes": [asdict(change) for change in one.changes],
                "trouble": one.trouble,
            }
            for one in told
        ],
    }
    return {**document, "owner": last.owner} if with_owner else document


for command in (reuse, page, verify, export, import_):
    gallery.add_command(command)
