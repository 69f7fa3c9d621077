"""What the condition of the book says of a draft: heat refused on parchment, boxes before all else."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from patterns.book.condition import met
from patterns.errors import Unsuitable
from patterns.model.part import Part, Step
from patterns.record.record import ConditionTable
from patterns.structures.shared.against import HEATED

WET = {
    "leather": ("Red-rotted leather", frozenset({"leather", "cover"}),
                "water blackens it for good: consolidate it first with a cellulose ether in ethanol, tested (practice)"),
    "iron_gall": ("Iron-gall ink", frozenset({"leaf", "spine"}),
                  "not without a conservator's judgement of this very ink"),
    "soluble_media": ("Inks, dyes or stamps that run", frozenset({"leaf", "spine", "leather", "cover"}),
                      "test every liquid on all that it may reach, or leave the step out"),
}  # fmt: skip
"""Condition → what it is called, what a wet or solvent step must not reach, what to do."""


def refuse(condition: ConditionTable, parts: Sequence[Part]) -> None:
    """Raise Unsuitable for a step that heats a book of parchment: it shrinks for good."""
    if not condition.parchment:
        return
    for part in parts:
        if any(step.traits.heats for step in part.steps):
            raise Unsuitable(f"{part.structure}: {HEATED}")


def boxes(condition: ConditionTable, steps: Sequence[Step]) -> Iterator[str]:
    """Yield what stops the work, then what each wet step meets, by the steps' numbers on the sheet."""
    found = met(condition)
    yield from (one.stop for one in found if one.stops)
    for one in found:
        if one.key not in WET:
            continue
        name, places, remedy = WET[one.key]
        wet = [
            str(number)
            for number, step in enumerate(steps, 1)
            if places & {*step.traits.wets, *step.traits.solvent}
        ]
        if wet:
            count = "step" if len(wet) == 1 else "steps"
            yield f"{name}: moisture may reach it in {count} {', '.join(wet)}; {remedy}."
