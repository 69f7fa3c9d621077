"""What may be set of a scattered sewing, whichever structure sews it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

ThreadPath = Literal["fold", "loops", "continuous"]
"""How the thread goes: along the fold, in loops of its own, or on from gathering to gathering."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ScatteredSewing:
    """Settings of a scattered sewing, by the names that a structure's parameters have; lengths in mm."""

    edge: float
    every: float | None
    gatherings: tuple[int, ...] | None
    stitches: int | None
    stitch: float
    clear: float
    end: float | None
    strips: int | None
    path: ThreadPath | None
    layout: Literal["best", "classes"]
    fixed: str
    reuse: bool
    safety: float
    paper: Literal["strong", "fair", "weak", "brittle"] | None
