"""The first four structures against worked examples, published figures and plain geometry."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from shapely import LineString, Point, Polygon

from patterns.book import spine
from patterns.drafting.order import Drafted
from patterns.errors import MendfoldError, RecordError, SettingError, Unsuitable
from patterns.examine.examination import examine
from patterns.examine.finding import Choice
from patterns.model.part import Part, Pass
from patterns.model.piece import Piece
from patterns.record.record import Record, SideTable
from patterns.stock import materials
from patterns.structures import catalogue
from tests.books import changed, demo, drafted


def part(found: Drafted, name: str) -> Part:
    """Return one structure's part of a draft."""
    return next(one for one in found.pattern.parts if one.structure == name)


def piece(found: Drafted, name: str) -> Piece:
    """Return one piece of a draft by its name."""
    return next(one for p in found.pattern.parts for one in p.pieces if one.name == name)


def figure(found: Drafted, structure: str, name: str) -> float:
    """Return one computed figure."""
    value = part(found, structure).quantities[name]
    assert isinstance(value, (int, float))
    return float(value)


def strip_46() -> object:
    """Return the record of the worked layer: strip 46.0 over a bare spine, chord 40, round 8."""
    return changed(
        "chart_book",
        spine={
            "girth_head": 46.0, "girth_tail": 46.0, "round_depth": 8.0, "over_shoulders": 40.0,
            "strip_over": 0.0, "linings": 0.3, "profile": "rounded",
        },
    )  # fmt: skip


def test_a_layer_over_a_strip_is_as_worked() -> None:
    """Worked example: strip 46.0, (40, 8), u 0.30, t 0.10 → 46.457."""
    shape = spine.measure(strip_46())  # type: ignore[arg-type]
    assert shape.layer_mm(0.30, 0.10) == pytest.approx(46.457, abs=5e-4)


def test_a_fallen_in_spine_is_shorter_in_every_layer() -> None:
    """Worked example: chord 50, depth −3, girth 50.48 and at 0.45 outwards 50.26."""
    found = changed(
        "chart_book",
        spine={
            "girth_head": 50.48, "girth_tail": 50.48, "round_depth": -3.0, "over_shoulders": 50.0,
            "profile": "concave", "strip_over": 0.0,
        },
    )  # fmt: skip
    shape = spine.measure(found)
    half_strip = spine.STRIP_MM / 2
    assert shape.layer_mm(0.45 + half_strip, 0.0) == pytest.approx(50.26, abs=0.006)


def test_a_fallen_in_spine_needs_a_strip() -> None:
    """With h negative the strip is required."""
    found = changed(
        "chart_book",
        spine={"girth_head": None, "girth_tail": None, "round_depth": -3.0, "profile": "concave"},
    )
    with pytest.raises(RecordError, match="paper strip"):
        spine.measure(found)


def test_the_strip_wins_over_the_circle_and_a_difference_is_told() -> None:
    """A difference over max(1, 3 %) warns with both figures."""
    found = changed("chart_book", spine={"girth_head": 60.0, "girth_tail": 60.0})
    shape = spine.measure(found)
    assert shape.girth_head_mm == 60.0
    assert any("60.0" in line and "measure both again" in line for line in shape.warnings)


def test_a_third_of_a_circle_is_rounded_as_published() -> None:
    """Roberts & Etherington, "rounding": chord 30 → arc 36.3 mm, depth 8.7 mm."""
    found = changed(
        "chart_book",
        spine={
            "girth_head": None, "girth_tail": None, "round_depth": 8.66, "over_shoulders": 30.0,
            "profile": "rounded",
        },
    )  # fmt: skip
    shape = spine.measure(found)
    assert shape.girth_head_mm == pytest.approx(36.3, abs=0.05)
    assert shape.turn_deg == pytest.approx(120, abs=0.1)


