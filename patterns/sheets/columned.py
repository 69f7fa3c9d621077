"""Words set in several columns, where they find no room in one: parted between their lines."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import partial

from patterns.model.drawing import Mark, Words
from patterns.sketch.marks import Block, Box, box_of, moved

GUTTER = 5.0
CAPTION = 1.5
"""So near above a drawing words belong to it."""


def parted(block: Block, height: float) -> list[Block]:
    """Return a block in parts of at most a height, cut only where no mark stands in the way.

    A part that cannot be cut stays higher.
    """
    return _parts(block.width, _rows(block), height)


def _parts(width: float, rows: Sequence[Row], height: float) -> list[Block]:
    parts: list[list[Row]] = []
    for row in rows:
        if parts and row[0].bottom - parts[-1][0][0].top <= height:
            parts[-1].append(row)
        else:
            parts.append([row])
    made = []
    for part in parts:
        top, bottom = part[0][0].top, part[-1][0].bottom
        marks = tuple(mark for _, each in part for mark in each)
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


Row = tuple[Box, list[Mark]]


def _rows(block: Block) -> list[Row]:
    """Return the marks in rows that do not reach into each other, from the top.

    A drawing stays with the words just above it.
    """
    rows: list[Row] = []
    for box, mark in sorted(((box_of(mark), mark) for mark in block.marks), key=_top):
        keep = -0.4 if isinstance(mark, Words) else CAPTION
        if rows and box.top < rows[-1][0].bottom + keep:
            last, marks = rows[-1]
            marks.append(mark)
            rows[-1] = (Box(last.left, last.top, last.right, max(last.bottom, box.bottom)), marks)
        else:
            rows.append((box, [mark]))
    return rows


def _top(pair: tuple[Box, Mark]) -> float:
    return pair[0].top
