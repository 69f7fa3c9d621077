"""joint_tacket: one strip marks both, the holes meet, the loop never binds, paper against thread."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from shapely import LineString, Polygon
from shapely.affinity import rotate

from patterns.drafting.order import Drafted
from patterns.errors import PlacementError, SettingError, Unsuitable
from patterns.model.part import Part
from patterns.model.piece import Hole, Piece
from patterns.record.record import Record, SideTable
from tests.books import changed, demo, drafted

NAME = "joint_tacket"


def part(found: Drafted) -> Part:
    """Return the tackets' part of a draft."""
    return next(one for one in found.pattern.parts if one.structure == NAME)


def strip(found: Drafted, side: str) -> Piece:
    """Return one board's marking strip."""
    return next(one for one in part(found).pieces if one.name == f"marking strip, {side}")


def rows(one: Piece) -> tuple[list[Hole], list[Hole]]:
    """Return a strip's board holes and its pairs: every place has one hole in the board, two beside."""
    columns: dict[float, list[Hole]] = {}
    for hole in one.holes:
        columns.setdefault(round(hole.at[0], 6), []).append(hole)
    board, pairs = sorted(columns.values(), key=len)
    assert len(pairs) == 2 * len(board)
    return board, pairs


def number(found: Drafted, name: str) -> float:
    """Return one figure of the tackets."""
    value = part(found).quantities[name]
    assert isinstance(value, (int, float))
    return float(value)


def board_book(kind: str, shoulder: float, board: float, gap: float) -> Record:
    """Return the logbook with both joints as given."""
    cover = {
        "joint": kind, "joint_gap": gap, "board_thickness": board, "back": SideTable(),
    }  # fmt: skip
    return changed("logbook", spine={"shoulder": shoulder}, cover=cover)


def test_the_loop_is_as_its_rule_says() -> None:
    """Worked example: 2·(shoulder + J(O → N) + set-back + board) + 2·60; J 6.280 worked by hand."""
    found = drafted(board_book("tight", 3.0, 3.2, 1.0), NAME)
    assert number(found, "joint_path_front_mm") == pytest.approx(6.280, abs=5e-4)
    assert number(found, "loop_front_mm") == pytest.approx(
        2 * (3.0 + 6.280 + 8.0 + 3.2) + 120, abs=1e-3
    )


def test_a_french_joint_takes_its_own_path() -> None:
    """Worked example: B 2.5, j 2.5, g 6.0 gives O → N = 6.0."""
    found = drafted(board_book("french", 2.5, 2.5, 6.0), NAME)
    assert number(found, "loop_back_mm") == pytest.approx(2 * (2.5 + 6.0 + 8.0 + 2.5) + 120)


def way_round(
    kind: str, shoulder: float, board: float, gap: float, opening: float
) -> tuple[float, float]:
    """Return both strands' taut lengths by shapes: the board a turned box, the shoulder a wall."""
    box = Polygon([(gap, 0), (gap + 40, 0), (gap + 40, board), (gap, board)])
    tip = (0.0, shoulder)
    if kind == "tight":
        turned = rotate(box, opening, origin=(gap / 2, (shoulder + board) / 2))
    else:
        lean = math.degrees(math.atan2(gap / 2, shoulder))
        meets = (
            2 * lean
            if shoulder <= board
            else lean + math.degrees(math.acos(board / math.hypot(gap / 2, shoulder)))
        )
        first = min(meets, opening)
        once = rotate(box, first, origin=(gap / 2, 0.0))
        turned = rotate(once, opening - first, origin=tip)
    inner, outer = turned.exterior.coords[0], turned.exterior.coords[3]
    wall = Polygon([(-30, -1), (-1e-7, -1), (-1e-7, shoulder), (-30, shoulder)])

    def taut(end: tuple[float, ...]) -> float:
        line = LineString([(0.0, 0.0), end])
        if line.intersection(wall).length >= 1e-6:
            line = LineString([(0.0, 0.0), tip, end])
        if line.intersection(turned.buffer(-1e-6)).length < 1e-3:
            return float(line.length)
        return min(
            float(
                way.length
            )  # by the outer arris: straight to the inner one goes through the board
            for way in (
                LineString([(0.0, 0.0), outer, end]),
                LineString([(0.0, 0.0), tip, outer, end]),
            )
            if way.intersection(wall).length < 1e-3
        )

    return taut(inner), taut(outer)


