"""cover_widening: a piece let in under the spine of a cover that no longer closes."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from shapely import LineString, Polygon

from patterns.book.boards import SIDES, Which
from patterns.book.book import Book
from patterns.book.results import AlbumResult, Handed, InlayResult, TubeResult, WideningResult
from patterns.errors import SettingError
from patterns.formulas import geometry
from patterns.model.drawing import Point, Ring
from patterns.model.part import Check, Layer, Part, Quantity
from patterns.model.piece import Dimension, Fold, Grain, Label, Piece, Zone
from patterns.model.traits import Where
from patterns.sewing import lining
from patterns.structures.shared.bars import COUNTED, over_bars
from patterns.structures.shared.board_layers import own_board
from patterns.structures.suits import cover_widening as suits
from patterns.structures.suits.cover_widening import Params
from patterns.units import tenth, up_to

NAME = "cover_widening"
PASTE = "wheat starch paste"
FORE_EDGE_MM = 2.0
BEYOND_MM = 0.5
"""A side shorter than the piece by less is as high."""
LARGE_SHARE = 1 / 3
"""A new strip that shows more of itself than this share of the old spine is another cover."""


@dataclass(frozen=True, slots=True)
class _Span:
    """What lies across the piece at one height: needed, original spine, gaps beside it, in mm."""

    needed: float
    spine: float
    left: float
    right: float

    def stops(self, overlap: float) -> tuple[float, ...]:
        """Return from the middle: edge, side's fold, original spine, side's fold, edge."""
        half = self.needed / 2
        return (
            -half - overlap,
            -half,
            -half + self.left,
            half - self.right,
            half,
            half + overlap,
        )


@dataclass(frozen=True, slots=True)
class Figures:
    """What the steps are filled in with."""

    piece_words: str
    warp_words: str
    between_words: str
    needed_head_mm: float
    needed_tail_mm: float
    turn_in_mm: float
    cover_height_mm: float
    turned_in_first: bool
    turned_in_last: bool
    boards: bool
    laced: bool
    gap_words: str


def draft(book: Book, params: Params) -> Handed:
    """Work out the piece: needed = a(u, t) + both ways over a joint + (π − φ)·t/2, and the overlaps.

    t is the piece's own cloth; what the old spine lacks goes by its own thickness.

    Raises SettingError for a gap that is too wide.
    """
    height = book.cover_height.value
    turn_in = params.turn_in if params.turn_in is not None else book.turn_in.value
    if turn_in > height / 2:
        raise SettingError(
            f"cover_widening.turn_in: {tenth(turn_in)} mm at head and tail is more than the cover's "
            f"{tenth(height)} mm hold; allowed is up to {up_to(height / 2)}"
        )
    needed, spines = suits.needed_mm(book), suits.spines_mm(book)
    short = suits.lacks_mm(book)
    spans = _spans(book, params, needed, spines)
    grain, reason = lining.warp(book, params.strong)
    flat = _Flat(spans, height, turn_in, params.overlap)
    piece = _piece(book, flat, grain, reason)
    new = _new_layer(book, flat, piece)
    part = Part(
        structure=NAME,
        title="Cover widening",
        figures=_figures(book, params, flat, grain),
        others=_others(book, params, flat, short),
        pieces=(piece,),
        layers=_layers(book, flat, new),
        warnings=(*_warnings(book, params, short, spans), *_beyond(book, turn_in)),
        checks=(
            Check(
                f"width between {_ends_of(book)}, widened",
                sum(span.needed for span in spans) / 2,
                "mm",
                "a paper strip laid over the closed block from fold to fold"
                if book.limp
                else "a paper strip laid over spine and into both joints, arris to arris, and half a turn of the cloth",
            ),
        ),
        girth_mm=book.spine.girth_head_mm,
    )
    result = WideningResult(spans[0].needed, spans[1].needed, suits.under_mm(book), new)
    return Handed(part, result)


def _spans(
    book: Book, params: Params, needed: tuple[float, float], spines: list[float]
) -> tuple[_Span, _Span]:
    """Share out what is missing: equal at both sides, all at one, or a given gap at the front.

    Where one end is wide enough already, the piece keeps to the original spine there.
    """
    wide = [max(pair) for pair in zip(needed, spines, strict=True)]
    missing = [width - spine for width, spine in zip(wide, spines, strict=True)]
    if params.gap_front is not None and params.gap_front > min(missing):
        raise SettingError(
            f"cover_widening.gap_front: {tenth(params.gap_front)} mm is more than is missing; allowed "
            f"is 0 to {up_to(min(missing))}"
        )
    shares = {"equal": 0.5, "front": 1.0, "back": 0.0}
    found = []
    for width, spine, gap in zip(wide, spines, missing, strict=True):
        front = params.gap_front if params.gap_front is not None else gap * shares[params.gaps]
        pair = (gap - front, front) if book.left_to_right else (front, gap - front)
        found.append(_Span(width, spine, *pair))
    return found[0], found[1]


@dataclass(frozen=True, slots=True)
class _Flat:
    """The piece laid flat: x from its middle line, y from the end of its turn-in at the head."""

    spans: tuple[_Span, _Span]
    height: float
    turn_in: float
    overlap: float

    @property
    def whole(self) -> float:
        """Height of the piece with both turn-ins."""
        return self.height + 2 * self.turn_in

    @property
    def half(self) -> float:
        """How far the piece reaches from its middle line where it is widest."""
        return max(self.at(5, 0.0)[0], self.at(5, self.whole)[0])

    def at(self, stop: int, y: float) -> Point:
        """Return where a stop of `_Span.stops` lies at height y; the turn-ins carry on straight."""
        head, tail = (span.stops(self.overlap)[stop] for span in self.spans)
        return head + (tail - head) * (y - self.turn_in) / self.height, y

    def outline(self) -> Any:
        head, tail = (self.at(5, y)[0] - self.at(0, y)[0] for y in (0.0, self.whole))
        return Polygon(geometry.tapered_outline(head, tail, self.whole))

    def band(self, left: int, right: int, top: float, bottom: float) -> Ring:
        """Outline of what lies between two stops and two heights, in the piece's coordinates."""
        out = 1.0 if top <= 0 else 0.0
        low = 1.0 if bottom >= self.whole else 0.0
        corners = [
            self.at(left, top - out),
            self.at(right, top - out),
            self.at(right, bottom + low),
            self.at(left, bottom + low),
        ]
        return self.placed(Polygon(corners).intersection(self.outline()))

    def placed(self, shape: Any) -> Ring:
        return tuple((x + self.half, y) for x, y in shape.exterior.coords[:-1])

    def across(self, y: float) -> tuple[Point, Point]:
        """Return the line across the piece at a height."""
        line = LineString([(-self.half - 1, y), (self.half + 1, y)]).intersection(self.outline())
        (x1, _), (x2, _) = line.coords[0], line.coords[-1]
        return (x1 + self.half, y), (x2 + self.half, y)


