"""A drawing as a frozen value, in millimetres; writers turn it into SVG, PDF and DXF.

x runs to the right and y runs down, as on the sheet in front of you. One unit is one millimetre
and there is no scale: what is drawn larger or smaller than life is drawn so before it gets here.

Marks are made and moved by the ten thousand, and a frozen dataclass takes ten times as long to make:
theirs are frozen for the type checker, which refuses to assign to what is `Final`.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import Final, Literal

Point = tuple[float, float]
Ring = tuple[Point, ...]
Anchor = Literal["start", "middle", "end"]

CAP_HEIGHT_EM = 0.652
"""Drawn height of a capital H in Source Sans Pro Bold as a share of the type size (Regular 0.656).

The font's OS/2 table says 0.660; the smaller figure makes a capital at least as tall as asked.
"""


class LineKind(Enum):
    """What a line means; the value is its group name in SVG and its layer name in DXF."""

    CUT = "cut"
    VALLEY = "valley-fold"
    MOUNTAIN = "mountain-fold"
    HOLE = "hole"
    OLD_HOLE = "old-hole"
    SLIT = "slit"
    UNDER = "under-face-paste"
    PASTED = "pasted-hatch"
    SEWN_OUTSIDE = "thread-outside"
    SEWN_INSIDE = "thread-inside"
    SECTION = "cloth-in-section"
    GRAIN = "grain"
    OUTLINE = "outline"
    REFERENCE = "reference"
    DIMENSION = "dimension"
    MATCH = "match-mark"
    BAR = "measured-bar"
    FRAME = "frame"
    TEXT = "words"


@dataclass(frozen=True, slots=True)
class Pen:
    """Line width and dash pattern in mm (after the habits of ISO 128-2), grey 0 black … 1 white."""

    width: float
    dashes: tuple[float, ...] = ()
    grey: float = 0.0


PENS: dict[LineKind, Pen] = {
    LineKind.CUT: Pen(0.35),
    LineKind.VALLEY: Pen(0.25, (4.0, 2.0)),
    LineKind.MOUNTAIN: Pen(0.25, (6.0, 1.5, 0.5, 1.5)),
    LineKind.HOLE: Pen(0.25),
    LineKind.OLD_HOLE: Pen(0.25),
    LineKind.SLIT: Pen(0.9),
    LineKind.UNDER: Pen(0.3, (0.3, 1.5)),
    LineKind.PASTED: Pen(0.13, (), 0.35),
    LineKind.SEWN_OUTSIDE: Pen(1.1),
    LineKind.SEWN_INSIDE: Pen(0.2, (1.6, 1.0)),
    LineKind.SECTION: Pen(0.6),
    LineKind.GRAIN: Pen(0.5),
    LineKind.OUTLINE: Pen(0.25),
    LineKind.REFERENCE: Pen(0.13),
    LineKind.DIMENSION: Pen(0.13),
    LineKind.MATCH: Pen(0.25),
    LineKind.BAR: Pen(0.35),
    LineKind.FRAME: Pen(0.5),
    LineKind.TEXT: Pen(0.0),
}


@dataclass(slots=True, unsafe_hash=True)
class Line:
    """An open or closed run of straight segments; curves come as points at most 0.01 mm off."""

    kind: Final[LineKind]
    points: Final[tuple[Point, ...]]
    closed: Final[bool] = False


@dataclass(slots=True, unsafe_hash=True)
class Circle:
    """A circle; a hole is drawn as a circle and a cross."""

    kind: Final[LineKind]
    centre: Final[Point]
    radius: Final[float]


@dataclass(slots=True, unsafe_hash=True)
class Area:
    """A filled ring without a line: arrowheads, solid layers, paper-white grounds."""

    kind: Final[LineKind]
    outline: Final[Ring]
    grey: Final[float] = 0.0


@dataclass(slots=True, unsafe_hash=True)
class Words:
    """One line of words. `at` is on the baseline; `cap_mm` is the height of a capital.

    `angle_deg` turns the words anticlockwise about `at` (90: they read upwards).
    """

    at: Final[Point]
    text: Final[str]
    cap_mm: Final[float]
    bold: Final[bool] = False
    anchor: Final[Anchor] = "start"
    angle_deg: Final[float] = 0.0
    grey: Final[float] = 0.0


Mark = Line | Circle | Area | Words


@dataclass(frozen=True, slots=True)
class Drawing:
    """A finished picture on a page or panel of the given size; marks in painting order."""

    width_mm: float
    height_mm: float
    marks: tuple[Mark, ...] = ()
