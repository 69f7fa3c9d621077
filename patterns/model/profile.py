"""The book cut across its spine: round, shoulders, boards and slots, as a section draws them."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class SlotProfile:
    """A slot in a board's spine edge: the middles of its mouth and bottom from the inner face, in mm."""

    mouth_mm: float
    bottom_mm: float
    depth_mm: float


@dataclass(frozen=True, slots=True)
class SideProfile:
    """One joint, the book shut, in mm; `board_mm` is 0 where there is no board."""

    shoulder_mm: float = 0.0
    lean_mm: float = 0.0
    """How far the shoulder's tip lies towards the fore edge of its base; 0 where it is upright."""
    gap_mm: float = 0.0
    board_mm: float = 0.0
    groove: bool = False
    slot: SlotProfile | None = None


@dataclass(frozen=True, slots=True)
class SpineProfile:
    """The spine from tip to tip, in mm; `round_mm` is 0 for a flat one, negative for one fallen in."""

    chord_mm: float
    round_mm: float = 0.0
    left: SideProfile = SideProfile()
    right: SideProfile = SideProfile()
