"""Eight keepers at work in one gallery while someone kills them: run as a program by a test.

usage: python -m tests.gallery_keepers GALLERY LOG KILLS. Each keeper keeps ever new content under
a name it shares with others, and notes in LOG what it was told is kept: "NAME rNNNN CONTENT".
Printed is how many were killed in the middle of writing.
"""

from __future__ import annotations

import os
import random
import signal
import sys
import time
from pathlib import Path

from patterns.gallery.store import add, keep
from patterns.unfinished import HIDDEN
from tests.gallery_samples import pattern_files

KEEPERS = 8
NAMES = ("LOG-1-hollow_tube", "LOG-2-board_slot", "LOG-3-spine_inlay")


def work(gallery: Path, log: Path, seed: int) -> None:
    """Keep and add until killed; never returns."""
    chance = random.Random(seed)
    handle = os.open(log, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o666)
    for turn in range(1_000_000):
        name, content = chance.choice(NAMES), f"{seed}.{turn}"
        title = {"title": content}
        if turn % 4 == 3:
            place = add(gallery, name, {f"note-{chance.randrange(3)}.txt": content.encode()})
        else:
            place = keep(gallery, name, pattern_files(book=title))
        os.write(handle, f"{name} {place.name} {content}\n".encode())


def _let_some_work_be_done(log: Path, kills: int) -> None:
    """Wait on a slow disk until about as much was kept as was killed, ten seconds at most."""
    for _ in range(10_000):
        told = log.read_bytes().count(b"\n") if log.exists() else 0
        if told >= 0.55 * (kills - KEEPERS):
            return
        time.sleep(0.001)


def main() -> None:
    """Start the keepers, kill one at a time at a drawn moment and start another in its place."""
    gallery, log, kills = Path(sys.argv[1]), Path(sys.argv[2]), int(sys.argv[3])
    chance = random.Random(7)
    for name in NAMES:
        keep(gallery, name, pattern_files())
    alive: list[int] = []
    unfinished = 0
    for number in range(kills + KEEPERS):
        if len(alive) == KEEPERS:
            time.sleep(chance.uniform(0.001, 0.012))
            _let_some_work_be_done(log, number)
            fallen = alive.pop(chance.randrange(KEEPERS))
            os.kill(fallen, signal.SIGKILL)
            assert os.waitpid(fallen, 0)[1] == signal.SIGKILL
            unfinished += any(gallery.glob(f"*/{HIDDEN}{fallen}-*"))  # not yet swept by another
        child = os.fork()
        if child == 0:
            try:
                work(gallery, log, number)
            finally:
                os._exit(1)
        alive.append(child)
    for child in alive:
        os.kill(child, signal.SIGKILL)
        assert os.waitpid(child, 0)[1] == signal.SIGKILL
    print(unfinished)


if __name__ == "__main__":
    main()
