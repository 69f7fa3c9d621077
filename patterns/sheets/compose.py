"""The cutting and sewing pages: what stands on which page, in which arrangement, and where.

Pages are planned first and numbered afterwards, so that each can say "page n of m".
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from patterns.errors import PaperError
from patterns.model.part import Diagram, Part
from patterns.model.pattern import Pattern
from patterns.model.piece import Piece
from patterns.model.sheet import Sheet
from patterns.sheets import tiled
from patterns.sheets.furniture import BAR, BAR_BAND, MARGIN, Arrangement, Frame
from patterns.sheets.page import Group, Order, Page
from patterns.sheets.setting import Item, Placed, pack
from patterns.stock.paper import Paper
from patterns.stock.printer import Correction

GROUPS: tuple[Group, ...] = ("cutting", "sewing")
SIDES: tuple[Arrangement, ...] = ("foot", "side", "edge")
Pending = tuple[Part, Piece | Diagram, tuple[str, ...]]
"""A piece or diagram still to be set, with its part and the boxed words that go with it."""


def cutting_sheets(
    pattern: Pattern,
    paper: Paper,
    correction: Correction,
    first_page: int = 1,
    pages: int | None = None,
) -> tuple[Sheet, ...]:
    """Return the finished cutting and sewing pages, numbered from `first_page` of `pages`.

    Without `pages` the last of these pages is taken for the last of all. Raises PaperError where
    the paper is too small.
    """
    planned = plan(pattern, paper, correction)
    total = pages or first_page + len(planned) - 1
    return tuple(page.numbered(first_page + i, total) for i, page in enumerate(planned))


def plan(pattern: Pattern, paper: Paper, correction: Correction) -> tuple[Page, ...]:
    """Plan the pages of every piece and of every diagram that belongs beside the pieces.

    Pieces of one structure may share a page; on a roll those of all structures do. Raises
    PaperError where the paper is too small.
    """
    pages: list[Page] = []
    for group in GROUPS:
        planner = _Planner(Order(pattern, paper, correction, group))
        batches = [list(_wishes(part, group)) for part in pattern.parts]
        if paper.roll:
            batches = [[wish for batch in batches for wish in batch]]
        for batch in batches:
            pages += planner.pages(batch)
    return tuple(pages)


def _wishes(part: Part, group: Group) -> Iterator[Pending]:
    """Yield what of a part belongs to a group of pages: pricking strips go with the sewing."""
    boxes = part.boxes
    for piece in part.pieces:
        sewing = part.sewing is not None and not piece.stock
        if sewing == (group == "sewing"):
            yield part, piece, boxes
            boxes = ()
    for diagram in part.diagrams:
        if diagram.page == group:
            yield part, diagram, boxes
            boxes = ()


class _Planner:
    """Plans pages; remembers what is drawn, since every arrangement is tried with it."""

    def __init__(self, order: Order) -> None:
        self.order = order
        self._items: dict[tuple[int, tuple[float, float]], Item] = {}

    def pages(self, left: Sequence[Pending]) -> Iterator[Page]:
        """Yield pages until everything is set."""
        while left:
            best = self._best(left)
            if best is None:
                group = self._group(left)
                yield from tiled.sheets(self.order, self._each_way(group))
                left = [wish for wish in left if wish not in group]
                continue
            done = {id(one.item.subject) for one in best[0]}
            left = [one for one in left if id(one[1]) not in done]
            yield best[1]

    def _each_way(self, wishes: Sequence[Pending]) -> list[list[Item]]:
        """Return the items once for each way the page may lie."""
        sizes = self.order.paper.pages
        return [[self._item(wish, size) for wish in wishes] for size in sizes]

    def _group(self, left: Sequence[Pending]) -> list[Pending]:
        """Return the first piece, and those as long that share its sheets at no more sheets."""
        group = [left[0]]
        for wish in left[1:]:
            more = [*group, wish]
            if self._best([wish]) is None and tiled.together(self.order, self._each_way(more)):
                group = more
        return group

    def _best(self, left: Sequence[Pending]) -> tuple[list[Placed], Page] | None:
        """Return the page that takes most of what is left, the first of it included."""
        best: tuple[list[Placed], Page] | None = None
        for side in SIDES:
            for size in self.order.paper.pages:
                items = [self._item(wish, size) for wish in left]
                if not _fits(items[0], size):
                    continue
                made = self._fill(items, size, side)
                if made and (best is None or len(made[0]) > len(best[0])):
                    best = made
                if best and len(best[0]) == len(left):
                    return best
        return best

    def _item(self, wish: Pending, size: tuple[float, float]) -> Item:
        """Return the item for a page's factors; the same one whenever they are the same."""
        part, subject, first = wish
        stretch = self.order.stretch(*size)
        known = (id(subject), stretch)
        if known not in self._items:
            self._items[known] = Item(part, subject, stretch, first)
        return self._items[known]

    def _fill(
        self, items: Sequence[Item], size: tuple[float, float], side: Arrangement
    ) -> tuple[list[Placed], Page] | None:
        """Set as many items as the page takes, the first among them; None if it takes not even that.

        The title block depends on what is set, so this is repeated until both agree.
        """
        wanted = list(items)
        while wanted:
            page = self.order.page(wanted, size, side)
            try:
                frame = page.frame
            except PaperError:
                return None
            placed = pack(wanted, frame)
            if not placed or placed[0].item is not items[0]:
                return None
            if len(placed) == len(wanted):
                return placed, self._filled(page, frame, placed)
            wanted = [one.item for one in placed]
        return None

    def _filled(self, page: Page, frame: Frame, placed: Sequence[Placed]) -> Page:
        spare = 0.0
        if self.order.paper.roll:
            spare = frame.box.bottom - _roll_end(placed, frame, page.stretch)
        return replace(
            page,
            height_mm=page.height_mm - spare,
            signs=frozenset(sign for one in placed for sign in one.signs),
            marks=tuple(mark for one in placed for mark in one.marks),
        )


def _fits(item: Item, size: tuple[float, float]) -> bool:
    """Tell whether a page could take an item if it held nothing else."""
    room = item.least.width, item.least.height
    return all(wanted <= side - 2 * MARGIN + 0.01 for wanted, side in zip(room, size, strict=True))


def _roll_end(placed: Sequence[Placed], frame: Frame, stretch: tuple[float, float]) -> float:
    """Return where the content of a roll's page may end so that the bars stand clear below it."""
    end = frame.box.top + BAR * stretch[1] + 4
    for box in (box for one in placed for box in one.boxes):
        clear = 3.0
        if box.right > frame.box.right - BAR_BAND - 2:
            clear += BAR * stretch[1] + 2
        elif box.right > frame.box.right - BAR * stretch[0] - 4:
            clear += BAR_BAND
        end = max(end, box.bottom + clear)
    return end
