"""The pages of pieces and drawings: what stands on which page, in which arrangement, and where.

All items of a pattern are taken together. What needs several sheets is cut into them first; the
room that those leave, and further pages, take the rest, planned with rectangles alone. Marks are
set only when the plan is settled.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from patterns.model.part import Diagram, Part
from patterns.model.piece import Piece
from patterns.sheets import ruler, tiled
from patterns.sheets.alike import alike
from patterns.sheets.item import Item
from patterns.sheets.memory import Memory
from patterns.sheets.page import Layout, Page
from patterns.sheets.planning import Grounds, best, outermost
from patterns.sheets.room import PageRoom, rooms
from patterns.sheets.settled import settled, titled
from patterns.sheets.steps_page import Loose
from patterns.sheets.tiled import Canvas
from patterns.sketch.marks import Block, Box

MOST_SHEETS = 2
"""A plain piece that would take more is measured off from a ruler sheet."""


def plan(layout: Layout, loose: Sequence[Loose] = ()) -> tuple[Page, ...]:
    """Return the pages of every piece and of every drawing that belongs beside the pieces.

    Drawings of the assembly, and blocks of words that are `loose`, stand where the pieces leave
    room, else on pages of their own. Raises PaperError where the paper is too small.
    """
    wanted = _wanted(layout, loose)
    return tuple(settled(layout, _planned(layout, wanted))) if wanted else ()


def headed(layout: Layout, loose: Sequence[Loose] = ()) -> tuple[Page, ...]:
    """Return the same pages with nothing on them: how many they are, their titles and pieces."""
    wanted = _wanted(layout, loose)
    return tuple(titled(layout, _planned(layout, wanted))) if wanted else ()


def _wanted(layout: Layout, loose: Sequence[Loose]) -> list[Item]:
    """Return everything that wants room."""
    parts = layout.pattern.parts
    made = _compared(alike([item for part in parts for item in (*_items(part), *_views(part))]))
    if layout.shown == "cutting":
        made = [item for item in made if isinstance(item.subject, Piece)]
    return [*made, *(_loose(parts[0], *each) for each in loose)]


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


def _compared(items: Sequence[Item]) -> list[Item]:
    """Return the items, each piece with the first of its kind: what was said of it is not said again."""
    first: dict[tuple[object, ...], Piece] = {}
    made = []
    for item in items:
        piece = item.subject
        if isinstance(piece, Piece):
            kind = piece.structure, piece.material, piece.thickness_mm, piece.grain, piece.face_up
            if kind in first:
                item = replace(item, like=first[kind])
            first.setdefault(kind, piece)
        made.append(item)
    return made


def _views(part: Part) -> Iterator[Item]:
    """Yield the drawings of the assembly."""
    for diagram in part.diagrams:
        if diagram.page == "assembly":
            yield Item(part, diagram)


def _loose(part: Part, name: str, forms: Sequence[Block]) -> Item:
    """Return words that stand where there is room, in one of their forms."""
    first = forms[0]
    words = Diagram(
        name, "", "", "not to scale", first.width, first.height, first.marks, page="words"
    )
    return Item(part, words, variants=tuple(forms))


def _planned(layout: Layout, wanted: Sequence[Item]) -> Grounds:
    """Return the plan of all items: those too large for a page on canvases, the others whole."""
    memory, paper = layout.memory, layout.paper.name
    wanted = [_as_drawn(memory, one, paper) for one in wanted]
    plain = rooms(layout, _each_way(layout, wanted), mapped=False)
    mapped = rooms(layout, _each_way(layout, wanted), mapped=True)
    drawn = [one.small if _rules(layout, one, plain, mapped) else one for one in wanted]
    every = list(zip(*_each_way(layout, drawn), strict=True))
    long = [number for number, each in enumerate(every) if not _fits(each, plain)]
    made = tiled.canvases([every[number] for number in long], mapped)
    made = [memory.same(("canvas", paper, n), one) for n, one in enumerate(made)]
    items = {number: each for number, each in enumerate(every) if number not in long}
    return memory.kept(
        ("plan", paper), (plain, made, every), lambda: _best(layout, plain, made, items, drawn)
    )


def _as_drawn(memory: Memory, item: Item, paper: str) -> Item:
    """Return an item as the last lay-out drew it, where it is made of the same.

    What is drawn serves for every paper; words are made for the columns of one.
    """
    place = "item", item.part.structure, item.subject.name, paper if item.words else ""
    return memory.kept(place, item.made_of, lambda: item)


def _best(
    layout: Layout,
    rooms: Sequence[PageRoom],
    canvases: Sequence[Canvas],
    items: Mapping[int, Sequence[Item]],
    drawn: Sequence[Item],
) -> Grounds:
    """Draw every piece, looking up between them, and plan the pages."""
    order = {id(one.subject): number for number, one in enumerate(drawn)}
    words: dict[int, tuple[Item, Item]] = {}
    for canvas in canvases:
        layout.memory.look_up()
        for item, told in zip(canvas.row.items, canvas.words, strict=True):
            if not item.words:
                words[order[id(item.subject)]] = told
    for each in items.values():
        layout.memory.look_up()
        outermost(each[0])
    layout.memory.look_up()
    return best(rooms, canvases, items, words, order)


def _each_way(layout: Layout, items: Sequence[Item]) -> list[list[Item]]:
    """Return the items once for each way the page may lie."""
    return [[item.at(layout.stretch(*size)) for item in items] for size in layout.paper.pages]


def _fits(each: Sequence[Item], rooms: Sequence[PageRoom]) -> bool:
    """Tell whether some page takes an item whole."""
    return any(_takes(room.beside(each[room.way].signs), each[room.way]) for room in rooms)


def _takes(box: Box, item: Item) -> bool:
    limit = item.limit
    return limit.width <= box.width + 1e-6 and limit.height <= box.height + 1e-6


def _rules(
    layout: Layout, item: Item, plain: Sequence[PageRoom], mapped: Sequence[PageRoom]
) -> bool:
    """Tell whether a plain piece is drawn small: where it would take more than two sheets."""
    wish, piece = layout.full_size, item.subject
    if not isinstance(piece, Piece) or not piece.stock or not ruler.plain(piece):
        return False
    if wish or layout.paper.roll:
        return wish == "shaped"
    each = [item.at(layout.stretch(*size)) for size in layout.paper.pages]
    return not _fits(each, plain) and tiled.number(each, mapped) > MOST_SHEETS
