"""Cautions on the sheets: the sign, its few words beside a step, and all of them once in full."""

from __future__ import annotations

from collections.abc import Sequence

from patterns.model.capitals import BODY
from patterns.model.drawing import Line, LineKind, Mark
from patterns.sheets.flow import (
    BASE,
    LEAD,
    Strip,
    Strips,
    beside,
    gap,
    heading,
    paragraph,
    together,
)
from patterns.stock import cautions

SIGN_MM = 4.6
"""Side of the triangle."""
ROOM_MM = 6.4
"""Room for the sign before its words."""


def sign() -> tuple[Mark, ...]:
    """Return an upright triangle with a stroke and a dot, as high as a line of words."""
    low, middle = BODY * BASE + 0.5, SIGN_MM / 2
    high = low - SIGN_MM * 0.866
    return (
        Line(LineKind.OUTLINE, ((0.0, low), (middle, high), (SIGN_MM, low)), closed=True),
        Line(LineKind.BAR, ((middle, high + 1.3), (middle, low - 1.3))),
        Line(LineKind.BAR, ((middle, low - 0.75), (middle, low - 0.5))),
    )


def few_words(keys: Sequence[str], width: float) -> Strips:
    """Return each caution as its sign and its few words, wrapped to a width."""
    return tuple(
        strip
        for key in keys
        for strip in _signed(paragraph(cautions.find(key).few, width - ROOM_MM))
    )


def in_full(keys: Sequence[str], width: float) -> Strips:
    """Return every caution once in full under its sign, then the rules of the place once."""
    if not keys:
        return ()
    told = [cautions.find(key) for key in dict.fromkeys(keys)]
    strips: list[Strip] = []
    for one in told:
        strips += together(_signed(paragraph(one.words, width - ROOM_MM)))
        strips += gap(0.8)
    ending = paragraph(told[0].ending, width - ROOM_MM, bold=True)
    return (*heading("Cautions", width), *strips, *beside((ending,), (ROOM_MM,)))


def _signed(words: Strips) -> Strips:
    return beside(((Strip(BODY * LEAD, sign()),), words), (0.0, ROOM_MM))
