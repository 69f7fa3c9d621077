"""The report as one web page that opens from the disk, its pictures beside it."""

from __future__ import annotations

from pathlib import Path

from patterns.report.blocks import Passage, Photograph, Report, Table, Text, Unions
from patterns.writers import html

UNIONS_SVG = "unions.svg"
LONG_WORD = 22
"""Letters; a longer word may be broken in a table, a date or a shorter word never."""
_PAGES = Path(__file__).parent / "pages"


def report_html(report: Report) -> bytes:
    """Return the page; everything from the record and the treatment passes its escaping template."""
    sections = [
        {"title": section.title, "blocks": [_shown(block) for block in section.blocks]}
        for section in report.sections
    ]
    return html.page(_PAGES, "report.html", {"report": report, "sections": sections})


def _shown(block: Passage) -> dict[str, object]:
    match block:
        case Text(words):
            return {"kind": "text", "words": words}
        case Table(heads, rows):
            cells = [list(zip(heads, row, map(_long, row), strict=True)) for row in rows]
            return {"kind": "table", "heads": heads, "rows": cells}
        case Unions(found):
            told = (
                f"{one.part} {one.made} to {one.to}" + (f" ({one.note})" if one.note else "")
                for one in found
            )
            return {"kind": "picture", "file": UNIONS_SVG, "alt": "; ".join(told), "caption": ""}
        case Photograph(file, caption):
            return {"kind": "picture", "file": file, "alt": caption, "caption": caption}


def _long(words: str) -> bool:
    """Tell whether a cell holds a word too long to stand in a narrow column unbroken."""
    return any(len(word) > LONG_WORD for word in words.split())
