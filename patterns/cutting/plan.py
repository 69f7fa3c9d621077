"""The cutting plan: which piece lies where on which stock, how it is cut, what is left and to buy."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import ceil
from typing import Literal

from shapely import Polygon

from patterns.cutting import cuts as cutting
from patterns.cutting import guillotine, skyline
from patterns.cutting.cuts import Left, StockCut
from patterns.cutting.search import Laid, Rectangle, search
from patterns.cutting.shapes import UNIT, Filled, Kind, LaidShape
from patterns.cutting.stock import Stock
from patterns.cutting.wanted import SELVEDGE_MM, StockPiece
from patterns.errors import MaterialError, Problem, SettingError
from patterns.model.drawing import Ring
from patterns.model.values import rounded
from patterns.stock.materials import Library, folded
from patterns.units import tenth

FORMAT = "mendfold-plan/1"
KEEP_MM = 50.0
"""An offcut narrower than this is waste (practice)."""
STEP_MM = 0.5
"""The least length of stock worth looking for."""
MOST_TRIES = 100_000


@dataclass(frozen=True, slots=True)
class Wish:
    """How a plan is to be made; lengths in mm."""

    cuts: Literal["through", "free"] = "through"
    gap: float = 2.0
    margin: float = 5.0
    tries: int = 300
    seed: int = 1

    def __post_init__(self) -> None:
        limits = {"gap": (0, 50.0), "margin": (0, 100.0), "tries": (1, MOST_TRIES)}
        for name, (least, most) in limits.items():
            value, unit = getattr(self, name), "" if name == "tries" else " mm"
            if not least <= value <= most:
                raise SettingError.of(
                    Problem(
                        name,
                        f"is {value:g}{unit}",
                        f"{least:g} to {most:g}{unit}",
                        "give one between them",
                    )
                )


@dataclass(frozen=True, slots=True)
class LaidPiece:
    """One piece on its stock: its outline in mm from the stock's corner, x along the width."""

    pattern: str
    name: str
    turned_deg: int
    outline: Ring


@dataclass(frozen=True, slots=True)
class CutSheet:
    """One rectangle of stock that is cut; of a roll the length that is cut off."""

    stock: Stock
    length_mm: float
    pieces: tuple[LaidPiece, ...]
    cuts: tuple[StockCut, ...]
    """In working order, x along the stock's width; `lengthwise` ones run along its length."""
    offcuts: tuple[Left, ...]
    """In mm: `across` and `width` along the stock's width, `along` and `length` along its length."""

    @property
    def area(self) -> float:
        """Area in mm²."""
        return self.stock.width_mm * self.length_mm


@dataclass(frozen=True, slots=True)
class ToBuy:
    """One line of what is to be bought."""

    material: str
    size: str
    count: str
    why: str = ""


@dataclass(frozen=True, slots=True)
class Plan:
    """Everything that was worked out."""

    wish: Wish
    sheets: tuple[CutSheet, ...]
    unplaced: tuple[StockPiece, ...] = ()
    shopping: tuple[ToBuy, ...] = ()
    by_hand: tuple[StockPiece, ...] = ()
    bounds: Mapping[str, int] = field(default_factory=dict)
    """By material: the fewest sheets whose area would do."""

    @property
    def waste_share(self) -> float:
        """What becomes neither a piece nor an offcut, as a share of what is cut into."""
        whole = sum(one.area for one in self.sheets)
        pieces = sum(area_of(piece.outline) for one in self.sheets for piece in one.pieces)
        kept = sum(left.width * left.length for one in self.sheets for left in one.offcuts)
        return (whole - pieces - kept) / whole if whole else 0.0

    def to_json(self) -> str:
        """Return the document mendfold-plan/1."""
        return json.dumps(rounded(_document(self)), ensure_ascii=False, indent=1) + "\n"


def area_of(ring: Ring) -> float:
    """Return the area inside a ring in mm²."""
    return float(Polygon(ring).area)


def make(
    wanted: Sequence[StockPiece], stock: Sequence[Stock], wish: Wish, library: Library
) -> Plan:
    """Lay every piece on the stock of its material.

    Raises MaterialError for a piece that is larger than any of its stock, naming both.
    """
    plan = Plan(wish, ())
    for material in dict.fromkeys(folded(one.material) for one in wanted):
        pieces = [one for one in wanted if folded(one.material) == material]
        rows = [one for one in stock if folded(one.material) == material]
        plan = _with(plan, _Material(pieces, rows, wish, library).planned())
    return plan


