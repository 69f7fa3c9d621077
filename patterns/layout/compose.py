"""The cutting and sewing pages: what stands on which page, in which arrangement, and where.

Pages are planned first and numbered afterwards, so that each can say "page n of m".
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

from shapely.affinity import translate

from patterns.drawing import Drawing, LineKind, Mark, Ring, Words
from patterns.errors import PaperError
from patterns.layout import card, tile
from patterns.layout.furniture import (
    BAR,
    BAR_BAND,
    MAP,
    Arrangement,
    Frame,
    Heading,
    boxed,
    frame,
    map_room,
)
from patterns.layout.legend import Sign
from patterns.layout.marks import Block, Box, corners, moved, stretched
from patterns.layout.piece_view import View, stretched_piece, view
from patterns.layout.sheet import Sheet
from patterns.layout.space import Space
from patterns.paper import Paper
from patterns.piece import Diagram, Part, Pattern, Piece
from patterns.printer import Correction

Group = Literal["cutting", "sewing"]
GROUPS: tuple[Group, ...] = ("cutting", "sewing")
SIDES: tuple[Arrangement, ...] = ("foot", "side")
WIDEST = 888
"""Stands for the page numbers while pages are being planned."""
ASIDE = (44.0, 66.0)
"""Least and greatest width of what is said beside a piece."""
INSERTS = (60.0, 50.0, 40.0)
"""Widths tried for the same words on the blank parts of a piece."""
SPARE = (24.0, 2.0)


@dataclass(frozen=True)
class Item:
    """A piece or a diagram that wants room on a page, at one printer's factors."""

    part: Part
    subject: Piece | Diagram
    stretch: tuple[float, float]
    first: tuple[str, ...] = ()
    """Boxed words of the part that stand beside its first piece."""

    @cached_property
    def views(self) -> tuple[View, ...]:
        """The drawing at full size: with words round it, and drawn close where that is smaller."""
        if isinstance(self.subject, Diagram):
            return (_diagram_view(self.subject, self.stretch),)
        roomy, close = (view(self.subject, spare, self.stretch) for spare in SPARE)
        return (roomy,) if roomy.box == close.box else (roomy, close)

    @property
    def scale(self) -> str:
        """Its scale as the title block says it."""
        return self.subject.scale if isinstance(self.subject, Diagram) else "1:1"

    @property
    def title(self) -> str:
        """Its title on a page of its own."""
        return self.subject.title or self.subject.name

    def asides(self, drawn: View, width: float) -> tuple[Block, ...]:
        """Return what is said beside it."""
        first = [boxed(text, width) for text in self.first]
        if isinstance(self.subject, Diagram):
            return (*first, card.about_diagram(self.subject, width))
        return card.asides(self.subject, drawn.key, width, first)


@dataclass(frozen=True, slots=True)
class Page:
    """A planned page: everything but its number."""

    title: str
    group: Group
    pieces: tuple[str, ...]
    heading: Heading
    width_mm: float
    height_mm: float
    side: Arrangement
    signs: frozenset[Sign]
    bars: bool
    stretch: tuple[float, float]
    marks: tuple[Mark, ...]

    def numbered(self, page: int, pages: int) -> Sheet:
        """Return the finished page n of m."""
        heading = replace(self.heading, page=page, pages=pages)
        made = frame(
            heading, self.width_mm, self.height_mm, self.signs, self.bars, self.side, self.stretch
        )
        drawing = Drawing(self.width_mm, self.height_mm, (*made.marks, *self.marks))
        return Sheet(self.title, self.group, drawing, self.pieces)


def cutting_sheets(
    pattern: Pattern,
    paper: Paper,
    correction: Correction,
    first_page: int = 1,
    pages: int | None = None,
) -> tuple[Sheet, ...]:
    """Return the finished cutting and sewing pages, numbered from `first_page` of `pages`.

    Without `pages` the last of these pages is taken for the last of all.
    """
    planned = plan(pattern, paper, correction)
    total = pages or first_page + len(planned) - 1
    return tuple(page.numbered(first_page + i, total) for i, page in enumerate(planned))


def plan(pattern: Pattern, paper: Paper, correction: Correction) -> tuple[Page, ...]:
    """Plan the pages of every piece and of every diagram that belongs beside the pieces.

    Pieces of one structure may share a page; on a roll those of all structures do.
    """
    pages: list[Page] = []
    for group in GROUPS:
        planner = _Planner(pattern, paper, correction, group)
        batches = [tuple(_subjects(part, group)) for part in pattern.parts]
        if paper.roll:
            batches = [tuple(subject for batch in batches for subject in batch)]
        for batch in batches:
            pages += planner.pages(batch)
    return tuple(pages)


