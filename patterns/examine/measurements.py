"""The measurements themselves: figures that say the same thing twice and do not agree.

Nothing here is a fault of the book. Each finding names every field that could be the wrong one,
so that a slip of two digits is caught before anything is cut.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import replace

from patterns.examine import girths, leaves, scales, sides
from patterns.examine.facts import Facts
from patterns.examine.finding import Finding


def find(facts: Facts) -> Iterator[Finding]:
    """Yield every pair of figures of block, spine, cover and scales that does not agree."""
    for part in (leaves, girths, sides, scales):
        for finding in part.find(facts):
            yield from _still_in_doubt(finding, facts.record.measuring.checked or ())


def _still_in_doubt(finding: Finding, checked: Collection[str]) -> Iterator[Finding]:
    """Yield a doubt with the fields that were not measured again; nothing where all of them were."""
    left = tuple(name for name in finding.fields if name not in checked)
    if left:
        yield replace(finding, fields=left)
