"""What the page wishes to see of a book, and what the drawing beside it answers: plain values."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from patterns.errors import Problem

if TYPE_CHECKING:
    from patterns.drafting.making import Made
    from patterns.examine.finding import Examination
    from patterns.record.record import Record

Want = Literal["findings", "pieces", "pages", "sheet", "made"]
"""What the book says; all pieces side by side; what sheets there are; one of them; all files."""


@dataclass(frozen=True, slots=True)
class BookWish:
    """One wish: everything that a draft goes by, as it is written, and what is wanted of it."""

    want: Want
    record: Record
    """Its text is needed by what is made alone."""
    structures: tuple[str, ...] = ()
    settings: tuple[tuple[str, str], ...] = ()
    paper: str = "A4"
    page: int = 1
    formats: tuple[str, ...] = ("svg", "pdf")

    @property
    def drafted(self) -> BookWish:
        """What its draft goes by, whatever is wanted of it."""
        return replace(self, want="pieces", page=1, formats=())


@dataclass(frozen=True, slots=True)
class FindingsSeen:
    """What the book says, and what would hold."""

    said: Examination


@dataclass(frozen=True, slots=True)
class PiecesSeen:
    """All pieces side by side, and what each structure was drafted with."""

    svg: bytes
    width_mm: float
    height_mm: float
    warnings: tuple[str, ...]
    boxes: tuple[str, ...]
    settings: dict[str, str]
    """What every setting came to, by `structure.name`, in words."""


@dataclass(frozen=True, slots=True)
class PageSeen:
    """One sheet among all."""

    title: str
    group: str
    width_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True)
class PagesSeen:
    """What sheets there are."""

    pages: tuple[PageSeen, ...]


@dataclass(frozen=True, slots=True)
class SheetSeen:
    """One sheet as it is written."""

    svg: bytes


@dataclass(frozen=True, slots=True)
class FilesSeen:
    """Every file of a draft."""

    made: Made


@dataclass(frozen=True, slots=True)
class NotDrawn:
    """Why there is nothing to see, each problem with its field or setting."""

    words: str
    problems: tuple[Problem, ...] = ()


@dataclass(frozen=True, slots=True)
class Overtaken:
    """A newer wish came before this one was answered."""


Seen = FindingsSeen | PiecesSeen | PagesSeen | SheetSeen | FilesSeen | NotDrawn | Overtaken
