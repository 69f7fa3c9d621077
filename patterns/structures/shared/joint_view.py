"""The joint in section, enlarged: the slotted board shut, and open to its limit."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from math import cos, dist, radians

import shapely

from patterns.book.board_joint import slack_words
from patterns.book.boards import Which
from patterns.formulas import joints
from patterns.formulas.joints import Joint, JointPath
from patterns.formulas.slots import Slot
from patterns.model.capitals import BODY
from patterns.model.drawing import Line, LineKind, Mark, Point, Words
from patterns.model.part import Diagram
from patterns.sketch.marks import box_of
from patterns.sketch.scales import REDUCED, Scale, largest
from patterns.units import tenth, trimmed

REACH_MM = 16.0
"""How much of the board is shown from its spine edge on."""
WIDTH_MM = 128.0
ROOM_MM = 150.0
"""Widest: words find room beside it on an A4 or Letter page."""
MOST = Scale(6)
THICK_MM = 40.0
CLEAR_MM = 0.3
"""White between a name and lines or other names."""
BEYOND_MM = 1.0
"""The spine is drawn so much longer than what lies on it."""

_Place = Callable[[Point], Point]


JointLines = Callable[[float], list[Line]]
"""The lines of a joint in its own coordinates (z outwards), its board open by an angle."""


def slot_section(
    structure: str,
    boards: Sequence[Which],
    joint: Joint,
    slot: Slot,
    path: JointPath,
    wall_words: str,
) -> Diagram:
    """Draw board, slot, shoulder and cloth at a stated scale, shut above and open below.

    `wall_words` say how thin the walls may be.
    """
    reach = max(REACH_MM, slot.depth_mm + 5)
    named = " and ".join(boards)
    return joint_section(
        structure,
        f"joint section, {named}",
        f"Joint and slot in section, {named} board" + "s" * (len(boards) > 1),
        joint,
        lambda angle: _model(joint, slot, reach, angle),
        (
            f"{joint.name}: board {tenth(joint.board_mm)}, shoulder {tenth(joint.shoulder_mm)}, "
            f"gap {tenth(joint.gap_mm)} mm",
            f"slot {tenth(slot.depth_mm)} mm deep at {trimmed(slot.angle_deg)}° towards the {slot.toward} face, mouth "
            f"{slot.mouth_mm:.2f} mm from the inner face, kerf {slot.kerf_mm:.2f}, thinnest wall "
            f"{wall_words}",
            f"cloth from the tip of the shoulder to the mouth: {path.length_mm:.2f} mm, {slack_words(joint, path)}; "
            f"with the slot's depth less 1 mm the flange is {tenth(path.flange_mm(slot.depth_mm))} mm",
            "heavy line: the cloth, pasted in the slot, free across the joint",
        ),
    )


def joint_section(
    structure: str,
    name: str,
    title: str,
    joint: Joint,
    section: JointLines,
    notes: tuple[str, ...],
) -> Diagram:
    """Draw a joint at a stated scale, the same for both views: shut above and open below."""
    thick = max(joint.board_mm, joint.shoulder_mm)
    panels = [("shut", 0.0), (f"open to {joint.opening_deg:g}°", joint.opening_deg)]
    models = [section(angle) for _, angle in panels]
    widest = max(_extent(model)[2] - _extent(model)[0] for model in models)
    fitting = largest([(widest, ROOM_MM - 8), (thick, THICK_MM)], MOST) or REDUCED[-1]
    scale = fitting.factor
    width = max(WIDTH_MM, widest * scale + 8)
    marks: list[Mark] = []
    top = 0.0
    for (words, angle), model in zip(panels, models, strict=True):
        low_x, low_z, high_x, high_z = _extent(model)
        tall = (high_z - low_z) * scale
        origin = (width - (high_x - low_x) * scale) / 2 - low_x * scale
        floor = top + 8 + tall + low_z * scale

        def place(p: Point, ox: float = origin, oy: float = floor, s: float = scale) -> Point:
            return ox + p[0] * s, oy - p[1] * s

        marks.append(Words((0.0, top + 4), words, BODY, bold=True))
        lines = [_placed(line, place) for line in model]
        marks += [*lines, *_names(joint, place, angle, lines, width)]
        top += 8 + tall + 9
    return Diagram(
        name=name,
        structure=structure,
        title=title,
        scale=str(fitting),
        width_mm=width,
        height_mm=top,
        marks=tuple(marks),
        notes=notes,
    )


def _model(joint: Joint, slot: Slot, reach: float, angle: float) -> list[Line]:
    """Return the section in the joint's own coordinates (z outwards), the board turned."""

    def turn(point: Point) -> Point:
        return joints.turned(joint, point, angle)

    g = joint.gap_mm
    rise = slot.bottom_mm - slot.mouth_mm
    run = (slot.depth_mm**2 - rise**2) ** 0.5
    half = slot.kerf_mm / (2 * cos(radians(slot.angle_deg)))
    mouth, bottom = (g, slot.mouth_mm), (g + run, slot.bottom_mm)
    walls = (
        (mouth[0], mouth[1] - half),
        (bottom[0], bottom[1] - half),
        (bottom[0], bottom[1] + half),
        (mouth[0], mouth[1] + half),
    )
    end = (g + run * (1 - 1 / slot.depth_mm), slot.mouth_mm + rise * (1 - 1 / slot.depth_mm))
    cloth = [joint.tip, *groove(joint, angle), turn(mouth), turn(end)]
    return [
        *book_lines(joint, reach, angle),
        Line(LineKind.OUTLINE, tuple(map(turn, walls))),
        Line(LineKind.SECTION, (_spine(joint)[0], *cloth)),
    ]


