"""Results on the disk, a line a book as it was finished: a survey ended at any moment goes on from them."""

from __future__ import annotations

import json
import os
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any, BinaryIO, Self

from patterns.errors import WriteError
from patterns.unfinished import part_file

NAME = "results.jsonl"
_START = b'{"key":"'


class Results:
    """The finished books of a survey: appended as they come, known by their keys.

    Only places in the file are held, never the results themselves.
    """

    def __init__(self, folder: Path) -> None:
        self.path = folder / NAME
        self._places: dict[bytes, int] = {}
        self._file: BinaryIO = self._opened()

    def _opened(self) -> BinaryIO:
        """Open the file after its last whole line; a torn one, and what is no result, is dropped."""
        try:
            file = self.path.open("r+b" if self.path.exists() else "w+b")
        except OSError as error:
            raise WriteError(
                f"{self.path}: cannot be written ({error.strerror}): check rights and disk"
            ) from None
        end = 0
        for line in file:
            key = _key(line)
            if not key:
                break
            self._places[key] = end
            end += len(line)
        file.seek(end)
        file.truncate()
        return file

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._file.close()

    def __contains__(self, key: str) -> bool:
        return key.encode() in self._places

    def __len__(self) -> int:
        return len(self._places)

    def add(self, found: Iterable[tuple[str, str]]) -> None:
        """Append some books by key and line, and hand them to the system at once."""
        for key, line in found:
            self._places[key.encode()] = self._file.seek(0, os.SEEK_END)
            self._file.write(f'{{"key":"{key}","told":{line}}}\n'.encode())
        self._file.flush()

    def read(self, keys: Iterable[str]) -> Iterator[dict[str, Any]]:
        """Yield what was told of each of `keys`."""
        for key in keys:
            yield json.loads(self._line(key))["told"]

    def _line(self, key: str) -> bytes:
        self._file.seek(self._places[key.encode()])
        return self._file.readline()

    def settle(self, keys: Mapping[int, str]) -> None:
        """Write the file anew, the books of `keys` in the order of their rows and nothing else."""
        places: dict[bytes, int] = {}
        with part_file(self.path.parent, b"") as part:
            with part.open("wb") as file:
                for key in dict.fromkeys(keys[row] for row in sorted(keys)):
                    places[key.encode()] = file.tell()
                    file.write(self._line(key))
                file.flush()
                os.fsync(file.fileno())
            self._file.close()
            os.replace(part, self.path)
        self._places, self._file = places, self.path.open("r+b")


def of_a_survey(path: Path) -> bool:
    """Tell whether a file was begun by a survey, be it torn in its first line. Raises WriteError."""
    try:
        with path.open("rb") as file:
            return _START.startswith(file.read(len(_START)))
    except OSError as error:
        raise WriteError(
            f"{path}: cannot be read ({error.strerror}): check rights and disk"
        ) from None


def _key(line: bytes) -> bytes:
    """Return the key of a whole line; empty for a torn one."""
    if not line.startswith(_START) or not line.endswith(b"}\n"):
        return b""
    return line[len(_START) :].partition(b'"')[0]