@pytest.mark.parametrize(
    ("kind", "shoulder", "board", "gap"),
    [
        ("tight", 3.0, 3.2, 1.0),
        ("tight", 2.0, 4.0, 1.0),
        ("tight", 4.0, 2.5, 2.0),
        ("french", 2.5, 2.5, 6.0),
        ("french", 3.0, 2.5, 6.4),
        ("french", 2.0, 3.0, 5.0),
        ("french", 4.5, 2.0, 4.0),
    ],
)
def test_nothing_binds_over_the_whole_turn(
    kind: str, shoulder: float, board: float, gap: float
) -> None:
    """At every half degree both strands fit their allowance, and the loop its cut length."""
    found = drafted(board_book(kind, shoulder, board, gap), NAME)
    across, loop = number(found, "joint_path_front_mm"), number(found, "loop_front_mm")
    longest, margin = 0.0, math.inf
    for k in range(361):
        near, far = way_round(kind, shoulder, board, gap, k / 2)
        margin = min(margin, across - near, across + board - far)
        longest = max(longest, 2 * shoulder + 4 + 16 + board + near + far)
    assert number(found, "longest_way_front_mm") == pytest.approx(longest, abs=0.02)
    assert number(found, "least_margin_front_mm") == pytest.approx(margin, abs=0.01)
    assert loop - longest >= 100
    if abs(shoulder - board) <= 2:
        assert margin >= -1e-3


def test_board_and_shoulder_holes_meet_when_the_book_is_shut() -> None:
    """Board hole and pair lie at one height, the block's head one square below the board's."""
    for side in (SideTable(), SideTable(square_head=7.0, board_height=342.0)):
        book = replace(demo("logbook"), cover=replace(demo("logbook").cover, back=side))
        found = drafted(book, NAME)
        for which in ("front", "back"):
            square = book.cover.side("front" if which == "front" else "back").square_head or 0
            one = strip(found, which)
            board = sorted(hole.at[1] - square for hole in rows(one)[0])
            pairs = sorted(hole.at[1] - square for hole in rows(one)[1])
            assert [
                (a + b) / 2 for a, b in zip(pairs[::2], pairs[1::2], strict=True)
            ] == pytest.approx(board)
            assert all(
                b - a == pytest.approx(4) for a, b in zip(pairs[::2], pairs[1::2], strict=True)
            )
        front, back = (
            sorted(h.at[1] for h in rows(strip(found, which))[0]) for which in ("front", "back")
        )
        shift = (side.square_head or 4.0) - 4.0
        assert back == pytest.approx([y + shift for y in front])


def test_the_boards_hole_is_set_back_from_its_spine_edge() -> None:
    """Eight from the fold over the board's edge, on the board; strips of both boards are mirrored."""
    found = drafted("logbook", NAME)
    for which in ("front", "back"):
        one = strip(found, which)
        (fold,) = one.folds
        edge = fold.line[0][0]
        board = {round(h.at[0] - edge, 6) for h in rows(one)[0]}
        assert board == ({8.0} if which == "front" else {-8.0})
        assert all((h.at[0] - edge) * next(iter(board)) < 0 for h in rows(one)[1])
    other = replace(demo("logbook"), book=replace(demo("logbook").book, reading="right-to-left"))
    turned = strip(drafted(other, NAME), "front")
    assert {h.at for h in turned.holes} == {h.at for h in strip(found, "back").holes}


def test_holes_keep_clear_of_supports_old_holes_and_new_stitches() -> None:
    """Checked from the strip against the record, and against a secondary sewing beside it."""
    book = demo("logbook")
    found = drafted(book, NAME, "secondary_sewing", secondary_sewing__layout="classes")
    tacket = [h.at[1] - 4.0 for h in rows(strip(found, "front"))[1]]
    sewing = next(one.sewing for one in found.pattern.parts if one.sewing)
    new = [y for s in sewing.stitches for y in (s.from_mm, s.to_mm)]
    for y in tacket:
        assert 15.0 <= y <= 330.0 - 15.0
        assert min(abs(y - k) for k in book.sewing.kettles or ()) >= 5 - 1e-9
        assert min(abs(y - s) for s in book.sewing.supports_at or ()) >= 7 + 5 - 1e-9
        assert min(abs(y - s) for s in new) >= 5 - 1e-9


