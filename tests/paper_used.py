"""How full printed pages are, read back from a PDF: what stands on them, and the room they leave.

Nothing of this shares code with what plans the pages. A page's furniture is told by its rules, the
only lines that run from margin to margin; what lies beside them is content.
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import shapely
from pypdf import PdfReader

from patterns.model.drawing import CAP_HEIGHT_EM
from patterns.model.lettering import width_mm
from tests.readers import pdf_labels, pdf_page_mm, pdf_shapes
from tests.shapes import Label

MARGIN_MM = 10.0
GROWN_MM = 5.0


@dataclass(frozen=True)
class Printed:
    """A printed page: its title and phase in the outline, the room for content, and what fills it."""

    title: str
    phase: str
    room: Any
    content: Any
    """Boxes of all that stands there, each grown by 5 mm, joined where they meet."""

    @property
    def used(self) -> float:
        """The share of the room that is filled."""
        return float(shapely.intersection(self.content, self.room).area / self.room.area)

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of its room."""
        left, top, right, bottom = self.room.bounds
        return right - left, bottom - top

    @property
    def items(self) -> list[tuple[float, float]]:
        """Width and height of each thing that stands by itself, without what it was grown by."""
        parts = shapely.get_parts(self.content)
        bounds = [part.bounds for part in parts]
        return [(r - a - 2 * GROWN_MM, b - t - 2 * GROWN_MM) for a, t, r, b in bounds]


def printed(pdf: bytes) -> list[Printed]:
    """Return every page that the outline lists below a phase of the work."""
    reader = PdfReader(io.BytesIO(pdf), strict=True)
    return [
        _page(pdf, reader.get_destination_page_number(entry) or 0, str(entry.title), phase)
        for phase, entry in _outlined(reader.outline)
    ]


def _outlined(outline: Sequence[Any]) -> Iterator[tuple[str, Any]]:
    """Yield the entries of pages with the name above them; those without any are left out."""
    above = ""
    for entry in outline:
        if isinstance(entry, list):
            yield from ((above, one) for one in entry)
        else:
            above = str(entry.title)


def _page(pdf: bytes, number: int, title: str, phase: str) -> Printed:
    wide, high = pdf_page_mm(pdf, number)
    shapes = [shape.box for shape in pdf_shapes(pdf, number)]
    words = [_label_box(label) for label in pdf_labels(pdf, number)]
    left, top, right, bottom = MARGIN_MM, MARGIN_MM, wide - MARGIN_MM, high - MARGIN_MM
    for a, t, r, b in shapes:
        if r - a > wide - 2 * MARGIN_MM - 0.5 and b - t < 0.1:
            top, bottom = (max(top, b), bottom) if t < high / 3 else (top, min(bottom, t))
        elif b - t > high - 2 * MARGIN_MM - 0.5 and r - a < 0.1:
            right = min(right, a)
    room = shapely.box(left, top, right, bottom)
    inside = [
        shapely.box(a - GROWN_MM, t - GROWN_MM, r + GROWN_MM, b + GROWN_MM)
        for a, t, r, b in (*shapes, *words)
        if left - 1 <= (a + r) / 2 <= right - 0.1 and top + 0.1 <= (t + b) / 2 <= bottom - 0.1
    ]
    return Printed(title, phase, room, shapely.union_all(inside))


def one_page_takes(items: Sequence[tuple[float, float]], room: tuple[float, float]) -> bool:
    """Tell whether boxes find room on one page, 5 mm apart: each at the corners of those set before.

    Tried the tallest first, the widest first and the largest first; each box stays as it lies.
    """
    keys = (lambda one: -one[1], lambda one: -one[0], lambda one: -one[0] * one[1])
    return any(_packed(sorted(items, key=key), room) for key in keys)


def _packed(items: Sequence[tuple[float, float]], room: tuple[float, float]) -> bool:
    placed: list[tuple[float, float, float, float]] = []
    for wide, high in items:
        xs = sorted({0.0, *(box[2] + GROWN_MM for box in placed)})
        ys = sorted({0.0, *(box[3] + GROWN_MM for box in placed)})
        spots = (
            (x, y, x + wide, y + high)
            for y in ys
            for x in xs
            if x + wide <= room[0] and y + high <= room[1]
        )
        free = next((one for one in spots if all(_apart(one, other) for other in placed)), None)
        if free is None:
            return False
        placed.append(free)
    return True


def _apart(
    one: tuple[float, float, float, float], other: tuple[float, float, float, float]
) -> bool:
    gap = GROWN_MM - 1e-6
    return (
        one[2] + gap <= other[0]
        or other[2] + gap <= one[0]
        or one[3] + gap <= other[1]
        or other[3] + gap <= one[1]
    )


def _label_box(label: Label) -> tuple[float, float, float, float]:
    x, y = label.at
    high = label.size_mm * CAP_HEIGHT_EM
    long = label.length_mm or width_mm(label.text, high, label.bold)
    if abs(label.angle_deg) < 1:
        return x, y - high, x + long, y
    return x - high, y - long, x, y
