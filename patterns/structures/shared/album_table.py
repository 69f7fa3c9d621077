"""The tables of an album's plan: how wide every part of a section is cut, and what each section holds."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise

from patterns.model.capitals import BODY
from patterns.model.drawing import Line, LineKind, Mark, Words
from patterns.model.lettering import width_mm, wrap
from patterns.model.part import Diagram
from patterns.structures.shared.album_view import WIDTH_MM, ListedSection, Parts, kinds, runs
from patterns.structures.shared.album_widths import SHORT_MM, Cut, Widths
from patterns.units import mm, tenth

LINE_MM = 4.6
LINES = 38
"""Of a table on one page."""
LIST_ROWS = 40
SECTIONS_MM, PLACE_MM, GUARD_MM = 44.0, 18.0, 24.0
NBSP = "\u00a0"
_Row = tuple[str, str, str, str]


def tables(
    structure: str, listed: Sequence[ListedSection], parts: Parts, widths: Widths
) -> Iterator[Diagram]:
    """Yield the table of widths by section and place, then the list of sections."""
    rows = [row for same in kinds(listed, widths) for row in _rows(same, parts, widths)]
    pages = [rows[at : at + LINES] for at in range(0, len(rows), LINES)]
    for number, page in enumerate(pages, 1):
        yield _widths(structure, page, parts, f", part {number}" if len(pages) > 1 else "")
    for at in range(0, len(listed), LIST_ROWS):
        yield _list(structure, listed[at : at + LIST_ROWS], parts)


def written(cuts: Sequence[Cut]) -> str:
    """Write widths in their order, neighbours alike together.

    >>> written([Cut("A", 42.8), Cut("A", 42.8), Cut("B", 41.9)]).replace(NBSP, " ")
    '2 × A 42.8 · B 41.9'
    """
    found = []
    for cut, same in groupby(cuts):
        count = len(list(same))
        many = f"{count}{NBSP}×{NBSP}" if count > 1 else ""
        found.append(f"{many}{cut.letter}{NBSP}{tenth(cut.width_mm)}")
    return " · ".join(found)


def _rows(same: Sequence[ListedSection], parts: Parts, widths: Widths) -> Iterator[_Row]:
    """Yield the rows of one kind of section: a guard each, then its single strips."""
    first = same[0]
    section = first.nest.number - 1
    guards, strips = widths.guards[section], widths.strips[section]
    names = wrap(runs([one.nest.number for one in same]), BODY, SECTIONS_MM - 4.0)
    room = WIDTH_MM - SECTIONS_MM - PLACE_MM - (0.0 if parts.folios else GUARD_MM) - 2.0
    lines: list[tuple[str, str, str]] = []
    for q, laid in enumerate(strips):
        told = wrap(written(laid), BODY, room) or ["none"]
        guard = "" if parts.folios else f"{guards[q].letter}{NBSP}{tenth(guards[q].width_mm)}"
        lines.append((str(q + 1), guard, told[0]))
        lines += [("", "", line) for line in told[1:]]
    if single := first.nest.single:
        beside = ", all beside its leaf" if first.nest.bare and single > 1 else ""
        width = tenth(parts.stub_mm - SHORT_MM)
        lines.append(("", "", f"{single}{NBSP}× single {width}, at the centre{beside}"))
    lines += [("", "", "")] * (len(names) - len(lines))
    for number, line in enumerate(lines):
        yield (names[number] if number < len(names) else "", *line)


def _widths(structure: str, rows: Sequence[_Row], parts: Parts, which: str) -> Diagram:
    carrier = "folio" if parts.folios else "guard"
    stops = [0.0, SECTIONS_MM, SECTIONS_MM + PLACE_MM]
    stops.append(stops[-1] + (0.0 if parts.folios else GUARD_MM))
    guard = "" if parts.folios else "guard, mm"
    heads = ("sections", carrier, guard, "strips inside it, from the outside, mm")
    marks = [*_left(4.0, stops, heads, bold=True), _rule(5.5, WIDTH_MM)]
    y = 10.0
    for row in rows:
        if row[0] and y > 10.0:
            marks.append(_rule(y - 3.6, WIDTH_MM))
        marks += _left(y, stops, row)
        y += LINE_MM
    return Diagram(
        name=f"widths{which}",
        structure=structure,
        title=f"Widths by section and place{which}",
        scale="a table",
        width_mm=WIDTH_MM,
        height_mm=y - 2.0,
        marks=tuple(marks),
        notes=(
            "Parts of one letter are cut alike; pencil the letter on each. "
            f"{carrier.capitalize()} 1 is the outermost.",
        ),
    )


def _rule(y: float, width: float) -> Line:
    return Line(LineKind.REFERENCE, ((0.0, y), (width, y)))


def _left(y: float, stops: Sequence[float], cells: Sequence[str], bold: bool = False) -> list[Mark]:
    return [Words((x, y), text, BODY, bold) for x, text in zip(stops, cells, strict=True) if text]


def _list(structure: str, page: Sequence[ListedSection], parts: Parts) -> Diagram:
    most = max(one.nest.guards for one in page)
    stops = [0.0, 16.0, 38.0, *(38.0 + 7.0 * (q + 1) for q in range(most))]
    stops += [stops[-1] + step for step in (15.0, 35.0, 57.0, 78.0)]
    carrier = "folios" if parts.folios else "guards"
    heads = ["single", "folds mm", "leaves mm", "ahead"]
    marks: list[Mark] = [
        Words((stops[2] + 1, 4.0), f"strips inside {carrier}", BODY, bold=True),
        *_row(9.0, stops, ["section", "leaves", *map(str, range(1, most + 1)), *heads], bold=True),
    ]
    wide = max(stops[-1], stops[2] + 2 + width_mm(f"strips inside {carrier}", BODY, bold=True))
    marks.append(_rule(10.5, wide))
    y = 14.5
    for one in page:
        marks += _row(y, stops, _cells(one, most))
        y += LINE_MM
    numbers = runs([one.nest.number for one in page])
    return Diagram(
        name=f"section list, {numbers}",
        structure=structure,
        title=f"Section list, {numbers}",
        scale="a table",
        width_mm=wide + 2,
        height_mm=y,
        marks=tuple(marks),
        notes=(
            f"Strips lie inside their {carrier[:-1]} and outside the next. By calipers, lightly pressed: “folds” is the "
            "section at its folds, “leaves” over its leaves and contents; “ahead” is how much the leaves are thicker than "
            "the spine (−: thinner) at the end of that section, all sections before it counted.",
        ),
    )


def _cells(one: ListedSection, most: int) -> list[str]:
    nest = one.nest
    strips = [*map(str, nest.strips), *[""] * (most - nest.guards)]
    ahead_mm = nest.differences_mm[-1]
    ahead = mm(ahead_mm)
    if ahead_mm > 0 and ahead != mm(0.0):
        ahead = f"+{ahead}"
    leaves = f"{one.first}–{one.last}" if one.last > one.first else str(one.first)
    figures = [mm(one.spine_mm), mm(one.leaves_mm), ahead.replace("-", "−")]
    return [str(nest.number), leaves, *strips, str(nest.single or "–"), *figures]


def _row(y: float, stops: Sequence[float], cells: Sequence[str], bold: bool = False) -> list[Mark]:
    return [
        Words(((a + b) / 2, y), text, BODY, bold, "middle")
        for (a, b), text in zip(pairwise(stops), cells, strict=True)
        if text
    ]
