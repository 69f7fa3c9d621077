"""The four views of the measuring form: the book from its spine, its tail, its front, and open.

Each view is drawn in a square of 100 × 100 units, which the form stretches to the room it has,
and says for each measurement between which points it is taken.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from patterns.model.drawing import Area, Line, LineKind, Mark, Point
from patterns.sketch.marks import Box, corners, rectangle


@dataclass(frozen=True, slots=True)
class Take:
    """A field of the record and the two points between which it is measured."""

    field: str
    start: Point
    end: Point


@dataclass(frozen=True, slots=True)
class FormView:
    """A picture with what is measured on it, boxes at its left and at its right.

    `share` is its part of the page's width, `cell_mm` the width of its boxes, `aspect` its height for a width of 1 at most. `tags`
    are places numbered in the picture whose figures are lists, written in lines elsewhere.
    """

    title: str
    marks: tuple[Mark, ...]
    left: tuple[Take, ...]
    right: tuple[Take, ...]
    share: float
    aspect: float
    cell_mm: float = 23.0
    tags: tuple[tuple[str, Point], ...] = ()


def _line(*points: Point, kind: LineKind = LineKind.OUTLINE) -> Line:
    return Line(kind, points)


def _box(left: float, top: float, right: float, bottom: float, grey: float = 1.0) -> list[Mark]:
    box = Box(left, top, right, bottom)
    return [Area(LineKind.OUTLINE, corners(box), grey), rectangle(LineKind.OUTLINE, box)]


def _dots(*heights: float) -> list[Mark]:
    """Draw kettle stitches and single holes as short strokes across the spine."""
    return [_line((46, y), (54, y), kind=LineKind.SLIT) for y in heights]


def spine_view() -> FormView:
    """The spine towards you, head up: a spine bared down to its supports."""
    marks: list[Mark] = [*_box(12, 2, 88, 98), *_box(20, 2, 80, 98, 0.92), *_box(24, 7, 76, 93)]
    for y in (26, 47, 68):
        marks += _box(16, y, 84, y + 6, 0.86)
    marks += [*_dots(14, 86), *_box(24, 4, 76, 7, 0.7), *_box(24, 93, 76, 96, 0.7)]
    return FormView(
        "From the spine",
        tuple(marks),
        (
            Take("cover.endband_head", (30, 4), (30, 7)),
            Take("spine.girth_head", (24, 10), (76, 10)),
            Take("sewing.tie_down", (36, 7), (36, 18)),
            Take("spine.strip_over", (31, 40), (31, 40)),
            Take("spine.girth_tail", (24, 90), (76, 90)),
            Take("cover.endband_tail", (30, 93), (30, 96)),
        ),
        (
            Take("cover.spine_width_head", (20, 22), (80, 22)),
            Take("sewing.support_width", (72, 26), (72, 32)),
            Take("cover.spine_width", (20, 57), (80, 57)),
            Take("spine.linings", (70, 62), (70, 62)),
            Take("cover.spine_width_tail", (20, 79), (80, 79)),
        ),
        share=0.46,
        aspect=4.5,
        cell_mm=27.0,
        tags=(("sewing.kettles", (58, 20)), ("sewing.supports_at", (50, 52))),
    )


def _round(top: float, bottom: float, edge: float, crown: float) -> tuple[Point, ...]:
    """Return the curve of a spine from its upper edge to its lower one."""
    half, middle = (bottom - top) / 2, (top + bottom) / 2
    turns = [math.pi * i / 32 for i in range(33)]
    return tuple((edge - (edge - crown) * math.sin(t), middle - half * math.cos(t)) for t in turns)


def tail_view() -> FormView:
    """The tail towards you, book lying on its back board, spine at the left."""
    block = (*_round(26, 74, 26, 10), (32, 71), (92, 69), (92, 31), (32, 29))
    marks: list[Mark] = [
        *_box(36, 21, 98, 29),
        *_box(36, 71, 98, 79),
        Area(LineKind.OUTLINE, block, 0.95),
        Line(LineKind.OUTLINE, block, closed=True),
        _line(*_round(21, 79, 30, 4)),
        *(_line((26, y), (91.5, y), kind=LineKind.REFERENCE) for y in (40, 45, 55, 60)),
    ]
    return FormView(
        "From the tail",
        tuple(marks),
        (
            Take("spine.shoulder_front", (29, 26), (29, 29)),
            Take("spine.over_shoulders", (24, 26), (24, 74)),
            Take("spine.round_depth", (10, 50), (26, 50)),
            Take("spine.shoulder_back", (29, 71), (29, 74)),
        ),
        (
            Take("cover.joint_gap", (32, 25), (36, 25)),
            Take("cover.board_thickness", (60, 21), (60, 29)),
            Take("text_block.thickness_fore_edge", (89, 31), (89, 69)),
            Take("text_block.thickness", (44, 29), (44, 71)),
            Take("cover.thickness", (16, 76.8), (16, 76.8)),
        ),
        share=0.54,
        aspect=1.1,
    )


def front_view() -> FormView:
    """The front board towards you, spine at the left: a board above, a limp side the same."""
    marks: list[Mark] = [
        *_box(2, 2, 98, 98),
        *_box(2, 2, 14, 98, 0.92),
        _line((18, 2), (18, 98), kind=LineKind.REFERENCE),
    ]
    return FormView(
        "From the front",
        tuple(marks),
        (
            Take("cover.side_width", (14, 22), (98, 22)),
            Take("cover.side_height", (86, 2), (86, 98)),
            Take("cover.board_height", (26, 2), (26, 98)),
            Take("cover.board_width", (18, 66), (98, 66)),
        ),
        (),
        share=0.38,
        aspect=1.5,
    )


def open_view() -> FormView:
    """The front board opened to the left, the block lying on the back board, head up."""
    marks: list[Mark] = [
        *_box(2, 6, 47, 94),
        *_box(53, 6, 98, 94),
        *_box(6, 10, 47, 90, 0.93),
        *_box(53, 11, 93, 88),
        *(_line((53, y), (93, y), kind=LineKind.REFERENCE) for y in (89, 90)),
        _line((47, 6), (53, 11), kind=LineKind.REFERENCE),
        _line((47, 94), (53, 88), kind=LineKind.REFERENCE),
    ]
    return FormView(
        "Open",
        tuple(marks),
        (
            Take("text_block.height", (57, 11), (57, 88)),
            Take("cover.turn_in", (2, 52), (6, 52)),
            Take("cover.square_tail_spine", (55, 88), (55, 94)),
        ),
        (
            Take("cover.square_head", (74, 6), (74, 11)),
            Take("text_block.width", (53, 34), (93, 34)),
            Take("cover.square_fore_edge", (93, 56), (98, 56)),
            Take("cover.square_tail_fore_edge", (90, 88), (90, 94)),
            Take("cover.square_tail", (74, 88), (74, 94)),
        ),
        share=0.62,
        aspect=1.0,
    )


def views() -> tuple[FormView, FormView, FormView, FormView]:
    """Return the four views, in the order in which the book is turned."""
    return spine_view(), tail_view(), front_view(), open_view()
