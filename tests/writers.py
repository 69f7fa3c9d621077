"""Writers who race for one folder or one file, each a process: run as a program by a test.

usage: python -m tests.writers KIND PLACE RACES. In every race eight processes wait for each other
and then write PLACE/NNNN, each something of its own. A line a race: what the eight were told.
KIND is folder, forced, file, copied (a disk without links) or printer.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from multiprocessing import get_context
from multiprocessing.synchronize import Barrier
from pathlib import Path
from typing import Any

from patterns.errors import WriteError
from patterns.files import write_folder, write_new_file
from patterns.stock import printer

RACERS = 8


def content(racer: int) -> dict[str, bytes]:
    """Return the files of one racer: two that must come from the same hand."""
    return {"record.toml": b"%d\n" % racer, "pattern.json": b"%d" % racer * 40_000}


def folder(place: Path, racer: int) -> str:
    return write_folder(place, content(racer))


def forced(place: Path, racer: int) -> str:
    return write_folder(place, content(racer), force=True)


def file(place: Path, racer: int) -> str:
    return write_new_file(place, b"%d" % racer * 40_000)


def copied(place: Path, racer: int) -> str:
    def no_links(*_: object, **__: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    os.link = no_links  # a memory stick: the file itself is made, if nobody else has
    return file(place, racer)


def stored(place: Path, racer: int) -> str:
    printer.store(place, printer.profile(f"desk-{racer}", f"{199 + racer / 10:g}/200", "250/250"))
    return "written"


KINDS: dict[str, Callable[[Path, int], str]] = {
    "folder": folder,
    "forced": forced,
    "file": file,
    "copied": copied,
    "printer": stored,
}


def run(kind: str, place: Path, races: int, racer: int, start: Barrier, told: Any) -> None:
    """Take part in every race; say at once what came of each."""
    for race in range(races):
        start.wait()
        try:
            state = KINDS[kind](place / f"{race:04d}", racer)
        except WriteError as error:
            state = "refused" if "already there and different" in str(error) else str(error)
        told.put((race, racer, state))


def main() -> None:
    """Hold the races and print what everyone was told, a race a line, a racer a word."""
    kind, place, races = sys.argv[1], Path(sys.argv[2]), int(sys.argv[3])
    context = get_context("fork")
    start, told = context.Barrier(RACERS), context.SimpleQueue()
    racers = [
        context.Process(target=run, args=(kind, place, races, racer, start, told))
        for racer in range(RACERS)
    ]
    for one in racers:
        one.start()
    answers: dict[int, dict[int, str]] = {race: {} for race in range(races)}
    for _ in range(races * RACERS):
        race, racer, state = told.get()
        answers[race][racer] = state
    for one in racers:
        one.join()
    for race in range(races):
        print("\t".join(answers[race][racer] for racer in range(RACERS)))


if __name__ == "__main__":
    main()
