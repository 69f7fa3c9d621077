"""The measurements themselves: figures that say the same thing twice and do not agree.

Nothing here is a fault of the book. Each finding names every field that could be the wrong one,
so that a slip of two digits is caught before anything is cut.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from patterns.examine import girths, leaves, scales, sides
from patterns.examine.facts import Facts
from patterns.examine.finding import Finding
from patterns.record.confirmed import meant
from patterns.record.record import Record


def find(facts: Facts) -> Iterator[Finding]:
    """Yield every pair of figures of block, spine, cover and scales that does not agree."""
    for part in (leaves, girths, sides, scales):
        for finding in part.find(facts):
            yield from _still_in_doubt(finding, facts.record)


def _still_in_doubt(finding: Finding, record: Record) -> Iterator[Finding]:
    """Yield a doubt with the readings that were not taken again; nothing where all of them were."""

    def given(name: str) -> bool:
        return record.get(name) is not None

    checked = {one for name in record.measuring.checked or () for one in meant(name, given)}
    readings = (one for name in finding.fields for one in meant(name, given) or (name,))
    left = tuple(name for name in dict.fromkeys(readings) if name not in checked)
    if any(map(given, left)):
        yield replace(finding, fields=left)
