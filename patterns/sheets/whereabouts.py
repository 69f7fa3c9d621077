"""On which pages things stand, and words that name such a page before the pages have their numbers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from patterns.model.drawing import Mark, Words

Displayed = tuple[str, str]
"""A piece or a drawing: its structure and its name."""
ELSEWHERE = "pages\u00a0888–888"
"""Stands in words for the pages of what they are said of, until the pages have their numbers."""


LIKEWISE = "pages\u00a0777–777"
"""Stands for the pages where it is said what is true of another piece, too."""


def where(pages: Iterable[Sequence[Displayed]], first: int = 1) -> dict[Displayed, list[int]]:
    """Return on which pages each thing stands, by what stands on each of them.

    >>> slip, gauge = ("slot", "slip"), ("slot", "gauge")
    >>> where([[slip], [slip, gauge], [], [slip]], first=6)
    {('slot', 'slip'): [6, 7, 9], ('slot', 'gauge'): [7]}
    """
    found: dict[Displayed, list[int]] = {}
    for number, names in enumerate(pages, first):
        for name in names:
            found.setdefault(name, []).append(number)
    return found


def runs(numbers: Iterable[int]) -> str:
    """Write page numbers, those that follow each other as the first and the last.

    >>> runs([4, 6, 5, 9])
    '4–6, 9'
    """
    parts: list[list[int]] = []
    for number in sorted(set(numbers)):
        if parts and number == parts[-1][-1] + 1:
            parts[-1].append(number)
        else:
            parts.append([number])
    return ", ".join(f"{one[0]}–{one[-1]}" if len(one) > 1 else f"{one[0]}" for one in parts)


def page_words(pages: str) -> str:
    """Name pages in running words.

    >>> page_words("6"), page_words("6–7")
    ('page 6', 'pages 6–7')
    """
    several = "–" in pages or "," in pages
    return f"pages {pages}" if several else f"page {pages}"


def waiting(marks: Iterable[Mark]) -> list[str]:
    """Return what each of the words that wait for a page waits by, in order."""
    words = [mark.text for mark in marks if isinstance(mark, Words)]
    return [sign for text in words for sign in (ELSEWHERE, LIKEWISE) if sign in text]


def told(marks: Iterable[Mark], pages: Sequence[str]) -> Iterator[Mark]:
    """Yield marks, the next of some pages in each of the words that wait for one.

    Empty words stand for the very page: then none is named, nor the brackets round it.
    """
    left = iter(pages)
    for mark in marks:
        if not isinstance(mark, Words):
            yield mark
            continue
        for sign in (ELSEWHERE, LIKEWISE):
            if sign in mark.text:
                found = next(left)
                named = mark.text.replace(sign, page_words(found)) if found else ""
                mark = replace(mark, text=named or mark.text.replace(f"({sign})", "").rstrip())
        if mark.text:
            yield mark
