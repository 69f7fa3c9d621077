"""Everything mendfold refuses, and the one way it says so.

Every refusal is one plain line: where it was found, what was found, what is allowed, and what
to do next. The command line catches `MendfoldError` once, prints the line and ends with status 1.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable

__all__ = [
    "GalleryError",
    "MaterialError",
    "MendfoldError",
    "PaperError",
    "PlacementError",
    "PrinterError",
    "RecordError",
    "SettingError",
    "TemplateError",
    "Unsuitable",
    "WriteError",
    "nearest",
    "plain",
]


class MendfoldError(Exception):
    """Root of every refusal; its text is one plain line."""

    def __init__(self, line: str) -> None:
        super().__init__(plain(line))


class RecordError(MendfoldError):
    """A record, or one field of it, cannot be used."""


class SettingError(MendfoldError):
    """An option or a `--set` value cannot be used."""


class MaterialError(MendfoldError):
    """A material is unknown, or its figures cannot be used."""


class TemplateError(MendfoldError):
    """A template and its module do not agree."""


class PlacementError(MendfoldError):
    """Stitches cannot be placed on the fold."""


class Unsuitable(MendfoldError):
    """This structure does not suit this book; the line says what would."""


class PaperError(MendfoldError):
    """A sheet size is unknown or too small."""


class PrinterError(MendfoldError):
    """A printer's readings or profile cannot be used."""


class GalleryError(MendfoldError):
    """A gallery, or one pattern in it, cannot be used."""


class WriteError(MendfoldError):
    """Something could not be written whole, so nothing was."""


LONGEST_WORD = 240


def plain(text: str) -> str:
    """Return `text` as one printable line: line breaks become spaces, control marks are dropped.

    A word longer than any that is read keeps its two ends.

    >>> plain("a\\nb\\x1b[31m")
    'a b[31m'
    """
    words = [
        word if len(word) <= LONGEST_WORD else f"{word[:60]}…{word[-60:]}" for word in text.split()
    ]
    return "".join(mark for mark in " ".join(words) if unicodedata.category(mark)[0] != "C")


def nearest(word: str, known: Iterable[str], most: int = 3) -> list[str]:
    """Return the known names closest to `word`, nearest first; may be empty.

    >>> nearest("heigth", ["height", "width", "weight"])[0]
    'height'
    """
    from difflib import get_close_matches  # only refusals need it

    return get_close_matches(word, list(known), n=most, cutoff=0.5)
