"""Which join of a book a recorded union is, by the names its recorder gave the two parts.

A record names parts freely ("upper board", "text block", "leaf 12", "its stub"), for no list would
hold every book's. Nothing else in the program reads words that a user wrote: what a union is, is
decided here once, by these rules in this order.

1. Either name speaks of a leaf, stub or guard: the *leaves* hang there.
2. Either speaks of the spine or back, and neither of a board or joint: the *spine*.
3. Either speaks of a board, joint, slip or lacing, or of a cover, wrapper, case or side: the
   *board joint*, or in a limp cover, which has no boards, the *cover joint*.
4. Anything else joins *gatherings* to each other or to what they are sewn on.

A word counts as part of a longer one too ("paste-down board", "leaves"), in small or capital letters.
"""

from __future__ import annotations

import re
from typing import Literal

from patterns.record.record import Record, UnionTable

Role = Literal["board joint", "cover joint", "leaves", "spine", "gatherings"]

MOVING: frozenset[Role] = frozenset({"board joint", "cover joint", "leaves"})
"""Joins that move by their nature, where the record does not say."""

_LEAVES = re.compile(r"leaf|leaves|stub|guard", re.IGNORECASE)
_STUBS = re.compile(r"stub|guard", re.IGNORECASE)
_BOARDS = re.compile(r"board|joint|slip|lacing", re.IGNORECASE)
_COVER = re.compile(r"cover|wrapper|case|side", re.IGNORECASE)
_SPINE = re.compile(r"spine|back", re.IGNORECASE)


def role(between: tuple[str, str], limp: bool) -> Role:
    """Return which join of the book two named parts make; `limp` for a cover without boards.

    >>> role(("front board", "text block"), limp=False)
    'board joint'
    >>> role(("back board", "spine"), limp=False), role(("spine", "linings"), limp=False)
    ('board joint', 'spine')
    >>> role(("Wrapper", "text block"), limp=True), role(("leaf 3", "stub"), limp=True)
    ('cover joint', 'leaves')
    >>> role(("gatherings", "sewing supports"), limp=False)
    'gatherings'
    """
    names = " / ".join(between)
    if _LEAVES.search(names):
        return "leaves"
    if _SPINE.search(names) and not _BOARDS.search(names):
        return "spine"
    if _BOARDS.search(names) or _COVER.search(names):
        return "cover joint" if limp else "board joint"
    return "gatherings"


def moves(union: UnionTable, limp: bool) -> bool | None:
    """Whether a union moves: as recorded; a joint or a leaf by its nature where nothing is said."""
    if union.moves is None and role(union.between, limp) in MOVING:
        return True
    return union.moves


def on_stubs(record: Record) -> bool:
    """Tell whether a recorded union names stubs or guards: leaves hang there, as in an album."""
    return any(_STUBS.search(" / ".join(one.between)) for one in record.unions)


def joints_sound(record: Record) -> bool:
    """Tell whether the boards still hang: their joins are recorded, and every one of them is sound."""
    limp = record.cover.kind in ("limp", "wrapper")
    joints = [one for one in record.unions if role(one.between, limp) == "board joint"]
    return bool(joints) and all(one.state == "sound" for one in joints)
