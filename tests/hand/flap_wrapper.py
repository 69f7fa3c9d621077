"""flap_wrapper of the book of `reback`, whose outside nobody measured: boards, block and covering add up.

Head to tail: from 3.6 above the block to 216.2 below its head, 219.8, of three readings ± 0.3 each; 0.9 of covering
at both ends, ± 0.1 each. Spine to fore edge: the front board's gap and width, 1.2 + 137, two readings; round 5.0 ± 0.3,
linings 0.5 ± 0.1, bands 2.2 ± 0.3, covering. Thickness: block 26 ± 0.3, boards 2.4 and 2.9 ± 0.1 each, covering.
All doubts are added: too small holds no book. Card of 0.6, clearance 1.5: a length between creases is the inside
and one card; flaps stop 1 short. Outer walls stand over the inner strip's, the spine's over four cards, the fore
edge's over three. One pair of tapes of 10 in slits of 11, 8 behind the thumb's
cut, a circle of 8 in 89 straight lines, and 10 from the last crease.
"""

from math import cos, pi, sin

from tests.hand import reback
from tests.hand.worked import Cut, Worked, Zone, rectangle

LENGTH = 219.8 + 2 * 0.9 + 3 * 0.3 + 2 * 0.1
WIDTH = 1.2 + 137 + 5.0 + 0.5 + 2.2 + 2 * 0.9 + (2 * 0.3 + 0.3 + 0.1 + 0.3 + 2 * 0.1)
THICK = 26 + 2.4 + 2.9 + 2 * 0.9 + (0.3 + 2 * 0.1 + 2 * 0.1)
ROOM, CARD = 1.5, 0.6

INNER_WIDE, OUTER_HIGH = WIDTH + ROOM, LENGTH + ROOM + 2 * CARD
FLAP, WALL, BASE = LENGTH / 2 - 1, THICK + ROOM + CARD, LENGTH + ROOM + CARD
INNER = (FLAP, FLAP + WALL, FLAP + WALL + BASE, FLAP + 2 * WALL + BASE)
LAST = WIDTH + ROOM - 1
SPINE = LAST + THICK + ROOM + 4 * CARD
FORE_EDGE = SPINE + WIDTH + ROOM + CARD
THIRD = FORE_EDGE + THICK + ROOM + 3 * CARD
LONG = THIRD + WIDTH / 2 - 1
MIDDLE = OUTER_HIGH / 2
ROUND = [(8 * cos(n * 2 * pi / 89), 8 * sin(n * 2 * pi / 89)) for n in range(-23, 24)]
(X, Y), (BEYOND, LOWER) = ROUND[-2], ROUND[-1]
EDGE = Y + (LOWER - Y) * X / (
    X - BEYOND
)  # where the line from the 22nd to the 23rd corner meets the edge
THUMB = tuple((x, MIDDLE + y) for x, y in ((0, -EDGE), *ROUND[1:-1], (0, EDGE)))
INNER_BASE = rectangle(0, INNER[1], INNER_WIDE, INNER[2])
OUTER_BASE = rectangle(SPINE, 0, FORE_EDGE, OUTER_HIGH)

BOOK = Worked(
    record=reback.BOOK.record,
    structures=("flap_wrapper",),
    settings={"clearance": "1.5", "ties": "1", "tape_width": "10", "thumb": "8"},
    pieces={
        "inner strip": Cut(
            rectangle(0, 0, INNER_WIDE, INNER[3] + FLAP),
            folds=tuple(((0, y), (INNER_WIDE, y)) for y in INNER),
            zones=(
                Zone("pasted", "under", "base of the outer strip", INNER_BASE),
                Zone("free", "up", "the book lies here", INNER_BASE),
            ),
            grain="spine-fore edge",
            left="SPINE",
            right="FORE EDGE",
        ),
        "outer strip": Cut(
            (*THUMB, (0, OUTER_HIGH), (LONG, OUTER_HIGH), (LONG, 0), (0, 0)),
            folds=tuple(((x, 0), (x, OUTER_HIGH)) for x in (LAST, SPINE, FORE_EDGE, THIRD)),
            slits=tuple(((x, MIDDLE - 5.5), (x, MIDDLE + 5.5)) for x in (16, FORE_EDGE - 10)),
            zones=(
                Zone("pasted", "up", "base of the inner strip", OUTER_BASE),
                Zone("free", "under", "outside of the wrapper", OUTER_BASE),
            ),
            grain="head-tail",
            left="SPINE",
            right="FORE EDGE",
        ),
    },
    quantities={
        "length_mm": LENGTH,
        "width_mm": WIDTH,
        "thickness_mm": THICK,
        "inside_length_mm": LENGTH + 1.5,
        "inside_width_mm": WIDTH + 1.5,
        "inside_thickness_mm": THICK + 1.5,
        "inner_length_mm": INNER[3] + FLAP,
        "outer_length_mm": LONG,
        "ties_n": 1,
    },
    paper="roll:914",
)
