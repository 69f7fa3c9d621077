"""Asks answered by a child of this process, each in a folder of its own, with limits of time and memory."""

from __future__ import annotations

import contextlib
import gc
import json
import os
import resource
import select
import shutil
import signal
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from types import FrameType

from tests.campaign import judging
from tests.campaign.asking import Ask
from tests.campaign.program import Ran, TooSlowError, Watch, run, where

MOST_CPU_S = 5
MOST_BYTES = 300_000_000
MOST_WAIT_S = 120
"""On the clock; a child that waits for something uses no processor time."""
FAILED = ("wrong", "too large", "too slow", "traceback", "ill told")
"""Worst last but for how a refusal is told; whatever else an ask ends with is taken or refused."""


@dataclass(frozen=True, slots=True)
class Tried:
    """How an ask ended, what was told of it, and what it cost in seconds and bytes."""

    ask: Ask
    ended: str
    told: str
    cpu_s: float
    most_bytes: int
    sheets: int = 0
    """Sheets that were laid out and judged."""

    @property
    def failed(self) -> bool:
        """Whether the program was at fault."""
        return self.ended in FAILED

    @property
    def fault(self) -> tuple[str, str]:
        """What makes two failures one: how it ended and where, without its figures."""
        return self.ended, self.told.partition(":")[0]


def tried(ask: Ask) -> Tried:
    """Ask the program in a child process; whatever becomes of the child is an answer."""
    (answer,) = _answers((ask,), alone=True)
    return answer


def tried_together(asks: Sequence[Ask]) -> Iterator[Tried]:
    """Ask one thing after another in one child, which saves a third of the time, and yield the answers.

    What fails in company is asked again in a child of its own; and so is whatever a child did not
    live to answer. A fault that shows in company alone stays one: the page in the browser, too,
    asks many things of one process.
    """
    left = list(asks)
    while left:
        answers = _answers(left, alone=False)
        for answer in answers:
            again = tried(answer.ask) if answer.failed else answer
            only_here = not again.failed and answer.ended not in ("too large", "too slow")
            yield answer if answer.failed and only_here else again
        left = left[len(answers) :]
        if left:
            yield tried(left.pop(0))


def _answers(asks: Sequence[Ask], *, alone: bool) -> list[Tried]:
    """Return the answers of one child: all but for those it did not live to give, or one when alone."""
    folder = Path(tempfile.mkdtemp(prefix="campaign-"))
    reading, writing = os.pipe()
    sys.stdout.flush()
    gc.freeze()
    child = os.fork()
    if child == 0:
        os.close(reading)
        _child(asks, folder, writing)
    os.close(writing)
    try:
        said = _until_closed(reading, child)
        _, status, used = os.wait4(child, 0)
    finally:
        os.close(reading)
        shutil.rmtree(folder, ignore_errors=True)
    lines = [line for line in said.splitlines(keepends=True) if line.endswith(b"\n")]
    told = [Tried(ask, *json.loads(line)) for ask, line in zip(asks, lines, strict=False)]
    if told or not alone:
        return told
    ended = _unanswered(os.WTERMSIG(status) if os.WIFSIGNALED(status) else 0, status)
    return [Tried(asks[0], *ended, used.ru_utime + used.ru_stime, used.ru_maxrss * 1024)]


def _until_closed(pipe: int, child: int) -> bytes:
    """Return what a child says until it ends; one that says nothing for a long time is ended."""
    said = b""
    while True:
        ready, _, _ = select.select([pipe], [], [], MOST_WAIT_S)
        if not ready:
            os.kill(child, signal.SIGKILL)
            return said
        part = os.read(pipe, 65536)
        if not part:
            return said
        said += part


def _unanswered(number: int, status: int) -> tuple[str, str]:
    """Return how an ask ended whose child was ended by a signal."""
    if number in (signal.SIGPROF, signal.SIGXCPU, signal.SIGKILL):
        return "too slow", f"stopped by signal {number}"
    return "traceback", f"ended by signal {number}, status {status}"


