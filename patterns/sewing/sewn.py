"""A secondary sewing worked out, for the pages that show it and the words that tell it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from patterns.book.book import Book
from patterns.sewing import needle, stations
from patterns.sewing.load import Load, Paper
from patterns.sewing.scatter import Arrangement


@dataclass(frozen=True, slots=True)
class Sewn:
    """The sewing worked out: where, through what, with how much thread, under what load."""

    total: int
    folios: Mapping[int, int]
    own_holes: Mapping[int, tuple[float, ...]]
    fold: stations.Fold
    arrangement: Arrangement
    stitching: needle.Stitching
    paper: Paper | None
    load: Load | None

    def holes(self, gathering: int) -> tuple[tuple[float, float], ...]:
        """The two holes of every stitch of a gathering, from the head down."""
        half = self.arrangement.stitch_mm / 2
        return tuple((c - half, c + half) for c in self.arrangement.centres_mm[gathering])


def old_holes(book: Book) -> tuple[tuple[float, ...], tuple[float, ...], float]:
    """Return old holes, support centres and support width in mm of the common fold.

    Kettles and single holes stand at their height; a support has a hole at each side. Heights
    count from the head of the text block.
    """
    sewing, shift = book.record.sewing, book.stations_shift_mm
    supports = tuple(y + shift for y in sewing.supports_at or ())
    width = sewing.support_width or 0.0
    recorded = (*(sewing.kettles or ()), *(sewing.holes_at or ()), *(sewing.stations or ()))
    beside = {y + shift for y in recorded}
    single = {y for y in beside if all(abs(y - s) > width / 2 for s in supports)}
    return tuple(sorted({*single, *stations.support_holes(supports, width)})), supports, width
