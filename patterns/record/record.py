"""The record of one book: what was measured, table by table.

Every attribute is named as its TOML table and key and is None when absent. Lengths are floats in
mm, weights kg, tear strength mN, angles degrees; lists are tuples. A field is one line: its name,
its type, what may stand there and why it is asked (`field`); `fields` gathers them.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field, fields
from functools import lru_cache
from operator import attrgetter
from typing import Any, Literal

from patterns.record.field import (
    CLEANED,
    EACH,
    EVERY,
    NEVER,
    SEWN,
    blocks,
    choice,
    choices,
    count,
    heights,
    kg,
    measured,
    mm,
    other,
    table,
    text,
    three,
    yes_or_no,
)

# fmt: off


@dataclass(frozen=True, slots=True)
class BookTable:
    """What the book is."""

    id: str | None = other("id", "names every sheet and folder of this book")
    title: str | None = text("printed in the title block")
    owner: str | None = text("kept in the record alone, never printed unless asked")
    note: str | None = text("anything the figures cannot say", 1000)
    format: str | None = choice("duodecimo|octavo|quarto|folio|large folio|other", "the squares usual for the format are compared with this book's")
    reading: str | None = choice("left-to-right|right-to-left", "says which board is the front; left-to-right unless given")
    weight: float | None = kg(0.005, 80, "whole book on the scales: a bound book cannot give the block's weight, so block = book − boards (− cover)")
    outside: tuple[float, float, float] | None = three(3, 2200, "closed book over everything that stands out, between two set squares: head to tail, spine to fore edge, thickness; a wrapper is made to it")


@dataclass(frozen=True, slots=True)
class ConditionTable:
    """What may harm the book or its mender."""

    paper: str | None = choice("strong|fair|weak|brittle", "paper at the folds; assumed strength where its tear strength is not measured")
    leather: str | None = choice("sound|red-rot", "water blackens red-rotted leather")
    mould: str | None = choice("none|inactive|active", "mould anywhere: inactive is dry and brushes off as powder; active, or true: nothing but isolating it", when_true="active", when_false="none")
    parchment: tuple[str, ...] | None = choices("leaves|cover", "parchment moves with any moisture and shrinks under heat; true: both")
    photographs: bool | None = yes_or_no("photographs on the leaves or between them: tested papers alone, no moisture near")
    iron_gall: bool | None = yes_or_no("iron-gall ink suffers no moisture")
    green_cloth: bool | None = yes_or_no("green 19th-century cloth or paper may hold arsenic")
    soluble_media: bool | None = yes_or_no("inks, dyes or stamps that run: every liquid is tested first")
    active_pests: bool | None = yes_or_no("insects alive in the book: stop and quarantine")


@dataclass(frozen=True, slots=True)
class TextBlockTable:
    """The leaves and gatherings."""

    height: float | None = mm(20, 2000, "along the fold, from the head as it is now to the tail")
    width: float | None = mm(15, 2000, "from the outer fold to the fore edge of the leaves", "mean")
    thickness: float | None = mm(0.5, 400, "between the boards' inner faces, at the base of the shoulders, under the same light press (about 1 kg) throughout; never over the shoulders", "mean", CLEANED)
    thickness_fore_edge: float | None = mm(0.5, 600, "at the fore edge, under the same light press: a block thicker there than at its spine will not close by a wider cover", "mean", CLEANED)
    weight: float | None = kg(0.003, 80, "only of a block out of its cover; else give book.weight")
    leaves: int | None = count(1, 5000, "all leaves of the block: leaf thickness = thickness ÷ leaves")
    gatherings: int | None = count(1, 600, "all gatherings, counted from the front board")
    leaves_per_gathering: int | None = count(1, 128, "of the usual gathering: four folios are 8 leaves")
    leaf_thickness: float | None = mm(0.01, 3, "one leaf, or ten leaves under the calipers ÷ 10", "mean", places=EACH)
    grammage: float | None = measured("g/m²", 5, 1500, "of the leaves, for an estimated weight")
    grain: str | None = choice("head-tail|spine-fore edge|none", "grain of the leaves; none: handmade")
    tear_strength: float | None = measured("mN", 10, 20000, "one leaf, along the fold; leave it out unless measured: no safety factor is printed")
    anchor_first: int | None = count(1, 600, "number from the front of the first gathering with two folios or more: an endpaper folio cannot hold a sewing")
    anchor_last: int | None = count(1, 600, "number from the front of the last gathering with two folios or more")


@dataclass(frozen=True, slots=True)
class SpineTable:
    """The spine of the text block."""

    profile: str | None = choice("flat|rounded|concave", "shape of the bare spine; concave: fallen in", visits=CLEANED)
    round_depth: float | None = mm(-150, 300, "from the line joining the two tips (or outer folds) to the crown; + convex, − fallen in", "mean", CLEANED)
    over_shoulders: float | None = mm(0.5, 500, "calipers over both tips of the shoulders; wins as chord over thickness + shoulders", "mean", CLEANED)
    shoulder: float | None = mm(0, 30, "from the block's face to the tip of the shoulder; sets front and back", "mean", CLEANED)
    shoulder_front: float | None = mm(0, 30, "where the front shoulder differs", "mean", CLEANED)
    shoulder_back: float | None = mm(0, 30, "where the back shoulder differs", "mean", CLEANED)
    shoulder_angle: float | None = measured("°", 20, 160, "between block and shoulder; 90 unless given")
    girth_head: float | None = mm(0.5, 900, "paper strip, tip to tip, at the block's head, endband excluded, over bare spine or strip_over", visits=CLEANED)
    girth_tail: float | None = mm(0.5, 900, "paper strip, tip to tip, at the block's tail, endband excluded, over bare spine or strip_over", visits=CLEANED)
    girth_sewn_head: float | None = mm(0.5, 900, "after a new sewing: paper strip over the sewn lining, tip to tip, at its head, beside the bars; what lies above is drafted from it", visits=SEWN)
    girth_sewn_tail: float | None = mm(0.5, 900, "after a new sewing: paper strip over the sewn lining, tip to tip, at its tail, beside the bars; what lies above is drafted from it", visits=SEWN)
    strip_over: float | None = mm(0, 20, "thickness of the linings the strip lay on; 0: bare spine", visits=CLEANED)
    linings: float | None = mm(0, 20, "thickness of the linings that stay in place; every later piece lies on them", "mean", CLEANED)
    edge_angle: float | None = measured("°", 1, 90, "angle of the round at its edge, where the round is no circle")


@dataclass(frozen=True, slots=True)
class FoldTable:
    """A gathering whose folios or holes differ from the usual."""

    gathering: int = count(1, 600, "number of the irregular gathering, counted from anchor_first", needed=True)
    folios: int | None = count(1, 64, "its folios, where they differ from the usual")
    holes: tuple[float, ...] | None = heights("its own old holes, from the head")


@dataclass(frozen=True, slots=True)
class SewingTable:
    """The old sewing."""

    kind: str | None = text("how the gatherings are sewn, in a few words")
    stations_from: str | None = choice("head|kettle", "zero of all heights: the head as it is now; kettle: the first kettle is zero, when heads are uneven or trimmed since", visits=CLEANED)
    stations: tuple[float, ...] | None = heights("all holes, from the head along the fold; first and last are taken as kettles unless kettles is given", visits=CLEANED)
    kettles: tuple[float, ...] | None = heights("heights of the kettle stitches alone", visits=CLEANED)
    supports_at: tuple[float, ...] | None = heights("heights of the middles of tapes, cords or bands", visits=CLEANED)
    holes_at: tuple[float, ...] | None = heights("heights of single holes without a support", visits=CLEANED)
    support_width: float | None = mm(0.2, 80, "of one tape, cord or band, head to tail", "mean", places=EACH)
    support_height: float | None = mm(0.2, 30, "of raised bands or cords: how far they stand out from the spine between them")
    supports: str | None = choice("raised|recessed|tapes|none", "raised bands take no tube")
    tie_down: float | None = mm(0, 80, "how far from head and tail sewn endbands are tied down; 0: none")
    fold: tuple[FoldTable, ...] = blocks(FoldTable)


@dataclass(frozen=True, slots=True)
class SideTable:
    """One board, or one side of a limp cover."""

    board_height: float | None = mm(20, 2100, "head to tail; of a limp cover, its height at the spine")
    board_width: float | None = mm(10, 2100, "spine edge to fore edge", "mean")
    board_thickness: float | None = mm(0.2, 40, "bare core at the spine edge, no covering, no paste-down: the least of three readings along it", "least")
    board_weight: float | None = kg(0.001, 30, "of one board: block = book − boards")
    joint: str | None = choice("tight|french|flush", "how the board turns: at the shoulder, over a groove, or level with the spine")
    joint_gap: float | None = mm(0, 60, "between the base of the shoulder and the board's spine edge", "mean")
    joint_over: float | None = mm(0, 80, "paper strip laid in the groove, from the tip of the shoulder to the board's outer arris: the covering's way over the joint", "mean")
    square_head: float | None = mm(0, 80, "board beyond the block at the head: board heights count from here")
    square_tail: float | None = mm(0, 80, "board beyond the block at the tail: the block hangs by this much")
    square_tail_spine: float | None = mm(0, 80, "tail square at the spine, block lying flat and pushed home")
    square_tail_fore_edge: float | None = mm(0, 80, "tail square at the fore edge, block pushed home")
    square_fore_edge: float | None = mm(0, 80, "board beyond the block at the fore edge", "mean")
    side_width: float | None = mm(10, 2100, "limp cover: spine fold to fore edge")
    side_height: float | None = mm(20, 2100, "limp cover: head to tail")
    thickness: float | None = mm(0.02, 40, "the cover's own material at the spine and joints", "mean")
    turn_in: float | None = mm(0, 200, "width of the cover's turn-ins; 0: none")


_OF_A_SIDE = tuple(item.name for item in fields(SideTable))


@dataclass(frozen=True, slots=True)
class CoverTable(SideTable):
    """The cover; its own board values hold for both sides unless `front` or `back` overrides."""

    kind: str | None = choice("in-boards|case|limp|wrapper|wooden boards|other", "in-boards: boards laced to the block; case: made apart, with a natural hollow", order=-1)
    spine_width: float | None = mm(0.5, 900, "limp: between the inner folds, where the sides begin to lie flat; case or in-boards: board edge to board edge, cover off and laid flat; still on the book: leave it out, or give spine_strip")
    spine_width_head: float | None = mm(0.5, 900, "where it differs from the tail: the cover's spine read across at its head, between the same points as the spine width")
    spine_width_tail: float | None = mm(0.5, 900, "where it differs from the head: the cover's spine read across at its tail, between the same points as the spine width")
    spine_strip: float | None = mm(0.5, 900, "cover with boards, still on its book: paper strip outside over the spine and into both joints, from outer arris to outer arris, book shut; a limp cover has none")
    endband_head: float | None = mm(0, 40, "how far the head endband stands out from the block; 0: none")
    endband_tail: float | None = mm(0, 40, "how far the tail endband stands out from the block; 0: none")
    front: SideTable = table(SideTable)
    back: SideTable = table(SideTable)

    def side(self, which: Literal["front", "back"]) -> SideTable:
        """Return one side's values with its overrides applied."""
        return _sided(self, self.front if which == "front" else self.back)


