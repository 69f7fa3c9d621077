"""spine_lining between four raised cords at odd heights, on a spine that narrows to the tail, one lining in place.

Chord 40 + 1.0 + 1.4 = 42.4, round 3: the spine turns by 4·atan2(6, 42.4). The strip was read over a lining of 0.2;
linings of 0.45 stay. A paper of 0.12 on it: girth + turn·(0.45 − 0.2 + 0.12/2 − 0.1/2), less 1.3 for ease.
Cords 6 wide at 40, 92, 150.5 and 190 of 228; clear of each by 1.5; 10 from the head, 14 from the tail.
"""

from math import atan2

from tests.hand.worked import Cut, Point, Worked, Zone, rectangle

TURN = 4 * atan2(2 * 3, 42.4)
MORE = TURN * (0.45 - 0.2 + 0.12 / 2 - 0.1 / 2) - 1.3
ENDS = {1: (10, 35.5), 2: (44.5, 87.5), 3: (96.5, 146), 4: (155, 185.5), 5: (194.5, 214)}


def wide(y: float) -> float:
    """How wide a panel is at y from the head."""
    return 44.0 + (41.2 - 44.0) * y / 228 + MORE


def outline(top: float, bottom: float) -> tuple[Point, ...]:
    """A panel's corners about the middle line of the spine, the head of the panel at 0."""
    a, b = wide(top) / 2, wide(bottom) / 2
    return ((-a, 0.0), (a, 0.0), (b, bottom - top), (-b, bottom - top))


def panel(top: float, bottom: float) -> Cut:
    ring = outline(top, bottom)
    zones = (
        Zone("pasted", "under", "folds of the spine", ring),
        Zone("free", "up", "dries before anything is laid on it", ring),
    )
    return Cut(ring, zones=zones, grain="head-tail", left="BACK", right="FRONT")


BOOK = Worked(
    record="""
[book]
id = "toll"
title = "Toll ledger"
weight = 1.9
[text_block]
height = 228
width = 150
thickness = 40
[spine]
profile = "rounded"
round_depth = 3
shoulder_front = 1.0
shoulder_back = 1.4
girth_head = 44.0
girth_tail = 41.2
strip_over = 0.2
linings = 0.45
[sewing]
supports = "raised"
kettles = [13, 216]
supports_at = [40, 92, 150.5, 190]
support_width = 6
[measuring]
error = 0.3
""",
    structures=("spine_lining",),
    settings={"ease": "1.3", "clear": "1.5", "setback_head": "10", "setback_tail": "14"},
    pieces={
        **{f"panel {number}": panel(*ends) for number, ends in ENDS.items()},
        "placing strip": Cut(
            rectangle(0, 0, 26, 228),
            slits=tuple(((15.6, y), (26.0, y)) for ends in ENDS.values() for y in ends),
        ),
    },
    quantities={
        "width_head_mm": wide(10),
        "width_tail_mm": wide(214),
        "growth_across_mm": 0.015 * wide(10),
        "panel_3_height_mm": 49.5,
    },
    said=tuple(f"{wide(y):.1f}" for y in (10, 214)),
)
