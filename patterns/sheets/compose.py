"""The pages of pieces and drawings: what stands on which page, in which arrangement, and where.

All items of a pattern are taken together, in working order: a page is begun by the first that is
left and takes as many of the others as it holds, so that no two pages stand for what one could.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from patterns.errors import PaperError
from patterns.model.part import Diagram, Part
from patterns.model.piece import Piece
from patterns.sheets import ruler, tiled
from patterns.sheets.alike import alike
from patterns.sheets.furniture import CORNER, MARGIN, Arrangement, Frame
from patterns.sheets.page import Layout, Page
from patterns.sheets.setting import Item, Placed, pack

MOST_SHEETS = 2
"""A plain piece that would take more is measured off from a ruler sheet."""
SIDES: tuple[Arrangement, ...] = ("foot", "side", "edge", "turned")


def plan(layout: Layout, loose: Sequence[Diagram] = ()) -> tuple[Page, ...]:
    """Plan the pages of every piece and of every drawing that belongs beside the pieces.

    Drawings of the assembly, and blocks of words that are `loose`, stand where the pieces leave
    room, else on pages of their own. Raises PaperError where the paper is too small.
    """
    parts = layout.pattern.parts
    wanted = _as_drawn(layout, alike([item for part in parts for item in _items(part)]))
    shown = [item for part in parts for item in _views(part)]
    shown += [Item(parts[0], block) for block in loose]
    return tuple(_Planner(layout).pages([*wanted, *shown]))


def _items(part: Part) -> Iterator[Item]:
    """Yield the pieces of a part, then the strips and views that belong to its sewing."""
    boxes = part.boxes
    sewn = part.sewing is not None
    drawn = [one for one in part.pieces if not one.drawn_as]
    pieces = sorted(drawn, key=lambda one: sewn and not one.stock)
    cut = [one for one in part.diagrams if one.page == "cutting"]
    views = [one for one in part.diagrams if one.page == "sewing"]
    subjects: list[Piece | Diagram] = [*pieces, *cut, *views]
    for subject in subjects:
        yield Item(part, subject, first=boxes)
        boxes = ()


def _views(part: Part) -> Iterator[Item]:
    """Yield the drawings of the assembly."""
    for diagram in part.diagrams:
        if diagram.page == "assembly":
            yield Item(part, diagram)


def _as_drawn(layout: Layout, items: Sequence[Item]) -> list[Item]:
    """Return the items, those that are not wanted at full size as ruler sheets."""
    planner = _Planner(layout)
    return [replace(one, ruled=True) if planner.rules(one) else one for one in items]


@dataclass(frozen=True, slots=True)
class _Planner:
    """Plans pages one after the other."""

    layout: Layout

    def pages(self, items: Sequence[Item]) -> list[Page]:
        """Return the pages of all items, those of the first items first.

        What needs several sheets is set before all else, since its last sheets have room to spare.
        """
        order = {id(item.subject): place for place, item in enumerate(items)}
        made: list[tuple[int, Page]] = []
        left = list(items)
        alone = {id(item.subject) for item in items if self._best([item]) is not None}
        for long in (True, False):
            for item in items:
                if item not in left or (long and id(item.subject) in alone):
                    continue
                first = order[id(item.subject)]
                pages, done, notes = self._begun([item, *(one for one in left if one is not item)])
                made += [(first, page) for page in pages]
                left = [one for one in left if id(one.subject) not in done] + notes
                order |= {id(one.subject): len(order) for one in notes}
        while left:
            pages, done, _ = self._begun(left)
            made += [(len(order), page) for page in pages]
            left = [one for one in left if id(one.subject) not in done]
        return [page for _, page in sorted(made, key=lambda pair: pair[0])]

    def _begun(self, left: Sequence[Item]) -> tuple[list[Page], set[int], list[Item]]:
        """Return the pages that the first begins, what stands on them, and words left over."""
        best = self._best(left)
        if best is not None:
            return [best[1]], {id(one.item.subject) for one in best[0]}, []
        row = self._row(left)
        others = [one for one in left if one not in row]
        pages, placed, notes = tiled.sheets(
            self.layout, self._each_way(row), self._each_way(others)
        )
        return pages, {id(one.subject) for one in (*row, *placed)}, notes

    def rules(self, item: Item) -> bool:
        """Tell whether a plain piece is drawn small: where it would take more than two sheets."""
        wish, piece = self.layout.full_size, item.subject
        if not isinstance(piece, Piece) or not piece.stock or not ruler.plain(piece):
            return False
        if wish or self.layout.paper.roll:
            return wish == "shaped"
        many = tiled.number(self.layout, self._each_way([item])) > MOST_SHEETS
        return many and self._best([item]) is None

    def _each_way(self, items: Sequence[Item]) -> list[list[Item]]:
        """Return the items once for each way the page may lie."""
        sizes = self.layout.paper.pages
        return [[item.at(self.layout.stretch(*size)) for item in items] for size in sizes]

    def _row(self, left: Sequence[Item]) -> list[Item]:
        """Return the first piece, and those as long that fill its sheets best at no more sheets."""
        long = [one for one in left[1:] if self._best([one]) is None]
        return tiled.fullest(self.layout, left[0], long, self._each_way)

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
            page = self.layout.page(wanted, size, side)
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
            end = max(box.bottom for one in placed for box in one.boxes)
            least = frame.box.top + 100.0 * page.stretch[1] + CORNER
            spare = frame.box.bottom - max(end, least)
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
