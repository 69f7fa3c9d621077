"""What is to be bought or found for a plan, as a table that a spreadsheet opens."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence
from math import ceil

from patterns.cutting.plan import Plan
from patterns.model.kept import KeptPattern
from patterns.units import tenth

HEADS = ("material", "size", "count", "price", "for")
_FORMULA = ("=", "+", "-", "@", "\t")


def table(plan: Plan, patterns: Sequence[tuple[str, KeptPattern]]) -> str:
    """Return the rows as CSV: stock cut into, stock to buy, thread by its length, adhesives."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(HEADS)
    for row in (*_used(plan), *_bought(plan), *_threads(patterns), *_adhesives(patterns)):
        writer.writerow([_plain(cell) for cell in row])
    return text.getvalue()


def _plain(cell: str) -> str:
    """Return a cell that no spreadsheet takes for a formula."""
    return f"'{cell}" if cell.startswith(_FORMULA) else cell


def _used(plan: Plan) -> Iterator[tuple[str, ...]]:
    counted: dict[tuple[str, str, float | None], int] = {}
    for one in plan.sheets:
        length = f" × {tenth(one.length_mm)} mm" if one.stock.form == "roll" else ""
        key = one.stock.material, f"{one.stock.words}{length}", one.stock.price
        counted[key] = counted.get(key, 0) + 1
    for (material, size, price), count in counted.items():
        cost = "" if price is None else f"{price * count:.2f}"
        yield material, size, str(count), cost, "from stock"


def _bought(plan: Plan) -> Iterator[tuple[str, ...]]:
    for one in plan.shopping:
        yield one.material, one.size, one.count, "", f"to buy: {one.why}"


def _threads(patterns: Sequence[tuple[str, KeptPattern]]) -> Iterator[tuple[str, ...]]:
    lengths: dict[str, float] = {}
    for _, pattern in patterns:
        sewn = dict.fromkeys(
            roles["thread"].name for roles in pattern.materials.values() if "thread" in roles
        )
        for name in sewn:
            lengths[name] = lengths.get(name, 0.0) + pattern.thread_mm / len(sewn)
    for name, mm in lengths.items():
        yield name, f"{ceil(mm / 100) / 10:.1f} m" if mm else "as needed", "1", "", "thread"


def _adhesives(patterns: Sequence[tuple[str, KeptPattern]]) -> Iterator[tuple[str, ...]]:
    names = {
        one.name: None
        for _, pattern in patterns
        for roles in pattern.materials.values()
        for one in roles.values()
        if one.kind == "adhesive"
    }
    names |= {
        zone.adhesive: None
        for _, pattern in patterns
        for piece in pattern.pieces
        for zone in piece.zones
        if zone.adhesive
    }
    for name in names:
        yield name, "as needed", "", "", "adhesive"
