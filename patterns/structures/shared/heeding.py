"""How a step is done on a book in its condition: in which way, with what it sets, and what that heeds.

One answer for the draft, which tells the step so, and for examining, which says what it brings near.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import NamedTuple

from patterns.model.traits import Traits, Way
from patterns.record.record import ConditionTable
from patterns.structures.shared import conditions
from patterns.structures.shared.conditions import Instead
from patterns.structures.steps import Anew, StepTemplate

PASTE = "paste"
"""What a step sets with where the book asks for nothing else."""


class Heeded(NamedTuple):
    """A step as it is done on such a book."""

    way: Way | None
    """None: as it is done on a sound book."""
    source: Anew
    """What it says and does so, its figures not filled in."""
    bond: str
    rows: tuple[Instead, ...]
    """What it heeds, what only its way brings along last."""

    @property
    def judged(self) -> tuple[Instead, ...]:
        """What its way does not satisfy: it is left to a judgement."""
        return tuple(row for row in self.rows if not conditions.satisfied(row, self.way))


@lru_cache(maxsize=4096)
def heeded(condition: ConditionTable, step: StepTemplate) -> Heeded:
    """Return how such a book has a step done."""
    asked = conditions.changes(condition, step.traits)
    way = conditions.chosen(asked, step.offers)
    source, bond = _source(step, way)
    brought = (row for row in conditions.changes(condition, source.traits) if row not in asked)
    rows = tuple(row for row in (*asked, *brought) if way not in row.spared)
    return Heeded(way, source, bond, rows)


def _source(step: StepTemplate, way: Way | None) -> tuple[Anew, str]:
    """Return what a step says and does in one way, and what it sets with."""
    plain = step.tellings[0]
    if way is None:
        return plain, PASTE
    how = conditions.rules().ways[way]
    anew = step.ways.get(way)
    if anew is None:
        lead = "" if step.offers(way) else f"{how.lead} "
        anew = replace(plain, text=lead + step.text, traits=_turned(step.traits, how.turns))
    return replace(anew, cautions=(*anew.cautions, *how.cautions)), how.bond


def _turned(traits: Traits, turns: bool) -> Traits:
    """Return what a step does when what it wetted is reached by a solvent instead."""
    if not turns:
        return traits
    return replace(traits, wets=()) | Traits(solvent=traits.wets)
