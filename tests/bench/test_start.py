"""Starting and ending the bench from the command line, as a person does."""

from __future__ import annotations

import signal
import subprocess
import sys
import urllib.request
from pathlib import Path

from patterns.bench.guards import TOKEN


def start(folder: Path, *options: str) -> subprocess.Popen[str]:
    """Start the bench; it prints its address."""
    return subprocess.Popen(
        [sys.executable, "-m", "patterns", "bench", str(folder), "--no-open", *options],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def said(process: subprocess.Popen[str]) -> str:
    """Return the one line that a bench prints."""
    assert process.stdout is not None
    return process.stdout.readline().strip()


def over(process: subprocess.Popen[str]) -> str:
    """Return what a bench that has ended said of errors."""
    return process.communicate(timeout=60)[1]


def ask(address: str, path: str, data: bytes | None = None) -> int:
    """Ask a bench as its page does."""
    origin, _, word = address.partition("/#")
    headers = {TOKEN: word, "Origin": origin, "Content-Type": "application/json"}
    with urllib.request.urlopen(
        urllib.request.Request(f"{origin}{path}", data, headers), timeout=30
    ) as answer:
        return int(answer.status)


def test_a_second_start_finds_the_first_and_the_page_closes_it(tmp_path: Path) -> None:
    """One address for one folder; closed from the page, it ends well and leaves no address."""
    folder = tmp_path / "not yet" / "there"
    first = start(folder)
    address = said(first)
    assert address.startswith("http://127.0.0.1:")
    second = start(folder)
    assert said(second) == address
    assert second.wait(timeout=60) == 0
    assert ask(address, "/close", b"{}") == 200
    assert first.wait(timeout=60) == 0
    assert over(first) == over(second) == ""
    assert not (folder / ".bench" / "address").exists()


def test_ctrl_c_ends_it_and_the_drawing_with_it(tmp_path: Path) -> None:
    """It ends with 0, without a word, also while the drawing is warm."""
    process = start(tmp_path / "books")
    address = said(process)
    assert ask(address, "/") == 200
    process.send_signal(signal.SIGINT)
    assert process.wait(timeout=60) == 0
    assert over(process) == ""


def test_a_port_that_is_taken_is_told(tmp_path: Path) -> None:
    """One plain line, status 1."""
    first = start(tmp_path / "one")
    port = said(first).rpartition(":")[2].partition("/")[0]
    second = start(tmp_path / "two", "--port", port)
    assert second.wait(timeout=60) == 1
    line = over(second)
    assert line.startswith(f"mendfold: port {port} cannot be used")
    assert line.count("\n") == 1
    first.send_signal(signal.SIGINT)
    assert first.wait(timeout=60) == 0
    assert over(first) == ""
