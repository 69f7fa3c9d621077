"""The record of one book: what was measured, read from a TOML file and refused where it cannot be.

Every attribute is named as its TOML table and key and is None when absent. Lengths are floats in
mm, weights kg, tear strength mN, angles degrees; lists are tuples. What each field means, its unit
and its range stand in `record_fields`.
"""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass, field, fields, replace
from pathlib import Path
from typing import Any, Literal

from patterns.errors import RecordError
from patterns.record import reading as record_reading
from patterns.record import text as record_text
from patterns.record import writing as record_writing
from patterns.record.fields import BY_NAME, FIELDS, LIST_TABLES, ORDER


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

    def without_owner(self) -> Record:
        """Return the record, and its text, with the owner left out."""
        if self.book.owner is None:
            return self
        bare = replace(self, book=replace(self.book, owner=None))
        text = record_text.without_key(self.text, "book.owner")
        try:
            kept = parse(text, self.source)
        except RecordError:
            return replace(bare, text=dump(bare))
        return replace(bare, text=text if kept == bare else dump(bare))


def load(path: Path) -> Record:
    """Read a record from a file. Raises RecordError: one line with file, line, field and remedy."""
    return parse(record_text.read_text(path), path.name)


def parse(text: str, name: str) -> Record:
    """Read a record from TOML text; `name` is the file's name in messages. Raises RecordError."""
    return build(record_reading.checked(text, name), text, name)


def build(tables: dict[str, Any], text: str = "", name: str = "record") -> Record:
    """Make a record from checked values: table name → {key: value}, or a list of such."""
    front, back = (Side(**tables.get(f"cover.{which}", {})) for which in ("front", "back"))
    folds = tuple(Fold(**item) for item in tables.get("sewing.fold", []))
    return Record(
        book=Book(**tables.get("book", {})),
        condition=Condition(**tables.get("condition", {})),
        text_block=TextBlock(**tables.get("text_block", {})),
        spine=Spine(**tables.get("spine", {})),
        cover=Cover(**tables.get("cover", {}), front=front, back=back),
        sewing=Sewing(**tables.get("sewing", {}), fold=folds),
        album=Album(**tables.get("album", {})),
        unions=tuple(Union(**item) for item in tables.get("union", [])),
        measuring=Measuring(**tables.get("measuring", {})),
        text=text,
        source=name,
    )


def present(record: Record, name: str) -> bool:
    """Say whether a dotted field has a value; a cover's field also when both sides override it."""
    if record.get(name) is not None:
        return True
    table, _, key = name.rpartition(".")
    if table != "cover" or key not in {item.name for item in fields(Side)}:
        return False
    return None not in (getattr(record.cover.front, key), getattr(record.cover.back, key))


def require(record: Record, names: Sequence[str]) -> None:
    """Refuse a record that lacks any of `names`, naming all that lack, in handling order.

    A name may hold alternatives, "spine.girth_head|spine.round_depth": one of them is enough.
    `book.id` is always required. Raises RecordError.
    """
    wanted = dict.fromkeys(["book.id", *names])
    missing = [name for name in wanted if not any(present(record, one) for one in name.split("|"))]
    if missing:
        missing.sort(key=lambda name: min(ORDER[one] for one in name.split("|")))
        words = ", ".join(" or ".join(map(_with_unit, name.split("|"))) for name in missing)
        line = record_text.line_of(missing[0].split("|")[0], record.text)
        where = f"{record.source}, line {line}" if line else record.source
        raise RecordError(
            f"{where}: missing {words}: measure and add each below its [table], "
            "or run “mendfold measure” for the reason of each"
        )


def _with_unit(name: str) -> str:
    unit = BY_NAME[name].unit
    return f"{name} ({unit})" if unit else name


def dump(record: Record) -> str:
    """Write a record as TOML, tables and keys in handling order."""
    tables: dict[str, Any] = {
        "sewing.fold": [_filled(item) for item in record.sewing.fold],
        "union": [_filled(item) for item in record.unions],
    }
    for one in FIELDS:
        if one.table not in LIST_TABLES and (value := record.get(one.name)) is not None:
            tables.setdefault(one.table, {})[one.key] = value
    return record_writing.written(tables)


def _filled(item: Fold | Union) -> dict[str, Any]:
    pairs = ((one.name, getattr(item, one.name)) for one in fields(item))
    return {key: value for key, value in pairs if value is not None}
