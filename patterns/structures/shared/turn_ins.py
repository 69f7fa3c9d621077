"""What a lining's flanges meet on the inside of the cover: bare board, a limp side, their turn-ins."""

from __future__ import annotations

from dataclasses import dataclass

from patterns.book.boards import SIDES, Which
from patterns.book.book import Book
from patterns.units import tenth

REACHED_MM = 0.05
"""A flange that reaches less onto a turn-in is as good as clear of it."""


@dataclass(frozen=True, slots=True)
class Reached:
    """How far a flange's head and tail reach onto the turn-ins of one side, in mm."""

    head_mm: float
    tail_mm: float

    @property
    def words(self) -> str:
        """Say both, or the one that there is."""
        ends = (("head", self.head_mm), ("tail", self.tail_mm))
        return " and ".join(f"{tenth(mm)} mm at the {end}" for end, mm in ends if mm > REACHED_MM)


def reached(book: Book, setbacks: tuple[float, float]) -> dict[Which, Reached]:
    """Return each side on whose turn-ins a flange lies that stops so far short of head and tail.

    A turn-in is measured from the edge of the board or the limp side, which stands beyond the block
    by its square.
    """
    found = {}
    for side in SIDES:
        turn_in = book.turn_in_of(side).value
        head, tail = (
            max(0.0, turn_in - square - setback)
            for square, setback in zip(_squares(book, side), setbacks, strict=True)
        )
        if max(head, tail) > REACHED_MM:
            found[side] = Reached(head, tail)
    return found


def _squares(book: Book, side: Which) -> tuple[float, float]:
    """Return a side's squares at head and tail; of a limp one not measured, half its surplus height each."""
    head, tail = book.square_head(side), book.square_tail(side)
    beyond = 0.0
    if book.limp and book.side_height_mm is not None:
        beyond = max(0.0, (book.side_height_mm - book.height_mm) / 2)
    return beyond if head.assumed else head.value, beyond if tail.assumed else tail.value


def words(found: dict[Which, Reached], whose: str = "their") -> str:
    """Say where the ends of one or both flanges lie on turn-ins; "" where they lie on bare board alone."""
    return f", {whose} ends on the turn-ins ({_told(found)})" if found else ""


def _told(found: dict[Which, Reached]) -> str:
    """Say it once where front and back are alike, else of each side."""
    told = {side: one.words for side, one in found.items()}
    if len(told) == len(SIDES) and len(set(told.values())) == 1:
        return told[SIDES[0]]
    return "; ".join(f"{side} {said}" for side, said in told.items())


def warnings(found: dict[Which, Reached], setbacks: tuple[float, float]) -> tuple[str, ...]:
    """Say that the turn-ins' edges will show through, and which setbacks keep clear of them."""
    if not found:
        return ()
    clear = [
        f"setback_{end} {tenth(setback + most)}"
        for end, setback, most in (
            ("head", setbacks[0], max(one.head_mm for one in found.values())),
            ("tail", setbacks[1], max(one.tail_mm for one in found.values())),
        )
        if most > REACHED_MM
    ]
    return (
        f"the flanges lie on the turn-ins by {_told(found)}: their "
        f"edges press through, and what is pasted there is pasted to the covering; with {' and '.join(clear)} they stay clear",
    )
