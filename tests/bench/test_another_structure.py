"""One structure more, in a temporary copy of the project: the page offers it and draws it with no edit."""

from __future__ import annotations

import http.client
import json
import os
import shutil
import signal
import subprocess
import sys
from html import unescape
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from patterns.bench.guards import TOKEN
from tests.bench.conftest import fill
from tests.test_three_files import MODULE, PROJECT, TEMPLATE

LOGBOOK = 2


def copied(place: Path) -> Path:
    """Copy package and templates, and put one structure more beside the others."""
    for name in ("patterns", "templates"):
        shutil.copytree(PROJECT / name, place / name, ignore=shutil.ignore_patterns("__pycache__"))
    (place / "templates" / "joint_guard.toml").write_text(TEMPLATE, encoding="utf-8")
    (place / "patterns" / "structures" / "joint_guard.py").write_text(MODULE, encoding="utf-8")
    return place


def ask(address: str, path: str, **values: object) -> Any:
    """Ask a bench of another process as its page does; a change where values are given."""
    door = urlsplit(address)
    link = http.client.HTTPConnection("127.0.0.1", door.port or 0, timeout=120)
    headers = {TOKEN: door.fragment, "Content-Type": "application/json"}
    headers["Origin"] = f"http://{door.netloc}"
    try:
        body = json.dumps(values) if values else None
        link.request("POST" if values else "GET", path, body, headers)
        answer = link.getresponse()
        assert answer.status == 200, answer.read()
        return json.loads(answer.read())
    finally:
        link.close()


def test_a_new_structure_appears_with_its_settings(tmp_path: Path) -> None:
    """Its reasons stand among what holds, its setting with unit, range, default and source; it is drawn."""
    project, books = copied(tmp_path / "project"), fill(tmp_path / "books")
    process = subprocess.Popen(
        [sys.executable, "-m", "patterns", "bench", str(books), "--no-open"],
        cwd=project,
        env={**os.environ, "PYTHONPATH": str(project)},
        stdout=subprocess.PIPE,
        text=True,
    )
    try:
        assert process.stdout is not None
        address = process.stdout.readline().strip()
        ask(address, "/books")
        said = unescape(ask(address, f"/books/{LOGBOOK}/look/findings")["html"])
        assert "a guard is laid in an hour" in said
        assert "it holds nothing" in said
        assert 'data-take="joint_guard"' in said
        chosen = ask(address, f"/books/{LOGBOOK}/structures", names="joint_guard", settings="")
        row = unescape(chosen["settings"]).partition('data-setting="joint_guard.width"')[2]
        for words in ("width of the strip", ">mm<", "5 to 60 mm", "by default 20", "this test"):
            assert words in row.partition("</ul>")[0]
        assert 'data-setting="joint_guard.paper"' in chosen["settings"]
        before = ask(address, f"/books/{LOGBOOK}/look/pieces")
        assert before["settings"]["joint_guard.width"] == "20"
        ask(address, f"/books/{LOGBOOK}/setting", name="joint_guard.width", words="31", visit="")
        after = ask(address, f"/books/{LOGBOOK}/look/pieces")
        assert after["settings"]["joint_guard.width"] == "31"
        assert after["svg"] != before["svg"]
    finally:
        process.send_signal(signal.SIGINT)
        process.communicate(timeout=60)
    assert process.returncode == 0
