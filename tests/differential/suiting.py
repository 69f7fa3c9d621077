"""Drawn books bent towards a structure, so that most of them are drafted and not refused.

A book that is refused compares one line; what a structure works out is compared only where it suits.
A structure that is not named here is drafted for any book.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from random import Random

from tests.differential.covers import around
from tests.differential.rows import Row, Tables, figure

MOSTLY = 0.85
"""So many books are bent; the others are left as they were drawn."""


def suited(chance: Random, structures: Sequence[str], tables: Tables) -> Tables:
    """Give most books what the structures need, the first one first; the tables change in place."""
    for structure in structures:
        bend = BENDS.get(structure)
        if bend and chance.random() < MOSTLY:
            bend(chance, tables)
    return tables


def _row(tables: Tables, name: str) -> Row:
    held = tables.get(name, {})
    return held if isinstance(held, dict) else {}


def _narrow_cover(chance: Random, tables: Tables) -> None:
    """Leaves were added since: the cover's spine is narrower than the block needs."""
    _spine_width(tables, chance.uniform(0.72, 0.96), 0.0)


def _wide_cover(chance: Random, tables: Tables) -> None:
    """The cover has room for what is laid on the spine; nothing stands through it."""
    _spine_width(tables, 1.0, chance.uniform(2.0, 7.0))
    _no_raised_bands(chance, tables)


def _spine_width(tables: Tables, share: float, more: float) -> None:
    spine, cover = _row(tables, "spine"), _row(tables, "cover")
    across = around(spine, cover) * share + more
    for key in ("spine_width", "spine_width_head", "spine_width_tail"):
        if key in cover:
            cover[key] = round(across + (0.4 if key.endswith("tail") else 0.0), 1)


def _no_raised_bands(chance: Random, tables: Tables) -> None:
    sewing = _row(tables, "sewing")
    if sewing.get("supports") == "raised":
        sewing["supports"] = chance.choice(["tapes", "recessed"])


def _shoulder(chance: Random, tables: Tables) -> None:
    """The boards hang at a shoulder, and the book was weighed."""
    spine = _row(tables, "spine")
    spine["shoulder"] = round(chance.uniform(1.0, 5.0), 1)
    for key in ("shoulder_front", "shoulder_back"):
        spine.pop(key, None)
    if "over_shoulders" in spine:
        block = figure(_row(tables, "text_block"), "thickness")
        spine["over_shoulders"] = round(block + 2 * figure(spine, "shoulder"), 1)
    _row(tables, "book").setdefault("weight", round(chance.uniform(0.3, 3.0), 2))


def _thick_boards(chance: Random, tables: Tables) -> None:
    for name in ("cover", "cover.front", "cover.back"):
        row = _row(tables, name)
        if "board_thickness" in row:
            row["board_thickness"] = round(chance.uniform(2.4, 5.5), 1)


def _sagging(chance: Random, tables: Tables) -> None:
    """The tail squares were measured at both ends, and so was the endband."""
    cover = _row(tables, "cover")
    tail = figure(cover, "square_tail")
    cover["square_tail_spine"] = round(tail * chance.uniform(0.85, 1.1), 1)
    cover["square_tail_fore_edge"] = round(tail * chance.uniform(1.0, 1.5), 1)
    cover.setdefault("endband_tail", chance.choice([0.0, 1.5, 2.0]))


def _even_leaves(_chance: Random, tables: Tables) -> None:
    """Folded pairs have two leaves each."""
    album = _row(tables, "album")
    if album.get("kind") == "folios" and figure(album, "leaves") % 2:
        album["leaves"] = int(figure(album, "leaves")) + 1
        if isinstance(contents := album.get("contents_thickness"), list):
            album["contents_thickness"] = [*contents, contents[-1]]


BENDS: Mapping[str, Callable[[Random, Tables], None]] = {
    "album_guards": _even_leaves,
    "board_slot": _thick_boards,
    "cover_widening": _narrow_cover,
    "hollow_tube": _no_raised_bands,
    "joint_tacket": _shoulder,
    "text_block_support": _sagging,
    "tissue_hinge": _wide_cover,
}
