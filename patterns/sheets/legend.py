"""The legend: a sample of each sign that a page uses, with its meaning."""

from __future__ import annotations

import math
from collections.abc import Collection
from functools import cache
from typing import Literal

from patterns.model.capitals import SMALL
from patterns.model.drawing import Circle, Line, LineKind, Mark, Words
from patterns.model.lettering import width_mm, wrap
from patterns.sketch.marks import LEADING, Block, Box, rectangle

Sign = LineKind | Literal["free"]

MEANINGS: dict[Sign, str] = {
    LineKind.CUT: "cut",
    LineKind.VALLEY: "valley fold, towards this face",
    LineKind.MOUNTAIN: "mountain fold, away from this face",
    LineKind.SLIT: "slit, or as the notes say",
    LineKind.HOLE: "new hole",
    LineKind.OLD_HOLE: "old hole: do not pierce",
    LineKind.PASTED: "pasted, this face",
    LineKind.UNDER: "pasted, under face",
    "free": "left free: white",
    LineKind.SEWN_OUTSIDE: "heavy = outside on the lining",
    LineKind.SEWN_INSIDE: "thin dashes = inside the fold",
    LineKind.OUTLINE: "outline of a part",
    LineKind.REFERENCE: "reference line",
    LineKind.MATCH: "match mark",
}
SAMPLE = 8.5
BEFORE_WORDS = 1.5
HEIGHT = 3.6
BASELINE = (HEIGHT + SMALL) / 2
"""Of the words, from the top."""


def items(signs: Collection[Sign], width: float = math.inf) -> tuple[Block, ...]:
    """Return one block a sign, in a fixed order, its words wrapped to a width in mm.

    Signs that explain themselves are left out.
    """
    return tuple(_item(sign, words, width) for sign, words in MEANINGS.items() if sign in signs)


@cache
def _item(sign: Sign, words: str, width: float) -> Block:
    start = SAMPLE + BEFORE_WORDS
    middle = HEIGHT / 2
    lines = wrap(words, SMALL, min(width - start, 1e3))
    marks = (
        *_sample(sign, middle),
        *(
            Words((start, BASELINE + i * SMALL * LEADING), line, SMALL)
            for i, line in enumerate(lines)
        ),
    )
    wide = max(width_mm(line, SMALL) for line in lines)
    return Block(start + wide, HEIGHT + (len(lines) - 1) * SMALL * LEADING, marks)


def _sample(sign: Sign, y: float) -> tuple[Mark, ...]:
    box = Box(0.0, y - 1.5, SAMPLE, y + 1.5)
    if sign == "free":
        return (rectangle(LineKind.REFERENCE, box),)
    if sign in (LineKind.HOLE, LineKind.OLD_HOLE):
        return (Circle(sign, (SAMPLE / 2, y), 1.0),)
    if sign is LineKind.PASTED:
        return tuple(
            Line(sign, ((x, box.bottom), (x + box.height, box.top)))
            for x in (i * 1.5 for i in range(int((SAMPLE - box.height) / 1.5) + 1))
        )
    if sign is LineKind.MATCH:
        x = SAMPLE / 2
        return (Line(sign, ((x - 1.5, y), (x, y - 1.5), (x + 1.5, y), (x, y + 1.5)), closed=True),)
    if sign is LineKind.SLIT:
        return (Line(sign, ((2.0, y), (SAMPLE - 2, y))),)
    if sign is LineKind.UNDER:
        return (rectangle(sign, box),)
    return (Line(sign, ((0.0, y), (SAMPLE, y))),)
