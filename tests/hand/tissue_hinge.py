"""tissue_hinge of a right-to-left wrapper whose sides differ, its spine narrowing to the head.

Chord 13 + 0.4 + 0.6 = 14, round 1.0: the spine turns by 4·atan2(2, 14). Strip over 0; linings of 0.05 stay.
A layer t on u is girth + turn·(u + t/2 − 0.05) wide, the girth on a straight line from 14.6 at the head to 16.2 at
the tail of a block 184 high; cloth and stubs stop 9.4 from both ends.
Tissues of 0.08: the back stub on 0.05, the front one on 0.13, the cloth of 0.15 on 0.21, 0.5 inside each joint. A stub
stops 2 short of the far joint. A tissue's side begins inset + turn-in within the cover's edge: front 2.4 + 1.6,
back 2.4 + 12.5, with slack of 0.7 on the way; the cover stands 1.0 (front) and 1.7 (back) over the head.
The step between stub and side is rounded with 3 in 32 straight lines: on the stub where the side is the higher,
else on the side. A stub is bonded from 1.2 off its joint; between 1.2 and 2 from the back joint, which the front
stub does not reach, back stub and cloth are bonded to each other. The front stub is bonded to the back one but for
2 from the front joint, where the back stub ends; so close to the back joint as 1.2 it does not come.
Stitches of 11 at 38 and 118 (gatherings 2, 4) and at 54 and 129 (3): holes 5.5 above and below. The front stands at
the left, so that gathering g of 5 lies (g − ½)/5 of the cloth's width from its left edge.
Thread 60/3: 3 × 1653.5155/60 tex; diameter √(0.004·tex/(0.9·π)). Through 0.31 of lining and four folios
of 2 × 0.3 at each hole, four holes, and two tails of 100: 91 or 86 from first hole to last, a tenth more, rounded up to 5.
"""

from itertools import pairwise
from math import atan2, cos, pi, radians, sin, sqrt

from tests.hand.worked import Cut, Point, Worked, Zone, rectangle

TURN = 4 * atan2(2 * 1.0, 14.0)
TOP, LOW = 9.4, 184 - 9.4


def layer(y: float, beneath: float, thick: float) -> float:
    """How wide a layer is at y from the head of the block."""
    return 14.6 + (16.2 - 14.6) * y / 184 + TURN * (beneath + thick / 2 - 0.05)


def quarter(x: float, y: float, begin: float) -> list[Point]:
    """A quarter of a circle of 3 round x and y in 32 straight lines, begun at so many degrees."""
    turns = [radians(begin + n * 90 / 32) for n in range(33)]
    return [(x + 3 * cos(turn), y + 3 * sin(turn)) for turn in turns]


def beyond(x: float, arc: list[Point]) -> list[Point]:
    """What of an arc lies right of x, from where its straight line crosses x."""
    inside = [p for p in arc if p[0] > x]
    (x0, y0), (x1, y1) = next((a, b) for a, b in pairwise(arc) if (a[0] - x) * (b[0] - x) <= 0)
    crossing = (x, y0 + (y1 - y0) * (x - x0) / (x1 - x0))
    return [crossing, *inside] if arc[0][0] < arc[-1][0] else [*inside, crossing]


# Tissues as they lie with the joint at x = 0, + towards the fore edge; y from the head of the block.
FRONT = layer(TOP, 0.13, 0.08) - 2, layer(LOW, 0.13, 0.08) - 2
BACK = layer(TOP, 0.05, 0.08) - 2, layer(LOW, 0.05, 0.08) - 2
FRONT_REACH, BACK_REACH = 0.7 + 106.5 - 4.0, 0.7 + 108.3 - 14.9
FRONT_TOP, FRONT_LOW = 4.0 - 1.0, 4.0 - 1.0 + 188.5 - 8.0
BACK_TOP, BACK_LOW = 14.9 - 1.7, 14.9 - 1.7 + 187.0 - 29.8
HEAD_ARC = quarter(-3.0, TOP - 3.0, 0)[::-1]  # from (−3, 9.4) up to (0, 6.4)
TAIL_ARC = quarter(-3.0, LOW + 3.0, -90)  # from (−3, 174.6) down to (0, 177.6)
SIDE_HEAD_ARC = quarter(3.0, BACK_TOP - 3.0, 90)[::-1]  # from (0, 10.2) to (3, 13.2)
SIDE_TAIL_ARC = quarter(3.0, BACK_LOW + 3.0, 180)  # from (0, 173.4) to (3, 170.4)
Side = tuple[Point, ...]


