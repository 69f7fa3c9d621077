"""The sheets of pieces or diagrams larger than the page, to be trimmed and pasted together."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from patterns.errors import PaperError
from patterns.model.drawing import Circle, Line, LineKind, Mark, Ring, Words
from patterns.model.piece import Piece
from patterns.model.sheet import Group
from patterns.sheets import tile
from patterns.sheets.flow import stack
from patterns.sheets.furniture import MAP, map_room
from patterns.sheets.legend import Sign
from patterns.sheets.page import Layout, Page
from patterns.sheets.piece_view import View, face_lines, view
from patterns.sheets.setting import Item
from patterns.sheets.space import Space
from patterns.sketch.marks import Block, Box, box_of, moved

LEAST_ROLL = 140.0
"""Shortest page of a roll: both bars must stand on it."""
BETWEEN = 6.0
"""White between pieces that are cut into sheets together."""


@dataclass(frozen=True, slots=True)
class _Row:
    """Pieces side by side, their heads level, at (0, 0): one drawing to be cut into sheets."""

    items: tuple[Item, ...]

    @property
    def width(self) -> float:
        """Extent in x."""
        return sum(item.limit.width for item in self.items) + BETWEEN * (len(self.items) - 1)

    @property
    def height(self) -> float:
        """Extent in y."""
        return max(item.limit.height for item in self.items)

    @property
    def offsets(self) -> tuple[tuple[float, float], ...]:
        """How far each piece's own coordinates are moved."""
        made, x = [], 0.0
        for item in self.items:
            made.append((x - item.limit.left, -item.limit.top))
            x += item.limit.width + BETWEEN
        return tuple(made)

    @property
    def outlines(self) -> list[Ring]:
        """The outlines of the pieces, for the key map."""
        pairs = zip(self.items, self.offsets, strict=True)
        return [tuple((x + dx, y + dy) for x, y in item.outline) for item, (dx, dy) in pairs]

    @property
    def title(self) -> str:
        """What the sheets are called."""
        titles = [item.title for item in self.items]
        more = f" and {len(titles) - 1} more"
        return " and ".join(titles) if len(titles) < 3 else titles[0] + more

    @property
    def fixed(self) -> tuple[Box, ...]:
        """The room of holes, and of words that stand where their author put them."""
        made = []
        for item, (dx, dy) in zip(self.items, self.offsets, strict=True):
            whole = item.face.whole if item.face else None
            marks = (*face_lines(whole), *whole.marks) if whole else item.diagram.marks
            fixed = [m for m in marks if isinstance(m, Words | Circle)]
            made += [box_of(mark).moved(dx, dy) for mark in fixed]
        return tuple(made)

    @property
    def joint_free(self) -> bool:
        """No joint may run across a width, if one page more suffices."""
        return any(
            isinstance(item.subject, Piece) and item.subject.spine_joint_free for item in self.items
        )


@dataclass(frozen=True, slots=True)
class _Cut:
    """A sheet and the room that its window takes on it."""

    page: Page
    window: Box


Told = tuple[int, tuple[Block, ...]]
"""Whose words (the piece's place in the row), as a block in several widths."""


def sheets(layout: Layout, group: Group, groups: Sequence[Sequence[Item]]) -> Iterator[Page]:
    """Yield the sheets of what is given, once for each way the page may lie.

    What is said of the pieces stands beside them, else on their blank parts; a sheet of notes is
    added where there is no room for that either.
    """
    index, tiling, page_room = _tiling(layout, group, groups)
    row, size = _Row(tuple(groups[index])), layout.paper.pages[index]
    tiling = tiling.clear_of(row.fixed, page_room)
    if layout.paper.roll:
        room = _empty(layout, group, row, size, 1, tiling.pages).frame.box
        size = (size[0], max(size[1] - room.height + tiling.height, LEAST_ROLL))
    views = _views(row, tiling, ())
    told: list[Told] = [
        (number, blocks)
        for number, (item, drawn) in enumerate(zip(row.items, views, strict=True))
        for blocks in item.variants(drawn.key)
    ]
    made, homeless = _with_words(_cut(layout, group, row, size, tiling, views), told)
    if homeless:
        views = _views(row, tiling, homeless)
        beside = [one for one in told if one not in homeless]
        made, _ = _with_words(_cut(layout, group, row, size, tiling, views), beside)
        if left := [blocks for drawn in views for blocks in drawn.unset]:
            yield from _notes(layout, group, row, left)
    yield from (one.page for one in made)


def together(layout: Layout, group: Group, groups: Sequence[Sequence[Item]]) -> bool:
    """Tell whether pieces cut into sheets together take no more sheets than the largest alone."""
    tiling = _tiling(layout, group, groups)[1]
    alone = [
        _tiling(layout, group, [[group[i]] for group in groups])[1].pages
        for i in range(len(groups[0]))
    ]
    return len(tiling.columns) == 1 and tiling.pages == max(alone)


def _tiling(
    layout: Layout, group: Group, groups: Sequence[Sequence[Item]]
) -> tuple[int, tile.Tiling, tuple[float, float]]:
    """Return which way the page lies best, the windows, and the room of one on the page."""
    rows = [_Row(tuple(group)) for group in groups]
    pages = [
        _empty(layout, group, row, size, 88, 88)
        for row, size in zip(rows, layout.paper.pages, strict=True)
    ]
    rooms = [(page.frame.box.width, page.frame.box.height) for page in pages]
    wholes = [(row.width, row.height) for row in rows]
    index, tiling = tile.best(wholes, rooms, rows[0].joint_free)
    return index, tiling, rooms[index]


