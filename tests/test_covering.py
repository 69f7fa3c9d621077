"""The covering's way over joints and spine: one reckoning for widening, inlay, closing, examination."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

import pytest

from patterns.book.book import Book
from patterns.errors import RecordError, Unsuitable
from patterns.examine.examination import examine
from patterns.formulas.joints import Joint, JointKind, covering_mm
from patterns.model.part import Part
from patterns.record import reading
from patterns.record.record import Record
from patterns.stock import materials
from tests.books import changed, drafted

LIBRARY = materials.built_in()
HALF_TURN = math.pi / 2


def part(record: Record, structure: str, *others: str, **settings: object) -> Part:
    found = drafted(record, structure, *others, **settings).pattern.parts
    return next(one for one in found if one.structure == structure)


def figure(found: Part, name: str) -> float:
    value = found.quantities[name]
    assert isinstance(value, float)
    return value


def case(**cover: object) -> Record:
    """A flat block of 45 in a case: boards 2.5 over grooves of 6.4, no shoulder, covering 0.6."""
    return changed(
        "seaweed_album",
        text_block={"thickness": 45.0, "thickness_fore_edge": 45.0},
        spine={"girth_head": 45.0, "girth_tail": 45.0},
        cover={"thickness": 0.6, **cover},
    )


# the way over one joint


@pytest.mark.parametrize(
    ("kind", "shoulder", "angle", "gap", "board", "wanted"),
    [
        # down to the groove's middle, √(3.2² + 2.5²) = 4.0608, and the same up again
        ("french", 2.5, 90.0, 6.4, 2.5, 8.1216),
        # a leaning shoulder, tip at (−2.5, 2.5): √(5.7² + 2.5²) = 6.2241, and 4.0608
        ("french", 2.5, 45.0, 6.4, 2.5, 10.2849),
        ("tight", 3.0, 90.0, 1.0, 3.0, 1.0),
        ("tight", 3.0, 90.0, 1.0, 3.75, 1.25),
        ("flush", 0.0, 90.0, 0.0, 2.5, 2.5),
    ],
)
def test_the_way_over_a_joint(
    kind: JointKind, shoulder: float, angle: float, gap: float, board: float, wanted: float
) -> None:
    """Straight from tip to arris, in a French joint by the floor of its groove; by hand."""
    joint = Joint(kind, shoulder, angle, gap, board)
    assert covering_mm(joint) == pytest.approx(wanted, abs=1e-4)


def test_a_way_that_was_read_wins_and_a_limp_side_has_none() -> None:
    """joint_over of one side stands for that side alone."""
    record = case(joint_over=7.0)
    record = replace(
        record, cover=replace(record.cover, back=replace(record.cover.back, joint_over=7.4))
    )
    covering = Book.of(record, LIBRARY).covering
    assert covering.over_joint("front").value == 7.0
    assert covering.over_joints_mm == pytest.approx(14.4)
    limp = Book.of(changed("chart_book", cover={"joint": "french"}), LIBRARY).covering
    assert limp.over_joints_mm == 0.0


def test_boards_of_unknown_thickness_are_asked_for_not_taken_as_none() -> None:
    """The way over a joint ends at the board's outer arris: without a thickness there is none."""
    record = case(board_thickness=None, spine_width=60.0)
    with pytest.raises(RecordError, match=r"cover\.board_thickness.* or cover\.joint_over"):
        drafted(record, "cover_widening")
    found = drafted(record, "spine_lining").pattern
    assert "cover.board_thickness is not measured" in found.closing
    assert "cover_closes" not in found.figures
    read = case(board_thickness=None, spine_width=60.0, joint_over=7.3)
    assert drafted(read, "spine_lining").pattern.figures["cover_needed_head_mm"] == pytest.approx(
        45 + 14.6 + HALF_TURN * 0.6
    )


# everybody reckons alike


def test_a_case_with_a_groove_needs_the_same_of_all_who_ask() -> None:
    """45 + 2 × (3.2 + √(3.2² + 2.5²)) + π × 0.3 = 60.46; of 57 it lacks 3.46 to all."""
    needed = 45 + 2 * (3.2 + math.hypot(3.2, 2.5)) + math.pi * 0.3
    assert needed == pytest.approx(60.464, abs=0.001)
    record = case(spine_width=57.0)
    closing = drafted(record, "spine_lining").pattern
    assert closing.figures["cover_needed_head_mm"] == pytest.approx(needed)
    found = examine(record, LIBRARY).findings
    lacking = next(one for one in found if one.key == "spine_too_narrow").figure
    assert lacking == pytest.approx(needed - 57)
    widened = part(record, "cover_widening")
    assert figure(widened, "deficiency_tail_mm") == pytest.approx(needed - 57)
    # the piece itself goes by its own cloth of 0.35
    assert figure(widened, "needed_head_mm") == pytest.approx(needed - HALF_TURN * (0.6 - 0.35))
    assert widened.pieces[0].width_mm == pytest.approx(figure(widened, "needed_head_mm") + 16)


