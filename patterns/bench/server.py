"""Starting the bench on this machine alone, finding one that is started, and ending it.

It listens on the loopback address, takes at most 16 connections, waits for none longer than 20
seconds, and lets no body come in pieces without a length. What it leaves in its folder while it runs
are a lock and, for the next start to find, its address, which nobody else may read.
"""

from __future__ import annotations

import contextlib
import http.client
import json
import logging
import os
import secrets
import socket
import threading
import time
import webbrowser
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from http import HTTPStatus
from pathlib import Path
from typing import Any

from filelock import FileLock, Timeout
from waitress import wasyncore
from waitress.channel import HTTPChannel
from waitress.parser import HTTPRequestParser, ParsingError
from waitress.server import create_server

from patterns import reading
from patterns.bench.app import create
from patterns.bench.bench import OpenBench
from patterns.bench.guards import GUARDS, HEADERS, LARGEST_PHOTOGRAPH, TOKEN, Door, Guard
from patterns.bench.shelf import Shelf
from patterns.errors import FileError, MendfoldError, WriteError
from patterns.files import make_folder

LOOPBACK = "127.0.0.1"
CONNECTIONS = 16
PATIENCE_S = 20
CLEANUP_S = 5
"""How often it looks for who keeps it waiting."""
Say = Callable[[str], None]


class _SaidLength(HTTPRequestParser):  # type: ignore[misc]
    """A request whose body comes in pieces of unsaid length is refused before any of it is read."""

    def parse_header(self, header_plus: bytes) -> None:
        super().parse_header(header_plus)
        if self.chunked:
            raise ParsingError("say how long it is")


class _Channel(HTTPChannel):  # type: ignore[misc]
    parser_class = _SaidLength

    def takes_nothing(self) -> bool:
        """Tell whether an answer lies ready and none of it was taken for longer than the bench waits."""
        waits = time.time() - self.last_activity > self.adj.channel_timeout
        return bool(waits and self.total_outbufs_len)


@dataclass(slots=True)
class Started:
    """A bench that listens; `serve` returns when it is closed."""

    door: Door
    waitress: Any
    links: dict[int, Any]
    """What waitress listens on and talks through."""
    bench: OpenBench
    ended: threading.Event = field(default_factory=threading.Event)
    answering: threading.Thread | None = None
    stuck: set[_Channel] = field(default_factory=set)
    """What took nothing of its answer when that was looked at last."""

    def serve(self) -> None:
        """Answer until the page closes the bench, or Ctrl-C does."""
        try:
            with contextlib.suppress(KeyboardInterrupt):
                self.begin()
                self.bench.closed.wait()
        finally:
            self.stop()

    def begin(self) -> None:
        """Answer in a thread of its own."""
        self.answering = threading.Thread(target=self._answer, daemon=True)
        self.answering.start()

    def stop(self) -> None:
        """Take no more requests and end the drawing."""
        self.ended.set()
        if self.answering is None:
            self._close()
        else:
            self.waitress.pull_trigger()
            self.answering.join(timeout=10)
        self.bench.drawer.end()
        self.bench.planner.end()

    def _answer(self) -> None:
        looked = time.monotonic()
        while not self.ended.is_set():
            wasyncore.loop(timeout=1, map=self.links, count=1)
            if time.monotonic() - looked > CLEANUP_S:
                looked = time.monotonic()
                self._let_go()
        self._close()

    def _let_go(self) -> None:
        """Close what reads nothing, seen twice so: waitress would wait for it to take something, for ever."""
        there = [one for one in self.links.values() if isinstance(one, _Channel)]
        stuck = {one for one in there if one.takes_nothing()}
        for one in stuck & self.stuck:
            one.handle_close()
        self.stuck = stuck - self.stuck

    def _close(self) -> None:
        """Close every link, in the thread that talks through it: its number is given to others at once."""
        self.waitress.task_dispatcher.shutdown(cancel_pending=True, timeout=5)
        self.waitress.close()
        wasyncore.close_all(self.links, ignore_all=True)


def listen(
    folder: Path,
    port: int = 0,
    address: str = LOOPBACK,
    guards: Mapping[str, Guard] = GUARDS,
    headers: Mapping[str, str] = HEADERS,
) -> Started:
    """Return a bench for `folder` that listens, on a free port unless one is named.

    Raises MendfoldError when the port is taken.
    """
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    if os.name != "nt":  # there the option would let another program share the port
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((address, port))
    except OSError as error:
        listening.close()
        raise MendfoldError(
            f"port {port} cannot be used ({(error.strerror or 'refused').lower()}): name another, or none for a free one"
        ) from None
    logging.getLogger("waitress").addHandler(logging.NullHandler())  # a full queue is no news
    door = Door(listening.getsockname()[1], secrets.token_urlsafe(32))
    bench = OpenBench(Shelf(folder))
    links: dict[int, Any] = {}
    made = create_server(
        create(bench, door, guards, headers),
        map=links,
        sockets=[listening],
        threads=8,
        connection_limit=CONNECTIONS,
        channel_timeout=PATIENCE_S,
        cleanup_interval=CLEANUP_S,
        max_request_header_size=16_384,
        max_request_body_size=LARGEST_PHOTOGRAPH + 1,
        clear_untrusted_proxy_headers=True,
        ident="",
    )
    made.channel_class = _Channel
    return Started(door, made, links, bench)


def run(folder: Path, port: int, say: Say, open_page: Callable[[str], object] | None) -> None:
    """Start the bench and answer until it is closed; where one is started already, open that.

    `say` is given the address, one line; `open_page` opens it, None for not at all. Raises MendfoldError.
    """
    shelf = Shelf(folder)
    try:
        make_folder(shelf.hidden)
    except OSError as error:
        reason = (error.strerror or "the disk refused").lower()
        raise WriteError(f"{folder}: cannot be made ({reason}); name a folder of yours") from None
    lock = FileLock(shelf.hidden / "lock")
    try:
        lock.acquire(timeout=0)
    except Timeout:
        _show(found(shelf), say, open_page)
        return
    try:
        started = listen(shelf.folder, port)
        remember(shelf, started.door)
        _show(started.door.address, say, open_page)
        started.serve()
    finally:
        with contextlib.suppress(OSError):
            shelf.address_file.unlink()
        lock.release()


def _show(address: str, say: Say, open_page: Callable[[str], object] | None) -> None:
    say(address)
    if open_page is not None:
        open_page(address)


def remember(shelf: Shelf, door: Door) -> None:
    """Leave the address for the next start, readable by this user alone."""
    place = shelf.address_file
    with contextlib.suppress(FileNotFoundError):
        place.unlink()
    handle = os.open(place, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "w", encoding="utf-8") as file:
        json.dump({"port": door.port, "token": door.token}, file)


def found(shelf: Shelf) -> str:
    """Return the address of the bench that has this folder open. Raises MendfoldError."""
    try:
        kept = json.loads(reading.read_text(shelf.address_file))
        door = Door(int(kept["port"]), str(kept["token"]))
        link = http.client.HTTPConnection(LOOPBACK, door.port, timeout=5)  # never by a proxy
        with contextlib.closing(link):
            link.request("GET", "/alive", headers={TOKEN: door.token})
            if link.getresponse().status == HTTPStatus.OK:
                return door.address
    except (FileError, OSError, http.client.HTTPException, ValueError, KeyError, TypeError):
        pass
    raise MendfoldError(
        f"{shelf.folder}: another bench has this folder open and does not answer; "
        "end it, or wait a moment and try again"
    )


def in_browser(address: str) -> bool:
    """Open an address in the user's own browser."""
    return webbrowser.open(address)