def _subjects(part: Part, group: Group) -> Iterator[tuple[Part, Piece | Diagram]]:
    """Yield what of a part belongs to a group of pages: pricking strips go with the sewing."""
    for piece in part.pieces:
        sewing = part.sewing is not None and not piece.stock
        if sewing == (group == "sewing"):
            yield part, piece
    for diagram in part.diagrams:
        if diagram.page == group:
            yield part, diagram


@dataclass(frozen=True, slots=True)
class _Set:
    """An item set on a page: the drawing's place, and all its marks in page coordinates."""

    item: Item
    boxes: tuple[Box, ...]
    marks: tuple[Mark, ...]
    signs: frozenset[Sign]


class _Planner:
    """Plans the pages of one batch of pieces that may share pages."""

    def __init__(
        self, pattern: Pattern, paper: Paper, correction: Correction, group: Group
    ) -> None:
        self.pattern = pattern
        self.paper = paper
        self.correction = correction
        self.group = group

    def pages(self, subjects: Sequence[tuple[Part, Piece | Diagram]]) -> Iterator[Page]:
        """Yield pages until everything is set."""
        told: set[str] = set()
        left: list[tuple[Part, Piece | Diagram, tuple[str, ...]]] = []
        for part, subject in subjects:
            left.append((part, subject, () if part.structure in told else part.boxes))
            told.add(part.structure)
        while left:
            best: tuple[list[_Set], Page] | None = None
            for width, height in self.paper.pages:
                stretch = self._stretch(width, height)
                items = [Item(part, subject, stretch, first) for part, subject, first in left]
                for side in SIDES:
                    made = self._fill(items, width, height, side)
                    if made and (best is None or len(made[0]) > len(best[0])):
                        best = made
            if best is None:
                yield from self._tiled(left.pop(0))
                continue
            done = [one.item.subject for one in best[0]]
            left = [one for one in left if not any(one[1] is subject for subject in done)]
            yield best[1]

    def _stretch(self, width: float, height: float) -> tuple[float, float]:
        factors = self.correction.for_page(width, height)
        return factors.across, factors.down

    def _fill(
        self, items: Sequence[Item], width: float, height: float, side: Arrangement
    ) -> tuple[list[_Set], Page] | None:
        """Set as many items as the page takes, the first among them; None if it takes not even that.

        The title block depends on what is set, so this is repeated until both agree.
        """
        wanted = list(items)
        while wanted:
            heading, bars = self._heading(wanted), _bars(wanted)
            signs = frozenset(s for item in wanted for v in item.views[:1] for s in v.signs)
            try:
                made = frame(heading, width, height, signs, bars, side, wanted[0].stretch)
            except PaperError:
                return None
            placed = _pack(wanted, made)
            if not placed or placed[0].item is not items[0]:
                return None
            if len(placed) == len(wanted):
                return placed, self._page(placed, heading, width, height, side, made)
            wanted = [one.item for one in placed]
        return None

    def _page(
        self,
        placed: Sequence[_Set],
        heading: Heading,
        width: float,
        height: float,
        side: Arrangement,
        made: Frame,
    ) -> Page:
        if self.paper.roll:
            height -= made.box.bottom - _roll_end(placed, made, placed[0].item.stretch)
        return Page(
            heading.title,
            self.group,
            tuple(one.item.subject.name for one in placed),
            heading,
            width,
            height,
            side,
            frozenset(sign for one in placed for sign in one.signs),
            _bars([one.item for one in placed]),
            placed[0].item.stretch,
            tuple(mark for one in placed for mark in one.marks),
        )

    def _heading(self, items: Sequence[Item], title: str = "", subtitle: str = "") -> Heading:
        subjects = [item.subject for item in items]
        pieces = [one for one in subjects if isinstance(one, Piece)]
        parts = list(dict.fromkeys(item.part.title for item in items))
        if not title:
            alone = len(items) == 1
            title = items[0].title if alone else " and ".join(parts[:2])
            subtitle = (parts[0] if title != parts[0] else "") if alone else _counted(items)
        stock = [one for one in pieces if one.stock]
        fields = [("Structure", ", ".join(parts)), ("Piece", _listed(o.name for o in subjects))]
        if stock:
            fields.append(("Material", _listed(card.material(one) for one in stock)))
            grains = _listed(card.GRAINS[one.grain].removeprefix("grain ") for one in stock)
            fields.append(("Grain or warp", grains.removeprefix("grain: ")))
        pattern = self.pattern
        return Heading(
            title,
            subtitle,
            pattern.book_id,
            pattern.book_title,
            tuple(fields),
            WIDEST,
            WIDEST,
            self.paper.name,
            _listed(item.scale for item in items),
            self.correction.words,
            pattern.record_date,
            pattern.version,
        )

    def _tiled(self, subject: tuple[Part, Piece | Diagram, tuple[str, ...]]) -> Iterator[Page]:
        """Yield the sheets of something larger than a page, and one for its words if need be."""
        part, what, first = subject
        sizes = self.paper.pages
        items = [Item(part, what, self._stretch(*size), first) for size in sizes]
        frames = [self._edge(item, *size) for item, size in zip(items, sizes, strict=True)]
        wholes = [item.views[-1].limit for item in items]
        free = isinstance(what, Piece) and what.spine_joint_free
        index, tiling = tile.best(
            [(box.width, box.height) for box in wholes],
            [(made.box.width, made.box.height) for made in frames],
            free,
        )
        width, height = sizes[index]
        if self.paper.roll:
            height -= frames[index].box.height - (tiling.rows[0][1] - tiling.rows[0][0])
        tiling = tile.widened(tiling, frames[index].box.width)
        yield from self._sheets(items[index], width, height, tiling)

    def _edge(self, item: Item, width: float, height: float) -> Frame:
        heading = self._heading([item], item.title, _sheet_words(88, 88))
        signs = item.views[-1].signs | {LineKind.MATCH}
        return frame(heading, width, height, signs, True, "edge", item.stretch)

    def _sheets(
        self, item: Item, width: float, height: float, tiling: tile.Tiling
    ) -> Iterator[Page]:
        drawn, unset = self._joined(item, tiling)
        if unset:
            yield self._words_page(item, unset)
        box = drawn.limit
        made = self._edge(item, width, height)
        marks = moved(drawn.marks, -box.left, -box.top)
        outline = [(x - box.left, y - box.top) for x, y in _outline(item)]
        for number, (window, cut) in enumerate(tile.cut(marks, tiling)):
            small = tile.key_map(tiling, outline, number, MAP)
            room = map_room(made.box)
            yield Page(
                f"{item.title}, sheet {number + 1} of {tiling.pages}",
                self.group,
                (item.subject.name,),
                self._heading([item], item.title, _sheet_words(number + 1, tiling.pages)),
                width,
                height,
                "edge",
                _used(cut, drawn.signs),
                True,
                item.stretch,
                (
                    *moved(cut, made.box.left - window.left, made.box.top - window.top),
                    *moved(small.marks, room.left, room.top),
                ),
            )

    def _joined(self, item: Item, tiling: tile.Tiling) -> tuple[View, tuple[Block, ...]]:
        """Draw again with words clear of the joints, the asides beside the piece or on it."""
        if isinstance(item.subject, Diagram):
            return item.views[-1], item.asides(item.views[-1], ASIDE[1])
        box = item.views[-1].limit
        width, height = tiling.columns[-1][1], tiling.rows[-1][1]
        clear = [translate(s, box.left, box.top) for s in tile.keep_clear(tiling, width, height)]
        plain = view(item.subject, SPARE[-1], item.stretch, clear, room=box)
        drawn = view(
            item.subject,
            SPARE[-1],
            item.stretch,
            clear,
            _variants(item, plain),
            Box(box.left, box.top, box.left + width, box.top + height),
        )
        return drawn, drawn.unset

    def _words_page(self, item: Item, blocks: Sequence[Block]) -> Page:
        """Return a page for what is said of a tiled drawing and found no room on it."""
        width, height = self.paper.pages[0]
        height = min(height, 400.0)
        heading = self._heading([item], item.title, "notes to the sheets that follow")
        made = frame(heading, width, height, (), False, "foot")
        space = Space(made.box)
        marks: list[Mark] = []
        for block in blocks:
            corner = space.corner(block.width, block.height)
            if corner is None:
                raise PaperError(
                    f"--paper: {self.paper.name} is too small for the notes to {item.title}; "
                    "give a larger paper"
                )
            space.take(corner)
            marks += moved(block.marks, corner.left, corner.top)
        return Page(
            f"{item.title}, notes",
            self.group,
            (item.subject.name,),
            heading,
            width,
            height,
            "foot",
            frozenset(),
            False,
            item.stretch,
            tuple(marks),
        )


