"""How soon the main job answers, as ratios to imports nobody can avoid.

Run as  python -m tests.benchmarks.bench_main [RUNS].  Whole processes take turns, bytecode compiled
before; medians count. Peaks are those the system saw. Ends with 1 when a limit is missed.
"""

from __future__ import annotations

import compileall
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path

from patterns.book.book import Book
from patterns.drafting import job
from patterns.drafting.order import Order
from patterns.examine import examination
from patterns.record import reading
from patterns.stock import materials
from patterns.structures import catalogue
from tests.benchmarks.remembered import forget

ROOT = Path(__file__).parents[2]
BOOK = ROOT / "patterns/demo/chart_book.toml"
RUNS = 25
STRUCTURES = ("spine_inlay", "hollow_tube")
WARM_MS = 30.0
ASKED_MS = 0.1
PEAK_MB = 90.0
COMMAND = "from patterns.cli import main; main()"
"""What the installed `mendfold` does."""
FLOORS = {
    "click": "import click",
    "a": "import shapely, reportlab.pdfgen.canvas",
    "b": "import shapely, reportlab.pdfgen.canvas, click, tomllib, json, svgwrite, dataclasses, "
    "reportlab.pdfbase.ttfonts",
}


@dataclass(slots=True)
class Process:
    """A command line with what its runs took, and the limit it is held to: so often a floor."""

    name: str
    arguments: list[str]
    floor: str = ""
    limit: float = 0.0
    status: int = 0
    more_ms: float = 0.0
    """What it must work out besides, in ms, left out of the ratio."""
    out: Path | None = None
    """What it writes, cleared away before each run."""
    taken_ms: list[float] = field(default_factory=list)
    peak_mb: float = 0.0

    def run(self) -> None:
        """Run it once; anything but the expected status ends the benchmark."""
        if self.out:
            shutil.rmtree(self.out, ignore_errors=True)
        start = time.perf_counter()
        running = subprocess.Popen(
            [sys.executable, *self.arguments],
            cwd=ROOT,
            env=ENVIRONMENT,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        _, status, used = os.wait4(running.pid, 0)
        self.taken_ms.append((time.perf_counter() - start) * 1000)
        running.returncode = os.waitstatus_to_exitcode(status)
        if running.returncode != self.status:
            raise SystemExit(f"{self.name}: ended with {running.returncode}")
        unit = 1 if sys.platform == "darwin" else 1024
        self.peak_mb = max(self.peak_mb, used.ru_maxrss * unit / 2**20)

    @property
    def median_ms(self) -> float:
        """The median of its runs."""
        return statistics.median(self.taken_ms)


ENVIRONMENT = {key: value for key, value in os.environ.items() if not key.startswith("PYTHON")}


def processes(folder: Path) -> list[Process]:
    """Return the floors first, then what is held against them."""
    refused = folder / "refused.toml"
    refused.write_text('[book]\nid = "x"\n\n[text_block]\nheigth = 210\n', encoding="utf-8")
    floors = [Process(name, ["-c", code]) for name, code in FLOORS.items()]
    made = [
        Process("--help", _mendfold("--help"), "click", 1.5),
        Process("a refused record", _mendfold("draft", refused, "hollow_tube"), "click", 2.0, 1),
        Process("examine", _mendfold("examine", BOOK), "click", 2.7, more_ms=examined_ms()),
    ]
    for name in STRUCTURES:
        for formats, floor, limit in (("svg,pdf", "b", 2.0), ("pdf", "a", 2.4)):
            out = folder / formats
            asked = _mendfold("draft", BOOK, name, "--formats", formats, "--out", out)
            made.append(Process(f"{name} to {formats}", asked, floor, limit, out=out))
    return floors + made


def _mendfold(*words: str | Path) -> list[str]:
    return ["-c", COMMAND, *map(str, words)]


def median_ms(work: Callable[[], object], runs: int = RUNS) -> float:
    """Return the median of so many calls in ms, after one that does not count."""
    taken = []
    for _ in range(runs + 1):
        start = time.perf_counter()
        work()
        taken.append((time.perf_counter() - start) * 1000)
    return statistics.median(taken[1:])


def examined_ms() -> float:
    """Return what an examination must do itself: read its files, search its sewings and work out the findings.

    Nothing is remembered; the modules stay loaded.
    """

    def examine() -> None:
        forget("patterns.")
        book = reading.load(BOOK)
        examination.examine(book, materials.load(), catalogue.templates(), str(BOOK))

    return median_ms(examine)


def drafted_ms(name: str) -> float:
    """Return how long one structure takes without rendering, everything loaded."""
    library = materials.load()
    return median_ms(lambda: job.draft(Order(reading.load(BOOK), (name,), stock=library)))


def asked_ms() -> float:
    """Return how long the dearest structure takes to say whether it suits its own example."""
    library, taken = materials.load(), []
    for name, template in catalogue.templates().items():
        book = Book.of(reading.load(BOOK.with_name(f"{template.example}.toml")), library)
        rows, roles = template.parameters.items(), template.materials.items()
        params = catalogue.asked(name).params(**{key: row.default for key, row in rows})
        own = {role: library.find(row.default, row.kind) for role, row in roles}
        ready = replace(book, materials=own)
        taken.append(median_ms(partial(catalogue.asked(name).suits, ready, params), 300))
    return max(taken)


def verdict(name: str, value: float, limit: float, unit: str) -> bool:
    """Print one line; return whether the limit is kept."""
    kept = value <= limit
    print(f"{name:28}{value:8.2f}{unit:12} limit {limit:5.2f}   {'pass' if kept else 'MISS'}")
    return kept


def main() -> int:
    """Measure and print; return 1 when a limit is missed."""
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else RUNS
    compileall.compile_dir(ROOT / "patterns", quiet=1)
    with tempfile.TemporaryDirectory() as folder:
        every = processes(Path(folder))
        for _ in range(runs):
            for one in every:
                one.run()
    floors = {one.name: one.median_ms for one in every[: len(FLOORS)]}
    print(f"{runs} interleaved runs, medians")
    for name, took in floors.items():
        print(f"({name}) {took:.0f} ms: {FLOORS[name]}")
    kept = [
        verdict(one.name, (one.median_ms - one.more_ms) / floors[one.floor], one.limit, f" × ({one.floor})")
        for one in every[len(FLOORS) :]
    ]  # fmt: skip
    kept += [verdict(f"{name}, warm", drafted_ms(name), WARM_MS, " ms") for name in STRUCTURES]
    kept.append(verdict("asking the dearest structure", asked_ms(), ASKED_MS, " ms"))
    kept.append(verdict("greatest peak", max(one.peak_mb for one in every), PEAK_MB, " MB"))
    return int(not all(kept))


if __name__ == "__main__":
    raise SystemExit(main())
