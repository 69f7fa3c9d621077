"""What the scattered stitches carry, what the paper bears, and what may be said of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from patterns.book.answer import Answer
from patterns.book.boards import SIDES
from patterns.book.book import Book
from patterns.book.folds import Strength
from patterns.book.results import SupportResult
from patterns.formulas import mechanics

NO_SAG_MM = 0.5
SUDDEN = 2.0
"""Factor of a suddenly applied load (textbook value)."""


@dataclass(frozen=True, slots=True)
class Load:
    """Forces on the stitches in N, and the safety where the paper's strength is known."""

    mass: Answer
    """Of the text block, in kg."""
    standing_n: Mapping[int, tuple[float, ...]]
    """Force on each stitch of each gathering, the block standing shut and hanging."""
    greatest_n: float
    hangs: bool
    opened_n: float
    lifted_pasted_n: float
    lifted_unpasted_n: float
    needed_mn: float
    """What one leaf must bear along the fold for the asked safety."""
    capacity_n: float | None
    safety: float | None
    weakest: str


def loads(
    book: Book,
    centres: Mapping[int, Sequence[float]],
    folios: Mapping[int, int],
    known: Strength | None,
    safety: float,
) -> Load | None:
    """Return the loads of an arrangement by its real heights; None when no weight is known.

    `centres` are stitch centres in mm by gathering, `folios` the folios of each gathering.
    """
    mass, width = book.block_mass, book.width_mm
    if mass is None or width is None:
        return None
    every = [(g, y) for g in sorted(centres) for y in centres[g]]
    heights = [y for _, y in every]
    shut = mechanics.stitch_loads_n(mass.value, width, heights)
    opened = mechanics.stitch_loads_n(mass.value, width, heights, 90.0)
    by_gathering: dict[int, list[float]] = {}
    for (gathering, _), force in zip(every, shut, strict=True):
        by_gathering.setdefault(gathering, []).append(force)
    board = book.board_mass
    counts = [len(centres[g]) for g in sorted(centres)]
    fewest = min(folios[g] for g in centres)
    greatest = max(shut)
    capacity = mechanics.stitch_capacity_n(fewest, known.tear_mn) if known else None
    weakest = max(
        every, key=lambda at: (by_gathering[at[0]][list(centres[at[0]]).index(at[1])], -at[1])
    )
    return Load(
        mass=mass,
        standing_n={g: tuple(forces) for g, forces in by_gathering.items()},
        greatest_n=greatest,
        hangs=_hangs(book),
        opened_n=max(opened),
        lifted_pasted_n=mechanics.lifted_load_n(mass.value, board.value, counts, True),
        lifted_unpasted_n=mechanics.lifted_load_n(mass.value, board.value, counts, False),
        needed_mn=mechanics.needed_tear_mn(safety, greatest, fewest),
        capacity_n=capacity,
        safety=capacity / greatest if capacity else None,
        weakest=f"paper at the holes of gathering {weakest[0]}, stitch at {weakest[1]:.1f} mm",
    )


def _hangs(book: Book) -> bool:
    """Tell whether the standing block hangs: where a tail square is not measured it is taken to."""
    squares = [book.square_tail(side) for side in SIDES]
    sags = any(one.assumed or one.value > NO_SAG_MM for one in squares)
    return sags and not book.expects(SupportResult)
