"""The whole job of `draft`: read, work out, compose, write; used by every command that drafts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal

from patterns import files
from patterns.drafting import job, output
from patterns.errors import MendfoldError, RecordError
from patterns.model import lettering
from patterns.record import reading
from patterns.record.record import Record
from patterns.sheets import whole
from patterns.stock import materials
from patterns.stock import paper as papers
from patterns.stock import printer as printers


@dataclass(frozen=True, slots=True)
class Wish:
    """What is to be drafted, as it was asked for."""

    record: Path | Record
    structures: tuple[str, ...]
    settings: Mapping[str, str] = field(default_factory=dict)
    paper: str = "A4"
    printer: str = "none"
    formats: tuple[str, ...] = ("svg", "pdf")
    with_owner: bool = False


@dataclass(frozen=True, slots=True)
class Made:
    """A draft ready to be written: its folder's name and every file."""

    folder: str
    files: Mapping[str, bytes]
    warnings: tuple[str, ...]
    remarks: tuple[str, ...]
    sheets: int


def make(wish: Wish) -> Made:
    """Draft without writing anything. Raises MendfoldError."""
    paper = papers.parse(wish.paper)
    correction = printers.correction(materials.studio_folder(), wish.printer)
    record = wish.record if isinstance(wish.record, Record) else reading.load(wish.record)
    _check_letters(record, wish.with_owner)
    drafted = job.draft(
        job.Order(record, wish.structures, wish.settings, wish.with_owner), materials.load()
    )
    sheets = whole.sheets(drafted.pattern, paper, correction)
    found, remarks = output.files(record, drafted, sheets, paper, correction, wish.formats)
    return Made(
        folder=f"{record.book.id}-{'+'.join(drafted.pattern.structures)}",
        files=found,
        warnings=output.told(drafted.pattern),
        remarks=tuple(remarks),
        sheets=len(sheets),
    )


def _check_letters(record: Record, with_owner: bool) -> None:
    """Refuse a title or owner in letters that the sheets cannot print, naming the field."""
    for name in ("book.title", "book.owner") if with_owner else ("book.title",):
        try:
            lettering.check_glyphs(record.get(name) or "")
        except MendfoldError as error:
            raise RecordError(f"{record.source}: {name} is {error}") from None


def write(made: Made, out: Path, force: bool) -> Literal["written", "unchanged"]:
    """Write a draft into its folder below `out`, whole or not at all."""
    return files.write_folder(out / made.folder, made.files, force)
