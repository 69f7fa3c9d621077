"""How soon the page answers, as ratios to floors: python -m tests.benchmarks.bench_page [RUNS].

F is what formatting 200,000 numbers takes in the same run. Taken is the processor's time of the bench
and of the process that draws beside it, asked over its own port as its page asks; medians count. Ends
with 1 when a limit is missed. Needs Linux, for the time and memory of another process.
"""

from __future__ import annotations

import http.client
import itertools
import os
import signal
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from patterns.commands.demo import orders
from tests.bench.benches import Asking, opened
from tests.benchmarks.bench_layout import formatted
from tests.books import DEMO

RUNS = 9
BOOK = "/books/1"
VISIBLE = 6
"""The sheet that lies before whoever types."""
FAST, BETWEEN_S = 10, 0.04
PAUSE_S = 1.1
"""Between looks, while the memory is watched: whoever measures types no faster."""
LOOKS = 100
CORE = (
    "import patterns.drafting.making, patterns.examine.examination, patterns.sheets.whole, "
    "patterns.gallery.portrait, patterns.record.reading"
)
"""What the drawing is done with; the page's own process needs none of it before the first page."""
ROOT = Path(__file__).parents[2]


class Bench:
    """A bench with the logbook of the demonstration on it, all its structures chosen."""

    def __init__(self, asking: Asking) -> None:
        self.asking = asking
        self.bytes = 0
        self.floors: list[float] = []
        (order,) = [one for one in orders() if one.record.book.id == "logbook"]
        asking.get("/books")
        asking.post(f"{BOOK}/structures", names="+".join(order.structures), settings="")
        asking.get(f"{BOOK}/look/pieces")

    def told(self, body: bytes) -> None:
        """Count what the page is answered."""
        self.bytes += len(body)

    def type(self, name: str, words: str, kind: str = "field") -> None:
        """Type into a field or a setting."""
        self.told(self.asking.post(f"{BOOK}/{kind}", name=name, words=words, visit="1").body)

    def look(self, want: str) -> bytes:
        """Ask for a look; anything but an answer ends the benchmark."""
        told = self.asking.get(f"{BOOK}/look/{want}")
        self.told(told.body)
        if told.status != 200 or told.body[:12] in (b'{"overtaken"', b'{"cannot":"'):
            raise SystemExit(f"look at {want}: {told.body[:200]!r}")
        return told.body

    def to_pieces(self, words: str, name: str = "text_block.height", kind: str = "field") -> None:
        """One stroke, and all pieces side by side."""
        self.type(name, words, kind)
        self.look("pieces")

    def to_sheet(self, words: str, name: str = "text_block.height", kind: str = "field") -> None:
        """One stroke, and all until the visible sheet stands there."""
        self.to_pieces(words, name, kind)
        self.look("pages")
        self.look(f"sheet?page={VISIBLE}")

    def whole_look(self, words: str) -> None:
        """One stroke, and all three looks: pieces, the visible sheet, findings and every small sheet."""
        self.to_sheet(words)
        self.look("findings")
        pages = self.asking.get(f"{BOOK}/look/pages").json["pages"]
        for page in range(1, len(pages) + 1):
            self.look(f"sheet?page={page}")

    @property
    def drawing(self) -> int:
        """The number of the process that draws."""
        process = self.asking.started.bench.drawer.process
        assert process is not None
        assert process.pid is not None
        return process.pid

    def used_s(self) -> float:
        """Return the processor's time of both processes."""
        clock = (~self.drawing << 3) | 2  # the clock of another process, by its number
        return time.process_time() + time.clock_gettime(clock)

    def held_mb(self) -> float:
        """Return the memory that both processes hold."""
        pages = 0
        for number in (os.getpid(), self.drawing):
            pages += int(Path(f"/proc/{number}/statm").read_text().split()[1])
        return pages * os.sysconf("SC_PAGE_SIZE") / 2**20

    def median_s(self, work: Callable[[str], object], words: Iterator[str], runs: int) -> float:
        """Return the median of the processor's time that something takes with other words each time.

        The floor is measured in turn with it.
        """
        taken = []
        for _ in range(runs + 1):
            self.floors.append(formatted())
            before = self.used_s()
            work(next(words))
            taken.append(self.used_s() - before)
        return statistics.median(taken[1:])

    @property
    def floor_s(self) -> float:
        """F, as it was in this run."""
        return statistics.median(self.floors)


def heights() -> Iterator[str]:
    """Yield heights of the logbook, each another."""
    return (f"{330 + step / 10:.1f}" for step in itertools.count(1))


