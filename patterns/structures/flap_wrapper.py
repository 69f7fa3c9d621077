"""flap_wrapper: four flaps of folding card round a closed book.

Both strips are drawn with the inside up, the book's spine at the left, its head at the top.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from shapely import Polygon

from patterns.book.book import Book
from patterns.model.drawing import Point, Ring
from patterns.model.part import Check, Part
from patterns.model.piece import Dimension, Fold, Label, Piece, Side, Zone
from patterns.sketch.marks import circle
from patterns.structures.shared import wrapper_view
from patterns.structures.suits import flap_wrapper as suits
from patterns.structures.suits.flap_wrapper import CardStrip, Params
from patterns.units import tenth

NAME = "flap_wrapper"
TWO_TIES_MM = 150.0
"""From this height on two pairs of tapes close it (practice)."""
TAPE_ROOM_MM = 1.0
"""A slit is so much longer than the tape is wide."""
BEHIND_MM = 8.0
"""The last flap's slits lie so far behind its thumb cut."""
FROM_CREASE_MM = 10.0
"""The base's slits lie so far from the crease of the fore-edge wall."""
LABEL_EDGE_MM = 3.0
INNER = ("head flap, first", "wall", "base", "wall", "tail flap, second")
OUTER = ("full flap, last", "spine wall", "base", "fore-edge wall", "half flap, third")


@dataclass(frozen=True, slots=True)
class Figures:
    """What the steps name: the size the wrapper is drawn for, in mm, and its strips."""

    length_mm: float
    width_mm: float
    thickness_mm: float
    outside_words: str
    inner_words: str
    outer_words: str
    joined: bool
    join_words: str


@dataclass(frozen=True, slots=True)
class _Drawn:
    """One strip ready to be drawn: `upright` where it runs from head to tail, `joint` on its base."""

    strip: CardStrip
    upright: bool
    joint: float | None

    def point(self, along: float, across: float) -> Point:
        """Return a place along and across the strip in the coordinates of the uncut strip."""
        return (across, along) if self.upright else (along, across)

    def ring(self, start: float, end: float) -> Ring:
        """Return the whole width of the strip between two places along it."""
        across = self.strip.width
        corners = ((start, 0.0), (end, 0.0), (end, across), (start, across))
        return tuple(self.point(*corner) for corner in corners)

    @property
    def runs(self) -> tuple[tuple[float, float], ...]:
        """Return where each part begins and ends: one, or two that meet on the base."""
        stops = [at for at in (0.0, self.joint, self.strip.length) if at is not None]
        return tuple(pairwise(stops))


def draft(book: Book, params: Params) -> Part:
    """Work out both strips: base, walls and flaps from the outside of the book, clearance and card."""
    strips = suits.strips(book, params)
    across = book.material("card").figures.sheet_width_mm
    joints = [None if across is None else strip.join(across) for strip in strips]
    inner, outer = (
        _Drawn(strip, upright, joint)
        for strip, upright, joint in zip(strips, (True, False), joints, strict=True)
    )
    heights = _tie_heights(strips[1].width, params)
    pieces = (*_inner_pieces(book, inner), *_outer_pieces(book, params, outer, heights))
    length, width, thick = book.outside.greatest_mm
    return Part(
        structure=NAME,
        title="Wrapper with four flaps",
        figures=_figures(book, inner, outer),
        others=_others(book, params, *strips, heights),
        pieces=pieces,
        diagrams=(
            wrapper_view.section(
                NAME, width + params.clearance, thick + params.clearance, _flaps(strips[1])
            ),
        ),
        warnings=_warnings(book),
        checks=tuple(
            Check(f"inside of the wrapper, {name}", mm + params.clearance, "mm",
                  "a rule inside the folded wrapper, before the book goes in")
            for name, mm in (("head to tail", length), ("spine to fore edge", width), ("depth", thick))
        ),
    )  # fmt: skip


def _flaps(outer: CardStrip) -> tuple[float, float]:
    return outer.panels[0], outer.panels[4]


def _tie_heights(height: float, params: Params) -> tuple[float, ...]:
    """Return where the tapes lie, from the head of the outer strip: evenly over its height."""
    count = params.ties or (1 if height < TWO_TIES_MM else 2)
    return tuple(height * (2 * k + 1) / (2 * count) for k in range(count))


