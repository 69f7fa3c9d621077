"""The board slot against worked examples and plain geometry."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from shapely import Point

from patterns.errors import SettingError, Unsuitable
from patterns.examine.examination import examine
from patterns.examine.finding import Choice
from patterns.formulas import slots
from patterns.model.drawing import Area, Line, LineKind, Words
from patterns.record.record import Record, SideTable
from patterns.sheets.piece_view import face_lines
from patterns.sketch.marks import box_of
from patterns.stock import materials
from patterns.structures import board_slot, catalogue
from patterns.structures.shared import slotting
from tests.books import changed, demo, drafted, figure, part, piece


def tight() -> Record:
    """Return the worked tight joint: B 3.2, shoulder 3.0 at 90°, gap 1.0."""
    return changed(
        "logbook",
        spine={"shoulder": 3.0, "shoulder_angle": 90.0},
        cover={
            "board_thickness": 3.2,
            "joint": "tight",
            "joint_gap": 1.0,
            "back": demo("logbook").cover.front,
        },
        measuring={"caliper_error": 0.0},
    )


def test_the_worked_tight_joint() -> None:
    """Worked example: α 5.97, e 0.976, J 2.692, flange 13.69 towards outer; J 1.519 towards inner."""
    asked = {"depth": 12, "angle": 5.969, "kerf": 0.35}
    found = drafted(tight(), "board_slot", toward="outer", **asked)
    assert figure(found, "board_slot", "slot_angle_front_deg") == 5.969
    assert figure(found, "board_slot", "slot_mouth_front_mm") == pytest.approx(0.976, abs=5e-4)
    assert figure(found, "board_slot", "joint_path_front_mm") == pytest.approx(2.692, abs=5e-4)
    assert figure(found, "board_slot", "flange_front_mm") == pytest.approx(13.69, abs=0.005)
    inner = drafted(tight(), "board_slot", **asked)
    assert figure(inner, "board_slot", "joint_path_front_mm") == pytest.approx(1.519, abs=5e-4)


def test_the_worked_french_joint() -> None:
    """Worked example: B 2.5, j 2.5, g 6.0, kerf 0.35 → J 9.475, slack 3.284, flange 20.48."""
    book = changed(
        "logbook",
        spine={"shoulder": 2.5, "shoulder_angle": 90.0},
        cover={
            "board_thickness": 2.5,
            "joint": "french",
            "joint_gap": 6.0,
            "back": demo("logbook").cover.front,
        },
        measuring={"caliper_error": 0.0},
    )
    found = drafted(book, "board_slot", toward="outer", kerf=0.35, depth=12, angle=2.625)
    assert figure(found, "board_slot", "joint_path_front_mm") == pytest.approx(9.475, abs=1e-3)
    assert figure(found, "board_slot", "joint_slack_front_mm") == pytest.approx(3.284, abs=1e-3)
    assert figure(found, "board_slot", "flange_front_mm") == pytest.approx(20.48, abs=0.006)
    words = str(part(found, "board_slot").quantities["flange_words"])
    assert words == (
        "20.5 mm, of it 9.48 mm over the joint, 3.28 mm of that lies in the groove when the book is shut"
    )


def test_boards_that_differ_are_slotted_apart() -> None:
    """Front and back boards apart: the logbook's back board is 0.1 mm thinner.

    Walls of 3.1 and 3.0 mm, 10 deep: 6.5° (0.808 left, 0.764 at 7°), 6.0° (0.801 left, 0.758 at 6.5°).
    """
    found = drafted("logbook", "board_slot", kerf=0.35)
    assert figure(found, "board_slot", "board_back_mm") == 3.1
    assert figure(found, "board_slot", "slot_angle_front_deg") == 6.5
    assert figure(found, "board_slot", "slot_angle_back_deg") == 6.0
    assert figure(found, "board_slot", "slot_wall_front_mm") == pytest.approx(0.808, abs=5e-4)
    assert figure(found, "board_slot", "slot_wall_back_mm") == pytest.approx(0.801, abs=5e-4)
    words = part(found, "board_slot").quantities["slot_words"]
    assert "10.0 mm deep at 6.5°" in str(words)
    assert "thinnest wall 0.81 mm if the board is 0.1 mm thinner than read" in str(words)


def test_a_slot_is_offered_where_draft_can_cut_one_and_nowhere_else() -> None:
    """Boards of 2.04 to 2.07 ± 0.1: 2 × 0.8 + 0.35 + 0.1 = 2.05 is the thinnest that takes a cut."""
    for thick in (2.0, 2.04, 2.05, 2.06, 2.3):
        record = changed(
            "logbook",
            cover={"board_thickness": thick, "back": SideTable()},
            measuring={"caliper_error": None},
        )
        offered = any("board_slot" in way.structure for way in ways(record))
        assert offered == (thick >= 2.05), thick
        cloth = next(way for way in ways(record) if way.structure.startswith("sewn_cloth_joint"))
        assert any("too thin for a slot" in pro for pro in cloth.pros) == (not offered)
        if offered:
            drafted(record, "board_slot")
        else:
            with pytest.raises(Unsuitable, match=r"no room for a cut of 0\.35 mm"):
                drafted(record, "board_slot")
    # read without error, the same board of 2.0 takes the cut
    exact = changed(
        "logbook",
        cover={"board_thickness": 2.0, "back": SideTable()},
        measuring={"caliper_error": 0.0},
    )
    assert any("board_slot" in way.structure for way in ways(exact))
    assert figure(drafted(exact, "board_slot"), "board_slot", "slot_depth_front_mm") == 6.0


def test_a_slot_as_it_comes_is_the_templates() -> None:
    """What the other board joints go by is what `draft` cuts without a setting."""
    found = catalogue.find("board_slot")
    assert found.parameters["wall"].default == slots.WALL_MM
    cloth = materials.built_in().find(found.materials["cloth"].default)
    assert cloth.thickness_mm is not None
    assert pytest.approx(cloth.thickness_mm + 0.1) == slotting.KERF_MM  # the cloth slides in


def ways(record: Record) -> tuple[Choice, ...]:
    """Return what is offered for a book, by its default settings."""
    return examine(record, materials.built_in(), catalogue.templates()).choices


def test_the_flange_fits_the_slot_a_disc_leaves() -> None:
    """Worked example: D 50, L 12 leaves arcs 21.4 long; the flange lies inside the slot's profile."""
    found = drafted("logbook", "board_slot", cutter_diameter=50, depth=12)
    assert figure(found, "board_slot", "slot_end_arc_front_mm") == pytest.approx(21.4, abs=0.05)
    lining = piece(found, "lining")
    radius, depth, beyond = 25.0, 12.0, 1.0
    run = math.sqrt(50 * depth - depth**2)
    mouth = lining.width_mm - (depth - 1)
    for x, y in lining.outline:
        if x > mouth + 1e-6 and y < run - 1e-6:
            # the disc's floor line: inside the circle about (mouth − (R − L), run − 1)
            centre = Point(mouth - (radius - depth), run - beyond)
            assert centre.distance(Point(x, y)) <= radius + 0.01


