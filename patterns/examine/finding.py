"""What an examination says: findings with their figures and limits, and choices with reasons."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from patterns.book.suits import Need

Status = Literal["published", "practice", "memory", "own"]
"""Where a limit comes from: read in a published source, common workshop practice, recalled and
not confirmed, or mendfold's own threshold."""
Topic = Literal["condition", "measurements", "unions", "proportion", "grain", "sewing"]
Call = Literal["stop", "measure", "mend", "note"]
"""What a finding asks for: stop, measure again, mend, or keep it in mind."""

NOTHING = "nothing"
"""The choice to do nothing to the book: leave it, tie it, or box it."""
BOXED = "a box or wrapper protects it as it is"


@dataclass(frozen=True, slots=True)
class Suit:
    """A structure that would suit, with a reason for and a reason against it.

    Several that belong together are joined by "+", as in "board_slot+secondary_sewing".
    """

    structure: str
    pro: str
    con: str
    boxes: bool = False
    """The book is tied, wrapped or boxed: a way beside mending, never before it."""


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing found, with the figure, the limit it is held against and what would suit."""

    key: str
    topic: Topic
    call: Call
    title: str
    words: str
    fields: tuple[str, ...]
    """The record's fields it rests on."""
    limit_source: str
    """Where the limit comes from; common practice and mendfold's own threshold are named in it."""
    status: Status
    sureness: str
    """How sure the figure is."""
    figure: float | None = None
    unit: str = ""
    limit: float | None = None
    need: Need | None = None
    """What it asks of a structure."""
    suits: tuple[Suit, ...] = ()
    """What answers its need, and what doing nothing would mean for it."""
    cautions: tuple[str, ...] = ()
    """Keys of the cautions that belong to it."""
    isolates: bool = False
    """The book is kept apart: nothing is offered to put it in."""


@dataclass(frozen=True, slots=True)
class Choice:
    """One way to go on, with what speaks for and against it; `command` drafts it."""

    structure: str
    title: str
    because: tuple[str, ...]
    """Keys of the findings it answers."""
    pros: tuple[str, ...]
    cons: tuple[str, ...]
    missing: tuple[str, ...] = ()
    """Fields still to be measured before it can be drafted."""
    leaves: tuple[str, ...] = ()
    """What it leaves to be done before the book is finished."""
    settings: tuple[str, ...] = ()
    """What is set for it, each as STRUCTURE.NAME=VALUE."""
    command: str = ""


@dataclass(frozen=True, slots=True)
class Examination:
    """Everything said about one book, in the order in which it is to be read."""

    book_id: str
    book_title: str
    findings: tuple[Finding, ...]
    stops: tuple[str, ...]
    """Why nothing may be done yet; empty when work may go on."""
    cautions: tuple[str, ...]
    """Keys of the cautions that apply to this book."""
    choices: tuple[Choice, ...]
