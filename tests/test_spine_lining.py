"""spine_lining: panels between the supports, within the tips of the shoulders."""

from __future__ import annotations

from dataclasses import replace
from math import radians

import pytest
from shapely import Polygon

from patterns.errors import RecordError, SettingError, Unsuitable
from patterns.model.part import Part
from patterns.record.record import Record
from tests.books import changed, demo, drafted
from tests.test_ladder import sound


def part(record: Record | str, **settings: object) -> Part:
    found = drafted(record, "spine_lining", **settings)
    sound(found)
    return found.pattern.parts[0]


def heights(found: Part) -> list[float]:
    count = int(found.quantities["panel_count"])
    return [float(found.quantities[f"panel_{k}_height_mm"]) for k in range(1, count + 1)]


def test_heights_by_the_rule() -> None:
    """Four tapes of 14 at 66, 132, 198, 264 on 330: gap 66 − 14 − 2 = 50; ends reach 12.7."""
    assert heights(part("logbook", panels="between")) == pytest.approx([45.3, 50, 50, 50, 45.3])


def test_widths_follow_the_spine_from_head_to_tail() -> None:
    """Girth by strip less 1.0, at each panel's own ends; the strip of 0.1 lay on 0.2 of linings."""
    found = part("logbook", panels="between")
    panels = [piece for piece in found.pieces if piece.stock]
    turn = 4 * 0.3435  # 4·atan(2·12/67) for chord 67 and round 12
    outwards = turn * (0.2 - 0.2 + 0.12 / 2 - 0.1 / 2)
    for piece, top, bottom in ((panels[0], 12.7, 58.0), (panels[-1], 272.0, 317.3)):
        xs = [x for x, y in piece.outline if y < 0.1], [x for x, y in piece.outline if y > 40]
        for ends, at in zip(xs, (top, bottom), strict=True):
            girth = 72.5 + 0.5 * at / 330
            assert max(ends) - min(ends) == pytest.approx(girth + outwards - 1.0, abs=0.002)


def test_panels_lie_clear_of_every_support_and_kettles_do_not_part_them() -> None:
    """Each panel's whole under face is pasted; none comes nearer to a tape than 1 mm."""
    found = part("logbook", panels="between")
    for piece in found.pieces:
        if piece.stock:
            (pasted,) = [zone for zone in piece.zones if zone.kind == "pasted"]
            assert pasted.face == "under"
            assert Polygon(pasted.outline).equals(Polygon(piece.outline))
            assert piece.grain == "head-tail"
    strip = found.pieces[-1]
    ends = sorted(slit[0][1] for slit in strip.slits)
    for support in demo("logbook").sewing.supports_at or ():
        assert min(abs(end - support) for end in ends) == pytest.approx(14 / 2 + 1)
    assert len(ends) == 10


def test_equal_panels_are_one_piece_cut_several_times() -> None:
    """With the same girth at both ends the three middle panels are alike."""
    found = part(changed("logbook", spine={"girth_tail": 72.5}), panels="between")
    assert [(piece.name, piece.quantity) for piece in found.pieces if piece.stock] == [
        ("panels 1, 5", 2),
        ("panels 2, 3, 4", 3),
    ]


def test_without_supports_there_is_one_panel() -> None:
    """The whole height less both setbacks, and the sheet says why."""
    found = part("almanac")
    assert heights(found) == pytest.approx([170 - 2 * 12.7])
    assert any("no supports recorded" in line for line in found.warnings)


@pytest.mark.parametrize(
    ("supports", "wanted"),
    [
        ("tapes", [330 - 2 * 12.7]),
        ("recessed", [330 - 2 * 12.7]),
        ("raised", [45.3, 50, 50, 50, 45.3]),
        (None, [45.3, 50, 50, 50, 45.3]),
    ],
)
def test_a_lining_lies_over_flat_supports_and_between_raised_ones(
    supports: str | None, wanted: list[float]
) -> None:
    """Four supports of 14 on 330: one panel of 304.6 over tapes and recessed cords, else five."""
    found = part(changed("logbook", sewing={"supports": supports}))
    assert heights(found) == pytest.approx(wanted)
    bands = {round(line[0][1], 1) for line in found.pieces[-1].references}
    assert bands == {59.0, 73.0, 125.0, 139.0, 191.0, 205.0, 257.0, 271.0}


