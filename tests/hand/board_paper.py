"""board_paper on the same boards: 3.5 left at fore edge, head and tail, growing 0.4 % along and 1.8 % across its grain.

On the block's leaf it reaches over the way from the shoulder's base to the board's inner arris. Across: that way + 201 − 3.5.
Along: 311.6 − 7 and 310.8 − 7. The paper of the front begins 0.5 below the block's head (3.5 − square 3.0) and would end
0.1 beyond its tail: over the joint it stops at the tail, 304.5 long. At the back, square 2.4, it lies from 1.1 below the head
to 304.9 and is whole.
"""

from dataclasses import replace

from tests.hand import joint_tacket
from tests.hand.joint_tacket import WAY_BACK, WAY_FRONT
from tests.hand.worked import Cut, Zone, rectangle

ACROSS, ALONG = 1.018, 1.004
FRONT, BACK = (201 - 3.5) / ACROSS, (201 - 3.5) / ACROSS
JOINT_FRONT, JOINT_BACK = WAY_FRONT / ACROSS, WAY_BACK / ACROSS
HIGH_FRONT, HIGH_BACK, HIGH_JOINT = 304.6 / ALONG, 303.8 / ALONG, 304.5 / ALONG
RING = (
    (0.0, 0.0), (FRONT + JOINT_FRONT, 0.0), (FRONT + JOINT_FRONT, HIGH_JOINT),
    (FRONT, HIGH_JOINT), (FRONT, HIGH_FRONT), (0.0, HIGH_FRONT),
)  # fmt: skip
WHOLE_BACK = rectangle(0, 0, JOINT_BACK + BACK, HIGH_BACK)
BOOK = replace(
    joint_tacket.BOOK,
    structures=("board_paper",),
    settings={"margin": "3.5", "growth_along": "0.4", "growth_across": "1.8"},
    pieces={
        "board paper, front": Cut(
            RING,
            zones=(
                Zone(
                    "pasted", "up", "inside of the front board", rectangle(0, 0, FRONT, HIGH_FRONT)
                ),
                Zone("pasted", "up", "joint", rectangle(FRONT, 0, FRONT + JOINT_FRONT, HIGH_JOINT)),
                Zone("free", "under", "", RING),
            ),
            grain="head-tail",
        ),
        "board paper, back": Cut(
            WHOLE_BACK,
            zones=(
                Zone(
                    "pasted",
                    "up",
                    "inside of the back board",
                    rectangle(JOINT_BACK, 0, JOINT_BACK + BACK, HIGH_BACK),
                ),
                Zone("pasted", "up", "joint", rectangle(0, 0, JOINT_BACK, HIGH_BACK)),
                Zone("free", "under", "", WHOLE_BACK),
            ),
            grain="head-tail",
        ),
    },
    quantities={
        "target_front_width_mm": WAY_FRONT + 197.5,
        "target_back_width_mm": WAY_BACK + 197.5,
        "target_front_height_mm": 304.6,
        "target_back_height_mm": 303.8,
        "soak_along_mm": 180 * 1.004,
        "soak_across_mm": 180 * 1.018,
    },
    said=("for it grows 3.6 wide and 1.2 high",),
    paper="roll:610",
)
