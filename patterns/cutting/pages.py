"""The plan on paper: what it comes to, then each rectangle of stock with its cuts in order."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal

import patterns
from patterns.cutting.cuts import StockCut
from patterns.cutting.plan import CutSheet, LaidPiece, Plan, area_of
from patterns.model.capitals import BODY, SMALL
from patterns.model.drawing import Area, Drawing, Line, LineKind, Mark, Words
from patterns.model.lettering import width_mm
from patterns.model.sheet import Sheet as Page
from patterns.sheets import flow
from patterns.sheets.flow import Strip, Strips
from patterns.sheets.furniture import Heading, frame
from patterns.sketch.arrows import grain
from patterns.sketch.marks import Box, box_of, corners, moved
from patterns.sketch.scales import Scale, largest
from patterns.stock import cautions
from patterns.stock.paper import Paper
from patterns.units import tenth, trimmed

FIGURE_MM = 90.0
"""Height of a stock's picture, so that two stand on a page."""
LEFT_SHARE = 0.42
"""What a picture takes of the width where its cuts stand beside it."""
ROLL_PAGE_MM = 297.0
HOW: dict[Literal["through", "free"], str] = {
    "through": "Every cut runs through the part in hand, in the order of the numbers; “left 69.0” is "
    "measured from that part's own left edge as it is drawn and cut from top to bottom, “top 69.0” from its top edge "
    "and cut from side to side, in mm. The sheets of the pattern say how a piece that is "
    "no rectangle is cut out of its own.",
    "free": "Each piece is cut out by itself, in the order of the numbers, with knife and straight edge; its "
    "place is measured from the left and the top edge of the stock.",
}


def pages(plan: Plan, paper: Paper, titles: Sequence[str]) -> tuple[Page, ...]:
    """Return the pages of a plan; `titles` names the patterns it is for."""
    width, height = paper.width_mm, ROLL_PAGE_MM if paper.roll else paper.height_mm
    box = frame(_heading(plan, paper, titles, 1, 1), width, height, bars=False).box
    strips = (*_summary(plan, box.width), *_every(plan, box))
    columns = flow.pour(strips, box.height)
    made = []
    for number, marks in enumerate(columns, 1):
        dressed = frame(
            _heading(plan, paper, titles, number, len(columns)), width, height, bars=False
        )
        inner = dressed.box
        drawing = Drawing(width, height, (*dressed.marks, *moved(marks, inner.left, inner.top)))
        made.append(Page(f"cutting plan, page {number}", "cutting", drawing))
    return tuple(made)


def _heading(plan: Plan, paper: Paper, titles: Sequence[str], page: int, count: int) -> Heading:
    return Heading(
        title="Cutting plan",
        subtitle="",
        book_id=titles[0] if len(titles) == 1 else f"{len(titles)} patterns",
        book_title="",
        fields=(
            ("Cut", "through" if plan.wish.cuts == "through" else "free, each piece by itself"),
            ("Gap", f"{trimmed(plan.wish.gap)} mm"),
            ("Kept off the edges", f"{trimmed(plan.wish.margin)} mm"),
        ),
        page=page,
        pages=count,
        paper=paper.name,
        scale="scales as printed",
        correction="none",
        record_date="",
        version=patterns.__version__,
    )


def _summary(plan: Plan, width: float) -> Strips:
    """Return what the plan comes to, what is to be bought, and how it is cut."""
    pieces = sum(len(one.pieces) for one in plan.sheets)
    strips = [
        *flow.paragraph(
            f"{pieces} pieces on {_counted(len(plan.sheets), 'piece')} of stock; "
            f"{100 * plan.waste_share:.1f} % of what is cut into becomes neither a piece nor an offcut.",
            width,
        ),
        *flow.gap(BODY),
    ]
    rows = [
        [
            name,
            _counted(len(own), "piece"),
            str(plan.bounds.get(name, len(own))),
            str(sum(len(one.pieces) for one in own)),
            f"{sum(one.area for one in own) / 100:.0f} cm²",
            f"{sum(area_of(each.outline) for one in own for each in one.pieces) / 100:.0f} cm²",
        ]
        for name, own in _by_material(plan.sheets)
    ]
    if rows:
        heads = [
            "Material",
            "Stock cut into",
            "Fewest by area",
            "Pieces",
            "Its area",
            "Of that pieces",
        ]
        strips += [*flow.heading("What is used", width), *flow.table(heads, rows, width)]
    if plan.shopping:
        bought = [[one.material, one.size, one.count, one.why] for one in plan.shopping]
        strips += flow.heading("To buy", width)
        strips += flow.table(["Material", "Size", "Count", "Why"], bought, width)
    if plan.unplaced:
        words = "; ".join(f"{book(one.pattern)}, {one.name}: {one.count}" for one in plan.unplaced)
        strips += flow.barred(
            flow.paragraph(f"Not on this plan, until stock is there: {words}.", width - 4)
        )
    if plan.by_hand:
        words = "; ".join(f"{book(one.pattern)}, {one.name}" for one in plan.by_hand)
        strips += flow.paragraph(f"Leather, laid out by hand on the skin: {words}.", width)
    strips += flow.heading("How to cut", width)
    strips += flow.paragraph(HOW[plan.wish.cuts], width)
    strips += flow.paragraph(
        "Mark the left and the top edge on the stock before the first cut. The arrow is the grain, of cloth "
        "the warp, of leather the backbone. Measure a piece on its own full-size sheet before it is used.",
        width,
    )
    strips += flow.barred(flow.paragraph(cautions.text("knife"), width - 4))
    return tuple(strips)


