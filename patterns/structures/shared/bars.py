"""What a piece over a newly sewn spine says of the bars, which stand out by the thread."""

from __future__ import annotations

from patterns.book.book import Book

EASED = "its ease takes that up"
COUNTED = "counted in full"


def over_bars(book: Book, how: str) -> tuple[str, ...]:
    """Say what a piece lies on over the bars, and how it allows for them; nothing without a sewing."""
    if not book.bars_mm:
        return ()
    return (f"over the bars of the sewing: on {book.lies_on_mm + book.bars_mm:.2f} mm, {how}",)
