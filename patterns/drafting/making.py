"""The whole job of `draft`: read, work out, compose, write; used by every command that drafts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Literal

from patterns import files
from patterns.drafting import job, output
from patterns.drafting.document import told
from patterns.errors import MendfoldError, RecordError, WriteError
from patterns.model import lettering
from patterns.model.pattern import Pattern
from patterns.record import reading
from patterns.record.record import Record
from patterns.sheets import whole
from patterns.stock import materials
from patterns.stock import paper as papers
from patterns.stock import printer as printers

WITH_OWNER = "-with-owner.pdf"
"""How the name of the one file ends that names the owner on its sheets."""


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
    """Draw the sheets a second time with the owner's name, for printing alone."""


@dataclass(frozen=True, slots=True)
class Made:
    """A draft ready to be written: its folder's name and every file.

    No drawing in `files` names the owner, so that any of them can be kept and passed on.
    """

    folder: str
    files: Mapping[str, bytes]
    warnings: tuple[str, ...]
    remarks: tuple[str, ...]
    sheets: int
    for_printing: bytes = b""
    """The sheets as one PDF that names the owner; empty unless it was wished for."""

    @property
    def printed_as(self) -> str:
        """Name of the file that holds `for_printing`; it lies beside the folder, never in it."""
        return f"{self.folder}{WITH_OWNER}"


def make(wish: Wish) -> Made:
    """Draft without writing anything. Raises MendfoldError."""
    paper = papers.parse(wish.paper)
    correction = printers.correction(materials.studio_folder(), wish.printer)
    record = wish.record if isinstance(wish.record, Record) else reading.load(wish.record)
    _check_letters(record, wish.with_owner)
    order = job.Order(record, wish.structures, wish.settings)
    drafted = job.draft(order, materials.load())
    sheets = whole.sheets(drafted.pattern, paper, correction)
    found, left_out = output.files(record, drafted, sheets, paper, correction, wish.formats)
    for_printing = b""
    if wish.with_owner and record.book.owner:
        named = naming_owner(drafted.pattern, record.book.owner)
        for_printing = output.pdf(named, whole.sheets(named, paper, correction))
    elif wish.with_owner:
        left_out += ("--with-owner: the record names no owner, so no sheets with one are drawn",)
    return Made(
        folder=f"{record.book.id}-{'+'.join(drafted.pattern.structures)}",
        files=found,
        warnings=told(drafted.pattern),
        remarks=left_out,
        sheets=len(sheets),
        for_printing=for_printing,
    )


def naming_owner(pattern: Pattern, owner: str) -> Pattern:
    """Return the pattern with its owner among what the overview prints of the record."""
    return replace(pattern, measurements=(("owner", owner), *pattern.measurements))


def _check_letters(record: Record, with_owner: bool) -> None:
    """Refuse a title or owner in letters that the sheets cannot print, naming the field."""
    for name in ("book.title", "book.owner") if with_owner else ("book.title",):
        try:
            lettering.check_glyphs(record.get(name) or "")
        except MendfoldError as error:
            (unknown,) = error.problems
            raise RecordError(f"{record.source}: {name} is {error}", [unknown.at(name)]) from None


def write(made: Made, out: Path, force: bool) -> Literal["written", "unchanged"]:
    """Write a draft into its folder below `out`, whole or not at all.

    The sheets that name the owner are written beside the folder. Raises WriteError.
    """
    beside = out / made.printed_as
    if made.for_printing and beside.exists() and not force:
        _refuse_other(beside, made.for_printing)
    state = files.write_folder(out / made.folder, made.files, force)
    if made.for_printing:
        files.write_new_file(beside, made.for_printing, force)
    return state


def _refuse_other(beside: Path, data: bytes) -> None:
    """Raise WriteError, before anything is written, where another file stands in the way."""
    if not files.holds_just(beside, data):
        raise WriteError(
            f"{beside}: already there and different; nothing was written. "
            "Give another --out, or --force to replace it"
        )
