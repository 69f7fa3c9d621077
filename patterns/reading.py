"""Reading files that people name: plain files of a believable size, and nothing else.

A pipe that nobody writes to would keep the reader waiting, a device never ends, and a file of
gigabytes fills the memory before anyone sees that it was the wrong one.
"""

from __future__ import annotations

import errno
import os
import stat
import tomllib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, BinaryIO

from patterns.errors import FileError, Why

LARGEST_BYTES = 1_000_000
"""Far more than any record, treatment or list of settings holds."""
LARGEST_ADDED_BYTES = 100_000_000
"""Far more than a photograph or a sheet holds; nothing larger is kept or placed in a report."""
DEEPEST = 50
"""Dots in one key; the parser's work grows with their square."""
_KINDS: dict[int | None, tuple[Why, str]] = {
    errno.ENOENT: ("missing", "is not there"),
    errno.ENOTDIR: ("missing", "cannot be read (a file stands where its folder should be)"),
    errno.EISDIR: ("folder", "is a folder, not a file"),
    errno.EACCES: ("forbidden", "may not be read"),
    errno.EPERM: ("forbidden", "may not be read"),
}


class TooDeep(ValueError):
    """Tables or brackets within one another, deeper than anything that is meant."""


def read_bytes(path: Path, most: int = LARGEST_BYTES) -> bytes:
    """Return what is in a plain file of at most `most` bytes. Raises FileError."""
    with plain_file(path, most) as file:
        try:
            data = file.read(most + 1)  # some files do not tell their size, and others grow
        except OSError as error:
            raise _refusal(path, error) from error
    if len(data) > most:
        raise _too_large(path, most)
    return data


@contextmanager
def plain_file(path: Path, most: int) -> Iterator[BinaryIO]:
    """Open a plain file of at most `most` bytes, and nothing else, for reading. Raises FileError."""
    try:
        _look(path, path.stat(), most)  # a device is not even opened
        file = open(path, "rb", opener=_without_waiting)  # noqa: SIM115 - closed below
    except (OSError, ValueError) as error:
        raise _refusal(path, error) from error
    with file:
        _look(path, os.fstat(file.fileno()), most)  # a name may lead elsewhere meanwhile
        yield file


def _without_waiting(path: str, flags: int) -> int:
    return os.open(path, flags | getattr(os, "O_NONBLOCK", 0))


def _look(path: Path, found: os.stat_result, most: int) -> None:
    """Refuse what is no plain file, or too large."""
    if stat.S_ISDIR(found.st_mode):
        raise _refusal(path, IsADirectoryError(errno.EISDIR, ""))
    if not stat.S_ISREG(found.st_mode):
        raise FileError.about(path, "special", "is a pipe or a device, not a file")
    if found.st_size > most:
        raise _too_large(path, most)


def _too_large(path: Path, most: int) -> FileError:
    return FileError.about(path, "large", f"is over {most / 1e6:g} MB, the most that is read here")


def _refusal(path: Path, error: OSError | ValueError) -> FileError:
    number, reason = getattr(error, "errno", None), getattr(error, "strerror", None) or error
    kind, words = _KINDS.get(number, ("other", f"cannot be read ({reason})"))
    return FileError.about(path, kind, words)


def read_text(path: Path, most: int = LARGEST_BYTES) -> str:
    """Return the text of a plain UTF-8 file, a byte-order mark left out. Raises FileError."""
    try:
        text = read_bytes(path, most).decode("utf-8-sig")
    except UnicodeDecodeError:
        raise FileError.about(path, "text", "is no UTF-8 text") from None
    if "\0" in text:
        raise FileError.about(path, "text", "holds binary data, no text")
    return text


def tables(text: str) -> dict[str, Any]:
    """Return the tables of a TOML text, a byte-order mark left out; a ValueError says why there are none."""
    text = text.removeprefix("\ufeff")
    rows = text.split("\n")
    if any(row.partition("=")[0].partition("#")[0].count(".") > DEEPEST for row in rows):
        raise TooDeep("tables nested too deep")
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise TooDeep("brackets nested too deep") from None
    except tomllib.TOMLDecodeError:
        raise
    except ValueError:  # Python reads no longer figures, and says so to programmers
        raise ValueError("a figure of thousands of digits") from None