def _inner_pieces(book: Book, drawn: _Drawn) -> list[Piece]:
    """Draw the strip that runs from head to tail, and closes first."""
    names = ("head part", "tail part")
    return [
        _piece(
            book, drawn, run, INNER, "inner strip", part,
            outline=drawn.ring(*run),
            on_base=("pasted", "under", "base of the outer strip"),
            words=("free", "up", "the book lies here"),
        )
        for run, part in zip(drawn.runs, names, strict=False)
    ]  # fmt: skip


def _outer_pieces(
    book: Book, params: Params, drawn: _Drawn, heights: tuple[float, ...]
) -> list[Piece]:
    """Draw the strip that runs from spine to fore edge, with thumb cut, slits and label."""
    stops, height = drawn.strip.stops, drawn.strip.width
    cut = Polygon(circle((0.0, height / 2), params.thumb))
    half = (params.tape_width + TAPE_ROOM_MM) / 2
    slits = tuple(
        ((x, y - half), (x, y + half))
        for x in (params.thumb + BEHIND_MM, stops[3] - FROM_CREASE_MM)
        for y in heights
    )
    wall = (stops[1] + LABEL_EDGE_MM, stops[2] - LABEL_EDGE_MM)
    top = height / 8
    low = top + min(suits.LABEL_MM, height / 3)
    label = ((wall[0], top), (wall[1], top), (wall[1], low), (wall[0], low), (wall[0], top))
    pieces = []
    for run, part in zip(drawn.runs, ("spine part", "fore-edge part"), strict=False):
        shape: Any = Polygon(drawn.ring(*run)).difference(cut)
        pieces.append(
            _piece(
                book, drawn, run, OUTER, "outer strip", part,
                outline=tuple(shape.exterior.coords[:-1]),
                on_base=("pasted", "up", "base of the inner strip"),
                words=("free", "under", "outside of the wrapper"),
                slits=tuple(slit for slit in slits if run[0] < slit[0][0] < run[1]),
                references=(label,) if run[0] <= wall[0] and wall[1] > wall[0] else (),
            )
        )  # fmt: skip
    return pieces


def _piece(
    book: Book,
    drawn: _Drawn,
    run: tuple[float, float],
    names: tuple[str, ...],
    title: str,
    part: str,
    *,
    outline: Ring,
    on_base: tuple[str, str, str],
    words: tuple[str, str, str],
    slits: tuple[tuple[Point, Point], ...] = (),
    references: tuple[tuple[Point, ...], ...] = (),
) -> Piece:
    """Return a strip, or its part, moved so that it begins at 0."""
    card, stops = book.material("card"), drawn.strip.stops
    whole = len(drawn.runs) == 1
    dx, dy = drawn.point(-run[0], 0.0)

    def moved(points: tuple[Point, ...]) -> tuple[Point, ...]:
        return tuple((x + dx, y + dy) for x, y in points)

    def fold(at: float) -> Fold:
        start, end = moved((drawn.point(at, 0.0), drawn.point(at, drawn.strip.width)))
        return Fold("valley", (start, end))

    base = drawn.ring(max(run[0], stops[2]), min(run[1], stops[3]))
    panels = [
        (name, max(a, run[0]), min(b, run[1]))
        for name, (a, b) in zip(names, pairwise(stops), strict=True)
    ]
    shown = [one for one in panels if one[2] - one[1] > 1e-6]
    return Piece(
        name=title if whole else f"{title}, {part}",
        title=f"{title} of the wrapper" if whole else f"{title} of the wrapper, {part}",
        structure=NAME,
        material=card.name,
        thickness_mm=card.thickness_mm,
        outline=moved(outline),
        grain="spine-fore edge" if drawn.upright else "head-tail",
        grain_reason="grain along the creases: card folds true along its grain and breaks across it",
        folds=tuple(fold(at) for at in stops[1:5] if run[0] < at < run[1]),
        slits=tuple((moved(slit)[0], moved(slit)[1]) for slit in slits),
        references=tuple(moved(line) for line in references),
        zones=(
            _zone(on_base, moved(base), book.materials["adhesive"].name),
            _zone(words, moved(base), ""),
        ),
        dimensions=tuple(_dimensions(drawn, run, shown)),
        labels=tuple(_labels(drawn, run, shown)),
        left="SPINE",
        right="FORE EDGE",
        face_up="this face up: inside of the wrapper",
        tolerance_mm=book.reading.value,
        notes=_notes(drawn, title),
    )


