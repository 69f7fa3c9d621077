"""The one process that draws: wishes go to it in turn; where it takes over 10 seconds it is ended.

The page stays quick meanwhile: whoever asks waits, nobody else does. A process that was ended is
started anew by the next wish.
"""

from __future__ import annotations

import contextlib
import multiprocessing
import signal
import sys
import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from typing import Any

from patterns.bench.wish import BookWish, NotDrawn, Overtaken, Seen

LONGEST_S = 10.0
MAKING_S = 120.0
"""For what is printed or kept: whoever presses that will wait for all its sheets."""
STARTS_WITHIN_S = 60.0
TOO_LONG = (
    "this takes over 10 seconds and was ended; the last change made it so long: take it back, "
    "or draft the record on the command line, which waits"
)
_SPAWN = multiprocessing.get_context("spawn")
Work = Callable[[Connection, Any], None]
"""What the process does: it answers each wish that comes through its pipe."""


def draw(pipe: Connection, newest: Any) -> None:
    """Draw, in the process of its own; only there is loaded what it draws with."""
    from patterns.bench.worker import work

    work(pipe, newest)


@dataclass(slots=True)
class Drawer:
    """Asks the process beside the page and waits for it."""

    work: Work = draw
    longest_s: float = LONGEST_S
    too_long: str = TOO_LONG
    newest: Any = field(default_factory=lambda: _SPAWN.Value("L", 0, lock=False))
    looking: threading.Lock = field(default_factory=threading.Lock)
    counting: threading.Lock = field(default_factory=threading.Lock)
    over: bool = False
    process: BaseProcess | None = None
    pipe: Connection | None = None

    def look(self, wish: BookWish) -> Seen:
        """Return what a wish comes to; a newer look gives it up."""
        with self.counting:
            turn = self.newest.value = self.newest.value + 1
        with self.looking:
            if self.newest.value != turn:
                return Overtaken()
            seen: Seen = self._ask(turn, wish, self.longest_s)
            return seen

    def make(self, wish: Any) -> Any:
        """Return what a wish comes to, however many looks are wished for meanwhile."""
        with self.looking:
            return self._ask(0, wish, max(self.longest_s, MAKING_S))

    def warm(self) -> None:
        """Start the process, so that the first look need not wait for it."""
        with self.looking, contextlib.suppress(EOFError, OSError):
            self._started()

    def stop(self) -> None:
        """End the process."""
        if self.process is not None:
            self.process.kill()
            self.process.join()
            self.process.close()
        if self.pipe is not None:
            self.pipe.close()
        self.process = self.pipe = None

    def end(self) -> None:
        """End it for good, one that is just being started as well."""
        self.over = True
        process = self.process
        if process is not None:
            with contextlib.suppress(ValueError):  # it was ended meanwhile
                process.kill()
        with self.looking:
            self.stop()

    def _ask(self, turn: int, wish: Any, longest_s: float) -> Any:
        for _ in range(2):
            try:
                pipe = self._started()
                pipe.send((turn, wish))
                if pipe.poll(longest_s):
                    return pipe.recv()
            except (EOFError, OSError):  # it was killed: once more, by a new one
                self.stop()
                continue
            self.stop()
            return NotDrawn(self.too_long)
        return NotDrawn("the drawing stopped twice; close the bench and start it again")

    def _started(self) -> Connection:
        if self.process is None or self.pipe is None or not self.process.is_alive():
            self.stop()
            if self.over:
                raise EOFError
            here, there = _SPAWN.Pipe()
            process = _SPAWN.Process(target=self.work, args=(there, self.newest), daemon=True)
            with _spared_ctrl_c():
                process.start()
            there.close()
            self.process, self.pipe = process, here
            if self.over or not here.poll(STARTS_WITHIN_S):
                raise EOFError
            here.recv()  # it says so when it has loaded what it draws with
        return self.pipe


@contextlib.contextmanager
def _spared_ctrl_c() -> Iterator[None]:
    """Keep Ctrl-C, which a terminal sends to every process of the group, from one that is started."""
    if sys.platform == "win32":
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
