"""The first page of a pattern: whose book, what it warns of, what is made, and where it lies."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from patterns.model.pattern import Pattern
from patterns.model.piece import Piece
from patterns.sheets.flow import BODY, Strips, barred, beside, gap, heading, paragraph, table
from patterns.sheets.page import Layout, Page
from patterns.sheets.text_pages import planned
from patterns.stock.printer import ACHIEVABLE, Correction
from patterns.units import mm

TWO_COLUMNS_MM = 150.0
"""A column from this width on takes two short tables side by side."""
ASIDE_MM = 10.0
BEGUN = 6
"""So many lines of two tables side by side are kept together before a page may end."""
MEASURE_MM = 185.0
"""Longest line of running words."""
NO_BREAK = "\u00a0"
PRINT_RULE = (
    "Print at actual size, 100 %, never fitted to the page. On every cutting page measure both "
    "bars before cutting: each must read 99.7 to 100.3 mm. If one does not, cut nothing: measure "
    "the printer with “mendfold printer test” and draft again with its name."
)


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the list of sheets: its page or pages, what they show, the pieces on them."""

    pages: str
    title: str
    pieces: tuple[str, ...] = ()


def overview_strips(
    pattern: Pattern, width: float, contents: Sequence[Entry], correction: Correction
) -> Strips:
    """Return the overview as strips of a column `width` mm wide."""
    contents = gathered(contents)
    return (
        *_opening(pattern, width),
        *_warnings(pattern, width),
        *_made(pattern, width, contents),
        *_found(pattern, width, contents),
        *_titled(
            "Materials", ("Material", "For"), (*pattern.materials, *adhesives(pattern)), width
        ),
        *_print_truth(width, correction),
        *_checks(pattern, width),
    )


def _opening(pattern: Pattern, width: float) -> Strips:
    made = ", ".join(part.title.lower() for part in pattern.parts)
    dated = f" Measured on {pattern.record_date}." if pattern.record_date else ""
    named = f"{pattern.book_id}, {pattern.book_title}" if pattern.book_title else pattern.book_id
    return paragraph(f"For {named}: {made}.{dated}", width, cap=BODY * 1.15)


def _warnings(pattern: Pattern, width: float) -> Strips:
    """Return the boxed words and warnings, all of them, in full."""
    boxes = [(text, True) for text in pattern.boxes]
    lines = boxes + [(text, False) for text in pattern.warnings]
    if not lines:
        return (*heading("Warnings", width), *paragraph("None for this book.", width))
    told = (
        strip
        for text, bold in lines
        for strip in (*barred(paragraph(text, min(width, MEASURE_MM) - 4.0, bold)), *gap(1.6))
    )
    return (*heading("Warnings", width), *told)


def _made(pattern: Pattern, width: float, contents: Sequence[Entry]) -> Strips:
    rows = [
        (
            piece.title or piece.name,
            cut_words(piece),
            str(piece.quantity),
            _stuff(piece),
            piece.grain.replace("-", "–"),
            ", ".join(entry.pages for entry in contents if piece.name in entry.pieces),
        )
        for part in pattern.parts
        for piece in part.pieces
    ]
    head = ("Piece", "Wide × high, mm", "Cut", "Material", "Grain", "Page")
    return _titled("What is made", head, rows, width)


def _found(pattern: Pattern, width: float, contents: Sequence[Entry]) -> Strips:
    """Return the list of sheets and the figures used, side by side where both have room."""
    half = (width - ASIDE_MM) / 2 if width >= TWO_COLUMNS_MM else width
    sheets = _titled(
        "Sheets", ("Page", "Shows"), [(one.pages, one.title) for one in contents], half
    )
    figures = _titled("Figures used", ("Figure", "Value"), pattern.measurements, half)
    if half == width or not sheets or not figures:
        return (*sheets, *figures)
    rows = beside((sheets, figures), (0.0, half + ASIDE_MM))
    return tuple(replace(row, keep=place < BEGUN) for place, row in enumerate(rows))


def gathered(contents: Sequence[Entry]) -> list[Entry]:
    """Return the list of sheets with those that belong together on one line.

    >>> one = Entry("4", "Lining, sheet 1 of 2", ("lining",))
    >>> two = Entry("5", "Lining, sheet 2 of 2", ("lining",))
    >>> gathered([one, two, Entry("6", "Steps")])[0]
    Entry(pages='4–5', title='Lining', pieces=('lining',))
    """
    lines: list[Entry] = []
    for title, group in groupby(
        contents, key=lambda one: one.title.rpartition(", sheet ")[0] or one.title
    ):
        entries = list(group)
        pages = entries[0].pages
        if len(entries) > 1:
            pages = f"{pages}–{entries[-1].pages}"
        names = dict.fromkeys(name for one in entries for name in one.pieces)
        lines.append(Entry(pages, title, tuple(names)))
    return lines


def size_words(piece: Piece) -> str:
    """Return a piece's cut size in mm, not to be parted at the end of a line."""
    return f"{mm(piece.width_mm, 1)}{NO_BREAK}×{NO_BREAK}{mm(piece.height_mm, 1)}"


def cut_words(piece: Piece) -> str:
    """Return a piece's size; where it is cut larger first, that size and the one to trim to."""
    if not piece.rough:
        return size_words(piece)
    first = f"{NO_BREAK}×{NO_BREAK}".join(mm(side, 1) for side in piece.first_cut_mm)
    return f"{first}, trim to {size_words(piece)}"


def _stuff(piece: Piece) -> str:
    if not piece.stock:
        return "the printed page itself"
    return f"{piece.material}, {mm(piece.thickness_mm)} mm"


def adhesives(pattern: Pattern) -> tuple[tuple[str, str], ...]:
    """Return every adhesive that a sheet asks for, with the pieces it is for."""
    found: dict[str, dict[str, None]] = {}
    for part in pattern.parts:
        for piece in part.pieces:
            for zone in piece.zones:
                if zone.adhesive:
                    found.setdefault(zone.adhesive, {})[piece.title or piece.name] = None
    return tuple((name, "; ".join(pieces)) for name, pieces in found.items())


def _print_truth(width: float, correction: Correction) -> Strips:
    return (
        *heading("Printing", width),
        *paragraph(PRINT_RULE, min(width, MEASURE_MM)),
        *gap(1.0),
        *paragraph(f"Printer correction in these sheets: {correction.words}.", width),
        *paragraph(f"What a checked sheet can reach: {ACHIEVABLE}.", width),
    )


def _checks(pattern: Pattern, width: float) -> Strips:
    rows = [
        (check.name, f"{check.value:.4g}{NO_BREAK}{check.unit}".strip(), check.against)
        for part in pattern.parts
        for check in part.checks
    ]
    return _titled("Checks", ("What", "Here", "Against"), rows, width)


def _titled(title: str, head: Sequence[str], rows: Sequence[Sequence[str]], width: float) -> Strips:
    """Return a headed table; nothing at all without rows."""
    return (*heading(title, width), *table(head, rows, width)) if rows else ()


def plan(layout: Layout, contents: Sequence[Entry] = ()) -> tuple[Page, ...]:
    """Set the overview on as many pages as it needs; `contents` lists all sheets."""
    return planned(
        layout,
        "Overview",
        "overview",
        lambda column: overview_strips(layout.pattern, column.width, contents, layout.correction),
    )
