"""The old sewing: where it passes the fold, and where its heights count from."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from math import hypot
from typing import NamedTuple

from patterns.book.answer import Answer, certain, recorded
from patterns.errors import RecordError
from patterns.record.needs import needed
from patterns.record.record import Record


class OldSewing(NamedTuple):
    """Old holes and supports of the common fold, in mm from the head of the text block."""

    holes_mm: tuple[float, ...]
    """Kettles and single holes at their height; of a support the hole at each of its sides."""
    supports_mm: tuple[float, ...]
    """Middles of tapes, cords or bands."""
    support_width_mm: float
    """0 where there is no support."""
    rise_mm: float | None
    """How far raised supports stand out from the spine; None where it was not measured."""
    lacing_mm: tuple[float, ...]
    """Where boards may have been laced on: the supports, else all stations; a case is never laced."""
    kettles_taken: bool
    """First and last station are taken as kettles, for want of a word about them."""

    def over_mm(self, count: int) -> float | None:
        """Return how much longer the way over so many raised supports is than past them, in mm.

        Over one of width w and height r it is 2·√(r² + (w/2)²), less w where it was flat; None
        where their height was not measured.
        """
        if self.rise_mm is None:
            return None
        wide = self.support_width_mm
        return count * (2 * hypot(self.rise_mm, wide / 2) - wide)


def shift_mm(record: Record, height_mm: float) -> float:
    """Return what is added to a recorded station to count it from the head; 0 when recorded so.

    Heights counted from the first kettle do not say where the head is: the kettles are then
    taken to stand equally far from head and tail. Raises RecordError where no kettle is recorded.
    """
    sewing = record.sewing
    if sewing.stations_from != "kettle":
        return 0.0
    known = certain(sewing.kettles or sewing.stations, "sewing.kettles|sewing.stations")
    return max(0.0, (height_mm - (known[-1] - known[0])) / 2 - known[0])


def old_sewing(record: Record, height_mm: float) -> OldSewing:
    """Return what the old sewing leaves along the fold.

    Raises RecordError for supports whose width is not measured.
    """
    sewing, shift = record.sewing, shift_mm(record, height_mm)
    supports = _shifted(sewing.supports_at, shift)
    width = _support_width(record) if supports else 0.0
    stations = _shifted(sewing.stations, shift)
    recorded_at = {
        *_shifted(sewing.kettles, shift), *_shifted(sewing.holes_at, shift), *stations
    }  # fmt: skip
    single = {y for y in recorded_at if all(abs(y - s) > width / 2 for s in supports)}
    return OldSewing(
        holes_mm=tuple(sorted({*single, *support_holes(supports, width)})),
        supports_mm=supports,
        support_width_mm=width,
        rise_mm=sewing.support_height,
        lacing_mm=() if record.cover.kind == "case" else supports or stations,
        kettles_taken=not sewing.kettles and bool(stations),
    )


def _support_width(record: Record) -> float:
    width = record.sewing.support_width
    if width is None:
        raise RecordError(
            "sewing.support_width is needed beside supports_at: measure one support, head to tail, "
            "0.2 to 80 mm",
            [needed("sewing.support_width")],
        )
    return width


def support_holes(supports_mm: Iterable[float], support_width_mm: float) -> tuple[float, ...]:
    """Return the two old holes of every support that has one each side, in mm from the head.

    Reckoned in decimals, so that no rounding moves a hole.

    >>> support_holes([60, 120], 12)
    (54.0, 66.0, 114.0, 126.0)
    """
    half = Fraction(str(support_width_mm)) / 2
    return tuple(float(Fraction(str(s)) + side) for s in supports_mm for side in (-half, half))


def tie_down(record: Record) -> Answer:
    """Return how far from head and tail sewn endbands are tied down, in mm."""
    return recorded(record.sewing.tie_down, 0.0, "none recorded: no tie-downs")


def _shifted(heights: tuple[float, ...] | None, shift: float) -> tuple[float, ...]:
    return () if heights is None else tuple(y + shift for y in heights)