# --- hollow tube -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("on", "off", "ratio", "source"),
    [
        (1, 2, 3, "blank 3 × rounded spine: Roberts & Etherington, tube entries"),
        (2, 2, 4, "slightly over 4 ×: P. Adam, Practical Bookbinding, 1903, ch. VIII"),
    ],
)
def test_tube_blanks_are_the_published_multiple_and_slightly_over(
    on: int, off: int, ratio: int, source: str
) -> None:
    """The strip is n panels and a little more for the thickness wound round."""
    found = drafted("chart_book", "hollow_tube", on=on, off=off)
    strip = piece(found, "strip").width_mm
    over = strip / figure(found, "hollow_tube", "panel_mm") - ratio
    assert 0 < over < 0.03, source


def test_the_worked_strip_ratios() -> None:
    """Worked example: w 51.1, t 0.12 → 3.011 and 4.022."""
    for layers, ratio in (((1, 2), 3.011), ((2, 2), 4.022)):
        base = drafted("chart_book", "hollow_tube", on=layers[0], off=layers[1])
        girth = figure(base, "hollow_tube", "girth_mm")
        book = changed("chart_book", spine={"girth_head": 48.0, "girth_tail": 48.0})
        girth = figure(drafted(book, "hollow_tube"), "hollow_tube", "girth_mm")
        found = drafted(
            replace(book, spine=replace(book.spine, girth_head=48.0 + 52.1 - girth, girth_tail=48.0 + 52.1 - girth, over_shoulders=None, round_depth=book.spine.round_depth)),
            "hollow_tube", on=layers[0], off=layers[1], ease=0, setback=0, paper_thickness=0.12,
        )  # fmt: skip
        panel = figure(found, "hollow_tube", "panel_mm")
        strip = piece(found, "strip").width_mm
        expected = ratio + (0.12 * math.pi * (3 if ratio < 4 else 6) / 2) * (1 / panel - 1 / 51.1)
        assert strip / panel == pytest.approx(expected, abs=6e-4)


def test_every_face_of_every_panel_is_spoken_for() -> None:
    """The inside stays free; every pasted face names a partner whose other face is pasted to it."""
    for on, off in ((1, 1), (1, 2), (2, 1), (2, 2), (2, 3), (3, 3)):
        zones = piece(drafted("chart_book", "hollow_tube", on=on, off=off), "strip").zones
        free_up = [z for z in zones if z.face == "up" and z.kind == "free"]
        assert len(free_up) == 2
        to = [z.to for z in zones if z.face == "under" and z.kind == "pasted"]
        assert to.count("spine") == 1
        assert to.count("cover") == 1


def test_panels_stay_dry_at_the_folds() -> None:
    """2 mm stay dry at folds between pasted panels."""
    strip = piece(drafted("chart_book", "hollow_tube"), "strip")
    creases = [LineString(fold.line) for fold in strip.folds]
    for zone in strip.zones:
        if zone.kind == "pasted" and zone.to not in ("spine", "cover"):
            assert min(Polygon(zone.outline).distance(c) for c in creases) >= 1.999


def test_a_tapered_tube_is_a_fan_whose_panels_are_mirror_images() -> None:
    """Each panel, reflected in its crease, covers its neighbour."""
    book = changed(
        "chart_book", spine={"girth_head": 50.0, "girth_tail": 55.0, "round_depth": None}
    )
    strip = piece(drafted(book, "hollow_tube", paper_thickness=0.005), "strip")
    assert len(strip.outline) > 4
    assert all(a[0] != b[0] for a, b in (fold.line for fold in strip.folds))


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"sewing": {"supports": "raised"}}, "spine_lining"),
    ],
)
def test_tubes_are_refused_where_they_do_not_suit(
    fields: dict[str, dict[str, object]], words: str
) -> None:
    """Not over raised supports, not for a case with a natural hollow."""
    with pytest.raises(Unsuitable, match=words):
        drafted(changed("chart_book", **fields), "hollow_tube")


def test_layers_that_cannot_be_wound_are_refused_with_the_remedy() -> None:
    """|on − off| ≤ 1, else add a separate lining of the same paper."""
    with pytest.raises(SettingError, match="separate lining of the same paper"):
        drafted("chart_book", "hollow_tube", on=1, off=3)


