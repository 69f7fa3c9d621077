"""Everything worked out for one book, all its structures together."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from patterns.model.part import Part, Step
from patterns.model.profile import SpineProfile


@dataclass(frozen=True, slots=True)
class Pattern:
    """Everything worked out for one book: what the sheets show and pattern.json says."""

    book_id: str
    book_title: str
    structures: tuple[str, ...]
    """In working order."""
    record_date: str
    """ISO date of the record's measuring; empty when the record gives none."""
    version: str
    parts: tuple[Part, ...]
    steps: tuple[Step, ...]
    """Steps of all parts merged in working order, each with the keys of its cautions."""
    warnings: tuple[str, ...]
    stops: tuple[str, ...] = ()
    """What the book's condition says before anything else, what stops the work first: boxed on the first page."""
    condition: str = ""
    """The condition as the record gives it, and what it leaves unsaid."""
    measurements: tuple[tuple[str, str], ...] = ()
    """What the overview prints of the record: name, value with unit."""
    materials: tuple[tuple[str, str], ...] = ()
    """Material as named on the sheets, and what is needed of it."""
    tools: tuple[str, ...] = ()
    undo: tuple[str, ...] = ()
    """How each union can be undone later."""
    front_on_right: bool = True
    """The front board lies at the right of a spine-wide piece (left-to-right reading)."""
    closing: str = ""
    """Whether the cover closes round all that is added over the spine; "" where nothing is."""
    figures: Mapping[str, float | bool] = field(default_factory=dict)
    """Figures of all structures together, the unit in each name."""

    profile: SpineProfile | None = None
    """The book cut across its spine, for the section; None where it is not known."""

    @property
    def boxes(self) -> tuple[str, ...]:
        """All boxed words: of the book's condition, then of each structure."""
        return (*self.stops, *(line for part in self.parts for line in part.boxes))
