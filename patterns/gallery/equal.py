"""When two patterns are the same: the same record, figures and drawings, whoever wrote them.

The version of mendfold, and bytes that differ from one library build to the next (PDF, DXF, PNG),
say nothing about the pattern: every PDF page stands beside it as an SVG drawing.
"""

from __future__ import annotations

import contextlib
import re
from collections.abc import Mapping
from dataclasses import replace

from patterns.model.documents import Misshapen
from patterns.model.kept import KeptPattern

THUMBNAIL = "thumbnail.png"
_DERIVED = (".pdf", ".dxf", ".png")
_SIGNED = re.compile(r"<text\b[^>]*>([^<]*)\bmendfold \d[\w.+-]*")


def masked(name: str, data: bytes) -> bytes:
    """Return what counts of one file when patterns are compared: its version is left out.

    >>> masked("sheet-01.svg", b'<text x="1" textLength="9">mendfold 0.1.0</text>')
    b'<text>mendfold</text>'
    """
    if name.endswith(_DERIVED):
        return b""
    if name.endswith(".svg"):
        return _SIGNED.sub(r"<text>\1mendfold", data.decode(errors="replace")).encode()
    if name == "pattern.json":
        with contextlib.suppress(Misshapen):
            return replace(KeptPattern.from_json(data), mendfold="").to_json()
    return data


def different_files(one: Mapping[str, bytes], other: Mapping[str, bytes]) -> list[str]:
    """Name the files in which two patterns differ, those that only one of them has included."""
    names = sorted({*one, *other} - {THUMBNAIL})
    return [
        name
        for name in names
        if name not in one
        or name not in other
        or (one[name] != other[name] and masked(name, one[name]) != masked(name, other[name]))
    ]