def test_slits_follow_every_crease_from_both_ends() -> None:
    """A slit of 20 leaves each crease cut 20 mm at head and tail."""
    strip = piece(drafted("chart_book", "hollow_tube", slit=20), "strip")
    assert len(strip.slits) == 2 * len(strip.folds)
    assert all(math.dist(*slit) == pytest.approx(20) for slit in strip.slits)


# --- spine inlay -------------------------------------------------------------------------------


def test_the_inlay_never_exceeds_the_covers_spine() -> None:
    """A piece inside a kept cover is never wider than its measured spine."""
    found = drafted("chart_book", "spine_inlay")
    cover = demo("chart_book").cover
    widest = max(cover.spine_width_head or 0, cover.spine_width_tail or 0)
    assert piece(found, "inlay").width_mm == pytest.approx(widest - 1.0)
    assert any("cover_widening" in line for line in found.pattern.warnings)


def test_the_inlay_is_as_high_as_the_boards_and_pasted_to_the_cover_alone() -> None:
    """Height of the boards; the under face, towards the text block, carries no paste."""
    found = piece(drafted("logbook", "spine_inlay"), "inlay")
    assert found.height_mm == pytest.approx(demo("logbook").cover.board_height or 0)
    assert [z.kind for z in found.zones if z.face == "under"] == ["free"]
    assert found.grain == "head-tail"


def test_an_inlay_for_a_widened_cover_goes_by_the_new_width() -> None:
    """Widened first, the chart book's cover no longer limits the inlay: the layer does."""
    found = drafted("chart_book", "cover_widening", "spine_inlay")
    inlay = piece(found, "inlay")
    layers = [figure(found, "spine_inlay", f"layer_{end}_mm") for end in ("head", "tail")]
    assert inlay.width_mm == pytest.approx(max(layers) - 1.0)
    assert not any("cover_widening" in line for line in part(found, "spine_inlay").warnings)


# --- board slot --------------------------------------------------------------------------------


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
        cloth = next(way for way in ways(record) if way.structure == "sewn_cloth_joint")
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
    assert any(text.startswith("Cut the tissue 73.0 ×") for text in texts)
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


# --- secondary sewing --------------------------------------------------------------------------


def test_one_cloth_is_drawn_once() -> None:
    """A board_slot with secondary_sewing share one physical cloth."""
    found = drafted("logbook", "board_slot", "secondary_sewing", layout="classes")
    assert [p.name for one in found.pattern.parts for p in one.pieces].count("lining") == 1
    slot = figure(found, "board_slot", "flange_front_mm")
    assert figure(found, "secondary_sewing", "flange_front_mm") == slot
    width = figure(found, "secondary_sewing", "spine_width_mm")
    flanges = slot + figure(found, "board_slot", "flange_back_mm")
    assert piece(found, "lining").width_mm == pytest.approx(width + flanges, abs=0.3)


def test_a_shared_cloth_with_two_setbacks_is_refused() -> None:
    """Shared pieces whose values then differ: refused."""
    settings = {"board_slot__setback_head": "20"}
    with pytest.raises(SettingError, match="for one cloth"):
        drafted("logbook", "board_slot", "secondary_sewing", **settings)


def test_the_worked_needle_path_stands_in_the_json() -> None:
    """Worked example: holes 20–35, 80–95, 140–155 give that path for gathering 5."""
    book = changed(
        "logbook",
        text_block={"height": 200.0, "gatherings": 12, "anchor_first": None, "anchor_last": None},
        sewing={
            "kettles": (100.0,),
            "supports_at": None,
            "stations": None,
            "supports": "none",
            "tie_down": 0.0,
        },
        spine={"girth_tail": 72.5},
    )
    found = drafted(
        book, "secondary_sewing", gatherings="5", fixed="5@27.5 5@87.5 5@147.5", stitches=3, setback_head=0, setback_tail=0, layout="classes",
    )  # fmt: skip
    sewing = part(found, "secondary_sewing").sewing
    assert sewing is not None
    assert sewing.path[0] == Pass(
        5,
        (
            ("out", 20.0), ("in", 35.0), ("knot",), ("out", 80.0), ("in", 95.0), ("out", 140.0), ("in", 155.0), ("hitch", 140.0),
        ),
    )  # fmt: skip


