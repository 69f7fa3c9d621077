"""A bench that listens while a test asks it, as its own page would or as somebody else."""

from __future__ import annotations

import contextlib
import http.client
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from patterns.bench.guards import GUARDS, HEADERS, TOKEN, Guard
from patterns.bench.server import Started, listen


@dataclass(frozen=True)
class Told:
    """What the bench answered."""

    status: int
    body: bytes
    headers: Mapping[str, str]

    @property
    def json(self) -> Any:
        """The answer as plain values."""
        return json.loads(self.body)


@dataclass(frozen=True)
class Asking:
    """A bench that is asked over its own port."""

    started: Started

    def raw(
        self,
        method: str,
        path: str,
        body: bytes | None = None,
        headers: Mapping[str, str] | None = None,
    ) -> Told:
        """Send just these headers."""
        link = http.client.HTTPConnection("127.0.0.1", self.started.door.port, timeout=60)
        try:
            link.request(method, path, body, dict(headers or {}))
            answer = link.getresponse()
            return Told(answer.status, answer.read(), dict(answer.getheaders()))
        finally:
            link.close()

    @property
    def own(self) -> dict[str, str]:
        """What the bench's own page sends with a change."""
        door = self.started.door
        return {TOKEN: door.token, "Origin": door.origin, "Content-Type": "application/json"}

    def get(self, path: str) -> Told:
        """Ask as the page does."""
        return self.raw("GET", path, headers={TOKEN: self.started.door.token})

    def post(self, path: str, **values: object) -> Told:
        """Change something as the page does."""
        return self.raw("POST", path, json.dumps(values).encode(), self.own)

    def put(self, path: str, data: bytes) -> Told:
        """Put a file in as the page does."""
        own = {**self.own, "Content-Type": "application/octet-stream"}
        return self.raw("POST", path, data, own)


@contextlib.contextmanager
def opened(
    folder: Path,
    guards: Mapping[str, Guard] = GUARDS,
    headers: Mapping[str, str] = HEADERS,
) -> Iterator[Asking]:
    """Yield a bench that listens; it is closed at the end."""
    folder.mkdir(parents=True, exist_ok=True)
    started = listen(folder, guards=guards, headers=headers)
    started.begin()
    try:
        yield Asking(started)
    finally:
        started.stop()
