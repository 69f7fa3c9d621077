"""Sheets as PDF and pieces as DXF, as plain documents whose figures are figures."""

from __future__ import annotations

import base64
import io
import re

from pypdf import PageObject, PdfReader

from tests.differential.drawings import masked, value

_LITERAL = re.compile(r"\((?:\\.|[^\\()])*\)", re.DOTALL)
"""Words in a page's own code of letters, which goes by the order they come in."""


def pdf(coded: str) -> dict[str, object]:
    """Return title, outline and pages of a PDF that comes in base64."""
    reader = PdfReader(io.BytesIO(base64.b64decode(coded)))
    return {
        "title": masked(str(reader.metadata.title if reader.metadata else "")),
        "outline": [masked(str(one.title)) for one in reader.outline if not isinstance(one, list)],
        "pages": [
            {"name": f"page {number}", **_page(page)} for number, page in enumerate(reader.pages, 1)
        ],
    }


def _page(page: PageObject) -> dict[str, object]:
    """Return a page: its size, its words as a reader gets them, and where everything is drawn."""
    contents = page.get_contents()
    drawn = contents.get_data().decode("latin-1") if contents is not None else ""
    return {
        "size": [float(side) for side in page.mediabox],
        "words": masked(page.extract_text()).splitlines(),
        "draws": [value(line) for line in _LITERAL.sub("\n", drawn).splitlines()],
    }


def dxf(text: str) -> list[object]:
    """Return the lines of a DXF; the program's version is left out.

    So are the classes, which draw nothing: earlier versions wrote them in an order of chance.
    """
    head, mark, rest = text.partition("CLASSES\n")
    drawn = head + rest.partition("ENDSEC\n")[2] if mark else text
    return [value(masked(line.strip())) for line in drawn.splitlines()]
