"""Pieces and diagrams larger than the page: side by side on canvases that are cut into sheets."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations

from patterns.model.drawing import Line, LineKind, Mark, Ring, Words
from patterns.model.piece import Piece
from patterns.sheets import tile
from patterns.sheets.furniture import MAP
from patterns.sheets.item import Item, notes
from patterns.sheets.legend import Sign
from patterns.sheets.piece_view import View, view
from patterns.sheets.room import PageRoom
from patterns.sketch.marks import Block, Box, moved

BETWEEN = 3.0
"""White between the rooms of pieces that are cut into sheets together."""
MOST_BESIDE = 8
"""Of so many pieces, the longest that are left, some join the first of a canvas."""
DIVIDED = 1.5
"""What a joint across a spine's width counts for, in sheets: one more is taken to save it."""


@dataclass(frozen=True)
class Abreast:
    """Pieces side by side, their heads level, at (0, 0): one drawing to be cut into sheets.

    Pieces that lie level stand below one another instead.
    """

    items: tuple[Item, ...]

    @cached_property
    def down(self) -> bool:
        """The pieces lie level, below one another."""
        return all(map(lies, self.items))

    @cached_property
    def width(self) -> float:
        """Extent in x."""
        widths = [item.limit.width for item in self.items]
        return max(widths) if self.down else sum(widths) + BETWEEN * (len(widths) - 1)

    @cached_property
    def height(self) -> float:
        """Extent in y."""
        heights = [item.limit.height for item in self.items]
        return sum(heights) + BETWEEN * (len(heights) - 1) if self.down else max(heights)

    @cached_property
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
    def fixed(self) -> tuple[Mark, ...]:
        """Its lines and holes, and words that stand where their author put them."""
        made: list[Mark] = []
        for item, (dx, dy) in zip(self.items, self.offsets, strict=True):
            face = item.face
            marks = (*face.lines, *face.rim, *face.whole.marks) if face else item.diagram.marks
            made += moved([mark for mark in marks if not _dotted(mark)], dx, dy)
        return tuple(made)

    @property
    def joint_free(self) -> bool:
        """No joint may run across a width, if one page more suffices."""
        return any(
            isinstance(item.subject, Piece) and item.subject.spine_joint_free for item in self.items
        )

    @cached_property
    def signs(self) -> frozenset[Sign]:
        """The signs of its pieces."""
        return frozenset(sign for item in self.items for sign in item.signs)

    def box(self, room: PageRoom) -> Box:
        """Return what its legend leaves of a room."""
        return room.beside(self.signs | {LineKind.MATCH})

    def tiling(self, room: PageRoom) -> tile.Tiling:
        """Return the windows that cover it, each as large as a room."""
        box = self.box(room)
        columns = tile.spans(self.width, box.width)
        rows = tile.spans(self.height, box.height)
        return tile.Tiling(columns, rows, self.width, self.height)


@dataclass(frozen=True)
class Canvas:
    """A row on the pages that it is cut into."""

    row: Abreast
    room: PageRoom
    tiling: tile.Tiling

    @cached_property
    def views(self) -> tuple[View, ...]:
        """The pieces with their words clear of the joints, each under its own name."""
        clear, joints = tile.keep_clear(self.tiling), tile.joint_lines(self.tiling)
        made = []
        for item, (dx, dy) in zip(self.row.items, self.row.offsets, strict=True):
            if item.face is None:
                made.append(item.diagram)
                continue
            lines = [line for line in moved(joints, -dx, -dy) if isinstance(line, Line)]
            made.append(item.seen(view(item.face, item.limit, moved(clear, -dx, -dy), lines)))
        return tuple(made)

    @cached_property
    def words(self) -> tuple[tuple[Item, Item], ...]:
        """What is said of each piece: to stand on the canvas's own sheets, else elsewhere."""
        pairs = zip(self.row.items, self.views, strict=True)
        return tuple(
            (notes(item, drawn.key, False), notes(item, drawn.key, True)) for item, drawn in pairs
        )

    @cached_property
    def windows(self) -> tuple[Box, ...]:
        """Each window on its page."""
        box = self.room.box
        return tuple(
            Box(box.left, box.top, box.left + one.width, box.top + one.height)
            for one in self.tiling.windows()
        )

    @cached_property
    def sheets(self) -> tuple[tuple[Mark, ...], ...]:
        """What each window shows, on its page."""
        placed = zip(self.views, self.row.offsets, strict=True)
        marks = [mark for drawn, (dx, dy) in placed for mark in moved(drawn.marks, dx, dy)]
        made = []
        for window, part in tile.cut(marks, self.tiling):
            dx, dy = self.room.box.left - window.left, self.room.box.top - window.top
            made.append(moved(part, dx, dy))
        return tuple(made)

    def used(self, marks: Sequence[Mark]) -> frozenset[Sign]:
        """Return the signs that one of its sheets uses."""
        kinds: set[Sign] = {mark.kind for mark in marks if not isinstance(mark, Words)}
        return frozenset(kinds & (self.row.signs | {LineKind.MATCH})) | (self.row.signs & {"free"})

    def map(self, number: int) -> Block:
        """Return the small map of its sheets, one of them filled grey."""
        return tile.key_map(self.tiling, self.row.outlines, number, MAP)


