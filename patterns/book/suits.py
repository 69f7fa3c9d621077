"""Whether a structure suits a book: what it answers, what speaks against it, what rules it out.

`Need` is the one list of what a book may ask of a structure. A template names the needs that its
structure `answers`; the structure's `suits` says with which reasons, on this book.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal, NamedTuple

from patterns.errors import RecordError

Need = Literal[
    "board joint",
    "cover joint",
    "leaves",
    "spine",
    "gatherings",
    "paper hinge",
    "single leaves",
    "narrow cover",
    "thick fore edge",
    "fallen-in spine",
    "raised supports",
    "old sewing",
    "heavy block",
    "deep squares",
    "box",
    "lining",
    "covering",
]
"""What a book may ask for. The first five are its moving unions by their role; then paper torn over a
joint, leaves without a fold to sew through, what is out of proportion, a sewing that is too little,
and weight that drags or hangs. “box” is the need of a book that is better tied or boxed than mended,
or that waits for it. The last two no book asks for by itself: they are what other structures open."""

Opened = Literal["lining", "covering"]
"""What one structure leaves open for another to close, so that the book is finished."""
LEFT_OPEN: Mapping[Opened, str] = {
    "lining": "the lining of the spine",
    "covering": "the covering over spine and joints",
}
"""The same as the bench names it."""


LAST_RESORT = 9
"""A place from which on it comes after all others, whatever speaks against those."""


class Reason(NamedTuple):
    """What speaks for a structure as the answer to one need, and what against it as that answer."""

    need: Need
    pro: str
    con: str
    place: int = 0
    """Among all that answer this need: the lower first."""


@dataclass(frozen=True, slots=True)
class Ruling:
    """Why a structure is refused: one plain line that says what would suit."""

    words: str
    tie_or_box: bool = False
    """Tying or boxing the book is among what would suit."""
    lifted_by: str = ""
    """The setting that would lift it, such as `line_folds=yes`; "" where none does."""


@dataclass(frozen=True, slots=True)
class Suits:
    """What a structure says to one book before anything is drafted."""

    reasons: tuple[Reason, ...] = ()
    against: tuple[str, ...] = ()
    """What speaks against it whatever it is for."""
    missing: tuple[str, ...] = ()
    """Fields to be measured before it can be drafted; "a or b" where either would do."""
    rulings: tuple[Ruling, ...] = ()
    """Everything that `draft` refuses this book for with these settings, the first first."""

    @property
    def ruled_out(self) -> bool:
        """True when no setting would let it be drafted."""
        return bool(self.why_not)

    @property
    def why_not(self) -> tuple[str, ...]:
        """In words, what rules it out and no setting lifts."""
        return tuple(ruling.words for ruling in self.rulings if not ruling.lifted_by)

    @property
    def tie_or_box(self) -> bool:
        """True when it is ruled out and the book is better tied or boxed."""
        return self.ruled_out and any(ruling.tie_or_box for ruling in self.rulings)

    def answer(self, need: Need) -> Reason | None:
        """Return what it has to say to a need; None when it does not answer that."""
        return next((reason for reason in self.reasons if reason.need == need), None)


def told(*found: Iterator[Ruling]) -> tuple[Ruling, ...]:
    """Return every ruling that the measurements allow to be told.

    Each iterator is followed to its end, or to the first measurement it asks for in vain: what is
    missing is told by the template's needs.
    """
    rulings: list[Ruling] = []
    for each in found:
        try:
            rulings.extend(each)
        except RecordError:
            continue
    return tuple(rulings)
