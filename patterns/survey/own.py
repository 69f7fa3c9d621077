"""Files in which a studio or library says something of its own for a survey: TOML of one table."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from patterns import reading
from patterns.errors import FileError, SettingError


def own_table(path: Path | None, name: str, row: str) -> dict[str, Any]:
    """Return the rows of the one table `name`, none without a file. Raises SettingError.

    `name` is the option's, too; `row` shows how a row is written.
    """
    if path is None:
        return {}
    try:
        tables = reading.tables(reading.read_text(path))
    except FileError as error:
        raise SettingError.kind("option", f"{name} {error}") from None
    except ValueError as why:
        raise SettingError.kind(
            "option", f"{name} {path}: no TOML ({why}): write [{name}], then {row}"
        ) from None
    rows = tables.get(name)
    if set(tables) != {name} or not isinstance(rows, dict):
        raise SettingError.kind(
            "option", f"{name} {path}: write one table [{name}], then {row} below it"
        )
    return rows
