"""reback over raised bands, boards unequal in thickness, gap and squares, a spine that narrows to the tail; read right to left.

Chord 26 + 2.5 + 1.9 = 30.4, round 5: the spine turns by 4·atan2(10, 30.4). Strip over 0.2, linings of 0.5 stay, bands
stand out 2.2: calf of 0.8 goes round girth + turn·(0.5 + 2.2 − 0.2 + 0.8/2 − 0.1/2) between the shoulders' tips, the
girth on a straight line from 34.0 to 33.0 over 212. From tip to outer arris √(1.2² + (2.5 − 2.4)²) at the front
and √(0.8² + (2.9 − 1.9)²) at the back, and at each side a quarter of (π − turn)·0.8 more for its own thickness.
From arris on, 13 under the old covering of each board. The back board begins 3.6 above the block's head, the
front one ends 219.0 − 2.8 below it: 219.8 from head to tail, and for each of three bands 2·√(2.2² + 2.5²) − 5 more.
Turn-in: the deepest square 4.2, twice 0.8 and 10, beyond the highest head and the lowest tail; it carries on as the
piece does. Each board folds at its own edges: the front one 3.6 − 2.8 below the back one's head, the back one
219.8 − (3.6 + 218.2 − 3.6) above the front one's tail, the bands gone over. From tip to tip the fold goes slantwise.
"""

from math import atan2, hypot, pi

from tests.hand.worked import Cut, Point, Worked, Zone

TURN = 4 * atan2(2 * 5.0, 30.4)
SQUARE, TURN_IN = 3.6, 4.2 + 1.6 + 10
HIGH = 3.6 + 219.0 - 2.8
BANDS = 3 * (2 * hypot(2.2, 2.5) - 5)
EASE = (pi - TURN) * 0.8 / 4
FRONT, BACK = hypot(1.2, 0.1) + EASE, hypot(0.8, 1.0) + EASE


def layer(y: float) -> float:
    """How wide the calf is between the tips at y from the head of the block."""
    return 34.0 - y / 212 + TURN * (0.5 + 2.2 - 0.2 + 0.4 - 0.05)


HEAD, TAIL = layer(-SQUARE), layer(HIGH - SQUARE)
"""At the boards' head and tail, HIGH + BANDS apart on the piece."""
END = HIGH + BANDS


def half(y: float) -> float:
    """From the middle of the spine to a tip, y from the crease of the head's turn-in."""
    return (HEAD + (TAIL - HEAD) * y / END) / 2


def band(
    left: tuple[float, float], right: tuple[float, float], top: float, low: float
) -> tuple[Point, ...]:
    """What lies between two lines, each so many tips (−1 or 1) and so many mm from the middle."""
    return tuple(
        (line[0] * half(y) + line[1], y)
        for line, y in ((left, top), (right, top), (right, low), (left, low))
    )


EDGE, ARRIS, TIP = (-1, -FRONT - 13), (-1, -FRONT), (-1, 0)  # the front lies at the left
FAR_TIP, FAR_ARRIS, FAR_EDGE = (1, 0), (1, BACK), (1, BACK + 13)
RING = band(EDGE, FAR_EDGE, -TURN_IN, END + TURN_IN)
FRONT_HEAD, FRONT_TAIL = 3.6 - 2.8, END
BACK_HEAD, BACK_TAIL = 0.0, 218.2 + BANDS


def at(line: tuple[float, float], y: float) -> Point:
    """Where a line lies at y."""
    return line[0] * half(y) + line[1], y


def fold(front: float, back: float) -> tuple[tuple[Point, Point], ...]:
    """The three lines of a fold: over the front board, from tip to tip, over the back board."""
    return (
        (at(EDGE, front), at(TIP, front)),
        (at(TIP, front), at(FAR_TIP, back)),
        (at(FAR_TIP, back), at(FAR_EDGE, back)),
    )


CREASES = (*fold(FRONT_HEAD, BACK_HEAD), *fold(FRONT_TAIL, BACK_TAIL))
OVER = (
    at(TIP, FRONT_HEAD), at(FAR_TIP, BACK_HEAD), at(FAR_TIP, BACK_TAIL), at(TIP, FRONT_TAIL),
)  # fmt: skip


