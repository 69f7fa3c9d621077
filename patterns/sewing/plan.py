"""From a book and a sewing's settings to the sewing itself: what every sewn lining has in common."""

from __future__ import annotations

from dataclasses import replace

from patterns.book.book import Book
from patterns.formulas import mechanics
from patterns.model.part import Check
from patterns.model.stitches import Proof, Sewing, Stitch
from patterns.sewing import advice, ways
from patterns.sewing import words as sewing_words
from patterns.sewing.sewn import Sewn
from patterns.sewing.ways import SewingSettings


def sew(book: Book, wanted: SewingSettings) -> Sewn:
    """Return the best way to sew, with what would mend it where it holds too little or swells too much.

    Raises PlacementError when no stitches fit, SettingError for settings that contradict each other.
    """
    bench = ways.bench(book, wanted)
    found = bench.best()
    return replace(found, advice=advice.of(bench, found))


def sewing(book: Book, wanted: SewingSettings, sewn: Sewn) -> Sewing:
    """Return everything the needle does, as the pattern carries it."""
    found = sewn.arrangement
    stitches = [
        Stitch(gathering, *pair, force_n=sewn.load.standing_n[gathering][k] if sewn.load else None)
        for gathering in sorted(found.centres_mm)
        for k, pair in enumerate(sewn.holes(gathering))
    ]
    heights = sorted({y for s in stitches for y in (s.from_mm, s.to_mm)})
    return Sewing(
        stations_mm=tuple(heights),
        stitches=tuple(stitches),
        path=sewn.stitching.passes,
        thread_mm=sewn.stitching.total_mm,
        proof=Proof(found.status, found.bound_mm),
        details=sewing_words.details(book, wanted, sewn),
    )


def checks(sewn: Sewn) -> tuple[Check, ...]:
    """Return the sewing's figures that statics can be asked about; none without a weight."""
    load = sewn.load
    if load is None:
        return ()
    count = sum(len(c) for c in sewn.arrangement.centres_mm.values())
    share = load.mass.value * mechanics.GRAVITY / count
    return (
        Check("shear a stitch", share, "N", "m·g/N, the weight shared evenly (statics)"),
        Check(
            "greatest force a stitch",
            load.greatest_n,
            "N",
            "shear and moment by real heights (bolt group, Shigley, 9th ed., 8-12)",
        ),
    )