def book_lines(joint: Joint, reach: float, angle: float, spine_mm: float = 0.0) -> list[Line]:
    """Return block with shoulder and board, the board open by an angle, in the joint's coordinates.

    The spine is shown a little longer than `spine_mm`, counted from the tip of the shoulder.
    """
    g, b = joint.gap_mm, joint.board_mm
    corners = ((g + reach, 0.0), (g, 0.0), (g, b), (g + reach, b))
    board = tuple(joints.turned(joint, corner, angle) for corner in corners)
    block = ((reach + g, 0.0), (0.0, 0.0), joint.tip, *_spine(joint, spine_mm))
    return [Line(LineKind.OUTLINE, block), Line(LineKind.CUT, board)]


def _spine(joint: Joint, least_mm: float = 0.0) -> tuple[Point, Point]:
    """The spine beyond the shoulder's tip, as far as it is shown: more than `least_mm`."""
    x, z = joint.tip
    bend, end = (x - 2.0, z - 1.2), (x - 3.0, -3.0)
    longer = least_mm + BEYOND_MM - dist(joint.tip, bend)
    return bend, end if longer <= dist(bend, end) else towards(bend, end, longer)


def along_spine(joint: Joint, far: float) -> tuple[Point, ...]:
    """Return the way along the spine from the shoulder's tip, the tip left out, to so far beyond it."""
    bend, end = _spine(joint, far)
    first = dist(joint.tip, bend)
    if far <= first:
        return (towards(joint.tip, bend, far),) if far > 0 else ()
    return bend, towards(bend, end, far - first)


def towards(a: Point, b: Point, far: float) -> Point:
    """Return the point so far from one towards another."""
    share = far / dist(a, b)
    return a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share


def groove(joint: Joint, angle: float) -> list[Point]:
    """Where a closed French groove bends the cloth; a tight joint is spanned straight."""
    if joint.kind == "french" and angle == 0:
        return [(0.0, 0.0), (joint.gap_mm, 0.0)]
    return []


def _placed(line: Line, place: _Place) -> Line:
    return Line(line.kind, tuple(map(place, line.points)), line.closed)


def _extent(model: list[Line]) -> tuple[float, float, float, float]:
    """Return least x and z, greatest x and z of a section's lines."""
    points = [p for line in model for p in line.points]
    xs, zs = [x for x, _ in points], [z for _, z in points]
    return min(xs), min(zs), max(xs), max(zs)


def _names(
    joint: Joint, place: _Place, angle: float, lines: Sequence[Line], width: float
) -> list[Words]:
    """Name block, board and spine, each where it is clear of the lines and of the names before it."""
    along = joint.gap_mm + REACH_MM * 0.62
    block = place((along, 0.0))
    x, y = place(_spine(joint)[1])
    spine = [
        Words((x - 1.5, y), "spine", BODY, anchor="end"),
        Words((x + 1.5, y), "spine", BODY),
        Words((x, y + BODY + 1.5), "spine", BODY, anchor="middle"),
        Words((0.0, y + BODY + 1.5), "spine", BODY),
    ]
    named = [Words((block[0], block[1] + BODY + 1.5), "text block", BODY)]
    for words in (list(_board_names(joint, place, angle, along)), spine):
        named.append(_clear(words, lines, named, width))
    return named


def _board_names(joint: Joint, place: _Place, angle: float, along: float) -> Iterator[Words]:
    """Yield the places for a board's name at its upper face: over it, else beside a steep one."""
    for x in (along, along - 3.0, along - 5.5, along + 3.0):
        faces = [place(joints.turned(joint, (x, z), angle)) for z in (0.0, joint.board_mm)]
        board = min(faces, key=lambda point: point[1])
        words = f"board, {'inner' if board is faces[0] else 'outer'} face"
        yield Words((board[0], board[1] - 1.2), words, BODY)
        yield Words((board[0] - 0.5, board[1] - 1.2), words, BODY, anchor="end")
        yield Words((board[0] - 2.0, board[1] + BODY / 2), words, BODY, anchor="end")
        yield Words((board[0] + 2.0, board[1] + BODY / 2), words, BODY)


def _clear(
    places: Sequence[Words], lines: Sequence[Line], named: Sequence[Words], width: float
) -> Words:
    """Return the first place within the drawing clear of lines and names, else of names, else the first."""
    drawn = [shapely.LineString(_run(line)) for line in lines]
    others = [shapely.box(*box_of(one)) for one in named]
    within = [one for one in places if box_of(one).left >= 0.0 and box_of(one).right <= width]
    for avoid in ([*drawn, *others], others):
        for one in within:
            if shapely.distance(shapely.box(*box_of(one)), avoid).min() > CLEAR_MM:
                return one
    return places[0]


def _run(line: Line) -> tuple[Point, ...]:
    return (*line.points, line.points[0]) if line.closed else line.points
