"""`mendfold measure`: ask for a book's measurements, or write an empty record or form to fill in."""

from __future__ import annotations

import re
import sys
import textwrap
from collections.abc import Collection
from pathlib import Path

import click

from patterns.errors import MendfoldError, SettingError, WriteError
from patterns.files import write_file, write_new_file
from patterns.record.interview import Interview, steps_for
from patterns.record.text import read_text
from patterns.record.writing import blank
from patterns.unfinished import held

FORM_TITLE = "Measuring form"


@click.command()
@click.argument("file", type=click.Path(path_type=Path), required=False)
@click.option("--blank", "as_blank", is_flag=True, help="Write an empty commented record instead.")
@click.option(
    "--form", "as_form", is_flag=True, help="Write a form to fill in by pencil (.pdf or .svg)."
)
@click.option("--paper", default="A4", show_default=True, help="Paper of the form.")
@click.option(
    "--for",
    "structures",
    multiple=True,
    metavar="STRUCTURE",
    help="Ask only what this structure needs, on the form and in the empty record too; may be repeated.",
)
@click.option("--force", is_flag=True, help="Replace a file that is already there.")
def measure(
    file: Path | None,
    as_blank: bool,
    as_form: bool,
    paper: str,
    structures: tuple[str, ...],
    force: bool,
) -> None:
    """Ask for the measurements of one book and write them to FILE (record.toml).

    Questions come in the order of handling the book, each with its unit and its reason. Every
    answer is kept in FILE.part at once; after a break the same command goes on from there.
    """
    if as_blank and as_form:
        raise SettingError("--blank and --form are two files: write one after the other")
    target = file or Path("measuring-form.pdf" if as_form else "record.toml")
    if target.exists() and not force:
        raise WriteError(f"{target} is already there: name another file, or --force to replace it")
    names = {step.name for step in steps_for(_needs(structures))} if structures else None
    if as_form:
        for name, data in _form(target, paper, names).items():
            if name != target.name and target.with_name(name).exists() and not force:
                raise WriteError(
                    f"{target.with_name(name)} is already there: name another file, or --force to replace it"
                )
            write_new_file(target.with_name(name), data, force)
        click.echo(f"{target}: measuring form written. Print it at 100 %.")
    elif as_blank:
        write_new_file(target, blank(names).encode(), force)
        click.echo(f"{target}: empty record written. Fill in what you measure, then draft from it.")
    else:
        _interview(target, structures, force)


def _interview(file: Path, structures: tuple[str, ...], force: bool) -> None:
    part = file.with_name(f"{file.name}.part")
    try:
        with held(part):
            _talk(file, part, structures, force)
    except BlockingIOError:
        raise MendfoldError(
            f"{part}: another interview is writing its answers there; end that one, or name another file"
        ) from None


def _talk(file: Path, part: Path, structures: tuple[str, ...], force: bool) -> None:
    talk = Interview(
        ask=_ask,
        say=_say,
        save=lambda text: write_file(part, text.encode()),
        suggested_id=re.sub(r"[^A-Za-z0-9_-]+", "-", file.stem).strip("-_")[:64],
    )
    if structures:
        talk.steps = steps_for(_needs(structures))
    if part.exists():
        talk.resume(read_text(part), part.name)
        click.echo(f"Going on from {part}.")
    try:
        text = talk.run()
    except (click.Abort, KeyboardInterrupt, EOFError):
        kept = f"every answer is kept in {part}" if part.exists() else "nothing was answered yet"
        raise MendfoldError(f"stopped: {kept}; the same command goes on from there") from None
    remedy = f"Every answer is kept in {part}: --force replaces the record by it"
    write_new_file(file, text.encode(), force, remedy)
    part.unlink(missing_ok=True)
    click.echo(f"{file}: record written.")


def _ask(words: str) -> str:
    if sys.stdin is None:  # started with no input at all
        raise EOFError
    return str(click.prompt(words, default="", show_default=False))


def _say(text: str) -> None:
    for line in text.split("\n"):
        click.echo(textwrap.fill(line, 88, subsequent_indent="  "))


def _needs(structures: tuple[str, ...]) -> list[str]:
    from patterns.structures import catalogue

    return [need for name in structures for need in catalogue.find(name).needs]


def _form(target: Path, paper: str, names: Collection[str] | None) -> dict[str, bytes]:
    """Return the form's files by name: one PDF, or an SVG a page, the first of them `target`."""
    from patterns.sheets.form import form_pages
    from patterns.stock.paper import parse

    suffix = target.suffix.lower()
    if suffix not in (".pdf", ".svg"):
        raise SettingError(f"--form: a file ending in {suffix or 'nothing'}: name it .pdf or .svg")
    pages = form_pages(parse(paper), names)
    if suffix == ".svg":
        from patterns.writers.svg import svg_text

        files = [target.name, *(f"{target.stem}-{n}.svg" for n in range(2, len(pages) + 1))]
        return {
            name: svg_text(page, FORM_TITLE).encode()
            for name, page in zip(files, pages, strict=True)
        }
    from patterns.writers.pdf import PdfPage, pdf_bytes

    numbered = [PdfPage(page, str(n), f"{FORM_TITLE}, page {n}") for n, page in enumerate(pages, 1)]
    return {target.name: pdf_bytes(numbered, FORM_TITLE)}