def test_a_rounded_spine_turns_the_covering_less_at_its_joints() -> None:
    """Chord 46 and round 5 turn φ = 4·atan(10/46): the folds turn the rest of a half circle."""
    turn = 4 * math.atan2(10, 46)
    found = part(changed("chart_book", spine={"girth_tail": 47.4}), "cover_widening")
    wanted = 47.4 + turn * (0.35 / 2 - 0.05) + (math.pi - turn) * 0.35 / 2
    assert figure(found, "needed_head_mm") == pytest.approx(wanted)


def test_one_figure_is_held_against_both_ends_by_examination_as_by_draft() -> None:
    """A tapered block of 45 to 47 in a case of 61.2: the tail lacks more than 1 mm, the middle less."""
    record = case(spine_width=61.2)
    record = replace(record, spine=replace(record.spine, girth_tail=47.0))
    found = examine(record, LIBRARY).findings
    lacking = next(one for one in found if one.key == "spine_too_narrow").figure
    assert lacking == pytest.approx(figure(part(record, "cover_widening"), "deficiency_tail_mm"))
    assert lacking is not None
    assert lacking > 1


# the cover's spine by kind


def test_a_strip_over_a_cover_still_on_its_book_is_laid_flat() -> None:
    """Strip 65.0 over a covering of 0.9: 65 − π × (0.9 + 0.1) / 2 = 63.43 from board to board."""
    record = case(kind="in-boards", spine_width=None, spine_strip=65.0, thickness=0.9)
    spine = Book.of(record, LIBRARY).cover_spine
    assert spine is not None
    assert (spine.head_mm, spine.tail_mm) == pytest.approx((63.4292, 63.4292), abs=1e-4)
    assert drafted(record, "spine_lining").pattern.figures["cover_spine_tail_mm"] == pytest.approx(
        63.4292, abs=1e-4
    )


def test_a_strip_over_a_covering_of_unknown_thickness_is_no_width() -> None:
    """Nothing is reckoned from it until the covering's thickness is known."""
    record = case(kind="in-boards", spine_width=None, spine_strip=65.0, thickness=None)
    with pytest.raises(RecordError, match=r"cover\.thickness is needed"):
        drafted(record, "spine_lining")
    assert not [f for f in examine(record, LIBRARY).findings if f.key == "spine_too_narrow"]


@pytest.mark.parametrize(
    ("lines", "field"),
    [
        ('kind = "limp"\nspine_strip = 50', "cover.spine_strip"),
        ('kind = "wrapper"\njoint_over = 5', "cover.joint_over"),
        ("spine_strip = 50\nspine_width_tail = 48", "cover.spine_strip"),
    ],
)
def test_what_a_kind_of_cover_cannot_have_is_refused(lines: str, field: str) -> None:
    """A limp cover has neither joints nor arrises; one spine is read in one way."""
    with pytest.raises(RecordError) as refusal:
        reading.parse(f"[cover]\n{lines}\n", "x")
    assert [problem.field for problem in refusal.value.problems] == [field]


@pytest.mark.parametrize(
    ("cover", "words"),
    [
        ({"kind": "in-boards", "spine_width": 62.0}, "the covering has 62.0 mm: it reaches round"),
        ({"kind": "in-boards", "spine_width": None}, "(cover.spine_strip), to know whether the covering"),
        ({"kind": "case", "spine_width": 62.0}, "the cover has 62.0 mm: it closes"),
        ({"kind": "case", "spine_width": 59.0}, "it does not close, 1.5 mm are lacking; widen it"),
    ],
)  # fmt: skip
def test_the_closing_speaks_of_each_kind_as_the_bench_does(
    cover: Mapping[str, object], words: str
) -> None:
    """A case closes; a covering, made on its boards, reaches round."""
    assert words in drafted(case(**cover), "spine_lining").pattern.closing


# the inlay between the joints


def inlay(**cover: object) -> Part:
    return part(case(**cover), "spine_inlay")


