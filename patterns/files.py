"""Writing so that a reader finds all of it or none of it, whatever stops the writer.

A file or folder is first written under a hidden name beside its place, forced to the disk, and
renamed. What is on the disk before that stays as it was.
"""

from __future__ import annotations

import contextlib
import os
import secrets
import shutil
import unicodedata
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Literal

from patterns.errors import FileError, WriteError
from patterns.reading import LARGEST_ADDED_BYTES, read_bytes

HIDDEN = ".part-"
"""How the name of every unfinished file and folder begins."""
LONGEST_NAME = 120
_DEVICES = {"con", "prn", "aux", "nul"} | {
    f"{port}{n}" for port in ("com", "lpt") for n in range(10)
}


def why_unsafe(name: str) -> str:
    """Say why `name` cannot be a file's name on every system; empty when it can.

    >>> why_unsafe("sheets.pdf"), why_unsafe("a/sheets.pdf"), why_unsafe("aux.txt")
    ('', 'has a slash, a colon or another mark a file name cannot have', 'is the name of a device')
    """
    if not name or name[0] in " ." or name[-1] in " .":
        return "is empty, or begins or ends with a dot or a space"
    if len(name) > LONGEST_NAME:
        return f"is longer than {LONGEST_NAME} characters"
    if any(mark in '/\\:*?"<>|' for mark in name):
        return "has a slash, a colon or another mark a file name cannot have"
    if any(unicodedata.category(mark)[0] == "C" for mark in name):
        return "has a control character"
    if name.split(".")[0].strip().lower() in _DEVICES:
        return "is the name of a device"
    return ""


def sync_folder(folder: Path) -> None:
    """Force the names in `folder` to the disk (where the system lets a folder be opened)."""
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def make_folder(folder: Path) -> None:
    """Make `folder` and what it stands in, each forced to the disk; no error when it is there."""
    if folder.is_dir():
        return
    make_folder(folder.parent)
    with contextlib.suppress(FileExistsError):
        os.mkdir(folder)
    sync_folder(folder.parent)


def _write_synced(path: Path, data: bytes) -> None:
    binary = getattr(os, "O_BINARY", 0)
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | binary, 0o666)
    try:
        rest = memoryview(data)
        while rest:
            rest = rest[os.write(handle, rest) :]
        os.fsync(handle)
    finally:
        os.close(handle)


@contextlib.contextmanager
def _parents_undone(parent: Path) -> Iterator[None]:
    """Remove the folders made on the way to `parent` when what was to be written there was not."""
    missing = [folder for folder in (parent, *parent.parents) if not folder.exists()]
    try:
        yield
    except BaseException:
        for folder in missing:
            with contextlib.suppress(OSError):
                folder.rmdir()
        raise


@contextlib.contextmanager
def staged(parent: Path, files: Mapping[str, bytes]) -> Iterator[Path]:
    """Yield a hidden folder in `parent` that holds `files`, on the disk, ready to be renamed.

    Files are written in the order given. What is not renamed away is removed at the end. Raises
    OSError when the disk refuses and WriteError for an unsafe file name.
    """
    for name in files:
        if reason := why_unsafe(name):
            raise WriteError(f"file name {name!r} {reason}: use letters, digits, '-' and '_'")
    make_folder(parent)
    folder = parent / f"{HIDDEN}{secrets.token_hex(8)}"
    os.mkdir(folder)
    try:
        for name, data in files.items():
            _write_synced(folder / name, data)
        sync_folder(folder)
        yield folder
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def contents(folder: Path) -> dict[str, bytes]:
    """Return every file of `folder` by name, hidden ones left out.

    What is no plain file maps to nothing. Raises OSError for the folder, FileError for a file that
    cannot be read or is larger than any that is kept.
    """
    found = {}
    for path in sorted(folder.iterdir()):
        if not path.name.startswith("."):
            found[path.name] = read_bytes(path, LARGEST_ADDED_BYTES) if path.is_file() else b""
    return found


