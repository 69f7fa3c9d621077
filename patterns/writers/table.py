"""Every format that sheets can be written in: a new one is a module of its own and a row here.

Each module has `write(sheets, title, pieces)`, which returns what its files hold, one a sheet or
one for all. `pieces` draws all pieces side by side without page furniture, for formats that a
machine cuts by; only those ask for it.
"""

from __future__ import annotations

import importlib
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from patterns.errors import MendfoldError, SettingError

if TYPE_CHECKING:
    from patterns.model.drawing import Drawing
    from patterns.model.sheet import Sheet

Pieces = Callable[[], "Drawing"]


class Write(Protocol):
    """What writes one format; raises MendfoldError when it cannot be written here."""

    def __call__(
        self, sheets: Sequence[Sheet], title: str, pieces: Pieces, /
    ) -> Sequence[bytes]: ...


@dataclass(frozen=True, slots=True)
class Format:
    """One row: its name is that of its module, `file` that of each file, by its page or the only one."""

    name: str
    file: str
    dispensable: bool = False
    """Left out, and said so, where it cannot be made; any other is refused."""

    def writes(self, file: str) -> bool:
        """Tell whether a file of this name is one that this format writes."""
        before, page, after = self.file.partition("{:02d}")
        return bool(re.fullmatch(re.escape(before) + r"\d+" * bool(page) + re.escape(after), file))

    @property
    def write(self) -> Write:
        """What writes it, its module loaded only now."""
        found: Write = importlib.import_module(f"patterns.writers.{self.name}").write
        return found


FORMATS: Mapping[str, Format] = {
    one.name: one
    for one in (
        Format("svg", "sheet-{:02d}.svg"),
        Format("pdf", "sheets.pdf"),
        Format("dxf", "pattern.dxf"),
        Format("png", "sheet-{:02d}.png", dispensable=True),
    )
}
NAMES = tuple(FORMATS)


def chosen(text: str) -> tuple[str, ...]:
    """Return the formats named in `text`, commas between; SettingError says which there are.

    >>> chosen("SVG, pdf,svg")
    ('svg', 'pdf')
    """
    wanted = tuple(dict.fromkeys(part.strip().lower() for part in text.split(",") if part.strip()))
    unknown = [one for one in wanted if one not in FORMATS]
    if unknown or not wanted:
        raise SettingError.kind(
            "option",
            f"formats {text!r}: {', '.join(unknown) or 'nothing'} is not known; "
            f"allowed are {', '.join(NAMES)}",
        )
    return wanted


def format_of(file: str) -> str:
    """Return the format that writes a file of this name, or nothing.

    >>> format_of("sheet-07.png"), format_of("before.jpg")
    ('png', '')
    """
    return next((one.name for one in FORMATS.values() if one.writes(file)), "")


def write(
    formats: Iterable[str], sheets: Sequence[Sheet], title: str, pieces: Pieces
) -> tuple[dict[str, bytes], tuple[str, ...]]:
    """Return every file of the wanted formats by name, and a line for each that was left out.

    Raises MendfoldError for a format that cannot be written here and is not dispensable.
    """
    found: dict[str, bytes] = {}
    left_out: list[str] = []
    for one in FORMATS.values():
        if one.name not in formats:
            continue
        try:
            written = one.write(sheets, title, pieces)
        except MendfoldError as error:
            if not one.dispensable:
                raise
            left_out.append(f"{one.name.upper()} left out: {error}")
            continue
        found |= {one.file.format(page): data for page, data in enumerate(written, 1)}
    return found, tuple(left_out)
