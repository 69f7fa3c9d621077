"""Folders and files are written whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from patterns.errors import WriteError
from patterns.files import contents, why_unsafe, write_file, write_folder
from patterns.unfinished import HIDDEN

FILES = {"record.toml": b"[book]\n", "sheets.pdf": b"%PDF-"}


def names(folder: Path) -> list[str]:
    return sorted(os.listdir(folder))


def test_a_new_folder_is_written_whole(tmp_path: Path) -> None:
    assert write_folder(tmp_path / "deep" / "er" / "book", FILES) == "written"
    assert contents(tmp_path / "deep" / "er" / "book") == FILES
    assert names(tmp_path / "deep" / "er") == ["book"]


def test_an_equal_folder_is_left_untouched(tmp_path: Path) -> None:
    write_folder(tmp_path / "book", FILES)
    before = (tmp_path / "book").stat().st_mtime_ns
    assert write_folder(tmp_path / "book", FILES, force=True) == "unchanged"
    assert (tmp_path / "book").stat().st_mtime_ns == before
    assert names(tmp_path) == ["book"]


@pytest.mark.parametrize(
    "other", [{"notes.txt": b"mine"}, {**FILES, "notes.txt": b""}, {**FILES, "sheets.pdf": b"x"}]
)
def test_a_different_folder_is_refused_and_left(tmp_path: Path, other: dict[str, bytes]) -> None:
    write_folder(tmp_path / "book", other)
    with pytest.raises(WriteError, match="already there and different"):
        write_folder(tmp_path / "book", FILES)
    assert contents(tmp_path / "book") == other
    assert names(tmp_path) == ["book"]


def test_force_sets_the_earlier_folder_aside_and_loses_nothing(tmp_path: Path) -> None:
    for n in range(3):
        write_folder(tmp_path / "book", {"a": b"%d" % n, "notes.txt": b"mine"}, force=True)
    assert names(tmp_path) == ["book", "book.earlier-1", "book.earlier-2"]
    assert [(tmp_path / name / "a").read_bytes() for name in names(tmp_path)] == [b"2", b"0", b"1"]


def test_an_empty_folder_counts_as_none(tmp_path: Path) -> None:
    (tmp_path / "book").mkdir()
    assert write_folder(tmp_path / "book", FILES) == "written"


@pytest.mark.parametrize("failing", ["write", "fsync", "rename", "mkdir"])
def test_a_failing_disk_leaves_what_was_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, failing: str
) -> None:
    write_folder(tmp_path / "book", {"a": b"old"})
    write_file(tmp_path / "one.txt", b"old")

    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(os, failing, full)
        with pytest.raises(WriteError, match=r"no space left on device\); nothing was changed"):
            write_folder(tmp_path / "book", FILES, force=True)
        if failing in ("write", "fsync"):
            with pytest.raises(WriteError, match="nothing was changed"):
                write_file(tmp_path / "one.txt", b"new")
    assert contents(tmp_path / "book") == {"a": b"old"}
    assert (tmp_path / "one.txt").read_bytes() == b"old"
    assert names(tmp_path) == ["book", "one.txt"]


def test_the_second_rename_failing_puts_the_earlier_folder_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_folder(tmp_path / "book", {"a": b"old"})
    real = os.rename

    def rename(source: Path, target: Path) -> None:
        if Path(source).name.startswith(HIDDEN):
            raise OSError(5, "Input/output error")
        real(source, target)

    monkeypatch.setattr(os, "rename", rename)
    with pytest.raises(WriteError):
        write_folder(tmp_path / "book", FILES, force=True)
    assert names(tmp_path) == ["book"]
    assert contents(tmp_path / "book") == {"a": b"old"}


def test_a_file_in_the_way_is_refused(tmp_path: Path) -> None:
    (tmp_path / "book").write_bytes(b"a file")
    with pytest.raises(WriteError):
        write_folder(tmp_path / "book", FILES, force=True)
    assert (tmp_path / "book").read_bytes() == b"a file"


@pytest.mark.parametrize(
    "name",
    ["", ".", "..", "../a", "a/b", "a\\b", "/a", "C:a", "nul", "CON.txt", "lpt1.pdf", "a\n", "a.",
     "a ", " a", ".hidden", "a\u202eb", "a" * 121, "a\0b"],
)  # fmt: skip
def test_unsafe_names_are_refused_before_anything_is_written(tmp_path: Path, name: str) -> None:
    assert why_unsafe(name)
    with pytest.raises(WriteError):
        write_folder(tmp_path / "book", {**FILES, name: b""})
    assert names(tmp_path) == []


@pytest.mark.parametrize("name", ["sheet-01.svg", "Foto vorher é.jpg", "a.b.c", "console.txt"])
def test_everyday_names_are_allowed(name: str) -> None:
    assert why_unsafe(name) == ""


def test_write_file_replaces_whole(tmp_path: Path) -> None:
    write_file(tmp_path / "new" / "a.txt", b"one")
    write_file(tmp_path / "new" / "a.txt", b"two")
    assert names(tmp_path / "new") == ["a.txt"]
    assert (tmp_path / "new" / "a.txt").read_bytes() == b"two"
