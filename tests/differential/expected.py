"""Differences that are meant: each with a name, a reason, and what it is known by."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from tests.differential.comparing import Spot
from tests.differential.trees import DifferentialError

KEYS = {"name", "reason", "path", "structure", "before", "after"}


@dataclass(slots=True)
class Expected:
    """A difference that is meant.

    `path` is the place, `*` for any one step and `**` for any number; `structure` one of those
    drafted; `before` and `after` are regular expressions searched in what stands there.
    """

    name: str
    reason: str
    path: str
    structure: str = ""
    before: str = ""
    after: str = ""
    _place: re.Pattern[str] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        self._place = _pattern(self.path)

    @property
    def called(self) -> str:
        """Its name and all that it is known by: several entries may share a name."""
        known = [self.path, self.structure, self.before, self.after]
        return f"“{self.name}” at {' · '.join(filter(None, known))}"

    def takes(self, spot: Spot, structures: Sequence[str]) -> bool:
        """Tell whether this difference is the one meant."""
        return (
            bool(self._place.fullmatch(spot.path))
            and (not self.structure or self.structure in structures)
            and re.search(self.before, spot.before) is not None
            and re.search(self.after, spot.after) is not None
        )


def _pattern(path: str) -> re.Pattern[str]:
    """Return what a path matches: `*` is one step, or a part of one; `**` is any number of steps.

    >>> bool(_pattern("draft/**/width_mm").fullmatch("draft/answer/pieces/STRIP/width_mm"))
    True
    >>> bool(_pattern("draft/*/width_mm").fullmatch("draft/answer/pieces/STRIP/width_mm"))
    False
    """
    parts = re.split(r"(\*\*|\*)", path)
    made = {"**": ".*", "*": "[^/]*"}
    return re.compile("".join(made.get(part, re.escape(part)) for part in parts), re.DOTALL)


def load(path: Path) -> list[Expected]:
    """Read the file of expected differences. Raises DifferentialError for a wrong entry."""
    try:
        return [_expected(row, path) for row in _document(path).get("expected", [])]
    except re.error as error:
        raise DifferentialError(f"{path}: {error}") from error


def base(path: Path) -> str:
    """Return the commit that the differences are meant against. Raises DifferentialError without one."""
    found = _document(path).get("base")
    if not isinstance(found, str) or not found:
        raise DifferentialError(f"{path}: base is missing: name a commit there, or by --before")
    return found


def _document(path: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, tomllib.TOMLDecodeError) as error:
        raise DifferentialError(f"{path}: {error}") from error


def _expected(row: dict[str, str], path: Path) -> Expected:
    name = row.get("name", "without a name")
    for key in ("name", "reason", "path"):
        if not row.get(key):
            raise DifferentialError(f"{path}: {name}: {key} is missing; every entry says it")
    if unknown := set(row) - KEYS:
        raise DifferentialError(
            f"{path}: {name}: {', '.join(sorted(unknown))} is unknown; allowed are {', '.join(sorted(KEYS))}"
        )
    return Expected(**row)