def _piece(book: Book, flat: _Flat, grain: Grain, reason: str) -> Piece:
    cloth = book.material("cloth")
    head, tail = flat.turn_in, flat.turn_in + flat.height
    left, right = book.edge_words
    edges = (head, tail) if flat.turn_in else ()
    folds = tuple(Fold("mountain", flat.across(y), "turn in") for y in edges)
    middle = ((flat.half, head), (flat.half, tail))
    return Piece(
        name="widening piece",
        title="widening piece",
        structure=NAME,
        material=cloth.name,
        thickness_mm=cloth.thickness_mm,
        outline=flat.placed(flat.outline()),
        grain=grain,
        grain_reason=reason,
        folds=folds,
        zones=_zones(book, flat),
        dimensions=_dimensions(flat),
        labels=(Label((flat.half, flat.whole / 2), "original spine lies here", "note", 90.0),),
        references=(
            middle,
            *(
                tuple((x + flat.half, y) for x, y in (flat.at(stop, head), flat.at(stop, tail)))
                for stop in range(1, 5)
            ),
        ),
        left=left,
        right=right,
        lies_on_mm=book.lies_on_mm + book.inlay_mm,
        tolerance_mm=book.spine.error_mm,
        notes=(
            _girth_words(book),
            *over_bars(book, COUNTED),
            "thin lines: folds of the sides, edges and middle of the original spine",
        ),
        spine_joint_free=True,
    )


def _girth_words(book: Book) -> str:
    guarded = book.result(AlbumResult)
    if guarded is not None:
        return f"spine of the guarded album {tenth(guarded.spine_mm)}, as reckoned"
    return (
        f"girth {tenth(book.spine.girth_head_mm)} head, {tenth(book.spine.girth_tail_mm)} tail, "
        f"{book.spine.shape_words}"
    )


