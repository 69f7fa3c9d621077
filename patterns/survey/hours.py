"""The studio's own hours for each structure: the only hours that a survey ever tells."""

from __future__ import annotations

from pathlib import Path

from patterns import reading
from patterns.errors import FileError, SettingError, nearest
from patterns.structures import catalogue

MOST_HOURS = 1000.0


def load(path: Path | None) -> dict[str, float]:
    """Read a TOML file of one table [hours], structure = hours. Raises SettingError."""
    if path is None:
        return {}
    try:
        tables = reading.tables(reading.read_text(path))
    except FileError as error:
        raise SettingError.kind("option", f"hours {error}") from None
    except ValueError as why:
        raise SettingError.kind(
            "option", f"hours {path}: no TOML ({why}): write [hours], then structure = hours"
        ) from None
    rows = tables.get("hours")
    if set(tables) != {"hours"} or not isinstance(rows, dict):
        raise SettingError.kind(
            "option", f"hours {path}: write one table [hours], then structure = hours below it"
        )
    return {name: _hours(name, value, path) for name, value in rows.items()}


def _hours(name: str, value: object, path: Path) -> float:
    if name not in catalogue.names():
        close = nearest(name, catalogue.names(), 1)
        hint = f": did you mean {close[0]}?" if close else ""
        raise SettingError.kind("option", f"hours {path}: {name} is no structure{hint}")
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0 < value <= MOST_HOURS:
        raise SettingError.kind(
            "option", f"hours {path}: {name} = {value}: write hours from 0 to {MOST_HOURS:g}"
        )
    return float(value)
