"""What every page must hold to: words apart from each other, nothing off the page, sizes to read."""

from __future__ import annotations

import shapely

from patterns.model.drawing import Drawing, Words
from patterns.sketch.marks import Box, box_of, words_corners

EDGE_MM = 4.9
"""No printer prints closer to the edge than this with certainty."""


def assert_clear(drawing: Drawing, least_cap: float = 1.8) -> None:
    """Fail where words meet, where a mark leaves the page, or where capitals are too small."""
    page = Box(EDGE_MM, EDGE_MM, drawing.width_mm - EDGE_MM, drawing.height_mm - EDGE_MM)
    for mark in drawing.marks:
        assert page.holds(box_of(mark)), mark
    words = [mark for mark in drawing.marks if isinstance(mark, Words)]
    assert all(one.cap_mm >= least_cap for one in words)
    boxes = [shapely.Polygon(words_corners(one)).buffer(-1e-6) for one in words]
    tree = shapely.STRtree(boxes)
    for one, other in zip(*tree.query(boxes, predicate="intersects"), strict=True):
        assert one == other, (words[one], words[other])
