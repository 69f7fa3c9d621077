"""joint_tacket: three tackets between the same boards and block, clear of the sewing by 5.

Loop: twice shoulder, way from the shoulder's base to the board's inner arris and back, 7 on the board, and the board's
thickness; and two tails of 70. The way is √(g² + (j + B)²): front √(1 + 6.4²), back √(1.4² + 5.1²).
Pairs 5 apart keep 20 from the ends, and 5 from the holes of the kettles at 17 and 290: their middles lie from 17 + 5 + 2.5
to 290 − 5 − 2.5, the third half way. On a board they lie lower by its square. The strip lies 26 on the board
and hangs 14 over its edge, where the pairs are marked half way.
"""

from dataclasses import replace
from math import hypot

from tests.hand import board_slot
from tests.hand.worked import Cut, rectangle

RECORD = board_slot.BOOK.record.replace(
    "thickness = 47",
    "thickness = 47\nleaves = 320\ngatherings = 40\nleaf_thickness = 0.14\nleaves_per_gathering = 8",
)
MIDDLES = (24.5, 153.5, 282.5)
WAY_FRONT, WAY_BACK = hypot(1.0, 2.8 + 3.6), hypot(1.4, 2.2 + 2.9)
LOOP_FRONT = 2 * (2.8 + WAY_FRONT + 7 + 3.6) + 140
LOOP_BACK = 2 * (2.2 + WAY_BACK + 7 + 2.9) + 140


def strip(on_board: float, pairs: float, edge: float, square: float, high: float) -> Cut:
    return Cut(
        rectangle(0, 0, 40, high),
        folds=(((edge, 0.0), (edge, high)),),
        kinds=("mountain",),
        holes=(
            *((on_board, square + y) for y in MIDDLES),
            *((pairs, square + y + half) for y in MIDDLES for half in (-2.5, 2.5)),
        ),
    )


BOOK = replace(
    board_slot.BOOK,
    record=RECORD,
    structures=("joint_tacket",),
    settings={
        "stations": "3",
        "set_back": "7",
        "pair": "5",
        "tail": "70",
        "end": "20",
        "clear": "5",
    },
    pieces={
        "marking strip, front": strip(26 - 7, 26 + 7, 26, 3.0, 311.6),
        "marking strip, back": strip(14 + 7, 14 - 7, 14, 2.4, 310.8),
    },
    quantities={
        "joint_path_front_mm": WAY_FRONT,
        "joint_path_back_mm": WAY_BACK,
        "loop_front_mm": LOOP_FRONT,
        "loop_back_mm": LOOP_BACK,
        "thread_mm": 3 * (LOOP_FRONT + LOOP_BACK),
    },
    paper="letter",
)
