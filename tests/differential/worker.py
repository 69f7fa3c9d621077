"""Run commands of the program that stands on PYTHONPATH, in this process, one task after another.

A file on its own: it is started by path with one tree after the other on PYTHONPATH, and imports
nothing but that tree's `patterns`. Everything here that names the program's inside is in this
file: the command line's `main`, and where the sheets are laid out, which takes nine tenths of a
draft and is left out of tasks that ask for no sheets.

Tasks come as one JSON list on stdin, each `{"name", "files", "commands", "read", "sheets"}`; the
answers go out as one JSON object a line, in the same order, each
`{"name", "runs": [{"status", "out", "err", "crash"}], "files": {name: text}}`. The first line says
what this tree is: `{"root", "quick"}`.
"""

from __future__ import annotations

import base64
import contextlib
import functools
import importlib
import io
import json
import os
import pickle
import shutil
import signal
import sys
import tempfile
import tomllib
import traceback
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path
from types import FrameType
from typing import Any

LAYING_OUT = (
    ("patterns.layout.whole", "sheets"),
    ("patterns.sheets.whole", "sheets"),
)
"""Where the function may stand that lays out every sheet of a pattern; the first found counts."""
LONGEST_S = 120
"""Processor time of one task; what takes longer is a crash."""
TEXT = (".svg", ".json", ".toml", ".dxf", ".txt")


class TooLongError(BaseException):
    """A task took longer than it may; no command catches it."""


class Layout:
    """The function that lays out sheets, replaced wherever it is held by one that can rest."""

    def __init__(self) -> None:
        self.resting = False
        self.known = False
        for module, name in LAYING_OUT:
            with contextlib.suppress(ImportError, AttributeError):
                self._replace(getattr(importlib.import_module(module), name))
                self.known = True
                return

    def _replace(self, real: Callable[..., object]) -> None:
        @functools.wraps(real)
        def sheets(*args: object, **named: object) -> object:
            return () if self.resting else real(*args, **named)

        for name in list(sys.modules):
            if name.split(".")[0] != "patterns":
                continue
            for key, held in list(vars(sys.modules[name]).items()):
                if held is real:
                    setattr(sys.modules[name], key, sheets)


def main() -> int:
    """Answer every task of stdin on stdout."""
    tasks = json.load(sys.stdin)
    answers = os.fdopen(os.dup(sys.stdout.fileno()), "w", encoding="utf-8")
    _be_quick()
    package = importlib.import_module("patterns")
    command = importlib.import_module("patterns.cli").main
    layout = Layout()
    root = Path(str(package.__file__)).resolve().parent.parent
    print(json.dumps({"root": str(root), "quick": layout.known}), file=answers, flush=True)
    for task in tasks:
        layout.resting = not task["sheets"]
        print(json.dumps(_done(task, command), ensure_ascii=False), file=answers, flush=True)
    return 0


def _be_quick() -> None:
    """Force nothing to the disk, and read one TOML text once: nothing that is compared moves."""
    os.fsync = lambda fd: None  # noqa: ARG005, so is it called
    plain = tomllib.loads

    @functools.lru_cache(maxsize=64)
    def kept(text: str) -> bytes:
        return pickle.dumps(plain(text))

    def loads(text: str, /, **named: Any) -> dict[str, Any]:
        return plain(text, **named) if named else pickle.loads(kept(text))

    tomllib.loads = loads


def _done(task: Mapping[str, Any], command: Callable[[Sequence[str]], None]) -> dict[str, Any]:
    folder = Path(tempfile.mkdtemp(prefix="wish-"))
    with _inside(folder):
        for name, text in task["files"].items():
            Path(name).write_text(text, encoding="utf-8")
        with _at_most(LONGEST_S):
            runs = [_run(command, arguments) for arguments in task["commands"]]
        files = {path.as_posix(): _content(path) for path in _wanted(task["read"])}
    return {"name": task["name"], "runs": runs, "files": files}


@contextlib.contextmanager
def _inside(folder: Path) -> Iterator[None]:
    """Work in a folder that is gone afterwards, so that paths in messages are the same words."""
    before = Path.cwd()
    os.chdir(folder)
    try:
        yield
    finally:
        os.chdir(before)
        shutil.rmtree(folder, ignore_errors=True)


@contextlib.contextmanager
def _at_most(seconds: float) -> Iterator[None]:
    def stop(_signal: int, _frame: FrameType | None) -> None:
        raise TooLongError

    if not hasattr(signal, "setitimer"):
        yield
        return
    signal.signal(signal.SIGVTALRM, stop)
    signal.setitimer(signal.ITIMER_VIRTUAL, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_VIRTUAL, 0)


def _run(command: Callable[[Sequence[str]], None], arguments: Sequence[str]) -> dict[str, Any]:
    out, err = io.StringIO(), io.StringIO()
    status: object = 0
    crash = ""
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        try:
            command(arguments)
        except SystemExit as leave:
            status = leave.code or 0
        except TooLongError:
            crash = f"took longer than {LONGEST_S} s"
        except Exception as error:  # whatever it is, it is told and compared
            crash = f"{type(error).__name__}: {error} ({_where(error)})"
    return {"status": status, "out": out.getvalue(), "err": err.getvalue(), "crash": crash}


def _where(error: Exception) -> str:
    """Return the program's own function that was last on the way to an error."""
    frames = traceback.extract_tb(error.__traceback__)
    own = [frame for frame in frames if "patterns" in Path(frame.filename).parts]
    last = (own or frames)[-1]
    return f"in {Path(last.filename).name}, {last.name}"


def _wanted(patterns: Sequence[str]) -> list[Path]:
    return sorted({path for one in patterns for path in Path().glob(one) if path.is_file()})


def _content(path: Path) -> str:
    data = path.read_bytes()
    return data.decode() if path.suffix in TEXT else base64.b64encode(data).decode()


if __name__ == "__main__":
    raise SystemExit(main())
