"""sewn_cloth_joint between the same boards and a block of which no sewing was read.

Strip: 6 of seam, the way from the shoulder's base to the board's inner arris, 22 on the board. Holes from 14 below the head
to 14 above the tail: ⌊(305 − 28)/12⌋ + 1 = 24 of them, 277/23 apart.

Each strip lies as it is seen in the end, the board open and HEAD up. The book is read from right to left: its front board
opens to the right, so the front strip has its seam at the left and the board's part at the right; the back one the reverse.
"""

from dataclasses import replace

from tests.hand import joint_tacket
from tests.hand.joint_tacket import WAY_BACK, WAY_FRONT
from tests.hand.worked import Cut, Point, Zone, rectangle

ROWS = [14 + 277 * k / 23 for k in range(24)]


def strip(side: str, fold: float, ends: tuple[Point, Point, Point]) -> Cut:
    """A strip with its fold; `ends` are the runs across it: sewn, over the joint, on the board."""
    seam, joint, board = (rectangle(left, 0, right, 305) for left, right in ends)
    wide = max(right for _, right in ends)
    return Cut(
        rectangle(0, 0, wide, 305),
        folds=(((fold, 0.0), (fold, 305.0)),),
        kinds=("mountain",),
        holes=tuple((fold, y) for y in ROWS),
        zones=(
            Zone("free", "under", "sewn to the fold", seam),
            Zone("free", "under", "bends over the joint", joint),
            Zone("pasted", "under", f"inner face of the {side} board", board),
        ),
        grain="warp head-tail",
    )


BACK = 22 + WAY_BACK
BOOK = replace(
    joint_tacket.BOOK,
    record=joint_tacket.RECORD.partition("[sewing]")[0] + "[measuring]\nerror = 0.4\n",
    structures=("sewn_cloth_joint",),
    settings={"seam": "6", "onto": "22", "end": "14"},
    pieces={
        "strip, front": strip(
            "front", 6, ((0, 6), (6, 6 + WAY_FRONT), (6 + WAY_FRONT, 28 + WAY_FRONT))
        ),
        "strip, back": strip("back", BACK, ((BACK, BACK + 6), (22, BACK), (0, 22))),
    },
    quantities={
        "pitch_mm": 277 / 23,
        "strip_width_front_mm": 28 + WAY_FRONT,
        "strip_width_back_mm": 28 + WAY_BACK,
        "closed_gap_front_mm": 1.0,
        "closed_gap_back_mm": 1.4,
    },
    paper="A4",
)
