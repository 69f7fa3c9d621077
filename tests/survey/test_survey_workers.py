"""One process, a pool, a cluster, and runs that were ended: the same bytes, and nobody left behind."""

from __future__ import annotations

import csv
import os
import random
import re
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import psutil
import pytest

from patterns.examine.examination import examine
from patterns.stock import materials
from patterns.structures import catalogue
from patterns.survey.columns import columns
from patterns.survey.judging import SEARCH_SHARE
from patterns.survey.rows import from_cells
from tests.survey import harbour
from tests.survey.surveying import apart, digests, rows, surveyed

COUNT = 400
PATIENCE_S = 120


@pytest.fixture(scope="module")
def table(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A table with slips, large enough to be ended in the middle."""
    path = tmp_path_factory.mktemp("table") / "b.csv"
    path.write_bytes(harbour.as_csv(harbour.with_slips(harbour.books(COUNT, 5, 0.02), 5)))
    return path


@pytest.fixture(scope="module")
def alone(table: Path) -> dict[str, str]:
    """What one process makes of it."""
    return digests(surveyed(table, table.parent / "alone"))


def test_a_pool_gives_the_same_bytes(table: Path, alone: dict[str, str], tmp_path: Path) -> None:
    """Two processes, whichever ends first."""
    run = apart(table, tmp_path / "s", "--jobs", "2")
    assert run.wait(PATIENCE_S) == 0
    assert digests(tmp_path / "s") == alone


def _some_are_kept(out: Path) -> bool:
    results = out / "results.jsonl"
    return results.exists() and results.stat().st_size > 0


def _ended_once_begun(table: Path, out: Path, with_signal: int, wait_s: float) -> None:
    run = apart(table, out, "--jobs", "2")
    until = time.monotonic() + PATIENCE_S
    while not _some_are_kept(out) and run.poll() is None and time.monotonic() < until:
        time.sleep(0.01)
    time.sleep(wait_s)
    children = psutil.Process(run.pid).children(recursive=True) if run.poll() is None else []
    run.send_signal(with_signal)
    run.wait(PATIENCE_S)
    _, alive = psutil.wait_procs(children, timeout=10)
    assert not alive, "workers outlived their parent"


@pytest.mark.parametrize("with_signal", [signal.SIGKILL, signal.SIGINT])
def test_a_run_that_was_ended_goes_on(
    table: Path, alone: dict[str, str], tmp_path: Path, with_signal: int
) -> None:
    """Killed or stopped in the middle: no worker is left, and the next run ends as one whole run."""
    out = tmp_path / "s"
    _ended_once_begun(table, out, with_signal, 0.0)
    assert _some_are_kept(out)
    assert digests(surveyed(table, out)) == alone


HALF_AN_ANSWER = """
import os, struct, sys, time
from pathlib import Path
from patterns.survey import judging
from patterns.survey.workers import workers


def half(task):
    frame = sys._getframe()
    while "result_queue" not in frame.f_locals:
        frame = frame.f_back
    os.write(frame.f_locals["result_queue"]._writer.fileno(), struct.pack("!i", 1000) + b"x" * 10)
    Path("written").touch()
    time.sleep(600)


def main():
    judging.work = half
    with workers(2, "", "") as lent:
        lent.submit(None)
        while not Path("written").exists():
            time.sleep(0.01)
        raise KeyboardInterrupt
"""


def test_a_worker_ended_in_the_middle_of_its_answer_is_not_waited_for(tmp_path: Path) -> None:
    """Ten bytes of an answer of a thousand have come when Ctrl-C ends the run: the rest never comes."""
    (tmp_path / "half_answer.py").write_text(HALF_AN_ANSWER, encoding="utf-8")
    command = [sys.executable, "-c", "import half_answer; half_answer.main()"]
    run = subprocess.run(
        command, cwd=tmp_path, capture_output=True, text=True, timeout=60, check=False
    )
    assert (tmp_path / "written").exists()
    assert run.stderr.rstrip().endswith("KeyboardInterrupt")


@pytest.mark.long
@pytest.mark.parametrize("seed", range(8))
def test_runs_ended_at_drawn_moments_go_on(
    table: Path, alone: dict[str, str], tmp_path: Path, seed: int
) -> None:
    """Again and again at any moment, writing the tables included."""
    chance, out = random.Random(seed), tmp_path / "s"
    for _ in range(4):
        with_signal = chance.choice((signal.SIGKILL, signal.SIGINT))
        _ended_once_begun(table, out, with_signal, chance.uniform(0, 1.5))
    assert digests(surveyed(table, out)) == alone


@contextmanager
def _cluster(count: int) -> Iterator[tuple[str, list[subprocess.Popen[str]]]]:
    """Start a scheduler and workers by hand, as the README shows it, on this machine."""
    environment = {**os.environ, "DASK_DISTRIBUTED__COMM__TIMEOUTS__CONNECT": "30s"}
    quiet = ["--no-dashboard", "--protocol", "tcp"]
    started = [
        subprocess.Popen(
            [sys.executable, "-m", "distributed.cli.dask_scheduler", "--host", "127.0.0.1", "--port", "0", *quiet],
            stderr=subprocess.PIPE, text=True, env=environment,
        )
    ]  # fmt: skip
    try:
        assert started[0].stderr is not None
        found = next(
            match
            for line in started[0].stderr
            if (match := re.search(r"(tcp://127\.0\.0\.1:\d+)", line))
        )
        for _ in range(count):
            command = [
                sys.executable,
                "-m",
                "distributed.cli.dask_worker",
                found[1],
                "--nthreads",
                "1",
                "--no-dashboard",
            ]
            started.append(
                subprocess.Popen(command, stderr=subprocess.DEVNULL, text=True, env=environment)
            )
        yield found[1], started[1:]
    finally:
        for process in reversed(started):
            process.terminate()
            process.wait(30)
            if process.stderr:
                process.stderr.close()


@pytest.mark.long
def test_a_cluster_gives_the_same_bytes_though_a_worker_is_killed(
    table: Path, alone: dict[str, str], tmp_path: Path
) -> None:
    """A scheduler with two workers started by hand, one of them killed in the middle."""
    out = tmp_path / "s"
    with _cluster(2) as (address, workers):
        time.sleep(8)
        run = apart(table, out, "--scheduler", address)
        until = time.monotonic() + PATIENCE_S
        while not _some_are_kept(out) and run.poll() is None and time.monotonic() < until:
            time.sleep(0.01)
        for child in psutil.Process(workers[0].pid).children(recursive=True):
            child.kill()
        workers[0].kill()
        assert run.wait(PATIENCE_S) == 0
    assert digests(out) == alone


@pytest.mark.long
def test_every_first_way_that_lacks_nothing_drafts(tmp_path: Path) -> None:
    """What an examination puts first can be drafted, or the survey would promise in vain."""
    (tmp_path / "b.csv").write_bytes(harbour.as_csv(harbour.books(60, 11, 0.5)))
    run = apart(tmp_path / "b.csv", tmp_path / "s", "--jobs", "2", "--draft", "--formats", "svg")
    assert run.wait(20 * PATIENCE_S) == 0
    books = rows(tmp_path / "s" / "books.csv")
    ready = [row for row in books if row["first_way"] and not row["needs_measuring"]]
    assert len(ready) >= 10
    assert {row["state"] for row in ready} == {"drafted"}, rows(tmp_path / "s" / "problems.csv")
    for row in ready:
        folder = tmp_path / "s" / "books" / f"{row['id']}-{row['first_way']}"
        assert (folder / "pattern.json").exists()
    told = rows(tmp_path / "s" / "materials.csv")
    assert any(float(row["thread_m"]) > 0 for row in told)
    assert any(float(row["area_m2"]) > 0 for row in told)


def test_a_smaller_search_puts_the_same_way_first() -> None:
    """A survey lends each book fewer steps to find stitches in; what it is called for stays the same."""
    library, templates = materials.load(), catalogue.templates()
    table = harbour.as_csv(harbour.books(12, 3, 1.0)).decode("utf-8-sig").splitlines()
    headings, *body = csv.reader(table)
    read = columns(headings, {}, "b.csv").read
    for row in body:
        record = from_cells(row, read, "point").record
        assert record is not None
        whole, less = (
            examine(record, library, templates, search_share=share) for share in (1.0, SEARCH_SHARE)
        )
        assert [one.structure for one in less.choices] == [one.structure for one in whole.choices]
