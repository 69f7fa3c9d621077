"""What all writers agree on: the cross of a hole, where words begin, which marks are sound."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import chain
from math import cos, isfinite, radians, sin

from patterns.errors import MendfoldError
from patterns.model import lettering
from patterns.model.drawing import PENS, Area, Circle, Drawing, Line, LineKind, Mark, Point, Words


def check_drawing(drawing: Drawing) -> None:
    """Raise MendfoldError when a place or size is no number, or a character cannot be written."""
    if not (drawing.width_mm > 0 and drawing.height_mm > 0):
        raise MendfoldError(
            f"a page of {drawing.width_mm} × {drawing.height_mm} mm cannot be written; "
            "both sizes must be above 0; check the measurements it was drawn from"
        )
    for mark in drawing.marks:
        if fault := _fault(mark):
            raise MendfoldError(
                f"a mark of kind {kind_of(mark).value} cannot be drawn: it has {fault}; "
                "check the measurements it was drawn from"
            )
        if isinstance(mark, Words):
            lettering.check_glyphs(mark.text)


def kind_of(mark: Mark) -> LineKind:
    """Return the line kind of a mark; words have their own."""
    return LineKind.TEXT if isinstance(mark, Words) else mark.kind


def grey_of(mark: Mark) -> float:
    """Return the grey a mark is painted in, 0 black … 1 white."""
    return mark.grey if isinstance(mark, Words | Area) else PENS[mark.kind].grey


def cross(circle: Circle) -> tuple[tuple[Point, Point], ...]:
    """Return the two strokes that cross a hole to prick; nothing for any other circle."""
    if circle.kind is not LineKind.HOLE:
        return ()
    (x, y), r = circle.centre, circle.radius
    return ((x - r, y), (x + r, y)), ((x, y - r), (x, y + r))


def start_of(words: Words) -> Point:
    """Return where the first letter begins on the baseline, in mm."""
    share = {"start": 0.0, "middle": 0.5, "end": 1.0}[words.anchor]
    back = share and share * lettering.width_mm(words.text, words.cap_mm, words.bold)
    turn = radians(words.angle_deg)
    return words.at[0] - back * cos(turn), words.at[1] + back * sin(turn)


def _fault(mark: Mark) -> str:
    """Say what keeps a mark from being drawn; nothing when it is sound."""
    numbers: Iterable[float]
    match mark:
        case Line():
            numbers, few = chain.from_iterable(mark.points), len(mark.points) < 2
        case Area():
            numbers, few = chain(*mark.outline, (mark.grey,)), len(mark.outline) < 3
        case Circle():
            numbers, few = (*mark.centre, mark.radius), not mark.radius > 0
        case Words():
            numbers, few = (*mark.at, mark.cap_mm, mark.angle_deg, mark.grey), not mark.cap_mm > 0
    if isinstance(mark, Line | Circle) and mark.kind is LineKind.TEXT:
        return "the pen of words, which draws no line"
    if not all(map(isfinite, numbers)):
        return "a place or size that is no number"
    return "no extent (too few points, or a size that is not above 0)" if few else ""
