"""What a report is made of: paragraphs, tables, pictures, under headings."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from patterns.report.unions import Join


@dataclass(frozen=True, slots=True)
class Text:
    """A paragraph."""

    words: str


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under heads; every row as long as the heads."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Unions:
    """The picture of sewn and pasted unions."""

    joins: tuple[Join, ...]


@dataclass(frozen=True, slots=True)
class Photograph:
    """One picture with its words; `file` lies beside the report."""

    file: str
    caption: str


Fetch = Callable[[str], bytes | None]
"""Returns a file that lies beside treatment.toml, by its name, or None."""
Passage = Text | Table | Unions | Photograph


@dataclass(frozen=True, slots=True)
class Section:
    """A part of the report under its own heading."""

    title: str
    blocks: tuple[Passage, ...]


@dataclass(frozen=True, slots=True)
class Report:
    """The whole report: the book's photograph and a paragraph, then its parts."""

    title: str
    book_id: str
    made: str
    """Structures, in words."""
    lead: Photograph | None
    """The book itself, as it came wherever it was photographed then."""
    opening: str
    foot: str
    sections: tuple[Section, ...]

    @property
    def photographs(self) -> tuple[Photograph, ...]:
        """Every photograph after the first."""
        blocks = (block for section in self.sections for block in section.blocks)
        return tuple(block for block in blocks if isinstance(block, Photograph))
