"""loss_infill of two losses in one leaf of a right-to-left book, traced from the recto and pasted to the verso.

Seen from the verso x turns into 163 − x, the spine at the left. An L inside the leaf grows by 2.2 all round: each
outer corner a quarter of a circle in 9 straight lines, the inner one sharp. A corner lost at fore edge and tail grows
on its two other sides alone, and is cut 4 larger over fore edge and tail.
"""

from math import cos, radians, sin

from tests.hand.worked import Cut, Point, Worked, Zone, rectangle

LAP = 2.2


def corner(x: float, y: float, begin: float) -> list[Point]:
    """A quarter of a circle round a corner of the loss, begun at so many degrees (90: downwards)."""
    turns = [radians(begin + n * 10) for n in range(10)]
    return [(x + LAP * cos(turn), y + LAP * sin(turn)) for turn in turns]


# 60,80 92,80 92,90 75,90 75,97 60,97 seen from the other face
L = (
    *corner(103, 80, -90), *corner(103, 97, 0), *corner(88, 97, 90),
    (88 - LAP, 90 + LAP), *corner(71, 90, 90), *corner(71, 80, 180),
)  # fmt: skip
ARC = corner(132, 204, 180)
AT_CORNER = (*ARC, (163, 204 - LAP), (163, 241), (132 - LAP, 241))
OVERLAP = (*ARC, (163, 204 - LAP), (163, 204), (132, 204), (132, 241), (132 - LAP, 241))

BOOK = Worked(
    record="""
[book]
id = "leafmap"
title = "Leaf map"
reading = "right-to-left"
weight = 1.2
[text_block]
height = 241
width = 163
thickness = 20
leaf_thickness = 0.2
grain = "head-tail"
[measuring]
error = 0.3
""",
    structures=("loss_infill",),
    settings={
        "outline": "0,241 0,204 31,204 31,241; 60,80 92,80 92,90 75,90 75,97 60,97",
        "overlap": "2.2",
        "oversize": "4",
        "traced": "recto",
        "face": "verso",
    },
    pieces={
        "infill 1": Cut(L, grain="head-tail"),
        "infill 2": Cut(
            AT_CORNER,
            zones=(
                Zone("free", "up", "pared along its edge", AT_CORNER),
                Zone("pasted", "under", "verso of the leaf", OVERLAP),
                Zone("free", "under", "in the loss itself", rectangle(132, 204, 163, 241)),
            ),
            grain="head-tail",
            cut_first=(*ARC, (167, 204 - LAP), (167, 245), (132 - LAP, 245)),
        ),
    },
    quantities={"losses": 2, "infills": 2, "loss_area_mm2": 31 * 37 + 32 * 10 + 15 * 7},
    said=(
        "sizes, without overlap, with a rule",
        "loss 1: 32.0 × 17.0 mm; loss 2: 31.0 × 37.0 mm",
    ),
    within=0.011,  # outlines lose points that lie on a line to a hundredth
    paper="letter",
)
