"""Pictures beside a step, each drawn from a book's own figures: what a hand does, seen from the side.

All but the wound tube are drawn at a scale that stands beneath them; paper and cloth are heavy lines.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from patterns.formulas import joints
from patterns.formulas.joints import SHORTER_MM, Joint
from patterns.formulas.slots import Slot
from patterns.model.capitals import BODY
from patterns.model.drawing import Area, Circle, Drawing, Line, LineKind, Mark, Point, Words
from patterns.sketch.hatching import paste
from patterns.sketch.marks import box_of, circle, corners, moved
from patterns.sketch.pictures import HIGH_MM, WIDE_MM, picture, pull, word
from patterns.sketch.scales import REDUCED, Scale, largest
from patterns.units import tenth

TINT = 0.86
TUBE_MM, LEVEL_MM = 34.0, 4.8
"""Drawn width of a tube's panel, and the space between two of its layers."""
BROKEN_MM = 3.0
"""How far a part goes on beyond what matters."""
APART_MM = 1.2
"""Least space between two words."""


def _scaled(extents: Sequence[tuple[float, float]], most: int = 3) -> Scale:
    """Return the largest scale at which every (length, room) in mm fits."""
    return largest(list(extents), Scale(most)) or REDUCED[-1]


def _ground(words: Words) -> tuple[Mark, ...]:
    """Return words on a white ground."""
    return Area(LineKind.TEXT, corners(box_of(words).grown(0.4)), 1.0), words


