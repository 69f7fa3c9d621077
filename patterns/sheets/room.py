"""The rooms that a paper offers: each way it may lie, with its title block at the foot or turned."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

from patterns.errors import PaperError
from patterns.sheets.furniture import Arrangement, legend_mm
from patterns.sheets.item import Item
from patterns.sheets.legend import Sign
from patterns.sheets.page import Layout
from patterns.sketch.marks import Box

SIDES: tuple[Arrangement, ...] = ("edge", "turned")
"""What leaves most of a page; a page that needs less is given an ampler title in the end."""
SHEET = "sheet 88 of 88"


class PageRoom(NamedTuple):
    """A page as it may lie, and what its furniture leaves of it before there is a legend."""

    way: int
    size: tuple[float, float]
    side: Arrangement
    mapped: bool
    box: Box

    def legend(self, signs: frozenset[Sign]) -> Box:
        """Return the part of it that a legend takes."""
        return _legend(self, signs)

    def beside(self, signs: frozenset[Sign]) -> Box:
        """Return what a legend leaves of it."""
        taken = self.legend(signs)
        box = self.box
        if self.side == "edge":
            return Box(box.left, box.top, box.right, taken.top)
        return Box(box.left, box.top, taken.left, box.bottom)


@lru_cache(maxsize=4096)
def _legend(room: PageRoom, signs: frozenset[Sign]) -> Box:
    taken = legend_mm(signs, room.size, room.side, room.mapped)
    box = room.box
    if room.side == "edge":
        return Box(box.left, box.bottom - taken, box.right, box.bottom)
    return Box(box.right - taken, box.top, box.right, box.bottom)


def rooms(layout: Layout, each_way: Sequence[Sequence[Item]], mapped: bool) -> list[PageRoom]:
    """Return every room, as small as the longest title block makes it.

    Raises PaperError where the paper is too small for any.
    """
    made: list[PageRoom] = []
    refused: PaperError | None = None
    for way, (size, items) in enumerate(zip(layout.paper.pages, each_way, strict=True)):
        longest = sorted(items, key=lambda one: -sum(map(len, one.names)))
        for side in SIDES:
            page = layout.page(longest, size, side, longest[0].title, SHEET, mapped)
            try:
                box = page.framed(frozenset()).box
            except PaperError as error:
                refused = error
                continue
            if box.width > 0 and box.height > 0:
                made.append(PageRoom(way, size, side, mapped, box))
    if refused and not made:
        raise refused
    return made