def _dotted(mark: Mark) -> bool:
    """Tell whether it is one of the dots of paste on the under face, which words may stand on."""
    return isinstance(mark, Line) and mark.kind is LineKind.UNDER


def lies(item: Item) -> bool:
    """Tell whether an item lies level, so that those like it are set below one another."""
    return item.limit.width > item.limit.height


def number(each_way: Sequence[Item], rooms: Sequence[PageRoom]) -> int:
    """Return how many sheets something takes."""
    return _alone(each_way, rooms).tiling.pages


def canvases(items: Sequence[Sequence[Item]], rooms: Sequence[PageRoom]) -> list[Canvas]:
    """Return the canvases that take fewest sheets, for items that are given once for each way.

    What stands upright and what lies level have canvases of their own.
    """
    made: list[Canvas] = []
    for level in (False, True):
        group = [each for each in items if lies(each[0]) is level]
        if group:
            ways = [_binned(group, room, rooms) for room in rooms]
            made += min(ways, key=_cost)
    return [_cleared(one) for one in made]


def _cleared(canvas: Canvas) -> Canvas:
    """Return a canvas with its joints clear of holes and fixed words."""
    box = canvas.row.box(canvas.room)
    return replace(canvas, tiling=canvas.tiling.clear_of(canvas.row.fixed, (box.width, box.height)))


def _cost(canvases: Iterable[Canvas]) -> tuple[float, float]:
    """Order canvases by their sheets, then by the room that these leave in one piece."""
    made = list(canvases)
    sheets = sum(one.tiling.pages + DIVIDED * _divided(one) for one in made)
    return sheets, -sum(left**1.5 for one in made for left in _left(one))


def _left(canvas: Canvas) -> list[float]:
    """Return the largest room that each sheet leaves beside its window, in square millimetres."""
    box = canvas.row.box(canvas.room)
    return [
        max((box.width - one.width) * box.height, box.width * (box.height - one.height))
        for one in canvas.windows
    ]


def _divided(canvas: Canvas) -> bool:
    return canvas.row.joint_free and len(canvas.tiling.columns) > 1


def _alone(each_way: Sequence[Item], rooms: Sequence[PageRoom]) -> Canvas:
    """Return the best canvas of one item."""
    made = []
    for room in rooms:
        row = Abreast((each_way[room.way],))
        made.append(Canvas(row, room, row.tiling(room)))
    return min(made, key=lambda one: _cost([one]))


def _binned(
    items: Sequence[Sequence[Item]], room: PageRoom, rooms: Sequence[PageRoom]
) -> list[Canvas]:
    """Set items side by side on canvases one room wide, the longest first; wider ones have their own."""
    box = Abreast(tuple(each[room.way] for each in items)).box(room)
    across = box.height if lies(items[0][0]) else box.width
    made: list[Canvas] = []
    left: list[Item] = []
    for each in sorted(items, key=lambda one: -_long(one[room.way])):
        if _across(each[room.way]) > across + 1e-6:
            made.append(_alone(each, rooms))
        else:
            left.append(each[room.way])
    order = {id(each[room.way]): place for place, each in enumerate(items)}
    while left:
        chosen = _fullest(left, across)
        left = [item for item in left if item not in chosen]
        row = Abreast(tuple(sorted(chosen, key=lambda item: order[id(item)])))
        made.append(Canvas(row, room, row.tiling(room)))
    return made


def _fullest(items: Sequence[Item], across: float) -> list[Item]:
    """Return the first item with those of the others that fill a room's width best."""
    first, *others = items
    others = others[:MOST_BESIDE]
    best: tuple[float, list[Item]] = (0.0, [first])
    for count in range(len(others) + 1):
        for chosen in combinations(others, count):
            filled = _filled([first, *chosen])
            if best[0] + 1e-6 < filled <= across + 1e-6:
                best = (filled, [first, *chosen])
    return best[1]


def _long(item: Item) -> float:
    return max(item.limit.width, item.limit.height)


def _across(item: Item) -> float:
    return min(item.limit.width, item.limit.height)


def _filled(items: Sequence[Item]) -> float:
    return sum(map(_across, items)) + BETWEEN * (len(items) - 1)
