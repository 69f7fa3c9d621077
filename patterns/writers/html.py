"""Web pages that open from the disk, by Jinja2: one frame with its content policy, all of it escaped.

Templates are HTML files in a `pages` folder beside the module that fills them; each extends
`frame.html` of this package. Whatever a template shows is escaped unless the template itself wrote
it, and a name that it does not get is an error.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from urllib.parse import quote

from jinja2 import Environment, FileSystemLoader, StrictUndefined

_DAY = re.compile(r"(\b\d{4}-\d{2}-\d{2}\b)")
FRAMES = Path(__file__).parent / "pages"


def page(folder: Path, template: str, values: Mapping[str, object]) -> bytes:
    """Fill a template of `folder`; everything in `values` is shown as words, never as marks."""
    return _templates(folder).get_template(template).render(values).encode()


@cache
def _templates(folder: Path) -> Environment:
    found = Environment(
        loader=FileSystemLoader([folder, FRAMES]),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    found.filters["link"] = link
    found.filters["days"] = days
    return found


def days(words: str) -> list[tuple[str, bool]]:
    """Return words in parts, each with whether it is a day: those are not parted at a line's end.

    >>> days("Measured 2026-03-06.")
    [('Measured ', False), ('2026-03-06', True), ('.', False)]
    """
    parts = _DAY.split(words)
    return [(part, place % 2 == 1) for place, part in enumerate(parts) if part]


def link(path: str) -> str:
    """Return the address of a file that lies beside the page, or in a folder beside it.

    >>> link("LOG-1-tube+inlay/before #1.jpg"), link("javascript:x")
    ('LOG-1-tube%2Binlay/before%20%231.jpg', 'javascript%3Ax')
    """
    return quote(path, safe="/")
