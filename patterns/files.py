"""Writing so that a reader finds all of it or none of it, whatever stops the writer.

A file or folder is first written under a hidden name beside its place, forced to the disk, and
renamed. What is on the disk before that stays as it was.
"""

from __future__ import annotations

import contextlib
import errno
import os
import sys
import unicodedata
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Literal

from patterns.errors import FileError, ProblemKind, WriteError
from patterns.reading import LARGEST_ADDED_BYTES, read_bytes
from patterns.unfinished import part_file, part_folder, write_synced

LONGEST_NAME = 120
_TAKEN = {errno.ENOTEMPTY, errno.EEXIST}
"""Errors of a rename onto a folder that holds something."""
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
    with part_folder(parent) as folder:
        for name, data in files.items():
            write_synced(folder / name, data)
        sync_folder(folder)
        yield folder


def contents(folder: Path) -> dict[str, bytes]:
    """Return every file of `folder` by name, hidden ones left out.

    What is no plain file maps to nothing. Raises OSError for the folder, FileError for a file that
    cannot be read or is larger than any that is kept.
    """
    return {name: content(folder / name) for name in names_in(folder)}


def names_in(folder: Path) -> list[str]:
    """Return the names of all that is in a folder, sorted, hidden ones left out. Raises OSError."""
    return sorted(path.name for path in folder.iterdir() if not path.name.startswith("."))


def content(path: Path) -> bytes:
    """Return what is in a file; nothing for what is no plain file. Raises FileError."""
    return read_bytes(path, LARGEST_ADDED_BYTES) if path.is_file() else b""


def _paths(folder: Path) -> list[Path]:
    """Return what a folder holds, sorted; nothing when another writer has just set it aside."""
    try:
        return sorted(folder.iterdir())
    except FileNotFoundError:
        return []


def _holds(folder: Path, files: Mapping[str, bytes]) -> bool:
    """Return whether a folder holds exactly these files, hidden ones left out."""
    there = [path for path in _paths(folder) if not path.name.startswith(".")]
    return [path.name for path in there] == sorted(files) and all(
        holds_just(path, files[path.name]) for path in there
    )


def holds_just(path: Path, data: bytes) -> bool:
    """Return whether `path` is a plain file with this very content."""
    try:
        return read_bytes(path, len(data)) == data
    except FileError:
        return False


def write_folder(
    target: Path, files: Mapping[str, bytes], force: bool = False
) -> Literal["written", "unchanged"]:
    """Write `files` as the folder `target`, whole or not at all.

    A folder that already holds exactly these files is left: "unchanged". A different one is
    refused unless `force`; then it stays beside the new one as `NAME.earlier-1`, so that nothing
    is lost. Of several writers at once one writes, the others find what it wrote. A link in the
    folder's place is never followed. Raises WriteError.
    """
    target = _placed(target)
    try:
        _refuse_link(target)
        if target.is_dir():
            if _holds(target, files):
                return "unchanged"
            if _paths(target) and not force:
                raise different(target, "other folder")
        with _parents_undone(target.parent), staged(target.parent, files) as folder:
            _put(folder, target, force)
        sync_folder(target.parent)
    except OSError as error:
        if error.errno not in _TAKEN or not target.is_dir():
            raise WriteError(_could_not(target, error)) from error
        if not _holds(target, files):
            raise different(target, "other folder") from error
        return "unchanged"
    return "written"


def _put(folder: Path, target: Path, force: bool) -> None:
    """Rename `folder` to `target`; with `force` what is there is set aside, however often it must.

    The system itself refuses to rename onto a folder that holds something.
    """
    while True:
        aside = _set_aside(target) if force else None
        try:
            if sys.platform == "win32":  # elsewhere an empty folder gives way by itself
                with contextlib.suppress(OSError):
                    os.rmdir(target)
            os.rename(folder, target)
            return
        except BaseException as error:  # Ctrl-C too: the earlier folder goes back
            if aside is not None:
                with contextlib.suppress(OSError):
                    os.rename(aside, target)
            if not (force and isinstance(error, OSError) and error.errno in _TAKEN):
                raise


def _set_aside(target: Path) -> Path | None:
    """Rename a folder that holds something to the next free name beside it; None without one."""
    number = 1
    while not target.is_symlink() and target.is_dir() and _paths(target):
        aside = target.with_name(f"{target.name}.earlier-{number}")
        if os.path.lexists(aside):
            number += 1
            continue
        try:
            os.rename(target, aside)
        except OSError as error:
            if error.errno not in _TAKEN | {errno.ENOENT}:  # another writer was first
                raise
        else:
            return aside
    return None


def write_file(target: Path, data: bytes) -> None:
    """Write `data` as the file `target`, whole or not at all, in place of what is there.

    A link leads to the file that is written. Raises WriteError.
    """
    target = resolved(target)
    try:
        _refuse_other(target)
        with _parents_undone(target.parent):
            make_folder(target.parent)
            with part_file(target.parent, data) as part:
                os.replace(part, target)
        sync_folder(target.parent)
    except OSError as error:
        raise WriteError(_could_not(target, error)) from error


def write_new_file(
    target: Path,
    data: bytes,
    force: bool = False,
    remedy: str = "",
) -> Literal["written", "unchanged"]:
    """Write `data` as the file `target` unless another one is there; raises WriteError.

    A file with this very content is left: "unchanged". A different one is refused unless `force`;
    `remedy` says what can be done then, where it is not that. Of several writers at once one writes. A link in the
    file's place is never followed.
    """
    target = _placed(target)
    try:
        _refuse_link(target)
        _refuse_other(target)
        if holds_just(target, data):
            return "unchanged"
        if force:
            write_file(target, data)
            return "written"
        if os.path.lexists(target):
            raise different(target, "other file", remedy)
        with _parents_undone(target.parent):
            make_folder(target.parent)
            with part_file(target.parent, data) as part:
                _link(part, target, data)
        sync_folder(target.parent)
    except FileExistsError as error:
        if not holds_just(target, data):
            raise different(target, "other file", remedy) from error
        return "unchanged"
    except OSError as error:
        raise WriteError(_could_not(target, error)) from error
    return "written"


def _link(part: Path, target: Path, data: bytes) -> None:
    """Give a finished file its name; FileExistsError when something has that name already."""
    try:
        os.link(part, target)
    except FileExistsError:
        raise
    except (OSError, AttributeError, NotImplementedError):  # no links on this disk or system
        try:
            write_synced(target, data)
        except FileExistsError:
            raise
        except BaseException:
            target.unlink(missing_ok=True)
            raise


def different(target: Path, kind: ProblemKind, remedy: str = "") -> WriteError:
    """Return the refusal where something else stands already; without a remedy its kind says what to do."""
    line = f"{target}: already there and different; nothing was written"
    return WriteError(f"{line}. {remedy}") if remedy else WriteError.kind(kind, line)


def _refuse_link(target: Path) -> None:
    if target.is_symlink():
        raise WriteError(
            f"{target}: is a link to another place, and is not followed; nothing was written. "
            "Remove the link, or name another place"
        )


def _refuse_other(target: Path) -> None:
    if target.exists() and not target.is_file():
        raise WriteError(f"{target}: is a folder or a device, not a file; name another")


def _placed(target: Path) -> Path:
    """Return the whole path, links in the folders above it followed, the last name as it is."""
    if target.name in ("", ".."):
        return resolved(target)
    return resolved(target.parent) / target.name


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
