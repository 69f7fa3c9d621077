"""How quickly words are placed and pages composed: python -m tests.benchmarks.bench_layout.

Prints the median of 25 runs beside its limit; ends with 1 when one is over. The limit for sixty
labels is the one the project set itself; that for a page keeps a draft within its own.
"""

from __future__ import annotations

import random
import statistics
import sys
import time
from collections.abc import Callable

from patterns.model.drawing import Line, LineKind
from patterns.model.pattern import Pattern
from patterns.sheets.compose import plan
from patterns.sheets.obstacles import Obstacles
from patterns.sheets.page import Layout, numbered
from patterns.sheets.place import place, words_slots
from patterns.sketch.marks import Box
from patterns.stock.paper import parse
from tests.layout_pieces import crowded_lining, pattern, tube

RUNS = 25


def median_ms(work: Callable[[], object]) -> float:
    """Return the median duration of a call."""
    work()
    taken = []
    for _ in range(RUNS):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return statistics.median(taken) * 1000


def sixty_labels() -> float:
    """Sixty labels of sixteen slots each among eighty lines."""
    rng = random.Random(3)
    wanted = []
    for i in range(60):
        x, y = rng.uniform(15, 165), rng.uniform(10, 240)
        places = [(x + dx, y + dy, 0.0) for dx in (0, 12, -12, 20) for dy in (4, -4, 8, -8)]
        wanted.append([slot.sides for slot in words_slots(f"label {i}", 2.5, places)])
    lines = [
        Line(
            LineKind.CUT,
            tuple((rng.uniform(0, 180), rng.uniform(0, 250)) for _ in range(2)),
        )
        for _ in range(40)
    ]
    lines += [Line(LineKind.CUT, ((4.0 * i, 0.0), (4.0 * i, 6.0))) for i in range(40)]
    page = Box(0.0, 0.0, 180.0, 250.0)
    return median_ms(lambda: place(wanted, Obstacles(lines), None, page))


def composed(what: Pattern) -> float:
    """All pages of one structure on A4."""
    return median_ms(lambda: numbered(plan(Layout(what, parse("A4")))))


def main() -> int:
    """Print the table; return 1 when a limit is passed."""
    rows = [
        ("60 labels placed", sixty_labels(), 12.0),
        ("hollow tube, one page", composed(pattern(tube())), 60.0),
        ("lining with 60 labelled holes", composed(pattern(crowded_lining())), 120.0),
    ]
    for name, taken, limit in rows:
        print(f"{name:32} {taken:7.1f} ms   limit {limit:5.0f} ms")
    return int(any(taken > limit for _, taken, limit in rows))


if __name__ == "__main__":
    sys.exit(main())
