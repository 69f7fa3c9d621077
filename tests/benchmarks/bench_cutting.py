"""How full layouts are and how long they take, beside their floors.

Run by hand, not by pytest: `python -m tests.benchmarks.bench_cutting [TRIES]`. The puzzles are those of
Hopper and Turton (C1 to C7, all 21, none turned); the pieces are those of the demonstration's
pattern folders in the gallery, each book ten times. Times are of the processor.
"""

from __future__ import annotations

import sys
from math import ceil
from pathlib import Path
from time import process_time

from patterns.cutting import guillotine, laying, skyline, stock, wanted
from patterns.cutting.plan import Wish
from patterns.cutting.shapes import Fill
from patterns.model.kept import KeptPattern
from patterns.stock import materials
from tests.cutting.puzzles import puzzles

ROOT = Path(__file__).parents[2]
FLOORS: dict[str, dict[int, float]] = {
    "skyline": {300: 0.982, 3000: 0.988},
    "guillotine": {300: 0.955, 3000: 0.97},
}
"""Mean share of the height that the puzzles are known to need, by tries."""
BOOKS_S = 5.0
"""Processor time for ten times all books at 300 tries."""
SHEETS = 1.15
"""Sheets over the fewest whose area would do, each material rounded up."""


def fullness(tries: int) -> None:
    """Print how full the puzzles are by each way of laying."""
    ways: dict[str, Fill] = {"skyline": skyline.fill, "guillotine": guillotine.fill}
    for name, fill in ways.items():
        start = process_time()
        shares = [puzzle.share(fill, tries) for puzzle in puzzles()]
        mean, least = sum(shares) / len(shares), FLOORS[name].get(tries, 0.0)
        told = f"{name}: {100 * mean:.2f} % at {tries} tries, floor {100 * least:.1f} %"
        print(f"{told}: {'kept' if mean >= least else 'MISSED'} ({process_time() - start:.0f} s)")


def books() -> None:
    """Print sheets and time for ten times all books of the gallery on the demonstration's stock."""
    files = sorted((ROOT / "gallery").glob("*/r0001/pattern.json"))
    kept = [(file.parts[-3], KeptPattern.from_json(file.read_bytes())) for file in files]
    pieces = wanted.wanted(kept * 10)
    rows = [one for one in stock.load(ROOT / "patterns/demo/stock.toml") if not one.source]
    for cuts in ("through", "free"):
        start = process_time()
        wish = Wish("through" if cuts == "through" else "free")
        made = laying.make(pieces, rows, wish, materials.built_in())
        took = process_time() - start
        count = sum(one.stock.form != "roll" for one in made.sheets)
        rolls = sum(one.stock.form == "roll" for one in made.sheets)
        bound = sum(made.bounds.values()) - rolls
        print(
            f"{sum(one.count for one in pieces)} pieces, {cuts}: {count} sheets, area asks {bound}, "
            f"ratio {count / bound:.3f} (floor {SHEETS}, {ceil(SHEETS * bound)} sheets), "
            f"{len(made.unplaced)} without a place, {took:.1f} s (floor {BOOKS_S:g})"
        )


if __name__ == "__main__":
    books()
    fullness(int(sys.argv[1]) if len(sys.argv) > 1 else 300)
