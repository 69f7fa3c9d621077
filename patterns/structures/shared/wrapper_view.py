"""The closed wrapper in section, spine to fore edge: what lies on what, and in which order it closes."""

from __future__ import annotations

from collections.abc import Iterator

from patterns.model.capitals import BODY
from patterns.model.drawing import Line, LineKind, Mark, Point, Words
from patterns.model.part import Diagram
from patterns.units import tenth

WIDTH_MM, HEIGHT_MM = 170.0, 78.0
LEFT, RIGHT, FLOOR, BOOK_MM = 38.0, 128.0, 56.0, 24.0
"""Where the inside of the wrapper is drawn, and how thick the book, whatever its own sizes."""
CARD_MM = 4.0
"""Distance drawn from card to card, far more than life."""


def section(structure: str, inside: float, depth: float, flaps: tuple[float, float]) -> Diagram:
    """Draw base, walls and flaps; `inside` and `depth` in mm, `flaps` the full one and the half one."""
    across = (RIGHT - LEFT) / inside
    top = FLOOR - BOOK_MM

    def line(kind: LineKind, *points: Point) -> Line:
        return Line(kind, points)

    full_end = LEFT - CARD_MM + flaps[0] * across
    half_end = RIGHT + CARD_MM - flaps[1] * across
    marks: list[Mark] = [
        Line(
            LineKind.OUTLINE,
            ((LEFT + 1, top + 1), (RIGHT - 1, top + 1), (RIGHT - 1, FLOOR - 1), (LEFT + 1, FLOOR - 1)),
            closed=True,
        ),
        line(LineKind.CUT, (LEFT, FLOOR), (RIGHT, FLOOR)),
        line(LineKind.CUT, (LEFT, top), (RIGHT, top)),
        line(
            LineKind.SECTION,
            (full_end, top - 2 * CARD_MM),
            (LEFT - CARD_MM, top - 2 * CARD_MM),
            (LEFT - CARD_MM, FLOOR + CARD_MM),
            (RIGHT + CARD_MM, FLOOR + CARD_MM),
            (RIGHT + CARD_MM, top - CARD_MM),
            (half_end, top - CARD_MM),
        ),
        *_paste(),
        *_words(top),
    ]  # fmt: skip
    return Diagram(
        name="wrapper in section",
        structure=structure,
        title="Wrapper in section, spine to fore edge",
        scale="not to scale",
        width_mm=WIDTH_MM,
        height_mm=HEIGHT_MM,
        marks=tuple(marks),
        notes=(
            f"inside {tenth(inside)} mm from spine to fore edge, {tenth(depth)} mm deep",
            "heavy line: the outer strip; thin lines: base and flaps of the inner strip; hatched: glued",
            "the last flap is held by tapes, and nothing is glued to the book",
        ),
    )


def _paste() -> Iterator[Line]:
    for k in range(1, int((RIGHT - LEFT) / CARD_MM)):
        x = LEFT + k * CARD_MM
        yield Line(LineKind.PASTED, ((x, FLOOR + CARD_MM), (x + CARD_MM * 0.8, FLOOR)))


def _words(top: float) -> Iterator[Words]:
    middle = (LEFT + RIGHT) / 2
    yield Words((middle, (top + FLOOR) / 2 + 1), "book", BODY, bold=True, anchor="middle")
    yield Words((LEFT - 8, (top + FLOOR) / 2), "spine", BODY, anchor="end")
    yield Words((RIGHT + 8, (top + FLOOR) / 2), "fore edge", BODY)
    yield Words((RIGHT + 8, top + 1), "1, 2 head and tail flap", BODY)
    yield Words((RIGHT + 8, top - CARD_MM + 0.6), "3 half flap", BODY)
    yield Words((LEFT - 8, top - 2 * CARD_MM + 1), "4 full flap", BODY, anchor="end")
    yield Words((middle, FLOOR + CARD_MM + 6), "base glued on base", BODY, anchor="middle")
