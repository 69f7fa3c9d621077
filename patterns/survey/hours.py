"""The studio's own hours for each structure: the only hours that a survey ever tells."""

from __future__ import annotations

from pathlib import Path

from patterns.errors import SettingError, nearest
from patterns.structures import catalogue
from patterns.survey.own import own_table

MOST_HOURS = 1000.0


def load(path: Path | None) -> dict[str, float]:
    """Read a TOML file of one table [hours], structure = hours. Raises SettingError."""
    rows = own_table(path, "hours", "structure = hours")
    return {name: _hours(name, value) for name, value in rows.items()}


def _hours(name: str, value: object) -> float:
    if name not in catalogue.names():
        close = nearest(name, catalogue.names(), 1)
        hint = f": did you mean {close[0]}?" if close else ""
        raise SettingError.kind("option", f"hours: {name} is no structure{hint}")
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0 < value <= MOST_HOURS:
        raise SettingError.kind(
            "option", f"hours: {name} = {value}: write hours from 0 to {MOST_HOURS:g}"
        )
    return float(value)
