"""What a draft leaves on the disk: pattern.json, the sheets, and the record as it was."""

from __future__ import annotations

from collections.abc import Sequence

from patterns.drafting.document import document
from patterns.drafting.job import Drafted
from patterns.model.drawing import Drawing
from patterns.model.pattern import Pattern
from patterns.model.sheet import Sheet
from patterns.record.record import Record
from patterns.stock.paper import Paper
from patterns.stock.printer import Correction
from patterns.writers import table


def files(
    record: Record,
    drafted: Drafted,
    sheets: Sequence[Sheet],
    paper: Paper,
    correction: Correction,
    formats: Sequence[str],
) -> tuple[dict[str, bytes], tuple[str, ...]]:
    """Return every file of a draft by name, and a line for each format that had to be left out."""
    kept = document(record, drafted, sheets, paper, correction)
    drawn, left_out = table.write(
        formats, sheets, title(drafted.pattern), lambda: laid_out(drafted.pattern)
    )
    own = {"record.toml": record.text.encode(), "pattern.json": kept.to_json()}
    return {**own, **drawn}, left_out


def pdf(pattern: Pattern, sheets: Sequence[Sheet]) -> bytes:
    """Return all sheets of a pattern as one PDF and nothing beside it."""
    drawn, _ = table.write(("pdf",), sheets, title(pattern), lambda: laid_out(pattern))
    (found,) = drawn.values()
    return found


def title(pattern: Pattern) -> str:
    """Return what a file of all sheets is called inside."""
    return f"{pattern.book_id}: {', '.join(part.title for part in pattern.parts)}"


def laid_out(pattern: Pattern) -> Drawing:
    """Return all pieces side by side on one plain drawing without page furniture (DXF, goldens)."""
    from patterns.sheets.plain import side_by_side

    return side_by_side([piece for part in pattern.parts for piece in part.pieces])
