"""Each attack on a page of one's own machine is refused; with its guard taken away it succeeds."""

from __future__ import annotations

import json
import os
import socket
import stat
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from patterns.bench.guards import GUARDS, TOKEN, Guard
from patterns.bench.server import CONNECTIONS, Started, found, listen, remember
from patterns.bench.shelf import Shelf
from patterns.errors import MendfoldError
from tests.bench.benches import Asking, Told, opened

CHANGE = json.dumps({"name": "book.title", "words": "taken over", "visit": ""}).encode()
FIELD = "/books/2/field"
Attack = Callable[[Asking], Told]


def without(name: str) -> Mapping[str, Guard]:
    """Return every guard but one."""
    return {known: guard for known, guard in GUARDS.items() if known != name}


def rebound(asking: Asking) -> Told:
    """A name of somebody else's that was made to lead here after it was looked up."""
    return asking.raw("GET", "/books", headers={**asking.own, "Host": "books.example"})


def from_elsewhere(asking: Asking) -> Told:
    """Another page's script that got hold of the word."""
    return asking.raw("POST", FIELD, CHANGE, {**asking.own, "Origin": "http://books.example"})


def without_origin(asking: Asking) -> Told:
    """A change of which nobody says where it comes from."""
    own = {name: value for name, value in asking.own.items() if name != "Origin"}
    return asking.raw("POST", FIELD, CHANGE, own)


def embedded(asking: Asking) -> Told:
    """Another page that loads an answer as if it were its own picture or script."""
    own = {TOKEN: asking.own[TOKEN], "Sec-Fetch-Site": "cross-site"}
    return asking.raw("GET", "/books", headers=own)


def without_word(asking: Asking) -> Told:
    """Another program of this machine that found the port."""
    return asking.raw("GET", "/books/2")


def wrong_word(asking: Asking) -> Told:
    """A guess."""
    return asking.raw("GET", "/books/2", headers={TOKEN: "ÿ" * 43})


def by_a_form(asking: Asking) -> Told:
    """JSON in the dress of a form, which a browser sends anywhere without asking first."""
    own = {**asking.own, "Content-Type": "text/plain"}
    return asking.raw("POST", "/close", b"{}", own)


def too_long(asking: Asking) -> Told:
    """A change of more than any field holds."""
    words = json.dumps({"name": "book.title", "words": "x" * 10, "visit": "v" * 6_000_000})
    return asking.raw("POST", FIELD, words.encode(), asking.own)


ATTACKS: list[tuple[Attack, str, int]] = [
    (rebound, "host", 421),
    (from_elsewhere, "origin", 403),
    (without_origin, "origin", 403),
    (embedded, "origin", 403),
    (without_word, "token", 401),
    (wrong_word, "token", 401),
    (by_a_form, "json", 415),
    (too_long, "length", 413),
]


@pytest.mark.parametrize(("attack", "guard", "status"), ATTACKS)
def test_each_attack_is_refused_by_its_guard_alone(
    folder: Path, attack: Attack, guard: str, status: int
) -> None:
    """It is refused with every guard and answered with its own taken away."""
    with opened(folder) as asking:
        asking.get("/books")
        assert attack(asking).status == status
        assert "taken over" not in asking.get("/books/2").json["html"]
    with opened(folder, without(guard)) as asking:
        asking.get("/books")
        assert attack(asking).status == 200


def test_every_guard_answers_an_attack() -> None:
    """No guard stands there without an attack that shows what it is for."""
    assert {guard for _, guard, _ in ATTACKS} == set(GUARDS)


def test_every_way_asks_for_the_word(bench: Asking) -> None:
    """But for the empty page, its looks and links that work once, nothing is told to a stranger."""
    rules = bench.started.bench
    from patterns.bench.app import create

    app = create(rules, bench.started.door)
    paths = {rule.rule for rule in app.url_map.iter_rules()}
    asked = 0
    for path in paths - {"/", "/looks/<name>", "/once/<word>"}:
        plain = path.replace("<int:", "<")
        for name in ("number", "book", "place", "want", "kind", "name", "when", "field"):
            plain = plain.replace(f"<{name}>", "1")
        for method in ("GET", "POST"):
            sent = {"Origin": bench.started.door.origin, "Content-Type": "application/json"}
            assert bench.raw(method, plain, b"{}", sent).status == 401, plain
            asked += 1
    assert asked > 40


def test_only_get_and_post_are_known(bench: Asking) -> None:
    """Nothing answers to other methods, whoever asks."""
    for method in ("PUT", "DELETE", "PATCH", "TRACE", "OPTIONS"):
        told = bench.raw(method, "/books/2", b"{}", bench.own)
        assert told.status == (200 if method == "OPTIONS" else 405)
        assert b"logbook" not in told.body


