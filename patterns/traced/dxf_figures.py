"""Figures of a DXF file that are none: “5,25” would be read as 5, and the piece cut a quarter of a mm too small.

A DXF file as text is pairs of lines, a group code and its value; codes 10 to 59, 110 to 149, 210 to
239 and 1010 to 1059 are figures, 60 to 79 and 90 to 99 whole ones (DXF reference, “Group Codes”).
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from patterns.errors import SettingError

_SPANS = ((10, 99), (110, 149), (210, 239), (1010, 1059))
FIGURE_CODES = frozenset(code for low, high in _SPANS for code in range(low, high + 1)) - {
    *range(80, 90)
}
_FIGURE = re.compile(rb"[-+]?(?:(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]+)?|nan|inf)")
"""What is no number at all is told by what it is in, later."""
_BINARY = b"AutoCAD Binary DXF"


def refuse_guessed(data: bytes, name: str, remedy: str) -> None:
    """Raise SettingError for a figure of the drawing that its reader would have to guess."""
    if data.startswith(_BINARY):
        return
    for line, value in _figures(data):
        if not _FIGURE.fullmatch(value):
            shown = value[:30].decode("utf-8", "replace")
            raise SettingError(f"{name}, line {line}: “{shown}” is no figure; {remedy}")


def _figures(data: bytes) -> Iterator[tuple[int, bytes]]:
    """Yield every figure among the drawn entities, and the drawing's unit, with the number of its line."""
    rows = data.split(b"\n")
    section = variable = before = b""
    for at in range(0, len(rows) - 1, 2):
        try:
            code = int(rows[at])
        except ValueError:  # no whole file, which its reader will say
            return
        value = rows[at + 1].strip()
        if code == 2 and before == b"SECTION":
            section = value.upper()
        if code == 9:
            variable = value.upper()
        unit = section == b"HEADER" and variable == b"$INSUNITS"
        if code in FIGURE_CODES and (unit or section == b"ENTITIES"):
            yield at + 2, value
        before = value.upper() if code == 0 else b""