def _empty(
    layout: Layout, group: Group, row: _Row, size: tuple[float, float], number: int, of: int
) -> Page:
    """Return one sheet without its content."""
    words = f"sheet {number} of {of}" if of > 1 else ""
    page = layout.page(group, row.items, size, "edge", row.title, words, mapped=of > 1)
    title = f"{row.title}, sheet {number} of {of}" if of > 1 else row.title
    return replace(page, title=title, signs=page.signs | {LineKind.MATCH})


def _views(row: _Row, tiling: tile.Tiling, told: Sequence[Told]) -> list[View]:
    """Draw the pieces with words clear of the joints; `told` is set on their blank parts."""
    clear, joints = tile.keep_clear(tiling), tile.joint_lines(tiling)
    made = []
    for number, (item, (dx, dy)) in enumerate(zip(row.items, row.offsets, strict=True)):
        blocks = [each for owner, each in told if owner == number]
        if item.face is None:
            made.append(replace(item.diagram, unset=tuple(blocks)))
            continue
        made.append(
            view(
                item.face,
                item.limit,
                moved(clear, -dx, -dy),
                [line for line in moved(joints, -dx, -dy) if isinstance(line, Line)],
                blocks,
            )
        )
    return made


def _cut(
    layout: Layout,
    group: Group,
    row: _Row,
    size: tuple[float, float],
    tiling: tile.Tiling,
    views: Sequence[View],
) -> list[_Cut]:
    """Cut the drawing into its sheets, each with its key map."""
    placed = zip(views, row.offsets, strict=True)
    marks = [mark for drawn, (dx, dy) in placed for mark in moved(drawn.marks, dx, dy)]
    signs = frozenset(sign for drawn in views for sign in drawn.signs)
    made = []
    for number, (window, part) in enumerate(tile.cut(marks, tiling)):
        page = _empty(layout, group, row, size, number + 1, tiling.pages)
        page = replace(page, signs=_used(part, signs))
        frame = page.frame
        dx, dy = frame.box.left - window.left, frame.box.top - window.top
        content = moved(part, dx, dy)
        if tiling.pages > 1:
            room = map_room(frame.box)
            small = tile.key_map(tiling, row.outlines, number, MAP)
            content += moved(small.marks, room.left, room.top)
        made.append(_Cut(replace(page, marks=content), window.moved(dx, dy)))
    return made


def _used(marks: Sequence[Mark], signs: frozenset[Sign]) -> frozenset[Sign]:
    kinds: set[Sign] = {mark.kind for mark in marks if not isinstance(mark, Words)}
    return frozenset(kinds & (signs | {LineKind.MATCH})) | (signs & {"free"})


def _with_words(made: Sequence[_Cut], told: Sequence[Told]) -> tuple[list[_Cut], list[Told]]:
    """Set words on what the windows leave of the sheets; return those left over too.

    What is said of one piece stands in one column where it can.
    """
    spaces = [Space(one.page.frame.box, [one.window.grown(3.0)]) for one in made]
    marks: list[list[Mark]] = [[] for _ in made]

    def put(variants: Sequence[Block]) -> bool:
        for index, space in enumerate(spaces):
            for block in variants:
                if corner := space.corner(block.width, block.height):
                    space.take(corner, gap=3.0)
                    marks[index] += moved(block.marks, corner.left, corner.top)
                    return True
        return False

    left: list[Told] = []
    for owner, group in groupby(told, key=lambda one: one[0]):
        blocks = [variants for _, variants in group]
        if not put([stack(column, gap=3.5) for column in zip(*blocks, strict=True)]):
            left += [(owner, variants) for variants in blocks if not put(variants)]
    pages = [
        replace(one.page, marks=(*one.page.marks, *more))
        for one, more in zip(made, marks, strict=True)
    ]
    return [replace(one, page=page) for one, page in zip(made, pages, strict=True)], left


def _notes(
    layout: Layout, group: Group, row: _Row, told: Sequence[tuple[Block, ...]]
) -> Iterator[Page]:
    """Yield pages for what is said of a tiled drawing and found no room on its sheets."""
    width, height = layout.paper.pages[0]
    size = (width, min(height, 420.0))
    page = layout.page(group, row.items, size, "foot", row.title, "notes to the sheets that follow")
    page = replace(page, title=f"{row.title}, notes", signs=frozenset())
    frame = page.frame
    left = list(told)
    while left:
        space, marks, rest = Space(frame.box, frame.taken), list[Mark](), list[tuple[Block, ...]]()
        for variants in left:
            spots = [(block, space.corner(block.width, block.height)) for block in variants]
            block, corner = next(((b, c) for b, c in spots if c), (variants[0], None))
            if corner is None:
                rest.append(variants)
                continue
            space.take(corner)
            marks += moved(block.marks, corner.left, corner.top)
        if len(rest) == len(left):
            raise PaperError(
                f"--paper: {layout.paper.name} is too small for the notes to {row.title}; "
                "give a larger paper, such as A4"
            )
        yield replace(page, marks=tuple(marks))
        left = rest
