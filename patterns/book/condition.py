"""What the condition of a book forbids or asks for, declared once for examination and draft.

A hazard that stops the work stands first on every draft and at the head of every examination; the
others say what must be handled with care.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from patterns.record.record import ConditionTable

Named = Literal["published", "practice", "memory", "own"]


@dataclass(frozen=True, slots=True)
class Hazard:
    """One thing the record may say of the book's condition, and what follows from it."""

    key: str
    """Name of the condition's field; `value` is what it must hold for the hazard to be there."""
    value: object
    stops: bool
    """Nothing is done to the book before it is judged or treated."""
    title: str
    words: str
    source: str
    status: Named
    cautions: tuple[str, ...]

    @property
    def stop(self) -> str:
        """What a draft says first of all where this hazard stops the work."""
        return f"STOP: {self.title[0].lower()}{self.title[1:]}. {self.words}"


HAZARDS = (
    Hazard(
        "mould", True, True, "Mould", "Active or not, it is isolated and judged before any other work.",
        "The National Archives (UK); Northeast Document Conservation Center", "published",
        ("mould",),
    ),
    Hazard(
        "active_pests", True, True, "Active pests",
        "The book is bagged and treated before any other work.", "common practice", "practice",
        ("pests",),
    ),
    Hazard(
        "parchment", True, True, "Parchment",
        "It moves with the air and shrinks when wetted or heated: nothing is pasted or pierced "
        "until a conservator has judged it.",
        "common practice", "practice", ("parchment", "no_moisture"),
    ),
    Hazard(
        "paper", "brittle", True, "Brittle paper at the folds",
        "It breaks along every row of holes and every stiff edge: no sewing without guards, and a "
        "conservator's judgement first.",
        "common practice", "practice", ("brittle",),
    ),
    Hazard(
        "leather", "red-rot", False, "Red-rotted leather",
        "Water blackens it for good: no paste straight onto it.",
        "conservation lists", "published", ("red_rot", "no_moisture"),
    ),
    Hazard(
        "iron_gall", True, False, "Iron-gall ink",
        "No moisture may reach it without a conservator's judgement.",
        "common practice", "practice", ("no_moisture", "solvents_on_object"),
    ),
    Hazard(
        "soluble_media", True, False, "Inks, dyes or stamps that run",
        "Every liquid is tested on everything it may reach; sewing, dry-set or solvent-set joins "
        "come before paste.",
        "common practice", "practice", ("solvents_on_object",),
    ),
    Hazard(
        "green_cloth", True, False, "Green 19th-century cloth or paper",
        "It may hold arsenic: gloves, no sanding or paring, and the book wrapped by itself.",
        "Winterthur Museum and University of Delaware", "published", ("green_cloth",),
    ),
)  # fmt: skip
"""In reading order: what stops the work first."""


def met(condition: ConditionTable) -> tuple[Hazard, ...]:
    """Return the hazards that a record's condition names, stops first."""
    return tuple(one for one in HAZARDS if getattr(condition, one.key) == one.value)
