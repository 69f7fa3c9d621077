"""Answers of a commit, kept from one run to the next: a commit answers the same wish the same.

What is kept goes by the commit, the tasks, the worker and the libraries; whatever else stands in
the folder and was not used for two weeks is removed.
"""

from __future__ import annotations

import contextlib
import hashlib
import importlib.metadata
import json
import os
import sys
import time
import zlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

LIBRARIES = ("click", "ezdxf", "fonttools", "pillow", "reportlab", "shapely", "svgwrite")
UNUSED_S = 14 * 24 * 3600
Answers = list[dict[str, Any]]


@dataclass(frozen=True, slots=True)
class Keeper:
    """A folder of answers, or none."""

    folder: Path | None

    def answers(
        self, commit: str, worker: Path, tasks: Sequence[object], ask: Callable[[], Answers]
    ) -> Answers:
        """Return what is kept for these tasks, else ask and keep it; a tree without commit is asked."""
        if self.folder is None or not commit:
            return ask()
        path = self.folder / f"{_key(commit, worker, tasks)}.answers"
        with contextlib.suppress(OSError, ValueError, zlib.error):
            found: Answers = json.loads(zlib.decompress(path.read_bytes()))
            os.utime(path)
            return found
        made = ask()
        self.folder.mkdir(parents=True, exist_ok=True)
        part = path.with_suffix(f".{os.getpid()}")
        part.write_bytes(zlib.compress(json.dumps(made, ensure_ascii=False).encode(), 1))
        part.replace(path)
        return made

    def sweep(self) -> None:
        """Remove what was not used for two weeks."""
        if self.folder is not None and self.folder.is_dir():
            for path in self.folder.iterdir():
                with contextlib.suppress(OSError):
                    if time.time() - path.stat().st_mtime > UNUSED_S:
                        path.unlink()


def usual() -> Path:
    """Return the folder that is used unless another is named."""
    cache = os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache"
    return Path(cache) / "mendfold-differential"


def _key(commit: str, worker: Path, tasks: Sequence[object]) -> str:
    digest = hashlib.sha256()
    for one in (commit, sys.version, worker.read_text(encoding="utf-8"), json.dumps(tasks)):
        digest.update(one.encode())
    for name in LIBRARIES:
        with contextlib.suppress(importlib.metadata.PackageNotFoundError):
            digest.update(importlib.metadata.version(name).encode())
    return digest.hexdigest()[:40]
