"""hollow_tube: whether spine and cover have room for a tube between them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from patterns.book.book import Book
from patterns.book.results import TubeLayersResult, TubeResult, TurnInResult
from patterns.book.suits import Reason, Ruling, Suits, told
from patterns.errors import SettingError
from patterns.formulas import tubes
from patterns.stock.materials import Material
from patterns.structures.shared import against
from patterns.units import tenth, trimmed

GIVES = TubeResult
TELLS = TubeLayersResult

LEAST_EASE_MM = 1.0
"""A panel is at least so much narrower than the girth (practice)."""
BEYOND_MM = 3.0
"""A crease is slit so much deeper than what is turned in between the layers (practice)."""
LEAST_PANEL_MM = 6.0
"""A narrower panel cannot be wound (practice)."""
IN_A_CASE = (
    "a case has a natural hollow and opens without a tube: one ties its spine to the block, and is put in only "
    "where that hold is wanted"
)


@dataclass(frozen=True, slots=True)
class Params:
    """Settings of the tube; lengths in mm."""

    on: int | None
    off: int | None
    ease: float | None
    lap: float
    setback: float
    reach: Literal["block", "boards"] | None
    slit: float | None


def suits(book: Book, params: Params) -> Suits:
    """Answer a loose back; refuse raised supports, the height of a case's boards, and a thin spine."""
    heavy = " (two on, two off for this weight)" if book.heavy_for_lining else ""
    words = (
        f"the covering leaves the spine free to open{heavy}",
        "the spine must be lifted whole from the text block",
    )
    place = 1 if book.cover_kind == "case" else 0
    hung = Reason(
        "covering", "the spine of the cover is set on the tube, and the book hangs in its cover by it",
        "the cover hangs by its spine alone",
    )  # fmt: skip
    reasons = (Reason("spine", *words, place), Reason("lining", *words, place))
    return Suits(
        reasons=(*reasons, hung) if book.limp else reasons,
        against=(*against.fallen_in(book), *in_a_case(book)),
        rulings=told(_kind(book, params), _narrow(book, params), _slit(book, params)),
    )


def in_a_case(book: Book) -> tuple[str, ...]:
    """Say what speaks against a tube between the block and the spine of a case; nothing elsewhere."""
    return (IN_A_CASE,) if book.cover_kind == "case" else ()


def _kind(book: Book, params: Params) -> Iterator[Ruling]:
    if book.supports == "raised":
        yield Ruling(
            "raised supports stand through a tube; line the panels between them instead "
            "(spine_lining), or keep the tight back"
        )
    if book.cover_kind == "case" and reaches_boards(book, params):
        yield Ruling(
            "in a case a tube lies between block and spine and ends with the block, or the case could not turn "
            "on its own joints; leave reach = block",
            lifted_by="reach=block",
        )


def _narrow(book: Book, params: Params) -> Iterator[Ruling]:
    girths = girths_mm(book, params)
    panel = min(girths) - ease_mm(book, params, girths)
    if panel < LEAST_PANEL_MM:
        yield Ruling(
            f"a panel of {tenth(panel)} mm is too narrow to wind; "
            "a single lining (spine_lining) suits a spine this thin"
        )


def _slit(book: Book, params: Params) -> Iterator[Ruling]:
    height = extent(book, params)[1]
    slit = slit_mm(book, params)
    if params.slit is None and 2 * slit >= height:
        yield Ruling(
            f"slit {tenth(slit)} mm from both ends for the turn-ins, a tube of {tenth(height)} mm would fall apart; "
            "a single lining (spine_lining) suits a book this small"
        )


def reaches_boards(book: Book, params: Params) -> bool:
    """Tell whether the tube is as high as the boards: by default beneath a new covering, but not in a case."""
    if params.reach is None:
        return book.result(TurnInResult) is not None and book.cover_kind != "case"
    return params.reach == "boards"


def slit_mm(book: Book, params: Params) -> float:
    """Return how far each crease is slit from head and tail: for what a new covering turns in there."""
    if params.slit is not None:
        return params.slit
    covering = book.result(TurnInResult)
    return 0.0 if covering is None else covering.turn_in_mm + BEYOND_MM


def extent(book: Book, params: Params) -> tuple[float, float]:
    """Return where the tube begins below the head of the block, and how high it is.

    Raises SettingError for a tube that is to reach boards whose height is not known.
    """
    if reaches_boards(book, params):
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


def panels_mm(book: Book, params: Params) -> tuple[list[float], str]:
    """Return a panel's width at head and tail, and why the mean of both serves; "" where it does not.

    A taper within the error of two readings may be none: the mean is taken for it.
    """
    girths = girths_mm(book, params)
    ease = ease_mm(book, params, girths)
    ends = [girth - ease for girth in girths]
    apart = abs(book.spine.girth_tail_mm - book.spine.girth_head_mm)
    doubt, reason = 2 * book.reading.value, ""
    if apart <= doubt + 1e-9:
        reason = f"two readings may differ so much (±\u00a0{trimmed(doubt / 2)}\u00a0mm each)"
    elif tubes.out_of_square_mm(ends[0], ends[1], extent(book, params)[1]) < tubes.SQUARE_MM:
        reason = "its ends are trimmed square after winding"
    return ([sum(ends) / 2] * 2 if reason else ends), reason


def ease_mm(book: Book, params: Params, girths: list[float]) -> float:
    """Return how much narrower than the girth a panel is."""
    if params.ease is not None:
        return params.ease
    return _ease(book.material("paper").figures, max(girths))


def _ease(paper: Material, widest: float) -> float:
    """Return how much narrower than the girth a panel is: its growth when wet, 1 mm at least."""
    grows = paper.growth_across
    return LEAST_EASE_MM if grows is None else max(LEAST_EASE_MM, grows / 100 * widest)


def layers(book: Book, params: Params) -> tuple[int, int]:
    """Return how many thicknesses go on the spine and on the cover."""
    off = params.off if params.off is not None else 2
    on = params.on if params.on is not None else (2 if book.heavy_for_lining else 1)
    return on, off


def ahead(book: Book, params: Params) -> TubeLayersResult:
    """Return what a case that is set round the tube must know."""
    return TubeLayersResult(adds_mm(book, params))


def adds_mm(book: Book, params: Params) -> float:
    """Return what it adds over the spine: every thickness of the tube."""
    return sum(layers(book, params)) * book.material("paper").thickness_mm
