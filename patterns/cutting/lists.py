"""What stands beside a picture in words: its cuts in order, its pieces, its offcuts; long lists in columns."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from math import ceil

from patterns.cutting.cuts import LEVEL_MM, Left, lettered
from patterns.cutting.plan import CutSheet, LaidPiece
from patterns.sheets import flow
from patterns.sheets.flow import Strips
from patterns.units import tenth

Cells = list[str]
MOST_ROWS = 20
"""Rows of a column before its list goes on below, so that a column is never parted by a page."""
FEWEST_ROWS = 3
"""Fewer do not make a column of their own."""
BETWEEN_MM = 10.0
"""Between two columns of one list."""
TIGHTENED = 0.75
"""How much narrower than its longest cells a column may be: the longest then take two lines."""


def cut_rows(sheet: CutSheet) -> tuple[Cells, list[Cells]]:
    """Return the head and a row for every through cut: part, measure, what comes free.

    A part that was set aside carries the number of the cut that made it.
    """
    again = {cut.whole for cut in sheet.cuts}
    made = {half: number for number, cut in enumerate(sheet.cuts, 1) for half in cut.halves}
    rows = []
    for number, cut in enumerate(sheet.cuts, 1):
        before = made.get(cut.whole, number - 1)
        aside = "" if before == number - 1 else f" ({before})"
        edge = "left" if cut.lengthwise else "top"
        free = ", ".join(_name(sheet, half) for half in cut.halves if half not in again)
        whole = "the roll" if _beyond(sheet, cut.whole) else cut.whole.words
        part, measure = whole + aside, f"{edge} {tenth(cut.measure)}"
        rows.append([str(number), unbroken(part), unbroken(measure), free])
    return ["Cut", unbroken("Part in hand"), unbroken("From its"), "Comes free"], rows


def _name(sheet: CutSheet, half: Left) -> str:
    """Name what no later cut goes through."""
    for number, piece in enumerate(sheet.pieces, 1):
        if piece.box.same(half):
            return f"piece {number}"
    for letter, left in lettered(sheet.offcuts):
        if left.same(half):
            return f"offcut {letter}"
    return "rest of roll" if _beyond(sheet, half) else "waste"


def _beyond(sheet: CutSheet, part: Left) -> bool:
    """Tell whether a part reaches beyond what is cut off, as only the roll itself does."""
    return part.along + part.length > sheet.length_mm + LEVEL_MM


def unbroken(text: str) -> str:
    """Return words that stay on one line."""
    return text.replace(" ", "\N{NO-BREAK SPACE}")


def place_rows(sheet: CutSheet) -> tuple[Cells, list[Cells]]:
    """Return the head and a row for every piece that is cut out by itself: where each side lies."""
    rows = []
    for number, piece in enumerate(sheet.pieces, 1):
        box = piece.box
        across = f"{tenth(box.across)} to {tenth(box.across + box.width)}"
        along = f"{tenth(box.along)} to {tenth(box.along + box.length)}"
        name = named(piece) + _by_hand(piece)
        rows.append([str(number), name, unbroken(across), unbroken(along), unbroken(box.words)])
    return ["Piece", "What it is", "From the left edge", "From the top edge", "Size"], rows


def _by_hand(piece: LaidPiece) -> str:
    if not piece.by_hand:
        return ""
    return f", BY HAND{f', turned {piece.turned_deg}°' if piece.turned_deg else ''}"


def hand_cut(sheet: CutSheet) -> str:
    """Say which pieces no straight cut frees; nothing where there are none."""
    numbers = [str(n) for n, piece in enumerate(sheet.pieces, 1) if piece.by_hand]
    if not numbers:
        return ""
    return (
        f"BY HAND, after all others: {', '.join(numbers)}. Each lies by its own outline in what the others "
        "leave. Lay its full-size sheet with its edges on the measures told, turned as drawn, and cut along the outline."
    )


def piece_rows(sheet: CutSheet) -> tuple[Cells, list[Cells]]:
    """Return the head and a row for pieces alike that follow each other: what, and size as it lies."""
    told = [(named(piece), unbroken(piece.box.words)) for piece in sheet.pieces]
    rows, first = [], 1
    for (name, size), alike in groupby(told):
        last = first + len(list(alike)) - 1
        rows.append([str(first) if first == last else f"{first}–{last}", name, size])
        first = last + 1
    return ["Piece", "What it is", "Size"], rows


def named(piece: LaidPiece) -> str:
    """Name a piece by its book."""
    return f"{book(piece.pattern)}, {piece.name}"


def book(pattern: str) -> str:
    """Return the book's id, of which a pattern's name begins.

    >>> book("atlas-spine_lining+loss_infill")
    'atlas'
    """
    return pattern.rpartition("-")[0] or pattern


def kept(sheet: CutSheet) -> str:
    """Say which offcuts are worth keeping."""
    if not sheet.offcuts:
        return "No offcut is worth keeping."
    sizes = "; ".join(unbroken(f"{letter} {one.words}") for letter, one in lettered(sheet.offcuts))
    return f"Offcuts to keep, width × length as drawn, in mm: {sizes}. Write the grain on each."


def columns(head: Cells, rows: Sequence[Cells], width: float) -> Strips:
    """Return a list set in as many columns as the width takes, in blocks read down each column."""
    wide = flow.table_width([head, *rows])
    fitting = int((width + BETWEEN_MM) / (TIGHTENED * wide + BETWEEN_MM))
    count = max(1, min(fitting, len(rows) // FEWEST_ROWS))
    if count == 1:
        return flow.table(head, rows, width)
    each = (width + BETWEEN_MM) / count
    strips: list[flow.Strip] = []
    for block in _parted(rows, count * MOST_ROWS):
        parts = [
            flow.table(head, part, each - BETWEEN_MM)
            for part in _parted(block, ceil(len(block) / count))
        ]
        strips += flow.beside(parts, [each * place for place in range(len(parts))])
        strips += flow.gap(1.0)
    return tuple(strips)


def _parted(rows: Sequence[Cells], most: int) -> list[Sequence[Cells]]:
    return [rows[start : start + most] for start in range(0, len(rows), most)]
