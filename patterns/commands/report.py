"""`mendfold report`: a treatment to fill in, and the report from it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import click

from patterns.commands.gallery_options import gallery_option, out_option
from patterns.errors import FileError, GalleryError


@click.command()
@click.argument("pattern", metavar="ID")
@click.option("--blank", is_flag=True, help="Write an empty treatment.toml to fill in.")
@click.option(
    "--treatment",
    "filled",
    type=click.Path(path_type=Path, dir_okay=False),
    help="The treatment.toml to report; unless given, the one kept with the pattern.",
)
@click.option("--with-owner", is_flag=True, help="Name the owner in the report.")
@click.option("--paper", default="A4", show_default=True, help="Paper of the PDF.")
@click.option("--force", is_flag=True, help="Set an earlier, different report aside.")
@out_option
@gallery_option
def report(
    pattern: str,
    blank: bool,
    filled: Path | None,
    with_owner: bool,
    paper: str,
    force: bool,
    out: Path,
    place: Path,
) -> None:
    """Write the treatment report of a kept pattern as a web page and a PDF.

    First --blank, fill in treatment.toml at the bench, add it and its photographs to the pattern
    with `mendfold gallery add ID treatment.toml …`, then `mendfold report ID`.
    """
    from patterns.files import write_folder, write_new_file
    from patterns.gallery import store
    from patterns.gallery.summary import kept_of, record_of
    from patterns.report.writing import TREATMENT, blank_bytes, report_files

    name = store.find(place, pattern)
    files = store.newest(place / name).files()
    if blank:
        target = out / TREATMENT
        if target.exists():
            raise GalleryError(f"{target}: already there; it may be filled in, so it is left alone")
        write_new_file(target, blank_bytes(files, name), remedy="It may be filled in: look at it")
        click.echo(f"{target}: fill it in, then: mendfold gallery add {name} {target}")
        return
    kept_of(files, name), record_of(files, name)  # what is wrong with them is said of the pattern
    text, fetch, where = _filled(name, files, filled)
    made = report_files(files, text, fetch, where, with_owner, paper)
    target = out / f"{name}-report"
    done = write_folder(target, made, force)
    click.echo(f"{target}: report.html and report.pdf {done}")


def _filled(
    name: str, files: dict[str, bytes], given: Path | None
) -> tuple[str, Callable[[str], bytes | None], str]:
    """Return the treatment's text, what finds a file beside it, and its name for messages."""
    from patterns.reading import LARGEST_ADDED_BYTES, read_bytes, read_text
    from patterns.report.writing import TREATMENT

    if given is None and TREATMENT not in files:
        raise GalleryError(
            f"{name}: no treatment is kept yet; run `mendfold report {name} --blank`, fill it in, "
            f"then `mendfold gallery add {name} treatment.toml`"
        )
    where = f"{name}/{TREATMENT}" if given is None else str(given)
    try:
        text = files[TREATMENT].decode() if given is None else read_text(given)
    except FileError as error:
        raise GalleryError(f"{error}; name the treatment.toml that was filled in") from error
    except UnicodeDecodeError:
        raise GalleryError(f"{where}: not UTF-8 text; save it as UTF-8") from None

    def fetch(file: str) -> bytes | None:
        if given is None:
            return files.get(file)
        try:
            return read_bytes(given.resolve().parent / file, LARGEST_ADDED_BYTES)
        except FileError as error:
            if error.why == "missing":
                return files.get(file)
            raise GalleryError(f"{error}; put the photograph itself there") from error

    return text, fetch, where
