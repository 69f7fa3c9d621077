"""The one table of fields of a record, in the order a person handles the book.

Reading, refusing, the interview, the blank record and the list of what is missing all go by it:
first what the book is and what may harm it or you, then the book closed, then the boards, then
the book opened, last the joins and the measuring itself.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

Kind = Literal[
    "mm", "kg", "mN", "g/m²", "°", "count", "lengths", "length or lengths",
    "text", "id", "choice", "yes or no", "date", "two names",
]  # fmt: skip
LIST_TABLES = ("sewing.fold", "union")


@dataclass(frozen=True, slots=True)
class Field:
    """One thing to measure or say: where it stands, what it may be, and why it is asked."""

    table: str
    key: str
    kind: Kind
    reason: str
    low: float = 0.0
    high: float = 0.0
    words: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """Dotted name, as `text_block.height`."""
        return f"{self.table}.{self.key}"

    @property
    def unit(self) -> str:
        """Unit of a bare number; empty for what is no measurement."""
        if self.kind in ("lengths", "length or lengths"):
            return "mm"
        return self.kind if self.kind in ("mm", "kg", "mN", "g/m²", "°") else ""

    @property
    def allowed(self) -> str:
        """What may stand here, in words."""
        span = f"{self.low:g} to {self.high:g}"
        several = f"distances in mm from {span}, as [12, 60.5, 110]"
        return {
            "count": f"a whole number from {span}",
            "lengths": several,
            "length or lengths": f"{span} mm, or a list with one figure a leaf",
            "text": f"words in quotes, one line, at most {self.high:g} characters",
            "id": "1 to 64 letters A–Z a–z, digits, - and _, starting with a letter or digit",
            "choice": ", ".join(f'"{word}"' for word in self.words),
            "yes or no": "true or false",
            "date": "a date without quotes, as 2026-11-25",
            "two names": 'two names, as ["text block", "boards"]',
        }.get(self.kind, f"{span} {self.unit}")


def _mm(key: str, low: float, high: float, reason: str, kind: Kind = "mm") -> Field:
    return Field("", key, kind, reason, low, high)


def _count(key: str, low: int, high: int, reason: str) -> Field:
    return Field("", key, "count", reason, low, high)


def _text(key: str, reason: str, most: int = 200) -> Field:
    return Field("", key, "text", reason, 0, most)


def _choice(key: str, words: str, reason: str) -> Field:
    return Field("", key, "choice", reason, words=tuple(words.split("|")))


def _yes(key: str, reason: str) -> Field:
    return Field("", key, "yes or no", reason)


def _table(table: str, *fields: Field) -> Iterator[Field]:
    return (replace(field, table=table) for field in fields)


_BOOK = (
    Field("", "id", "id", "names every sheet and folder of this book"),
    _text("title", "printed in the title block"),
    _text("owner", "kept in the record alone, never printed unless asked"),
    _text("note", "anything the figures cannot say", 1000),
    _choice("format", "duodecimo|octavo|quarto|folio|large folio|other",
            "the squares usual for the format are compared with this book's"),
    _choice("reading", "left-to-right|right-to-left",
            "says which board is the front; left-to-right unless given"),
    _mm("weight", 0.005, 80, "whole book on the scales: a bound book cannot give the block's "
        "weight, so block = book − boards (− cover)", "kg"),
)  # fmt: skip
_CONDITION = (
    _choice("paper", "strong|fair|weak|brittle",
            "paper at the folds; assumed strength where its tear strength is not measured"),
    _choice("leather", "sound|red-rot", "water blackens red-rotted leather"),
    _yes("mould", "mould seen anywhere: gloves, mask, and no work while it is active"),
    _yes("parchment", "parchment in leaves or cover moves with any moisture"),
    _yes("iron_gall", "iron-gall ink suffers no moisture"),
    _yes("green_cloth", "green 19th-century cloth or paper may hold arsenic"),
    _yes("soluble_media", "inks, dyes or stamps that run: every liquid is tested first"),
    _yes("active_pests", "insects alive in the book: stop and quarantine"),
)  # fmt: skip
_TEXT_BLOCK = (
    _mm("height", 20, 2000, "along the fold, from the head as it is now to the tail"),
    _mm("width", 15, 2000, "from the outer fold to the fore edge of the leaves"),
    _mm("thickness", 0.5, 400, "between the boards' inner faces, at the base of the shoulders, "
        "under the same light press (about 1 kg) throughout; never over the shoulders"),
    _mm("thickness_fore_edge", 0.5, 600, "at the fore edge, under the same light press: a block "
        "thicker there than at its spine will not close by a wider cover"),
    _mm("weight", 0.003, 80, "only of a block out of its cover; else give book.weight", "kg"),
    _count("leaves", 1, 5000, "all leaves of the block: leaf thickness = thickness ÷ leaves"),
    _count("gatherings", 1, 600, "all gatherings, counted from the front board"),
    _count("leaves_per_gathering", 1, 128, "of the usual gathering: four folios are 8 leaves"),
    _mm("leaf_thickness", 0.01, 3, "one leaf, or ten leaves under the calipers ÷ 10"),
    _mm("grammage", 5, 1500, "of the leaves, for an estimated weight", "g/m²"),
    _choice("grain", "head-tail|spine-fore edge|none", "grain of the leaves; none: handmade"),
    _mm("tear_strength", 10, 20000, "one leaf, along the fold; leave it out unless measured: "
        "no safety factor is printed", "mN"),
    _count("anchor_first", 1, 600, "number from the front of the first gathering with two "
           "folios or more: an endpaper folio cannot hold a sewing"),
    _count("anchor_last", 1, 600, "number from the front of the last gathering with two "
           "folios or more"),
)  # fmt: skip
_SPINE = (
    _choice("profile", "flat|rounded|concave", "shape of the bare spine; concave: fallen in"),
    _mm("round_depth", -150, 300, "from the line joining the two tips (or outer folds) to the "
        "crown; + convex, − fallen in"),
    _mm("over_shoulders", 0.5, 500, "calipers over both tips of the shoulders; wins as chord over "
        "thickness + shoulders"),
    _mm("shoulder", 0, 30, "from the block's face to the tip of the shoulder; sets front and back"),
    _mm("shoulder_front", 0, 30, "where the front shoulder differs"),
    _mm("shoulder_back", 0, 30, "where the back shoulder differs"),
    _mm("shoulder_angle", 20, 160, "between block and shoulder; 90 unless given", "°"),
    _mm("girth_head", 0.5, 900, "paper strip, tip to tip, at the block's head, endband excluded, "
        "over bare spine or strip_over"),
    _mm("girth_tail", 0.5, 900, "paper strip, tip to tip, at the block's tail, endband excluded, "
        "over bare spine or strip_over"),
    _mm("strip_over", 0, 20, "thickness of the linings the strip lay on; 0: bare spine"),
    _mm("linings", 0, 20, "thickness of the linings that stay in place; every later piece lies on "
        "them"),
    _mm("edge_angle", 1, 90, "angle of the round at its edge, where the round is no circle", "°"),
)  # fmt: skip
_SIDE = (
    _mm("board_height", 20, 2100, "head to tail; of a limp cover, its height at the spine"),
    _mm("board_width", 10, 2100, "spine edge to fore edge"),
    _mm("board_thickness", 0.2, 40, "bare core at the spine edge, no covering, no paste-down"),
    _mm("board_weight", 0.001, 30, "of one board: block = book − boards", "kg"),
    _choice("joint", "tight|french|flush", "how the board turns: at the shoulder, over a groove, "
            "or level with the spine"),
    _mm("joint_gap", 0, 60, "between the base of the shoulder and the board's spine edge"),
    _mm("square_head", 0, 80, "board beyond the block at the head: board heights count from here"),
    _mm("square_tail", 0, 80, "board beyond the block at the tail: the block hangs by this much"),
    _mm("square_tail_spine", 0, 80, "tail square at the spine, block lying flat and pushed home"),
    _mm("square_tail_fore_edge", 0, 80, "tail square at the fore edge, block pushed home"),
    _mm("square_fore_edge", 0, 80, "board beyond the block at the fore edge"),
    _mm("side_width", 10, 2100, "limp cover: spine fold to fore edge"),
    _mm("side_height", 20, 2100, "limp cover: head to tail"),
    _mm("thickness", 0.02, 40, "the cover's own material at the spine and joints"),
    _mm("turn_in", 0, 200, "width of the cover's turn-ins; 0: none"),
)  # fmt: skip
_COVER = (
    _choice("kind", "in-boards|case|limp|wrapper|wooden boards|other",
            "in-boards: boards laced to the block; case: made apart, with a natural hollow"),
    *_SIDE,
    _mm("spine_width", 0.5, 900, "between the inner folds of the sides, or boards"),
    _mm("spine_width_head", 0.5, 900, "between the inner folds, at the head"),
    _mm("spine_width_tail", 0.5, 900, "between the inner folds, at the tail"),
    _mm("endband_head", 0, 40, "how far the head endband stands out from the block; 0: none"),
    _mm("endband_tail", 0, 40, "how far the tail endband stands out from the block; 0: none"),
)  # fmt: skip
_SEWING = (
    _text("kind", "how the gatherings are sewn, in a few words"),
    _choice("stations_from", "head|kettle", "zero of all heights: the head as it is now; kettle: "
            "the first kettle is zero, when heads are uneven or trimmed since"),
    _mm("stations", 0, 2000, "all holes, from the head along the fold; first and last are taken as "
        "kettles unless kettles is given", "lengths"),
    _mm("kettles", 0, 2000, "heights of the kettle stitches alone", "lengths"),
    _mm("supports_at", 0, 2000, "heights of the middles of tapes, cords or bands", "lengths"),
    _mm("holes_at", 0, 2000, "heights of single holes without a support", "lengths"),
    _mm("support_width", 0.2, 80, "of one tape, cord or band, head to tail"),
    _choice("supports", "raised|recessed|tapes|none", "raised bands take no tube"),
    _mm("tie_down", 0, 80, "how far from head and tail sewn endbands are tied down; 0: none"),
)  # fmt: skip
_FOLD = (
    _count("gathering", 1, 600, "number of the irregular gathering, counted from anchor_first"),
    _count("folios", 1, 64, "its folios, where they differ from the usual"),
    _mm("holes", 0, 2000, "its own old holes, from the head", "lengths"),
)
_ALBUM = (
    _choice("kind", "single|folios", "single leaves on stubs, or folded pairs"),
    _count("leaves", 1, 2000, "leaves to be guarded"),
    _mm("leaf_thickness", 0.01, 5, "one leaf beside its contents"),
    _mm("contents_thickness", 0, 60, "mean of a leaf, both sides, under light pressure; or one "
        "figure a leaf", "length or lengths"),
    _mm("leaf_width", 15, 2000, "without the old stub"),
    _mm("leaf_height", 20, 2000, "head to tail"),
    _mm("old_stub", 0, 200, "width of the old stub, spine to leaf; 0: none"),
    _mm("inner_margin", 0, 500, "clear of contents at the spine side, on the fuller face"),
)  # fmt: skip
_UNION = (
    Field(
        "",
        "between",
        "two names",
        "the two parts of one join, as text block and boards; examine judges by the joins",
    ),
    _yes("moves", "a join that must move lasts longer sewn"),
    _choice("made", "sewn|pasted", "how it is joined"),
    _choice("state", "sound|weak|failed", "how it holds now"),
)
_MEASURING = (
    _mm("error", 0.01, 5, "± of one reading; 0.5 unless given"),
    _text("by", "who measured"),
    Field("", "on", "date", "printed as the record's date"),
)

FIELDS: tuple[Field, ...] = (
    *_table("book", *_BOOK),
    *_table("condition", *_CONDITION),
    *_table("text_block", *_TEXT_BLOCK),
    *_table("spine", *_SPINE),
    *_table("cover", *_COVER),
    *_table("cover.front", *_SIDE),
    *_table("cover.back", *_SIDE),
    *_table("sewing", *_SEWING),
    *_table("sewing.fold", *_FOLD),
    *_table("album", *_ALBUM),
    *_table("union", *_UNION),
    *_table("measuring", *_MEASURING),
)
BY_NAME = {field.name: field for field in FIELDS}
ORDER = {field.name: place for place, field in enumerate(FIELDS)}
TABLES = tuple(dict.fromkeys(field.table for field in FIELDS))