def _zones(book: Book, flat: _Flat) -> tuple[Zone, ...]:
    """Paste at the sides and the original spine; the visible gaps and the inside stay free."""
    head, tail = flat.turn_in, flat.turn_in + flat.height
    left, right = book.across
    boards = book.has_boards
    zones = []
    for name, edge, gap in ((left, (0, 1), (1, 2)), (right, (4, 5), (3, 4))):
        if boards:
            onto = f"outer face of the {name} board, beneath its covering"
            zones.append(
                Zone("pasted", "under", onto, flat.band(*edge, head, tail), PASTE, on="board")
            )
        onto = f"covering of the {name} board" if boards else f"inside of the {name} side"
        on: Where = "leather" if boards else "cover"
        zones.append(Zone("pasted", "up", onto, flat.band(*edge, head, tail), PASTE, on=on))
        if all(getattr(span, "left" if gap == (1, 2) else "right") >= 0.1 for span in flat.spans):
            words = "seen between spine and side; bends, no paste"
            zones.append(Zone("free", "up", words, flat.band(*gap, head, tail), words=words))
    spine = flat.band(2, 3, head, tail)
    zones.append(Zone("pasted", "up", "original spine", spine, PASTE, on="cover"))
    inner = (1, 4) if boards else (0, 5)
    zones.append(Zone("free", "under", _backing(book), flat.band(*inner, head, tail)))
    if flat.turn_in:
        for top, bottom in ((0.0, head), (tail, flat.whole)):
            ring = flat.band(0, 5, top, bottom)
            zones.append(Zone("pasted", "under", "itself, turned in", ring, PASTE))
    return tuple(zones)


def _backing(book: Book) -> str:
    """Say what the middle of the under face meets: the block, or what is pasted to the cover."""
    if book.expects(InlayResult):
        return "only the spine inlay goes on it"
    if book.result(TubeResult) is not None:
        return "only the last “off” panel of the tube goes on it"
    return "it faces the text block"


def _dimensions(flat: _Flat) -> tuple[Dimension, ...]:
    def shown(y: float) -> list[Point]:
        return [(x + flat.half, y) for x, _ in (flat.at(stop, y) for stop in range(6))]

    head, tail = flat.turn_in, flat.turn_in + flat.height
    stops = shown(head)
    rows = [Dimension(a, b, "head") for a, b in pairwise(stops) if b[0] - a[0] >= 0.1]
    rows += [
        Dimension(stops[1], stops[4], "head", 1),
        Dimension(stops[0], stops[5], "head", 2),
    ]
    if abs(flat.spans[0].needed - flat.spans[1].needed) >= 0.05:
        low = shown(tail)
        rows += [Dimension(low[1], low[4], "tail"), Dimension(low[0], low[5], "tail", 1)]
    x = min(stops[0][0], shown(tail)[0][0])
    rows.append(Dimension((x, head), (x, tail), "left", 0, f"{tenth(flat.height)} cover"))
    if flat.turn_in:
        rows.append(Dimension((x, 0.0), (x, flat.whole), "left", 1))
    return tuple(rows)


def _mean_stops(flat: _Flat) -> list[float]:
    """Return the stops of the piece half-way between head and tail."""
    return [
        sum(ends) / 2 for ends in zip(*(s.stops(flat.overlap) for s in flat.spans), strict=True)
    ]


def _new_layer(book: Book, flat: _Flat, piece: Piece) -> Layer:
    mean = _mean_stops(flat)
    backed = book.result(TubeResult) is not None or book.expects(InlayResult)
    return Layer(
        "widening piece",
        book.material("cloth").name,
        piece.thickness_mm,
        mean[0],
        mean[5],
        "pasted" if backed else "free",
        "pasted" if book.has_boards else "free",
    )


def _layers(book: Book, flat: _Flat, new: Layer) -> tuple[Layer, ...]:
    boards, mean = book.has_boards, _mean_stops(flat)
    left, right = book.across
    thickness = book.cover_thickness.value

    def beside(side: Which, near: float, far: float) -> Layer:
        if boards:
            return own_board(book, side, near, far, "free")
        return Layer(
            f"{side} side", "", thickness, near, far, "pasted", "pasted", False, existing=True
        )

    sides = (
        beside(left, mean[1] - book.drawn_width(left).value, mean[1]),
        beside(right, mean[4], mean[4] + book.drawn_width(right).value),
    )
    spine = Layer("original spine", "", thickness, mean[2], mean[3], "pasted", existing=True)
    tubed = book.result(TubeResult) is not None
    air = () if tubed else (Layer("air", "", 0.0, mean[1], mean[4], "free", on_spine=False),)
    return (*air, *sides, new, spine) if boards else (*air, new, spine, *sides)