def test_an_inlay_stops_short_of_both_joints() -> None:
    """Span 60, 5.2 over each joint, spine 45 → 44.0; of 56 between them are 45.6, of 54.6 44.2."""
    assert inlay(spine_width=60.0, joint_over=5.2).pieces[0].width_mm == pytest.approx(44.0)
    assert inlay(spine_width=56.0, joint_over=5.2).pieces[0].width_mm == pytest.approx(44.0)
    assert inlay(spine_width=54.6, joint_over=5.2).pieces[0].width_mm == pytest.approx(43.2)


def test_an_inlay_that_would_lie_in_the_joints_waits_for_a_wider_cover() -> None:
    """47 in a span of 48 bridged both joints; less than 1 mm is let off, more is refused."""
    with pytest.raises(Unsuitable, match=r"33\.5 mm where 45\.0 are needed.*cover_widening"):
        inlay(spine_width=48.0)
    inlay(spine_width=54.4, joint_over=5.2)
    with pytest.raises(Unsuitable, match="cover_widening"):
        inlay(spine_width=54.3, joint_over=5.2)
    wide = part(case(spine_width=48.0), "spine_inlay", "cover_widening")
    assert wide.pieces[0].width_mm == pytest.approx(44.0)


def test_a_covering_still_on_its_boards_leaves_the_inlay_to_the_block() -> None:
    """Without any width of the cover: 45 − 2 × 0.5, and the paper piece is tried in the cover."""
    found = drafted(case(kind="in-boards", spine_width=None), "spine_inlay").pattern
    assert found.parts[0].pieces[0].width_mm == pytest.approx(44.0)
    assert any("goes by the block alone" in line for line in found.warnings)
    with pytest.raises(RecordError, match=r"cover\.spine_strip"):
        inlay(spine_width=None)


def test_an_inlay_says_that_it_would_bridge_raised_supports() -> None:
    """A card in one piece cannot follow bands that stand in the covering's spine."""
    bands = drafted(changed("logbook", sewing={"supports": "raised"}), "spine_inlay").pattern
    assert any("would bridge them" in line for line in bands.warnings)
    assert not any("bridge" in line for line in drafted("logbook", "spine_inlay").pattern.warnings)


def test_an_inlay_is_pasted_before_the_covering_is_turned_in() -> None:
    """Turned in first, the covering's ends would lie beneath it."""
    for others in ((), ("cover_widening",)):
        record = case(spine_width=48.0 if others else 60.0)
        texts = [step.text for step in drafted(record, "spine_inlay", *others).pattern.steps]
        pasted = next(k for k, t in enumerate(texts) if t.startswith("Set the inlay"))
        turned = next(k for k, t in enumerate(texts) if "over the ends of the inlay" in t)
        assert pasted < turned
    bare = drafted(case(spine_width=60.0, turn_in=0.0), "spine_inlay").pattern.steps
    assert not any("urn-in" in step.text or "urn in" in step.text for step in bare)


# the bars of a new sewing


def test_bars_count_for_what_goes_round_and_not_for_what_has_ease() -> None:
    """Logbook, chord 67 and round 12, 75 and 75.5 over the sewn lining: the covering's way grows by φ times the thread."""
    turn = 4 * math.atan2(24, 67)
    thread = math.sqrt(4e-3 * 3 * 1653.5155 / 35 / (math.pi * 0.90))  # linen 35/3
    record = changed("logbook", cover={"spine_width": 60.0})
    sewn = drafted(record, "secondary_sewing", "cover_widening", "hollow_tube", layout="classes")
    cloth, tube = 0.2 + 0.08 + 0.25, 4 * 0.12
    widening = next(one for one in sewn.pattern.parts if one.structure == "cover_widening")
    under = cloth + tube + thread
    ways = math.hypot(1.0, 0.2) + math.hypot(1.0, 0.1)  # boards of 3.2 and 3.1 at shoulders of 3
    head = 75 - 0.5 * 4 / 330 + turn * (under + 0.35 / 2 - cloth - 0.05)
    wanted = head + ways + (math.pi - turn) * 0.35 / 2
    assert figure(widening, "needed_head_mm") == pytest.approx(wanted, abs=1e-6)
    assert any(f"on {under:.2f} mm, counted in full" in n for n in widening.pieces[0].notes)
    panel = next(one for one in sewn.pattern.parts if one.structure == "hollow_tube")
    assert figure(panel, "lies_on_mm") == pytest.approx(cloth)
    eased = f"over the bars of the sewing: on {cloth + thread:.2f} mm, its ease takes that up"
    assert eased in panel.pieces[0].notes