def looks_of_fast_strokes(bench: Bench) -> int:
    """Return how many looks are drawn for ten strokes, each followed by its look without a pause."""
    drawn: list[bool] = []

    def ask(words: str) -> None:
        bench.type("text_block.height", words)
        body = bench.asking.get(f"{BOOK}/look/pages").json
        drawn.append("pages" in body)

    threads = []
    for _, words in zip(range(FAST), heights(), strict=False):
        threads.append(threading.Thread(target=ask, args=(f"{words}5",)))
        threads[-1].start()
        time.sleep(BETWEEN_S)
    for thread in threads:
        thread.join()
    return sum(drawn)


@contextmanager
def started(folder: Path) -> Iterator[tuple[str, float]]:
    """Yield the address of a bench in a process of its own, and when it was started."""
    start = time.perf_counter()
    command = [sys.executable, "-m", "patterns", "bench", str(folder), "--no-open"]
    process = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True)
    assert process.stdout is not None
    try:
        yield process.stdout.readline().strip(), start
    finally:
        process.send_signal(signal.SIGINT)
        process.communicate(timeout=60)


def to_first_page_s(folder: Path) -> float:
    """Return how long it takes from the start until the page has come."""
    with started(folder) as (address, start):
        host = address.removeprefix("http://").partition("/")[0]
        link = http.client.HTTPConnection(host, timeout=60)
        link.request("GET", "/", headers={"Host": host})
        link.getresponse().read()
        taken = time.perf_counter() - start
        link.close()
    return taken


def imported_s(code: str) -> float:
    """Return how long a process takes that imports something."""
    start = time.perf_counter()
    subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=True)
    return time.perf_counter() - start


def starting(folder: Path, runs: int) -> tuple[float, float]:
    """Return the start to the first page, and what it may take: processes take turns, medians count."""
    rows = [
        (to_first_page_s(folder), imported_s("import flask"), imported_s(CORE))
        for _ in range(runs + 1)
    ]
    page, flask, core = (statistics.median(one) for one in zip(*rows[1:], strict=True))
    return page, 2 * flask + core


def verdict(name: str, value: float, limit: float, unit: str) -> bool:
    """Print one line; return whether the limit is kept."""
    kept = value <= limit
    print(f"{name:44}{value:8.3f} {unit:16} limit {limit:6.3f}   {'pass' if kept else 'MISS'}")
    return kept


def measured(bench: Bench, runs: int) -> list[bool]:
    """Measure everything on one bench and print it."""
    words = heights()
    clearances = (f"{1 + step / 100:.2f}" for step in itertools.count(1))

    def one_part(clearance: str) -> None:
        bench.to_sheet(clearance, "spine_inlay.clearance", "setting")

    whole = bench.median_s(bench.whole_look, words, runs)
    pieces = bench.median_s(bench.to_pieces, words, runs)
    sheet = bench.median_s(bench.to_sheet, words, runs)
    part = bench.median_s(one_part, clearances, runs)
    wrong = itertools.cycle(("tall", "very tall"))
    answered = bench.median_s(lambda one: bench.type("text_block.height", one), wrong, 3 * runs)
    floor = bench.floor_s
    print(f"F is {floor * 1000:.0f} ms; {runs} runs, medians")
    bench.bytes = 0
    bench.to_sheet(next(words))
    stroke = bench.bytes / 1024
    fast = looks_of_fast_strokes(bench)
    before = bench.held_mb()
    for _ in range(LOOKS):
        bench.to_sheet(next(words))
        time.sleep(PAUSE_S)
    grown = bench.held_mb() / before - 1
    return [
        verdict("key to all pieces", pieces / floor, 0.6, "F"),
        verdict("key to the visible sheet, all changed", sheet / floor, 3.0, "F"),
        verdict("key to the visible sheet, one part changed", part / floor, 1.5, "F"),
        verdict("wrong field answered", answered / whole, 1 / 50, "whole looks"),
        verdict("a stroke until its sheet is seen", stroke, 64, "KB"),
        verdict(f"looks drawn for {FAST} fast strokes", fast, 5, ""),
        verdict(f"memory more after {LOOKS} looks", grown, 0.05, f"of {before:.0f} MB"),
    ]


def main() -> int:
    """Measure and print; return 1 when a limit is missed."""
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else RUNS
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        os.environ["MENDFOLD_CACHE"] = str(folder / "cache")
        books = folder / "books"
        books.mkdir()
        (books / "logbook.toml").write_bytes((DEMO / "logbook.toml").read_bytes())
        page, floor = starting(folder / "started", runs)
        kept = [verdict("start to the first page", page / floor, 1.0, "2 flask + core")]
        with opened(books) as asking:
            kept += measured(Bench(asking), runs)
    return int(not all(kept))


if __name__ == "__main__":
    raise SystemExit(main())