def _pack(items: Sequence[Item], made: Frame) -> list[_Set]:
    """Set items on a page in their order, each with its words; those without room are left out."""
    space, placed = Space(made.box, made.taken), list[_Set]()
    for item in items:
        for drawn in item.views:
            trial = space.copy()
            if one := _set(item, drawn, trial):
                space = trial
                placed.append(one)
                break
        if not placed:
            return []
    return placed


def _variants(item: Item, drawn: View) -> tuple[tuple[Block, ...], ...]:
    """Return what is said beside an item, each block in several widths, the widest first."""
    return tuple(zip(*(item.asides(drawn, width) for width in INSERTS), strict=True))


def _set(item: Item, drawn: View, space: Space) -> _Set | None:
    """Set a drawing at the highest free corner, and what is said of it close by.

    Words that find no room beside a piece are set on its blank parts.
    """
    at = space.corner(drawn.box.width, drawn.box.height)
    if at is None:
        return None
    space.take(at)
    boxes = [at]
    marks: list[Mark] = []
    inserts: list[tuple[Block, ...]] = []
    for index, variants in enumerate(_variants(item, drawn)):
        found = _beside(item, drawn, index, space, boxes)
        if found is None:
            inserts.append(variants)
            continue
        block, corner = found
        space.take(corner, gap=3.0)
        boxes.append(corner)
        marks += moved(block.marks, corner.left, corner.top)
    if inserts and isinstance(item.subject, Piece):
        drawn = view(item.subject, 0.0, item.stretch, (), inserts, drawn.limit)
    elif inserts:
        return None
    if drawn.unset:
        return None
    marks += moved(drawn.marks, at.left - drawn.box.left, at.top - drawn.box.top)
    return _Set(item, tuple(boxes), tuple(marks), drawn.signs)


