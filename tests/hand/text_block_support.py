"""text_block_support of a flat-backed atlas, thinner at the fore edge, its four tail squares and both boards unlike.

Spine endband 2.2 and relief 1.1: the support begins 3.3 from the folds. The front board ends 5 + 279 from them, less
the clearance of 1.2: 282.8, short of the back one's (6 + 280.4) and of 4 inside the leaves' 285. Between the boards
28 − 2.4 at the folds and 24 − 2.4 at the leaves' edge, on straight lines.
Squares, the lesser of both boards: 9.1 at the folds, 11.0 at 285. Six layers of 1.5 go into the lower end's 9.1 and a
little; what is left grows to 1.985, pared of two. Read from right to left, the front board lies at the head of the sheet.
"""

from tests.hand.worked import Cut, Worked, Zone

BEGINS, ENDS = 3.3, 282.8
LENGTH = ENDS - BEGINS


def half(s: float) -> float:
    """Half the support's width at s from the folds."""
    return (25.6 - 4 * s / 285) / 2


def high(s: float) -> float:
    """How high the block hangs at s from the folds."""
    return 9.1 + (11.0 - 9.1) * s / 285


PLAN = (
    (0.0, -half(BEGINS)), (LENGTH, -half(ENDS)), (LENGTH, half(ENDS)), (0.0, half(BEGINS)),
)  # fmt: skip
ON_LAYERS = Zone("pasted", "under", "whole layers", PLAN)
BLOCK = Zone("free", "up", "the text block stands here", PLAN)

BOOK = Worked(
    record="""
[book]
id = "charts"
title = "Chart atlas"
reading = "right-to-left"
weight = 2.9
[text_block]
height = 380
width = 285
thickness = 28
thickness_fore_edge = 24
[spine]
profile = "flat"
round_depth = 0
girth_head = 28
girth_tail = 28
strip_over = 0
[cover]
kind = "case"
joint = "french"
thickness = 0.7
endband_tail = 2.2
[cover.front]
joint_gap = 5
board_height = 392
board_width = 279
board_thickness = 3.0
square_tail_spine = 9.5
square_tail_fore_edge = 11.0
square_head = 3
[cover.back]
joint_gap = 6
board_height = 391.4
board_width = 280.4
board_thickness = 2.8
square_tail_spine = 9.1
square_tail_fore_edge = 11.4
square_head = 3
[measuring]
error = 0.3
""",
    structures=("text_block_support",),
    settings={"clearance": "1.2", "relief": "1.1", "build": "wedge"},
    pieces={
        "layer": Cut(
            PLAN,
            zones=(
                Zone("pasted", "up", "the layer above", PLAN),
                Zone("pasted", "under", "the layer below", PLAN),
            ),
            grain="spine-fore edge",
            quantity=6,
            left="SPINE",
            right="FORE EDGE",
            head="FRONT board",
            tail="BACK board",
        ),
        "wedge": Cut(
            PLAN,
            zones=(BLOCK, ON_LAYERS),
            grain="spine-fore edge",
            quantity=2,
            left="SPINE",
            right="FORE EDGE",
            head="FRONT board",
            tail="BACK board",
        ),
        "profile": Cut(
            (
                (0, high(ENDS) - high(BEGINS)),
                (LENGTH, 0),
                (LENGTH, high(ENDS)),
                (0, high(ENDS)),
            ),
            head="",
            tail="",
        ),
    },
    quantities={
        "square_tail_spine_mm": 9.1,
        "square_tail_fore_edge_mm": 11.0,
        "support_width_mm": 25.6,
        "support_width_fore_edge_mm": 21.6,
        "support_length_mm": LENGTH,
        "relief_mm": 3.3,
        "height_spine_mm": high(BEGINS),
        "height_fore_edge_mm": high(ENDS),
        "layers_n": 6,
        "rest_spine_mm": high(BEGINS) - 9,
        "rest_fore_edge_mm": high(ENDS) - 9,
    },
)
