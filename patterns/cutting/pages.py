"""The plan on paper: what it comes to, then each rectangle of stock with its cuts in order."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal, NamedTuple

import patterns
from patterns.cutting import lists
from patterns.cutting.picture import BELOW_MM, LEFT_MM, RIGHT_MM, TOP_MM, Picture, picture
from patterns.cutting.plan import CutSheet, Plan, area_of
from patterns.model.capitals import BODY, SMALL
from patterns.model.drawing import Drawing
from patterns.model.sheet import Sheet as Page
from patterns.sheets import flow
from patterns.sheets.flow import Strip, Strips
from patterns.sheets.furniture import Heading, frame
from patterns.sketch.marks import Box, moved
from patterns.sketch.scales import REDUCED, Scale, largest
from patterns.stock import cautions
from patterns.stock.paper import Paper
from patterns.units import tenth, trimmed

FIGURES_MM = (90.0, 125.0, 170.0)
"""Heights of a stock's picture, so that two stand on a page; more only where its numbers ask for it."""
LEAST_SHARE = 0.6
"""A list stands beside a picture unless that makes the picture smaller than this share of itself."""
LAST_MM = 80.0
"""Up to this height a stock's last list and its offcuts are not parted by a page."""
TITLE_MM = 25.0
"""What a stock's title takes above a picture that fills a page."""
ROLL_PAGE_MM = 297.0
HOW: dict[Literal["through", "free"], str] = {
    "through": "Cut in the order of the numbers. Every cut runs right through the part in hand, which is named by "
    "its width × length. “left 69.0”: measure 69.0 mm from that part's own left edge and cut from top to bottom. “top "
    "69.0”: measure from its own top edge and cut from side to side. Never turn a part: its left and top stay those of "
    "the picture. A part that was set aside carries the number of the cut that made it in brackets, “(3)”. Write its "
    "number on each piece as it comes free. A piece that is no rectangle is then cut out of its own by its pattern's sheet.",
    "free": "Each piece is cut out by itself, in the order of the numbers, with knife and straight edge. All its sides "
    "are measured from the left and the top edge of the whole stock, in mm: mark them before the first cut.",
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
        correction="",
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
        words = "; ".join(
            f"{lists.book(one.pattern)}, {one.name}: {one.count}" for one in plan.unplaced
        )
        strips += flow.barred(
            flow.paragraph(f"Not on this plan, until stock is there: {words}.", width - 4)
        )
    if plan.by_hand:
        words = "; ".join(f"{lists.book(one.pattern)}, {one.name}" for one in plan.by_hand)
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
    """Return one rectangle of stock: its picture, its lists beside it where they fit, else below."""
    through = plan.wish.cuts == "through"
    every = (
        [lists.cut_rows(sheet), lists.piece_rows(sheet)] if through else [lists.place_rows(sheet)]
    )
    shown = _shown(
        sheet, box, through, max(flow.table_width([head, *rows]) for head, rows in every)
    )
    title = (
        *flow.heading(_title(sheet, number), box.width),
        *flow.paragraph(f"Scale {shown.scale}.", box.width, cap=SMALL),
    )
    figure = Strip(shown.picture.height, shown.picture.marks, keep=True)
    if shown.beside:
        room = box.width - shown.width - flow.GUTTER
        listed = [flow.table(head, rows, room) for head, rows in every]
        told = flow.solid(_spaced(*listed, flow.paragraph(_after(sheet), room)), room)
        if told.height <= max(figure.height_mm, box.height * 0.6):
            high = max(figure.height_mm, told.height)
            marks = (*figure.marks, *moved(told.marks, shown.width + flow.GUTTER, 0.0))
            return flow.together((*title, Strip(high, marks)))
    listed = [lists.columns(head, rows, box.width) for head, rows in every]
    last = _spaced(listed[-1], flow.paragraph(_after(sheet), box.width))
    if sum(strip.height_mm for strip in last) < LAST_MM:
        last = flow.together(last)
    return (*flow.together((*title, figure)), *_spaced(*listed[:-1]), *last)


def _after(sheet: CutSheet) -> str:
    return f"{lists.hand_cut(sheet)} {lists.kept(sheet)}".strip()


def _spaced(*parts: Strips) -> Strips:
    return tuple(strip for part in parts for strip in (*part, *flow.gap(BODY)))


def _title(sheet: CutSheet, number: int) -> str:
    stock = sheet.stock
    if stock.form == "roll":
        return f"{number}. {stock.material}: {tenth(sheet.length_mm)} mm off the {stock.words}"
    source = f", from {stock.source}" if stock.source else ""
    return f"{number}. {stock.material}: {stock.words}{source}"


class _Shown(NamedTuple):
    """A picture at its scale, the width it takes, and whether a list may stand beside it."""

    picture: Picture
    scale: Scale
    width: float
    beside: bool


def _shown(sheet: CutSheet, box: Box, numbered: bool, list_mm: float) -> _Shown:
    """Return the smallest of some pictures in which every number finds its place, else the largest."""
    beside = box.width - flow.GUTTER - list_mm
    for high in (*FIGURES_MM, box.height - TITLE_MM):
        wide, narrow = _scale(sheet, box.width, high), _scale(sheet, beside, high)
        for scale, next_to in ((narrow, True), (wide, False)):
            if scale.factor < wide.factor * LEAST_SHARE:
                continue
            width = sheet.stock.width_mm * scale.factor + LEFT_MM + RIGHT_MM
            shown = _Shown(picture(sheet, scale, numbered), scale, width, next_to)
            if shown.picture.complete:
                return shown
    return shown


def _scale(sheet: CutSheet, width: float, height: float) -> Scale:
    """Return the largest scale at which a stock's picture keeps within a width and a height."""
    inner, high = width - LEFT_MM - RIGHT_MM, height - TOP_MM - BELOW_MM
    return largest([(sheet.stock.width_mm, inner), (sheet.length_mm, high)]) or REDUCED[-1]
