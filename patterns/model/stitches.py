"""What the needle does, in a pattern: its stitches, its way through every fold, and how their places were found."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

Move = tuple[str, float] | tuple[str]
"""("out", y) or ("in", y) through the fold at y, ("knot",) on the fold, ("hitch", y) beside y."""


@dataclass(frozen=True, slots=True)
class Stitch:
    """One bar outside on the lining: its two ends from the head of the text block, in mm."""

    gathering: int
    from_mm: float
    to_mm: float
    force_n: float | None = None


@dataclass(frozen=True, slots=True)
class Pass:
    """What the needle does in one gathering."""

    gathering: int
    moves: tuple[Move, ...]


@dataclass(frozen=True, slots=True)
class Proof:
    """How the search for the places of the stitches ended, and the distance none can exceed."""

    status: str
    bound_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Sewing:
    """Everything the needle does."""

    stations_mm: tuple[float, ...]
    stitches: tuple[Stitch, ...]
    path: tuple[Pass, ...]
    thread_mm: float
    proof: Proof
    details: Mapping[str, object] = field(default_factory=dict)
    """Cut length per gathering, loads, capacities: what `--json` carries beyond the above."""
