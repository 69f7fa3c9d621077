"""Places that cannot be written, settings that cannot be used, processes broken off."""

from __future__ import annotations

import os
import signal
import stat
import subprocess
import sys
from pathlib import Path

import pytest

import patterns
from patterns.gallery.store import keep
from tests.commands.bench import Run, listing, refused
from tests.gallery_samples import pattern_files

ROOT = Path(patterns.__file__).parent.parent


# where to write
@pytest.mark.parametrize(
    "out", ["book.toml/x", "circle", "circle/x", "pipe", "/dev/null", "/proc/none", "x" * 300]
)
def test_a_place_that_cannot_be_written_is_refused(out: str, run: Run, bench: Path) -> None:
    """A file, a device or a circle on the way: one line, nothing left behind."""
    (bench / "circle").symlink_to("circle")
    os.mkfifo(bench / "pipe")
    for arguments in (
        ("draft", "book.toml", "spine_inlay", "--formats", "svg", "--out", out),
        ("printer", "test", "--out", f"{out}/page.pdf"),
        ("examine", "book.toml", "--pdf", f"{out}/page.pdf"),
        ("measure", f"{out}/new.toml", "--blank"),
    ):
        said = run(*arguments)
        assert (said.status, said.err.count("\n")) == (1, 1), said
    assert sorted(path.name for path in bench.iterdir()) == [
        "book.toml",
        "circle",
        "pipe",
        "settings",
    ]


@pytest.mark.parametrize(
    "command", [("measure", "{}", "--blank"), ("printer", "test", "--out", "{}")]
)
def test_a_device_or_pipe_is_not_replaced_by_a_file(
    command: tuple[str, ...], run: Run, bench: Path
) -> None:
    """Even --force replaces plain files only."""
    os.mkfifo(bench / "pipe")
    said = run(*(part.format("pipe") for part in command), "--force")
    assert said.status == 1
    assert "not a file" in said.err
    assert stat.S_ISFIFO((bench / "pipe").stat().st_mode)


