"""flap_wrapper: whether card can hold a book that is better wrapped than mended, or waits for it.

Two strips of folding card lie crosswise, their middles glued together: the inner strip runs from head
to tail, the outer one from spine to fore edge. A length between two creases is counted from the middle
of the card to the middle of the card, so that the inside is that length less one card. From the floor
of the wrapper upwards lie: outer base, inner base, the book, both inner flaps (side by side), the half
flap, the full flap.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

from patterns.book.book import Book
from patterns.book.masses import ATTACHMENT_HEAVY_KG
from patterns.book.suits import Reason, Ruling, Suits, told
from patterns.errors import RecordError
from patterns.units import tenth, told_apart, trimmed

THICKEST_MM = 50.0
"""A thicker book stands too heavily on card (practice)."""
LEAST_MM = 40.0
"""Flaps of a smaller book are too short to close (practice)."""
SHORT_MM = 1.0
"""A flap ends so far short of what it could reach."""
LABEL_MM = 60.0


@dataclass(frozen=True, slots=True)
class Params:
    """Settings of the wrapper; lengths in mm."""

    clearance: float
    ties: int | None
    tape_width: float
    thumb: float


class CardStrip(NamedTuple):
    """One strip: what lies between its edges and creases, one after the other, and its width, in mm."""

    panels: tuple[float, float, float, float, float]
    """Flap, wall, base, wall, flap."""
    width: float

    @property
    def length(self) -> float:
        """From edge to edge."""
        return sum(self.panels)

    @property
    def stops(self) -> tuple[float, ...]:
        """Edge, four creases, edge."""
        return tuple(sum(self.panels[:k]) for k in range(6))

    def join(self, most: float) -> float | None:
        """Return where the strip is joined so that neither half exceeds `most`: None where it is not.

        The joint lies on the base, as near to its middle as the longer side allows.
        """
        if self.length <= most:
            return None
        _, _, start, end, _, _ = self.stops
        middle = (start + end) / 2
        return min(max(middle, self.length - most), most)


def suits(book: Book, params: Params) -> Suits:
    """Answer a book to be tied or boxed; refuse what card cannot hold."""
    reason = Reason(
        "box",
        "nothing is done to the book itself, and everything can still be done later",
        "the book is mended by nothing and is unwrapped whenever it is read",
    )
    return Suits(
        reasons=(reason,),
        missing=_missing(book),
        rulings=told(_heavy(book), _thick(book), _small(book), _large(book, params)),
    )


def _missing(book: Book) -> tuple[str, ...]:
    """Return what the outside of a book that was not measured as a whole still asks for."""
    try:
        _ = book.outside
    except RecordError as error:
        return tuple(problem.field for problem in error.problems)
    return ()


def _heavy(book: Book) -> Iterator[Ruling]:
    weight = book.weight
    if weight is not None and weight.value >= ATTACHMENT_HEAVY_KG:
        yield Ruling(
            f"{trimmed(weight.value)} kg sag in card (from {ATTACHMENT_HEAVY_KG:g} kg on): "
            "a rigid box suits, which is not covered here",
            tie_or_box=True,
        )


def _thick(book: Book) -> Iterator[Ruling]:
    thick = book.thickest_mm
    if thick > THICKEST_MM:
        found, limit = told_apart(thick, THICKEST_MM)
        yield Ruling(
            f"a book {found} mm thick stands too heavily on card (over {limit} mm): "
            "a rigid box suits, which is not covered here",
            tie_or_box=True,
        )


def _small(book: Book) -> Iterator[Ruling]:
    least = min(book.outside.greatest_mm[:2])
    if least < LEAST_MM:
        yield Ruling(
            f"flaps of a book {tenth(least)} mm high or wide are too short to close "
            f"(least {LEAST_MM:g} mm): an envelope of folded paper suits",
            tie_or_box=True,
        )


def _large(book: Book, params: Params) -> Iterator[Ruling]:
    card = book.material("card").figures
    for strip, name in zip(strips(book, params), ("inner", "outer"), strict=True):
        across, along = card.sheet_width_mm, card.sheet_length_mm
        if along is not None and strip.width > along:
            yield Ruling(_too_small(name, strip.width, "along", along), lifted_by="card=…")
        if across is not None and (at := strip.join(across)) is not None:
            _, _, start, end, _, _ = strip.stops
            if not start < at < end or strip.length - at > across:
                yield Ruling(_too_small(name, strip.length, "across", across), lifted_by="card=…")


def _too_small(name: str, asked: float, way: str, has: float) -> str:
    wanted, held = told_apart(asked, has)
    return (
        f"the {name} strip asks for {wanted} mm {way} the grain, and the card has {held} mm; "
        "take a larger card, or have a rigid box made"
    )


def strips(book: Book, params: Params) -> tuple[CardStrip, CardStrip]:
    """Return the inner strip, from head to tail, and the outer one, from spine to fore edge."""
    length, width, thick = book.outside.greatest_mm
    e, t = params.clearance, book.material("card").thickness_mm
    flap, wall = length / 2 - SHORT_MM, thick + e + t
    inner = CardStrip((flap, wall, length + e + t, wall, flap), width + e)
    outer = CardStrip(
        (
            width + e - SHORT_MM,
            thick + e + 4 * t,
            width + e + t,
            thick + e + 3 * t,
            width / 2 - SHORT_MM,
        ),
        length + e + 2 * t,
    )
    return inner, outer
