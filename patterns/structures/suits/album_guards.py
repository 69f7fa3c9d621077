"""album_guards: whether an album's leaves have a margin to be guarded by."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from patterns.book.album import AlbumLeaves
from patterns.book.book import Book
from patterns.book.results import AlbumResult
from patterns.book.suits import Reason, Ruling, Suits, told
from patterns.errors import RecordError
from patterns.units import tenth, told_apart

GIVES = AlbumResult

LEAST_LAP_MM = 5.0
LEAST_STUB_MM = 6.0
"""Strips narrower than this do not stay in place (practice)."""
NO_STUB_MM = 20.0
"""Width in the stack where no old stub tells one (practice)."""
WIDEST_LAP_MM = 8.0
REBUILT = "the book is taken down, and its spine is rebuilt"


@dataclass(frozen=True, slots=True)
class Params:
    """Settings of the guards; lengths in mm."""

    stub: float | None
    hinge: float
    lap: float | None
    face: Literal["by place", "inner", "outer"]
    section_thickness: float
    nest: int
    thread_share: float
    kettle: float
    tapes: int | None
    tape_width: float
    cut_tolerance: float


def suits(book: Book, params: Params) -> Suits:
    """Answer loose or single leaves, and an album thicker at the fore edge; refuse one without margin."""
    reasons = [
        Reason(
            "single leaves",
            "folded guards give each leaf a sewn fold and fill the spine to its thickness",
            REBUILT,
        ),
    ]
    if (
        book.hangs_leaves
    ):  # a leaf tipped into a gathering is guarded by itself, the book not taken down
        reasons.insert(
            0,
            Reason(
                "leaves",
                "each leaf turns on a folded guard sewn through its fold, and strips fill the spine",
                REBUILT,
            ),
        )
    if book.is_album:
        reasons.append(
            Reason(
                "thick fore edge",
                "strips in the spine make it as thick as the leaves with what is on them",
                "the leaves are taken down and hung on new guards",
            )
        )
    return Suits(
        reasons=tuple(reasons),
        missing=("album.leaves",) if _odd(book) else (),
        rulings=told(_margin(book, params)),
    )


def _odd(book: Book) -> bool:
    """Tell whether the leaves of folded pairs must be counted again: they come in twos."""
    try:
        held = book.album
    except RecordError:
        return False  # told by what is missing
    return held.folded_pairs and len(held.contents_mm) % 2 > 0


def _margin(book: Book, params: Params) -> Iterator[Ruling]:
    held = book.album
    margin, stub, lap = held.inner_margin_mm, stub_mm(held, params), lap_mm(held, params)
    if held.folded_pairs:
        if stub < LEAST_STUB_MM:
            yield Ruling(
                f"the contents come within {tenth(margin)} mm of the fold, and strips narrower than 6 mm "
                "do not stay in place; give a stub that may lie beneath the contents, or tie or box the album",
                tie_or_box=True,
            )
        return
    if lap < LEAST_LAP_MM or lap > margin:
        clear, asked = told_apart(margin, max(lap, LEAST_LAP_MM))
        yield Ruling(
            f"the contents leave {clear} mm clear at the spine side and a lap needs {asked} mm; under {tenth(LEAST_LAP_MM)} mm none holds. Give a smaller lap where that "
            "helps, mount each leaf on a larger one, or tie or box the album and do nothing",
            tie_or_box=True,
        )
    if held.old_stub_mm is not None and stub < LEAST_STUB_MM:
        yield Ruling(
            f"the old stub of {tenth(held.old_stub_mm)} mm less the hinge leaves {tenth(stub)} mm, too "
            "narrow to sew and to carry strips (6 mm at least); set a wider one (stub), and expect the leaves to stand "
            "further out"
        )


def stub_mm(held: AlbumLeaves, params: Params) -> float:
    """Return how wide the part in the stack is: as set, else as the album gives it."""
    if params.stub is not None:
        return params.stub
    if held.folded_pairs:
        return min(held.inner_margin_mm, 80.0)
    return NO_STUB_MM if held.old_stub_mm is None else held.old_stub_mm - params.hinge


def lap_mm(held: AlbumLeaves, params: Params) -> float:
    """Return how much of a half guard is pasted to its leaf; folded pairs have no lap."""
    if params.lap is not None:
        return params.lap
    return min(WIDEST_LAP_MM, held.inner_margin_mm)
