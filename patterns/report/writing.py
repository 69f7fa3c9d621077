"""The report's files: page, print, picture of the unions, photographs."""

from __future__ import annotations

from collections.abc import Mapping

from patterns.errors import GalleryError
from patterns.report import beforehand, blocks, content, treatment
from patterns.report.html import UNIONS_SVG, report_html
from patterns.report.pdf import report_pdf
from patterns.report.unions import picture
from patterns.writers.svg import svg_text

TREATMENT = "treatment.toml"


def blank_bytes(files: Mapping[str, bytes], where: str) -> bytes:
    """Return a treatment.toml to fill in for a pattern's files; raises GalleryError."""
    return treatment.blank(beforehand.proposed(files, where)).encode()


def report_files(
    files: Mapping[str, bytes],
    filled: str,
    fetch: blocks.Fetch,
    where: str,
    with_owner: bool = False,
    paper: str = "A4",
) -> dict[str, bytes]:
    """Return the files of the report; `filled` is treatment.toml, `fetch` finds what lies beside it.

    Raises GalleryError or RecordError for what cannot be read or is missing.
    """
    read = treatment.read(filled, where)
    photographs = content.needed_photographs(read, fetch, where)
    report = content.report(files, read, where, with_owner)
    found = {
        "report.html": report_html(report),
        "report.pdf": report_pdf(report, photographs, paper),
        **photographs,
    }
    for section in report.sections:
        for block in section.blocks:
            if isinstance(block, blocks.Unions):
                found[UNIONS_SVG] = svg_text(picture(block.joins), "Unions").encode()
    return found


def checked(data: bytes, where: str, fetch: blocks.Fetch) -> None:
    """Raise GalleryError for a filled-in treatment that no report could be made from."""
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise GalleryError(f"{where}: not UTF-8 text; save it as UTF-8") from None
    content.needed_photographs(treatment.read(text, where), fetch, where)