def _zone(told: tuple[str, str, str], ring: Ring, adhesive: str) -> Zone:
    kind, face, words = told
    return Zone(
        "pasted" if kind == "pasted" else "free",
        "up" if face == "up" else "under",
        words,
        ring,
        adhesive,
    )


def _dimensions(
    drawn: _Drawn, run: tuple[float, float], panels: list[tuple[str, float, float]]
) -> list[Dimension]:
    """Return base, walls and flaps along the strip, its length beneath them, its width at one end."""
    sides: tuple[Side, Side] = ("left", "head") if drawn.upright else ("head", "left")

    def at(along: float, across: float) -> Point:
        return drawn.point(along - run[0], across)

    rows = [Dimension(at(a, 0.0), at(b, 0.0), sides[0]) for _, a, b in panels]
    rows.append(Dimension(at(run[0], 0.0), at(run[1], 0.0), sides[0], 1))
    rows.append(Dimension(at(run[0], 0.0), at(run[0], drawn.strip.width), sides[1]))
    return rows


def _labels(
    drawn: _Drawn, run: tuple[float, float], panels: list[tuple[str, float, float]]
) -> list[Label]:
    """Name every panel in its middle; a narrow one along its crease."""
    across = drawn.strip.width
    turn = 0.0 if drawn.upright else 90.0
    return [
        Label(
            drawn.point((a + b) / 2 - run[0], across * (0.5 if name != "spine wall" else 0.75)),
            name,
            "note",
            turn,
        )
        for name, a, b in panels
    ]


def _notes(drawn: _Drawn, title: str) -> tuple[str, ...]:
    if drawn.upright:
        lines = ["glued on the base of the outer strip, middle on middle"]
    else:
        lines = [
            "thick lines: slits for the tapes; rectangle: the label, on the outer face",
            "round cut: for the thumb",
        ]
    if drawn.joint is not None:
        lines.append(f"the two parts of the {title} meet edge to edge on the base, without a lap")
    return tuple(lines)


def _figures(book: Book, inner: _Drawn, outer: _Drawn) -> Figures:
    length, width, thick = book.outside.greatest_mm
    joined = [
        f"the {name} strip, {tenth(one.joint - one.strip.stops[2])} mm from the first crease of its base"
        for name, one in (("inner", inner), ("outer", outer))
        if one.joint is not None
    ]
    return Figures(
        length_mm=length,
        width_mm=width,
        thickness_mm=thick,
        outside_words=_outside_words(book),
        inner_words=f"{tenth(inner.strip.length)} × {tenth(inner.strip.width)} mm",
        outer_words=f"{tenth(outer.strip.length)} × {tenth(outer.strip.width)} mm",
        joined=bool(joined),
        join_words="; ".join(joined),
    )


def _others(
    book: Book, params: Params, inner: CardStrip, outer: CardStrip, heights: tuple[float, ...]
) -> dict[str, float | str | bool]:
    length, width, thick = (mm + params.clearance for mm in book.outside.greatest_mm)
    return {
        "inside_length_mm": length,
        "inside_width_mm": width,
        "inside_thickness_mm": thick,
        "inner_flap_mm": inner.panels[0],
        "inner_wall_mm": inner.panels[1],
        "inner_base_mm": inner.panels[2],
        "inner_length_mm": inner.length,
        "inner_width_mm": inner.width,
        "outer_full_flap_mm": outer.panels[0],
        "outer_spine_wall_mm": outer.panels[1],
        "outer_base_mm": outer.panels[2],
        "outer_fore_edge_wall_mm": outer.panels[3],
        "outer_half_flap_mm": outer.panels[4],
        "outer_length_mm": outer.length,
        "outer_width_mm": outer.width,
        "ties_n": len(heights),
        "ties_words": ", ".join(map(tenth, heights)),
    }


def _outside_words(book: Book) -> str:
    found = book.outside
    if not any(found.doubts_mm):
        return "as measured"
    doubts = ", ".join(map(tenth, found.doubts_mm))
    return f"{found.length.source}, their doubts of {doubts} mm added"


def _warnings(book: Book) -> tuple[str, ...]:
    if not any(book.outside.doubts_mm):
        return ()
    return (
        f"book.outside is not measured: the wrapper is drawn for what is {_outside_words(book)}; "
        "measure the closed book over everything before the card is cut",
    )