def test_given_values_that_break_out_are_refused_with_what_would_hold() -> None:
    """Refused with the largest depth at that angle and angle at that depth."""
    with pytest.raises(SettingError, match=r"largest depth at 12\.0° .* largest angle at 12\.0 mm"):
        drafted(tight(), "board_slot", depth=12, angle=12)


def test_a_slots_own_cloth_lies_on_a_first_lining_of_tissue() -> None:
    """Linings of 0.2 stay in place, tissue of 0.08 on them, the cloth on both; with a sewing, its own.

    At mid-height the strip read 72.75 over 0.2: the cloth's middle lies 0.08 + 0.125 − 0.05 above the
    strip's. The turning of chord 67, round 12: 4·atan(24/67) = 1.3751.
    """
    found = drafted("logbook", "board_slot")
    tissue, cloth = piece(found, "first lining"), piece(found, "lining")
    assert (tissue.lies_on_mm, cloth.lies_on_mm) == pytest.approx((0.2, 0.28))
    assert tissue.material == "long-fibred tissue 25 g/m²"
    assert tissue.grain == "head-tail"
    (zone,) = (z for z in cloth.zones if z.to == "first lining")
    assert zone.kind == "pasted"
    flanges = sum(figure(found, "board_slot", f"flange_{side}_mm") for side in ("front", "back"))
    spine = 72.75 + 1.3751 * (0.08 + 0.125 - 0.05)
    assert cloth.width_mm - flanges == pytest.approx(spine, abs=0.3)  # wider at one end
    texts = [step.text for step in found.pattern.steps if step.structure == "board_slot"]
    assert any(
        "Cut the tissue 72.5 mm wide at the head, 73.0 at the tail, " in text for text in texts
    )
    both = drafted("logbook", "board_slot", "secondary_sewing", layout="classes")
    names = [one.name for each in both.pattern.parts for one in each.pieces]
    assert names.count("first lining") == 1


def test_wooden_boards_are_refused() -> None:
    """Wooden boards are refused; the line says what suits."""
    with pytest.raises(Unsuitable, match="joint_tacket"):
        drafted(changed("logbook", cover={"kind": "wooden boards"}), "board_slot")


def test_slot_ends_keep_their_margin() -> None:
    """Slot from setback + square − 1 at both ends, never nearer than the margin."""
    book = demo("logbook")
    found = drafted(book, "board_slot")
    assert figure(found, "board_slot", "slot_from_front_mm") == pytest.approx(12.7 + 4 - 1)
    assert figure(found, "board_slot", "slot_to_front_mm") == pytest.approx(339 - (12.7 + 5 - 1))
    close = drafted(book, "board_slot", setback_head=0, setback_tail=0)
    assert figure(close, "board_slot", "slot_from_front_mm") == 8.0