def _with(plan: Plan, other: Plan) -> Plan:
    return replace(
        plan,
        sheets=plan.sheets + other.sheets,
        unplaced=plan.unplaced + other.unplaced,
        shopping=plan.shopping + other.shopping,
        by_hand=plan.by_hand + other.by_hand,
        bounds={**plan.bounds, **other.bounds},
    )


@dataclass(frozen=True, slots=True)
class _Material:
    """The pieces and the stock of one material."""

    pieces: Sequence[StockPiece]
    rows: Sequence[Stock]
    wish: Wish
    known: Library

    @property
    def name(self) -> str:
        return self.pieces[0].material

    @property
    def gap(self) -> int:
        return units(max(one.gap_mm(self.wish.gap) for one in self.pieces))

    def margin(self, row: Stock) -> tuple[int, int]:
        """Return what is kept off the sides and off the ends."""
        selvedge = row.form == "roll" and any(one.kind == "cloth" for one in self.pieces)
        sides = (
            max(self.wish.margin, SELVEDGE_MM)
            if selvedge and self.wish.margin
            else self.wish.margin
        )
        return units(sides), units(self.wish.margin)

    def rectangle(self, row: Stock) -> Rectangle:
        (sides, ends), gap = self.margin(row), self.gap
        return Rectangle(
            units(row.across_mm) - 2 * sides + gap,
            units(row.along_mm) - 2 * ends + gap,
            roll=row.form == "roll",
            free=bool(row.source),
        )

    def planned(self) -> Plan:
        """Return the plan of this material alone."""
        kinds = self._kinds()
        if not self.rows:
            return self._without_stock()
        self._refuse_too_large()
        count = sum(kind.count for kind in kinds.values())
        best, run = min(
            ((self._search(tuple(kinds.values()), run), run) for run in self._runs(count)),
            key=lambda found: self._cost(found[0], found[1], tuple(kinds.values())),
        )
        queues = {number: iter(self._alike(key)) for number, key in enumerate(kinds)}
        sheets = tuple(
            self._sheet(row, filled, queues)
            for row, filled in zip(run, best.filled, strict=True)
            if filled.spots
        )
        unplaced = self._unplaced(best, kinds)
        return Plan(
            self.wish,
            sheets,
            unplaced=unplaced,
            shopping=self._to_buy(unplaced, "none is left"),
            bounds={self.name: self._bound()},
        )

    def _kinds(self) -> dict[tuple[int, int, bool], Kind]:
        """Return the kinds of rectangles, those alike together."""
        found: dict[tuple[int, int, bool], Kind] = {}
        for one in self.pieces:
            key = self._key(one)
            count = found[key].count if key in found else 0
            found[key] = Kind(key[0], key[1], count + one.count, key[2])
        return found

    def _key(self, one: StockPiece) -> tuple[int, int, bool]:
        across, along = one.lain_mm
        return units(across) + self.gap, units(along) + self.gap, one.along is None

    def _alike(self, key: tuple[int, int, bool]) -> Iterator[StockPiece]:
        for one in self.pieces:
            if self._key(one) == key:
                yield from [one] * one.count

    def _refuse_too_large(self) -> None:
        for one in self.pieces:
            across, along, turns = self._key(one)
            ways = [(across, along), (along, across)] if turns else [(across, along)]
            held = [self.rectangle(row) for row in self.rows]
            if not any(a <= each.width and b <= each.length for a, b in ways for each in held):
                raise MaterialError(
                    f"{one.pattern}, {one.name}: larger than any {self.name} there is; "
                    f"the least sheet that would do: {self._least(one)}"
                )

    def _least(self, one: StockPiece) -> str:
        """Return the smallest sheet that holds a piece, in words."""
        across, along = one.lain_mm
        edge = 2 * self.wish.margin
        grain = "" if one.along is None else ", grain along the second"
        return f"{tenth(across + edge)} × {tenth(along + edge)} mm{grain}"

    def _runs(self, count: int) -> Iterator[tuple[Stock, ...]]:
        """Yield the stock in orders worth trying: offcuts first, sheets by size, rolls last."""

        def each(rows: Iterable[Stock]) -> tuple[Stock, ...]:
            return tuple(row for row in rows for _ in range(min(row.count, count)))

        def size(row: Stock) -> float:
            return row.width_mm * row.length_mm

        offcuts = sorted((row for row in self.rows if row.source), key=size)
        sheets = sorted(
            (row for row in self.rows if not row.source and row.form != "roll"), key=size
        )
        rolls = [row for row in self.rows if row.form == "roll"]
        for order in dict.fromkeys((tuple(sheets[::-1]), tuple(sheets))):
            yield each((*offcuts, *order, *rolls))

    def _search(self, kinds: Sequence[Kind], run: Sequence[Stock]) -> Laid:
        fill = guillotine.fill if self.wish.cuts == "through" else skyline.fill
        rectangles = [self.rectangle(row) for row in run]
        return search(fill, kinds, rectangles, self.wish.tries, self.wish.seed, units(STEP_MM))

    def _cost(
        self, laid: Laid, run: Sequence[Stock], kinds: Sequence[Kind]
    ) -> tuple[float, float, float]:
        """Return what counts: area without a place, area of new stock, length used of the last."""
        short = sum(kind.area * left for kind, left in zip(kinds, laid.left, strict=True))
        new = last = 0.0
        for row, filled in zip(run, laid.filled, strict=True):
            if filled.spots and not row.source:
                length = filled.used_length if row.form == "roll" else units(row.along_mm)
                new, last = new + length * row.across_mm, filled.used_length
        return short, new, last

    def _sheet(
        self, row: Stock, filled: Filled, queues: Mapping[int, Iterator[StockPiece]]
    ) -> CutSheet:
        margin, gap = self.margin(row), self.gap
        size = units(row.across_mm), units(row.along_mm)
        if row.form == "roll":
            size = size[0], min(size[1], filled.used_length - gap + 2 * margin[1])
        if self.wish.cuts == "through":
            lines, left = cutting.through(filled, size, margin, gap)
        else:
            lines, left = cutting.free(filled.spots, size, margin, gap)
        if row.form == "roll" and size[1] < units(row.along_mm):
            end = size[1] / UNIT
            across = size[0] / UNIT
            off = StockCut((0.0, end), (across, end), False, (across, row.along_mm), end)
            lines = (off, *lines)
        placed = tuple(
            self._placed(row, spot, next(queues[spot.shape.kind]), margin) for spot in filled.spots
        )
        length = row.length_mm if row.form != "roll" else size[1] / UNIT
        worth = [_turned(one, row) for one in left if min(one.width, one.length) >= KEEP_MM]
        return CutSheet(row, length, placed, tuple(_on(cut, row) for cut in lines), tuple(worth))

    def _placed(
        self, row: Stock, spot: LaidShape, one: StockPiece, margin: tuple[int, int]
    ) -> LaidPiece:
        """Return a piece as it lies on the stock, turned so that its grain runs as the stock's."""
        own = one.along or "y"
        if spot.shape.turned:
            own = "x" if own == "y" else "y"
        turned = own != ("y" if row.grain == "length" else "x")
        height = one.size_mm[1]
        outline = [(height - y, x) for x, y in one.outline] if turned else one.outline
        corner = (spot.across + margin[0]) / UNIT, (spot.along + margin[1]) / UNIT
        dx, dy = corner if row.grain == "length" else corner[::-1]
        return LaidPiece(
            one.pattern, one.name, 90 if turned else 0, tuple((x + dx, y + dy) for x, y in outline)
        )

    def _unplaced(
        self, laid: Laid, kinds: Mapping[tuple[int, int, bool], Kind]
    ) -> tuple[StockPiece, ...]:
        found: list[StockPiece] = []
        for key, left in zip(kinds, laid.left, strict=True):
            over = left
            for one in reversed([each for each in self.pieces if self._key(each) == key]):
                if over > 0:
                    found.append(replace(one, count=min(over, one.count)))
                    over -= one.count
        return tuple(found)

    def _without_stock(self) -> Plan:
        pieces = tuple(self.pieces)
        if any(one.kind == "leather" for one in pieces):
            return Plan(self.wish, (), by_hand=pieces)
        return Plan(
            self.wish, (), unplaced=pieces, shopping=self._to_buy(pieces, "none is in the stock")
        )

    def _to_buy(self, pieces: Sequence[StockPiece], why: str) -> tuple[ToBuy, ...]:
        """Return what would hold the pieces: sheets of the usual size where one is known."""
        if not pieces:
            return ()
        usual = self._usual()
        if usual is not None:
            spare = _Material(pieces, [usual], self.wish, self.known)
            kinds = tuple(spare._kinds().values())
            run = (usual,) * sum(kind.count for kind in kinds)
            laid = spare._search(kinds, run)
            if not any(laid.left):
                size = f"{tenth(usual.width_mm)} × {tenth(usual.length_mm)} mm"
                return (ToBuy(self.name, size, str(laid.used), why),)
        return tuple(ToBuy(self.name, self._least(one), str(one.count), why) for one in pieces)

    def _usual(self) -> Stock | None:
        """Return the sheet this material comes in: the largest of the stock, else the library's."""
        sheets = [row for row in self.rows if row.form == "sheet" and not row.source]
        if sheets:
            return replace(max(sheets, key=lambda row: row.width_mm * row.length_mm), count=1)
        for one in self.known.materials:
            if folded(one.name) == folded(self.name) and one.sheet_width_mm and one.sheet_length_mm:
                return Stock("sheet", self.name, one.sheet_width_mm, one.sheet_length_mm)
        return None

    def _bound(self) -> int:
        """Return the fewest of the largest sheets whose area would do."""
        largest = max(
            (row.width_mm * row.length_mm for row in self.rows if row.form != "roll"), default=0.0
        )
        area = sum(area_of(one.outline) * one.count for one in self.pieces)
        return ceil(area / largest) if largest else 1