def _counted(count: int, word: str) -> str:
    return f"{count} {word}{'' if count == 1 else 's'}"


def _by_material(sheets: Sequence[CutSheet]) -> Iterator[tuple[str, list[CutSheet]]]:
    for name in dict.fromkeys(one.stock.material for one in sheets):
        yield name, [one for one in sheets if one.stock.material == name]


def _every(plan: Plan, box: Box) -> Iterator[Strip]:
    for number, sheet in enumerate(plan.sheets, 1):
        yield from _sheet(plan, sheet, number, box)


def _sheet(plan: Plan, sheet: CutSheet, number: int, box: Box) -> Strips:
    """Return one rectangle of stock: its picture, its pieces, its cuts beside it where they fit."""
    stock, length = sheet.stock, sheet.length_mm
    tall = length > stock.width_mm * 0.6
    left = box.width * (LEFT_SHARE if tall else 1.0) - 12
    scale = largest([(stock.width_mm, left), (length, FIGURE_MM)]) or Scale(1, 100)
    source = f", from {stock.source}" if stock.source else ""
    title = f"{number}. {stock.material}: {stock.words}{source}"
    if stock.form == "roll":
        title = f"{number}. {stock.material}: {tenth(length)} mm off the {stock.words}"
    figure = Strip(length * scale.factor + 6, _picture(sheet, scale))
    head, *rows = _through(sheet) if plan.wish.cuts == "through" else _free(sheet)
    told = (
        *flow.paragraph(f"Scale {scale}. {_key(sheet)}", box.width, cap=SMALL),
        *flow.gap(1.0),
        *flow.paragraph(_left(sheet), box.width),
    )
    right = box.width * LEFT_SHARE
    beside = flow.table(head, rows, box.width - right)
    if tall and sum(strip.height_mm for strip in beside) <= box.height - 60:
        table = flow.solid(beside, box.width - right)
        both = Strip(
            max(figure.height_mm, table.height), (*figure.marks, *moved(table.marks, right, 0.0))
        )
        return flow.together((*flow.heading(title, box.width), both, *told))
    return (
        *flow.together((*flow.heading(title, box.width), figure, *told)),
        *flow.table(head, rows, box.width),
    )


def _key(sheet: CutSheet) -> str:
    return "; ".join(
        f"{number}: {book(one.pattern)}, {one.name}{', turned' if one.turned_deg else ''}"
        for number, one in enumerate(sheet.pieces, 1)
    )


def book(pattern: str) -> str:
    """Return the book's id, of which a pattern's name begins.

    >>> book("atlas-spine_lining+loss_infill")
    'atlas'
    """
    return pattern.rpartition("-")[0] or pattern


def _left(sheet: CutSheet) -> str:
    if not sheet.offcuts:
        return "No offcut is worth keeping."
    sizes = ", ".join(f"{tenth(one.width)} × {tenth(one.length)}" for one in sheet.offcuts)
    return f"Keep, and write the grain on it: {sizes} mm."


def _through(sheet: CutSheet) -> list[list[str]]:
    rows = [["Cut", "Part in hand", "From its", "Frees"]]
    for number, cut in enumerate(sheet.cuts, 1):
        across, along = cut.part
        edge = "left" if cut.lengthwise else "top"
        rows.append(
            [
                str(number),
                f"{tenth(across)} × {tenth(along)}",
                f"{edge} {tenth(cut.measure)}",
                _freed(sheet, number),
            ]
        )
    return rows


def _freed(sheet: CutSheet, number: int) -> str:
    """Name the pieces of which the last side is cut by this number."""
    found = [
        str(place)
        for place, piece in enumerate(sheet.pieces, 1)
        if _last_cut(_box(piece), sheet.cuts) == number
    ]
    return ", ".join(found)


def _box(piece: LaidPiece) -> Box:
    return box_of(Line(LineKind.CUT, piece.outline))


def _last_cut(box: Box, every: Sequence[StockCut]) -> int:
    """Return the number of the last cut that lies along one of a box's sides."""
    last = 0
    for number, cut in enumerate(every, 1):
        (x0, y0), (x1, y1) = cut.start, cut.end
        beside = (
            min(abs(x0 - box.left), abs(x0 - box.right)) < 0.02 and y0 < box.bottom and y1 > box.top
        )
        level = (
            min(abs(y0 - box.top), abs(y0 - box.bottom)) < 0.02 and x0 < box.right and x1 > box.left
        )
        if (cut.lengthwise and beside) or (not cut.lengthwise and level):
            last = number
    return last


