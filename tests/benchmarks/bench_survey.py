"""What a survey costs beside the examinations in it: python -m tests.benchmarks.bench_survey [COUNT].

Run by hand, on Linux. The books are the invented collection's, as a shelf allows them to be taken. Prints
each ratio beside its floor and ends with 1 where one is missed. Times are of the processor.
"""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
from pathlib import Path
from time import process_time
from typing import Any

from patterns.examine.examination import examine
from patterns.stock import materials
from patterns.structures import catalogue
from patterns.survey.judging import SEARCH_SHARE
from patterns.survey.rows import from_cells
from patterns.survey.sources import source
from tests.survey import harbour

WHOLE, PARENT, RESUMED, MEMORY_MB = 1.4, 0.03, 1 / 20, 70.0
"""The whole over reading and examining alone; the parent's share; a second run over the first; memory."""
_RUN = """
import json, resource, sys
from patterns import cli
try:
    cli.main(["survey", *sys.argv[1:]])
except SystemExit as leave:
    assert not leave.code, leave.code
own, below = (resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
with open("/proc/self/status") as status:
    peak_kb = next(int(line.split()[1]) for line in status if line.startswith("VmHWM"))
print(json.dumps({"own": own.ru_utime + own.ru_stime, "below": below.ru_utime + below.ru_stime, "mb": peak_kb / 1024}))
"""
"""Its peak is the system's own mark: `ru_maxrss` begins with what the process had that started it (Linux)."""


def examined(table: Path) -> float:
    """Return the seconds that reading and examining every book take, and nothing else."""
    library, templates = materials.load(), catalogue.templates()
    found = source(table, {}, None)
    raws = list(found.opener())
    start = process_time()
    for raw in raws:
        record = from_cells(raw.cells, found.columns.read, found.decimal).record
        if record is not None:
            examine(record, library, templates, search_share=SEARCH_SHARE)
    return process_time() - start


def surveyed(table: Path, out: Path, jobs: int) -> dict[str, Any]:
    """Survey in a process of its own and return what it took."""
    command = [sys.executable, "-c", _RUN, str(table), "--out", str(out), "--jobs", str(jobs)]
    run = subprocess.run(command, capture_output=True, text=True, check=True)
    told: dict[str, Any] = json.loads(run.stdout.splitlines()[-1])
    return told


def main() -> int:
    """Print every ratio; return 1 where a floor is missed."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 2_000
    with tempfile.TemporaryDirectory() as folder:
        table, out = Path(folder) / "books.csv", Path(folder) / "survey"
        table.write_bytes(harbour.as_csv(harbour.with_slips(harbour.books(count, 1, 0.0), 1)))
        alone = examined(table)
        whole = surveyed(table, Path(folder) / "one", 1)
        pool = surveyed(table, out, 2)
        again = surveyed(table, out, 2)
        page = (out / "survey.html").stat().st_size
    spent = pool["own"] + pool["below"]
    rows = (
        (
            f"{count} books: read and examined alone {alone:.1f} s; the whole over it",
            whole["own"] / alone,
            WHOLE,
        ),
        ("the parent's share of a pool", pool["own"] / spent, PARENT),
        ("a second run over the first", (again["own"] + again["below"]) / spent, RESUMED),
        ("memory of the main process, MB", pool["mb"], MEMORY_MB),
        ("the page, MB", page / 1e6, 5.0),
    )
    for words, found, most in rows:
        print(f"{words}: {found:.3f}, at most {most:.3f}: {'kept' if found <= most else 'MISSED'}")
    return int(any(found > most for _, found, most in rows))


if __name__ == "__main__":
    sys.exit(main())
