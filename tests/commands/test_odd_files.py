"""Files that are none, or far too large, wherever a command opens one: named at once, in one line."""

from __future__ import annotations

import os
import signal
from collections.abc import Iterator
from pathlib import Path

import pytest

from patterns.errors import FileError
from patterns.gallery.store import keep
from patterns.reading import LARGEST_ADDED_BYTES, LARGEST_BYTES, read_bytes, read_text
from tests.commands.bench import Run
from tests.gallery_samples import pattern_files

NAME = "LOG-1-hollow_tube"
PATIENCE_S = 20
TREATMENT = 'format = "mendfold-treatment/1"\n[[photograph]]\nfile = "{}"\nwhen = "before"\n'
OPENED: dict[str, tuple[str, ...]] = {
    "odd.toml": ("draft", "odd.toml", "hollow_tube"),
    "odd.svg": ("draft", "book.toml", "loss_infill", "--set", "outline=odd.svg"),
    "odd.dxf": ("draft", "book.toml", "loss_infill", "--set", "outline=odd.dxf"),
    "odd.jpg": ("gallery", "add", NAME, "odd.jpg"),
    "odd.txt": ("gallery", "add", NAME, "odd.txt"),
    "odd/treatment.toml": ("gallery", "add", NAME, "odd/treatment.toml"),
    "treatment.toml": ("report", NAME, "--treatment", "treatment.toml"),
    "odd.zip": ("gallery", "import", "odd.zip"),
    "kept/odd.jpg": ("gallery", "keep", "kept"),
    "settings/materials.toml": ("draft", "book.toml", "hollow_tube"),
    "settings/printers.toml": ("printer", "list"),
    "gallery/LOG-1-hollow_tube/r0001/odd.txt": ("gallery", "verify", NAME, "--files-only"),
}
"""What a command opens, by the name under which something odd is put there."""


class TooLong(Exception):
    """A command waits for something that never comes."""


@pytest.fixture(autouse=True)
def patience() -> Iterator[None]:
    """End a test that waits."""

    def over(*_: object) -> None:
        raise TooLong

    before = signal.signal(signal.SIGALRM, over)
    signal.alarm(PATIENCE_S)
    yield
    signal.alarm(0)
    signal.signal(signal.SIGALRM, before)


@pytest.fixture
def kept(bench: Path) -> Path:
    """A gallery with one pattern, a draft's folder, and a folder for odd things."""
    keep(bench / "gallery", NAME, pattern_files())
    for name in ("kept", "odd"):
        (bench / name).mkdir()
    for name, data in pattern_files().items():
        (bench / "kept" / name).write_bytes(data)
    return bench


@pytest.mark.parametrize("place", OPENED)
def test_a_pipe_is_never_waited_for(place: str, run: Run, kept: Path) -> None:
    """Nobody writes to it: refused as what it is, under its own name."""
    os.mkfifo(kept / place)
    said = run(*OPENED[place])
    assert said.status == 1
    line = said.out if place.startswith("gallery/") else said.err
    assert Path(place).name in line
    if not place.startswith("gallery/"):  # there it is a file that was not kept
        assert "pipe" in said.err
        assert said.err.count("\n") == 1


@pytest.mark.parametrize("place", [place for place in OPENED if not place.startswith("odd/")])
def test_a_device_without_end_is_never_read(place: str, run: Run, kept: Path) -> None:
    """A link to a device that gives zeros for ever."""
    (kept / place).symlink_to("/dev/zero")
    said = run(*OPENED[place])
    assert said.status == 1
    assert Path(place).name in said.out + said.err


LIMITS = {
    "odd.toml": "1 MB",
    "odd.svg": "5 MB",
    "odd.dxf": "5 MB",
    "odd.jpg": "100 MB",
    "odd/treatment.toml": "1 MB",
    "treatment.toml": "1 MB",
    "odd.zip": "400 MB",
    "kept/odd.jpg": "100 MB",
    "settings/materials.toml": "1 MB",
    "settings/printers.toml": "1 MB",
    "gallery/LOG-1-hollow_tube/r0001/odd.txt": "100 MB",
}