@lru_cache(maxsize=64)
def _sided(cover: CoverTable, own: SideTable) -> SideTable:
    values = ((getattr(own, name), name) for name in _OF_A_SIDE)
    return SideTable(*(getattr(cover, name) if value is None else value for value, name in values))


@dataclass(frozen=True, slots=True)
class AlbumTable:
    """Leaves that hang on stubs or guards."""

    kind: str | None = choice("single|folios", "single leaves on stubs, or folded pairs")
    leaves: int | None = count(1, 2000, "leaves to be guarded")
    leaf_thickness: float | None = mm(0.01, 5, "one leaf beside its contents", "mean", places=EACH)
    contents_thickness: float | tuple[float, ...] | None = measured("length or lengths", 0, 60, "mean of a leaf, both sides, under light pressure; or one figure a leaf")
    leaf_width: float | None = mm(15, 2000, "without the old stub")
    leaf_height: float | None = mm(20, 2000, "head to tail")
    old_stub: float | None = mm(0, 200, "width of the old stub, spine to leaf; 0: none")
    inner_margin: float | None = mm(0, 500, "clear of contents at the spine side, on the fuller face")


@dataclass(frozen=True, slots=True)
class UnionTable:
    """One join between two parts."""

    between: tuple[str, str] = other("two names", "the two parts of one join, as text block and boards; examine judges by the joins", needed=True)
    moves: bool | None = yes_or_no("a join that must move lasts longer sewn")
    made: str | None = choice("sewn|pasted", "how it is joined")
    state: str | None = choice("sound|weak|failed", "how it holds now")


