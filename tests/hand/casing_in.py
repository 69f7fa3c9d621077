"""casing_in in a case with grooves of two widths and boards of two sizes, the spine widening to the tail; endpapers hooked.

Chord 24.5 + 2.0 + 1.5 = 28, round 4.5: the spine turns by 4·atan2(9, 28). Strip over 0, linings of 0.2 stay: a layer t
on u is girth + turn·(u + t/2 − 0.05) wide; tissue of 0.08 on 0.2, cloth of 0.25 on 0.28, 10 from the head and 14 from
the tail of 236. Cloth goes down the shoulder and over the groove's floor, 2.0 + 6.0 and 1.5 + 7.0, and 32 onto the board.
An endpaper's leaf is as wide as the block's, 150, and 9 more go round the outermost gathering: 2 × 159, and 2 larger
all round at first. Pasted, a leaf grows 1.5 % across and 0.3 % along its grain: from the base of the shoulder it goes over
the groove and leaves the rest of the board bare.
"""

from math import atan2

from tests.hand.worked import Cut, Point, Worked, Zone, rectangle

TURN = 4 * atan2(2 * 4.5, 28.0)
FRONT, BACK = 2.0 + 6.0, 1.5 + 7.0
HIGH = 236 - 10 - 14


def layer(y: float, beneath: float, thick: float) -> float:
    """How wide a layer is at y from the head of the block."""
    return 31.0 + 1.4 * y / 236 + TURN * (beneath + thick / 2 - 0.05)


def band(head: tuple[float, float], tail: tuple[float, float]) -> tuple[Point, ...]:
    """A part of the cloth between two places at its head and two at its tail, from the middle of the spine."""
    return ((head[0], 0.0), (head[1], 0.0), (tail[1], HIGH), (tail[0], HIGH))


A, B = layer(10, 0.28, 0.25) / 2, layer(222, 0.28, 0.25) / 2
TISSUE_A, TISSUE_B = layer(10, 0.2, 0.08) / 2, layer(222, 0.2, 0.08) / 2
TISSUE = band((-TISSUE_A, TISSUE_A), (-TISSUE_B, TISSUE_B))
BOARD = "inner face of the {} board"


def gauge(head: float, fore: float) -> Cut:
    return Cut(
        ((0, 0), (60, 0), (60, 60), (60 - fore, 60), (60 - fore, head), (0, head)),
        head="",
        tail="",
    )


BOOK = Worked(
    record="""
[book]
id = "ledger"
title = "Quay ledger"
reading = "left-to-right"
weight = 1.3
[text_block]
height = 236
width = 150
thickness = 24.5
leaves = 120
leaf_thickness = 0.18
[spine]
profile = "rounded"
round_depth = 4.5
shoulder_front = 2.0
shoulder_back = 1.5
girth_head = 31.0
girth_tail = 32.4
strip_over = 0
linings = 0.2
[cover]
kind = "case"
joint = "french"
thickness = 0.6
turn_in = 15
[cover.front]
joint_gap = 6.0
board_height = 243.0
board_width = 147.5
board_thickness = 2.5
square_head = 3.2
square_tail = 3.8
square_fore_edge = 3.7
[cover.back]
joint_gap = 7.0
board_height = 242.4
board_width = 146.0
board_thickness = 2.1
square_head = 2.6
square_tail = 3.8
square_fore_edge = 4.4
[measuring]
error = 0.3
""",
    structures=("casing_in",),
    settings={
        "setback_head": "10",
        "setback_tail": "14",
        "endpapers": "hooked",
        "hook": "9",
        "larger": "2",
    },
    pieces={
        "lining": Cut(
            band((-A - BACK - 32, A + FRONT + 32), (-B - BACK - 32, B + FRONT + 32)),
            zones=(
                Zone("pasted", "under", "first lining", band((-A, A), (-B, B))),
                Zone(
                    "free", "under", "free over the joint", band((-A - BACK, -A), (-B - BACK, -B))
                ),
                Zone(
                    "pasted",
                    "under",
                    BOARD.format("back"),
                    band((-A - BACK - 32, -A - BACK), (-B - BACK - 32, -B - BACK)),
                ),
                Zone("free", "under", "free over the joint", band((A, A + FRONT), (B, B + FRONT))),
                Zone(
                    "pasted",
                    "under",
                    BOARD.format("front"),
                    band((A + FRONT, A + FRONT + 32), (B + FRONT, B + FRONT + 32)),
                ),
            ),
            grain="warp head-tail",
            left="BACK board",
            right="FRONT board",
        ),
        "first lining": Cut(
            TISSUE,
            zones=(Zone("pasted", "under", "folds of the spine", TISSUE),),
            grain="head-tail",
            left="BACK",
            right="FRONT",
        ),
        "endpaper": Cut(
            rectangle(0, 0, 318, 236),
            folds=(((159, 0), (159, 236)), ((150, 0), (150, 236)), ((168, 0), (168, 236))),
            kinds=("mountain", "valley", "valley"),
            zones=(
                Zone("pasted", "up", "inner face of the board", rectangle(0, 0, 150, 236)),
                Zone("free", "under", "seen when the board is open", rectangle(0, 0, 150, 236)),
                Zone(
                    "pasted",
                    "up",
                    "inner fold of the outermost gathering",
                    rectangle(159, 0, 168, 236),
                ),
            ),
            grain="head-tail",
            quantity=2,
            cut_first=rectangle(-2, -2, 320, 238),
        ),
        "corner gauge, front": gauge(3.2, 3.7),
        "corner gauge, back": gauge(2.6, 4.4),
    },
    quantities={
        "flange_front_mm": FRONT + 32,
        "flange_back_mm": BACK + 32,
        "joint_path_front_mm": 6.0,
        "joint_path_back_mm": 7.0,
        "margin_fore_edge_front_mm": 147.5 + 6.0 - 150 * 1.015,
        "margin_fore_edge_back_mm": 146.0 + 7.0 - 150 * 1.015,
        "margin_head_front_mm": 3.2 - 236 * 0.0015,
        "margin_head_back_mm": 2.6 - 236 * 0.0015,
        "margin_tail_front_mm": 243.0 - 3.2 - 236 * 1.0015,
        "margin_tail_back_mm": 242.4 - 2.6 - 236 * 1.0015,
        "endpapers_add_thickness_mm": 2 * 0.17,
        "endpapers_add_chord_mm": 8 * 0.17,
        "added_over_spine_mm": 0.33,
    },
    said=(
        "front 1.8 mm at the head; back 2.4 mm at the head",  # turn-ins of 15 less square less 10
    ),
)
