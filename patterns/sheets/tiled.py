"""The sheets of pieces or diagrams larger than the page, to be trimmed and pasted together."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, groupby

from patterns.model.capitals import BODY
from patterns.model.drawing import Circle, Line, LineKind, Mark, Ring, Words
from patterns.model.part import Diagram
from patterns.model.piece import Piece
from patterns.sheets import setting, tile
from patterns.sheets.flow import close, stack
from patterns.sheets.furniture import MAP, Heading, map_room
from patterns.sheets.legend import Sign
from patterns.sheets.page import Layout, Page
from patterns.sheets.piece_view import View, face_lines, view
from patterns.sheets.setting import Item
from patterns.sheets.space import Space
from patterns.sketch.marks import Block, Box, box_of, moved

LEAST_ROLL = 140.0
"""Shortest page of a roll: both bars must stand beside it."""
NOTES_MM = 60.0
MOST_BESIDE = 4
"""So many pieces at most join the first of a row."""
BETWEEN = 3.0
"""White between the rooms of pieces that are cut into sheets together."""


@dataclass(frozen=True, slots=True)
class _Row:
    """Pieces side by side, their heads level, at (0, 0): one drawing to be cut into sheets.

    Pieces that lie level stand below one another instead.
    """

    items: tuple[Item, ...]

    @property
    def down(self) -> bool:
        """The pieces lie level, below one another."""
        return _lies(self.items)

    @property
    def width(self) -> float:
        """Extent in x."""
        widths = [item.limit.width for item in self.items]
        return max(widths) if self.down else sum(widths) + BETWEEN * (len(widths) - 1)

    @property
    def height(self) -> float:
        """Extent in y."""
        heights = [item.limit.height for item in self.items]
        return sum(heights) + BETWEEN * (len(heights) - 1) if self.down else max(heights)

    @property
    def offsets(self) -> tuple[tuple[float, float], ...]:
        """How far each piece's own coordinates are moved."""
        made, x, y = [], 0.0, 0.0
        for item in self.items:
            made.append((x - item.limit.left, y - item.limit.top))
            if self.down:
                y += item.limit.height + BETWEEN
            else:
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
    """A sheet, the room that its window takes on it, and what is left of the page."""

    page: Page
    window: Box
    number: int
    space: Space

    @property
    def used(self) -> float:
        """How low the sheet is filled."""
        return max(box_of(mark).bottom for mark in self.page.marks)


Told = tuple[int, tuple[Block, ...]]
"""Whose words (the piece's place in the row), as a block in several widths."""


def sheets(
    layout: Layout, groups: Sequence[Sequence[Item]], others: Sequence[Sequence[Item]]
) -> tuple[list[Page], list[Item], list[Item]]:
    """Return the sheets of what is given, once for each way the page may lie.

    What is said of the pieces stands beside them, else on their blank parts; what has no room there
    either comes back as third, to stand on another page under the piece's name. What room is left
    takes as many of the others as it can; those come back as second.
    """
    index, tiling, page_room = _tiling(layout, groups)
    row, size = _Row(tuple(groups[index])), layout.paper.pages[index]
    tiling = tiling.clear_of(row.fixed, page_room)
    if layout.paper.roll:
        room = _empty(layout, row, size, 1, tiling.pages).frame.box
        size = (size[0], max(size[1] - room.height + tiling.height, LEAST_ROLL))
    views = _views(row, tiling, ())
    told: list[Told] = [
        (number, blocks)
        for number, (item, drawn) in enumerate(zip(row.items, views, strict=True))
        for blocks in item.variants(drawn.key)
    ]
    made, homeless = _with_words(_cut(layout, row, size, tiling, views), told)
    notes: list[Item] = []
    if homeless:
        views = _views(row, tiling, homeless)
        beside = [one for one in told if one not in homeless]
        made, _ = _with_words(_cut(layout, row, size, tiling, views), beside)
        notes = [
            _notes(item, drawn.unset)
            for item, drawn in zip(row.items, views, strict=True)
            if drawn.unset
        ]
    left_over = list(others[index])
    filled = [_filled(layout, row, tiling, one, left_over) for one in made]
    placed = [one for one in others[index] if one not in left_over]
    return filled, placed, notes


def _filled(
    layout: Layout, row: _Row, tiling: tile.Tiling, sheet: _Cut, others: list[Item]
) -> Page:
    """Return a sheet with what it takes of the others, which are taken off their list."""
    page, space, held = sheet.page, sheet.space, list(row.items)
    for item in tuple(others):
        trial = space.copy()
        placed = setting.beside(item, trial)
        if placed is None:
            continue
        more = replace(
            page,
            heading=_named(layout, page, [*held, item]),
            pieces=(*page.pieces, *item.names),
            signs=page.signs | placed.signs,
            marks=(*page.marks, *placed.marks),
        )
        low = max(sheet.used, *(box.bottom for box in placed.boxes))
        if low <= more.frame.box.bottom + 1e-6:
            page, space = more, trial
            held.append(item)
            others.remove(item)
    if tiling.pages > 1:
        room = map_room(page.frame.box)
        small = tile.key_map(tiling, row.outlines, sheet.number, MAP)
        page = replace(page, marks=(*page.marks, *moved(small.marks, room.left, room.top)))
    return page


