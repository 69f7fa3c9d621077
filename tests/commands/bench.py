"""What commands answer on a bench of their own, and what a refusal must look like."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class Said:
    """What a command answered."""

    status: int
    out: str
    err: str


Run = Callable[..., Said]


def listing(folder: Path) -> dict[str, bytes]:
    """Return every path below a folder with what is in it."""
    return {
        str(path.relative_to(folder)): path.read_bytes() if path.is_file() else b""
        for path in folder.rglob("*")
    }


def refused(run: Run, *arguments: str, words: tuple[str, ...] = ()) -> str:
    """Check for a refusal in one line with these words, nothing written; return the line."""
    before, start = listing(Path.cwd()), time.process_time()
    said = run(*arguments)
    assert said.status == 1, said
    assert said.out == ""
    assert said.err.startswith("mendfold: ")
    assert said.err.endswith("\n")
    line = said.err.removesuffix("\n")
    assert line.isprintable(), line
    assert len(line) < 800
    for word in words:
        assert word in line, line
    assert listing(Path.cwd()) == before
    assert time.process_time() - start < 10
    return line
