"""spine_inlay in a case with unequal grooves, its spine wider than the book asks for, the book's narrowing to the tail.

Chord 22.5 + 0.8 + 1.2 = 24.5, round 2.2: the spine turns by 4·atan2(4.4, 24.5). Strip over 0.1, linings of 0.25 stay,
card of 0.4: girth + turn·(0.25 − 0.1 + 0.4/2 − 0.1/2), on the straight line of both girths on to the boards' head
and tail, 3.5 beyond the block's. The case leaves more: 42.0 at the head less both ways over its joints,
√(2.5² + 0.8²) + √(2.5² + 2.2²) and √(3² + 1.2²) + √(3² + 1.9²), is 29.3. The inlay is 0.7 narrower at each side.
"""

from math import atan2, hypot

from tests.hand.worked import Cut, Worked, Zone

TURN = 4 * atan2(2 * 2.2, 24.5)


def layer(y: float) -> float:
    """How wide a layer of 0.4 is at y from the head of the block."""
    return 27.6 + (25.9 - 27.6) * y / 187 + TURN * (0.25 - 0.1 + 0.2 - 0.05)


HEAD, TAIL = layer(-3.5) - 1.4, layer(190.5) - 1.4
RING = ((-HEAD / 2, 0.0), (HEAD / 2, 0.0), (TAIL / 2, 194.0), (-TAIL / 2, 194.0))

BOOK = Worked(
    record="""
[book]
id = "lock"
title = "Lock book"
weight = 0.7
[text_block]
height = 187
width = 120
thickness = 22.5
[spine]
profile = "rounded"
round_depth = 2.2
shoulder_front = 0.8
shoulder_back = 1.2
girth_head = 27.6
girth_tail = 25.9
strip_over = 0.1
linings = 0.25
[cover]
kind = "case"
joint = "french"
thickness = 0.6
board_height = 194
board_width = 121
square_head = 3.5
square_tail = 3.5
square_fore_edge = 4
turn_in = 15
spine_width_head = 42.0
spine_width_tail = 44.0
[cover.front]
joint_gap = 5.0
board_thickness = 2.2
[cover.back]
joint_gap = 6.0
board_thickness = 1.9
[measuring]
error = 0.3
""",
    structures=("spine_inlay",),
    settings={"clearance": "0.7"},
    pieces={
        "inlay": Cut(
            RING,
            zones=(
                Zone("pasted", "up", "inside of the cover's spine", RING),
                Zone("free", "under", "it faces the text block", RING),
            ),
            grain="head-tail",
            left="BACK",
            right="FRONT",
        )
    },
    quantities={
        "layer_head_mm": HEAD + 1.4,
        "layer_tail_mm": TAIL + 1.4,
        "width_head_mm": HEAD,
        "width_tail_mm": TAIL,
        "height_mm": 194,
        "joint_over_front_mm": hypot(2.5, 0.8) + hypot(2.5, 2.2),
        "joint_over_back_mm": hypot(3.0, 1.2) + hypot(3.0, 1.9),
    },
    paper="letter",
)
