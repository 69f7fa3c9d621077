"""board_paper: the target from board and open joint, and what is cut less by for the growth."""

from __future__ import annotations

from dataclasses import replace
from math import cos, dist, radians, sin

import pytest
from shapely import Polygon, box, transform

from patterns.errors import SettingError, Unsuitable
from patterns.model.part import Part
from patterns.model.piece import Piece
from patterns.record.record import Record, SideTable
from tests.books import changed, demo, drafted
from tests.test_ladder import sound


def part(record: Record | str, *others: str, **settings: object) -> Part:
    found = drafted(record, "board_paper", *others, **settings)
    sound(found)
    return next(one for one in found.pattern.parts if one.structure == "board_paper")


def worked(**cover: object) -> Record:
    """Board 158 wide, 3.2 thick, 246 high, shoulder 3.0, gap 1.0; squares not above the margin."""
    return changed(
        "logbook",
        text_block={"height": 240.0},
        cover={
            "board_width": 158.0, "board_height": 246.0, "board_thickness": 3.2, "square_head": 3.0,
            "square_tail": 3.0, "back": SideTable(), **cover,
        },
    )  # fmt: skip


def only(found: Part, side: str) -> Piece:
    return next(piece for piece in found.pieces if piece.name == f"board paper, {side}")


def test_worked_example_of_the_plan() -> None:
    """Board 158, margin 3, joint 6.28: 161.28 → 158.9 wide; 240 → 239.3 high."""
    found = part(worked())
    assert found.quantities["joint_path_front_mm"] == pytest.approx(6.28, abs=0.005)
    assert found.quantities["joint_shut_front_mm"] == pytest.approx(1.0)
    assert found.quantities["target_front_width_mm"] == pytest.approx(161.28, abs=0.005)
    assert found.quantities["target_front_height_mm"] == pytest.approx(240.0)
    assert only(found, "front").width_mm == pytest.approx(158.9, abs=0.05)
    assert only(found, "front").height_mm == pytest.approx(239.3, abs=0.05)


@pytest.mark.parametrize("grain", ["head-tail", "spine-fore edge"])
def test_grown_it_is_what_was_wanted(grain: str) -> None:
    """Along 0.4 %, across 2 %: the cut piece stretched so has the area and size of the target."""
    found = part("logbook", grain=grain, growth_along=0.4, growth_across=2)
    wide, high = (1.02, 1.004) if grain == "head-tail" else (1.004, 1.02)
    for side in ("front", "back"):
        piece = only(found, side)
        assert piece.grain == grain
        assert piece.width_mm * wide == pytest.approx(found.quantities[f"target_{side}_width_mm"])
        assert piece.height_mm * high == pytest.approx(found.quantities[f"target_{side}_height_mm"])
        notched = (1.0 + 2.0) * float(found.quantities[f"joint_path_{side}_mm"])
        whole = float(found.quantities[f"target_{side}_width_mm"]) * (339 - 6)
        assert Polygon(piece.outline).area * wide * high == pytest.approx(whole - notched)


def test_in_the_joint_it_never_stands_beyond_the_block() -> None:
    """Squares 4 and 5 over margins of 3: the joint part is 1 and 2 shorter than the board's."""
    found = part("logbook", adhesive="dry-set acrylic film")
    joint = next(z for z in only(found, "front").zones if z.to == "joint")
    _, top, _, bottom = Polygon(joint.outline).bounds
    assert 3 + top == pytest.approx(4.0)
    assert 3 + bottom == pytest.approx(4.0 + 330)


def test_no_growth_without_water() -> None:
    """A dry-set adhesive: cut as it lies."""
    found = part("logbook", adhesive="dry-set acrylic film")
    assert only(found, "front").width_mm == pytest.approx(found.quantities["target_front_width_mm"])
    assert not any("soak-test" in line for line in found.warnings)


def test_the_whole_pasted_face_goes_up_and_the_other_shows() -> None:
    """Board and joint together are the paper; nothing is pasted on the face that shows."""
    piece = only(part("logbook"), "front")
    up = [Polygon(zone.outline) for zone in piece.zones if zone.face == "up"]
    assert sum(zone.area for zone in up) == pytest.approx(Polygon(piece.outline).area)
    assert {zone.kind for zone in piece.zones if zone.face == "under"} == {"free"}


def test_it_is_long_enough_at_every_opening() -> None:
    """Base of the shoulder to the board's inner arris, turned by brute force about the middle of S–C.

    Tight joint, shoulder 3.0, board 3.2, gap 1.0; never longer than the paper.
    """
    record = worked()
    given = part(record).quantities
    pivot, arris = ((0 + 1.0) / 2, (3.0 + 3.2) / 2), (1.0, 0.0)
    ways = []
    for tenth in range(1801):
        turn, dx, dz = radians(tenth / 10), arris[0] - pivot[0], arris[1] - pivot[1]
        at = (
            pivot[0] + dx * cos(turn) - dz * sin(turn),
            pivot[1] + dx * sin(turn) + dz * cos(turn),
        )
        ways.append(dist((0.0, 0.0), at))
    assert max(ways) == pytest.approx(float(given["joint_path_front_mm"]), abs=1e-4)
    assert ways[0] == pytest.approx(float(given["joint_shut_front_mm"]))


