"""Drawings for the tests of the writers: one with everything on it, and drawn-at-random ones."""

from __future__ import annotations

from unicodedata import combining

from fontTools.ttLib import TTFont
from hypothesis import strategies as st

from patterns.model.drawing import Area, Circle, Drawing, Line, LineKind, Mark, Words
from patterns.model.lettering import font_path

K = LineKind
PENNED = tuple(kind for kind in LineKind if kind is not LineKind.TEXT)


def bars(left: float, bottom: float) -> tuple[Mark, ...]:
    """Return the two bars of 100 mm, meeting at their right and lower end, a tick at each end."""
    right, top = left + 100, bottom - 100
    return (
        Line(K.BAR, ((left, bottom), (right, bottom))),
        Line(K.BAR, ((right, top), (right, bottom))),
        *(Line(K.BAR, ((left + 10 * i, bottom), (left + 10 * i, bottom - 2))) for i in range(10)),
        *(Line(K.BAR, ((right, top + 10 * i), (right - 2, top + 10 * i))) for i in range(10)),
    )


def sheet(width_mm: float = 210.0, height_mm: float = 297.0, hatch_n: int = 60) -> Drawing:
    """Return a page with every line kind, white grounds, arrowheads, turned words and bars."""
    strokes = [Line(kind, ((20, 60 + 4 * i), (120, 61 + 4 * i))) for i, kind in enumerate(PENNED)]
    return Drawing(
        width_mm,
        height_mm,
        (
            *(Line(K.PASTED, ((40 + i, 20), (25 + i, 50))) for i in range(hatch_n)),
            Line(K.CUT, ((20, 20), (120, 20), (121.5, 150.123), (20, 150)), closed=True),
            *strokes,
            Area(K.TEXT, ((40, 30), (90, 30), (90, 36), (40, 36)), grey=1.0),
            Words((65, 35), "HEAD Ø 12½ ± 0.5 µm", 3.0, bold=True, anchor="middle"),
            Words((15, 100), "grain → long", 2.5, anchor="middle", angle_deg=90),
            Words((width_mm - 10, 15), "Almanac “é” ĄЖΩ", 2.5, anchor="end", grey=0.4),
            Words((30, 140), "slanting", 1.8, angle_deg=-33.5),
            Circle(K.HOLE, (80, 140), 1.0),
            Circle(K.OLD_HOLE, (90, 140), 1.0),
            Area(K.DIMENSION, ((20, 155), (22.5, 154.4), (22.5, 155.6))),
            Line(K.DIMENSION, ((20, 155), (120, 155))),
            *bars(60, height_mm - 15),
        ),
    )


def _letters() -> str:
    """Return what the font has, without accents that would compose to letters it may lack."""
    with TTFont(font_path(False)) as font:
        marks = map(chr, font.getBestCmap())
        return "".join(mark for mark in marks if mark.isprintable() and not combining(mark))


LETTERS = _letters()
places = st.tuples(*[st.floats(-20, 400, allow_nan=False, width=64)] * 2)
greys = st.sampled_from([0.0, 0.4, 1.0])
lines = st.builds(
    Line,
    st.sampled_from(PENNED),
    st.lists(places, min_size=2, max_size=6, unique_by=lambda p: (round(p[0]), round(p[1]))).map(
        tuple
    ),
    st.booleans(),
)
circles = st.builds(Circle, st.sampled_from(PENNED), places, st.floats(0.2, 80))
areas = st.builds(
    Area,
    st.sampled_from(LineKind),
    st.lists(places, min_size=3, max_size=5, unique_by=lambda p: (round(p[0]), round(p[1]))).map(
        tuple
    ),
    greys,
)
labels = st.builds(
    Words,
    places,
    st.text(LETTERS, min_size=1, max_size=12),
    st.floats(1.8, 12),
    st.booleans(),
    st.sampled_from(["start", "middle", "end"]),
    st.floats(-180, 180),
    greys,
)
drawings = st.builds(
    Drawing,
    st.floats(148, 1189),
    st.floats(148, 1189),
    st.lists(st.one_of(lines, circles, areas, labels), max_size=12).map(tuple),
)
