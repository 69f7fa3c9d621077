"""Files and folders still being written: hidden beside their place, locked while someone writes.

The writer holds a lock on what it writes until it is renamed or removed. The system lets go of
that lock when the process ends, however it ends; so what nobody locks was left by a process that
is gone, and the next writer in the same folder removes it. Process numbers would not do: they are
given again, and mean nothing between two machines or containers that share a folder.
"""

from __future__ import annotations

import contextlib
import os
import re
import secrets
import shutil
import stat
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

if sys.platform != "win32":
    import fcntl

HIDDEN = ".part-"
"""How the name of every unfinished file and folder begins."""
STALE_S = 3600.0
"""Where locks do not work, what nobody has touched for this long belongs to no living writer."""
_LOCKED = re.compile(rf"{re.escape(HIDDEN)}\d+-[0-9a-f]{{16}}")
"""A name made here: the process that writes it (for whoever looks), and a drawn number."""


@contextlib.contextmanager
def part_folder(parent: Path) -> Iterator[Path]:
    """Yield a new hidden folder in `parent`; what is not renamed away is removed at the end.

    What killed writers left in `parent` is removed first. Raises OSError.
    """
    with _part(parent, os.mkdir) as folder:
        yield folder


@contextlib.contextmanager
def part_file(parent: Path, data: bytes) -> Iterator[Path]:
    """Yield a new hidden file in `parent` that holds `data`, on the disk; else as `part_folder`."""
    with _part(parent, lambda path: write_synced(path, data)) as file:
        yield file


@contextlib.contextmanager
def _part(parent: Path, make: Callable[[Path], None]) -> Iterator[Path]:
    sweep(parent)
    path, lock = _begun(parent, make)
    try:
        yield path
    finally:
        _remove(path)
        _let_go(lock)


def _begun(parent: Path, make: Callable[[Path], None]) -> tuple[Path, int | None]:
    """Make something hidden and lock it; again, when a sweeper came in between."""
    while True:
        path = parent / f"{HIDDEN}{os.getpid()}-{secrets.token_hex(8)}"
        try:
            make(path)
        except BaseException:
            _remove(path)
            raise
        with contextlib.suppress(FileNotFoundError, BlockingIOError):
            lock = _lock(path)
            if lock is None or _is_still(path, lock):
                return path, lock
            os.close(lock)


@contextlib.contextmanager
def held(path: Path) -> Iterator[None]:
    """Hold the file `path` for this process alone, a hidden lock beside it; BlockingIOError where another does.

    The lock goes when the process ends, however it ends. Where nothing can be written there is none.
    """
    beside = path.with_name(f".{path.name}.lock")
    lock = _held(beside)
    try:
        yield
    finally:
        if lock is not None:
            _remove(beside)
        _let_go(lock)


def _held(beside: Path) -> int | None:
    while True:
        try:
            beside.touch()
        except OSError:  # whoever writes there says so
            return None
        with contextlib.suppress(FileNotFoundError):
            lock = _lock(beside)
            if lock is None or _is_still(beside, lock):
                return lock
            os.close(lock)


def write_synced(path: Path, data: bytes) -> None:
    """Write `data` as the new file `path` and force it to the disk; a file there is an error."""
    binary = getattr(os, "O_BINARY", 0)
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | binary, 0o666)
    try:
        rest = memoryview(data)
        while rest:
            rest = rest[os.write(handle, rest) :]
        os.fsync(handle)
    finally:
        os.close(handle)


def _lock(path: Path) -> int | None:
    """Lock a file or folder and return the handle that holds the lock; None where none can be had.

    Raises BlockingIOError when someone else holds it, FileNotFoundError when nothing is there.
    """
    if sys.platform == "win32":  # no folder can be locked there
        return None
    try:
        handle = os.open(path, os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK)
    except FileNotFoundError:
        raise
    except OSError:
        return None
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        os.close(handle)
        raise
    except OSError:  # a file system without locks
        os.close(handle)
        return None
    return handle


def _is_still(path: Path, lock: int) -> bool:
    """Return whether what is locked still stands where it was."""
    try:
        return os.path.samestat(os.lstat(path), os.fstat(lock))
    except OSError:
        return False


def _let_go(lock: int | None) -> None:
    if lock is not None:
        os.close(lock)


def _remove(path: Path) -> None:
    """Remove a hidden file or folder, if it is still there and may be removed."""
    with contextlib.suppress(OSError):
        if stat.S_ISDIR(path.lstat().st_mode):
            shutil.rmtree(path, ignore_errors=True)
        else:
            path.unlink()


def sweep(folder: Path) -> list[Path]:
    """Remove what killed writers left in a folder; return what is gone. Never fails."""
    swept: list[Path] = []
    with contextlib.suppress(OSError), os.scandir(folder) as entries:
        left = [Path(entry.path) for entry in entries if _LOCKED.fullmatch(entry.name)]
        swept += [path for path in left if remove_if_left(path, time.time())]
    return sorted(swept)


def remove_if_left(path: Path, now: float) -> bool:
    """Remove an unfinished file or folder when its writer is gone; return whether it is gone.

    What has no lock (made elsewhere or by another version) is gone by when nobody has touched it
    for an hour before `now`.
    """
    try:
        found = path.lstat()
        if not (stat.S_ISDIR(found.st_mode) or stat.S_ISREG(found.st_mode)):
            return False
        lock = _lock(path) if _LOCKED.fullmatch(path.name) else None
    except (FileNotFoundError, BlockingIOError):
        return False
    try:
        if now - found.st_mtime <= STALE_S if lock is None else not _is_still(path, lock):
            return False
        _remove(path)
        return not os.path.lexists(path)
    finally:
        _let_go(lock)