def _figures(book: Book, params: Params, flat: _Flat, grain: Grain) -> Figures:
    head, tail = flat.spans
    left, right = book.across
    wide = [span.needed + 2 * params.overlap for span in flat.spans]
    inlaid = book.expects(InlayResult)
    return Figures(
        piece_words=f"{_ends(*wide)} wide{' where it is folded' if flat.turn_in else ''} and {tenth(flat.whole)} mm high",
        warp_words=lining.warp_words(grain),
        between_words=_ends_of(book),
        needed_head_mm=head.needed,
        needed_tail_mm=tail.needed,
        turn_in_mm=flat.turn_in,
        cover_height_mm=flat.height,
        turned_in_first=flat.turn_in > 0 and not inlaid,
        turned_in_last=flat.turn_in > 0 and inlaid,
        boards=book.has_boards,
        laced=book.laced,
        gap_words=f"{left} {_ends(head.left, tail.left)}, {right} {_ends(head.right, tail.right)}",
    )


def _others(
    book: Book, params: Params, flat: _Flat, short: tuple[float, float]
) -> dict[str, Quantity]:
    head, tail = flat.spans
    left, right = book.across
    wide = [span.needed + 2 * params.overlap for span in flat.spans]
    return {
        "girth_head_mm": book.spine.girth_head_mm,
        "girth_tail_mm": book.spine.girth_tail_mm,
        "lies_on_mm": book.lies_on_mm + book.inlay_mm,
        **{f"joint_over_{side}_mm": book.covering.over_joint(side).value for side in SIDES},
        "deficiency_head_mm": short[0],
        "deficiency_tail_mm": short[1],
        f"gap_{left}_head_mm": head.left,
        f"gap_{left}_tail_mm": tail.left,
        f"gap_{right}_head_mm": head.right,
        f"gap_{right}_tail_mm": tail.right,
        "piece_head_mm": wide[0],
        "piece_tail_mm": wide[1],
        "height_mm": flat.whole,
    }


def _ends_of(book: Book) -> str:
    """Name what the needed width lies between."""
    return "the folds of the sides" if book.limp else "the edges of the boards"


def _ends(head: float, tail: float) -> str:
    if tenth(head) == tenth(tail):
        return f"{tenth(head)} mm"
    return f"{tenth(head)} mm at the head, {tenth(tail)} mm at the tail"


def _beyond(book: Book, turn_in: float) -> tuple[str, ...]:
    """Say where the piece, which reaches from the higher head to the lower tail, stands beyond a side."""
    top, low = book.covering.ends_mm
    word = "side" if book.limp else "board"
    told = []
    for side in SIDES:
        own = book.side_ends_mm(side)
        head, tail = (0.0, 0.0) if own is None else (own[0] - top, low - own[1])
        ends = [
            f"{tenth(mm)} mm at the {end}"
            for mm, end in ((head, "head"), (tail, "tail"))
            if mm >= BEYOND_MM
        ]
        if ends:
            told.append(f"the {side} {word} by {' and '.join(ends)}")
    if not told:
        return ()
    do = (
        f"slit its turn-in at the spine edge of that {word} and fold the overlap at the {word}'s own edge"
        if turn_in
        else f"trim the overlap level with that {word}"
    )
    return (
        f"the piece reaches from the higher head to the lower tail, and beyond {'; '.join(told)}: there {do}",
    )


def _thicker_at_fore_edge(book: Book) -> float | None:
    """Return how much the block is thicker at its fore edge than at its spine, if both are known."""
    fore_edge, spine = book.fore_edge_mm, book.thickness_mm
    return None if fore_edge is None or spine is None else fore_edge - spine


def _warnings(
    book: Book, params: Params, short: tuple[float, float], spans: tuple[_Span, _Span]
) -> tuple[str, ...]:
    lines = []
    guarded = book.result(AlbumResult)
    if guarded is not None:
        lines.append(
            f"reckoned for the guarded album, {tenth(guarded.spine_mm)} mm at the spine; measure the sewn album "
            "before this piece is cut"
        )
    thicker = _thicker_at_fore_edge(book)
    if thicker is not None and thicker > FORE_EDGE_MM:
        lines.append(
            f"the block is {tenth(thicker)} mm thicker at the fore edge than at the spine: "
            "widening will not close it; compensate the spine, or hang the leaves on guards (album_guards)"
        )
    if book.cover_spine is None or book.cover_spine.one_figure:
        lines.append("spine width at head or tail not given: one figure is used at both")
    if min(short) < 0:
        lines.append(
            f"at one end the cover is wide enough by {tenth(-min(short))} mm; "
            "there the piece keeps to the original spine"
        )
    if params.gap_front is not None and params.gaps != "equal":
        lines.append("gap_front is given and wins over gaps")
    lines += book.covering.gaps_assumed
    if max(span.needed - span.spine for span in spans) > LARGE_SHARE * min(s.spine for s in spans):
        lines.append(
            "more than a third of the old spine's width is missing; a new cover or a box, the old "
            "cover kept whole beside it, may suit better; so may to tie the book and do nothing"
        )
    return tuple(lines)
