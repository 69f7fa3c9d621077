"""Which thread a scattered sewing is sewn with, where none was given."""

from __future__ import annotations

from collections.abc import Iterator

from patterns.book.book import Book
from patterns.book.folds import Strength
from patterns.formulas import mechanics
from patterns.stock.materials import Material

USUAL = "linen thread 35/3"
"""The thinnest thread of a heavy book, and the one taken where its paper is not known (practice)."""
CN_TEX = 20.0
"""Breaking force for the tex of a thread that was not tried: the lower end for flax (memory)."""


def breaks_n(thread: Material) -> float:
    """Return a thread's breaking force in N: its own, else by its tex; 0 where neither is known."""
    if thread.strength_n is not None:
        return thread.strength_n
    return 0.0 if thread.tex is None else thread.tex * CN_TEX / 100


def chosen(book: Book, known: Strength | None) -> Material:
    """Return the thread: as given by hand, else the thinnest that outlasts the paper five times.

    From 1.5 kg of block on none is thinner than 35/3. Where no thread is strong enough, the strongest.
    """
    if "thread" in book.by_hand:
        return book.materials["thread"]
    if known is None:
        return book.materials["thread"]
    strong = list(strong_enough(book, known))
    if strong:
        return min(strong, key=lambda one: (book.diameter_mm(one), one.name))
    return max(
        _candidates(book),
        key=lambda one: (breaks_n(one), one.name),
        default=book.materials["thread"],
    )


def holds_n(book: Book, known: Strength) -> float:
    """Return what the paper of one stitch in a usual gathering holds, in N."""
    return mechanics.stitch_capacity_n(int(book.folios.value), known.tear_mn)


def strong_enough(book: Book, known: Strength | None) -> Iterator[Material]:
    """Yield every thread that breaks at no less than five times what the paper of a stitch holds."""
    least = 0.0 if known is None else mechanics.THREAD_OVER_PAPER * holds_n(book, known)
    for thread in _candidates(book):
        if breaks_n(thread) >= least:
            yield thread


def _candidates(book: Book) -> Iterator[Material]:
    usual = book.stock.find(USUAL, "thread").tex
    light = book.block_mass is not None and not book.heavy_for_attachment
    least = 0.0 if light or usual is None else usual
    for material in book.stock.materials:
        if material.kind != "thread" or material.tex is None or material.diameter_mm is None:
            continue
        if material.tex >= least:
            yield material
