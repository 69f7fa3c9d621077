"""The folder that the bench works in: records and drafts by number, the gallery beside them.

A number leads to a file that was found here, never a name that was typed. What is a link is left out:
it would lead out of the folder.
"""

from __future__ import annotations

import os
import threading
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from patterns.bench.desk import OpenBook, reopened
from patterns.bench.figures import Figures
from patterns.errors import MendfoldError, RecordError, WriteError
from patterns.files import resolved, why_unsafe, write_file
from patterns.reading import LARGEST_ADDED_BYTES, read_bytes
from patterns.record import reading
from patterns.record.fields import TABLES
from patterns.record.text import read_text as read_record

DRAFT = ".draft.json"
_OWN = {name.partition(".")[0] for name in TABLES}


@dataclass(frozen=True, slots=True)
class OnShelf:
    """A book as the shelf shows it."""

    number: int
    file: str
    id: str = ""
    title: str = ""
    drafted: bool = False
    """Something was typed that is not saved yet."""
    trouble: str = ""
    """Why it cannot be opened."""


@dataclass(slots=True)
class Shelf:
    """A folder's records; a number once given stays with its file until the bench is closed."""

    folder: Path
    numbers: dict[int, str] = field(default_factory=dict)
    lock: threading.RLock = field(default_factory=threading.RLock)

    def __post_init__(self) -> None:
        self.folder = resolved(self.folder.expanduser())

    @property
    def hidden(self) -> Path:
        """Where drafts and the bench's own files lie."""
        return self.folder / ".bench"

    @property
    def address_file(self) -> Path:
        """What a second start finds the first by."""
        return self.hidden / "address"

    @property
    def gallery(self) -> Path:
        """The folder of kept patterns."""
        return self.folder / "gallery"

    @property
    def figures(self) -> Figures:
        """How figures are read here: as it was chosen last."""
        return Figures(self._inches.is_file())

    def read_inches(self, yes: bool) -> None:
        """Choose how figures are read. Raises WriteError."""
        if yes:
            write_file(self._inches, b"")
        else:
            self._inches.unlink(missing_ok=True)

    @property
    def _inches(self) -> Path:
        return self.hidden / "inches"

    def books(self) -> list[OnShelf]:
        """Return every book, by its file's name."""
        with self.lock:
            return [self._shown(self._number(file), file) for file in sorted(self._files())]

    def file(self, number: int) -> str:
        """Return the file of a number. Raises KeyError."""
        return self.numbers[number]

    def new(self) -> int:
        """Return the number of a new book; its file is written when it is saved first."""
        with self.lock:
            count = 1
            taken = {*self._files(), *self.numbers.values()}
            while (file := f"book-{count}.toml") in taken or (self.folder / file).exists():
                count += 1
            return self._number(file)

    def take(self, number: int) -> OpenBook:
        """Return a book as it was left. Raises RecordError for a text that is no record."""
        file = self.file(number)
        text = self.text(file)
        draft = self._draft(file)
        if draft.is_file():
            return reopened(read_bytes(draft, LARGEST_ADDED_BYTES), text, file)
        reading.unchecked(text, file)
        return OpenBook(file, text)

    def text(self, file: str) -> str:
        """Return a record's text as it is on the disk now, empty where it was never saved."""
        path = self.folder / file
        return read_record(path) if path.is_file() and not path.is_symlink() else ""

    def remember(self, desk: OpenBook) -> None:
        """Write what was typed, so that a reload or a crash loses nothing. Raises WriteError."""
        write_file(self._draft(desk.file), desk.to_json().encode())

    def save(self, desk: OpenBook) -> None:
        """Write a book's record in place of what it was opened from. Raises MendfoldError."""
        text = desk.savable()
        with self.lock:
            if self.text(desk.file) != desk.base:
                raise WriteError(
                    f"{desk.file} was changed by another program since it was opened here, and is left "
                    "as it is; nothing was saved. Open the book anew to see what is there now"
                )
            before, file = desk.file, self._own(desk)
            path = self.folder / file
            if path.is_symlink():
                raise WriteError(f"{file} is a link to another place, and is not followed")
            write_file(path, text.encode())
            self.numbers = {
                number: file if known == before else known for number, known in self.numbers.items()
            }
            desk.file = file
        desk.saved(text)
        self.remember(desk)
        if file != before:
            self._draft(before).unlink(missing_ok=True)

    def _own(self, desk: OpenBook) -> str:
        """Return the file that a book is saved in: the first time one that bears its id, where that is free."""
        file = f"{desk.words.get('book.id', '')}.toml"
        taken = file in self.numbers.values() or os.path.lexists(self.folder / file)
        return desk.file if desk.base or taken or why_unsafe(file) else file

    def _draft(self, file: str) -> Path:
        return self.hidden / f"{file}{DRAFT}"

    def _number(self, file: str) -> int:
        for number, known in self.numbers.items():
            if known == file:
                return number
        number = len(self.numbers) + 1
        self.numbers[number] = file
        return number

    def _files(self) -> Iterator[str]:
        """Yield the files of records, and of drafts that were never saved."""
        found: dict[str, None] = {}
        if self.folder.is_dir():
            for path in self.folder.glob("*.toml"):
                if path.is_file() and not path.is_symlink() and not path.name.startswith("."):
                    found[path.name] = None
        for path in self.hidden.glob(f"*.toml{DRAFT}") if self.hidden.is_dir() else ():
            file = path.name.removesuffix(DRAFT)
            if not (self.folder / file).exists():
                found[file] = None
        yield from (file for file in found if self._is_record(file))

    def _is_record(self, file: str) -> bool:
        """Tell a record from the other plain files of a studio: stock, materials, a treatment."""
        try:
            text = self.text(file)
            tables = reading.tables_of(text, file)
        except MendfoldError:
            return True  # shown with what is wrong with it
        return not text or bool(_OWN & tables.keys()) or not tables

    def _shown(self, number: int, file: str) -> OnShelf:
        try:
            desk = self.take(number)
        except RecordError as error:
            return OnShelf(number, file, trouble=str(error))
        words = desk.words
        return OnShelf(
            number, file, words.get("book.id", ""), words.get("book.title", ""), desk.unsaved
        )
