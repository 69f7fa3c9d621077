"""Joints told apart by their grooves: cover and new lining must lie in the gap, down and up again."""

from __future__ import annotations

import pytest

from patterns.errors import RecordError
from patterns.examine.examination import examine
from patterns.record.record import Record, SideTable
from patterns.stock import materials
from patterns.structures import catalogue
from tests.books import changed, drafted

# The logbook with boards of 3.2 set in a French joint at a shoulder of 3.0, cover 1.1; its cloth is
# 0.25: a groove needs 2 × (1.1 + 0.25) = 2.7 under the cloth, 2 × 1.1 = 2.2 without one.
# A slot 10 deep at 6.5° has its mouth 2.116 from the inner face (3.1/2 + 5 × sin 6.5°).
MOUTH = 2.1160


def book(gap: float, over: float | None = None, thickness: float | None = 1.1) -> Record:
    return changed(
        "logbook",
        spine={"shoulder": 3.0, "shoulder_angle": 90.0},
        cover={
            "joint": "french", "joint_gap": gap, "joint_over": over, "thickness": thickness,
            "board_thickness": 3.2, "back": SideTable(),
        },
    )  # fmt: skip


def figures(record: Record, *structures: str, **settings: object) -> dict[str, object]:
    found = drafted(record, *structures, **settings).pattern
    return {
        **found.parts[-1].quantities,
        "warnings": " | ".join(line for one in found.parts for line in one.warnings),
    }


@pytest.mark.parametrize(
    ("gap", "path", "groove"),
    [
        # S (0, 3), C (0, 3.2), H (0, 3.1): 0.1 + 0.984
        (0.0, 1.0840, False),
        # C (2, 3.2), H (1, 3.1): √(1 + 0.01) + √(1 + 0.984²)
        (2.0, 1.00499 + 1.40294, False),
        # down the shoulder, along the floor, up to the mouth: 3 + 3.3 + 2.116
        (3.3, 8.4160, True),
        (6.4, 11.5160, True),
    ],
)
def test_cloth_cannot_lie_in_a_groove_of_no_width(gap: float, path: float, groove: bool) -> None:
    """At gap 0 and 2 the flange would be 4 mm too long; it goes by the joint that there is."""
    found = figures(book(gap), "board_slot")
    assert found["slot_mouth_front_mm"] == pytest.approx(MOUTH, abs=5e-5)
    assert found["joint_path_front_mm"] == pytest.approx(path, abs=5e-5)
    assert found["flange_front_mm"] == pytest.approx(path + 10 - 1, abs=5e-5)
    told = "a groove needs 2.7 mm (twice the cover 1.1 and new lining 0.25)" in str(
        found["warnings"]
    )
    assert told is not groove


def test_a_gap_too_near_the_limit_waits_for_a_strip() -> None:
    """Gap 2.5, limit 2.7, reading ± 0.5: both figures are told, and what would settle it.

    To the board's inner arris: 3 + 2.5 = 5.5 in a groove; without one H lies at (1.25, 3.1):
    √(1.25² + 0.1²) + √(1.25² + 3.1²) = 4.597. The covering: √(1.25² + 3²) + √(1.25² + 3.2²) = 6.685,
    or √(2.5² + 0.2²) = 2.508.
    """
    with pytest.raises(RecordError) as refused:
        drafted(book(2.5), "board_slot")
    words = str(refused.value)
    for part in ("needs 5.5 mm to the board in a groove, 4.6 mm", "6.7 or 2.5 mm", "± 0.5"):
        assert part in words, part
    assert [problem.field for problem in refused.value.problems] == ["cover.joint_over"]
    for gap in (2.2, 3.2):  # 2.7 ± 0.5, the ends included
        with pytest.raises(RecordError, match="joint_over"):
            drafted(book(gap), "board_slot")


@pytest.mark.parametrize(("over", "path"), [(6.5, 3 + 2.5 + MOUTH), (2.7, 1.25400 + 1.59081)])
def test_a_strip_laid_in_the_joint_tells_which_it_is(over: float, path: float) -> None:
    """Tip to outer arris, 6.685 in a groove or 2.508 across; √(1.25² + 0.984²) = 1.5908."""
    found = figures(book(2.5, over), "board_slot")
    assert found["joint_path_front_mm"] == pytest.approx(path, abs=5e-5)


