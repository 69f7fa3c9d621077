"""spine_lining: whether the spine has room for panels, and what they would hold."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from patterns.book.book import Book
from patterns.book.results import LiningResult
from patterns.book.suits import Reason, Ruling, Suits, told
from patterns.errors import SettingError
from patterns.units import tenth

GIVES = LiningResult

LEAST_MM = 5.0
"""A panel lower than this cannot be laid true and is left out (practice)."""
LEAST_WIDTH_MM = 3.0
"""A narrower lining holds nothing (practice)."""
THIN_MM = 8.0
"""A spine narrower than this takes no tube (practice)."""
FLAT = ("tapes", "recessed")
"""Supports that a lining can lie over."""
STIFFENS = "a lining stiffens the opening a little"


@dataclass(frozen=True, slots=True)
class Params:
    """Settings of the lining; lengths in mm."""

    panels: Literal["between", "over"] | None
    ease: float
    clear: float
    setback_head: float
    setback_tail: float


def suits(book: Book, params: Params) -> Suits:
    """Answer a loose back that takes no tube, raised supports, and a spine to be kept in its round."""
    reasons = [
        Reason(
            "raised supports",
            "panels between the supports hold the back and leave them to be seen",
            STIFFENS,
        ),
        Reason(
            "fallen-in spine",
            "holds the round once it is back",
            "pasted before the round is back it fixes the fault",
            place=2,
        ),
    ]
    pro = _instead_of_a_tube(book)
    if pro:
        reasons.append(Reason("spine", pro, STIFFENS))
    held = "holds the back beneath the covering"
    reasons.append(Reason("lining", pro or held, STIFFENS, place=0 if pro else 1))
    return Suits(reasons=tuple(reasons), rulings=told(_room(book, params)))


def _instead_of_a_tube(book: Book) -> str:
    if book.supports == "raised":
        return "panels between the raised supports hold the back without hiding them"
    if book.cover_kind == "case":
        return "the case has a natural hollow already: a lining holds the back"
    thin = book.shape is not None and book.shape.girth_mm(book.height_mm / 2) < THIN_MM
    return "a spine this thin takes no tube: a lining holds the back" if thin else ""


def _room(book: Book, params: Params) -> Iterator[Ruling]:
    found = spans(book, params)
    if not found:
        yield Ruling(
            f"no panel of {LEAST_MM:g} mm or more is left between head, supports and tail; "
            "leave the spine unlined, or lower setback_head, setback_tail or clear"
        )
        return
    # between them the girth runs evenly, so that the narrowest end is one of the outer two
    width = min(widths(book, params, found[0][0], found[-1][1]))
    if width < LEAST_WIDTH_MM:
        yield Ruling(
            f"{tenth(width)} mm is left for the lining's width, and under 3 mm it holds "
            "nothing; leave the spine unlined, or lower ease"
        )


def over(book: Book, params: Params) -> bool:
    """Tell whether one panel lies over the supports, as it does by default where they are flat.

    Raises SettingError for one panel over raised supports.
    """
    if params.panels is None:
        return book.supports in FLAT
    if params.panels == "over" and book.supports == "raised":
        raise SettingError(
            "spine_lining.panels: one panel cannot lie over raised supports; leave panels = between"
        )
    return params.panels == "over"


def spans(book: Book, params: Params) -> list[tuple[float, float]]:
    """Return the ends of every panel that is high enough; first and last reach the setbacks.

    Raises SettingError for one panel over raised supports, RecordError for supports not measured.
    """
    old = book.old_sewing
    held = () if over(book, params) else old.supports_mm
    away = old.support_width_mm / 2 + params.clear
    low = book.height_mm - params.setback_tail
    stops = [params.setback_head, *(y + sign * away for y in held for sign in (-1, 1)), low]
    ends = (
        (max(top, params.setback_head), min(bottom, low))
        for top, bottom in zip(stops[::2], stops[1::2], strict=True)
    )
    return [(top, bottom) for top, bottom in ends if bottom - top >= LEAST_MM]


def widths(book: Book, params: Params, top: float, bottom: float) -> tuple[float, float]:
    """Return a panel's width at its head and tail: a(u, t) − ease."""
    thickness = book.material("paper").thickness_mm
    head, tail = (
        book.spine.layer_mm(book.lies_on_mm, thickness, at) - params.ease for at in (top, bottom)
    )
    return head, tail


def adds_mm(book: Book, _params: Params) -> float:
    """Return what it adds over the spine."""
    return book.material("paper").thickness_mm