def _beside(
    item: Item, drawn: View, index: int, space: Space, boxes: Sequence[Box]
) -> tuple[Block, Box] | None:
    """Find the place nearest to the drawing and to the words before, for one block of words."""
    found: list[tuple[float, float, float, Block, Box]] = []
    for free in space.free:
        width = min(free.width, ASIDE[1])
        if width < ASIDE[0] - 1e-6:
            continue
        block = item.asides(drawn, width)[index]
        if block.height > free.height or block.width > free.width + 1e-6:
            continue
        box = Box(free.left, free.top, free.left + block.width, free.top + block.height)
        away = _gap(box, boxes[0]) + _gap(box, boxes[-1])
        found.append((round(away, 2), box.top, box.left, block, box))
    best = min(found, key=lambda one: one[:3], default=None)
    return None if best is None else best[3:]


def _gap(one: Box, other: Box) -> float:
    dx = max(other.left - one.right, one.left - other.right, 0.0)
    dy = max(other.top - one.bottom, one.top - other.bottom, 0.0)
    return dx + dy


def _diagram_view(diagram: Diagram, stretch: tuple[float, float]) -> View:
    """Return a diagram as it was drawn, stretched for the printer unless it has no scale."""
    fx, fy = (1.0, 1.0) if diagram.scale == "not to scale" else stretch
    box = Box(0.0, 0.0, diagram.width_mm * fx, diagram.height_mm * fy)
    kinds: set[Sign] = {mark.kind for mark in diagram.marks if not isinstance(mark, Words)}
    return View(box, stretched(diagram.marks, fx, fy), frozenset(kinds), (), box)


def _bars(items: Iterable[Item]) -> bool:
    return any(item.scale == "1:1" for item in items)


def _listed(words: Iterable[str], most: int = 4) -> str:
    each = list(dict.fromkeys(words))
    return ", ".join(each[:most]) + (f" and {len(each) - most} more" if len(each) > most else "")


def _counted(items: Sequence[Item]) -> str:
    pieces = sum(isinstance(item.subject, Piece) for item in items)
    told = [(pieces, "piece"), (len(items) - pieces, "drawing")]
    return ", ".join(f"{n} {word}{'s' if n > 1 else ''}" for n, word in told if n)


def _sheet_words(number: int, count: int) -> str:
    return f"sheet {number} of {count} · trim and paste by the letters"


def _outline(item: Item) -> Ring:
    """Return the outline for the key map."""
    if isinstance(item.subject, Piece):
        return stretched_piece(item.subject, *item.stretch).outline
    return corners(item.views[-1].box)


def _used(marks: Iterable[Mark], signs: frozenset[Sign]) -> frozenset[Sign]:
    kinds: set[Sign] = {mark.kind for mark in marks if not isinstance(mark, Words)}
    return frozenset(kinds & (signs | {LineKind.MATCH})) | (signs & {"free"})


def _roll_end(placed: Sequence[_Set], made: Frame, stretch: tuple[float, float]) -> float:
    """Return where the content of a roll's page may end so that the bars stand clear below it."""
    end = 0.0
    for box in (box for one in placed for box in one.boxes):
        clear = 3.0
        if box.right > made.box.right - BAR_BAND - 2:
            clear += BAR * stretch[1] + 2
        elif box.right > made.box.right - BAR * stretch[0] - 4:
            clear += BAR_BAND
        end = max(end, box.bottom + clear)
    return max(end, made.box.top + BAR * stretch[1] + 4)
