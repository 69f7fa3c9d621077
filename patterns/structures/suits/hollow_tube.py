"""hollow_tube: whether spine and cover have room for a tube between them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from patterns.book.book import Book
from patterns.book.results import TubeResult
from patterns.book.suits import Reason, Ruling, Suits, told
from patterns.errors import SettingError
from patterns.stock.materials import Material
from patterns.structures.shared import against
from patterns.units import tenth

GIVES = TubeResult

LEAST_EASE_MM = 1.0
"""A panel is at least so much narrower than the girth (practice)."""
LEAST_PANEL_MM = 6.0
"""A narrower panel cannot be wound (practice)."""


@dataclass(frozen=True, slots=True)
class Params:
    """Settings of the tube; lengths in mm."""

    on: int | None
    off: int | None
    ease: float | None
    lap: float
    setback: float
    reach: Literal["block", "boards"]
    slit: float


def suits(book: Book, params: Params) -> Suits:
    """Answer a loose back; refuse raised supports, a case's natural hollow, and a thin spine."""
    heavy = " (two on, two off for this weight)" if book.heavy_for_lining else ""
    reason = Reason(
        "spine",
        f"the covering leaves the spine free to open{heavy}",
        "the spine must be lifted whole from the text block",
    )
    return Suits(
        reasons=(reason,),
        against=against.fallen_in(book),
        rulings=told(_kind(book), _narrow(book, params)),
    )


def _kind(book: Book) -> Iterator[Ruling]:
    if book.supports == "raised":
        yield Ruling(
            "raised supports stand through a tube; line the panels between them instead "
            "(spine_lining), or keep the tight back"
        )
    if book.cover_kind == "case":
        yield Ruling(
            "a case has a natural hollow and needs no tube; "
            "stiffen its spine (spine_inlay) or line the folds (spine_lining)"
        )


def _narrow(book: Book, params: Params) -> Iterator[Ruling]:
    girths = girths_mm(book, params)
    panel = min(girths) - ease_mm(book, params, girths)
    if panel < LEAST_PANEL_MM:
        yield Ruling(
            f"a panel of {tenth(panel)} mm is too narrow to wind; "
            "a single lining (spine_lining) suits a spine this thin"
        )


def extent(book: Book, params: Params) -> tuple[float, float]:
    """Return where the tube begins below the head of the block, and how high it is.

    Raises SettingError for a tube that is to reach boards whose height is not known.
    """
    if params.reach == "boards":
        boards = book.cover_height
        if boards.assumed:
            raise SettingError(
                "hollow_tube.reach: cover.board_height is needed to reach the boards; measure it, "
                "or leave reach = block"
            )
        return params.setback + book.cover_top_mm, boards.value - 2 * params.setback
    return params.setback, book.height_mm - 2 * params.setback


def girths_mm(book: Book, params: Params) -> list[float]:
    """Return the girth over all that lies beneath the tube, at its own head and tail."""
    top, height = extent(book, params)
    thickness = book.material("paper").thickness_mm
    return [book.spine.layer_mm(book.lies_on_mm, thickness, at) for at in (top, top + height)]


def ease_mm(book: Book, params: Params, girths: list[float]) -> float:
    """Return how much narrower than the girth a panel is."""
    if params.ease is not None:
        return params.ease
    return _ease(book.material("paper").figures, max(girths))


def _ease(paper: Material, widest: float) -> float:
    """Return how much narrower than the girth a panel is: its growth when wet, 1 mm at least."""
    grows = paper.growth_across
    return LEAST_EASE_MM if grows is None else max(LEAST_EASE_MM, grows / 100 * widest)
