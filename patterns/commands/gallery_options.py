"""What the gallery's commands and the report share: options, tables, reading a folder."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import Any, TypeVar

import click

from patterns.errors import FileError, GalleryError

Command = TypeVar("Command", bound=Callable[..., Any])


def gallery_option(command: Command) -> Command:
    """Give a command `--gallery`, by default MENDFOLD_GALLERY or ./gallery."""
    return click.option(
        "--gallery",
        "place",
        type=click.Path(path_type=Path, file_okay=False),
        envvar="MENDFOLD_GALLERY",
        default="gallery",
        show_default=True,
        show_envvar=True,
        help="Folder of the gallery.",
    )(command)


json_option = click.option("--json", "as_json", is_flag=True, help="Print one JSON document.")
out_option = click.option(
    "--out",
    type=click.Path(path_type=Path, file_okay=False),
    default=".",
    show_default=True,
    help="Folder to write in.",
)


def print_json(document: object) -> None:
    """Print one JSON document and nothing else."""
    click.echo(json.dumps(document, ensure_ascii=False, indent=1, default=str))


def table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
    """Print rows under their heads, each column as wide as it must be."""
    lines = [list(heads), *map(list, rows)]
    widths = [max(len(line[at]) for line in lines) for at in range(len(heads))]
    for line in lines:
        click.echo(
            "  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)).rstrip()
        )


def shortened(text: str, most: int = 48) -> str:
    """Return a cell's words, cut with … where they would stretch the table."""
    return text if len(text) <= most else f"{text[: most - 1]}…"


def read_folder(folder: Path) -> dict[str, bytes]:
    """Return the files of a pattern's folder; raises GalleryError for what is no such folder."""
    from patterns.files import contents, why_unsafe

    if not folder.is_dir():
        raise GalleryError(
            f"{folder}: no such folder; name one that `mendfold draft` wrote, as in LOG-1-hollow_tube"
        )
    try:
        odd = [
            path.name
            for path in sorted(folder.iterdir())
            if not path.name.startswith(".") and not path.is_file()
        ]
        files = {} if odd else contents(folder)
    except OSError as error:
        raise GalleryError(f"{folder}: cannot be read ({error.strerror})") from error
    except FileError as error:
        raise GalleryError(f"{error}; move it elsewhere") from error
    if odd:
        what = "the folder" if (folder / odd[0]).is_dir() else "the pipe, device or broken link"
        raise GalleryError(
            f"{folder}: holds {what} {odd[0]}; the gallery keeps plain files, move it elsewhere"
        )
    for name in files:
        if reason := why_unsafe(name):
            raise GalleryError(f"{folder}: the file {name!r} {reason}; rename it first")
    return files


def progress(done: int, of: int) -> None:
    """Say on a terminal how far a long reading has come."""
    if of >= 500 and sys.stderr.isatty():
        click.echo(f"\rreading the gallery: {done} of {of}", err=True, nl=done == of)
