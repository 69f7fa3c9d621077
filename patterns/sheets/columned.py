"""Words set in several columns, where they find no room in one: parted between their lines."""

from __future__ import annotations

from patterns.model.drawing import Mark, Words
from patterns.sketch.marks import Block, Box, box_of, moved

GUTTER = 5.0
LINES = 0.7
"""Lines so near each other are of one paragraph, which stays whole."""
CAPTION = 1.5
"""So near above a drawing words belong to it."""


def parted(block: Block, height: float) -> list[Block]:
    """Return a block in parts of at most a height, cut only where no mark stands in the way.

    A part that cannot be cut stays higher.
    """
    rows = _rows(block)
    parts: list[list[tuple[Box, list[Mark]]]] = []
    for row in rows:
        if parts and row[0].bottom - parts[-1][0][0].top <= height:
            parts[-1].append(row)
        else:
            parts.append([row])
    made = []
    for part in parts:
        top, bottom = part[0][0].top, part[-1][0].bottom
        marks = tuple(mark for _, each in part for mark in each)
        made.append(Block(block.width, bottom - top, moved(marks, 0.0, -top)))
    return made


def columned(block: Block, columns: int) -> Block:
    """Return a block in so many columns of about one height, or more where that is not enough."""
    parts = parted(block, block.height / columns + 6.0)
    step = block.width + GUTTER
    placed = [(part, place * step, 0.0) for place, part in enumerate(parts)]
    wide = len(parts) * step - GUTTER
    return Block(wide, max(part.height for part in parts), parts=placed)


def _rows(block: Block) -> list[tuple[Box, list[Mark]]]:
    """Return the marks in rows that do not reach into each other, from the top.

    A drawing stays with the words just above it.
    """
    rows: list[tuple[Box, list[Mark]]] = []
    for box, mark in sorted(((box_of(mark), mark) for mark in block.marks), key=_top):
        keep = LINES if isinstance(mark, Words) else CAPTION
        if rows and box.top < rows[-1][0].bottom + keep:
            last, marks = rows[-1]
            marks.append(mark)
            rows[-1] = (Box(last.left, last.top, last.right, max(last.bottom, box.bottom)), marks)
        else:
            rows.append((box, [mark]))
    return rows


def _top(pair: tuple[Box, Mark]) -> float:
    return pair[0].top
