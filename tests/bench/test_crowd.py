"""More connections than the bench takes: half requests, slow readers, forty at once; it answers its page all the same."""

from __future__ import annotations

import contextlib
import socket
import threading
import time
from collections.abc import Iterator
from typing import Any

import pytest
from waitress.channel import HTTPChannel

from patterns.bench import server
from patterns.bench.guards import TOKEN
from tests.bench.benches import Asking

CROWD = 40
PATIENCE_S = 2
HALF = b"POST /books HTTP/1.1\r\nHost: "
SLOW_READER_BYTES = 2048
WITHIN_S = 60


@pytest.fixture
def hurried(monkeypatch: pytest.MonkeyPatch) -> None:
    """A bench that waits two seconds where it would wait twenty."""
    monkeypatch.setattr(server, "PATIENCE_S", PATIENCE_S)
    monkeypatch.setattr(server, "CLEANUP_S", 1)


@contextlib.contextmanager
def crowd(bench: Asking, sent: bytes) -> Iterator[list[socket.socket]]:
    """Open forty connections that send this and then wait, reading nothing."""
    with contextlib.ExitStack() as held:
        links = []
        for _ in range(CROWD):
            link = held.enter_context(socket.socket())
            link.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, SLOW_READER_BYTES)
            link.connect(("127.0.0.1", bench.started.door.port))
            link.sendall(sent)
            links.append(link)
        yield links


def talked_to(bench: Asking) -> int:
    """Return how many connections the bench holds."""
    return sum(isinstance(one, HTTPChannel) for one in list(bench.started.links.values()))


def page_asks(bench: Asking, found: list[Any]) -> None:
    """Ask as the page does, and note the answer and the most connections that were held meanwhile."""
    most = 0
    answer: list[int] = []
    asking = threading.Thread(target=lambda: answer.append(bench.get("/alive").status))
    asking.start()
    end = time.monotonic() + WITHIN_S
    while asking.is_alive() and time.monotonic() < end:
        most = max(most, talked_to(bench))
        time.sleep(0.01)
    found += [answer, most]


@pytest.mark.usefixtures("hurried")
@pytest.mark.parametrize("kind", ["half a request", "half a body", "nothing at all", "no reading"])
def test_forty_at_once_keep_nobody_out(request: pytest.FixtureRequest, kind: str) -> None:
    """At most sixteen are held; whoever does not go on makes room within the bench's patience."""
    bench: Asking = request.getfixturevalue("bench")
    own = f"Host: {bench.started.door.host}\r\n{TOKEN}: {bench.started.door.token}\r\n"
    sent = {
        "half a request": HALF,
        "half a body": f"POST /books HTTP/1.1\r\n{own}Content-Length: 900\r\n\r\n{{".encode(),
        "nothing at all": b"",
        "no reading": f"GET /looks/regular.ttf HTTP/1.1\r\n{own}\r\n".encode() * 40,
    }[kind]
    found: list[Any] = []
    with crowd(bench, sent):
        page_asks(bench, found)
    assert found[0] == [200]
    assert 1 < found[1] <= server.CONNECTIONS


def test_forty_that_do_ask_are_all_answered(bench: Asking) -> None:
    """Each in its turn; none is sent away."""
    found: list[int] = []
    asking = [
        threading.Thread(target=lambda: found.append(bench.get("/books").status))
        for _ in range(CROWD)
    ]
    for one in asking:
        one.start()
    for one in asking:
        one.join(timeout=WITHIN_S)
    assert found == [200] * CROWD
