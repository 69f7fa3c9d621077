"""Survivors that were looked at and judged to be no fault: read from a file, each with its reason."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from tests.mutation.operators import Fault

FILE = Path(__file__).with_name("judged.toml")


@dataclass(frozen=True)
class Judged:
    """A judgement, by the text of the line: it holds wherever the line is moved to."""

    file: str
    """The module's file name without its folder."""
    text: str
    was: str
    now: str
    reason: str

    def meets(self, fault: Fault) -> bool:
        """Say whether a fault is the one that was judged."""
        return (self.file, self.text, self.was, self.now) == (
            PurePosixPath(fault.file).name,
            fault.text,
            fault.was,
            fault.now,
        )


def read(file: Path = FILE) -> tuple[Judged, ...]:
    """Return the judgements of a file; ValueError names one without a reason or with other keys."""
    known = set(Judged.__dataclass_fields__)
    found = []
    for number, given in enumerate(tomllib.loads(file.read_text("utf-8")).get("fault", []), 1):
        if set(given) != known or not all(isinstance(v, str) and v.strip() for v in given.values()):
            raise ValueError(f"{file}: fault {number} needs {', '.join(sorted(known))} as texts")
        found.append(Judged(**given))
    return tuple(found)
