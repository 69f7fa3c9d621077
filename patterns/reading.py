"""Reading files that people name: plain files of a believable size, and nothing else.

A pipe that nobody writes to would keep the reader waiting, and a device never ends.
"""

from __future__ import annotations

import errno
import os
import stat
import tomllib
from pathlib import Path
from typing import Any

LARGEST_BYTES = 1_000_000
"""Far more than any record or list of settings holds."""
DEEPEST = 50
"""Dots in one key; the parser's work grows with their square."""


class TooLarge(ValueError):
    """A file is larger than anything of its kind."""


class TooDeep(ValueError):
    """Tables or brackets within one another, deeper than anything that is meant."""


def read_bytes(path: Path, most: int = LARGEST_BYTES) -> bytes:
    """Return what is in a plain file. Raises OSError, TooLarge, ValueError for a pipe or device."""
    mode = path.stat().st_mode
    if stat.S_ISDIR(mode):
        raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR), str(path))
    if not stat.S_ISREG(mode):
        raise ValueError("a pipe or a device, not a file")
    with path.open("rb") as file:
        data = file.read(most + 1)
    if len(data) > most:
        raise TooLarge(f"over {most // 1_000_000} MB")
    return data


def read_tables(path: Path) -> dict[str, Any]:
    """Return the tables of a TOML file. Raises OSError, or ValueError with the reason in words."""
    return tables(read_bytes(path).decode("utf-8-sig"))


def tables(text: str) -> dict[str, Any]:
    """Return the tables of a TOML text; a ValueError says why there are none."""
    rows = text.split("\n")
    if any(row.partition("=")[0].partition("#")[0].count(".") > DEEPEST for row in rows):
        raise TooDeep("tables nested too deep")
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise TooDeep("brackets nested too deep") from None
