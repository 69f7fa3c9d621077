"""What a step does to the book as it is, and in which way: what structures are asked about."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

Where = Literal["leaf", "leather", "board", "cover", "spine"]
"""Parts of a book as it is: leaves and their folds; the skin over spine and boards, whatever it is
of; bare boards and paste-downs; the cover inside, or a limp one; the back of the block."""
Way = Literal["dry", "solvent", "sparing"]
"""How a step is done where the book bears no water: dry, by a solvent, or with nearly dry adhesive."""


@dataclass(frozen=True, slots=True)
class Traits:
    """What a step does to the book as it is, part by part; nothing of it is read from the text."""

    wets: tuple[Where, ...] = ()
    """Water or a wet adhesive reaches it."""
    heats: tuple[Where, ...] = ()
    solvent: tuple[Where, ...] = ()
    """A solvent reaches it."""
    cuts: tuple[Where, ...] = ()
    """Cut, slotted, drilled, pierced or taken apart: what cannot be undone."""
    covers: tuple[Where, ...] = ()
    """Evidence on it is hidden by what is laid over it."""
    dusts: tuple[Where, ...] = ()
    """Slotted, drilled, sanded or pared: its dust comes off."""

    def __or__(self, other: Traits) -> Traits:
        """Return what two steps do together, each part once.

        >>> Traits(wets=("leaf",)) | Traits(wets=("spine", "leaf"), cuts=("board",))
        Traits(wets=('leaf', 'spine'), heats=(), solvent=(), cuts=('board',), covers=(), dusts=())
        """
        return Traits(*(tuple(dict.fromkeys((*a, *b))) for a, b in zip(self, other, strict=True)))

    def __iter__(self) -> Iterator[tuple[Where, ...]]:
        """Yield the parts by trait, in order."""
        return iter((self.wets, self.heats, self.solvent, self.cuts, self.covers, self.dusts))


NO_TRAITS = Traits()
"""What a step does that leaves the book as it is."""
