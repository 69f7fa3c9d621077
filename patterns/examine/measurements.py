"""The measurements themselves: figures that say the same thing twice and do not agree.

Nothing here is a fault of the book. Each finding names every field that could be the wrong one,
so that a slip of two digits is caught before anything is cut.
"""

from __future__ import annotations

from collections.abc import Iterator

from patterns.examine import girths, leaves, scales, sides
from patterns.examine.facts import Facts
from patterns.examine.finding import Finding


def find(facts: Facts) -> Iterator[Finding]:
    """Yield every pair of figures of block, spine, cover and scales that does not agree."""
    for part in (leaves, girths, sides, scales):
        yield from part.find(facts)
