"""How fast a gallery of 10,000 patterns answers: python -m tests.benchmarks.bench_gallery [COUNT].

Prints the median of each figure beside its limit; ends with 1 when one is over.
"""

from __future__ import annotations

import os
import random
import sqlite3
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

from patterns.gallery import index, similar
from patterns.gallery.index import Query
from patterns.gallery.manifest import MANIFEST, make
from patterns.gallery.summary import summarise
from tests.gallery_samples import pattern_files

RUNS = 25
TOWN = [
    "harbour",
    "pilot",
    "tide",
    "almanac",
    "seaweed",
    "atlas",
    "chart",
    "logbook",
    "ferry",
    "register",
    "crew",
    "school",
]
KINDS = (("hollow_tube",), ("spine_inlay",), ("board_slot", "secondary_sewing"))


def fill(gallery: Path, count: int) -> None:
    """Write `count` patterns, the way the store leaves them, without its waiting for the disk."""
    chance = random.Random(1)
    for number in range(count):
        book_id, structures = f"BOOK-{number:05d}", chance.choice(KINDS)
        title = " ".join(chance.sample(TOWN, 3)).capitalize() + f" {number % 97}"
        height = round(chance.uniform(120, 420), 1)
        files = pattern_files(book_id, title=title, height=height, structures=structures)
        home = gallery / f"{book_id}-{'+'.join(structures)}"
        listed = make(home.name, files, (), "2026-11-25T09:00:00Z", summarise(files, (), "bench"))
        place = home / "r0001"
        place.mkdir(parents=True)
        for name, data in {**files, MANIFEST: listed.write()}.items():
            (place / name).write_bytes(data)
        settled = time.time() - 60 - number / count
        os.utime(home, (settled, settled))


def median_ms(job: Callable[[], object]) -> float:
    """Return the median of RUNS calls in ms."""
    taken = []
    for _ in range(RUNS):
        start = time.perf_counter()
        job()
        taken.append((time.perf_counter() - start) * 1000)
    return statistics.median(taken)


def main() -> int:
    """Build, measure, print."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    with tempfile.TemporaryDirectory() as folder:
        os.environ["MENDFOLD_CACHE"] = f"{folder}/cache"
        gallery = Path(folder) / "gallery"
        fill(gallery, count)
        start = time.perf_counter()
        index.search(gallery, Query(limit=1))
        rebuild_s = time.perf_counter() - start
        asked = Query(text="harbour atl", sizes={"height": (200.0, 240.0)}, limit=50)
        entries = index.search(gallery, Query())[0]
        with closing(sqlite3.connect(index.cache_file(gallery))) as base:
            query_ms = median_ms(lambda: index._answer(base, asked))
        figures = [
            ("rebuild, s", rebuild_s, 5.0),
            ("query, ms", query_ms, 10.0),
            ("query with freshness check, ms", median_ms(lambda: index.search(gallery, asked)), 50.0),
            ("nearest of all, ms", median_ms(
                lambda: similar.nearest(entries[7].features, entries)), 500.0),
        ]  # fmt: skip
    print(f"{count} patterns")
    for name, value, limit in figures:
        print(f"{name:32} {value:8.2f}  limit {limit:g}  ratio {value / limit:.2f}")
    return int(any(value > limit for _, value, limit in figures))


if __name__ == "__main__":
    raise SystemExit(main())