def test_new_holes_keep_clear_of_old_ones_supports_and_edges() -> None:
    """Clearances are checked hole by hole from the finished pattern, not from the search."""
    book = demo("logbook")
    found = drafted(book, "secondary_sewing", layout="classes")
    sewing = part(found, "secondary_sewing").sewing
    assert sewing is not None
    kettles, supports = book.sewing.kettles or (), book.sewing.supports_at or ()
    half = (book.sewing.support_width or 0) / 2
    old = [*kettles, *(s - half for s in supports), *(s + half for s in supports)]
    for stitch in sewing.stitches:
        for y in (stitch.from_mm, stitch.to_mm):
            assert min(abs(y - o) for o in old) >= 5 - 1e-9
            assert 12.7 + 5 <= y <= 330 - 12.7 - 5
            assert all(abs(y - s) >= half + 5 - 1e-9 for s in supports)
        assert not any(stitch.from_mm < s < stitch.to_mm for s in supports)


def test_no_safety_without_a_tear_strength() -> None:
    """Only the force and what the paper must bear."""
    quantities = part(
        drafted("logbook", "secondary_sewing", layout="classes"), "secondary_sewing"
    ).quantities
    assert "safety_factor" not in quantities
    assert float(quantities["needed_tear_mn"]) > 0


def test_weak_paper_is_refused_unless_its_folds_are_lined() -> None:
    """Refused only below 150 mN and without line_folds."""
    book = changed("logbook", text_block={"tear_strength": 149.0})
    with pytest.raises(Unsuitable, match="line_folds"):
        drafted(book, "secondary_sewing")
    drafted(book, "secondary_sewing", line_folds="yes", layout="classes")


def test_a_sewing_too_weak_says_so_in_a_box() -> None:
    """A box and a warning, no refusal."""
    book = changed("logbook", text_block={"tear_strength": 160.0})
    found = drafted(book, "secondary_sewing", stitches=3, layout="classes")
    assert any("TOO WEAK" in line for line in part(found, "secondary_sewing").boxes)


def test_right_to_left_books_are_mirrored_about_the_spine() -> None:
    """x = A·(g − ½)/G for a right-to-left book, FRONT at the left."""
    book = changed("logbook", cover={"back": demo("logbook").cover.front})
    other = replace(book, book=replace(book.book, reading="right-to-left"))
    one = piece(drafted(book, "secondary_sewing", layout="classes"), "lining")
    two = piece(drafted(other, "secondary_sewing", layout="classes"), "lining")
    assert (one.left, two.left) == ("BACK board", "FRONT board")
    mirrored = sorted((round(one.width_mm - h.at[0], 3), round(h.at[1], 3)) for h in one.holes)
    assert mirrored == sorted((round(h.at[0], 3), round(h.at[1], 3)) for h in two.holes)


def test_every_refusal_is_one_line() -> None:
    """A refusal names the place and the remedy in one line."""
    with pytest.raises(MendfoldError) as caught:
        drafted("logbook", "secondary_sewing", gatherings="1,99")
    assert "\n" not in str(caught.value)
    assert "1 to 40" in str(caught.value)


def test_stations_from_the_kettle_give_the_same_holes() -> None:
    """With uneven heads the first kettle is zero; the strips register on old holes."""
    book = demo("logbook")
    moved = replace(
        book,
        sewing=replace(
            book.sewing,
            stations_from="kettle",
            kettles=(0.0, 300.0),
            supports_at=tuple(y - 15 for y in book.sewing.supports_at or ()),
        ),
    )
    one, two = (
        part(drafted(b, "secondary_sewing"), "secondary_sewing").sewing for b in (book, moved)
    )
    assert one is not None
    assert two is not None
    assert two.stations_mm == pytest.approx(one.stations_mm)
