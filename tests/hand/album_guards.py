"""album_guards of four leaves of four thicknesses, two to a section, every section filled up to its own leaves.

A leaf of 0.4 and what is on it stand for a guard's 0.2 at the folds: 0.72, 0.76, 0.61 and 0.67 more. Thread 25/3,
3 × 1653.5155/25 tex, √(0.004·tex/(0.9·π)) thick, three quarters of it in the fold. Strips of 0.21: in section 1,
0.72 + 0.76 less the thread is 1.08, five of them (two folded, one single), and 0.033 are over; in section 2
0.61 + 0.67 + 0.033 less the thread is 0.915, four (two folded). After its first leaf and two strips section 1 is ahead
by 0.72 − 0.42.
Half a guard: 25.5 − 4.5 in the stack, 4.5 hinge, 7.2 lap. Bent round what is nested in it a part is π·(inside + t/2)
longer, a single strip counting half: guards π·0.625 and π·0.52, cut as the wider; strips π·0.42, π·0.21 and
π·0.315, π·0.105 on 2 × 20, all cut as the narrowest. Three tapes of 10 at quarters between kettles 14 from both ends.
"""

from math import pi, sqrt

from tests.hand.worked import Cut, Worked, Zone, rectangle

DIAMETER = sqrt(0.004 * (3 * 1653.5155 / 25) / (0.9 * pi))
THREAD = 0.75 * DIAMETER
GUARD = 2 * (21 + 4.5 + 7.2) + pi * 0.625
STRIP = 2 * 20 + pi * 0.105
HOLES = (14.0, 62.0, 72.0, 115.0, 125.0, 168.0, 178.0, 226.0)


def free(wide: float) -> tuple[Zone, Zone]:
    ring = rectangle(0, 0, wide, 240)
    return (
        Zone("free", "up", "the sewing holds it", ring),
        Zone("free", "under", "the sewing holds it", ring),
    )


def middle(wide: float) -> tuple[tuple[tuple[float, float], tuple[float, float]]]:
    return (((wide / 2, 0.0), (wide / 2, 240.0)),)


BOOK = Worked(
    record="""
[book]
id = "prints"
title = "Prints"
reading = "right-to-left"
weight = 0.4
[text_block]
height = 240
width = 180
thickness = 6
[spine]
profile = "flat"
round_depth = 0
girth_head = 6
girth_tail = 6
strip_over = 0
linings = 0
[cover]
kind = "case"
joint = "french"
[album]
kind = "single"
leaves = 4
leaf_thickness = 0.4
contents_thickness = [0.52, 0.56, 0.41, 0.47]
leaf_width = 170
leaf_height = 240
old_stub = 25.5
inner_margin = 7.2
[measuring]
error = 0.3
""",
    structures=("album_guards",),
    settings={
        "nest": "1",
        "hinge": "4.5",
        "guard_thickness": "0.2",
        "strip_thickness": "0.21",
        "tapes": "3",
        "kettle": "14",
        "tape_width": "10",
        "cut_tolerance": "1",
    },
    pieces={
        "guard A": Cut(
            rectangle(0, 0, GUARD, 240),
            folds=middle(GUARD),
            zones=(
                Zone(
                    "free",
                    "under",
                    "in the stack and at the hinge",
                    rectangle(7.2, 0, GUARD - 7.2, 240),
                ),
                Zone("pasted", "under", "inner face of the leaf", rectangle(0, 0, 7.2, 240)),
                Zone(
                    "pasted",
                    "under",
                    "inner face of the leaf",
                    rectangle(GUARD - 7.2, 0, GUARD, 240),
                ),
                Zone("free", "up", "", rectangle(0, 0, GUARD, 240)),
            ),
            grain="head-tail",
            quantity=2,
        ),
        "strip A": Cut(
            rectangle(0, 0, STRIP, 240),
            folds=middle(STRIP),
            zones=free(STRIP),
            grain="head-tail",
            quantity=4,
        ),
        "single strip": Cut(
            rectangle(0, 0, 20, 240),
            holes=tuple((3, y) for y in HOLES),
            zones=free(20),
            grain="head-tail",
        ),
        "pricking strip": Cut(
            rectangle(0, 0, 40, 240),
            folds=middle(40),
            holes=tuple((20, y) for y in HOLES),
            grain="head-tail",
        ),
    },
    quantities={
        "sections": 2,
        "folded_strips": 4,
        "single_strips": 1,
        "thread_in_fold_mm": THREAD,
        "block_spine_mm": 4 * 0.2 + 9 * 0.21 + 2 * THREAD,
        "fore_edge_mm": 4 * 0.4 + 0.52 + 0.56 + 0.41 + 0.47,
        "greatest_difference_mm": 0.3,
        "end_difference_mm": 0.72 + 0.76 + 0.61 + 0.67 - 9 * 0.21 - 2 * THREAD,
        "guard_most_mm": GUARD,
        "strip_least_mm": STRIP,
        "stub_mm": 21,
        "tape_mm": 4 * 0.2 + 9 * 0.21 + 2 * THREAD + 2 * 32,
        "reach_mm": 170 + 21 + 4.5 + (0.4 + 5 * 0.21 + THREAD) / 2 + pi * 0.105 / 2,
    },
    stations=HOLES,
    said=("4 folded strips and 1 single one,", "(guards 67.4 mm)"),
)