def test_a_slot_without_a_slope_is_cut_level() -> None:
    """A board of 2.1 takes a slot at 0° alone; one of 3.2 slopes towards its inner face."""
    thin = changed("logbook", cover={"board_thickness": 2.1}, spine={"shoulder": 2.0})
    thin = replace(thin, cover=replace(thin.cover, back=SideTable()))
    for book, words in ((thin, "level with the faces"), (demo("logbook"), "its slope towards the")):
        steps = drafted(book, "board_slot").pattern.steps
        (text,) = [step.text for step in steps if step.text.startswith("Clamp the board flat")]
        assert words in text


@pytest.mark.parametrize(("kind", "laced"), [("case", False), ("in-boards", True)])
def test_old_lacing_stations_are_drawn_only_on_boards_that_were_laced(
    kind: str, laced: bool
) -> None:
    """A case is made apart from its block: nothing ever passed through its boards."""
    found = drafted(changed("logbook", cover={"kind": kind}), "board_slot")
    strips = [piece(found, f"edge strip, {side}") for side in ("front", "back")]
    assert [len(one.holes) for one in strips] == [4 * laced, 4 * laced]
    steps = " ".join(step.text for step in part(found, "board_slot").steps)
    notes = " ".join(note for one in strips for note in one.notes)
    assert ("old lacing stations" in steps) == ("old lacing stations" in notes) == laced


def test_the_mouth_is_drawn_as_wide_as_the_kerf() -> None:
    """One filled ring of kerf × length on each edge strip, about the middle of the mouth; the ends are thick lines."""
    found = drafted("logbook", "board_slot", kerf=0.35)
    for side in ("front", "back"):
        strip = piece(found, f"edge strip, {side}")
        marks = [mark for mark in face_lines(strip) if not isinstance(mark, Words)]
        (mouth,) = [mark for mark in marks if isinstance(mark, Area)]
        box = box_of(mouth)
        assert box.width == pytest.approx(0.35)
        (ax, ay), (_, by) = strip.slits[0]
        assert (box.left + box.right) / 2 == pytest.approx(ax)
        assert (box.top, box.bottom) == (ay, by)
        ends = [mark for mark in marks if isinstance(mark, Line) and mark.kind is LineKind.SLIT]
        assert len(ends) == 2


def test_what_was_lifted_is_set_down_again_and_a_sewn_lining_comes_off_by_its_own_line() -> None:
    """The reback sets the covering down; the lining that is not sewn is undone only where it is drawn."""
    book = changed("logbook", cover={"thickness": 1.0})
    alone = drafted(book, "board_slot").pattern
    sewn = drafted(book, "board_slot", "secondary_sewing").pattern
    backed = drafted(book, "board_slot", "secondary_sewing", "reback").pattern
    for found, covering in ((alone, True), (sewn, True), (backed, False)):
        (step,) = [s for s in found.steps if "lifted paste-down" in s.text and "Set" in s.text]
        assert ("and the covering over the board's edge" in step.text) is covering
        assert (step.phase, step.traits.wets) == ("cover", ("cover", "leather"))
    assert sum("not sewn" in line for line in alone.undo) == 1
    assert not any("not sewn" in line for line in (*sewn.undo, *backed.undo))
    assert catalogue.find("board_slot").undo[0] == board_slot.SLOT_OFF


def test_a_red_rotted_covering_is_set_down_without_water_and_the_slot_still_dry_undone() -> None:
    """What lies over leather is set with a cellulose ether; the slot's bond, of paste, comes off dry."""
    book = changed("logbook", condition={"leather": "red-rot", "iron_gall": None})
    found = drafted(book, "board_slot", "secondary_sewing").pattern
    (step,) = [s for s in found.steps if "lifted paste-down" in s.text and "Set" in s.text]
    assert "cellulose ether in ethanol (tested first)" in step.text
    assert any("release the bond in the slot dry" in line for line in found.undo)


@pytest.mark.parametrize("structures", [("board_slot",), ("board_slot", "secondary_sewing")])
def test_the_cloth_reaches_as_far_in_the_section_as_its_own_flange(
    structures: tuple[str, ...],
) -> None:
    """Tapered spine, gaps unlike: half the mean spine part and each side's own flange, 0.01 mm."""
    back = SideTable(board_thickness=2.9, joint_gap=1.4)
    book = changed(
        "logbook",
        spine={
            "girth_head": 72.5,
            "girth_tail": 74.5,
            "girth_sewn_head": None,
            "girth_sewn_tail": None,
        },
        cover={"joint": "tight", "joint_gap": 0.9, "board_thickness": 3.4, "back": back},
    )
    found = drafted(book, *structures)
    cloth = next(one for p in found.pattern.parts for one in p.layers if one.name == "lining cloth")
    spine = [
        d.end[0] - d.start[0]
        for d in piece(found, "lining").dimensions
        if 70 < d.end[0] - d.start[0] < 76
    ]
    assert len(spine) == 2
    flanges = {
        which: figure(found, "board_slot", f"flange_{which}_mm") for which in ("front", "back")
    }
    assert cloth.left_mm == pytest.approx(-(sum(spine) / 4 + flanges["back"]), abs=0.01)
    assert cloth.right_mm == pytest.approx(sum(spine) / 4 + flanges["front"], abs=0.01)