def stub(ends: tuple[float, float], less: float, near: float) -> Side:
    """A stub from `less` off its far edge to `near` off its joint."""
    return ((-(ends[0] - less), TOP), (-near, TOP), (-near, LOW), (-(ends[1] - less), LOW))


FRONT_RING = (
    (-FRONT[0], TOP), *HEAD_ARC, (0.0, FRONT_TOP), (FRONT_REACH, FRONT_TOP),
    (FRONT_REACH, FRONT_LOW), (0.0, FRONT_LOW), *TAIL_ARC[::-1], (-FRONT[1], LOW),
)  # fmt: skip
BACK_RING = (
    (-BACK[0], TOP), (0.0, TOP), *SIDE_HEAD_ARC, (BACK_REACH, BACK_TOP),
    (BACK_REACH, BACK_LOW), *SIDE_TAIL_ARC[::-1], (0.0, LOW), (-BACK[1], LOW),
)  # fmt: skip
FRONT_FREE = (
    *beyond(-1.2, HEAD_ARC), (0.0, FRONT_TOP), (6.2, FRONT_TOP),
    (6.2, FRONT_LOW), (0.0, FRONT_LOW), *beyond(-1.2, TAIL_ARC[::-1]),
)  # fmt: skip
BACK_FREE = (
    (-1.2, TOP), (0.0, TOP), *SIDE_HEAD_ARC, (6.2, BACK_TOP),
    (6.2, BACK_LOW), *SIDE_TAIL_ARC[::-1], (0.0, LOW), (-1.2, LOW),
)  # fmt: skip


def turned(ring: Side) -> Side:
    """A ring turned over side to side: the front is at the left, its fore edge to the left."""
    return tuple((-x, y) for x, y in ring)


def cover(side: str) -> str:
    return f"inside of the {side} side of the cover"


A, B = layer(TOP, 0.21, 0.15) / 2, layer(LOW, 0.21, 0.15) / 2  # half the way from joint to joint
HIGH = LOW - TOP


def band(head: tuple[float, float], tail: tuple[float, float]) -> Side:
    return ((head[0], 0.0), (head[1], 0.0), (tail[1], HIGH), (tail[0], HIGH))


CLOTH = band((-A + 0.5, A - 0.5), (-B + 0.5, B - 0.5))
OUTER, MIDDLE = (32.5, 43.5, 112.5, 123.5), (48.5, 59.5, 123.5, 134.5)
OLD = (13.0, 70.0, 140.0, 171.0)
DIAMETER = sqrt(0.004 * (3 * 1653.5155 / 60) / (0.9 * pi))


def wide(y: float) -> float:
    """How wide the cloth is at y from the head of the block."""
    return 2 * (A - 0.5 + (B - A) * (y - TOP) / HIGH)


def strip(holes: tuple[float, ...]) -> Cut:
    return Cut(
        ((0, 0), (32, 0), (40, 8), (40, 184), (0, 184)),
        folds=(((20, 0), (20, 184)),),
        holes=tuple((20, y) for y in holes),
        old_holes=tuple((20, y) for y in OLD),
        grain="head-tail",
        left="BACK",
        right="FRONT",
    )


