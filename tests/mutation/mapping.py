"""One run of all tests without a fault, a file at a time: which test runs which line.

What a file of tests came to is kept as soon as it is known. It is used again as long as the program,
its templates and every module that the file reads are the same, so a broken run loses one file
and a new test costs its own file alone.
"""

from __future__ import annotations

import hashlib
import json
import queue
from collections.abc import Iterable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from coverage import CoverageData

from tests.mutation.copies import Copy
from tests.mutation.touching import Ran

LONGEST = 3 * 3600.0
"""Seconds of the processor for the tests of one file."""
NO_TESTS = 5
"""What pytest ends with where none is left to run, all being kept for another marker."""


class TestsDoNotRun(Exception):
    """The tests of the copy end in something other than passed and failed tests."""


def digest(tree: Path) -> str:
    """Return a figure that changes when the program or its templates do."""
    total = hashlib.sha256()
    for folder in ("patterns", "templates"):
        for path in sorted((tree / folder).rglob("*")):
            if path.suffix in (".py", ".toml"):
                total.update(str(path.relative_to(tree)).encode() + b"\0" + path.read_bytes())
    return total.hexdigest()


def of_text(file: Path) -> str:
    """Return a figure that changes when a file does; none for one that is gone."""
    return hashlib.sha256(file.read_bytes()).hexdigest() if file.is_file() else ""


def files_of_tests(tree: Path, without: Sequence[str] = ()) -> list[str]:
    """Return the files of tests, large ones first; the examples in the program's words are one more.

    What begins with one of the words of `without` is left out.
    """
    files = sorted((tree / "tests").rglob("test_*.py"), key=lambda path: -path.stat().st_size)
    names = ["patterns", *(path.relative_to(tree).as_posix() for path in files)]
    return [name for name in names if not name.startswith(tuple(without))]


@dataclass(frozen=True)
class Part:
    """What one file of tests came to, as it is kept: `said` beside the lines by context."""

    folder: Path
    tests: str

    @property
    def lines(self) -> Path:
        """Return where its lines are kept."""
        return self.folder / (self.tests.replace("/", "-") + ".lines")

    @property
    def said(self) -> Path:
        """Return where the rest is kept."""
        return self.lines.with_suffix(".json")

    def read(self) -> dict[str, Any]:
        """Return times, uses and failures."""
        found: dict[str, Any] = json.loads(self.said.read_text("utf-8"))
        return found

    def holds(self, tree: Path, program: str) -> bool:
        """Say whether it is known already, of the same program and the same tests."""
        if not (self.said.is_file() and self.lines.is_file()):
            return False
        found = self.read()
        same = all(of_text(tree / name) == was for name, was in found["read"].items())
        return same and found["program"] == program

    def note(self, copy: Copy, program: str) -> None:
        """Run the tests under tracing and keep what they ran; TestsDoNotRun where they do not."""
        self.said.unlink(missing_ok=True)
        own = copy.home / "lines"
        own.unlink(missing_ok=True)
        done = copy.run({"do": "map", "data": str(own)}, [self.tests], LONGEST)
        if done.status not in (0, 1, NO_TESTS) or not done.said:
            raise TestsDoNotRun(f"{self.tests}: {done.tail}")
        here, there = CoverageData(basename=str(own)), CoverageData(basename=str(self.lines))
        here.read()
        there.erase()
        there.update(here, map_path=lambda path: _within(path, copy.tree))
        there.write()
        read = {name: of_text(copy.tree / name) for name in done.said["read"]}
        said = {**done.said, "read": read, "program": program}
        self.said.write_text(json.dumps(said), encoding="utf-8")


def mapped(
    copies: Sequence[Copy], kept: Path, without: Sequence[str] = ()
) -> tuple[Ran, list[str]]:
    """Return what the tests ran, and those left out since they fail without a fault.

    Files whose names begin with a word of `without` have no part in it. What `kept` holds of the same program and tests is used again; else it is written anew.
    """
    kept.mkdir(parents=True, exist_ok=True)
    tree = copies[0].tree
    program = digest(tree)
    parts = [Part(kept, tests) for tests in files_of_tests(tree, without)]
    _note(copies, [one for one in parts if not one.holds(tree, program)], program)
    return _together(parts)


def _note(copies: Sequence[Copy], parts: Iterable[Part], program: str) -> None:
    """Note what is not known yet, in as many copies at once as there are."""
    free: queue.Queue[Copy] = queue.Queue()
    for copy in copies:
        free.put(copy)

    def one(part: Part) -> None:
        copy = free.get()
        try:
            part.note(copy, program)
        finally:
            free.put(copy)

    with ThreadPoolExecutor(len(copies)) as pool:
        try:
            for done in [pool.submit(one, part) for part in parts]:
                done.result()
        except BaseException:
            pool.shutdown(wait=False, cancel_futures=True)
            for copy in copies:
                copy.stop()
            raise


def _together(parts: Iterable[Part]) -> tuple[Ran, list[str]]:
    """Put the parts together; what several files share by name counts for each of them."""
    lines = CoverageData(no_disk=True)
    tests: dict[str, float] = {}
    uses: dict[str, set[str]] = {}
    failed: set[str] = set()
    for part in parts:
        own, said = CoverageData(basename=str(part.lines)), part.read()
        own.read()
        lines.update(own)
        tests |= said["tests"]
        failed |= set(said["failed"])
        for context, others in said["uses"].items():
            uses.setdefault(context, set()).update(others)
    seconds = {test: taken for test, taken in tests.items() if test not in failed}
    return Ran(seconds, uses, lines), sorted(failed)


def _within(path: str, tree: Path) -> str:
    return Path(path).relative_to(tree).as_posix()
