"""One ask answered by a child of this process, in a folder of its own, with limits of time and memory."""

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
from collections.abc import Iterator
from dataclasses import dataclass
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
    folder = Path(tempfile.mkdtemp(prefix="campaign-"))
    reading, writing = os.pipe()
    sys.stdout.flush()
    gc.freeze()
    child = os.fork()
    if child == 0:
        os.close(reading)
        _child(ask, folder, writing)
    os.close(writing)
    try:
        said = _until_closed(reading, child)
        _, status, used = os.wait4(child, 0)
    finally:
        os.close(reading)
        shutil.rmtree(folder, ignore_errors=True)
    ended, told = _judged(said, status, used.ru_maxrss * 1024)
    return Tried(ask, ended, told, used.ru_utime + used.ru_stime, used.ru_maxrss * 1024)


def _until_closed(pipe: int, child: int) -> bytes:
    said, end = b"", time.monotonic() + MOST_WAIT_S
    while True:
        ready, _, _ = select.select([pipe], [], [], max(0.0, end - time.monotonic()))
        if not ready:
            os.kill(child, signal.SIGKILL)
            return b'["too slow", "waits for something"]'
        part = os.read(pipe, 65536)
        if not part:
            return said
        said += part


def _judged(said: bytes, status: int, most_bytes: int) -> tuple[str, str]:
    if not said:
        number = os.WTERMSIG(status) if os.WIFSIGNALED(status) else 0
        if number in (signal.SIGXCPU, signal.SIGKILL):
            return "too slow", f"stopped by signal {number}"
        return "traceback", f"ended by signal {number}, status {status}"
    ended, told = json.loads(said)
    if ended in ("taken", "refused") and most_bytes > MOST_BYTES:
        return "too large", f"{most_bytes / 1e6:.0f} MB"
    return ended, told


def _child(ask: Ask, folder: Path, pipe: int) -> None:
    """Answer and end; nothing returns from here."""
    answer = Ran("traceback", "the campaign itself")
    try:
        nowhere = os.open(os.devnull, os.O_RDWR)
        for stream in (0, 1, 2):
            os.dup2(nowhere, stream)
        _limit()
        _lay_down(ask, folder)
        answer = _answered(ask)
    except TooSlowError as error:
        answer = Ran("too slow", where(error))
    except BaseException as error:  # even this must be told
        answer = Ran("traceback", f"{type(error).__name__} {where(error)}: {error}")
    finally:
        told = json.dumps([answer.ended, answer.told[:5000]]).encode()
        with contextlib.suppress(OSError):
            os.write(pipe, told)
        os._exit(0)


def _limit() -> None:
    """Give this process its seconds and bytes, from now on."""

    def stop(_signal: int, _frame: FrameType | None) -> None:
        raise TooSlowError

    signal.signal(signal.SIGXCPU, stop)
    resource.setrlimit(resource.RLIMIT_CPU, (MOST_CPU_S, MOST_CPU_S + 2))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    with contextlib.suppress(OSError, ValueError):  # only Linux tells its size here
        pages = int(Path("/proc/self/statm").read_text().split()[0])
        most = pages * resource.getpagesize() + MOST_BYTES
        resource.setrlimit(resource.RLIMIT_AS, (most, most))


def _lay_down(ask: Ask, folder: Path) -> None:
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


def _answered(ask: Ask) -> Ran:
    """Run every command; the worst end is the answer, else what the first drawn one came to."""
    watch = Watch(ask.sheets)
    watch.put_in()
    main: Ran | None = None
    for command in ask.commands:
        ran = run(command)
        if ran.ended in FAILED:
            return Ran(ran.ended, f"{ran.told} | {' '.join(command[:3])[:80]}")
        if main is None and command[0] != "printer":
            main = ran
        for fault in _faults(watch):
            return Ran("wrong", f"{fault} | {' '.join(command[:3])[:80]}")
    return main or ran


def _faults(watch: Watch) -> Iterator[str]:
    for drafted in watch.drafted:
        yield from judging.draft_faults(drafted)
    for made, sheets in zip(watch.made, watch.sheets, strict=False):
        if watch.laying_out and "sheets.pdf" in made.files:
            yield from judging.sheet_faults(sheets, made.files["sheets.pdf"])
    watch.drafted.clear()
    watch.made.clear()
    watch.sheets.clear()