def wound(names: Sequence[str], first_on: bool, panel_mm: float) -> Drawing:
    """Show a strip wound into a tube, end on: panels in winding order, pasted ones hatched together.

    `names` are those of the panels; those on the spine lie below, the first of all where `first_on`.
    """
    up = 1.0 if first_on else -1.0
    levels = [up * (1 if k % 2 == 0 else -1) * (k // 2 + 0.5) * LEVEL_MM for k in range(len(names))]
    run: list[Point] = [(0.0, levels[0])]
    for k, (one, other) in enumerate(pairwise(levels)):
        right = k % 2 == 0
        x, radius = (TUBE_MM if right else 0.0), abs(other - one) / 2
        turns = [math.pi * i / 24 for i in range(25)]
        sign = math.copysign(1.0, other - one)
        bend = [
            (
                x + (1 if right else -1) * radius * math.sin(t) * 0.6,
                (one + other) / 2 - sign * radius * math.cos(t),
            )
            for t in turns
        ]
        run += bend
    run.append((TUBE_MM if len(names) % 2 else 0.0, levels[-1]))
    marks: list[Mark] = []
    for k in range(2, len(names)):
        top, low = sorted((levels[k - 2], levels[k]))
        marks += paste(3.0, TUBE_MM - 3.0, top, low, 1.4)
    marks.append(Line(LineKind.SECTION, tuple(run)))
    for k, name in enumerate(names):
        named = Words(
            (TUBE_MM / 2, levels[k] + BODY / 2), f"{k + 1} · {name}", BODY, anchor="middle"
        )
        marks += _ground(named)
    below, above = max(levels) + LEVEL_MM, min(levels) - LEVEL_MM * 0.6
    marks += [
        Words((TUBE_MM / 2, above), "to the cover", BODY, anchor="middle"),
        Words((TUBE_MM / 2, below + 0.6), "to the spine", BODY, anchor="middle"),
    ]
    return picture(marks, f"end on; panels {tenth(panel_mm)} wide")


def slid(board_mm: float, slot: Slot, flange_mm: float) -> Drawing:
    """Show a flange on its way into the slot of a board, the board's edge end on, outer face up."""
    reach = slot.depth_mm + BROKEN_MM
    scale = _scaled([(reach + flange_mm, WIDE_MM), (board_mm, 14.0)])
    f = scale.factor
    rise = slot.bottom_mm - slot.mouth_mm
    run = math.sqrt(slot.depth_mm**2 - rise**2)
    half = slot.kerf_mm / (2 * math.cos(math.radians(slot.angle_deg)))
    away = (run / slot.depth_mm, -rise / slot.depth_mm)

    def at(x: float, up: float) -> Point:
        return x * f, -up * f

    mouth = at(0.0, slot.mouth_mm)
    low, top = 0.0, -board_mm * f
    walls = [
        at(0.0, slot.mouth_mm - half),
        at(run, slot.bottom_mm - half),
        at(run, slot.bottom_mm + half),
        at(0.0, slot.mouth_mm + half),
    ]
    board = ((reach * f, low), (0.0, low), walls[0], *walls[1:], (0.0, top), (reach * f, top))
    out = flange_mm * 0.72 * f
    start = (mouth[0] - away[0] * out, mouth[1] - away[1] * out)
    tip = (mouth[0] + away[0] * flange_mm * 0.28 * f, mouth[1] + away[1] * flange_mm * 0.28 * f)
    names = [
        Words((reach * f, top - 1.2), "outer face", BODY, anchor="end"),
        Words((reach * f, low + 3.6), "inner face", BODY, anchor="end"),
    ]
    past = max(0.0, -min(box_of(one).left for one in names))  # the board is drawn shorter than them
    flange = Words((start[0], start[1] + 4.0), "flange", BODY)
    if box_of(flange).right > -APART_MM:
        flange = replace(flange, at=(-APART_MM, flange.at[1]), anchor="end")
    marks: list[Mark] = [
        Area(LineKind.OUTLINE, board, TINT),
        Line(LineKind.OUTLINE, board),
        Line(LineKind.SECTION, (start, tip)),
        *pull([(start[0], start[1] - 2.4), (mouth[0] - 2.0, mouth[1] - 2.4)]),
        *moved(names, past, 0.0),
        flange,
    ]
    return picture(marks, f"{scale}; ends {tenth(SHORTER_MM)} mm short of it")


def closed(stitch_mm: float) -> Drawing:
    """Show one stitch along the fold, sewn by itself: a bar outside, its ends tied inside."""
    scale = _scaled([(stitch_mm, 30.0)])
    long, over = stitch_mm * scale.factor, 9.0
    a, b = over, over + long
    cloth, fold, knot = 0.0, 3.4, 7.4
    middle = (a + b) / 2
    tied = Words((middle, knot + 4.4), "square knot", BODY, anchor="middle")
    clear = box_of(tied).grown(APART_MM)
    marks: list[Mark] = [
        Line(LineKind.SECTION, ((0.0, cloth), (b + over, cloth))),
        Line(LineKind.OUTLINE, ((0.0, fold), (b + over, fold))),
        Line(LineKind.OUTLINE, ((0.0, fold + 1.4), (b + over, fold + 1.4))),
        Line(LineKind.SEWN_OUTSIDE, ((a, cloth - 1.2), (b, cloth - 1.2))),
        *(Line(LineKind.OUTLINE, ((x, cloth - 1.2), (x, knot))) for x in (a, b)),
        Line(LineKind.SEWN_INSIDE, ((a, knot), (b, knot))),
        Area(LineKind.SEWN_OUTSIDE, circle((middle, knot), 1.1), 0.0),
        *pull([(a - 2.6, knot), (a - 2.6, cloth - 2.0)]),
        *pull([(b + 2.6, cloth - 1.2), (b + 2.6, knot)]),
        Words((middle, cloth - 3.0), f"bar {tenth(stitch_mm)}, outside", BODY, anchor="middle"),
        Words((min(a - 2.0, clear.left), knot + 4.4), "out", BODY, anchor="end"),
        Words((max(b + 2.0, clear.right), knot + 4.4), "in", BODY),
        tied,
    ]
    return picture(marks, f"{scale}, along the fold")


def turned_back(joint: Joint, seam_mm: float, onto_mm: float, opening_deg: float) -> Drawing:
    """Show a strip sewn face down on the block, and turned back over its seam onto the open board.

    Its seam edge lies on the shoulder, and beyond the tip on the spine where it is longer.
    """
    shown = min(onto_mm, 6.0)
    turned = _opened(joint, shown + BROKEN_MM, opening_deg)
    across = joints.taut(joint, (joint.gap_mm, 0.0), opening_deg)
    onto = joints.turned(joint, (joint.gap_mm + shown, 0.0), opening_deg)
    spine, seam = _on_shoulder(joint, seam_mm)
    right = shown + BROKEN_MM
    xs = [x for x, _ in (*turned, *spine, (right, 0.0))]
    zs = [z for _, z in (*turned, *spine, (0.0, 0.0))]
    scale = _scaled([(max(xs) - min(xs), WIDE_MM - 14.0), (max(zs) - min(zs), 18.0)], 2)
    f = scale.factor

    def at(point: Point, lift: float = 0.0) -> Point:
        return point[0] * f, -point[1] * f - lift

    middle = [sum(values) / len(turned) for values in zip(*turned, strict=True)]
    end = at(onto, 0.7)
    marks: list[Mark] = [
        Line(LineKind.OUTLINE, tuple(map(at, ((right, 0.0), (0.0, 0.0), *spine)))),
        Area(LineKind.OUTLINE, tuple(map(at, turned)), TINT),
        Line(LineKind.SECTION, tuple(map(at, seam))),
        Line(LineKind.SECTION, tuple(at(one, 0.7) for one in (*across, onto))),
        Line(LineKind.SEWN_INSIDE, (at((0.0, 0.0), 0.7), at((shown, 0.0), 0.7))),
        Circle(LineKind.OUTLINE, at((0.0, 0.0), 0.4), 0.9),
        *pull([at((shown, 0.0), 2.0), at((shown / 2, 0.0), 5.5), (end[0] / 4 + 1.5, end[1] - 2.0)]),
        word(at((min(x for x, _ in turned), middle[1])), "board", -1),
        Words((0.5, max(5.4, at(spine[-1])[1] + 3.6)), "seam", BODY, anchor="end"),
        Words((2.0, 5.4), "text block", BODY),
    ]
    return picture(marks, f"{scale}, the board open; dashed: as it was sewn")


def _opened(joint: Joint, long_mm: float, opening_deg: float) -> list[Point]:
    """Return the corners of the open board, as far as it is drawn."""
    near, far = joint.gap_mm, joint.gap_mm + long_mm
    shut = ((near, 0.0), (far, 0.0), (far, joint.board_mm), (near, joint.board_mm))
    return [joints.turned(joint, one, opening_deg) for one in shut]


def _on_shoulder(joint: Joint, seam_mm: float) -> tuple[list[Point], list[Point]]:
    """Return shoulder's tip and spine beyond it, and how a seam edge lies there, from its end."""
    tip, flank = joint.tip, joint.flank_mm
    rest = max(0.0, seam_mm - flank)
    down = math.radians(30.0 if flank else 90.0)

    def along(far: float) -> Point:
        return tip[0] - far * math.cos(down), tip[1] - far * math.sin(down)

    share = min(1.0, seam_mm / flank) if flank else 0.0
    seam = [along(rest)] * (rest > 0) + [(tip[0] * share, tip[1] * share), (0.0, 0.0)]
    return [tip, along(rest + 2.0)], seam


def set_in(joint: Joint) -> Drawing:
    """Show a rod in the groove of a shut joint, from outside, the press board ending there."""
    reach = joint.gap_mm + 12.0
    scale = _scaled([(reach + 3.0, WIDE_MM - 6.0), (joint.board_mm + 4.0, 20.0)])
    f, g, b = scale.factor, joint.gap_mm, joint.board_mm
    tip = joint.tip
    radius = g / 2 * 0.8

    def at(x: float, z: float) -> Point:
        return x * f, -z * f

    lift = 0.7
    cover = (
        at(tip[0] - 2.5, tip[1] - 0.6),
        (at(*tip)[0], at(*tip)[1] - lift),
        (at(g / 2, 0.0)[0], -lift),
        (at(g, b)[0], at(g, b)[1] - lift),
        (at(reach, b)[0], at(reach, b)[1] - lift),
    )
    board = (at(g, 0.0), at(reach, 0.0), at(reach, b), at(g, b))
    high = at(0.0, b)[1] - lift - 0.6
    crown = -2 * radius * f - 2 * lift
    press = ((g * f, high), (reach * f, high), (reach * f, high - 4.6), (g * f, high - 4.6))
    marks: list[Mark] = [
        Line(
            LineKind.OUTLINE, (at(reach, 0.0), (0.0, 0.0), at(*tip), at(tip[0] - 2.5, tip[1] - 1.2))
        ),
        Area(LineKind.OUTLINE, board, TINT),
        Line(LineKind.OUTLINE, board, closed=True),
        Line(LineKind.SECTION, cover),
        Line(LineKind.OUTLINE, press, closed=True),
        Circle(LineKind.OUTLINE, (g / 2 * f, -radius * f - lift * 2), radius * f),
        *pull([(g / 2 * f, crown - 6.0), (g / 2 * f, crown - 0.5)]),
        Words(((g * f + reach * f) / 2, high - 1.2), "press board", BODY, anchor="middle"),
        Words((reach * f, 3.8), "text block", BODY, anchor="end"),
        word((g / 2 * f, crown - 4.0), "rod", -1),
    ]
    return picture(marks, f"{scale}: groove {tenth(g)} wide")


def turned_in(square_mm: float, turn_mm: float) -> Drawing:
    """Show a covering turned in over the head of the spine: down inside it, the headcap above."""
    shown = turn_mm + BROKEN_MM
    scale = _scaled([(shown + square_mm, HIGH_MM - 9.0)], 2)
    f = scale.factor
    cap, low = -square_mm * f, shown * f
    x = 16.0
    marks: list[Mark] = [
        Line(LineKind.OUTLINE, ((x + 6.0, low), (x + 6.0, 0.0), (x + 24.0, 0.0))),
        Line(LineKind.REFERENCE, ((x + 9.0, cap), (x + 24.0, cap))),
        Line(
            LineKind.SECTION,
            (
                (x, low),
                (x, cap + 1.0),
                (x + 1.4, cap - 0.4),
                (x + 3.4, cap),
                (x + 3.4, (turn_mm - square_mm) * f),
            ),
        ),
        Circle(LineKind.OUTLINE, (x + 7.4, -1.4), 1.4),
        *pull([(x - 5.0, cap - 2.0), (x + 1.7, cap - 3.0), (x + 4.4, cap + 2.5)]),
        word((x - 0.6, low * 0.6), "covering", -1),
        Line(LineKind.REFERENCE, ((x + 9.6, cap - 0.8), (x + 8.2, -2.6))),
        Words((x + 9.0, cap - 1.4), "endband", BODY),
        Words((x + 15.0, low - 1.0), "text block", BODY, anchor="middle"),
    ]
    return picture(marks, f"{scale}; level with the boards")


def nested(lap_mm: float, hinge_mm: float, stub_mm: float, guards: int) -> Drawing:
    """Show a section seen from the tail: guards one within the other, strips loose, laps on leaves."""
    scale = _scaled([(stub_mm + hinge_mm + lap_mm + 8.0, WIDE_MM - 4.0)], 1)
    f = scale.factor
    count, step = min(guards, 3), 2.6
    hinge, lap = (stub_mm + hinge_mm) * f, (stub_mm + hinge_mm + lap_mm) * f
    far, marks = lap + 8.0 * f, list[Mark]()
    for k in range(count):
        y = (count - k) * step
        inner = [(lap, -y), (k * 1.6 + 1.4, -y), (k * 1.6, -y + 1.4), (k * 1.6, y - 1.4)]
        guard = (*inner, (k * 1.6 + 1.4, y), (lap, y))
        marks.append(Line(LineKind.SECTION, guard))
        for sign in (-1, 1):
            level = sign * (y - 0.9)
            marks.append(Line(LineKind.OUTLINE, ((hinge, level), (far, level))))
            top, under = sorted((sign * y, level))
            marks += paste(hinge, lap, top, under, 0.9)
        strip = y - 1.7
        marks.append(
            Line(
                LineKind.REFERENCE,
                (
                    (stub_mm * f - 1.0, -strip),
                    (k * 1.6 + 1.0, -strip),
                    (k * 1.6 + 1.0, strip),
                    (stub_mm * f - 1.0, strip),
                ),
            )
        )
    low = count * step
    stub = Words((0.0, low + 4.6), f"stub {tenth(stub_mm)}", BODY)
    lapped = Words((lap, low + 4.6), f"lap {tenth(lap_mm)}", BODY, anchor="middle")
    short = box_of(stub).right + APART_MM - box_of(lapped).left  # drawn small, they would meet
    marks += [
        stub,
        *moved([lapped], max(0.0, short), 0.0),
        Words((far, -low - 1.6), "leaf", BODY, anchor="end"),
        Words((0.0, -low - 1.6), "guard 1", BODY),
    ]
    return picture(marks, f"{scale}; strips loose, laps hatched")
