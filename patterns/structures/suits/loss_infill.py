"""loss_infill: its settings; whether a loss can be filled is seen from its tracing alone."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from patterns.book.book import Book
from patterns.book.suits import Suits

LeafFace = Literal["recto", "verso"]
Of = Literal["leaf", "front board", "back board"]


@dataclass(frozen=True, slots=True)
class Params:
    """Settings of the infill; lengths in mm, the outline as `outlines` writes it."""

    outline: str | None
    scale_bar: float
    traced: LeafFace
    face: LeafFace
    of: Of
    overlap: float | None
    oversize: float


def suits(_book: Book, _params: Params) -> Suits:
    """Answer nothing and refuse nothing: no measurement of the record tells of a loss."""
    return Suits()
