"""A private copy of the project, in which tests are run behind a fence and faults are tried."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import Any

import tests.mutation.fence
from tests.mutation.operators import Fault
from tests.mutation.waiting import wait

LEFT_OUT = shutil.ignore_patterns(
    ".git", "__pycache__", ".*_cache", ".hypothesis", ".venv", "venv", "dist", "build", "*.egg-info"
)
NOT_HANDED_ON = ("PYTEST_", "HYPOTHESIS_", "MENDFOLD_", "MUTATION_", "COVERAGE_", "PYTHON")
OPTIONS = "tests/conftest.py"
FIRST_AGE = 1_500_000_000


@dataclass(frozen=True)
class Answer:
    """What a run of tests came to."""

    status: int | None
    """None when it was stopped, negative when a signal ended it."""
    said: dict[str, Any]
    tail: str


def pristine(project: Path, home: Path) -> Path:
    """Copy a project once, so that what is changed in it meanwhile does not reach a long run."""
    shutil.copytree(project, home, ignore=LEFT_OUT)
    return home


class Copy:
    """One copy: `tree` holds the project, everything that its tests write stays beside it."""

    def __init__(self, project: Path, home: Path) -> None:
        self.project, self.home, self.tree = project, home.resolve(), home.resolve() / "tree"
        self.faults = 0
        self.process: subprocess.Popen[bytes] | None = None
        (self.home / "fence").mkdir(parents=True)
        shutil.copy(tests.mutation.fence.__file__, self.home / "fence" / "sitecustomize.py")
        self._make()

    def __enter__(self) -> Copy:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        at: TracebackType | None,
    ) -> None:
        self.stop()
        shutil.rmtree(self.home, ignore_errors=True)

    def _make(self) -> None:
        shutil.rmtree(self.tree, ignore_errors=True)
        shutil.copytree(self.project, self.tree, ignore=LEFT_OUT)
        self.made = self._state()

    def _state(self) -> dict[str, tuple[int, int]]:
        return {
            str(path): (path.stat().st_mtime_ns, path.stat().st_size)
            for path in self.tree.rglob("*")
            if path.is_file() and path.parent.name != "__pycache__"
        }

    def _environment(self) -> dict[str, str]:
        kept = {
            name: value
            for name, value in os.environ.items()
            if not name.startswith((*NOT_HANDED_ON, "XDG_"))
        }
        home, rooms = str(self.home / "home"), str(self.home / "tmp")
        return kept | {
            "HOME": home,
            "HYPOTHESIS_STORAGE_DIRECTORY": str(self.home / "tmp" / "hypothesis"),
            **dict.fromkeys(("TMPDIR", "TMP", "TEMP"), rooms),
            "PYTHONPATH": os.pathsep.join((str(self.home / "fence"), str(self.tree))),
            "PYTHONHASHSEED": "0",
            "COVERAGE_CORE": "ctrace",
            "MUTATION_FENCE": str(self.home),
            "MUTATION_TASK": str(self.home / "task.json"),
        }

    @contextmanager
    def fault(self, one: Fault) -> Iterator[None]:
        """Hold a fault in the copy, and take it out again with all that the tests left behind.

        Each gets a time of its own, so that nothing compiled from another text is taken for it.
        """
        path = self.tree / one.file
        before, age = path.read_bytes(), path.stat()
        self.faults += 1
        path.write_bytes(one.applied(before.decode()).encode())
        os.utime(path, (FIRST_AGE + self.faults,) * 2)
        try:
            yield
        finally:
            path.write_bytes(before)
            os.utime(path, ns=(age.st_atime_ns, age.st_mtime_ns))
            if self._state() != self.made:
                self._make()

    def run(self, task: dict[str, Any], files: Iterable[str], limit: float) -> Answer:
        """Run tests of some files, within seconds of the processor; the task says which, `watch` does it.

        The options are read even where all tests are examples in the program's own words.
        """
        for name in ("home", "tmp"):
            shutil.rmtree(self.home / name, ignore_errors=True)
            (self.home / name).mkdir()
        said = self.home / "said.json"
        said.unlink(missing_ok=True)
        (self.home / "task.json").write_text(json.dumps(task), encoding="utf-8")
        words = [sys.executable, "-m", "pytest", "-q", "--tb=short", "--no-golden"]
        words += ["-p", "no:cacheprovider", "-p", "tests.mutation.watch"]
        words += ["--exitfirst"] if task["do"] == "run" else []
        words += [f"--basetemp={self.home / 'tmp' / 'pytest'}", "--rootdir=."]
        words += [OPTIONS, *files]
        with (self.home / "output.txt").open("wb") as output:
            self.process = running = subprocess.Popen(
                words,
                cwd=self.tree,
                env=self._environment(),
                stdin=subprocess.DEVNULL,
                stdout=output,
                stderr=subprocess.STDOUT,
                start_new_session=True,
            )
            try:
                status = wait(running, limit)
            finally:
                self.stop()
        answer = json.loads(said.read_text(encoding="utf-8")) if said.exists() else {}
        tail = (self.home / "output.txt").read_bytes()[-4000:].decode(errors="replace")
        return Answer(status, answer, tail)

    def stop(self) -> None:
        """End the running tests and everything that they started."""
        running, self.process = self.process, None
        if running is not None:
            with suppress(ProcessLookupError, PermissionError):
                os.killpg(running.pid, signal.SIGKILL)
            running.wait()