def test_a_full_disk_leaves_nothing_behind(
    run: Run, bench: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The disk is full after some bytes: no folder, no part of one, not even the parent."""
    left = [20_000]
    write = os.write

    def filling(handle: int, data: bytes | memoryview) -> int:
        if left[0] <= 0:
            raise OSError(28, "No space left on device")
        left[0] -= min(len(data), 8_000)
        return write(handle, data[:8_000])

    monkeypatch.setattr("os.write", filling)
    refused(run, "draft", "book.toml", "spine_inlay", "--out", "a/b", words=("no space left",))
    assert not (bench / "a").exists()


def test_an_existing_folder_is_left_or_set_aside(run: Run, bench: Path) -> None:
    """Equal: unchanged. Different: refused; with --force kept beside the new one."""
    draft = ("draft", "book.toml", "spine_inlay", "--formats", "svg")
    folder = bench / "logbook-spine_inlay"
    assert "written" in run(*draft).out
    before = listing(bench)
    assert "unchanged" in run(*draft).out
    assert listing(bench) == before
    (folder / "notes.txt").write_text("mine")
    refused(run, *draft, words=("already there and different", "--force"))
    assert run(*draft, "--force").status == 0
    assert (bench / "logbook-spine_inlay.earlier-1" / "notes.txt").read_text() == "mine"
    assert not (folder / "notes.txt").exists()
    folder.with_name("logbook-hollow_tube").write_text("a file")
    refused(run, "draft", "book.toml", "hollow_tube", "--force", words=("could not be written",))


@pytest.mark.parametrize("force", [(), ("--force",)])
def test_a_link_planted_under_the_pattern_s_name_is_refused(
    force: tuple[str, ...], run: Run, bench: Path
) -> None:
    """Neither followed nor set aside, in whatever folder the sheets are to go."""
    (bench / "elsewhere").mkdir()
    (bench / "logbook-spine_inlay").symlink_to("elsewhere")
    (bench / "calibration.pdf").symlink_to("book.toml")
    draft = ("draft", "book.toml", "spine_inlay", "--formats", "svg", *force)
    refused(run, *draft, words=("logbook-spine_inlay: is a link",))
    refused(run, "printer", "test", *force, words=("calibration.pdf: is a link",))


def test_an_export_is_not_written_into_a_pipe(run: Run, bench: Path) -> None:
    """Nor compared with what comes out of it: nothing ever does."""
    keep(bench / "gallery", "LOG-1-hollow_tube", pattern_files())
    os.mkfifo(bench / "LOG-1-hollow_tube.zip")
    refused(run, "gallery", "export", "LOG-1", words=("LOG-1-hollow_tube.zip", "not a file"))


def test_ctrl_c_puts_an_earlier_folder_back(
    run: Run, bench: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Stopped between setting the old folder aside and putting the new one there."""
    draft = ("draft", "book.toml", "spine_inlay", "--formats", "svg")
    run(*draft)
    (bench / "logbook-spine_inlay" / "notes.txt").write_text("mine")
    before = listing(bench)
    rename, calls = os.rename, list[object]()

    def stopped(*paths: str) -> None:
        calls.append(paths)
        if len(calls) == 2:
            raise KeyboardInterrupt
        rename(*paths)

    monkeypatch.setattr("os.rename", stopped)
    said = run(*draft, "--force")
    assert (said.status, said.out) == (1, "")
    assert said.err.strip() == "mendfold: stopped"
    assert listing(bench) == before


def test_a_failed_keeping_says_where_the_sheets_are(run: Run, bench: Path) -> None:
    """The gallery cannot be written: status 1, and the line names the folder that was."""
    said = run(
        "draft",
        "book.toml",
        "spine_inlay",
        "--formats",
        "svg",
        "--keep",
        "--gallery",
        "book.toml/x",
    )
    assert said.status == 1
    assert said.err.startswith("mendfold: not kept")
    assert "The sheets are in logbook-spine_inlay" in said.err
    assert (bench / "logbook-spine_inlay" / "pattern.json").is_file()


def test_a_record_that_disappears_while_it_is_read(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Gone between the look and the reading: as if it had never been there."""
    status = Path.stat

    def gone(path: Path, *, follow_symlinks: bool = True) -> os.stat_result:
        found = status(path, follow_symlinks=follow_symlinks)
        if path.name == "book.toml":
            path.unlink(missing_ok=True)
        return found

    monkeypatch.setattr(Path, "stat", gone)
    said = run("draft", "book.toml", "spine_inlay")
    assert said.status == 1
    assert "is not there" in said.err


# the studio's own settings
MATERIALS: dict[str, str | bytes] = {
    "words": "x",
    "unknown table": "a = 1",
    "no list": "material = 1",
    "no name": "[[material]]",
    "name a number": "[[material]]\nname = 1",
    "name hidden": '[[material]]\nname = "a\\u202eb"\nkind = "paper"',
    "name without end": f'[[material]]\nname = "{"W" * 10_000}"\nkind = "paper"',
    "no kind": "[[material]]\nname = 'x'",
    "kind a list": "[[material]]\nname = 'x'\nkind = ['paper']",
    "nan": "[[material]]\nname = 'x'\nkind = 'paper'\nthickness_mm = nan",
    "negative": "[[material]]\nname = 'kraft lining paper'\nthickness_mm = -1",
    "400 digits": f"[[material]]\nname = 'x'\nkind = 'paper'\nthickness_mm = {'9' * 400}",
    "5000 digits": f"[[material]]\nname = 'x'\nkind = 'paper'\nthickness_mm = {'9' * 5000}",
    "half a ply": "[[material]]\nname = 'x'\nkind = 'thread'\nlea = 20\nplies = 1.5",
    "source hidden": "[[material]]\nname = 'x'\nkind = 'paper'\nthickness_mm = {value = 1, source = \"\\u0007\"}",
    "brackets": "a = " + "[" * 100_000,
    "endless key": "a." * 300_000 + "a = 1",
    "binary": bytes(range(256)),
    "huge": b"#" * 10_000_000,
}  # fmt: skip


@pytest.mark.parametrize("case", MATERIALS)
def test_a_studio_file_that_cannot_be_used_is_named(case: str, run: Run, bench: Path) -> None:
    """Drafting and examining say which file it is; nothing is guessed in its place."""
    content = MATERIALS[case]
    path = bench / "settings" / "materials.toml"
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    for command in (("draft", "book.toml", "hollow_tube"), ("examine", "book.toml")):
        refused(run, *command, words=(str(path),))


PRINTERS: dict[str, str | bytes] = {
    "words": "x",
    "no table": "desk = 1",
    "no readings": "[desk]",
    "readings bare": "[desk]\nacross = 1\ndown = 2",
    "unknown key": "[desk]\nacross = '180/180'\ndown = '250/250'\nskew = 1",
    "nan": "[desk]\nacross = '180/180'\ndown = '250/250'\ndiagonals = [nan, nan]",
    "400 digits": f"[desk]\nacross = '180/180'\ndown = '250/250'\ndiagonals = [1, {'9' * 400}]",
    "reserved": "[none]\nacross = '180/180'\ndown = '250/250'",
    "name": '["a b"]\nacross = "180/180"\ndown = "250/250"',
    "brackets": "a = " + "[" * 100_000,
    "binary": bytes(range(256)),
    "huge": b"#" * 10_000_000,
}


@pytest.mark.parametrize("case", PRINTERS)
def test_a_printer_file_that_cannot_be_used_is_named(case: str, run: Run, bench: Path) -> None:
    """No command corrects by a garbled factor, and storing does not overwrite the file."""
    content = PRINTERS[case]
    path = bench / "settings" / "printers.toml"
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    for command in (
        ("draft", "book.toml", "hollow_tube", "--printer", "desk"),
        ("printer", "list"),
        ("printer", "set", "desk", "--across", "180/180", "--down", "250/250"),
    ):
        refused(run, *command, words=(str(path),))


@pytest.mark.parametrize("kind", ["folder", "pipe", "circle"])
def test_settings_that_are_no_files(kind: str, run: Run, bench: Path) -> None:
    """A folder, a pipe or a circle of links in place of the studio's files."""
    for name in ("materials.toml", "printers.toml"):
        path = bench / "settings" / name
        if kind == "circle":
            path.symlink_to(name)
        else:
            (os.mkdir if kind == "folder" else os.mkfifo)(path)
    assert "materials.toml" in run("draft", "book.toml", "hollow_tube").err
    assert "printers.toml" in run("printer", "list").err
    assert "materials.toml" in run("examine", "book.toml").err


@pytest.mark.parametrize("place", ["book.toml", "nowhere", "nowhere/at/all"])
def test_a_settings_folder_that_is_none(
    place: str, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without settings everything goes on; a printer cannot be stored in a file."""
    monkeypatch.setenv("MENDFOLD_CONFIG", place)
    assert run("draft", "book.toml", "spine_inlay", "--formats", "svg").status == 0
    if place == "book.toml":
        said = run("printer", "set", "desk", "--across", "180/180", "--down", "250/250")
        assert (said.status, said.err.count("\n")) == (1, 1)


# whole processes
def process(
    bench: Path, script: str, **environment: str | None
) -> subprocess.CompletedProcess[bytes]:
    """Run a shell line in which $M is mendfold; None takes a variable away."""
    own = {**os.environ, "PYTHONPATH": str(ROOT), "M": f"{sys.executable} -m patterns"}
    own |= {key: value for key, value in environment.items() if value is not None}
    left = {key: value for key, value in own.items() if environment.get(key, "") is not None}
    return subprocess.run(
        ["sh", "-c", script], cwd=bench, env=left, capture_output=True, timeout=60, check=False
    )


@pytest.mark.parametrize(
    ("script", "status", "said"),
    [
        ("$M structures | true", 0, b""),
        ("$M structures > /dev/full", 1, b"no space left on device"),
        ("$M structures >&-", 0, b""),
        ("$M draft none.toml hollow_tube 2>&-", 1, b""),
        ("$M measure new.toml <&-", 1, b"nothing was answered yet"),
        ("$M measure new.toml </dev/null", 1, b"nothing was answered yet"),
        ("PYTHONIOENCODING=ascii $M structures hollow_tube", 0, b""),
        ("PYTHONIOENCODING=ascii $M draft none.toml hollow_tube", 1, b"is not there"),
        ("env -u HOME $M draft book.toml spine_inlay --formats svg", 0, b""),
        ("ulimit -f 8; $M draft book.toml spine_inlay --out new", 1, b"file too large"),
        ("$M draft \"$(printf 'b\\377')\" spine_inlay", 1, b"is not there"),
    ],
)
def test_a_terminal_of_any_kind(script: str, status: int, said: bytes, bench: Path) -> None:
    """Closed pipes, full and missing streams, other encodings, no home: never a traceback."""
    done = process(bench, script)
    assert done.returncode == status, done.stderr
    assert b"Traceback" not in done.stderr
    assert b"Exception ignored" not in done.stderr
    assert said in done.stderr
    assert not (bench / "new").exists()
    assert not list(bench.rglob(".part-*"))


def python(bench: Path, script: str) -> subprocess.CompletedProcess[bytes]:
    """Run a script in a process of its own."""
    return subprocess.run(
        [sys.executable, "-c", script],
        cwd=bench,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        timeout=60,
        check=False,
    )


@pytest.mark.parametrize("after_s", [0.05, 0.15, 0.25])
def test_ctrl_c_stops_a_draft_with_nothing_written(after_s: float, bench: Path) -> None:
    """Interrupted while it loads or works: one word, no traceback, no folder."""
    script = (
        "import os, signal, threading; from patterns import cli\n"
        f"threading.Timer({after_s}, os.kill, (os.getpid(), signal.SIGINT)).start()\n"
        "cli.main(['draft', 'book.toml', 'secondary_sewing', 'board_slot'])"
    )
    child = python(bench, script)
    assert b"stopped" in child.stderr
    assert b"Traceback" not in child.stderr
    assert child.returncode != 0
    assert not list(bench.glob("*logbook*"))
    assert not list(bench.glob(".part-*"))


@pytest.mark.parametrize("module", ["click", "patterns.cli", "patterns.commands.draft"])
def test_ctrl_c_while_the_program_loads_is_no_traceback(module: str, bench: Path) -> None:
    """In its first tenth of a second it ends without a word, later with one."""
    script = (
        "import os, runpy, signal, sys\n"
        "class Finder:\n"
        "    def find_spec(self, name, *more):\n"
        f"        if name == {module!r}:\n"
        "            os.kill(os.getpid(), signal.SIGINT)\n"
        "sys.meta_path.insert(0, Finder())\n"
        "sys.argv[1:] = ['draft', 'book.toml', 'board_slot']\n"
        "runpy.run_module('patterns', run_name='__main__')"
    )
    done = python(bench, script)
    assert done.returncode in (1, -signal.SIGINT)
    assert done.stderr in (b"", b"mendfold: stopped\n")
    assert not list(bench.glob("*logbook*"))
