"""Figures as they are read on the page: metric, or with inches and pounds beside; stored as they were typed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from patterns import units
from patterns.errors import MendfoldError
from patterns.record.field import USED, Field
from patterns.record.fields import FIELDS, LIST_TABLES
from patterns.record.typed import Typed
from patterns.record.values import value


@dataclass(frozen=True, slots=True)
class Figures:
    """How a person reads figures."""

    inches: bool = False

    def shown(self, figure: float, unit: str) -> str:
        """Return a figure with its unit.

        >>> Figures(True).shown(24.5, "mm"), Figures().shown(24.5, "mm"), Figures(True).shown(90, "°")
        ('24.5 mm · 31/32 in', '24.5 mm', '90°')
        """
        words = (
            f"{units.trimmed(figure, 3 if unit == 'kg' else 2)}{'' if unit == '°' else ' '}{unit}"
        )
        return f"{words.rstrip()}{self.beside(figure, unit)}"

    def beside(self, figure: float, unit: str) -> str:
        """Return what stands beside a metric figure, "" where nothing does."""
        if not self.inches or unit not in ("mm", "kg"):
            return ""
        return f" · {units.inches(figure) if unit == 'mm' else units.pounds(figure)}"

    def span(self, low: float, high: float, unit: str) -> str:
        """Return what may stand in a field.

        >>> Figures(True).span(20, 2000, "mm"), Figures().span(1, 600, "")
        ('20 to 2000 mm · 25/32 in to 78 3/4 in', '1 to 600')
        """
        words = f"{low:g} to {high:g} {unit}".rstrip()
        if not self.beside(low, unit):
            return words
        least, most = (self.beside(one, unit).removeprefix(" · ") for one in (low, high))
        return f"{words} · {least} to {most}"

    def read(self, found: Typed) -> dict[str, str]:
        """Return what every figure comes to, by field, where its own words do not say it."""
        rows = ((name, self._read(*row)) for name, row in _figures(found))
        return {name: words for name, words in rows if words}

    def _read(self, field: Field, raw: Any, read: Any) -> str:
        if isinstance(read, tuple):
            return ", ".join(self.shown(one, field.unit) for one in read) if self.inches else ""
        words = self.shown(read, field.unit)
        if field.repeated and isinstance(raw, list) and len(raw) > 1:
            apart = ""
            if field.repeated != "spread" and (each := _each(field, raw)):
                apart = f", {units.trimmed(max(each) - min(each))} mm apart"
            return f"{USED[field.repeated]}: {words}{apart}"
        return words if self.inches or isinstance(raw, str) else ""


def _each(field: Field, raw: list[Any]) -> list[float]:
    try:
        return [float(value(field, one)) for one in raw]
    except MendfoldError:
        return []


def _figures(found: Typed) -> Iterator[tuple[str, tuple[Field, Any, Any]]]:
    """Yield name, field, value as typed and value read of every figure that can be read."""
    for field in FIELDS:
        if not field.unit or field.table in LIST_TABLES:
            continue
        rows: Mapping[str, Any] = found.values.get(field.table) or {}
        if field.key in rows:
            typed = found.tables.get(field.table, {}).get(field.key)
            yield field.name, (field, typed, rows[field.key])