def test_without_a_lining_the_cover_alone_fills_the_groove() -> None:
    """Gap 2.8: over 2.2 + 0.5 without a lining, but not over 2.7 + 0.5 under a sewn one.

    From the base of the shoulder to the inner arris the way is max(2.8, 3 + 3.2) = 6.2.
    """
    found = figures(book(2.8), "board_paper")
    assert found["joint_path_front_mm"] == pytest.approx(6.2)
    with pytest.raises(RecordError, match=r"new lining 0\.25"):
        drafted(book(2.8), "board_slot", "board_paper")
    with pytest.raises(RecordError, match=r"new lining 0\.25"):
        drafted(book(2.8), "secondary_sewing", "board_paper")


def test_boards_that_differ_wait_each_for_its_own_strip() -> None:
    record = changed(
        "logbook",
        cover={
            "joint": "french", "joint_gap": 6.4,
            "back": SideTable(joint_gap=2.6, board_thickness=3.1),
        },
    )  # fmt: skip
    with pytest.raises(RecordError, match=r"cover\.back\.joint_gap is 2\.6 mm"):
        drafted(record, "board_slot")


def test_examine_offers_what_waits_and_says_for_what() -> None:
    """The joint is still to be read; it rules nothing out."""
    ways = examine(book(2.5), materials.built_in(), catalogue.templates()).choices
    offered = {way.structure: way.missing for way in ways}
    for structure in ("board_slot+secondary_sewing", "sewn_cloth_joint", "joint_tacket"):
        if structure in offered:
            assert "cover.joint_over" in offered[structure], structure
    assert "board_slot+secondary_sewing" in offered
    sure = examine(book(6.4), materials.built_in(), catalogue.templates()).choices
    assert not any("cover.joint_over" in way.missing for way in sure)


def test_a_board_level_with_a_rounded_spine_is_told() -> None:
    """Chord 40, round 8, no shoulder, board 3: it enters the round by 2.5 mm, and opens to 136°.

    √(29² − (20 − 3)²) − (29 − 8) = 2.495; 180° − asin(20/29) = 136.4°.
    """
    record = changed(
        "light_list",
        text_block={"thickness": 40.0},
        spine={
            "shoulder": 0.0, "over_shoulders": 40.0, "round_depth": 8.0, "profile": "rounded",
            "girth_head": None, "girth_tail": None,
        },
        cover={"joint": "flush", "joint_gap": 0.0, "board_thickness": 3.0, "back": SideTable()},
    )  # fmt: skip
    for structure in ("board_paper", "secondary_sewing"):
        told = str(figures(record, structure)["warnings"])
        assert "enter the round by 2.5 mm; it opens freely to 136°" in told, structure
    less = str(figures(record, "board_paper", opening=130)["warnings"])
    assert "enter the round" not in less


def test_no_thickness_of_cover_is_none_and_no_gap_is_no_groove() -> None:
    """A cover not measured is reckoned as none: under cloth of 0.25 the limit is 0.5 ± 0.5."""
    with pytest.raises(RecordError, match="joint_over"):
        drafted(book(1.0, thickness=None), "board_slot")
    found = figures(book(1.1, thickness=None), "board_slot")
    assert found["joint_path_front_mm"] == pytest.approx(3 + 1.1 + MOUTH, abs=5e-5)


def test_the_cloth_of_a_casing_lies_in_the_groove_as_well() -> None:
    """Cover 0.45, casing cloth 0.25: a groove needs 2 × 0.7 = 1.4; the gap 1.6 is within ± 0.5 of it.

    A board paper brings no cloth: 2 × 0.45 = 0.9, and 1.6 is a groove.
    """
    near = changed("day_book", cover={"joint_gap": 1.6, "spine_width": 45.0})
    with pytest.raises(RecordError, match=r"1\.4 mm .twice the cover 0.45 and new lining 0.25"):
        drafted(near, "casing_in")
    assert figures(near, "board_paper")["joint_path_front_mm"] == pytest.approx(4.6, abs=5e-4)


def test_a_shoulder_that_leans_past_the_board_is_refused() -> None:
    """Shoulder 3 at 150°: its tip lies 3/tan 30° = 5.196 over a joint of 1; at 108° 0.975, which there is room for."""
    leaning = {"shoulder": 3.0, "shoulder_angle": 150.0}
    tight = {"joint": "tight", "joint_gap": 1.0, "board_thickness": 3.2, "back": SideTable()}
    with pytest.raises(RecordError, match=r"leans 5\.2 mm over a joint of 1 mm.*again"):
        drafted(changed("logbook", spine=leaning, cover=tight), "board_slot")
    drafted(
        changed("logbook", spine={**leaning, "shoulder_angle": 108.0}, cover=tight), "board_slot"
    )
