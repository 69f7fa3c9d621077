"""What the condition of a book forbids or asks for, declared once for examination and draft.

A hazard that stops the work stands first on every draft and at the head of every examination; the
others say what must be handled with care.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields
from functools import lru_cache
from typing import Literal, NamedTuple

from patterns.record.record import ConditionTable

Named = Literal["published", "practice", "memory", "own"]


class Hazard(NamedTuple):
    """One thing the record may say of the book's condition, and what follows from it."""

    key: str
    """Name of the condition's field; `value` is what it must hold for the hazard to be there."""
    value: object
    """True: whatever the field holds, unless that is nothing."""
    stops: bool
    """Nothing is done to the book before it is judged or treated."""
    title: str
    words: str
    source: str
    status: Named
    cautions: tuple[str, ...]
    isolates: bool = False
    """The book is kept apart, and nothing is put round it, before it has been treated."""

    @property
    def stop(self) -> str:
        """What a draft says first of all where this hazard stops the work."""
        return f"STOP: {self.title[0].lower()}{self.title[1:]}. {self.words}"

    def met(self, condition: ConditionTable) -> bool:
        """Tell whether a record's condition names this hazard."""
        found = getattr(condition, self.key)
        return bool(found) if self.value is True else bool(found == self.value)


HAZARDS = (
    Hazard(
        "active_pests", True, True, "Active pests",
        "Isolate the book, bagged, until it has been treated; no wrapper, no other work.",
        "common practice", "practice", ("pests",), isolates=True,
    ),
    Hazard(
        "mould", "active", True, "Active mould",
        "Isolate the book until a conservator has judged it; no wrapper, no other work.",
        "The National Archives (UK); Northeast Document Conservation Center", "published",
        ("mould",), isolates=True,
    ),
    Hazard(
        "paper", "brittle", True, "Brittle paper at the folds",
        "It breaks along every row of holes and every stiff edge: no sewing without guards, and a "
        "conservator's judgement first.",
        "common practice", "practice", ("brittle",),
    ),
    Hazard(
        "parchment", True, False, "Parchment",
        "It shrinks when heated and moves with any moisture: no heat, and nearly dry adhesive alone, "
        "tested first, the parts under restraint.",
        "common practice", "practice", ("parchment", "no_moisture"),
    ),
    Hazard(
        "leather", "red-rot", False, "Red-rotted leather",
        "Water blackens it for good and heat shrinks it: nothing wet on it, nor through a facing, and no "
        "heat; it is consolidated first.",
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
        "photographs", True, False, "Photographs",
        "Papers and adhesives near them are those that pass the photographic activity test; no "
        "moisture, no solvent and no heat near them.",
        "ISO 18916", "published", ("photographs",),
    ),
    Hazard(
        "green_cloth", True, False, "Green 19th-century cloth or paper",
        "It may hold arsenic: gloves, no slotting, drilling, sanding or paring, and the book wrapped by itself.",
        "Winterthur Museum and University of Delaware", "published", ("green_cloth",),
    ),
    Hazard(
        "mould", "inactive", False, "Inactive mould",
        "Gloves, mask and eye protection; moisture wakes it.",
        "The National Archives (UK); Northeast Document Conservation Center", "published",
        ("mould",),
    ),
)  # fmt: skip
"""In reading order: what stops the work first."""

CALLED = {
    "paper": "paper at the folds",
    "leather": "leather",
    "mould": "mould",
    "parchment": "parchment",
    "photographs": "photographs",
    "iron_gall": "iron-gall ink",
    "green_cloth": "green 19th-century cloth or paper",
    "soluble_media": "inks, dyes or stamps that run",
    "active_pests": "active pests",
}
"""What each field of the condition is called in a sentence."""
_NAMES = tuple(field.name for field in fields(ConditionTable))


@lru_cache(maxsize=64)
def met(condition: ConditionTable) -> tuple[Hazard, ...]:
    """Return the hazards that a record's condition names, stops first."""
    return tuple(one for one in HAZARDS if one.met(condition))


def in_words(condition: ConditionTable) -> str:
    """Return what the record says of the condition, and what it leaves unsaid.

    >>> in_words(ConditionTable(paper="fair", mould="none", parchment=("cover",), iron_gall=False))[:64]
    'Paper at the folds fair; no mould; parchment: cover; no iron-gal'
    >>> in_words(ConditionTable())
    'Nothing of the condition is recorded: look for what harms the book, or you, before step 1.'
    """
    said = [part for name in _NAMES for part in _said(name, getattr(condition, name))]
    unsaid = [CALLED[name] for name in _NAMES if getattr(condition, name) is None]
    if not said:
        return "Nothing of the condition is recorded: look for what harms the book, or you, before step 1."
    sentence = "; ".join(said)
    look = f" Not recorded, look before step 1: {', '.join(unsaid)}." if unsaid else ""
    return f"{sentence[0].upper()}{sentence[1:]}.{look}"


def _said(name: str, value: object) -> Iterator[str]:
    """Yield what a record says of one field; nothing where it says nothing."""
    called = CALLED[name]
    match value:
        case None:
            return
        case False | () | "none":
            yield f"no {called}"
        case True:
            yield called
        case tuple():
            yield f"{called}: {' and '.join(value)}"
        case _:
            yield f"{called} {value}"