BOOK = Worked(
    record="""
[book]
id = "tariff"
title = "Tariff book"
reading = "right-to-left"
weight = 0.21
[text_block]
height = 184
width = 104
thickness = 13
leaves = 40
gatherings = 5
leaves_per_gathering = 8
leaf_thickness = 0.3
grammage = 90
[spine]
profile = "rounded"
round_depth = 1.0
shoulder_front = 0.4
shoulder_back = 0.6
girth_head = 14.6
girth_tail = 16.2
strip_over = 0
linings = 0.05
[cover]
kind = "wrapper"
joint = "flush"
thickness = 0.3
spine_width_head = 17.0
spine_width_tail = 18.0
[cover.front]
side_width = 106.5
side_height = 188.5
turn_in = 1.6
square_head = 1.0
[cover.back]
side_width = 108.3
side_height = 187.0
turn_in = 12.5
square_head = 1.7
[sewing]
kettles = [13, 171]
holes_at = [70, 140]
supports = "none"
[condition]
paper = "fair"
[measuring]
error = 0.3
""",
    structures=("tissue_hinge",),
    settings={
        "setback": "9.4",
        "stub_end": "2",
        "keep": "1.2",
        "free": "5.5",
        "ease": "0.7",
        "inset": "2.4",
        "hem": "0.5",
        "fixed": "2@38 2@118 3@54 3@129 4@38 4@118",
        "stitches": "2",
        "stitch": "11",
        "path": "fold",
    },
    pieces={
        "lining cloth": Cut(
            CLOTH,
            holes=tuple(
                (wide(y) * ((number - 0.5) / 5 - 0.5), y - TOP)
                for number in (2, 3, 4)
                for y in (MIDDLE if number == 3 else OUTER)
            ),
            zones=(
                Zone("free", "up", "spine of the cover", CLOTH),
                Zone("pasted", "under", "front stub", band((-A + 1.2, A - 2), (-B + 1.2, B - 2))),
                Zone("pasted", "under", "back stub", band((A - 2, A - 1.2), (B - 2, B - 1.2))),
            ),
            grain="warp head-tail",
            left="FRONT",
            right="BACK",
        ),
        "tissue, front": Cut(
            turned(FRONT_RING),
            zones=(
                Zone("free", "up", "joint: it bends", turned(FRONT_FREE)),
                Zone(
                    "pasted",
                    "up",
                    cover("front"),
                    turned(rectangle(6.2, FRONT_TOP, FRONT_REACH, FRONT_LOW)),
                ),
                Zone("pasted", "up", "cloth", turned(stub(FRONT, 0, 1.2))),
                Zone("pasted", "under", "back stub", turned(stub(FRONT, 0, 2))),
                Zone(
                    "free",
                    "under",
                    "leaves",
                    turned(rectangle(0, FRONT_TOP, FRONT_REACH, FRONT_LOW)),
                ),
            ),
            grain="spine-fore edge",
        ),
        "tissue, back": Cut(
            BACK_RING,
            zones=(
                Zone("free", "up", "joint: it bends", BACK_FREE),
                Zone("pasted", "up", cover("back"), rectangle(6.2, BACK_TOP, BACK_REACH, BACK_LOW)),
                Zone("pasted", "up", "front stub", stub(BACK, 0, 2)),
                Zone("pasted", "up", "cloth", rectangle(-2, TOP, -1.2, LOW)),
                Zone("free", "under", "folds and leaves", BACK_RING),
            ),
            grain="spine-fore edge",
        ),
        "pricking strip A": strip(OUTER),
        "pricking strip B": strip(MIDDLE),
    },
    quantities={
        "cloth_width_mm": 2 * B - 1,
        "cloth_height_mm": HIGH,
        "stub_front_head_mm": FRONT[0],
        "stub_front_tail_mm": FRONT[1],
        "stub_back_head_mm": BACK[0],
        "stub_back_tail_mm": BACK[1],
        "tissue_front_width_mm": FRONT[1] + FRONT_REACH,
        "tissue_back_width_mm": BACK[1] + BACK_REACH,
        "side_front_height_mm": 180.5,
        "side_back_height_mm": 157.2,
        "bond_from_mm": 5.5,
        "bond_to_front_mm": 106.5 - 4.0,
        "bond_to_back_mm": 108.3 - 14.9,
        "stub_overlap_mm": FRONT[0] + BACK[0] - layer(TOP, 0.36, 0),
        "laminate_mm": 0.31,
        "laminate_girth_mm": layer(184, 0.36, 0),
        "thread_diameter_mm": DIAMETER,
        "swell_least_mm": 1.5 * DIAMETER,
        "swell_most_mm": 3 * DIAMETER,
        "thread_mm": 330 + 325 + 330,
        "pitch_mm": 75,
        "block_kg": 40 * 0.184 * 0.104 * 0.090,
    },
    stations=(32.5, 43.5, 48.5, 59.5, 112.5, 123.5, 134.5),
    said=("Leave 1.2 mm unbonded at each joint", "2.4 mm from the cover's edges or turn-ins"),
    paper="letter",
)
