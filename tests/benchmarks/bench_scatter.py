"""Time the search for the best layout on drawn books, and hold it to its floors.

Run by hand, not by pytest: `python -m tests.benchmarks.bench_scatter [BOOKS]`. Every book sews all
of its gatherings (40 with nine common heights at most, 60 with twelve); one fold is timed as well. Times are of the processor, so that
other work on the machine does not count.
"""

from __future__ import annotations

import random
import sys
from time import process_time

from patterns.book.old_sewing import support_holes
from patterns.sewing.maximin import most_even
from patterns.sewing.scatter import Request, arrange, heights_that_fit
from patterns.sewing.stations import FoldToSew, centre_set
from tests.books import changed, drafted

STITCHES_MM = (10.0, 12.0, 15.0, 18.0, 20.0)


def drawn_fold(rng: random.Random) -> FoldToSew:
    """Return the fold of an invented book, sewn on tapes or through single holes."""
    height = rng.randint(150, 420)
    if rng.random() < 0.5:
        tapes = rng.randint(3, 5)
        width = rng.choice((8, 10, 12, 15))
        at = tuple(float(round(height * (i + 1) / (tapes + 1))) for i in range(tapes))
        return FoldToSew(height, (12, height - 12, *support_holes(at, width)), at, width)
    holes = rng.sample(range(12, height - 12), rng.randint(4, 9))
    return FoldToSew(height, tuple(map(float, sorted(holes))))


def drawn_book(rng: random.Random, gatherings: int, heights: int) -> Request:
    """Return an invented book whose fold has room for so many common heights and no more."""
    while True:
        fold, stitch = drawn_fold(rng), rng.choice(STITCHES_MM)
        if heights_that_fit(fold, stitch) == heights:
            return Request(
                tuple(range(1, gatherings + 1)),
                round(rng.uniform(0.6, 3.5), 2),
                fold,
                rng.randint(2, heights // 2),
                stitch,
            )


def percentile(times: list[float], share: float) -> float:
    """Return the time that the given share of the runs does not exceed."""
    return sorted(times)[min(len(times) - 1, int(share * len(times)))]


def report(name: str, value: float, floor: float, at_least: bool = False) -> bool:
    """Print a figure beside its floor and return whether it holds."""
    holds = value >= floor if at_least else value <= floor
    sign = "≥" if at_least else "≤"
    print(f"  {name:<28}{value:10.4f}   {sign} {floor:g}   {'holds' if holds else 'BROKEN'}")
    return holds


def search(books: int, gatherings: int, heights: int, seconds: float) -> bool:
    """Time the search on drawn books and return whether every floor holds."""
    rng, proven, strips = random.Random(2026), 0, 0
    times: list[float] = []
    for _ in range(books):
        book = drawn_book(rng, gatherings, heights)
        start = process_time()
        found = arrange(book)
        times.append(process_time() - start)
        proven += found.status == "proven"
        strips += max(found.strips.values()) <= 4
    print(f"{gatherings} gatherings, {heights} heights, {books} books")
    print(f"  median {percentile(times, 0.5):.4f} s, at most four strips in {strips / books:.1%}")
    results = (
        report("99 % of books, s", percentile(times, 0.99), seconds),
        report("worst book, s", max(times), 3),
        report("proven, share", proven / books, 0.99, at_least=True),
    )
    return all(results)


def one_fold(folds: int) -> bool:
    """Time placing stitches on one fold and return whether its floor holds."""
    rng = random.Random(2026)
    times: list[float] = []
    while len(times) < folds:
        fold, stitch = drawn_fold(rng), rng.choice(STITCHES_MM)
        most = heights_that_fit(fold, stitch)
        if most > 1:
            start = process_time()
            most_even(centre_set(fold, stitch), rng.randint(2, most), fold.height_mm)
            times.append(process_time() - start)
    print(f"one fold, {folds} folds, median {percentile(times, 0.5):.4f} s")
    return report("99 % of folds, s", percentile(times, 0.99), 0.010)


EXTREMES = {
    "1900 mm, 300 gatherings": ({"height": 1900.0, "gatherings": 300}, {}),
    "1900 mm, every gathering of 600": ({"height": 1900.0, "gatherings": 600}, {"every": 1, "strips": 3}),
    "689 mm, 44 gatherings": ({"height": 689.0, "gatherings": 44}, {}),
    "weak paper, 300 gatherings": ({"height": 1900.0, "gatherings": 300, "tear_strength": 160.0}, {}),
}  # fmt: skip
"""Books at the ends of what a record allows: fields of the text block, settings of the sewing."""


def whole_drafts() -> bool:
    """Draft a sewing on books at the limits of a record and return whether each keeps to five seconds."""
    results = []
    for name, (block, settings) in EXTREMES.items():
        height = float(block["height"])
        supports = tuple(60.0 + k * (height - 120) / 5 for k in range(6))
        book = changed(
            "logbook",
            text_block={**block, "leaves": None, "leaf_thickness": 0.1},
            cover={"board_height": height + 9},
            sewing={"kettles": (15.0, height - 15.0), "supports_at": supports},
        )
        start = process_time()
        drafted(book, "secondary_sewing", **settings)
        results.append(report(name, process_time() - start, 5.0))
    return all(results)


def main(books: int) -> int:
    """Print every figure and return 1 when a floor is broken."""
    results = (
        one_fold(books),
        search(books, 40, 9, 0.1),
        search(books, 60, 12, 0.5),
        whole_drafts(),
    )
    return 0 if all(results) else 1


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 1000))