def _free(sheet: CutSheet) -> list[list[str]]:
    rows = [["Piece", "From the left", "From the top", "Width × length, mm"]]
    for number, piece in enumerate(sheet.pieces, 1):
        box = _box(piece)
        rows.append(
            [
                str(number),
                tenth(box.left),
                tenth(box.top),
                f"{tenth(box.width)} × {tenth(box.height)}",
            ]
        )
    return rows


def _picture(sheet: CutSheet, scale: Scale) -> tuple[Mark, ...]:
    """Draw the stock with its pieces, grain, offcuts and numbered cuts, from its left top corner."""
    f = scale.factor
    stock = Box(0.0, 0.0, sheet.stock.width_mm * f, sheet.length_mm * f)
    marks: list[Mark] = [Line(LineKind.OUTLINE, corners(stock), closed=True)]
    taken: list[Box] = []
    for left in sheet.offcuts:
        box = Box(
            left.across * f,
            left.along * f,
            (left.across + left.width) * f,
            (left.along + left.length) * f,
        )
        _set(marks, taken, _centred(box, ("offcut",), SMALL))
    for number, piece in enumerate(sheet.pieces, 1):
        box = _box(piece)
        small = Box(box.left * f, box.top * f, box.right * f, box.bottom * f)
        outline = tuple((x * f, y * f) for x, y in piece.outline)
        marks += [Area(LineKind.OUTLINE, outline, 0.93), Line(LineKind.CUT, outline, closed=True)]
        _set(marks, taken, _centred(small, (f"{number} {piece.name}", str(number)), BODY))
    for number, cut in enumerate(sheet.cuts, 1):
        (x0, y0), (x1, y1) = cut.start, cut.end
        marks.append(Line(LineKind.REFERENCE, ((x0 * f, y0 * f), (x1 * f, y1 * f))))
        if len(sheet.cuts) <= 99:
            _set(marks, taken, _beside(cut, number, f))
    marks += moved(_grain(sheet), stock.right + 4, 2.0)
    marks += _sides(sheet, stock)
    return tuple(marks)


def _centred(box: Box, tellings: Sequence[str], cap: float) -> list[Words]:
    """Return the fullest words that fit into a box, upright where it is narrow."""
    found = []
    for text in tellings:
        for angle, wide, high in ((0.0, box.width, box.height), (90.0, box.height, box.width)):
            for size in (cap, SMALL):
                if width_mm(text, size) + 1.2 <= wide and size + 1.0 <= high:
                    x, y = (box.left + box.right) / 2, (box.top + box.bottom) / 2
                    at = (x, y + size / 2) if angle == 0 else (x + size / 2, y)
                    found.append(Words(at, text, size, anchor="middle", angle_deg=angle))
    return found


def _beside(cut: StockCut, number: int, f: float) -> list[Words]:
    """Return where a cut's number may stand: along the cut, from its beginning."""
    (x0, y0), (x1, y1) = (cut.start[0] * f, cut.start[1] * f), (cut.end[0] * f, cut.end[1] * f)
    spots = [
        (x0 + (x1 - x0) * t, y0 + (y1 - y0) * t) for t in (0.04, 0.12, 0.25, 0.4, 0.55, 0.7, 0.85)
    ]
    ways = (
        ((0.6, SMALL / 2), (-0.6 - width_mm(str(number), SMALL), SMALL / 2))
        if cut.lengthwise
        else ((0.0, -0.5), (0.0, SMALL + 0.5))
    )
    return [
        Words((x + dx, y + dy), str(number), SMALL, bold=True) for x, y in spots for dx, dy in ways
    ]


def _set(marks: list[Mark], taken: list[Box], tellings: Sequence[Words]) -> None:
    """Set the first of some words that meets none that stand already; else none."""
    for words in tellings:
        box = box_of(words)
        if not any(box.meets(other) for other in taken):
            marks.append(words)
            taken.append(box)
            return


def _grain(sheet: CutSheet) -> tuple[Mark, ...]:
    """Draw the grain's arrow with its word, to be set beside the stock."""
    word = {"sheet": "grain", "roll": "WARP", "skin": "backbone"}[sheet.stock.form]
    if sheet.stock.grain == "length":
        return (*grain((4.0, 0.0), (4.0, 18.0)), Words((2.6, 16.0), word, SMALL, angle_deg=90.0))
    return (*grain((0.0, 4.0), (9.0, 4.0)), Words((1.0, 2.6), word, SMALL))


def _sides(sheet: CutSheet, stock: Box) -> tuple[Mark, ...]:
    """Write the stock's sizes below it and at its side."""
    below = Words(
        (stock.width / 2, stock.bottom + 3.6),
        f"{trimmed(sheet.stock.width_mm, 1)} mm",
        SMALL,
        anchor="middle",
    )
    side = Words(
        (stock.right + 3.0, stock.bottom),
        f"{trimmed(sheet.length_mm, 1)} mm",
        SMALL,
        angle_deg=90.0,
    )
    return below, side
