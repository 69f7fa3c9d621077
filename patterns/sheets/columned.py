"""Words set in several columns, where they find no room in one: parted between their lines."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial

from patterns.model.drawing import Mark, Words
from patterns.sketch.marks import Block, moved, upright

GUTTER = 5.0
LINES = 0.7
"""Lines so near each other are of one paragraph, which stays whole."""
CAPTION = 1.5
"""So near above a drawing words belong to it."""


def parted(block: Block, height: float) -> list[Block]:
    """Return a block in parts of at most a height, cut only where no mark stands in the way.

    A part that cannot be cut stays higher.
    """
    return _parts(block.width, _rows(block), height)


def _parts(width: float, rows: Sequence[TextRow], height: float) -> list[Block]:
    parts: list[list[TextRow]] = []
    for row in rows:
        if parts and row.bottom - parts[-1][0].top <= height:
            parts[-1].append(row)
        else:
            parts.append([row])
    made = []
    for part in parts:
        top, bottom = part[0].top, part[-1].bottom
        marks = tuple(mark for row in part for mark in row.marks)
        made.append(Block(width, bottom - top, late=partial(moved, marks, 0.0, -top)))
    return made


def columned(block: Block, columns: Iterable[int]) -> Iterator[Block]:
    """Yield a block in so many columns of about one height, or more where that is not enough."""
    rows = _rows(block)
    for count in columns:
        parts = _parts(block.width, rows, block.height / count + 6.0)
        step = block.width + GUTTER
        placed = [(part, place * step, 0.0) for place, part in enumerate(parts)]
        wide = len(parts) * step - GUTTER
        yield Block(wide, max(part.height for part in parts), parts=placed)


@dataclass(slots=True)
class TextRow:
    """Marks that reach into each other, and from where to where they reach."""

    top: float
    bottom: float
    marks: list[Mark]


def _rows(block: Block) -> list[TextRow]:
    """Return the marks in rows that do not reach into each other, from the top.

    A drawing stays with the words just above it.
    """
    rows: list[TextRow] = []
    for (top, bottom), mark in sorted(((upright(mark), mark) for mark in block.marks), key=_top):
        keep = LINES if isinstance(mark, Words) else CAPTION
        if rows and top < rows[-1].bottom + keep:
            rows[-1].marks.append(mark)
            rows[-1].bottom = max(rows[-1].bottom, bottom)
        else:
            rows.append(TextRow(top, bottom, [mark]))
    return rows


def _top(pair: tuple[tuple[float, float], Mark]) -> float:
    return pair[0][0]