def _child(asks: Sequence[Ask], folder: Path, pipe: int) -> None:
    """Answer until something is too large, and end; nothing returns from here."""
    try:
        nowhere = os.open(os.devnull, os.O_RDWR)
        for stream in (0, 1, 2):
            os.dup2(nowhere, stream)
        _limit(len(asks))
        watch = Watch()
        watch.put_in()
        for number, ask in enumerate(asks):
            start = time.process_time()
            answer = _within_time(ask, folder / str(number), watch)
            size = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024
            if answer.ended not in FAILED and size > MOST_BYTES:
                answer = Ran("too large", f"{size / 1e6:.0f} MB")
            told = [answer.ended, answer.told[:5000], time.process_time() - start, size]
            os.write(pipe, json.dumps([*told, answer.sheets]).encode() + b"\n")
            if answer.ended == "too large":
                break
    finally:
        os._exit(0)


def _within_time(ask: Ask, folder: Path, watch: Watch) -> Ran:
    """Answer one ask within its seconds of processor time; whatever it ends with is told."""
    try:
        _lay_down(ask, folder)
        signal.setitimer(signal.ITIMER_PROF, MOST_CPU_S, 1.0)  # and again: one may be passed over
        try:
            return _answered(ask, watch)
        finally:
            signal.setitimer(signal.ITIMER_PROF, 0.0)
    except TooSlowError as error:
        return Ran("too slow", where(error))
    except BaseException as error:  # even this must be told
        return Ran("traceback", f"{type(error).__name__} {where(error)}: {error}")


def _limit(count: int) -> None:
    """Give this process the bytes for one ask, and the seconds for so many, from now on."""

    def stop(_signal: int, _frame: FrameType | None) -> None:
        raise TooSlowError

    signal.signal(signal.SIGPROF, stop)
    most_s = (MOST_CPU_S + 2) * count  # for what no signal stops
    resource.setrlimit(resource.RLIMIT_CPU, (most_s, most_s))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    with contextlib.suppress(OSError, ValueError):  # only Linux tells its size here
        pages = int(Path("/proc/self/statm").read_text().split()[0])
        most = pages * resource.getpagesize() + MOST_BYTES
        resource.setrlimit(resource.RLIMIT_AS, (most, most))


def _lay_down(ask: Ask, folder: Path) -> None:
    folder.mkdir()
    os.chdir(folder)
    os.environ |= {
        "MENDFOLD_CONFIG": str(folder / "config"),
        "MENDFOLD_CACHE": str(folder / "cache"),
        "MENDFOLD_GALLERY": "gallery",
    }
    os.fsync = lambda fd: None  # noqa: ARG005, so is it called
    for name, data in ask.files.items():
        path = Path(name)
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)


def _answered(ask: Ask, watch: Watch) -> Ran:
    """Run every command; the worst end is the answer, else what the first drawn one came to."""
    watch.begin(ask.sheets)
    main: Ran | None = None
    sheets = 0
    for command in ask.commands:
        ran = run(command)
        if ran.ended in FAILED:
            return Ran(ran.ended, f"{ran.told} | {' '.join(command[:3])[:80]}")
        if main is None and command[0] != "printer":
            main = ran
        for fault in _faults(watch):
            return Ran("wrong", f"{fault} | {' '.join(command[:3])[:80]}")
        sheets += watch.judged
        watch.begin(ask.sheets)
    return replace(main or ran, sheets=sheets)


def _faults(watch: Watch) -> Iterator[str]:
    for drafted in watch.drafted:
        yield from judging.draft_faults(drafted)
    for made, sheets in zip(watch.made, watch.sheets, strict=False):
        if watch.laying_out and "sheets.pdf" in made.files:
            yield from judging.sheet_faults(sheets, made.files["sheets.pdf"])
            watch.judged += len(sheets)