def test_a_body_in_pieces_of_unsaid_length_is_refused(bench: Asking) -> None:
    """A chunked body, which never says how long it will be, is not read."""
    own = "".join(f"{name}: {value}\r\n" for name, value in bench.own.items())
    head = f"POST {FIELD} HTTP/1.1\r\nHost: {bench.started.door.host}\r\n{own}"
    chunk = f"{len(CHANGE):x}\r\n".encode() + CHANGE + b"\r\n0\r\n\r\n"
    with socket.create_connection(("127.0.0.1", bench.started.door.port), timeout=10) as link:
        link.sendall(f"{head}Transfer-Encoding: chunked\r\n\r\n".encode() + chunk)
        assert b" 400 " in link.recv(200).split(b"\r\n")[0]
    assert "taken over" not in bench.get("/books/2").json["html"]


def test_it_listens_on_this_machine_alone(folder: Path) -> None:
    """Another address of this machine leads nowhere; listening on all, it would lead to the bench."""

    def answers(started: Started, address: str) -> bool:
        try:
            socket.create_connection((address, started.door.port), timeout=2).close()
        except OSError:
            return False
        return True

    other = "127.0.0.2"  # another address of this machine, which every network card is as well
    for address, seen in (("127.0.0.1", False), ("0.0.0.0", True)):
        started = listen(folder, address=address)
        try:
            assert started.waitress.socket.getsockname()[0] == address
            assert answers(started, other) is seen
        finally:
            started.stop()


def test_every_answer_bears_every_header(bench: Asking) -> None:
    """Pages, refusals and looks alike: no script but the bench's own, no frame, no guessing of kinds."""
    for told in (
        bench.raw("GET", "/"),
        bench.get("/books/2"),
        bench.raw("GET", "/books"),
        bench.raw("GET", "/looks/bench.js"),
        bench.get("/nowhere"),
    ):
        policy = told.headers["Content-Security-Policy"]
        assert "script-src 'self';" in policy
        assert "unsafe" not in policy
        assert "frame-ancestors 'none'" in policy
        assert told.headers["X-Content-Type-Options"] == "nosniff"
        assert told.headers["X-Frame-Options"] == "DENY"
        assert "Set-Cookie" not in told.headers
        assert "waitress" not in told.headers.get("Server", "")


def test_a_link_works_once(bench: Asking) -> None:
    """The PDF comes without the word, the first time alone."""
    bench.post("/books/1/structures", names="board_slot", settings="")
    link = bench.post("/books/1/print").json["link"]
    first = bench.raw("GET", link)
    assert first.status == 200
    assert first.body.startswith(b"%PDF")
    assert bench.raw("GET", link).status == 410
    assert bench.raw("GET", "/once/never-made").status == 410


@pytest.mark.parametrize(
    "path",
    ["/looks/../app.py", "/looks/..%2fapp.py", "/looks/%2e%2e/app.py", "/looks/bench.html"],
)
def test_looks_are_a_list(bench: Asking, path: str) -> None:
    """Nothing but what is listed comes out of the folder of pages."""
    assert bench.raw("GET", path).status in (401, 404)


@pytest.mark.parametrize("name", ["outline", "/etc/passwd", "../atlas.toml", "a\x00b"])
def test_no_setting_names_a_file(bench: Asking, folder: Path, name: str) -> None:
    """A traced outline is put in as a file; typed, it is refused, whatever it says."""
    (folder / "trace.svg").write_text("<svg/>")
    bench.post("/books/1/structures", names="loss_infill", settings="")
    for words in (str(folder / "trace.svg"), name):
        told = bench.post("/books/1/setting", name="loss_infill.outline", words=words, visit="")
        assert told.status == 422
        assert "put in as a file" in told.json["refused"]


def test_books_are_opened_by_number_alone(bench: Asking, tmp_path: Path) -> None:
    """A number that was never shown leads nowhere, a path is no number, a link is no book."""
    (tmp_path / "secret.toml").write_text('[book]\nid = "secret"\n')
    os.symlink(tmp_path / "secret.toml", tmp_path / "books" / "linked.toml")
    assert "linked" not in bench.get("/books").json["html"]
    assert bench.get("/books/99").status == 404
    assert bench.get("/books/../../secret.toml").status == 404
    assert bench.get("/books/..%2f..%2fsecret.toml").status == 404


def test_the_address_is_for_this_user_alone(folder: Path) -> None:
    """The file that a second start finds the first by can be read by nobody else."""
    with opened(folder) as asking:
        shelf = Shelf(folder)
        shelf.hidden.mkdir()
        remember(shelf, asking.started.door)
        assert stat.S_IMODE(shelf.address_file.stat().st_mode) == 0o600
        assert found(shelf) == asking.started.door.address
    with pytest.raises(MendfoldError, match="does not answer"):
        found(shelf)


def test_each_start_has_a_word_of_its_own(folder: Path) -> None:
    """Two starts share nothing, and the word is long enough not to be guessed."""
    words = set()
    for _ in range(3):
        with opened(folder) as asking:
            words.add(asking.started.door.token)
    assert len(words) == 3
    assert all(len(word) >= 43 for word in words)


def test_it_takes_sixteen_connections_at_most(bench: Asking) -> None:
    """The limit is what waitress is told, and it is not lifted by anything after."""
    assert bench.started.waitress.adj.connection_limit == CONNECTIONS == 16
    assert bench.started.waitress.adj.channel_timeout == 20
