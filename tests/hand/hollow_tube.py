"""hollow_tube on a spine that widens to the tail, shoulders unequal, a lining in place, read from right to left.

Chord 44.2 + 1.6 + 2.2 = 48.0, round 4: the spine turns by 4·atan2(8, 48). The strip was read on the bare spine.
A layer of 0.12 over 0.30: girth + turn·(0.30 + 0.12/2 − 0.1/2). The tube ends 1.5 inside head and tail, its width
on the straight line between both girths there, less an ease of 1.2.
Three panels (off, on, off), mirror images across each crease: a fan, the one in the middle level. At crease k
stands a band of k·π·0.12/2.
"""

from cmath import exp
from math import asin, atan2, hypot, pi

from tests.hand.worked import Cut, Point, Worked

TURN = 4 * atan2(2 * 4, 48.0)
MORE = TURN * (0.30 + 0.12 / 2 - 0.1 / 2)
HEAD, TAIL = 50.6 + MORE, 53.4 + MORE
W_HEAD = HEAD + (TAIL - HEAD) * 1.5 / 241 - 1.2
W_TAIL = TAIL - (TAIL - HEAD) * 1.5 / 241 - 1.2
HIGH = 241 - 2 * 1.5
LEG = hypot(HIGH, (W_TAIL - W_HEAD) / 2)
LEAN = asin((W_TAIL - W_HEAD) / (2 * LEG))
BANDS = (pi * 0.12 / 2, 2 * pi * 0.12 / 2)


def square(tilt: float) -> complex:
    """A step of 1 along an edge that is tilted so."""
    return exp(1j * tilt)


# head corners from left to right, then the feet of the legs below them; y runs down
head1 = 0j
head2 = head1 + W_HEAD * square(2 * LEAN)
foot1, foot2 = head1 + LEG * 1j * square(3 * LEAN), head2 + LEG * 1j * square(LEAN)
head3 = head2 + BANDS[0] * square(LEAN)
head4 = head3 + W_HEAD
foot3, foot4 = head3 + LEG * 1j * square(LEAN), head4 + LEG * 1j * square(-LEAN)
head5 = head4 + BANDS[1] * square(-LEAN)
head6 = head5 + W_HEAD * square(-2 * LEAN)
foot5, foot6 = head5 + LEG * 1j * square(-LEAN), head6 + LEG * 1j * square(-3 * LEAN)
RING = (
    head1, head2, head3, head4, head5, head6,
    foot6, foot5, foot4, foot3, foot2, foot1,
)  # fmt: skip


def xy(point: complex) -> Point:
    return point.real, point.imag


BOOK = Worked(
    record="""
[book]
id = "tide"
title = "Tide book"
weight = 1.3
reading = "right-to-left"
[text_block]
height = 241
width = 160
thickness = 44.2
[spine]
profile = "rounded"
round_depth = 4
shoulder_front = 1.6
shoulder_back = 2.2
girth_head = 50.6
girth_tail = 53.4
strip_over = 0
linings = 0.3
[cover]
kind = "limp"
joint = "flush"
joint_gap = 1
thickness = 1.1
spine_width_head = 56
spine_width_tail = 58
[measuring]
error = 0.5
""",
    structures=("hollow_tube",),
    settings={"on": "1", "off": "2", "ease": "1.2", "setback": "1.5", "reach": "block"},
    pieces={
        "strip": Cut(
            tuple(map(xy, RING)),
            folds=(
                (xy((head2 + head3) / 2), xy((foot2 + foot3) / 2)),
                (xy((head4 + head5) / 2), xy((foot4 + foot5) / 2)),
            ),
            grain="head-tail",
        )
    },
    quantities={"panel_head_mm": W_HEAD, "panel_tail_mm": W_TAIL, "lies_on_mm": 0.3},
    said=(f"{W_HEAD:.1f}", f"{W_TAIL:.1f}"),
    paper="letter",
)
