"""The one typeface of every sheet: where its files are, what it can write, how wide words are.

The widths are those of the files that the PDF embeds, so a sheet is laid out alike on a machine
with other typefaces or with none. No kerning is applied, neither here nor in the PDF.
"""

from __future__ import annotations

import re
import unicodedata
from bisect import bisect_right
from collections.abc import Sequence
from functools import cache, lru_cache
from itertools import accumulate
from pathlib import Path
from typing import NamedTuple

from reportlab.pdfbase.ttfonts import TTFError, TTFont

from patterns.errors import MendfoldError, Problem
from patterns.model.drawing import CAP_HEIGHT_EM

FAMILY = "Source Sans Pro"


@cache
def font_path(bold: bool) -> Path:
    """Return the TrueType file of the regular or the bold face.

    Raises MendfoldError when the package that brings the typeface is not installed.
    """
    try:
        from font_source_sans_pro import font_files_ttf
    except ImportError:
        raise _absent("is not installed") from None
    return Path(font_files_ttf["SourceSansProBold" if bold else "SourceSansPro"])


@cache
def face(bold: bool) -> TTFont:
    """Return the face, read once; the PDF embeds this same object."""
    path = font_path(bold)
    try:
        return TTFont(path.stem, str(path), asciiReadable=False)
    except (OSError, TTFError):
        raise _absent(f"cannot be read at {path}") from None


def size_mm(cap_mm: float) -> float:
    """Return the type size in mm at which a capital is `cap_mm` high."""
    return cap_mm / CAP_HEIGHT_EM


def width_mm(text: str, cap_mm: float, bold: bool = False) -> float:
    """Return the width in mm of one line of words whose capitals are `cap_mm` high.

    Raises MendfoldError for characters that the typeface lacks.
    """
    return _advance(text, bold) * size_mm(cap_mm) / 1000


def check_glyphs(text: str) -> None:
    """Raise MendfoldError naming every character of `text` that the typeface lacks."""
    known, marks = _advances(False).keys(), dict.fromkeys(composed(text))
    if not known >= marks.keys():
        missing = [mark for mark in marks if mark not in known]
        names = ", ".join(
            f"{mark} (U+{ord(mark):04X} {unicodedata.name(mark, 'unnamed').lower()})"
            for mark in missing
        )
        found = f'"{text}": the typeface of the sheets has no {names}'
        allowed = "Latin, Greek and Cyrillic letters, figures and common signs"
        problem = Problem("", f"is {found}", allowed, "write it in those", "content")
        raise MendfoldError(f"{found}; allowed are {allowed}; write it in those", [problem])


def composed(text: str) -> str:
    """Return `text` with each letter and its accents as one character where there is one (NFC).

    >>> len(composed("e\\u0301"))
    1
    """
    return text if text.isascii() else unicodedata.normalize("NFC", text)


@lru_cache(maxsize=10_000)
def wrap(text: str, cap_mm: float, width_mm: float, bold: bool = False) -> tuple[str, ...]:
    """Break `text` into lines no wider than `width_mm`, at spaces where it can.

    A line break in the text is kept, a no-break space does not break, nor does a figure part from
    its unit or one side of a piece from the other while both fit a line. A word wider than the
    line is broken after a hyphen, else between two letters. Raises MendfoldError for characters that the
    typeface lacks.
    """
    space, limit = _advance(" ", bold), width_mm * 1000 / size_mm(cap_mm)
    lines: list[str] = []
    for paragraph in composed(text).split("\n"):
        words, ends, _ = _pieces(paragraph, bold, limit)
        start, before = 0, 0.0
        while start < len(words):
            end = max(bisect_right(ends, before + limit), start + 1)
            lines.append(" ".join(words[start:end]))
            start, before = end, ends[end - 1] + space
    return tuple(lines)


class _Row(NamedTuple):
    """Words of one line, where each ends, and how wide the widest is, in thousandths of the type size."""

    words: list[str]
    ends: list[float]
    widest: float


def _row(words: Sequence[tuple[str, float]], bold: bool) -> _Row:
    """Return words, given with their widths, on one line."""
    space, widths = _advance(" ", bold), [advance for _, advance in words]
    ends = [*accumulate(widths, lambda end, advance: end + space + advance)]
    return _Row([word for word, _ in words], ends, max(widths, default=0.0))


def _pieces(paragraph: str, bold: bool, limit: float) -> _Row:
    """Return the words of `paragraph` on one line, cut where wider than `limit`."""
    bound = _bound(paragraph, bold)
    if bound.widest <= limit:
        return bound
    pieces = [
        (piece, _advance(piece, bold))
        for word, advance in _words(paragraph, bold)
        for piece in (_parted(word, bold, limit) if advance > limit else [word])
    ]
    return _row(pieces, bold)


@lru_cache(maxsize=10_000)
def _words(paragraph: str, bold: bool) -> list[tuple[str, float]]:
    """Return the words of `paragraph` with their widths in thousandths of the type size."""
    try:
        return [(word, _advance(word, bold)) for word in paragraph.split(" ") if word]
    except MendfoldError:
        check_glyphs(paragraph)  # names the whole paragraph
        raise


UNIT = re.compile(r"(mm|mN|kg|N|m|%|g/m²)\W*")
"""What stands behind a figure and belongs to it, with what stands behind that."""


@lru_cache(maxsize=10_000)
def _bound(paragraph: str, bold: bool) -> _Row:
    """Return the words of `paragraph` on one line, figures and their units as one."""
    made: list[tuple[str, float]] = []
    for word, advance in _words(paragraph, bold):
        before = made[-1][0] if made else ""
        figure = before[-1:].isdigit() and (word == "×" or UNIT.fullmatch(word) is not None)
        if figure or (before.endswith(" ×") and word[:1].isdigit()):
            made[-1] = f"{before} {word}", made[-1][1] + _advance(" ", bold) + advance
        else:
            made.append((word, advance))
    return _row(made, bold)


def _parted(word: str, bold: bool, limit: float) -> list[str]:
    """Return a word in parts no wider than `limit`, each of one letter at least, cut after a hyphen if it can."""
    widths, parts, start, used = _advances(bold), [], 0, 0.0
    for index, mark in enumerate(word):
        while used + widths[mark] > limit and index > start:
            cut = word.rfind("-", start, index) + 1 or index
            parts.append(word[start:cut])
            start, used = cut, sum(widths[kept] for kept in word[cut:index])
        used += widths[mark]
    return [*parts, word[start:]]


@lru_cache(maxsize=10_000)
def _advance(text: str, bold: bool) -> float:
    """Return the width of one line in thousandths of the type size."""
    widths = _advances(bold)
    try:
        return sum([widths[mark] for mark in composed(text)])
    except KeyError:
        check_glyphs(text)
        raise


@cache
def _advances(bold: bool) -> dict[str, float]:
    """Return the width of each character in thousandths of the type size.

    Signs that steer and do not show (soft hyphen, byte order mark) are not among them.
    """
    widths = face(bold).face.charWidths
    known = zip(map(chr, widths), widths.values(), strict=True)
    return {mark: width for mark, width in known if unicodedata.category(mark) != "Cf"}


def _absent(what: str) -> MendfoldError:
    line = f"the typeface {FAMILY} {what}; the sheets are measured and written with it"
    return MendfoldError.kind("no typeface", line)
