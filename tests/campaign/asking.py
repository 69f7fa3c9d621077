"""One thing asked of the program: files in a folder of their own, and commands that are run there."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import NamedTuple, Self

Command = tuple[str, ...]


class Looks(NamedTuple):
    """What one ask is also asked: each costs many times what a draft does, so not of every one."""

    sheets: bool = False
    """Lay out the sheets of what is drafted, print them and judge them."""
    examine: bool = False
    """Examine the book as well."""


@dataclass(frozen=True, slots=True)
class Ask:
    """Files and commands; the same for the same seed and number."""

    kind: str
    sort: str
    """What it is counted with: a structure, or the kind of a file."""
    name: str
    files: Mapping[str, bytes]
    commands: tuple[Command, ...]
    odd: str = ""
    """The file that was drawn, and is made small when it fails."""
    sheets: bool = False
    """Lay out the sheets as well, nine tenths of a draft's time, and judge them."""

    def with_file(self, data: bytes) -> Self:
        """Return it with other content in its odd file."""
        return replace(self, files={**self.files, self.odd: data})

    def with_commands(self, commands: tuple[Command, ...]) -> Self:
        """Return it with other commands."""
        return replace(self, commands=commands)
