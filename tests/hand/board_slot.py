"""board_slot in two boards that differ in everything, of a book read from right to left.

Calipers err by 0.1: a slot lies about (B − 0.1)/2 from the inner face, and 0.8 of wall is left at B − 0.1. Depth 9, kerf 0.4:
  front, B 3.6: 1.75; 4.5·sin 9.5° + 0.2/cos 9.5° = 0.946 of the 0.95 there are, 10° would take 0.985; mouth 1.75 + 0.743;
  back,  B 2.9: 1.40; 4.5·sin 5° + 0.2/cos 5° = 0.593 of 0.60, 5.5° would take 0.632; mouth 1.40 + 0.392.
The cloth goes from the tip of the shoulder (0, j) to the mouth (g, e); the board turns about the middle H between tip
and arris (g, B), by a half turn at most, on which the way grows to |SH| + |HQ|. It goes 9 − 1 on into the slot.
Slots begin 11 + square − 1 below the board's head and end 14 + square − 1 above its tail.
Chord 47 + 2.8 + 2.2 = 52, round 4, linings of 0.2: tissue of 0.08, then cloth of 0.25 over it.
The front board hangs on the left: its strip is 28 wide with the board's edge, and its inner face, at the right.
"""

from math import atan2, cos, dist, radians, sin

from tests.hand.worked import Cut, Point, Worked, Zone, rectangle

TURN = 4 * atan2(2 * 4, 52.0)
MOUTH_FRONT = 1.75 + 4.5 * sin(radians(9.5))
MOUTH_BACK = 1.40 + 4.5 * sin(radians(5.0))


def way(gap: float, shoulder: float, board: float, mouth: float) -> float:
    """From tip to mouth round the pivot between tip and arris."""
    pivot = (gap / 2, (shoulder + board) / 2)
    return dist((0, shoulder), pivot) + dist(pivot, (gap, mouth))


WAY_FRONT, WAY_BACK = way(1.0, 2.8, 3.6, MOUTH_FRONT), way(1.4, 2.2, 2.9, MOUTH_BACK)


def girth(y: float, beneath: float, thick: float) -> float:
    """How wide a layer is at y from the head of the block."""
    return 54.2 + (53.0 - 54.2) * y / 305 + TURN * (beneath + thick / 2 - 0.05)


def band(
    left_head: float, left_tail: float, wide_head: float, wide_tail: float
) -> tuple[Point, ...]:
    return (
        (left_head, 0.0), (left_head + wide_head, 0.0),
        (left_tail + wide_tail, 280.0), (left_tail, 280.0),
    )  # fmt: skip


CLOTH_HEAD, CLOTH_TAIL = girth(11, 0.28, 0.25), girth(291, 0.28, 0.25)
IN = (CLOTH_HEAD - CLOTH_TAIL) / 2
"""How far each side of the cloth leans in from head to tail."""
FLANGE_FRONT, FLANGE_BACK = WAY_FRONT + 8, WAY_BACK + 8
RIGHT_HEAD = FLANGE_FRONT + CLOTH_HEAD
TISSUE = band(0, IN, girth(11, 0.2, 0.08), girth(291, 0.2, 0.08))
FRONT_SLOT = band(0, IN, 8, 8)
BACK_SLOT = band(RIGHT_HEAD + WAY_BACK, RIGHT_HEAD - IN + WAY_BACK, 8, 8)