@pytest.mark.parametrize("place", LIMITS)
def test_a_file_too_large_is_told_with_the_limit(place: str, run: Run, kept: Path) -> None:
    """One byte more than is read; nothing of it is read, as the disk holds no such file."""
    most = int(LIMITS[place].split()[0]) * 1_000_000
    (kept / place).touch()
    os.truncate(kept / place, most + 1)
    said = run(*OPENED[place])
    assert said.status == 1
    assert said.err.count("\n") == 1
    assert f"over {LIMITS[place]}" in said.err
    assert Path(place).name in said.err


@pytest.mark.parametrize("kind", ["pipe", "large", "missing"])
def test_a_photograph_beside_a_treatment(kind: str, run: Run, kept: Path) -> None:
    """The report asks for before.jpg beside the treatment: a pipe, a huge file, none at all."""
    (kept / "treatment.toml").write_text(TREATMENT.format("before.jpg"))
    if kind == "pipe":
        os.mkfifo(kept / "before.jpg")
    elif kind == "large":
        (kept / "before.jpg").touch()
        os.truncate(kept / "before.jpg", LARGEST_ADDED_BYTES + 1)
    said = run("report", NAME, "--treatment", "treatment.toml")
    assert said.status == 1
    assert said.err.count("\n") == 1
    word = {"pipe": "is a pipe", "large": "is over 100 MB", "missing": "is not there"}[kind]
    assert f"before.jpg {word}" in said.err


def test_a_name_that_leads_elsewhere_meanwhile(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A plain file when it is looked at, a pipe when it is opened."""
    path, real = tmp_path / "book.toml", Path.stat
    path.write_text("[book]\n")

    def exchanged(self: Path, *, follow_symlinks: bool = True) -> os.stat_result:
        found = real(self, follow_symlinks=follow_symlinks)
        if self == path:
            path.unlink()
            os.mkfifo(path)
        return found

    monkeypatch.setattr(Path, "stat", exchanged)
    with pytest.raises(FileError, match="is a pipe or a device"):
        read_bytes(path)


def test_a_file_that_tells_no_size_is_read_to_the_limit_and_no_further() -> None:
    """The kernel's own files say 0 bytes, whatever they hold."""
    path = Path("/proc/cpuinfo")
    if not path.is_file():
        pytest.skip("no such file on this system")
    data = path.read_bytes()
    assert path.stat().st_size == 0
    assert len(data) > 100
    with pytest.raises(FileError, match=r"over 0\.0001 MB"):
        read_bytes(path, 100)
    assert read_bytes(path, LARGEST_BYTES)


def test_a_file_of_just_the_limit_is_read(tmp_path: Path) -> None:
    """The limit itself is allowed; text comes without its byte-order mark."""
    path = tmp_path / "book.toml"
    path.write_bytes(b"\xef\xbb\xbf" + b"#" * 7)
    assert read_bytes(path, 10) == path.read_bytes()
    assert read_text(path, 10) == "#" * 7
    with pytest.raises(FileError) as refusal:
        read_bytes(path, 9)
    assert refusal.value.why == "large"


@pytest.mark.parametrize("text", ["a = " + "[" * 100_000, "a." * 300_000 + "a = 1", f"a = {'9' * 5000}"])  # fmt: skip
def test_a_treatment_that_nobody_wrote_is_one_line(text: str, run: Run, kept: Path) -> None:
    """Brackets and keys without end, a number of thousands of digits."""
    (kept / "treatment.toml").write_text(text)
    for command in (("gallery", "add", NAME, "treatment.toml"), OPENED["treatment.toml"]):
        said = run(*command)
        assert said.status == 1
        assert said.err.count("\n") == 1
        assert "treatment.toml: " in said.err
