"""What several structures say against themselves on a book, and what they refuse alike."""

from __future__ import annotations

from collections.abc import Iterator

from patterns.book.book import Book
from patterns.book.suits import Ruling

HEATED = (
    "a step heats the book, and parchment shrinks for good under heat; "
    "choose another way of setting the bond, or another structure"
)


def heat(book: Book, adhesive: str) -> Iterator[Ruling]:
    """Refuse to set the adhesive of this role by heat on parchment."""
    if book.condition.parchment and book.materials[adhesive].sets == "heat":
        yield Ruling(HEATED, lifted_by=f"{adhesive}=…")


def fallen_in(book: Book) -> tuple[str, ...]:
    """Say that a spine is shaped before it is lined; nothing where it has not fallen in."""
    if not book.fallen_in:
        return ()
    return (
        "the fallen-in spine is brought back to its round and measured again before it is lined",
    )


def weak_folds(book: Book, paper: str | None, lined: bool) -> Iterator[Ruling]:
    """Refuse paper that tears at a sewing hole, unless its folds are lined.

    `paper` is the class chosen where its strength was not measured.
    """
    found = book.fold_strength(paper)
    if not lined and found is not None and found.tears:
        yield Ruling(
            f"paper of {found.words} tears at a sewing hole (least {found.least_mn:g} mN); "
            "line the folds first (--set line_folds=yes), guard the leaves (album_guards), "
            "or tie or box the book and do nothing",
            tie_or_box=True,
            lifted_by="line_folds=yes",
        )
