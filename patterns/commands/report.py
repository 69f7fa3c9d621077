"""`mendfold report`: a treatment to fill in, and the report from it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import click

from patterns.commands.gallery_options import gallery_option, out_option
from patterns.errors import GalleryError


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
    from patterns.files import write_file, write_folder
    from patterns.gallery import store
    from patterns.report.writing import TREATMENT, blank_bytes, report_files

    name = store.find(place, pattern)
    files = store.newest(place / name).files()
    if blank:
        target = out / TREATMENT
        if target.exists():
            raise GalleryError(f"{target}: already there; it may be filled in, so it is left alone")
        write_file(target, blank_bytes(files, name))
        click.echo(f"{target}: fill it in, then: mendfold gallery add {name} {target}")
        return
    text, fetch, where = _filled(name, files, filled)
    made = report_files(files, text, fetch, where, with_owner, paper)
    target = out / f"{name}-report"
    done = write_folder(target, made, force)
    click.echo(f"{target}: report.html and report.pdf {done}")


def _filled(
    name: str, files: dict[str, bytes], given: Path | None
) -> tuple[str, Callable[[str], bytes | None], str]:
    """Return the treatment's text, what finds a file beside it, and its name for messages."""
    from patterns.report.writing import TREATMENT

    if given is None and TREATMENT not in files:
        raise GalleryError(
            f"{name}: no treatment is kept yet; run `mendfold report {name} --blank`, fill it in, "
            f"then `mendfold gallery add {name} treatment.toml`"
        )
    where = f"{name}/{TREATMENT}" if given is None else str(given)
    try:
        data = files[TREATMENT] if given is None else given.read_bytes()
        text = data.decode()
    except OSError as error:
        raise GalleryError(f"{where}: cannot be read ({error.strerror})") from error
    except UnicodeDecodeError:
        raise GalleryError(f"{where}: not UTF-8 text; save it as UTF-8") from None

    def fetch(file: str) -> bytes | None:
        beside = given.resolve().parent / file if given else None
        if beside is not None and beside.is_file():
            return beside.read_bytes()
        return files.get(file)

    return text, fetch, where
