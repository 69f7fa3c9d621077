"""Links that work once: a PDF opens in the browser's own viewer, which sends no word of the page."""

from __future__ import annotations

import secrets
import threading
import time
from dataclasses import dataclass, field

LASTS_S = 60.0
MOST = 16
"""So many wait at most; the oldest goes."""


@dataclass(frozen=True, slots=True)
class OnceFile:
    """A file that waits to be opened."""

    name: str
    kind: str
    data: bytes
    made: float
    download: bool = False


@dataclass(slots=True)
class Once:
    """Files by the random word of their link; asking for one takes it away."""

    waiting: dict[str, OnceFile] = field(default_factory=dict)
    lock: threading.Lock = field(default_factory=threading.Lock)

    def put(self, name: str, kind: str, data: bytes, download: bool = False) -> str:
        """Return the path of a link to a file."""
        word = secrets.token_urlsafe(24)
        with self.lock:
            while len(self.waiting) >= MOST:
                del self.waiting[next(iter(self.waiting))]
            self.waiting[word] = OnceFile(name, kind, data, time.monotonic(), download)
        return f"/once/{word}"

    def take(self, word: str) -> OnceFile | None:
        """Return the file of a link and forget it; None when it was used, or is a minute old."""
        with self.lock:
            found = self.waiting.pop(word, None)
        return found if found and time.monotonic() - found.made < LASTS_S else None
