"""What the paper bears along its folds, where thread goes through it."""

from __future__ import annotations

from typing import NamedTuple

from patterns.record.record import Record

CLASSES_MN = {"strong": 600.0, "fair": 350.0, "weak": 200.0, "brittle": 100.0}
"""Tear strength of one leaf along the fold, assumed for a class of paper (memory)."""
LEAST_MN = 150.0
"""Below this, sewing needs lined folds (the project's own threshold)."""


class Strength(NamedTuple):
    """Tear strength of one leaf along the fold in mN, and how it is known."""

    tear_mn: float
    words: str
    measured: bool
    tears: bool
    """A thread through its fold tears it, unless the fold is lined."""

    @property
    def least_mn(self) -> float:
        """What one leaf must bear to be sewn through."""
        return LEAST_MN


def weak(record: Record) -> bool:
    """Tell whether one leaf was measured to tear below what a stitch in its fold asks."""
    measured = record.text_block.tear_strength
    return measured is not None and measured < LEAST_MN


def strength(record: Record, chosen: str | None) -> Strength | None:
    """Return the paper's strength: measured, or of a chosen or recorded class; None when unknown.

    Paper of which the class says brittle tears whatever was measured on one leaf of it.
    """
    measured, grade = record.text_block.tear_strength, chosen or record.condition.paper
    brittle = grade == "brittle"
    if measured is not None:
        return Strength(measured, f"{measured:g} mN measured", True, brittle or weak(record))
    if grade is None:
        return None
    held = CLASSES_MN[grade]
    return Strength(held, f"{held:g} mN assumed for {grade} paper", False, brittle)
