"""A secondary sewing worked out, for the pages that show it and the words that tell it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import inf

from patterns.book.folds import Strength
from patterns.book.scattered import ThreadPath
from patterns.sewing import needle, stations
from patterns.sewing.load import Load
from patterns.sewing.scatter import StitchPlaces
from patterns.sewing.swell import Swell
from patterns.stock.materials import Material


@dataclass(frozen=True, slots=True)
class Advice:
    """What would mend a sewing that swells too much or is too weak, tried out; "" where nothing is wrong."""

    swell: str = ""
    weak: str = ""


@dataclass(frozen=True, slots=True)
class Sewn:
    """The sewing worked out: where, through what, with how much thread, under what load."""

    total: int
    folios: Mapping[int, int]
    own_holes: Mapping[int, tuple[float, ...]]
    fold: stations.FoldToSew
    arrangement: StitchPlaces
    stitching: needle.Stitching
    paper: Strength | None
    load: Load | None
    path: ThreadPath
    every: float | None
    """About every how many gatherings are sewn; None where they were named."""
    thread: Material
    swell: Swell
    searched: bool
    """ThreadPath or gatherings were chosen by searching for a way that holds and swells little."""
    advice: Advice = Advice()

    @property
    def safety(self) -> float:
        """How safely the standing block is held; as safely as can be where nothing says otherwise."""
        found = None if self.load is None else self.load.safety
        return inf if found is None else found

    @property
    def holes_mm(self) -> tuple[float, ...]:
        """Every height at which some gathering is pierced, from the head down."""
        every = self.arrangement.centres_mm
        return tuple(
            sorted({y for gathering in every for pair in self.holes(gathering) for y in pair})
        )

    @property
    def strip_letters(self) -> dict[int, str]:
        """The letter of the pricking strip that serves each sewn gathering."""
        keys = {g: (self.arrangement.strips[g], self.holes(g)) for g in self.arrangement.centres_mm}
        letters = {
            key: chr(ord("A") + k) if k < 26 else f"A{k}"
            for k, key in enumerate(sorted(set(keys.values())))
        }
        return {gathering: letters[key] for gathering, key in keys.items()}

    def holes(self, gathering: int) -> tuple[tuple[float, float], ...]:
        """The two holes of every stitch of a gathering, from the head down."""
        half = self.arrangement.stitch_mm / 2
        return tuple((c - half, c + half) for c in self.arrangement.centres_mm[gathering])
