"""text_block_support: within the block, clear of the endband, as high as the squares, never pasted."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from shapely import LineString, Point, Polygon
from shapely.affinity import translate

from patterns.drafting.order import Drafted
from patterns.errors import SettingError, Unsuitable
from patterns.model.part import Part
from patterns.model.piece import Piece
from patterns.record.record import Record, SideTable
from tests.books import changed, demo, drafted

NAME = "text_block_support"


def part(found: Drafted) -> Part:
    """Return the support's part of a draft."""
    return next(one for one in found.pattern.parts if one.structure == NAME)


def piece(found: Drafted, name: str) -> Piece:
    """Return one piece of the support by its name."""
    return next(one for one in part(found).pieces if one.name == name)


def number(found: Drafted, name: str) -> float:
    """Return one figure of the support."""
    value = part(found).quantities[name]
    assert isinstance(value, (int, float))
    return float(value)


def test_the_plan_of_the_atlas_is_as_its_rule_says() -> None:
    """Width thickness − 2, depth text_block.width − 4: 26 × 281 for 28 and 285."""
    layer = piece(drafted("atlas", NAME), "layer")
    assert layer.width_mm == pytest.approx(281.0, abs=0.01)
    assert layer.height_mm == pytest.approx(26.0, abs=1e-6)


def by_hand(chord: float, depth: float, x: float) -> float:
    """Return how far a circular spine has fallen back from its crown, `x` off its middle."""
    radius = (chord**2 / 4 + depth**2) / (2 * depth)
    return radius - math.sqrt(radius**2 - x**2)


def test_the_spine_end_keeps_endband_and_1_from_the_spines_curve() -> None:
    """Every point of the spine end lies 3.5 from the circle of chord 33 and round 6 (2.5 + 1)."""
    layer = piece(drafted("atlas", NAME), "layer")
    steps = [k * 0.02 - 16.5 for k in range(1651)]
    curve = LineString([(by_hand(33.0, 6.0, v), v) for v in steps])
    laid = translate(Polygon(layer.outline), 3.5, -13.0)
    assert curve.distance(laid) == pytest.approx(3.5, abs=0.01)
    ends = [Point(x, y) for x, y in laid.exterior.coords if x < 10 and abs(y) < 12.9]
    assert len(ends) > 10
    assert all(curve.distance(point) == pytest.approx(3.5, abs=0.02) for point in ends)


def test_the_support_stays_within_the_leaves_and_between_the_boards() -> None:
    """It ends inside the fore edge, 1 from each board, and inside the boards' own fore edge."""
    for band in (0.0, 2.5, 9.0, 30.0):
        found = drafted(changed("atlas", cover={"endband_tail": band}), NAME)
        layer = piece(found, "layer")
        assert number(found, "relief_mm") + layer.width_mm <= 285.0 - 0.5 + 1e-6
        assert layer.height_mm <= 28.0 - 2.0 + 1e-6
    short = drafted(changed("atlas", cover={"board_width": 200.0}), NAME)
    assert piece(short, "layer").width_mm < 6.0 + 6.4 + 200.0


def test_a_block_thinner_at_the_fore_edge_tapers_the_plan() -> None:
    """Fore edge 24: 22 wide there by interpolation over the leaves' width, 26 at the spine."""
    found = drafted(changed("atlas", text_block={"thickness_fore_edge": 24.0}), NAME)
    outline = piece(found, "layer").outline
    far = max(x for x, _ in outline)
    end = [y for x, y in outline if x > far - 1e-6]
    assert max(end) - min(end) == pytest.approx(26 - 4 * 284.5 / 285, abs=0.01)


def test_heights_lie_on_the_line_between_the_two_squares() -> None:
    """9.5 at the outer folds, 11.0 at 285: at 3.5 and 284.5 by proportion."""
    profile = piece(drafted("atlas", NAME), "profile")
    tall = max(y for _, y in profile.outline)
    heights = [tall - y for _, y in profile.outline[:2]]
    assert heights == pytest.approx([9.5 + 1.5 * 3.5 / 285, 9.5 + 1.5 * 284.5 / 285], abs=1e-3)


