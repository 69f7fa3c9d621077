"""How quickly words are placed and pages composed: python -m tests.benchmarks.bench_layout.

Prints the median of 25 runs beside its limit, and the first lay-out of a large book as a multiple of
what formatting 200,000 numbers takes in the same run; ends with 1 when one is over. The limit for sixty
labels is the one the project set itself; that for a page keeps a draft within its own.
"""

from __future__ import annotations

import gc
import random
import statistics
import sys
import time
from collections.abc import Callable

from patterns.cli import RARELY
from patterns.commands.demo import orders
from patterns.drafting.job import draft
from patterns.model import lettering
from patterns.model.drawing import Line, LineKind
from patterns.model.pattern import Pattern
from patterns.sheets import whole
from patterns.sheets.compose import plan
from patterns.sheets.obstacles import Obstacles
from patterns.sheets.page import Layout, numbered
from patterns.sheets.place import place, words_slots
from patterns.sketch.marks import Box
from patterns.stock.paper import parse
from tests.benchmarks.remembered import forget
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
        wanted.append(words_slots(f"label {i}", 2.5, places))
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


FORMATTED = 200_000
MOST_FORMATTINGS = 2.0
"""The lay-out of a logbook may take so many times what formatting 200,000 numbers takes."""


def formatted() -> float:
    """Return the processor's time for formatting 200,000 numbers, in seconds."""
    start = time.process_time()
    for number in range(FORMATTED):
        f"{number * 0.37:.3f}"
    return time.process_time() - start


def first_lay_out(name: str) -> float:
    """Return the processor's time for the first lay-out of a demonstration's book, in seconds.

    The process is warm from laying out another one; whatever the lay-out keeps by value is forgotten.
    """
    by_name = {str(order.record.book.id): order for order in reversed(orders())}
    other, order = by_name["atlas"], by_name[name]
    whole.sheets(Layout(draft(other).pattern, other.paper))
    taken = []
    for _ in range(RUNS // 5):
        what = draft(order).pattern
        forget("patterns.sheets", lettering.__name__)
        start = time.process_time()
        whole.sheets(Layout(what, order.paper))
        taken.append(time.process_time() - start)
    return min(taken)


def main() -> int:
    """Print the table; return 1 when a limit is passed."""
    gc.set_threshold(RARELY)  # as the command does
    rows = [
        ("60 labels placed", sixty_labels(), 12.0),
        ("hollow tube, one page", composed(pattern(tube())), 60.0),
        ("lining with 60 labelled holes", composed(pattern(crowded_lining())), 120.0),
    ]
    for name, taken, limit in rows:
        print(f"{name:32} {taken:7.1f} ms   limit {limit:5.0f} ms")
    floor = min(formatted() for _ in range(5))
    ratio = first_lay_out("logbook") / floor
    print(f"{'first lay-out of the logbook':32} {ratio:7.2f} F    limit {MOST_FORMATTINGS:5.1f} F")
    return int(ratio > MOST_FORMATTINGS or any(taken > limit for _, taken, limit in rows))


if __name__ == "__main__":
    sys.exit(main())