def units(mm: float) -> int:
    """Return a length in whole hundredths of a millimetre, never less than it is."""
    return ceil(round(mm * UNIT, 4))


def _on(cut: StockCut, row: Stock) -> StockCut:
    """Return a cut on the stock: x along its width."""
    if row.grain == "length":
        return cut
    (a, b), (c, d), lengthwise, part, measure = cut
    return StockCut((b, a), (d, c), not lengthwise, part[::-1], measure)


def _turned(left: Left, row: Stock) -> Left:
    if row.grain == "length":
        return left
    return Left(left.along, left.across, left.length, left.width)


def left_in_stock(plan: Plan, job: str) -> tuple[Stock, ...]:
    """Return the offcuts as stock; `job` says what they are from."""
    return tuple(
        Stock("sheet", sheet.stock.material, one.width, one.length, sheet.stock.grain, source=job)
        for sheet in plan.sheets
        for one in sheet.offcuts
    )


def _document(plan: Plan) -> dict[str, object]:
    return {
        "format": FORMAT,
        "cuts": plan.wish.cuts,
        "gap_mm": plan.wish.gap,
        "margin_mm": plan.wish.margin,
        "tries": plan.wish.tries,
        "seed": plan.wish.seed,
        "stock": tuple(
            {
                "material": one.stock.material,
                "form": one.stock.form,
                "width_mm": one.stock.width_mm,
                "length_mm": one.length_mm,
                "grain": one.stock.grain,
                "from": one.stock.source,
                "pieces": tuple(
                    {
                        "pattern": piece.pattern,
                        "name": piece.name,
                        "turned_deg": piece.turned_deg,
                        "outline_mm": piece.outline,
                    }
                    for piece in one.pieces
                ),
                "cuts": tuple((cut.start, cut.end) for cut in one.cuts),
                "offcuts": tuple(
                    {
                        "x_mm": left.across,
                        "y_mm": left.along,
                        "width_mm": left.width,
                        "length_mm": left.length,
                    }
                    for left in one.offcuts
                ),
            }
            for one in plan.sheets
        ),
        "unplaced": tuple(
            {"pattern": one.pattern, "name": one.name, "material": one.material, "count": one.count}
            for one in plan.unplaced
        ),
        "by_hand": tuple(
            {"pattern": one.pattern, "name": one.name, "material": one.material, "count": one.count}
            for one in plan.by_hand
        ),
        "shopping": tuple(
            {"material": one.material, "size": one.size, "count": one.count, "why": one.why}
            for one in plan.shopping
        ),
        "waste_share": plan.waste_share,
        "area_bound": sum(plan.bounds.values()),
    }
