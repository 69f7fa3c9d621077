"""One run of all tests without a fault, shared out over the copies: which test runs which line."""

from __future__ import annotations

import hashlib
import json
import shutil
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

from coverage import CoverageData

from tests.mutation.copies import Copy
from tests.mutation.touching import Ran

LONGEST = 3 * 3600.0
"""Seconds of the processor for all tests."""


class TestsDoNotRun(Exception):
    """The tests of the copy end in something other than passed and failed tests."""


def digest(tree: Path) -> str:
    """Return a figure that changes when program, templates or tests do, these faults apart."""
    total = hashlib.sha256()
    for folder in ("patterns", "templates", "tests"):
        for path in sorted((tree / folder).rglob("*")):
            if path.suffix in (".py", ".toml") and path.parent.name != "mutation":
                total.update(str(path.relative_to(tree)).encode() + b"\0" + path.read_bytes())
    return total.hexdigest()


def shares(tree: Path, number: int) -> list[list[str]]:
    """Deal the test files out, large ones first; the examples in the program's words go with the first."""
    files = sorted((tree / "tests").rglob("test_*.py"), key=lambda path: -path.stat().st_size)
    names = [path.relative_to(tree).as_posix() for path in files]
    dealt = [names[at::number] for at in range(number)]
    return [one for one in ([*dealt[0], "patterns"], *dealt[1:]) if one]


def mapped(copies: Sequence[Copy], kept: Path) -> tuple[Ran, list[str]]:
    """Return what the tests ran, and those left out since they fail without a fault.

    What `kept` holds of the same program and tests is used again; else it is written anew.
    """
    file, now = kept / "tests.json", digest(copies[0].tree)
    if not file.exists() or json.loads(file.read_text("utf-8"))["digest"] != now:
        _map(copies, kept, now)
    said = json.loads(file.read_text("utf-8"))
    lines = CoverageData(basename=str(kept / "lines"))
    lines.read()
    failed = set(said["failed"])
    seconds = {test: taken for test, taken in said["tests"].items() if test not in failed}
    return Ran(seconds, said["uses"], lines), sorted(failed)


def _map(copies: Sequence[Copy], kept: Path, now: str) -> None:
    with ThreadPoolExecutor(len(copies)) as pool:
        try:
            said = list(pool.map(_share, copies, shares(copies[0].tree, len(copies))))
        except BaseException:
            for copy in copies:
                copy.stop()
            raise
    shutil.rmtree(kept, ignore_errors=True)
    kept.mkdir(parents=True)
    lines = CoverageData(basename=str(kept / "lines"))
    whole: dict[str, Any] = {"digest": now, "tests": {}, "uses": {}, "failed": []}
    for one, copy in zip(said, copies, strict=False):
        own = CoverageData(basename=str(copy.home / "lines"))
        own.read()
        lines.update(own, map_path=lambda path, tree=copy.tree: _within(path, tree))  # type: ignore[misc]
        whole["tests"] |= one["tests"]
        whole["failed"] += one["failed"]
        for context, others in one["uses"].items():
            whole["uses"][context] = sorted({*whole["uses"].get(context, ()), *others})
    lines.write()
    (kept / "tests.json").write_text(json.dumps(whole), encoding="utf-8")


def _within(path: str, tree: Path) -> str:
    return Path(path).relative_to(tree).as_posix()


def _share(copy: Copy, files: Sequence[str]) -> dict[str, Any]:
    done = copy.run({"do": "map", "data": str(copy.home / "lines")}, files, LONGEST)
    if done.status not in (0, 1) or not done.said:
        raise TestsDoNotRun(done.tail)
    return done.said