def _holds(folder: Path, files: Mapping[str, bytes]) -> bool:
    """Return whether a folder holds exactly these files, hidden ones left out."""
    there = sorted(path for path in folder.iterdir() if not path.name.startswith("."))
    return [path.name for path in there] == sorted(files) and all(
        holds_just(path, files[path.name]) for path in there
    )


def holds_just(path: Path, data: bytes) -> bool:
    """Return whether `path` is a plain file with this very content."""
    try:
        return read_bytes(path, len(data)) == data
    except FileError:
        return False


def _free_name(target: Path) -> Path:
    number = 1
    while (aside := target.with_name(f"{target.name}.earlier-{number}")).exists():
        number += 1
    return aside


def write_folder(
    target: Path, files: Mapping[str, bytes], force: bool = False
) -> Literal["written", "unchanged"]:
    """Write `files` as the folder `target`, whole or not at all.

    A folder that already holds exactly these files is left: "unchanged". A different one is
    refused unless `force`; then it stays beside the new one as `NAME.earlier-1`, so that nothing
    is lost. Raises WriteError.
    """
    target = resolved(target)
    try:
        if target.is_dir():
            if _holds(target, files):
                return "unchanged"
            if any(target.iterdir()) and not force:
                raise WriteError(
                    f"{target}: already there and different; nothing was written. "
                    "Give another --out, or --force to set the earlier folder aside"
                )
        with _parents_undone(target.parent), staged(target.parent, files) as folder:
            _put(folder, target)
        sync_folder(target.parent)
    except OSError as error:
        raise WriteError(_could_not(target, error)) from error
    return "written"


def _put(folder: Path, target: Path) -> None:
    aside = None
    if target.is_dir() and any(target.iterdir()):
        aside = _free_name(target)
        os.rename(target, aside)
    elif target.is_dir():
        os.rmdir(target)
    try:
        os.rename(folder, target)
    except BaseException:  # whatever stops it, Ctrl-C too: the earlier folder goes back
        if aside is not None:
            os.rename(aside, target)
        raise


def write_file(target: Path, data: bytes) -> None:
    """Write `data` as the file `target`, whole or not at all; raises WriteError."""
    target = resolved(target)
    part = target.with_name(f"{HIDDEN}{secrets.token_hex(8)}")
    try:
        if target.exists() and not target.is_file():
            raise WriteError(f"{target}: is a folder or a device, not a file; name another")
        with _parents_undone(target.parent):
            make_folder(target.parent)
            try:
                _write_synced(part, data)
                os.replace(part, target)
            finally:
                part.unlink(missing_ok=True)
        sync_folder(target.parent)
    except OSError as error:
        raise WriteError(_could_not(target, error)) from error


def write_new_file(
    target: Path,
    data: bytes,
    force: bool = False,
    remedy: str = "Name another file, or --force to replace it",
) -> Literal["written", "unchanged"]:
    """Write `data` as the file `target` unless another one is there; raises WriteError.

    A file with this very content is left: "unchanged". A different one is refused unless `force`;
    `remedy` says what can be done then.
    """
    target = resolved(target)
    try:
        if holds_just(target, data):
            return "unchanged"
        if target.exists() and not force:
            raise WriteError(
                f"{target}: already there and different; nothing was written. {remedy}"
            )
    except OSError as error:
        raise WriteError(_could_not(target, error)) from error
    write_file(target, data)
    return "written"


def resolved(target: Path) -> Path:
    """Return the whole path; links that lead in a circle are refused. Raises WriteError."""
    try:
        return target.resolve()
    except (OSError, RuntimeError) as error:  # links that lead in a circle
        raise WriteError(f"{target}: leads nowhere ({error}); name another place") from error


def _could_not(target: Path, error: OSError) -> str:
    reason = (error.strerror or "the disk refused").lower()
    return (
        f"{target}: could not be written ({reason}); nothing was changed. "
        "Check the free space and your rights to that folder"
    )
