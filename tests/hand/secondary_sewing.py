"""secondary_sewing of a small book whose every stitch is pinned: five gatherings of eight folios, two stitches of 12 each.

Chord 21 + 0.9 + 1.1 = 23, round 1.5: the spine turns by 4·atan2(3, 23). Tissue of 0.08 on the bare folds, cloth of 0.25
on it, 10 from the head and 13 from the tail; a flange of 20 each side, of it over the joint the way from the tip of the
shoulder to the board's inner arris, about the middle between tip and outer arris.
Stitches at 36 and 110 (gatherings 1, 3, 5) and at 52 and 126 (2, 4): holes 6 above and below. On the lining gathering g
stands (3 − g)/5 of the spine's width from its middle, the front at the right.
Thread 35/3: 3 × 1653.5155/35 tex; diameter √(0.004·tex/(0.9·π)). It swells the spine by up to 5 of it, so that each
side of the cloth is cut 3 and half of that wider. Through lining and eight folios 0.33 + 8 × 0.25 a hole: a gathering
takes 86 + 4 × 2.33 + 200, and a tenth more, rounded up to 5.
"""

from math import atan2, dist, pi, sqrt

from tests.hand.worked import Cut, Point, Worked, Zone

TURN = 4 * atan2(2 * 1.5, 23.0)


def girth(y: float, beneath: float, thick: float) -> float:
    """How wide a layer is at y from the head of the block."""
    return 24.0 + y / 212 + TURN * (beneath + thick / 2 - 0.05)


def way(shoulder: float) -> float:
    pivot = (0.5, (shoulder + 1.4) / 2)
    return dist((0, shoulder), pivot) + dist(pivot, (1.0, 0.0))


def band(head: tuple[float, float], tail: tuple[float, float]) -> tuple[Point, ...]:
    """A part of the cloth between two places at its head and two at its tail, from the middle of the spine."""
    return ((head[0], 0.0), (head[1], 0.0), (tail[1], 189.0), (tail[0], 189.0))


A, B = girth(10, 0.08, 0.25) / 2, girth(199, 0.08, 0.25) / 2
FRONT, BACK = way(0.9), way(1.1)
DIAMETER = sqrt(0.004 * (3 * 1653.5155 / 35) / (0.9 * pi))
MORE = 20 + 3 + 5 * DIAMETER / 2
TISSUE = band(
    (-girth(10, 0, 0.08) / 2, girth(10, 0, 0.08) / 2),
    (-girth(199, 0, 0.08) / 2, girth(199, 0, 0.08) / 2),
)
BOARD = "inner face of the {} board, under the paste-down"
ODD, EVEN = (30.0, 42.0, 104.0, 116.0), (46.0, 58.0, 120.0, 132.0)
OLD = (14.0, 69.0, 71.0, 139.0, 141.0, 198.0)


def strip(holes: tuple[float, ...]) -> Cut:
    return Cut(
        ((8, 0), (40, 0), (40, 212), (0, 212), (0, 8)),
        folds=(((20, 0), (20, 212)),),
        holes=tuple((20, y) for y in holes),
        old_holes=tuple((20, y) for y in OLD),
        grain="head-tail",
    )


BOOK = Worked(
    record="""
[book]
id = "cove"
title = "Cove book"
weight = 1.1
[text_block]
height = 212
width = 140
thickness = 21
leaves = 80
gatherings = 5
leaves_per_gathering = 16
leaf_thickness = 0.25
grammage = 150
[spine]
profile = "rounded"
round_depth = 1.5
shoulder_front = 0.9
shoulder_back = 1.1
girth_head = 24.0
girth_tail = 25.0
strip_over = 0
linings = 0
[cover]
kind = "in-boards"
joint = "tight"
joint_gap = 1
thickness = 0.5
board_height = 219
board_width = 141
board_thickness = 1.4
square_head = 3
square_tail = 4
square_fore_edge = 3
turn_in = 15
[sewing]
supports = "recessed"
kettles = [14, 198]
supports_at = [70, 140]
support_width = 2
[condition]
paper = "fair"
[measuring]
error = 0.3
""",
    structures=("secondary_sewing",),
    settings={
        "fixed": "1@36 1@110 2@52 2@126 3@36 3@110 4@52 4@126 5@36 5@110",
        "stitches": "2",
        "stitch": "12",
        "flange": "20",
        "setback_head": "10",
        "setback_tail": "13",
        "path": "fold",
    },
    pieces={
        "lining": Cut(
            band((-A - 20, A + 20), (-B - 20, B + 20)),
            cut_first=band((-A - MORE, A + MORE), (-B - MORE, B + MORE)),
            holes=tuple(
                (girth(y, 0.08, 0.25) * (3 - number) / 5, y - 10)
                for number in range(1, 6)
                for y in (ODD if number % 2 else EVEN)
            ),
            zones=(
                Zone("pasted", "under", "first lining", band((-A, A), (-B, B))),
                Zone(
                    "free", "under", "free over the joint", band((-A - BACK, -A), (-B - BACK, -B))
                ),
                Zone(
                    "pasted",
                    "under",
                    BOARD.format("back"),
                    band((-A - 20, -A - BACK), (-B - 20, -B - BACK)),
                ),
                Zone("free", "under", "free over the joint", band((A, A + FRONT), (B, B + FRONT))),
                Zone(
                    "pasted",
                    "under",
                    BOARD.format("front"),
                    band((A + FRONT, A + 20), (B + FRONT, B + 20)),
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
        "pricking strip A": strip(ODD),
        "pricking strip B": strip(EVEN),
    },
    quantities={
        "thread_diameter_mm": DIAMETER,
        "swell_least_mm": 2.5 * DIAMETER,
        "swell_most_mm": 5 * DIAMETER,
        "thread_mm": 5 * 325,
        "flange_front_mm": 20,
        "flange_back_mm": 20,
        "pitch_mm": 74,
        "block_kg": 40 * 2 * 0.212 * 0.140 * 0.150,
    },
    stations=(30, 42, 46, 58, 104, 116, 120, 132),
)
