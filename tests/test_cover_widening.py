"""cover_widening: what is missing, where it shows, what is pasted and what stays free."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from shapely import Polygon, transform, union_all

from patterns.errors import SettingError, Unsuitable
from patterns.model.part import Part
from patterns.model.piece import Piece, Zone
from patterns.record.record import Record, SideTable
from patterns.sheets.layers import row, seated
from tests.books import changed, drafted
from tests.test_ladder import sound

FLAT = 38.6 - math.pi * 0.35 / 2
"""A flat spine round which a cloth 0.35 thick needs 38.6: with both folds it turns half a circle."""


def worked(**spine: object) -> Record:
    """A flat block for which a limp cover must be 38.6 wide at its spine, and is 31.0."""
    return changed(
        "chart_book",
        spine={
            "profile": "flat",
            "round_depth": 0,
            "girth_head": FLAT,
            "girth_tail": FLAT,
            **spine,
        },
        text_block={"thickness": FLAT, "thickness_fore_edge": FLAT},
        cover={"spine_width": 31.0, "spine_width_head": 31.0, "spine_width_tail": 31.0},
    )


def part(record: Record | str, **settings: object) -> Part:
    found = drafted(record, "cover_widening", **settings)
    sound(found)
    return found.pattern.parts[0]


def zones(piece: Piece, kind: str, face: str) -> list[Zone]:
    return [zone for zone in piece.zones if (zone.kind, zone.face) == (kind, face)]


def test_worked_example_of_the_plan() -> None:
    """38.6 needed over 31.0 with 8 overlap: gaps 3.8 each, piece 54.6."""
    found = part(worked())
    assert found.quantities["needed_head_mm"] == pytest.approx(38.6)
    assert found.quantities["gap_front_head_mm"] == pytest.approx(3.8)
    assert found.quantities["gap_back_tail_mm"] == pytest.approx(3.8)
    assert found.pieces[0].width_mm == pytest.approx(54.6)
    assert found.pieces[0].height_mm == pytest.approx(266 + 2 * 14)


@pytest.mark.parametrize(
    ("settings", "front"),
    [({"gaps": "front"}, 7.6), ({"gaps": "back"}, 0.0), ({"gap_front": 2.5}, 2.5)],
)
def test_gaps_lie_on_one_side_or_as_given(settings: dict[str, object], front: float) -> None:
    """Whatever the front shows, the back shows the rest of 7.6, and the piece stays as wide."""
    found = part(worked(), **settings)
    assert found.quantities["gap_front_head_mm"] == pytest.approx(front)
    assert found.quantities["gap_back_head_mm"] == pytest.approx(7.6 - front)
    assert found.pieces[0].width_mm == pytest.approx(54.6)


def test_a_gap_wider_than_what_is_missing_is_refused_with_the_limit() -> None:
    """The line names the most that may be asked."""
    with pytest.raises(SettingError, match=r"allowed is 0 to 7\.6"):
        part(worked(), gap_front=8)


@pytest.mark.parametrize("width", [39.0, 40.0, 45.0])
def test_a_cover_that_is_not_narrower_is_refused(width: float) -> None:
    """Up to 1 mm the cover still closes, nothing is let in: 1.2 thick it needs 38.05 + 1.88 = 39.94."""
    record = worked()
    cover = replace(record.cover, spine_width=width, spine_width_head=width, spine_width_tail=width)
    with pytest.raises(Unsuitable, match="not narrower"):
        part(replace(record, cover=cover))


@pytest.mark.parametrize("name", ["chart_book", "worked"])
def test_paste_keeps_to_sides_and_original_spine(name: str) -> None:
    """Between the folds the inside is free, and so are the strips that show and bend."""
    found = part(worked() if name == "worked" else name)
    (piece,) = found.pieces
    body = Polygon(piece.outline)
    up = [Polygon(zone.outline) for zone in piece.zones if zone.face == "up"]
    assert sum(ring.area for ring in up) == pytest.approx(union_all(up).area)
    pasted = zones(piece, "pasted", "up")
    assert [zone.to for zone in pasted] == [
        "inside of the back side", "inside of the front side", "original spine",
    ]  # fmt: skip
    areas = [Polygon(zone.outline).area for zone in pasted]
    cover_height, overlap = 266.0, 8.0
    assert areas[:2] == pytest.approx([overlap * cover_height] * 2)
    spines = (31.0, 31.0) if name == "worked" else (40.0, 40.4)
    assert areas[2] == pytest.approx(sum(spines) / 2 * cover_height)
    strips = sum(Polygon(zone.outline).area for zone in zones(piece, "free", "up"))
    needed = (found.quantities["needed_head_mm"], found.quantities["needed_tail_mm"])
    assert strips == pytest.approx((sum(needed) - sum(spines)) / 2 * cover_height)  # type: ignore[arg-type]
    inside = [zone.to for zone in zones(piece, "pasted", "under")]
    assert inside == ["itself, turned in"] * 2
    (free,) = zones(piece, "free", "under")
    turned = sum(Polygon(zone.outline).area for zone in zones(piece, "pasted", "under"))
    assert Polygon(free.outline).area + turned == pytest.approx(body.area)


def test_a_case_is_pasted_to_its_boards_beneath_the_covering() -> None:
    """Both faces take paste at the boards, none between them on the inside."""
    found = part(changed("seaweed_album", cover={"spine_width": 27.0}))
    (piece,) = found.pieces
    onto = [zone.to for zone in zones(piece, "pasted", "under")]
    assert onto[:2] == [
        f"outer face of the {side} board, beneath its covering" for side in ("back", "front")
    ]
    free = Polygon(zones(piece, "free", "under")[0].outline)
    boards = [Polygon(zone.outline) for zone in zones(piece, "pasted", "under")[:2]]
    way = 3.2 + math.hypot(3.2, 2.5)  # to the groove's floor, and up to the arris of a board of 2.5
    wide = 18 + 2 * way + math.pi * 0.35 / 2
    assert free.bounds[2] - free.bounds[0] == pytest.approx(wide)
    assert all(free.intersection(board).area == pytest.approx(0) for board in boards)
    assert any("album_guards" in line for line in found.warnings)


def test_tapered_spine_gives_a_tapered_piece_and_unequal_gaps() -> None:
    """Head and tail have their own missing width; extrapolated over squares and turn-ins."""
    record = changed("chart_book", spine={"girth_head": 47.0, "girth_tail": 52.0})
    found = part(record)
    slope = 5.0 / 260
    grows = found.quantities["needed_tail_mm"] - found.quantities["needed_head_mm"]  # type: ignore[operator]
    assert grows == pytest.approx(slope * 266)
    xs = sorted(x for x, y in found.pieces[0].outline if y > 290)
    low = xs[-1] - xs[0]
    assert low == pytest.approx(found.quantities["piece_tail_mm"] + slope * 14, abs=0.3)  # type: ignore[operator]
    assert any("at the tail" in str(found.quantities[key]) for key in ("piece_words", "gap_words"))


def test_a_tapered_piece_without_turn_ins_has_no_folds() -> None:
    """Its head edge bows: a line there would touch it in the middle and cross it nowhere else."""
    spine = {"girth_head": 46.0, "girth_tail": 54.0}
    found = part(changed("chart_book", spine=spine, cover={"turn_in": 0.0}))
    assert found.pieces[0].folds == ()
    assert len(found.pieces[0].outline) > 4


def test_right_to_left_books_have_front_and_back_exchanged() -> None:
    """The same record read the other way is the mirror image, named anew."""
    one = part(worked(), gap_front=2.5)
    record = worked()
    other = part(replace(record, book=replace(record.book, reading="right-to-left")), gap_front=2.5)
    assert (one.pieces[0].left, other.pieces[0].left) == ("BACK", "FRONT")
    width = one.pieces[0].width_mm
    for face in ("up", "under"):
        rings = [
            union_all([Polygon(zone.outline) for zone in zones(piece, "free", face)])
            for piece in (one.pieces[0], other.pieces[0])
        ]
        mirrored = transform(rings[0], lambda xy: [width, 0.0] + xy * [-1.0, 1.0])
        assert mirrored.symmetric_difference(rings[1]).area == pytest.approx(0, abs=1e-6)
    assert one.quantities["gap_front_head_mm"] == other.quantities["gap_front_head_mm"]


def test_a_fallen_in_spine_needs_less_the_further_out_the_piece_lies() -> None:
    """Negative depth, strip 40.5 over a chord of 40: the layer is shorter than the strip."""
    spine = {"profile": "concave", "round_depth": -3, "girth_head": 40.5, "girth_tail": 40.5}
    record = changed("chart_book", spine={**spine, "linings": 0.5}, text_block={"thickness": 40.0})
    record = replace(
        record,
        cover=replace(record.cover, spine_width=36, spine_width_head=36, spine_width_tail=36),
    )
    found = part(record)
    assert 36 < found.quantities["needed_head_mm"] < 40.5 + 2 * 1.0  # type: ignore[operator]


def test_unequal_joints_are_added_as_they_are() -> None:
    """A case with 7.0 read over its front joint and 9.0 over the back one: 18 + 16 and half a turn."""
    record = changed("seaweed_album", cover={"spine_width": 27.0, "joint_over": 7.0})
    back = replace(record.cover.back, joint_over=9.0)
    found = part(replace(record, cover=replace(record.cover, back=back)))
    assert found.quantities["needed_head_mm"] == pytest.approx(18 + 16 + math.pi * 0.35 / 2)


def test_a_block_thicker_at_its_fore_edge_is_not_closed_by_widening() -> None:
    """More than 2 mm: guards or compensation are named."""
    record = worked()
    thick = replace(record, text_block=replace(record.text_block, thickness_fore_edge=FLAT + 2.1))
    assert any("fore edge" in line and "album_guards" in line for line in part(thick).warnings)
    assert not any("fore edge" in line for line in part(record).warnings)


def test_it_lies_on_the_tube_beneath_it() -> None:
    """With a hollow tube of three papers of 0.12 the piece lies on 0.36 and is wider by φ · 0.36."""
    alone = part("chart_book")
    found = drafted("chart_book", "hollow_tube", "cover_widening", on=1, off=2).pattern.parts[1]
    assert found.quantities["lies_on_mm"] == pytest.approx(0.36)
    grown = found.quantities["needed_head_mm"] - alone.quantities["needed_head_mm"]  # type: ignore[operator]
    turn = 4 * 0.2138  # 4·atan(2·5/46) = 4 · 0.2140 rad for chord 46, depth 5
    assert grown == pytest.approx(turn * 0.36, abs=0.005)


def test_a_guarded_album_needs_the_width_its_guards_give() -> None:
    """Leaves of 24 · 0.9 = 21.6 on guards: spine within half a strip of it, two grooves, half a turn."""
    found = drafted("seaweed_album", "album_guards", "cover_widening").pattern.parts[1]
    needed = found.quantities["needed_head_mm"]
    way = 3.2 + math.hypot(3.2, 2.5)
    assert needed == pytest.approx(24 * 0.9 + 2 * way + math.pi * 0.35 / 2, abs=0.25 / 2)
    assert any("measure the sewn album" in line for line in found.warnings)
    assert not any("fore edge" in line for line in found.warnings)
    with pytest.raises(Unsuitable, match="not narrower"):
        part("seaweed_album")


def test_a_board_whose_thickness_was_not_read_has_none_in_the_section() -> None:
    """The way over the joint may be read instead of it; the covering's 1.1 was once told as the board's.

    It is drawn all the same: it is there, unlike the air beneath a cover.
    """
    bare = changed(
        "logbook",
        cover={
            "board_thickness": None,
            "joint_over": 7.0,
            "spine_width": 60.0,
            "thickness": 1.1,
            "back": SideTable(),
        },
    )
    layers = drafted(bare, "cover_widening").pattern.parts[0].layers
    told = {
        one.layer.name: (row(one, ("back", "front"))[2], one.air) for one in seated(layers, 25.0)
    }
    assert told["front board"] == told["back board"] == ("–", False)
    assert told["air"] == ("–", True)
    assert told["original spine"] == ("1.10", False)


def test_a_piece_that_stands_beyond_the_shorter_board_says_where_and_by_how_much() -> None:
    """Front from 3.4 above the head of the block to 226 − 3.4 below it, back from 2.2 to 228 − 2.2.

    The piece reaches from 3.4 above to 225.8: 3.2 beyond the front board's tail, 1.2 beyond the back board's head.
    """
    record = changed("day_book", cover={"spine_width": 40.0})
    front = SideTable(board_height=226.0, square_head=3.4)
    back = SideTable(board_height=228.0, square_head=2.2)
    unequal = replace(record, cover=replace(record.cover, front=front, back=back))
    found = part(unequal)
    assert found.quantities["cover_height_mm"] == pytest.approx(225.8 + 3.4)
    (said,) = [line for line in found.warnings if "from the higher head" in line]
    assert (
        "the front board by 3.2 mm at the tail; the back board by 1.2 mm at the head: there slit"
        in said
    )
    assert "trim the overlap" in " ".join(part(unequal, turn_in=0).warnings)
    assert not [line for line in part(record).warnings if "from the higher head" in line]


def test_a_block_laced_to_its_boards_is_not_taken_out() -> None:
    """Shut on its boards the piece is shifted and stays; a case is tried on, and the block comes out again."""
    laced = changed("day_book", cover={"kind": "in-boards", "spine_width": 40.0})
    for record, out in ((laced, False), (changed("day_book", cover={"spine_width": 40.0}), True)):
        words = " ".join(step.text for step in drafted(record, "cover_widening").pattern.steps)
        assert ("take the block out" in words) == out
        assert ("leave them shut" in words) != out
