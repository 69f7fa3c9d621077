"""What a draft leaves on the disk: the record as it was, pattern.json, and the sheets."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal

from patterns import files
from patterns.drafting.document import document
from patterns.drafting.order import Drafted, Order
from patterns.model.drawing import Drawing
from patterns.model.pattern import Pattern
from patterns.sheets import whole
from patterns.sheets.page import Layout
from patterns.sheets.plain import side_by_side
from patterns.writers import table

WITH_OWNER = "-with-owner.pdf"
"""How the name of the one file ends that names the owner on its sheets."""


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


def make(drafted: Drafted) -> Made:
    """Lay out a draft's sheets and return every file; nothing is written. Raises MendfoldError."""
    order, pattern = drafted.order, drafted.pattern
    sheets = whole.sheets(_layout(order, pattern))
    drawn, left_out = table.write(order.formats, sheets, _title(pattern), lambda: laid_out(pattern))
    for_printing = b""
    if order.with_owner and (owner := order.record.book.owner):
        for_printing = _printed(naming_owner(drafted, owner))
    elif order.with_owner:
        left_out += ("the record names no owner, so no sheets with one are drawn",)
    return Made(
        folder=f"{order.record.book.id}-{'+'.join(pattern.structures)}",
        files={
            "record.toml": order.record.text.encode(),
            "pattern.json": document(drafted, sheets).to_json(),
            **drawn,
        },
        warnings=drafted.warnings,
        remarks=left_out,
        sheets=len(sheets),
        for_printing=for_printing,
    )


def _layout(order: Order, pattern: Pattern) -> Layout:
    """Return what an order wishes of its sheets."""
    return Layout(
        pattern, order.paper, order.correction, order.full_size, order.shown, suggests=True
    )


def naming_owner(drafted: Drafted, owner: str) -> Drafted:
    """Return a draft with its owner among what the overview prints of the record."""
    pattern = drafted.pattern
    named = replace(pattern, measurements=(("owner", owner), *pattern.measurements))
    return replace(drafted, pattern=named)


def _printed(drafted: Drafted) -> bytes:
    """Return all sheets as one PDF and nothing beside it."""
    order, pattern = drafted.order, drafted.pattern
    sheets = whole.sheets(_layout(order, pattern))
    drawn, _ = table.write(("pdf",), sheets, _title(pattern), lambda: laid_out(pattern))
    (found,) = drawn.values()
    return found


def _title(pattern: Pattern) -> str:
    """Return what a file of all sheets is called inside."""
    return f"{pattern.book_id}: {', '.join(part.title for part in pattern.parts)}"


def laid_out(pattern: Pattern) -> Drawing:
    """Return all pieces side by side on one plain drawing without page furniture (DXF, goldens)."""
    return side_by_side([piece for part in pattern.parts for piece in part.pieces])


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
        raise files.different(beside, "other folder")
