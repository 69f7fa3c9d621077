"""What is known of one book before it is judged: its spine, its weights, what kind of cover it has."""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

from patterns.book.answer import Answer
from patterns.book.block import leaves_by_gatherings
from patterns.book.book import Book
from patterns.book.spine import Spine
from patterns.record.record import Record
from patterns.stock.materials import Library


class Facts(NamedTuple):
    """One book before anything is worked out on it; what cannot be told is None."""

    book: Book

    @property
    def record(self) -> Record:
        """What was read off the book, for holding one reading against another."""
        return self.book.record

    @property
    def stock(self) -> Library:
        """All known materials."""
        return self.book.stock

    @property
    def spine(self) -> Spine | None:
        """The spine; None where the record does not give it."""
        return self.book.shape

    @property
    def mass(self) -> Answer | None:
        """The text block's mass in kg."""
        return self.book.block_mass

    @property
    def boards_kg(self) -> float | None:
        """Both boards together, as weighed."""
        return self.book.boards_kg

    @property
    def limp(self) -> bool:
        """True for a limp cover or a wrapper: sides that fold, without a shoulder to turn on."""
        return self.book.limp

    @property
    def reading_mm(self) -> float:
        """± of one reading in mm."""
        return self.book.reading.value

    @property
    def heavy(self) -> bool:
        """True when the block drags on what holds it to its boards."""
        return self.book.heavy_for_attachment

    @property
    def leaves(self) -> int | None:
        """Leaves as counted, else gatherings × leaves in a gathering."""
        block = self.record.text_block
        return block.leaves if block.leaves is not None else self.leaves_by_gatherings

    @property
    def leaves_by_gatherings(self) -> int | None:
        """Leaves by the gatherings, irregular ones at their own number of folios."""
        return leaves_by_gatherings(self.record)


def gather(record: Record, library: Library, search_share: float = 1.0) -> Facts:
    """Return what is known of a record's book before it is judged."""
    return Facts(replace(Book.of(record, library), search_share=search_share))
