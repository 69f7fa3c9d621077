"""What several structures say against themselves on a book, and what they refuse alike."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from patterns.book.book import Book
from patterns.book.suits import Ruling
from patterns.structures.shared import conditions


def heat(book: Book, adhesive: str) -> Iterator[Ruling]:
    """Refuse to set the adhesive of this role by heat where the book bears none."""
    if book.materials[adhesive].sets == "heat":
        for ruling in conditions.refusals(book.condition, conditions.HEATED):
            yield replace(ruling, lifted_by=f"{adhesive}=…")


def limp(book: Book) -> Iterator[Ruling]:
    """Refuse for a limp cover what is done to boards."""
    if book.limp:
        yield Ruling(
            "a limp cover has no boards; sewn tissue carries its sides (tissue_hinge), and where its spine is too narrow "
            "it is widened (cover_widening)"
        )


def fallen_in(book: Book) -> tuple[str, ...]:
    """Say that a spine is shaped before it is lined; nothing where it has not fallen in."""
    if not book.fallen_in:
        return ()
    return (
        "the fallen-in spine is brought back to its round and measured again before it is lined",
    )


def no_folds(book: Book) -> Iterator[Ruling]:
    """Refuse to sew through folds where every leaf is single, and nothing is folded."""
    if book.foldless:
        yield Ruling(
            "single leaves have no fold to sew through: guard the leaves first (album_guards), and draft the sewing "
            "from the record of the new block, or tie or box the book",
            tie_or_box=True,
        )


def weak_folds(book: Book, paper: str | None, lined: bool) -> Iterator[Ruling]:
    """Refuse paper that tears at a sewing hole, unless its folds are lined.

    `paper` is the class chosen where its strength was not measured.
    """
    found = book.fold_strength(paper)
    if not lined and found is not None and found.tears:
        yield Ruling(
            f"paper of {found.words} tears at a sewing hole (least {found.least_mn:g} mN); "
            "line the folds first (line_folds=yes), guard the leaves (album_guards), "
            "or tie or box the book and do nothing",
            tie_or_box=True,
            lifted_by="line_folds=yes",
        )
