"""What joint tackets bear and hold: thread against shoulder, and the thread's room in the joint."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor

from patterns.book.boards import SIDES
from patterns.book.book import Book
from patterns.formulas import mechanics
from patterns.sewing import load as sewing_load
from patterns.structures.suits.joint_tacket import Params
from patterns.units import two_figures

MOST_STATIONS = 9
THREAD_DOUBT = 1.15
"""A thread's diameter, worked out from its number, is known to ± 15 %."""


@dataclass(frozen=True, slots=True)
class TacketStrength:
    """Thread against shoulder, in N; None where a figure is unknown."""

    thread: float | None
    leaves: int
    pull: float | None
    """What one tacket bears when the book is lifted by that board, the sudden factor included."""
    paper: float | None
    paper_words: str
    needed_mn: float | None
    """What one leaf must bear for the safety asked."""
    alone: str
    """What is left out of the pull, in words."""

    @property
    def holds(self) -> float | None:
        """What gives first in N, paper or thread; None where the paper's strength is unknown."""
        if self.paper is None:
            return None
        return self.paper if self.thread is None else min(self.paper, self.thread)

    @property
    def safety(self) -> float | None:
        """How many times one tacket holds what it bears; None where either is unknown."""
        return self.holds / self.pull if self.holds is not None and self.pull else None


def strength(book: Book, params: Params, shoulder_mm: float, count: int) -> TacketStrength:
    """Compare what the thread holds with what the leaves of the shoulder hold at two holes."""
    leaves = max(1, int(shoulder_mm / book.leaf.value + 1e-9))
    known = book.fold_strength(params.paper_class)
    mass, board = book.block_mass, book.board_mass.value
    pull = sewing_load.SUDDEN * (mass.value + board) * mechanics.GRAVITY / count if mass else None
    return TacketStrength(
        thread=book.material("thread").figures.strength_n,
        leaves=leaves,
        pull=pull,
        paper=mechanics.stitch_capacity_n(leaves, known.tear_mn) if known else None,
        paper_words=known.words if known else "tear strength unknown",
        needed_mn=mechanics.needed_tear_mn(params.safety, pull, leaves) if pull else None,
        alone=f" ({book.board_mass.source})" if book.board_mass.assumed else "",
    )


def words(params: Params, found: TacketStrength) -> str:
    """Say what each tacket bears, what thread and shoulder hold, and which gives first."""
    lines = []
    if found.pull is not None:
        lines.append(
            f"lifted suddenly by a board, each tacket bears {two_figures(found.pull)} N{found.alone}"
        )
    if found.thread is not None:
        lines.append(f"the thread breaks at {two_figures(found.thread)} N")
    if found.paper is not None:
        lines.append(
            f"{found.leaves} leaves of the shoulder tear at {two_figures(found.paper)} N ({found.paper_words})"
        )
    elif found.needed_mn is not None:
        lines.append(
            f"each of {found.leaves} leaves of the shoulder must bear {two_figures(found.needed_mn)} mN at its two holes, "
            f"for a safety of {params.safety:g}"
        )
    if found.thread is None or found.paper is None or found.paper <= found.thread:
        lines.append("paper cuts first")
    else:
        lines.append("the thread gives first")
    return "; ".join(lines)


def boxes(params: Params, found: TacketStrength, count: int) -> tuple[str, ...]:
    """Return the boxed words of tackets that are too weak, with what would do."""
    safety, holds, pull = found.safety, found.holds, found.pull
    if safety is None or holds is None or pull is None or safety >= params.safety:
        return ()
    weakest = "the thread" if holds == found.thread else f"{found.leaves} leaves of the shoulder"
    enough = ceil(count * params.safety / safety - 1e-9)
    more = f"{enough} stations would do, where they fit; " if enough <= MOST_STATIONS else ""
    return (
        f"TOO WEAK LIFTED BY A BOARD: safety {floor(100 * safety) / 100:.2f}, asked {params.safety:g}; each of {count} tackets bears "
        f"{two_figures(pull)} N{found.alone} and {weakest} hold {two_figures(holds)} N. {more[:1].upper()}{more[1:]}"
        f"{'a' if more else 'A'} lining sewn through many gatherings and let into the boards (board_slot with "
        "secondary_sewing) shares the pull; or tie or box the book.",
    )


def thread_warnings(book: Book) -> list[str]:
    """Say where a thread may bind in the joint, and which is the thickest that would not."""
    thread = book.material("thread")
    tight = [which for which in SIDES if thread.thickness_mm * THREAD_DOUBT > book.gap(which).value]
    if not tight:
        return []
    gap = min(book.gap(which).value for which in tight)
    known = {one.name: one.diameter_mm for one in book.stock.materials if one.kind == "thread"}
    fits = {name: d for name, d in known.items() if d is not None and d * THREAD_DOUBT <= gap}
    remedy = "no known thread fits: let cloth into the board (board_slot)"
    if fits:
        best = max(fits, key=fits.__getitem__)
        remedy = f"the thickest that fits is {best} ({fits[best]:.2f} mm)"
    return [
        f"{' and '.join(tight)} board, thread of {thread.thickness_mm:.2f} mm, known to ± 15 %, may bind "
        f"in a joint of {gap:g} mm and keep the board from shutting; {remedy}"
    ]
