"""Figures that cannot stand together in one book. What is merely doubtful is left to `examine`."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

Values = dict[str, Any]


def impossible(tables: Values) -> Iterator[tuple[str, str]]:
    """Yield (dotted field, words) for every contradiction among checked values (mm, kg)."""
    yield from ()
