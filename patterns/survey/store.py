"""Results on the disk, a line a book as it was finished: a survey ended at any moment goes on from them."""

from __future__ import annotations

import json
import os
from array import array
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any, BinaryIO, Self

from patterns.errors import WriteError
from patterns.unfinished import part_file

NAME = "results.jsonl"
_START = b'{"key":"'


class Results:
    """The finished books of a survey: appended as they come, known by their keys, at last in order.

    Only places in the file are held, never the results themselves.
    """

    def __init__(self, folder: Path) -> None:
        self.path = folder / NAME
        self._places: dict[str, int] = {}
        self._settled = array("Q")
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
        return key in self._places

    def __len__(self) -> int:
        return len(self._places)

    def add(self, found: Iterable[tuple[str, str]]) -> None:
        """Append some books by key and line, and hand them to the system at once."""
        for key, line in found:
            self._places[key] = self._file.seek(0, os.SEEK_END)
            self._file.write(f'{{"key":"{key}","told":{line}}}\n'.encode())
        self._file.flush()

    def settle(self, keys: Iterable[str]) -> None:
        """Write the file anew, the books of `keys` in this order, each key once, and nothing else: from now on only read."""
        settled, written = array("Q"), dict[str, int]()
        with part_file(self.path.parent, b"") as part:
            with part.open("wb") as file:
                for key in keys:
                    if key not in written:
                        written[key] = file.tell()
                        file.write(self._line(self._places[key]))
                    settled.append(written[key])
                file.flush()
                os.fsync(file.fileno())
            self._file.close()
            os.replace(part, self.path)
        self._settled, self._file = settled, self.path.open("r+b")
        self._places.clear()

    def read(self, numbers: Iterable[int]) -> Iterator[dict[str, Any]]:
        """Yield what was told of settled books, by their places in that order from 0."""
        for number in numbers:
            yield json.loads(self._line(self._settled[number]))["told"]

    def _line(self, place: int) -> bytes:
        self._file.seek(place)
        return self._file.readline()


def of_a_survey(path: Path) -> bool:
    """Tell whether a file was begun by a survey, be it torn in its first line. Raises WriteError."""
    try:
        with path.open("rb") as file:
            return _START.startswith(file.read(len(_START)))
    except OSError as error:
        raise WriteError(
            f"{path}: cannot be read ({error.strerror}): check rights and disk"
        ) from None


def _key(line: bytes) -> str:
    """Return the key of a whole line; empty for a torn one."""
    if not line.startswith(_START) or not line.endswith(b"}\n"):
        return ""
    return line[len(_START) :].partition(b'"')[0].decode("ascii", "replace")