@dataclass(frozen=True, slots=True)
class MeasuringTable:
    """The measuring itself."""

    error: float | None = mm(0.01, 5, "± of one reading; 0.5 unless given", "spread", places=EACH)
    caliper_error: float | None = mm(0, 2, "± of what calipers read: board, cover, thread; a leaf, read by ten together, a tenth of it; 0.1 unless given", "spread", places=EACH)
    checked: tuple[str, ...] | None = other("fields", "readings measured again and found right, by name: what looks odd about them is asked no more", visits=NEVER)
    by: str | None = text("who measured", visits=EVERY)
    on: datetime.date | None = other("date", "printed as the record's date", visits=EVERY)


# fmt: on
@dataclass(frozen=True, slots=True)
class Record:
    """One book as measured; `text` is the source as it was, `source` its file name."""

    book: BookTable = table(BookTable)
    condition: ConditionTable = table(ConditionTable)
    text_block: TextBlockTable = table(TextBlockTable)
    spine: SpineTable = table(SpineTable)
    cover: CoverTable = table(CoverTable)
    sewing: SewingTable = table(SewingTable)
    album: AlbumTable = table(AlbumTable)
    unions: tuple[UnionTable, ...] = blocks(UnionTable, "union")
    measuring: MeasuringTable = table(MeasuringTable)
    text: str = field(default="", compare=False)
    source: str = field(default="record", compare=False)

    def get(self, name: str) -> Any:
        """Return the value of a dotted field such as `spine.round_depth`; None when absent."""
        return attrgetter(name)(self)
