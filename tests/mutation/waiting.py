"""Waiting for a process and what it started, by the processor's time and not by the clock.

On a busy machine a run may take ten times as long as on one at rest, and has done nothing wrong.
"""

from __future__ import annotations

import os
import subprocess
import time
from collections.abc import Iterator
from pathlib import Path

POLL = 0.5
IDLE = 60.0
"""Seconds in which nothing runs and nothing is ready to run: it waits for what never comes."""
LONGEST = 6 * 3600.0
"""Where the system does not tell what a process does, the clock has the last word."""


def wait(running: subprocess.Popen[bytes], cpu_seconds: float) -> int | None:
    """Return the exit status, or None when the group used up its time or waits without end."""
    begun = asleep_since = time.monotonic()
    before = -1.0
    while True:
        try:
            return running.wait(POLL)
        except subprocess.TimeoutExpired:
            used, ready = group(running.pid)
        now = time.monotonic()
        if ready or used != before:
            asleep_since, before = now, used
        if used > cpu_seconds or now - asleep_since > IDLE or now - begun > LONGEST:
            return None


def group(leader: int) -> tuple[float, bool]:
    """Return the processor's seconds of a process group, and whether any thread of it is ready."""
    if not Path("/proc/self/stat").exists():
        return 0.0, True
    ticks, ready = 0, False
    for process in Path("/proc").glob("[0-9]*"):
        for state, number, used in _stats([process / "stat"]):
            if number == leader:
                ticks += used
                threads = _stats(process.glob("task/*/stat"))
                ready |= state in "RD" or any(one in "RD" for one, _, _ in threads)
    return ticks / os.sysconf("SC_CLK_TCK"), ready


def _stats(files: Iterator[Path] | list[Path]) -> Iterator[tuple[str, int, int]]:
    """Yield state, process group and clock ticks, of those waited for too; what has ended is left out."""
    for file in files:
        try:
            words = file.read_text(encoding="utf-8", errors="replace").rpartition(")")[2].split()
        except (FileNotFoundError, ProcessLookupError):
            continue
        yield words[0], int(words[2]), sum(int(word) for word in words[11:15])