def _named(layout: Layout, page: Page, items: Sequence[Item]) -> Heading:
    """Return a sheet's heading with all that it shows in its fields."""
    size, heading = (page.width_mm, page.height_mm), page.heading
    return layout.page(items, size, "edge", heading.title, heading.subtitle).heading


def number(layout: Layout, groups: Sequence[Sequence[Item]]) -> int:
    """Return how many sheets something takes."""
    return _tiling(layout, groups)[1].pages


def fullest(
    layout: Layout,
    first: Item,
    others: Sequence[Item],
    each_way: Callable[[Sequence[Item]], list[list[Item]]],
) -> list[Item]:
    """Return the first, with those of the others that fill its sheets best and take no more sheets.

    Pieces stand side by side (level ones below one another) with no joint between them.
    """
    index, tiling, room = _tiling(layout, each_way([first]))
    down = _lies(each_way([first])[index])
    if len(tiling.rows if down else tiling.columns) > 1:
        return [first]
    fits: list[Item] = []
    for item in others:
        one = each_way([item])
        kind, alone, _ = _tiling(layout, one)
        if kind == index and _lies(one[index]) == down and alone.pages <= tiling.pages:
            fits.append(item)
    extent = {id(one): _extent(each_way([one])[index][0], down) + BETWEEN for one in (first, *fits)}
    most = room[1] if down else room[0]
    best: tuple[float, list[Item]] = (0.0, [])
    for count in range(min(len(fits), MOST_BESIDE) + 1):
        for chosen in combinations(fits, count):
            filled = sum(extent[id(one)] for one in (first, *chosen)) - BETWEEN
            if filled <= most and filled > best[0] + 1e-6:
                best = (filled, list(chosen))
    row = [first, *best[1]]
    return row if number(layout, each_way(row)) <= tiling.pages else [first]


def _lies(items: Sequence[Item]) -> bool:
    """Tell whether pieces lie level, so that they are set below one another."""
    return all(one.limit.width > one.limit.height for one in items)


def _extent(item: Item, down: bool) -> float:
    return item.limit.height if down else item.limit.width


def _tiling(
    layout: Layout, groups: Sequence[Sequence[Item]]
) -> tuple[int, tile.Tiling, tuple[float, float]]:
    """Return which way the page lies best, the windows, and the room of one on the page."""
    rows = [_Row(tuple(group)) for group in groups]
    pages = [
        _empty(layout, row, size, 88, 88)
        for row, size in zip(rows, layout.paper.pages, strict=True)
    ]
    rooms = [(page.frame.box.width, page.frame.box.height) for page in pages]
    wholes = [(row.width, row.height) for row in rows]
    index, tiling = tile.best(wholes, rooms, rows[0].joint_free)
    return index, tiling, rooms[index]


def _empty(layout: Layout, row: _Row, size: tuple[float, float], number: int, of: int) -> Page:
    """Return one sheet without its content."""
    words = f"sheet {number} of {of}" if of > 1 else ""
    page = layout.page(row.items, size, "edge", row.title, words, mapped=of > 1)
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
            item.seen(
                view(
                    item.face,
                    item.limit,
                    moved(clear, -dx, -dy),
                    [line for line in moved(joints, -dx, -dy) if isinstance(line, Line)],
                    blocks,
                )
            )
        )
    return made


def _cut(
    layout: Layout,
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
        page = _empty(layout, row, size, number + 1, tiling.pages)
        page = replace(page, signs=_used(part, signs))
        frame = page.frame
        dx, dy = frame.box.left - window.left, frame.box.top - window.top
        place = window.moved(dx, dy)
        space = Space(frame.box, [place.grown(3.0)])
        made.append(_Cut(replace(page, marks=moved(part, dx, dy)), place, number, space))
    return made


def _used(marks: Sequence[Mark], signs: frozenset[Sign]) -> frozenset[Sign]:
    kinds: set[Sign] = {mark.kind for mark in marks if not isinstance(mark, Words)}
    return frozenset(kinds & (signs | {LineKind.MATCH})) | (signs & {"free"})


def _with_words(made: Sequence[_Cut], told: Sequence[Told]) -> tuple[list[_Cut], list[Told]]:
    """Set words on what the windows leave of the sheets; return those left over too.

    What is said of one piece stands in one column where it can.
    """
    spaces = [one.space.copy() for one in made]
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
    told_on = [
        replace(one, page=replace(one.page, marks=(*one.page.marks, *more)), space=space)
        for one, more, space in zip(made, marks, spaces, strict=True)
    ]
    return told_on, left


def _notes(item: Item, told: Sequence[tuple[Block, ...]]) -> Item:
    """Return what is said of a piece, and found no room on its sheets, as words for another page."""
    named = close(f"To {item.title}", BODY, NOTES_MM, bold=True)
    block = stack((named, *(variants[0] for variants in told)), gap=2.5)
    size = (block.width, block.height)
    words = Diagram(
        f"notes to {item.subject.name}",
        item.part.structure,
        f"Notes to {item.title}",
        "not to scale",
        *size,
        block.marks,
        page="words",
    )
    return Item(item.part, words)