def test_the_caution_names_open_joint_and_closed_gap() -> None:
    """J against the gap of the shut board stands in the step, for each board."""
    steps = drafted(worked(), "board_paper").pattern.steps
    (told,) = [step.text for step in steps if "too short" in step.text]
    assert "front 6.28 mm across the open joint, 1.00 across the closed gap" in told
    assert any("Never close the board on wet paste" in step.text for step in steps)


def test_unequal_boards_have_papers_of_their_own() -> None:
    """The logbook's back board is 0.1 thinner: its joint needs less."""
    given = part("logbook").quantities
    less = float(given["target_front_width_mm"]) - float(given["target_back_width_mm"])
    assert less == pytest.approx((1 + 6.2**2) ** 0.5 - (1 + 6.1**2) ** 0.5)


def test_front_and_back_are_mirror_images_and_turn_with_the_reading() -> None:
    """Equal boards; a right-to-left book exchanges them."""
    record = changed("logbook", cover={"back": SideTable()})
    front, back = only(part(record), "front"), only(part(record), "back")
    mirrored = transform(Polygon(front.outline), lambda xy: [front.width_mm, 0] + xy * [-1.0, 1.0])
    assert mirrored.symmetric_difference(Polygon(back.outline)).area == pytest.approx(0, abs=1e-6)
    turned = part(replace(record, book=replace(record.book, reading="right-to-left")))
    assert Polygon(only(turned, "front").outline).equals_exact(Polygon(back.outline), 1e-9)
    assert only(turned, "front").right == "joint"


def test_a_french_groove_is_followed() -> None:
    """The atlas: gap 6.4, shoulder 2.5, board 2.8: O to N is the larger of 6.4 and 5.3."""
    given = part("atlas").quantities
    assert given["joint_path_front_mm"] == pytest.approx(6.4)


def test_started_on_the_board_it_leaves_the_joint_free() -> None:
    """A margin inside the spine edge; no part in the joint."""
    found = part(worked(), start="board")
    piece = only(found, "front")
    assert found.quantities["target_front_width_mm"] == pytest.approx(158 - 2 * 3)
    assert [zone.to for zone in piece.zones if zone.kind == "pasted"] == [
        "inside of the front board"
    ]
    whole = box(0, 0, piece.width_mm, piece.height_mm)
    assert whole.symmetric_difference(Polygon(piece.outline)).area == pytest.approx(0, abs=1e-6)


def test_fitted_to_the_block_it_is_as_high_as_the_leaves() -> None:
    """339 less squares 4 and 5."""
    assert part("logbook", fit="block").quantities["target_front_height_mm"] == pytest.approx(330)


def test_margins_that_leave_nothing_are_refused_and_bare_turn_ins_warned_of() -> None:
    """One line with what remains; turn-ins of 16 need a margin below 16."""
    narrow = changed("logbook", cover={"board_width": 70.0})
    with pytest.raises(SettingError, match="leaves a paper of"):
        part(narrow, margin=60)
    assert any("raw edges" in line for line in part("logbook", margin=16).warnings)
    assert not any("raw edges" in line for line in part("logbook").warnings)


def test_it_does_not_change_what_lies_on_the_spine() -> None:
    """Papers of the boards add nothing to the layers over the spine."""
    layers = part("logbook").layers
    assert not any(layer.on_spine for layer in layers)
    assert demo("logbook").cover.board_thickness == layers[1].thickness_mm


@pytest.mark.parametrize(
    ("adhesive", "set_by"),
    [("dry-set acrylic film", "heated spatula"), ("solvent-set acrylic film", "ethanol")],
)
def test_without_water_nothing_grows_and_nothing_is_pasted(adhesive: str, set_by: str) -> None:
    """The sheet is as large as it lies; steps and notes speak of no paste, no growth, no soak test."""
    found = drafted("logbook", "board_paper", adhesive=adhesive).pattern
    (part,) = found.parts
    assert part.quantities["cut_front_width_mm"] == part.quantities["target_front_width_mm"]
    told = " ".join(step.text for step in found.steps if step.structure)
    assert set_by in told
    assert "no growth is reckoned with" in told
    for words in ("aste out", "Soak-test", "has grown"):
        assert words not in told
    assert not part.checks
    assert not [note for piece in part.pieces for note in piece.notes if "grows" in note]
    assert not [line for line in found.warnings if "growth" in line]


def test_papers_are_not_heated_onto_parchment() -> None:
    """The turn-ins beneath them shrink for good."""
    with pytest.raises(Unsuitable, match="parchment shrinks for good under heat"):
        drafted(
            changed("logbook", condition={"parchment": ("cover",)}),
            "board_paper",
            adhesive="dry-set acrylic film",
        )