def test_thread_is_set_against_the_shoulder() -> None:
    """15 leaves of 0.19 in a shoulder of 3.0, two holes each, 350 mN a leaf: 10.5 N; paper first."""
    found = drafted("logbook", NAME, paper_class="fair")
    assert number(found, "shoulder_leaves_n") == 15
    assert number(found, "paper_tears_n") == pytest.approx(2 * 15 * 0.350)
    assert "paper cuts first" in str(part(found).quantities["strength_words"])
    block = 4.1 - 2 * 0.27
    assert number(found, "pull_n") == pytest.approx(2 * (block + 0.27) * 9.80665 / 5)
    # 10.5 / 15.02 = 0.699; 5 × 3 / 0.699 = 21.5 stations are more than nine
    (box,) = part(found).boxes
    assert "TOO WEAK LIFTED BY A BOARD: safety 0.69, asked 3; each of 5 tackets bears 15 N" in box
    assert "hold 10 N" in box  # 10.5 with two figures
    assert "stations would do" not in box


def test_one_safety_holds_for_tackets_and_stitches() -> None:
    """A tacket that bears 11.2 N where the shoulder tears at 15.4 has a safety of 1.37: too weak.

    22 leaves of 350 mN, two holes each: 15.4 N. Two boards' block of 2.86 kg lifted suddenly at five
    stations: 2 × 2.86 × 9.80665 / 5 = 11.2 N. Asked 3, 11 stations would do; asked 1.3, these do.
    """
    record = changed(
        "logbook",
        book={"weight": None},
        text_block={"weight": 2.59, "leaf_thickness": 0.136, "tear_strength": 350.0},
        cover={"board_weight": 0.27},
    )
    found = drafted(record, NAME)
    assert number(found, "pull_n") == pytest.approx(11.22, abs=0.005)
    assert number(found, "paper_tears_n") == pytest.approx(15.4)
    assert number(found, "safety_factor") == pytest.approx(1.373, abs=0.001)
    (box,) = part(found).boxes
    assert "safety 1.37, asked 3; each of 5 tackets bears 11 N" in box
    assert "22 leaves of the shoulder hold 15 N" in box
    assert "stations" not in box  # 11 are more than nine
    assert not part(drafted(record, NAME, safety=1.3)).boxes
    (few,) = part(drafted(record, NAME, safety=2)).boxes  # 5 × 2 / 1.373 = 7.3
    assert "8 stations would do, where they fit; a lining" in few
    assert not part(drafted(record, NAME, safety=2, stations=8)).boxes


def test_without_a_tear_strength_the_paper_needed_is_told_for_the_safety() -> None:
    """15.02 N at 15 leaves, two holes each, three times: 1.502 N a leaf, no factor."""
    record = changed("logbook", text_block={"tear_strength": None}, condition={"paper": None})
    found = drafted(record, NAME)
    assert not part(found).boxes
    assert number(found, "needed_tear_mn") == pytest.approx(1000 * 3 * 15.0236 / 30, rel=1e-3)
    assert any("one leaf must bear 1500 mN" in line for line in part(found).warnings)


@pytest.mark.parametrize(
    ("gap", "told"),
    [
        # 18/3 is 0.62 mm thick, ± 15 %: surely free from 0.72 on
        (0.80, ""),
        (0.63, "linen thread 25/3 (0.53 mm)"),  # 0.53 × 1.15 = 0.609
        (0.60, "linen thread 18/2 (0.51 mm)"),  # 0.51 × 1.15 = 0.586
        (0.05, "no known thread fits"),
    ],
)
def test_a_thread_that_may_bind_is_told_with_the_thickest_that_fits(gap: float, told: str) -> None:
    """d = √(4·10⁻³·tex/(π·0.90)): 18/3 0.6244, 25/3 0.5298, 18/2 0.5098 (tex = plies × 1653.5155/lea)."""
    found = drafted(changed("logbook", cover={"joint_gap": gap}), NAME)
    lines = [line for line in part(found).warnings if "may bind in a joint" in line]
    assert bool(lines) == bool(told)
    assert all(told in line for line in lines)


@pytest.mark.parametrize(
    ("fields", "settings", "words"),
    [
        ({"spine": {"shoulder": 0.0}}, {}, "sewn_cloth_joint"),
        ({}, {"paper_class": "brittle"}, "box the book"),
    ],
)
def test_joints_it_does_not_suit_are_told_what_would(
    fields: dict[str, dict[str, object]], settings: dict[str, str], words: str
) -> None:
    """One line says why, and what would suit instead."""
    with pytest.raises(Unsuitable, match=words):
        drafted(changed("logbook", **fields), NAME, **settings)


def test_places_that_do_not_fit_are_refused_with_the_number_that_does() -> None:
    """Nine pairs 20 apart with 20 clear do not fit between four tapes."""
    with pytest.raises((PlacementError, SettingError), match="at most"):
        drafted("logbook", NAME, stations=9, pair=20, clear=20)
