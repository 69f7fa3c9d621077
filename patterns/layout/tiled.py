"""The sheets of a piece or diagram larger than the page, to be trimmed and pasted together."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from shapely.affinity import translate

from patterns.drawing import LineKind, Mark, Words
from patterns.errors import PaperError
from patterns.layout import tile
from patterns.layout.furniture import MAP, Frame, map_room
from patterns.layout.legend import Sign
from patterns.layout.marks import Block, Box, moved
from patterns.layout.page import Order, Page
from patterns.layout.piece_view import View, view
from patterns.layout.setting import Item
from patterns.layout.space import Space
from patterns.piece import Piece

LEAST_ROLL = 140.0
"""Shortest page of a roll: both bars must stand on it."""


def sheets(order: Order, items: Sequence[Item]) -> Iterator[Page]:
    """Yield the sheets of one piece or diagram, given once for each way the page may lie.

    What is said of it stands beside it or on its blank parts; a sheet of notes is added where
    there is no room for that.
    """
    sizes = order.paper.pages
    pages = [_empty(order, item, size, 88, 88) for item, size in zip(items, sizes, strict=True)]
    rooms = [page.frame.box for page in pages]
    wholes = [item.limit for item in items]
    subject = items[0].subject
    index, tiling = tile.best(
        [(whole.width, whole.height) for whole in wholes],
        [(room.width, room.height) for room in rooms],
        isinstance(subject, Piece) and subject.spine_joint_free,
    )
    width, height = sizes[index]
    item, room = items[index], rooms[index]
    if order.paper.roll:
        height = max(height - room.height + tiling.height, LEAST_ROLL)
    drawn, unset = _joined(item, tiling, room)
    made = _cut(order, item, (width, height), tiling, drawn)
    made, left = _with_words(made, unset)
    if left:
        yield _notes(order, item, left)
    yield from (one.page for one in made)


def _empty(order: Order, item: Item, size: tuple[float, float], number: int, of: int) -> Page:
    words = f"sheet {number} of {of} · trim and paste by the letters" if of > 1 else ""
    page = order.page([item], size, "edge", item.title, words, mapped=of > 1)
    title = f"{item.title}, sheet {number} of {of}" if of > 1 else item.title
    return replace(page, title=title, signs=page.signs | {LineKind.MATCH})


def _joined(
    item: Item, tiling: tile.Tiling, room: Box
) -> tuple[View, tuple[tuple[Block, ...], ...]]:
    """Draw with words clear of the joints, what is said of it beside the piece or on it."""
    if item.face is None:
        return item.diagram, item.variants(())
    box = item.limit
    width = max(tiling.width, room.width) if len(tiling.columns) == 1 else tiling.width
    clear = [
        translate(shape, box.left, box.top)
        for shape in tile.keep_clear(tiling, width, tiling.height)
    ]
    wide = Box(box.left, box.top, box.left + width, box.bottom)
    drawn = view(item.face, wide, clear, item.variants)
    return drawn, drawn.unset


@dataclass(frozen=True, slots=True)
class _Cut:
    """A sheet and the room that its window takes on it."""

    page: Page
    window: Box


def _cut(
    order: Order, item: Item, size: tuple[float, float], tiling: tile.Tiling, drawn: View
) -> list[_Cut]:
    """Cut the drawing into its sheets, each with its key map."""
    box = drawn.limit
    marks = moved(drawn.marks, -box.left, -box.top)
    outline = [(x - box.left, y - box.top) for x, y in item.outline]
    made = []
    for number, (window, part) in enumerate(tile.cut(marks, tiling, drawn.limit.width)):
        page = _empty(order, item, size, number + 1, tiling.pages)
        frame: Frame = page.frame
        dx, dy = frame.box.left - window.left, frame.box.top - window.top
        set_ = moved(part, dx, dy)
        if tiling.pages > 1:
            room = map_room(frame.box)
            set_ += moved(tile.key_map(tiling, outline, number, MAP).marks, room.left, room.top)
        page = replace(page, marks=set_, signs=_used(part, drawn))
        made.append(_Cut(page, window.moved(dx, dy)))
    return made


def _used(marks: Sequence[Mark], drawn: View) -> frozenset[Sign]:
    kinds: set[Sign] = {mark.kind for mark in marks if not isinstance(mark, Words)}
    return frozenset(kinds & (drawn.signs | {LineKind.MATCH})) | (drawn.signs & {"free"})


def _with_words(
    made: list[_Cut], unset: Sequence[Sequence[Block]]
) -> tuple[list[_Cut], list[Block]]:
    """Set blocks of words on what the windows leave of the sheets; return those left over too."""
    spaces = [Space(one.page.frame.box, [one.window.grown(3.0)]) for one in made]
    left: list[Block] = []
    for variants in unset:
        for index, block in ((i, b) for i in range(len(made)) for b in variants):
            corner = spaces[index].corner(block.width, block.height)
            if corner is None:
                continue
            spaces[index].take(corner, gap=3.0)
            marks = (*made[index].page.marks, *moved(block.marks, corner.left, corner.top))
            made[index] = replace(made[index], page=replace(made[index].page, marks=marks))
            break
        else:
            left.append(variants[0])
    return made, left


def _notes(order: Order, item: Item, blocks: Sequence[Block]) -> Page:
    """Return a page for what is said of a tiled drawing and found no room on its sheets."""
    width, height = order.paper.pages[0]
    size = (width, min(height, 420.0))
    page = order.page([item], size, "foot", item.title, "notes to the sheets that follow")
    page = replace(page, title=f"{item.title}, notes", signs=frozenset())
    frame = page.frame
    space = Space(frame.box, frame.taken)
    marks: list[Mark] = []
    for block in blocks:
        corner = space.corner(block.width, block.height)
        if corner is None:
            raise PaperError(
                f"--paper: {order.paper.name} is too small for the notes to {item.title}; "
                "give a larger paper"
            )
        space.take(corner)
        marks += moved(block.marks, corner.left, corner.top)
    return replace(page, marks=tuple(marks))
