"""Who may ask the bench anything: a page on one's own machine is open to every page of the browser.

Each guard answers one way in. `host` answers a name that was made to lead here after it was looked
up (DNS rebinding); `origin` a page from elsewhere that sends what a form can send; `token` whoever
knows the port and not this start; `json` what a form can send without asking first; `length` a body
without end. The headers answer words that become code, a frame around the page, and guessing what
a file is. Each stands by itself: the tests take one away and show that its attack then succeeds.
"""

from __future__ import annotations

import hmac
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import flask

LARGEST_BODY = 5_000_000
LARGEST_PHOTOGRAPH = 40_000_000
TOKEN = "X-Bench-Token"
UPLOAD = "application/octet-stream"
"""What a file's own bytes are sent as; like JSON, no form can send it."""


@dataclass(frozen=True, slots=True)
class Door:
    """Where this start of the bench listens, and the word that it knows its own page by."""

    port: int
    token: str

    @property
    def host(self) -> str:
        """The one name it answers to."""
        return f"127.0.0.1:{self.port}"

    @property
    def origin(self) -> str:
        """Where its own page comes from."""
        return f"http://{self.host}"

    @property
    def address(self) -> str:
        """What the browser opens; what follows the # is never sent to anybody."""
        return f"{self.origin}/#{self.token}"


@dataclass(frozen=True, slots=True)
class TurnedAway:
    """Why a request is not answered."""

    status: int
    words: str


Guard = Callable[[flask.Request, Door], TurnedAway | None]


def host(asked: flask.Request, door: Door) -> TurnedAway | None:
    """Answer to one name alone, port and all."""
    if asked.headers.get("Host") == door.host:
        return None
    return TurnedAway(421, f"this bench answers to {door.host} alone")


def origin(asked: flask.Request, door: Door) -> TurnedAway | None:
    """Take changes from the bench's own page alone, and nothing from another's."""
    given = asked.headers.get("Origin")
    if given == door.origin or (given is None and asked.method == "GET"):
        site = asked.headers.get("Sec-Fetch-Site", "none")
        if site in ("none", "same-origin"):
            return None
    return TurnedAway(403, "only the bench's own page may ask this")


def token(asked: flask.Request, door: Door) -> TurnedAway | None:
    """Ask for this start's word, but for the empty page itself and for a link that works once."""
    if asked.method == "GET" and (asked.path == "/" or is_open(asked.path)):
        return None
    given = asked.headers.get(TOKEN, "")
    if hmac.compare_digest(given.encode(), door.token.encode()):
        return None
    return TurnedAway(401, "open the bench by the address that it printed when it was started")


def is_open(path: str) -> bool:
    """Tell whether a path holds nothing of anybody: the page's own looks, or a link used up by asking."""
    return path.startswith(("/looks/", "/once/"))


def json(asked: flask.Request, _door: Door) -> TurnedAway | None:
    """Take a change as JSON, and a file as its own bytes where a file is put in."""
    if asked.method == "GET":
        return None
    wanted = UPLOAD if is_upload(asked.path) else "application/json"
    if asked.mimetype == wanted:
        return None
    return TurnedAway(415, f"a change is sent as {wanted}")


def is_upload(path: str) -> bool:
    """Tell whether a file's own bytes are put in here."""
    return "/file/" in path


def length(asked: flask.Request, _door: Door) -> TurnedAway | None:
    """Take a body whose length is said and is no more than what is put in here."""
    if asked.method == "GET":
        return None
    most = LARGEST_PHOTOGRAPH if is_upload(asked.path) else LARGEST_BODY
    if asked.content_length is None:
        return TurnedAway(411, "say how long it is")
    if asked.content_length > most:
        return TurnedAway(413, f"at most {most // 10**6} MB are taken here")
    return None


GUARDS: Mapping[str, Guard] = {
    "host": host,
    "origin": origin,
    "token": token,
    "json": json,
    "length": length,
}
"""All of them, in the order in which they are asked."""

HEADERS: Mapping[str, str] = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; "
        "img-src 'self' blob:; connect-src 'self'; base-uri 'none'; form-action 'none'; "
        "frame-ancestors 'none'"
    ),
    "X-Frame-Options": "DENY",
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "no-store",
}
"""What every answer bears."""
