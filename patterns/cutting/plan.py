"""The cutting plan: which piece lies where on which stock, how it is cut, what is left and to buy."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from shapely import Polygon

from patterns.cutting.cuts import Left, StockCut
from patterns.cutting.shapes import UNIT, units
from patterns.cutting.stock import Stock
from patterns.cutting.wanted import StockPiece
from patterns.errors import Problem, SettingError
from patterns.model.drawing import Ring
from patterns.model.values import rounded

FORMAT = "mendfold-plan/1"
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
    """One piece on its stock: its outline in mm from the stock's corner, x along the width.

    `by_hand`: no straight cut frees it; it is cut out along its outline when all the others are.
    """

    pattern: str
    name: str
    turned_deg: int
    outline: Ring
    by_hand: bool = False

    @property
    def box(self) -> Left:
        """The rectangle it is cut as: its size in tenths of a millimetre, rounded up."""
        xs, ys = [x for x, _ in self.outline], [y for _, y in self.outline]
        width, length = units(max(xs) - min(xs)) / UNIT, units(max(ys) - min(ys)) / UNIT
        return Left(min(xs), min(ys), width, length)


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
                        "by_hand": piece.by_hand,
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
