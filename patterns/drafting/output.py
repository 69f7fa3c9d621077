"""What a draft leaves on the disk: pattern.json, the sheets, and the record as it was."""

from __future__ import annotations

from collections.abc import Sequence

from patterns.drafting.document import document
from patterns.drafting.job import Drafted
from patterns.model.drawing import Drawing
from patterns.model.pattern import Pattern
from patterns.record.record import Record
from patterns.sheets.sheet import Sheet
from patterns.stock.paper import Paper
from patterns.stock.printer import Correction

PNG_DPI = 150.0


def files(
    record: Record,
    drafted: Drafted,
    sheets: Sequence[Sheet],
    paper: Paper,
    correction: Correction,
    formats: Sequence[str],
) -> tuple[dict[str, bytes], list[str]]:
    """Return every file of a draft by name, and a line for each format that had to be left out.

    PNG without its library is such a format: the remedy is returned, nothing else is lost.
    """
    from patterns.errors import MendfoldError

    kept = document(record, drafted, sheets, paper, correction)
    found = {"record.toml": record.text.encode(), "pattern.json": kept.to_json()}
    remarks: list[str] = []
    svgs = _svgs(sheets) if {"svg", "png"} & set(formats) else {}
    if "pdf" in formats:
        found["sheets.pdf"] = pdf(drafted.pattern, sheets)
    if "svg" in formats:
        found |= {name: text.encode() for name, text in svgs.items()}
    if "dxf" in formats:
        from patterns.writers.dxf import dxf_text

        found["pattern.dxf"] = dxf_text(laid_out(drafted)).encode()
    if "png" in formats:
        from patterns.writers.png import png_bytes

        try:
            found |= {
                name.replace(".svg", ".png"): png_bytes(text, PNG_DPI)
                for name, text in svgs.items()
            }
        except MendfoldError as error:
            remarks.append(f"PNG left out: {error}")
    return found, remarks


def _svgs(sheets: Sequence[Sheet]) -> dict[str, str]:
    from patterns.writers.svg import svg_text

    return {
        f"sheet-{number:02d}.svg": svg_text(sheet.drawing, sheet.title)
        for number, sheet in enumerate(sheets, 1)
    }


def pdf(pattern: Pattern, sheets: Sequence[Sheet]) -> bytes:
    """Return all sheets of a pattern as one PDF."""
    from patterns.writers.pdf import PdfPage, pdf_bytes

    title = f"{pattern.book_id}: {', '.join(part.title for part in pattern.parts)}"
    pages = [
        PdfPage(sheet.drawing, f"{number}", sheet.title) for number, sheet in enumerate(sheets, 1)
    ]
    return pdf_bytes(pages, title)


def laid_out(drafted: Drafted) -> Drawing:
    """Return all pieces side by side on one plain drawing without page furniture (DXF, goldens)."""
    from patterns.sheets.plain import side_by_side

    return side_by_side([piece for part in drafted.pattern.parts for piece in part.pieces])