def joint(left: tuple[float, float], right: tuple[float, float], top: float, low: float) -> Zone:
    return Zone("free", "under", "the joint: set in, no paste", band(left, right, top, low))


def board(
    side: str, left: tuple[float, float], right: tuple[float, float], top: float, low: float
) -> tuple[Zone, Zone]:
    ring = band(left, right, top, low)
    return (
        Zone("pasted", "under", f"outer face of the {side} board", ring),
        Zone("pasted", "up", f"lifted covering of the {side} board", ring),
    )


def turned_in(front: float, back: float, end: float) -> Zone:
    """All from a fold to the end of the piece."""
    ring = (
        at(EDGE, end), at(EDGE, front), at(TIP, front),
        at(FAR_TIP, back), at(FAR_EDGE, back), at(FAR_EDGE, end),
    )  # fmt: skip
    return Zone("pasted", "under", "itself and the boards, turned in", ring)


BOOK = Worked(
    record="""
[book]
id = "bell"
title = "Bell book"
reading = "right-to-left"
weight = 0.74
[text_block]
height = 212
width = 136
thickness = 26
[spine]
profile = "rounded"
round_depth = 5
shoulder_front = 2.5
shoulder_back = 1.9
girth_head = 34.0
girth_tail = 33.0
strip_over = 0.2
linings = 0.5
[cover]
kind = "in-boards"
joint = "tight"
thickness = 0.9
turn_in = 14
spine_width_head = 44.0
spine_width_tail = 43.6
square_fore_edge = 3
[cover.front]
board_height = 219.0
board_width = 137
board_thickness = 2.4
joint_gap = 1.2
square_head = 2.8
square_tail = 4.2
[cover.back]
board_height = 218.2
board_width = 137
board_thickness = 2.9
joint_gap = 0.8
square_head = 3.6
square_tail = 2.6
[sewing]
kettles = [14, 200]
supports_at = [60, 110, 160]
support_width = 5
support_height = 2.2
supports = "raised"
[[union]]
between = ["text block", "boards"]
moves = true
made = "sewn"
state = "sound"
[measuring]
error = 0.3
""",
    structures=("reback",),
    settings={"tuck": "13", "pare": "7"},
    pieces={
        "new back": Cut(
            RING,
            folds=CREASES,
            kinds=("mountain",) * 6,
            zones=(
                *board("front", EDGE, ARRIS, FRONT_HEAD, FRONT_TAIL),
                joint(ARRIS, TIP, FRONT_HEAD, FRONT_TAIL),
                *board("back", FAR_ARRIS, FAR_EDGE, BACK_HEAD, BACK_TAIL),
                joint(FAR_TIP, FAR_ARRIS, BACK_HEAD, BACK_TAIL),
                Zone("pasted", "under", "lining of the spine", OVER),
                turned_in(FRONT_HEAD, BACK_HEAD, -TURN_IN),
                turned_in(FRONT_TAIL, BACK_TAIL, END + TURN_IN),
            ),
            grain="head-tail",
            left="FRONT",
            right="BACK",
        )
    },
    quantities={
        "turn_in_mm": TURN_IN,
        "over_joint_front_mm": hypot(1.2, 0.1),
        "over_joint_back_mm": hypot(0.8, 1.0),
        "needed_head_mm": HEAD + FRONT + BACK,
        "needed_tail_mm": TAIL + FRONT + BACK,
        "width_head_mm": HEAD + FRONT + BACK + 26,
        "width_tail_mm": TAIL + FRONT + BACK + 26,
        "height_mm": END + 2 * TURN_IN,
        "over_bands_mm": BANDS,
        "gap_head_mm": (HEAD + FRONT + BACK - 44.0) / 2,
        "gap_tail_mm": (TAIL + FRONT + BACK - 43.6) / 2,
        "added_over_spine_mm": 0.8,
    },
    said=(
        "it is 5.0 mm higher for them",
        "turn in 16.6 mm at the head and 15.8 at the tail of the",
        "front board, 15.8 mm at the head and 17.4 at the tail of the back board",
        "by up to 1.9 mm each side",
    ),
    paper="letter",
)
