"""How fast a gallery of 10,000 patterns answers: python -m tests.benchmarks.bench_gallery [COUNT].

Prints median and least time of each figure beside its limit, and the floor: what the system alone
takes to list and date the folders, measured in turn with the rest. Ends with 1 when a least time
is over its limit and over twice the floor: a floor above the limit speaks of the machine.
"""

from __future__ import annotations

import math
import os
import random
import sqlite3
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from contextlib import closing
from pathlib import Path

from patterns.gallery import index, similar
from patterns.gallery.index import Query
from patterns.gallery.manifest import MANIFEST, make
from patterns.gallery.summary import summarise
from tests.gallery_samples import pattern_files

RUNS = 25
FLOOR = "floor: list and date"
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


def timed_ms(jobs: Sequence[Callable[[], object]]) -> list[list[float]]:
    """Return the times of RUNS calls of every job in ms, the jobs taking turns."""
    taken: list[list[float]] = [[] for _ in jobs]
    for _ in range(RUNS):
        for times, job in zip(taken, jobs, strict=True):
            start = time.perf_counter()
            job()
            times.append((time.perf_counter() - start) * 1000)
    return taken


def dated(gallery: Path) -> list[int]:
    """List and date the folders, and nothing more."""
    with os.scandir(gallery) as entries:
        return [entry.stat().st_mtime_ns for entry in entries]


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
            jobs: dict[str, tuple[Callable[[], object], float]] = {
                "query": (lambda: index._answer(base, asked), 10.0),
                "query with freshness check": (lambda: index.search(gallery, asked), 50.0),
                FLOOR: (lambda: dated(gallery), math.inf),
                "nearest of all": (lambda: similar.nearest(entries[7].features, entries), 500.0),
            }
            times = timed_ms([job for job, _ in jobs.values()])
    print(f"{count} patterns")
    print(f"{'rebuild':28} {rebuild_s * 1000:9.1f} ms                    limit 5000")
    over = rebuild_s > 5
    floor = min(times[list(jobs).index(FLOOR)])
    for (name, (_, limit)), taken in zip(jobs.items(), times, strict=True):
        middle, least = statistics.median(taken), min(taken)
        print(f"{name:28} {middle:9.2f} ms  least {least:7.2f} ms  limit {limit:g}")
        over = over or least > max(limit, 2 * floor)
    return int(over)


if __name__ == "__main__":
    raise SystemExit(main())
