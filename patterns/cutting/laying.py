"""Laying the pieces of each material on its stock: what is tried, what is taken, what is missing."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil, floor

from shapely.geometry import box

from patterns.cutting import cuts as cutting
from patterns.cutting import guillotine, skyline
from patterns.cutting.cuts import Left, StockCut
from patterns.cutting.nesting import Pane, is_shape, nest
from patterns.cutting.plan import CutSheet, LaidPiece, Plan, ToBuy, Wish, area_of
from patterns.cutting.search import Laid, Rectangle, search
from patterns.cutting.shapes import NOTHING, UNIT, Filled, Kind, LaidShape, units
from patterns.cutting.stock import Stock
from patterns.cutting.wanted import SELVEDGE_MM, StockPiece
from patterns.errors import MaterialError
from patterns.stock.materials import Library, folded
from patterns.units import tenth

KEEP_MM = 50.0
"""An offcut narrower than this is waste (practice)."""
STEP_MM = 0.5
"""The least length of stock worth looking for."""


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
        sides = self._sides if row.form == "roll" else self.wish.margin
        return units(sides), units(self.wish.margin)

    @property
    def _sides(self) -> float:
        """What is kept off the sides of a roll, in mm: of cloth its selvedge, unless nothing is."""
        cloth = any(one.kind == "cloth" for one in self.pieces)
        return max(self.wish.margin, SELVEDGE_MM if cloth and self.wish.margin else 0.0)

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
        if not self.rows:
            return self._without_stock()
        self._refuse_too_large()
        laid, run = self._best()
        sheets = self._sheets(laid, run, self._placed_on(laid, run), [()] * len(run))
        unplaced = self._unplaced(laid)
        if self.wish.cuts == "free":
            nested = self._nested()
            if nested and (unplaced or _less(nested, sheets)):
                sheets, unplaced = nested, ()
        return Plan(
            self.wish,
            sheets,
            unplaced=unplaced,
            shopping=self._to_buy(unplaced, "none is left"),
            bounds={self.name: self._bound()},
        )

    def _best(self) -> tuple[Laid, tuple[Stock, ...]]:
        """Return the best layout of the pieces' rectangles, and the stock that it is on."""
        kinds = tuple(self._kinds().values())
        runs = self._runs(sum(one.count for one in self.pieces))
        return min(
            ((self._search(kinds, run), run) for run in runs),
            key=lambda found: self._cost(found[0], found[1], kinds),
        )

    def _nested(self) -> tuple[CutSheet, ...] | None:
        """Return a plan whose shapes lie by their outlines beside the rectangles; None without one."""
        shapes = [one for one in self.pieces if is_shape(one)]
        if not shapes:
            return None
        plain = replace(self, pieces=[one for one in self.pieces if not is_shape(one)])
        if plain.pieces:
            laid, run = plain._best()
        else:
            run = next(self._runs(sum(one.count for one in shapes)))
            laid = Laid((NOTHING,) * len(run), ())
        if any(laid.left):
            return None
        placed = plain._placed_on(laid, run)
        panes = [self._pane(row, own) for row, own in zip(run, placed, strict=True)]
        found = nest(shapes, panes)
        return None if found is None else self._sheets(laid, run, placed, found)

    def _pane(self, row: Stock, laid: Sequence[LaidPiece]) -> Pane:
        sides, ends = (mm / UNIT for mm in self.margin(row))
        x, y = (sides, ends) if row.grain == "length" else (ends, sides)
        usable = box(x, y, row.width_mm - x, row.length_mm - y)
        return Pane.of(row.grain, usable, laid, self.gap / UNIT)

    def _placed_on(self, laid: Laid, run: Sequence[Stock]) -> list[tuple[LaidPiece, ...]]:
        """Return the pieces as they lie on each of the stock."""
        queues = [iter(self._alike(key)) for key in self._kinds()]
        return [
            tuple(
                self._placed(row, spot, next(queues[spot.shape.kind]), self.margin(row))
                for spot in self._spots(filled)
            )
            for row, filled in zip(run, laid.filled, strict=True)
        ]

    def _spots(self, filled: Filled) -> tuple[LaidShape, ...]:
        """Return what was laid in the order of its cutting: cut free, from the beginning on."""
        if self.wish.cuts == "through":
            return filled.spots
        return tuple(sorted(filled.spots, key=lambda one: (one.along, one.across)))

    def _sheets(
        self,
        laid: Laid,
        run: Sequence[Stock],
        placed: Sequence[Sequence[LaidPiece]],
        nested: Sequence[Sequence[LaidPiece]],
    ) -> tuple[CutSheet, ...]:
        """Return every rectangle of stock that anything lies on."""
        every = zip(run, laid.filled, placed, nested, strict=True)
        return tuple(
            self._sheet(row, filled, own, shapes)
            for row, filled, own, shapes in every
            if own or shapes
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
        across, along = (units(mm) / UNIT for mm in one.lain_mm)
        grain = "" if one.along is None else ", grain along the second"
        return (
            f"{tenth(across + 2 * self._sides)} × {tenth(along + 2 * self.wish.margin)} mm{grain}"
        )

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
        self,
        row: Stock,
        filled: Filled,
        placed: Sequence[LaidPiece],
        nested: Sequence[LaidPiece],
    ) -> CutSheet:
        margin, gap = self.margin(row), self.gap
        size = units(row.across_mm), units(row.along_mm)
        also = [_extent(one, row) for one in nested]
        if row.form == "roll":
            ends = [filled.used_length - gap + margin[1], *(far for _, _, far, _ in also)]
            size = size[0], min(size[1], max(ends) + margin[1])
        if self.wish.cuts == "through":
            lines, left = cutting.through(filled, size, margin, gap)
        else:
            lines, left = cutting.free(self._spots(filled), size, margin, gap, also)
        if row.form == "roll" and size[1] < units(row.along_mm):
            end = size[1] / UNIT
            across = size[0] / UNIT
            off = StockCut((0.0, end), (across, end), False, (across, row.along_mm), end)
            lines = (off, *lines)
        length = row.length_mm if row.form != "roll" else size[1] / UNIT
        worth = tuple(_turned(one, row) for one in left if min(one.width, one.length) >= KEEP_MM)
        cuts = tuple(_on(cut, row) for cut in lines)
        return CutSheet(row, length, (*placed, *nested), cuts, worth)

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

    def _unplaced(self, laid: Laid) -> tuple[StockPiece, ...]:
        found: list[StockPiece] = []
        for key, left in zip(self._kinds(), laid.left, strict=True):
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


def _less(some: Sequence[CutSheet], others: Sequence[CutSheet]) -> bool:
    """Tell whether a plan takes less new stock than another, or leaves more of its last."""
    (new, reach), (old, end) = (_spent(sheets) for sheets in (some, others))
    return new < old - 1.0 or (new < old + 1.0 and reach < end - STEP_MM)


def _spent(sheets: Sequence[CutSheet]) -> tuple[float, float]:
    """Return the area of new stock, and how far along its grain the last of it is used, in mm."""
    new = [one for one in sheets if not one.stock.source] or sheets[-1:]
    extents = [_extent(piece, new[-1].stock) for piece in new[-1].pieces]
    return sum(one.area for one in new), max(far for _, _, far, _ in extents) / UNIT


def _extent(piece: LaidPiece, row: Stock) -> tuple[int, int, int, int]:
    """Return the rectangle about a piece in units: its near end, start, far end, end."""
    xs, ys = [x for x, _ in piece.outline], [y for _, y in piece.outline]
    along, across = (ys, xs) if row.grain == "length" else (xs, ys)
    near, start = (floor(round(min(each) * UNIT, 1)) for each in (along, across))
    return near, start, units(max(along)), units(max(across))


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
