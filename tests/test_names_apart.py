"""Names on small sections: clear of each other and, about a joint, of its lines."""

from __future__ import annotations

import itertools

import pytest
import shapely

from patterns.model.drawing import Line, Words
from patterns.sketch.marks import words_corners
from patterns.structures.shared.pictures import nested
from tests.books import changed, drafted, part


@pytest.mark.parametrize("opening", [90, 110, 135, 180, 215, 243.5])
@pytest.mark.parametrize("shoulder", [3.0, 5.5])
def test_names_stand_clear_of_lines_and_of_each_other(opening: float, shoulder: float) -> None:
    """A board opened far comes to lie where the spine is named: neither name may cover the other or a line."""
    book = changed(
        "logbook",
        spine={"shoulder": shoulder},
        cover={"board_thickness": 3.1, "joint": "tight", "joint_gap": 1.5},
    )
    found = drafted(book, "board_slot", depth=4.0, opening=opening)
    (drawn,) = (
        one for one in part(found, "board_slot").diagrams if one.name.startswith("joint section")
    )
    names = [mark for mark in drawn.marks if isinstance(mark, Words)]
    boxes = [shapely.Polygon(words_corners(one)) for one in names]
    assert {"spine", "text block", "board, outer face"} <= {one.text for one in names}
    for one, other in itertools.combinations(boxes, 2):
        assert not one.intersects(other)
    for mark in drawn.marks:
        if isinstance(mark, Line):
            run = shapely.LineString((*mark.points, *mark.points[: mark.closed]))
            crossed = [
                one.text for one, box in zip(names, boxes, strict=True) if box.intersects(run)
            ]
            assert not crossed, mark


@pytest.mark.parametrize("lap_mm", [3.0, 8.0, 16.1, 30.0])
def test_stub_and_lap_of_an_album_are_named_apart(lap_mm: float) -> None:
    """With a wide lap the section is drawn small, and the two names came to meet."""
    words = [m for m in nested(lap_mm, 4.0, 20.0, 1).marks if isinstance(m, Words)]
    boxes = [shapely.Polygon(words_corners(one)) for one in words]
    assert not any(one.intersects(other) for one, other in itertools.combinations(boxes, 2))
