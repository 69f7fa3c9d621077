"""The pages of a plan: each with its furniture, its drawings and their words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial
from itertools import chain

from patterns.errors import PaperError
from patterns.model.drawing import Mark
from patterns.sheets.furniture import CORNER, Arrangement, map_room
from patterns.sheets.ground import Ground
from patterns.sheets.item import Item
from patterns.sheets.page import Layout, Page
from patterns.sheets.planning import Grounds
from patterns.sheets.setting import Place
from patterns.sheets.whereabouts import Displayed, waiting
from patterns.sketch.marks import Box, moved

LEAST_ROLL = 140.0
"""Shortest page of a roll: both bars must stand beside it."""
AMPLE: dict[Arrangement, Arrangement] = {"edge": "foot", "turned": "side"}
"""How a page is arranged instead where its content leaves room for an ampler title."""


def settled(layout: Layout, plan: Grounds) -> list[Page]:
    """Return the pages in working order, those of one phase together."""
    pages: list[Page] = []
    for ground, places in _ordered(plan):
        make = partial(_whole if ground.canvas is None else _sheet, layout, ground, places)
        of = layout.heads, ground.canvas, ground.number, ground.room, places
        pages.append(layout.memory.kept(("page", len(pages)), of, make))
    return _by_phase(pages)


def titled(layout: Layout, plan: Grounds) -> list[Page]:
    """Return the same pages with nothing on them but their headings."""
    pages = []
    for ground, places in _ordered(plan):
        if ground.canvas is None:
            pages.append(layout.page(_items(places), ground.room.size, ground.room.side))
        else:
            pages.append(_headed(layout, ground, places))
    return _by_phase(pages)


def _ordered(plan: Grounds) -> Iterator[tuple[Ground, list[Place]]]:
    for ground in sorted(plan, key=lambda one: (one.first, one.canvas is None, one.number)):
        yield ground, [found for _, found in sorted(ground.places, key=lambda one: one[0])]


def _by_phase(pages: Sequence[Page]) -> list[Page]:
    phases = list(dict.fromkeys(page.phase for page in pages))
    return sorted(pages, key=lambda page: phases.index(page.phase))


def _headed(layout: Layout, ground: Ground, places: Sequence[Place]) -> Page:
    """Return one sheet of a canvas with nothing on it but its heading."""
    canvas, room = ground.canvas, ground.room
    assert canvas is not None
    of = canvas.tiling.pages
    words = f"sheet {ground.number + 1} of {of}" if of > 1 else ""
    items = [*canvas.row.items, *_items(places)]
    return layout.page(items, room.size, room.side, canvas.row.title, words, of > 1)


def _items(places: Sequence[Place]) -> list[Item]:
    return [one.item for one in places]


def _whole(layout: Layout, ground: Ground, places: Sequence[Place]) -> Page:
    """Return a page of whole drawings, with the amplest title that leaves them their room."""
    signs = frozenset(sign for one in places for sign in one.view.signs)
    room = ground.room
    box = _filled(places)
    for side in (AMPLE[room.side], room.side):
        page = replace(layout.page(_items(places), room.size, side), signs=signs)
        try:
            frame = page.frame
        except PaperError:
            continue
        if box.right <= frame.box.right + 1e-6 and box.height <= frame.box.height + 1e-6:
            break
    down = frame.box.top - room.box.top
    drawn = [one.moved(0.0, down).marks for one in places]
    page = replace(page, marks=tuple(chain.from_iterable(drawn)), whose=_whose(places, drawn))
    return _cut_off(layout, page, box.bottom + down)


def _sheet(layout: Layout, ground: Ground, places: Sequence[Place]) -> Page:
    """Return one sheet of a canvas, with what stands in the room that it leaves."""
    canvas, room = ground.canvas, ground.room
    assert canvas is not None
    window, marks = canvas.windows[ground.number], canvas.sheets[ground.number]
    of = canvas.tiling.pages
    page = _headed(layout, ground, places)
    signs = canvas.used(marks).union(*(one.view.signs for one in places))
    title = f"{canvas.row.title}, sheet {ground.number + 1} of {of}" if of > 1 else page.title
    drawn = [one.marks for one in places]
    page = replace(page, title=title, signs=signs, whose=_whose(places, drawn))
    marks = (*marks, *chain.from_iterable(drawn))
    if of > 1:
        at = map_room(page.frame.box, room.side, page.height_mm)
        marks = (*marks, *moved(canvas.map(ground.number).marks, at.left, at.top))
    low = max(window.bottom, _filled(places).bottom if places else 0.0)
    return _cut_off(layout, replace(page, marks=marks), low)


def _whose(
    places: Sequence[Place], drawn: Sequence[Sequence[Mark]]
) -> tuple[tuple[Displayed, ...], ...]:
    """Return what stands on other pages, once for each of the words drawn here that wait for its page."""
    pairs = zip(places, drawn, strict=True)
    return tuple(one.item.awaited(sign) for one, marks in pairs for sign in waiting(marks))


def _filled(places: Sequence[Place]) -> Box:
    boxes = [box for one in places for box in one.boxes]
    return Box(
        min(box.left for box in boxes),
        min(box.top for box in boxes),
        max(box.right for box in boxes),
        max(box.bottom for box in boxes),
    )


def _cut_off(layout: Layout, page: Page, low: float) -> Page:
    """Return a page of a roll cut off below its content; any other as it is."""
    if not layout.paper.roll:
        return page
    box = page.frame.box
    least = max(
        box.top + 100.0 * page.stretch[1] + CORNER, LEAST_ROLL - page.height_mm + box.bottom
    )
    return replace(page, height_mm=page.height_mm - (box.bottom - max(low, least)))