def test_one_panel_is_never_laid_over_raised_supports() -> None:
    """`over` is a choice for flat supports only."""
    with pytest.raises(SettingError, match="raised"):
        part(changed("chart_book", sewing={"supports": "raised"}), panels="over")


def test_a_lining_on_a_bare_spine_says_so() -> None:
    """No step speaks of 0.00 mm."""
    (text,) = [
        step.text
        for step in drafted("chart_book", "spine_lining").pattern.steps
        if "The new lining lies on" in step.text
    ]
    assert text.endswith("The new lining lies on the bare spine.")


def test_a_panel_without_room_is_left_out_and_none_at_all_is_refused() -> None:
    """A support 2 mm below the setback leaves no panel above it."""
    record = changed("logbook", sewing={"supports_at": (20.0, 132.0, 198.0, 264.0)})
    found = part(record, panels="between")
    assert len(heights(found)) == 4
    assert any("left out" in line for line in found.warnings)
    with pytest.raises(Unsuitable, match="unlined"):
        part(changed("almanac", sewing={"supports": "raised", "supports_at": (85.0,), "support_width": 80.0}),
             setback_head=45, setback_tail=45)  # fmt: skip


def test_support_width_is_asked_for() -> None:
    """Heights of supports without their width cannot be kept clear of."""
    with pytest.raises(RecordError, match="support_width"):
        part(changed("logbook", sewing={"support_width": None}))


def test_a_fallen_in_spine_is_set_right_first_and_its_lining_is_shorter_outwards() -> None:
    """Negative depth: a lining on 0.45 over a strip of 50.48 is 50.26 − 1.0 wide."""
    spine = {
        "profile": "concave", "round_depth": -3.0, "over_shoulders": 50.0,
        "girth_head": 50.48, "girth_tail": 50.48, "strip_over": 0.0, "linings": 0.45,
    }  # fmt: skip
    drafts = drafted(changed("logbook", spine=spine), "spine_lining")
    found = drafts.pattern.parts[0]
    assert found.pieces[0].width_mm == pytest.approx(49.26, abs=0.02)
    assert any("fallen in" in line for line in found.warnings)
    assert any("back to its shape" in step.text for step in drafts.pattern.steps)


def test_right_to_left_books_turn_front_and_back() -> None:
    """Only the words at the edges change."""
    record = demo("logbook")
    other = part(replace(record, book=replace(record.book, reading="right-to-left")))
    assert (other.pieces[0].left, other.pieces[0].right) == ("FRONT", "BACK")
    assert other.pieces[0].outline == part(record).pieces[0].outline


def test_the_next_structure_lies_on_it() -> None:
    """A tube over the lining is wider by the turning angle times the paper's 0.12."""
    alone = drafted("chart_book", "hollow_tube").pattern.parts[0]
    both = drafted("chart_book", "spine_lining", "hollow_tube").pattern.parts[1]
    assert both.quantities["lies_on_mm"] == pytest.approx(0.12)
    grown = float(both.quantities["girth_mm"]) - float(alone.quantities["girth_mm"])
    assert grown == pytest.approx(radians(49.05) * 0.12, abs=0.005)


def test_one_panel_over_flat_supports_may_be_asked_for_by_name() -> None:
    """Over tapes that is what comes by default; given by hand it is the same panel."""
    tapes = changed("logbook", sewing={"supports": "tapes"})
    assert heights(part(tapes, panels="over")) == heights(part(tapes))
    assert len(heights(part(tapes, panels="over"))) == 1
