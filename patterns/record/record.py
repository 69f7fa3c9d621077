"""The record of one book: what was measured, table by table.

Every attribute is named as its TOML table and key and is None when absent. Lengths are floats in
mm, weights kg, tear strength mN, angles degrees; lists are tuples. What each field means, its unit
and its range stand in `fields`.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field, fields
from typing import Any, Literal


@dataclass(frozen=True, slots=True)
class Book:
    """What the book is."""

    id: str | None = None
    title: str | None = None
    owner: str | None = None
    note: str | None = None
    format: str | None = None
    reading: str | None = None
    weight: float | None = None


@dataclass(frozen=True, slots=True)
class Condition:
    """What may harm the book or its mender."""

    paper: str | None = None
    leather: str | None = None
    mould: bool | None = None
    parchment: bool | None = None
    iron_gall: bool | None = None
    green_cloth: bool | None = None
    soluble_media: bool | None = None
    active_pests: bool | None = None


@dataclass(frozen=True, slots=True)
class TextBlock:
    """The leaves and gatherings."""

    height: float | None = None
    width: float | None = None
    thickness: float | None = None
    thickness_fore_edge: float | None = None
    weight: float | None = None
    leaves: int | None = None
    gatherings: int | None = None
    leaves_per_gathering: int | None = None
    leaf_thickness: float | None = None
    grammage: float | None = None
    grain: str | None = None
    tear_strength: float | None = None
    anchor_first: int | None = None
    anchor_last: int | None = None


@dataclass(frozen=True, slots=True)
class Spine:
    """The spine of the text block."""

    profile: str | None = None
    round_depth: float | None = None
    over_shoulders: float | None = None
    shoulder: float | None = None
    shoulder_front: float | None = None
    shoulder_back: float | None = None
    shoulder_angle: float | None = None
    girth_head: float | None = None
    girth_tail: float | None = None
    strip_over: float | None = None
    linings: float | None = None
    edge_angle: float | None = None


@dataclass(frozen=True, slots=True)
class Fold:
    """A gathering whose folios or holes differ from the usual."""

    gathering: int
    folios: int | None = None
    holes: tuple[float, ...] | None = None


@dataclass(frozen=True, slots=True)
class Sewing:
    """The old sewing."""

    kind: str | None = None
    stations_from: str | None = None
    stations: tuple[float, ...] | None = None
    kettles: tuple[float, ...] | None = None
    supports_at: tuple[float, ...] | None = None
    holes_at: tuple[float, ...] | None = None
    support_width: float | None = None
    supports: str | None = None
    tie_down: float | None = None
    fold: tuple[Fold, ...] = ()


@dataclass(frozen=True, slots=True)
class Side:
    """One board, or one side of a limp cover."""

    board_height: float | None = None
    board_width: float | None = None
    board_thickness: float | None = None
    board_weight: float | None = None
    joint: str | None = None
    joint_gap: float | None = None
    square_head: float | None = None
    square_tail: float | None = None
    square_tail_spine: float | None = None
    square_tail_fore_edge: float | None = None
    square_fore_edge: float | None = None
    side_width: float | None = None
    side_height: float | None = None
    thickness: float | None = None
    turn_in: float | None = None


@dataclass(frozen=True, slots=True)
class Cover(Side):
    """The cover; its own board values hold for both sides unless `front` or `back` overrides."""

    kind: str | None = None
    spine_width: float | None = None
    spine_width_head: float | None = None
    spine_width_tail: float | None = None
    endband_head: float | None = None
    endband_tail: float | None = None
    front: Side = Side()
    back: Side = Side()

    def side(self, which: Literal["front", "back"]) -> Side:
        """Return one side's values with its overrides applied."""
        own = self.front if which == "front" else self.back
        values = {item.name: getattr(own, item.name) for item in fields(Side)}
        common = {key: getattr(self, key) for key, value in values.items() if value is None}
        return Side(**{**values, **common})


@dataclass(frozen=True, slots=True)
class Album:
    """Leaves that hang on stubs or guards."""

    kind: str | None = None
    leaves: int | None = None
    leaf_thickness: float | None = None
    contents_thickness: float | tuple[float, ...] | None = None
    leaf_width: float | None = None
    leaf_height: float | None = None
    old_stub: float | None = None
    inner_margin: float | None = None


@dataclass(frozen=True, slots=True)
class Union:
    """One join between two parts."""

    between: tuple[str, str]
    moves: bool | None = None
    made: str | None = None
    state: str | None = None


@dataclass(frozen=True, slots=True)
class Measuring:
    """The measuring itself."""

    error: float | None = None
    by: str | None = None
    on: datetime.date | None = None


@dataclass(frozen=True, slots=True)
class Record:
    """One book as measured; `text` is the source as it was, `source` its file name."""

    book: Book = Book()
    condition: Condition = Condition()
    text_block: TextBlock = TextBlock()
    spine: Spine = Spine()
    cover: Cover = Cover()
    sewing: Sewing = Sewing()
    album: Album = Album()
    unions: tuple[Union, ...] = ()
    measuring: Measuring = Measuring()
    text: str = field(default="", compare=False)
    source: str = field(default="record", compare=False)

    def get(self, name: str) -> Any:
        """Return the value of a dotted field such as `spine.round_depth`; None when absent."""
        value: Any = self
        for step in name.split("."):
            value = getattr(value, step)
        return value
