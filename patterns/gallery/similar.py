"""Which past books are nearest to a new one, and in what they differ.

Two figures that differ by a tenth of the larger are 1 apart, two words that differ are 2 apart; a
feature the past book's record lacks counts 1.5. The distance of two books is the root of the mean
square over every feature of the new book. The weights are this project's own.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from patterns.gallery.index import GalleryEntry

TENTH = 0.1
MOST = 5.0
OTHER_WORD = 2.0
UNKNOWN = 1.5


@dataclass(frozen=True, slots=True)
class Compared:
    """One feature of two books; `found` is None when the past book lacks it."""

    name: str
    asked: float | str
    found: float | str | None
    distance: float


@dataclass(frozen=True, slots=True)
class Near:
    """A past book with its distance and every compared feature, the farthest first."""

    entry: GalleryEntry
    """The pattern of it that was kept last."""
    distance: float
    features: tuple[Compared, ...]
    patterns: tuple[str, ...]
    """Every pattern of it, by name."""


def nearest(
    asked: Mapping[str, float | str], entries: Iterable[GalleryEntry], most: int = 5
) -> list[Near]:
    """Return the `most` books nearest to one with the features `asked`, nearest first.

    A book is measured by its pattern kept last. Books that share no feature are left out; equal
    distances stand in order of name.
    """
    books: dict[str, list[GalleryEntry]] = {}
    for entry in entries:
        books.setdefault(entry.id or entry.name, []).append(entry)
    found = []
    for patterns in books.values():
        entry = max(patterns, key=lambda one: (one.kept, one.name))
        if not asked.keys() & entry.features.keys():
            continue
        rows = [_compare(name, value, entry.features.get(name)) for name, value in asked.items()]
        mean = sum(row.distance**2 for row in rows) / len(rows)
        names = tuple(sorted(one.name for one in patterns))
        found.append((math.sqrt(mean), entry.name, entry, rows, names))
    found.sort(key=lambda one: one[:2])
    return [
        Near(entry, distance, tuple(sorted(rows, key=lambda row: (-row.distance, row.name))), names)
        for distance, _, entry, rows, names in found[:most]
    ]


def _compare(name: str, asked: float | str, found: float | str | None) -> Compared:
    if found is None:
        distance = UNKNOWN
    elif isinstance(asked, str) or isinstance(found, str):
        distance = 0.0 if asked == found else OTHER_WORD
    else:
        larger = max(abs(asked), abs(found))
        distance = min(MOST, abs(asked - found) / (TENTH * larger)) if larger else 0.0
    return Compared(name, asked, found, distance)
