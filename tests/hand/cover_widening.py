"""cover_widening: a case whose boards differ, with grooves of two widths, on a spine that narrows to the tail.

Chord 38.5 + 2.0 + 2.9 = 43.4, round 4.5: the spine turns by 4·atan2(9, 43.4). Strip over 0.15, linings of 0.4 stay,
the new cloth is 0.35 thick: girth + turn·(0.4 − 0.15 + 0.35/2 − 0.1/2) goes over the spine, and (π − turn)·0.35/2
more where it leaves the round for the joints. Over each joint to the groove's floor and up the board's edge:
√((g/2)² + j²) + √((g/2)² + B²). The piece goes 9 under the sides and 16 round the boards' head and tail, which
stand 4 over the block; 2.5 of it shows at the front, the rest of what is lacking at the back.
"""

from collections.abc import Callable
from math import atan2, hypot, pi

from tests.hand.worked import Cut, Point, Worked, Zone

TURN = 4 * atan2(2 * 4.5, 43.4)
JOINTS = hypot(3.5, 2.0) + hypot(3.5, 2.6) + hypot(3.2, 2.9) + hypot(3.2, 2.3)
THICKER = TURN * (0.9 - 0.35) / 2 + (pi - TURN) * (0.9 - 0.35) / 2
"""How much more the cover's own spine, 0.9 thick, would have needed."""


def needed(y: float) -> float:
    """What the spine of the cover needs at y from the head of the block."""
    girth = 46.5 + (45.3 - 46.5) * y / 252
    return girth + TURN * (0.4 - 0.15 + 0.175 - 0.05) + JOINTS + (pi - TURN) * 0.175


def old_spine(y: float) -> float:
    """How wide the cover's own spine is there: 58.2 at the boards' head, 57.8 at their tail."""
    return 58.2 + (57.8 - 58.2) * (y + 4) / 260


def back(y: float) -> float:
    """Where the back side's edge lies, from the middle of the piece."""
    return -needed(y) / 2


def spine_at_back(y: float) -> float:
    """Where the old spine begins: what is lacking less 2.5 shows at the back."""
    return back(y) + needed(y) - old_spine(y) - 2.5


def front(y: float) -> float:
    return needed(y) / 2


def spine_at_front(y: float) -> float:
    return front(y) - 2.5


Edge = Callable[[float], float]


def between(left: Edge, right: Edge, top: float = -4.0, bottom: float = 256.0) -> tuple[Point, ...]:
    return (
        (left(top), top), (right(top), top), (right(bottom), bottom), (left(bottom), bottom),
    )  # fmt: skip


def out(edge: Edge, by: float) -> Edge:
    return lambda y: edge(y) + by


LEFT, RIGHT = out(back, -9), out(front, 9)

BOOK = Worked(
    record="""
[book]
id = "weir"
title = "Weir book"
weight = 1.2
[text_block]
height = 252
width = 165
thickness = 38.5
[spine]
profile = "rounded"
round_depth = 4.5
shoulder_front = 2.0
shoulder_back = 2.9
girth_head = 46.5
girth_tail = 45.3
strip_over = 0.15
linings = 0.4
[cover]
kind = "case"
joint = "french"
thickness = 0.9
board_height = 260
board_width = 163
square_head = 4
square_tail = 4
square_fore_edge = 4.5
turn_in = 15
spine_width_head = 58.2
spine_width_tail = 57.8
[cover.front]
joint_gap = 7.0
board_thickness = 2.6
[cover.back]
joint_gap = 6.4
board_thickness = 2.3
[measuring]
error = 0.3
""",
    structures=("cover_widening",),
    settings={"overlap": "9", "turn_in": "16", "gap_front": "2.5"},
    pieces={
        "widening piece": Cut(
            between(LEFT, RIGHT, -20, 272),
            folds=(
                ((LEFT(-4), -4), (RIGHT(-4), -4)),
                ((LEFT(256), 256), (RIGHT(256), 256)),
            ),
            kinds=("mountain", "mountain"),
            zones=(
                Zone(
                    "pasted",
                    "under",
                    "outer face of the back board, beneath its covering",
                    between(LEFT, back),
                ),
                Zone("pasted", "up", "covering of the back board", between(LEFT, back)),
                Zone(
                    "free",
                    "up",
                    "seen between spine and side; bends, no paste",
                    between(back, spine_at_back),
                ),
                Zone("pasted", "up", "original spine", between(spine_at_back, spine_at_front)),
                Zone(
                    "free",
                    "up",
                    "seen between spine and side; bends, no paste",
                    between(spine_at_front, front),
                ),
                Zone(
                    "pasted",
                    "under",
                    "outer face of the front board, beneath its covering",
                    between(front, RIGHT),
                ),
                Zone("pasted", "up", "covering of the front board", between(front, RIGHT)),
                Zone("free", "under", "it faces the text block", between(back, front)),
                Zone("pasted", "under", "itself, turned in", between(LEFT, RIGHT, -20, -4)),
                Zone("pasted", "under", "itself, turned in", between(LEFT, RIGHT, 256, 272)),
            ),
            grain="warp head-tail",
            left="BACK",
            right="FRONT",
        )
    },
    quantities={
        "needed_head_mm": needed(-4),
        "needed_tail_mm": needed(256),
        "deficiency_head_mm": needed(-4) + THICKER - 58.2,
        "deficiency_tail_mm": needed(256) + THICKER - 57.8,
        "gap_back_head_mm": needed(-4) - 58.2 - 2.5,
        "gap_back_tail_mm": needed(256) - 57.8 - 2.5,
        "gap_front_head_mm": 2.5,
        "gap_front_tail_mm": 2.5,
        "joint_over_front_mm": hypot(3.5, 2.0) + hypot(3.5, 2.6),
        "joint_over_back_mm": hypot(3.2, 2.9) + hypot(3.2, 2.3),
        "height_mm": 292,
    },
)
