"""The cutting and sewing pages: what stands on which page, in which arrangement, and where."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from patterns.errors import PaperError
from patterns.model.part import Part
from patterns.model.sheet import Group
from patterns.sheets import tiled
from patterns.sheets.furniture import BAR, BAR_BAND, MARGIN, Arrangement, Frame
from patterns.sheets.page import Layout, Page
from patterns.sheets.setting import Item, Placed, pack

GROUPS: tuple[Group, ...] = ("cutting", "sewing")
SIDES: tuple[Arrangement, ...] = ("foot", "side", "edge")


def plan(layout: Layout) -> tuple[Page, ...]:
    """Plan the pages of every piece and of every diagram that belongs beside the pieces.

    Pieces of one structure may share a page; on a roll those of all structures do. Raises
    PaperError where the paper is too small.
    """
    pages: list[Page] = []
    for group in GROUPS:
        planner = _Planner(layout, group)
        batches = [list(_items(part, group)) for part in layout.pattern.parts]
        if layout.paper.roll:
            batches = [[item for batch in batches for item in batch]]
        for batch in batches:
            pages += planner.pages(batch)
    return tuple(pages)


def _items(part: Part, group: Group) -> Iterator[Item]:
    """Yield what of a part belongs to a group of pages: pricking strips go with the sewing."""
    boxes = part.boxes
    for piece in part.pieces:
        sewing = part.sewing is not None and not piece.stock
        if sewing == (group == "sewing") and not piece.drawn_as:
            yield Item(part, piece, first=boxes)
            boxes = ()
    for diagram in part.diagrams:
        if diagram.page == group:
            yield Item(part, diagram, first=boxes)
            boxes = ()


@dataclass(frozen=True, slots=True)
class _Planner:
    """Plans the pages of a group."""

    layout: Layout
    group: Group

    def pages(self, left: Sequence[Item]) -> Iterator[Page]:
        """Yield pages until everything is set."""
        while left:
            best = self._best(left)
            if best is None:
                row = self._row(left)
                yield from tiled.sheets(self.layout, self.group, self._each_way(row))
                left = [item for item in left if item not in row]
                continue
            done = {id(one.item.subject) for one in best[0]}
            left = [one for one in left if id(one.subject) not in done]
            yield best[1]

    def _each_way(self, items: Sequence[Item]) -> list[list[Item]]:
        """Return the items once for each way the page may lie."""
        sizes = self.layout.paper.pages
        return [[item.at(self.layout.stretch(*size)) for item in items] for size in sizes]

    def _row(self, left: Sequence[Item]) -> list[Item]:
        """Return the first piece, and those as long that share its sheets at no more sheets."""
        row = [left[0]]
        for item in left[1:]:
            more = [*row, item]
            if self._best([item]) is None and tiled.together(
                self.layout, self.group, self._each_way(more)
            ):
                row = more
        return row

    def _best(self, left: Sequence[Item]) -> tuple[list[Placed], Page] | None:
        """Return the page that takes most of what is left, the first of it included."""
        best: tuple[list[Placed], Page] | None = None
        for side in SIDES:
            for size, items in zip(self.layout.paper.pages, self._each_way(left), strict=True):
                if not _fits(items[0], size):
                    continue
                made = self._fill(items, size, side)
                if made and (best is None or len(made[0]) > len(best[0])):
                    best = made
                if best and len(best[0]) == len(left):
                    return best
        return best

    def _fill(
        self, items: Sequence[Item], size: tuple[float, float], side: Arrangement
    ) -> tuple[list[Placed], Page] | None:
        """Set as many items as the page takes, the first among them; None if it takes not even that.

        The title block depends on what is set, so this is repeated until both agree.
        """
        wanted = list(items)
        while wanted:
            page = self.layout.page(self.group, wanted, size, side)
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
        if self.layout.paper.roll:
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