BOOK = Worked(
    record="""
[book]
id = "quay"
title = "Quay register"
weight = 3.1
reading = "right-to-left"
[text_block]
height = 305
width = 200
thickness = 47
[spine]
profile = "rounded"
round_depth = 4
shoulder_front = 2.8
shoulder_back = 2.2
girth_head = 54.2
girth_tail = 53.0
strip_over = 0
linings = 0.2
[cover]
kind = "in-boards"
joint = "tight"
thickness = 0.8
board_width = 201
square_fore_edge = 4
turn_in = 15
[cover.front]
joint_gap = 1.0
board_thickness = 3.6
square_head = 3.0
square_tail = 3.6
board_height = 311.6
[cover.back]
joint_gap = 1.4
board_thickness = 2.9
square_head = 2.4
square_tail = 3.4
board_height = 310.8
[sewing]
supports = "raised"
kettles = [17, 290]
supports_at = [60, 118, 181, 240]
support_width = 7
[[union]]
between = ["text block", "boards"]
moves = true
made = "sewn"
state = "failed"
[measuring]
error = 0.4
""",
    structures=("board_slot",),
    settings={"depth": "9", "kerf": "0.4", "setback_head": "11", "setback_tail": "14"},
    pieces={
        "edge strip, front": Cut(
            rectangle(0, 0, 28, 311.6),
            slits=(
                ((28 - MOUTH_FRONT, 13.0), (28 - MOUTH_FRONT, 295.0)),
                ((28.0, 13.0), (24.4, 13.0)),
                ((28.0, 295.0), (24.4, 295.0)),
            ),
            old_holes=tuple((28 - 3.6 / 2, 3.0 + y) for y in (60, 118, 181, 240)),
        ),
        "edge strip, back": Cut(
            rectangle(0, 0, 28, 310.8),
            slits=(
                ((MOUTH_BACK, 12.4), (MOUTH_BACK, 294.4)),
                ((0.0, 12.4), (2.9, 12.4)),
                ((0.0, 294.4), (2.9, 294.4)),
            ),
            old_holes=tuple((2.9 / 2, 2.4 + y) for y in (60, 118, 181, 240)),
        ),
        "depth gauge": Cut(
            ((0, 0), (50, 0), (50, 34), (34, 34), (34, 43), (16, 43), (16, 34), (0, 34)),
            head="",
            tail="",
        ),
        "lining": Cut(
            band(
                0,
                IN,
                FLANGE_FRONT + CLOTH_HEAD + FLANGE_BACK,
                FLANGE_FRONT + CLOTH_TAIL + FLANGE_BACK,
            ),
            cut_first=band(
                -3,
                IN - 3,
                FLANGE_FRONT + CLOTH_HEAD + FLANGE_BACK + 6,
                FLANGE_FRONT + CLOTH_TAIL + FLANGE_BACK + 6,
            ),
            zones=(
                Zone(
                    "pasted",
                    "under",
                    "first lining",
                    band(FLANGE_FRONT, FLANGE_FRONT + IN, CLOTH_HEAD, CLOTH_TAIL),
                ),
                Zone("free", "under", "free over the joint", band(8, 8 + IN, WAY_FRONT, WAY_FRONT)),
                Zone("pasted", "under", "slot in the front board", FRONT_SLOT),
                Zone("pasted", "up", "slot in the front board", FRONT_SLOT),
                Zone(
                    "free",
                    "under",
                    "free over the joint",
                    band(RIGHT_HEAD, RIGHT_HEAD - IN, WAY_BACK, WAY_BACK),
                ),
                Zone("pasted", "under", "slot in the back board", BACK_SLOT),
                Zone("pasted", "up", "slot in the back board", BACK_SLOT),
            ),
            grain="warp head-tail",
            left="FRONT board",
            right="BACK board",
        ),
        "first lining": Cut(
            TISSUE,
            zones=(Zone("pasted", "under", "folds of the spine", TISSUE),),
            grain="head-tail",
            left="FRONT",
            right="BACK",
        ),
    },
    quantities={
        "slot_angle_front_deg": 9.5,
        "slot_angle_back_deg": 5.0,
        "slot_mouth_front_mm": MOUTH_FRONT,
        "slot_mouth_back_mm": MOUTH_BACK,
        "slot_wall_front_mm": 1.75 - 4.5 * sin(radians(9.5)) - 0.2 / cos(radians(9.5)),
        "slot_wall_back_mm": 1.40 - 4.5 * sin(radians(5.0)) - 0.2 / cos(radians(5.0)),
        "slot_from_front_mm": 13.0,
        "slot_to_front_mm": 295.0,
        "slot_from_back_mm": 12.4,
        "slot_to_back_mm": 294.4,
        "joint_path_front_mm": WAY_FRONT,
        "joint_path_back_mm": WAY_BACK,
        "joint_straight_front_mm": dist((0, 2.8), (1.0, MOUTH_FRONT)),
        "joint_straight_back_mm": dist((0, 2.2), (1.4, MOUTH_BACK)),
        "flange_front_mm": FLANGE_FRONT,
        "flange_back_mm": FLANGE_BACK,
    },
)
