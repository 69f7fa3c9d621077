"""What the scattered stitches carry, what the paper bears, and what may be said of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from patterns.book.answer import Answer
from patterns.book.boards import SIDES
from patterns.book.book import Book
from patterns.book.folds import Strength
from patterns.book.results import SupportResult
from patterns.formulas import mechanics

NO_SAG_MM = 0.5
SUDDEN = 2.0
"""Factor of a suddenly applied load (textbook value)."""


class Load(NamedTuple):
    """Forces on the stitches in N, and the safety where the paper's strength is known."""

    mass: Answer
    """Of the text block, in kg."""
    standing_n: Mapping[int, tuple[float, ...]]
    """Force on each stitch of each gathering, the block standing shut and hanging."""
    greatest_n: float
    hangs: bool
    asked: float
    """The safety asked."""
    opened_n: float
    lifted_pasted_n: float
    lifted_unpasted_n: float
    needed_mn: float
    """What one leaf must bear along the fold for the asked safety, where that is most."""
    weak_gathering: int
    """Where the least is left between what a stitch bears and what its paper holds."""
    capacity_n: float | None
    """Of one stitch of that gathering."""
    safety: float | None
    safeties: Mapping[int, float]
    """By gathering; empty where the paper's strength is not known."""
    weakest: str

    @property
    def holds(self) -> bool:
        """True where the standing book is as safe as asked, so far as its paper is known."""
        return not self.hangs or self.safety is None or self.safety >= self.asked


def loads(
    book: Book,
    centres: Mapping[int, Sequence[float]],
    folios: Mapping[int, int],
    known: Strength | None,
    safety: float,
) -> Load | None:
    """Return the loads of an arrangement by its real heights; None when no weight is known.

    `centres` are stitch centres in mm by gathering, `folios` the folios of each gathering. Every sewn
    gathering carries an equal part of the weight, shared by its own stitches.
    """
    mass, width = book.block_mass, book.width_mm
    if mass is None or width is None:
        return None
    every = [(g, y) for g in sorted(centres) for y in centres[g]]
    heights = [y for _, y in every]
    shares = [1 / len(centres[g]) for g, _ in every]
    shut = mechanics.stitch_loads_n(mass.value, width, heights, shares=shares)
    opened = mechanics.stitch_loads_n(mass.value, width, heights, 90.0, shares)
    by_gathering: dict[int, list[float]] = {}
    for (gathering, _), force in zip(every, shut, strict=True):
        by_gathering.setdefault(gathering, []).append(force)
    board = book.board_mass
    counts = [len(centres[g]) for g in sorted(centres)]
    needed = [
        mechanics.needed_tear_mn(safety, force, folios[g])
        for (g, _), force in zip(every, shut, strict=True)
    ]
    worst = max(range(len(every)), key=lambda k: (needed[k], -heights[k]))
    gathering, force = every[worst][0], shut[worst]
    capacity = mechanics.stitch_capacity_n(folios[gathering], known.tear_mn) if known else None
    return Load(
        mass=mass,
        standing_n={g: tuple(forces) for g, forces in by_gathering.items()},
        greatest_n=max(shut),
        hangs=hangs(book),
        asked=safety,
        opened_n=max(opened),
        lifted_pasted_n=mechanics.lifted_load_n(mass.value, board.value, counts, True),
        lifted_unpasted_n=mechanics.lifted_load_n(mass.value, board.value, counts, False),
        needed_mn=needed[worst],
        weak_gathering=gathering,
        capacity_n=capacity,
        safety=capacity / force if capacity else None,
        safeties={
            g: mechanics.stitch_capacity_n(folios[g], known.tear_mn) / max(forces)
            for g, forces in by_gathering.items()
        }
        if known
        else {},
        weakest=f"paper at the holes of gathering {gathering}, stitch at {heights[worst]:.1f} mm",
    )


def hangs(book: Book) -> bool:
    """Tell whether the standing block hangs: where a tail square is not measured it is taken to."""
    squares = [book.square_tail(side) for side in SIDES]
    sags = any(one.assumed or one.value > NO_SAG_MM for one in squares)
    return sags and not book.expects(SupportResult)