@pytest.mark.parametrize("squares", [(9.5, 11.0), (11.0, 9.5), (3.2, 6.9), (8.0, 8.0), (6.1, 6.2)])
@pytest.mark.parametrize("shim", [0.17, 0.3])
def test_layers_and_shims_follow_the_line_within_half_a_shim(
    squares: tuple[float, float], shim: float
) -> None:
    """Summed piece by piece along the length, the height is never off by more than half a shim."""
    book = changed(
        "atlas",
        cover={"square_tail_spine": squares[0], "square_tail_fore_edge": squares[1]},
    )
    found = drafted(book, NAME, build="layers", shim_thickness=shim)
    pieces = {one.name: one for one in part(found).pieces}
    length = pieces["layer"].width_mm
    cut = [line[0][0] for line in pieces["shim"].references] if "shim" in pieces else []
    whole = pieces["shim"].quantity - len(cut) if "shim" in pieces else 0
    low = squares[0] + (squares[1] - squares[0]) * 3.5 / 285
    high = squares[0] + (squares[1] - squares[0]) * (3.5 + length) / 285
    for k in range(200):
        at = length * k / 199
        steps = sum(at >= x if squares[1] > squares[0] else at <= x for x in cut)
        built = 1.5 * pieces["layer"].quantity + shim * (whole + steps)
        wanted = low + (high - low) * at / length
        slack = abs(high - low) * 10 / length  # a last step shorter than 10 is left out
        assert abs(built - wanted) <= shim / 2 + slack + 1e-6


def test_too_many_shims_are_refused_with_the_remedy() -> None:
    """Squares of 3 and 12 made up with tissue: a line that offers a thicker shim or a wedge."""
    book = changed("atlas", cover={"square_tail_spine": 3.0, "square_tail_fore_edge": 12.0})
    with pytest.raises(SettingError, match="build=wedge"):
        drafted(book, NAME, build="layers", shim_thickness=0.1)


def test_nothing_is_pasted_to_book_or_block() -> None:
    """Never pasted to book or block; only layers meet adhesive."""
    for build in ("wedge", "layers"):
        for one in part(drafted("atlas", NAME, build=build)).pieces:
            for zone in one.zones:
                if zone.kind == "pasted":
                    assert "layer" in zone.to
                    assert "block" not in zone.to
        assert not part(drafted("atlas", NAME, build=build)).layers


def test_right_to_left_and_unequal_shoulders_mirror_the_plan() -> None:
    """Front shoulder 4, back 1: the crown moves towards the front board, in either reading."""
    book = changed("atlas", spine={"shoulder_front": 4.0, "shoulder_back": 1.0})
    other = replace(book, book=replace(book.book, reading="right-to-left"))
    one, two = (piece(drafted(each, NAME), "layer") for each in (book, other))
    assert (one.tail, two.tail) == ("FRONT board", "BACK board")
    mirrored = Polygon([(x, 26.0 - y) for x, y in one.outline])
    assert mirrored.symmetric_difference(Polygon(two.outline)).area < 0.05
    straight = Polygon(one.outline).symmetric_difference(Polygon(two.outline)).area
    assert straight > 1.0
    crown = [y for x, y in one.outline if x < 0.01]
    assert sum(crown) / len(crown) > 13.5


def test_a_fallen_in_spine_turns_the_curve_round() -> None:
    """Fallen in by 4: the spine end is hollow, its middle farther in than its corners."""
    book = changed(
        "atlas",
        spine={"profile": "concave", "round_depth": -4.0, "girth_head": 34.2, "girth_tail": 34.2},
    )
    outline = piece(drafted(book, NAME), "layer").outline
    middle = [x for x, y in outline if abs(y - 13.0) < 1.5 and x < 30]
    corner = [x for x, y in outline if min(y, 26.0 - y) < 0.01 and x < 30]
    assert min(middle) > max(corner) + 1.0


def test_boards_that_differ_take_the_lesser_square_and_say_so() -> None:
    """The lower board decides, else the support would lift it off the shelf."""
    cover = replace(demo("atlas").cover, back=SideTable(square_tail_fore_edge=10.0))
    book: Record = replace(demo("atlas"), cover=cover)
    found = drafted(book, NAME)
    assert number(found, "square_tail_fore_edge_mm") == 10.0
    assert any("differ" in line for line in found.pattern.warnings)


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"cover": {"kind": "limp"}}, "box the book"),
        ({"cover": {"square_tail_spine": 0.5, "square_tail_fore_edge": 0.8}}, "do nothing"),
        ({"text_block": {"thickness": 7.0}, "spine": {"over_shoulders": 12.0, "round_depth": 2.0}},
         "falls over"),
    ],
)  # fmt: skip
def test_books_it_does_not_suit_are_told_what_would(
    fields: dict[str, dict[str, object]], words: str
) -> None:
    """One line says why, and what would suit instead."""
    with pytest.raises(Unsuitable, match=words):
        drafted(changed("atlas", **fields), NAME)


def test_large_books_are_sent_to_lie_flat() -> None:
    """Over 400 mm high or 80 mm thick: shelved flat (Univ. at Albany Libraries guideline)."""
    tall = drafted(changed("atlas", text_block={"height": 401.0}), NAME)
    assert any("lying flat" in line for line in tall.pattern.warnings)
    assert not any("lying flat" in line for line in drafted("atlas", NAME).pattern.warnings)
