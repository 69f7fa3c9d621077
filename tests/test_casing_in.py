"""casing_in: lining, endpapers, gauges and paste-downs of a block that goes back into its own case."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from shapely import Polygon

from patterns.errors import SettingError, Unsuitable
from patterns.examine.examination import examine
from patterns.model.drawing import Words
from patterns.model.part import Part
from patterns.model.piece import Piece
from patterns.record.record import Record, SideTable
from patterns.stock import materials
from patterns.structures import catalogue
from patterns.structures.casing_in import OUT_OF_CASE
from tests.books import changed, demo, drafted
from tests.test_ladder import sound

NAME = "casing_in"


def part(record: Record | str, *others: str, **settings: object) -> Part:
    found = drafted(record, NAME, *others, **settings)
    sound(found)
    return next(one for one in found.pattern.parts if one.structure == NAME)


def piece(found: Part, name: str) -> Piece:
    return next(one for one in found.pieces if one.name == name)


def number(found: Part, name: str) -> float:
    value = found.quantities[name]
    assert isinstance(value, (int, float))
    return float(value)


def unequal() -> Record:
    """A right-to-left day book, unequal in everything, its case not measured."""
    record = changed(
        "day_book",
        book={"reading": "right-to-left"},
        spine={"girth_head": 30.4, "girth_tail": 32.0, "linings": 0.2, "shoulder": None,
               "shoulder_front": 2.0, "shoulder_back": 1.6},
        cover={"spine_width": None, "joint_gap": 6.0},
    )  # fmt: skip
    back = SideTable(
        joint_gap=7.0, board_thickness=2.0, board_width=146.2, board_height=241.2,
        square_head=2.6, square_fore_edge=3.4,
    )  # fmt: skip
    return replace(record, cover=replace(record.cover, back=back))


TURN = 4 * math.atan(2 * 5 / 28.5)
"""φ of chord 28.5 and round 5."""


def layer(at: float, under: float, thick: float) -> float:
    """A(y) + φ·(u + t/2 − 0.1/2), A from 30.4 at the head to 32.0 at 236."""
    return 30.4 + 1.6 * at / 236 + TURN * (under + thick / 2 - 0.05)


def test_an_unequal_book_by_hand() -> None:
    """Setbacks 10 and 14; tissue 0.08 on linings of 0.2, cloth 0.25 on 0.28.

    J(S → N) in a groove: front 2.0 + 6.0 = 8.0, back 1.6 + 7.0 = 8.6; flanges 40.0 and 40.6. Read from right
    to left the front lies at the left. The cloth is 236 − 24 = 212 high.
    """
    found = part(unequal(), setback_head=10, setback_tail=14, endpapers="hooked", hook=9, larger=2)
    cloth = piece(found, "lining")
    head, tail = layer(10, 0.28, 0.25), layer(222, 0.28, 0.25)
    left = (tail - head) / 2
    corners = [(left, 0), (left + 40.0 + head + 40.6, 0), (40.0 + tail + 40.6, 212), (0, 212)]
    assert sorted(cloth.outline) == [pytest.approx(corner) for corner in sorted(corners)]
    assert (cloth.left, cloth.right) == ("FRONT board", "BACK board")
    assert cloth.lies_on_mm == pytest.approx(0.28)
    onto = {zone.to: Polygon(zone.outline) for zone in cloth.zones if zone.kind == "pasted"}
    assert onto["inner face of the front board"].area == pytest.approx(32.0 * 212, abs=0.5)
    assert onto["inner face of the back board"].area == pytest.approx(32.0 * 212, abs=0.5)
    assert onto["first lining"].area == pytest.approx((head + tail) / 2 * 212, abs=0.5)
    joints = [Polygon(zone.outline).area / 212 for zone in cloth.zones if zone.kind == "free"]
    assert sorted(area for area in joints if area < 20) == pytest.approx([8.0, 8.6], abs=0.01)

    tissue = piece(found, "first lining")
    wide = sorted(x for x, _ in tissue.outline)
    assert wide[-1] - wide[0] == pytest.approx(layer(222, 0.2, 0.08))
    assert tissue.height_mm == pytest.approx(212)


def test_the_endpapers_of_the_unequal_book_by_hand() -> None:
    """Two leaves of 150.5 and two hooks of 9: 319 × 236, cut 2 larger all round."""
    found = part(unequal(), endpapers="hooked", hook=9, larger=2)
    folio = piece(found, "endpaper")
    assert Polygon(folio.outline).bounds == pytest.approx((0, 0, 319.0, 236.0))
    assert Polygon(folio.rough).bounds == pytest.approx((-2, -2, 321.0, 238.0))
    assert folio.quantity == 2
    assert {fold.line[0][0]: fold.kind for fold in folio.folds} == {
        159.5: "mountain", 150.5: "valley", 168.5: "valley",
    }  # fmt: skip
    pasted = [Polygon(zone.outline).bounds for zone in folio.zones if zone.kind == "pasted"]
    assert pasted == [
        pytest.approx((0, 0, 150.5, 236)), pytest.approx((159.5, 0, 168.5, 236)),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("way", "width", "thick", "chord"),
    [("tipped", 301.0, 2, 4), ("sewn", 301.0, 2, 4), ("hooked", 317.0, 2, 8)],
)
def test_what_each_way_of_joining_endpapers_adds(
    way: str, width: float, thick: int, chord: int
) -> None:
    """Leaves of 0.17: one of each folio between the boards, both at the spine, the hook twice."""
    found = part("day_book", endpapers=way)
    assert piece(found, "endpaper").width_mm == pytest.approx(width)
    assert number(found, "endpapers_add_thickness_mm") == pytest.approx(thick * 0.17)
    assert number(found, "endpapers_add_chord_mm") == pytest.approx(chord * 0.17)
    words = " ".join(step.text for step in drafted("day_book", NAME, endpapers=way).pattern.steps)
    assert ("the weakest of the three ways" in words) == (way == "tipped")
    assert ("through the old holes" in words) == (way == "sewn")


def test_paste_downs_and_gauges_of_the_unequal_book_by_hand() -> None:
    """150.5 grows by 1.5 % to 152.7575, 236 by 0.3 % to 236.708, half of the 0.708 at each end.

    O → N in a groove of 6.0 and 7.0, both more than shoulder and board: front 148 − (152.7575 − 6.0),
    back 146.2 − (152.7575 − 7.0) = 0.4425: said. Head squares 3 and 2.6 less 0.354; tail the same,
    242 − 3 − 236 = 3 and 241.2 − 2.6 − 236 = 2.6.
    """
    found = part(unequal())
    for side, fore, head in (("front", 1.2425, 2.646), ("back", 0.4425, 2.246)):
        assert number(found, f"margin_fore_edge_{side}_mm") == pytest.approx(fore)
        assert number(found, f"margin_head_{side}_mm") == pytest.approx(head)
        assert number(found, f"margin_tail_{side}_mm") == pytest.approx(head)
    assert [line[:11] for line in found.warnings if "one edge" in line] == ["back board,"]
    for side, head, fore in (("front", 3.0, 3.9), ("back", 2.6, 3.4)):
        gauge = piece(found, f"corner gauge, {side}")
        wanted = [(0, 0), (60, 0), (60, 60), (60 - fore, 60), (60 - fore, head), (0, head)]
        assert list(gauge.outline) == [pytest.approx(corner) for corner in wanted]


def test_alike_boards_have_one_gauge_and_are_told_once() -> None:
    found = part("day_book")
    assert [one.name for one in found.pieces] == [
        "lining", "first lining", "corner gauge, front and back",
    ]  # fmt: skip
    assert "back" not in str(found.quantities["pastedown_words"])


def test_the_lining_reaches_further_on_a_heavy_book() -> None:
    """Bailey's 51 mm from 2.5 kg of book on, 32 mm below; shoulder 2.2 and groove 6.4 before it."""
    assert number(part("day_book"), "flange_front_mm") == pytest.approx(2.2 + 6.4 + 32)
    heavy = changed("day_book", book={"weight": 2.6}, text_block={"weight": 1.4})
    assert number(part(heavy), "flange_front_mm") == pytest.approx(2.2 + 6.4 + 51)


def test_a_flange_that_ends_in_the_joint_is_refused_with_the_least() -> None:
    with pytest.raises(SettingError, match=r"which takes 8\.6 mm; give 18\.6 mm or more"):
        part("day_book", flange=18)


def test_a_heavy_block_is_not_hung_by_paste() -> None:
    """1.5 kg of block: refused alone, drafted with a sewn lining, whose cloth then serves."""
    heavy = changed(
        "day_book", text_block={"weight": 1.5}, book={"weight": 1.7}, cover={"spine_width": 52.0}
    )
    with pytest.raises(Unsuitable, match="paste alone is no union that may move"):
        part(heavy)
    found = part(heavy, "secondary_sewing")
    assert [one.name for one in found.pieces] == ["corner gauge, front and back"]
    assert not found.layers
    part(changed("day_book", text_block={"weight": 1.49}))


def test_a_case_too_narrow_is_widened_in_the_same_pattern() -> None:
    """47.5 lacks 0.4, which still closes; 46.0 lacks 1.9."""
    part("day_book")
    narrow = changed("day_book", cover={"spine_width": 46.0})
    with pytest.raises(Unsuitable, match=r"the case lacks 1\.9 mm"):
        part(narrow)
    part(narrow, "cover_widening")


def test_how_much_a_case_lacks_is_what_the_draft_says() -> None:
    """Ruling and the sentence beneath the section reckon alike."""
    found = drafted("day_book", NAME)
    assert "it closes tightly, 0.4 mm short" in found.pattern.closing


@pytest.mark.parametrize(
    ("kind", "words"), [("in-boards", r"covered \(reback\)"), ("limp", "tissue hinge")]
)
def test_only_a_case_is_cased_in(kind: str, words: str) -> None:
    with pytest.raises(Unsuitable, match=words):
        part(changed("day_book", cover={"kind": kind}))


def test_a_tight_joint_has_its_paste_down_put_down_open() -> None:
    """O → N is 4.71 mm open and 1.0 shut: put down shut the board could not open; a groove hardly differs."""
    tight = changed("day_book", cover={"joint": "tight", "joint_gap": 1.0, "spine_width": 40.0})
    for record, opened in ((tight, True), (demo("day_book"), False)):
        words = " ".join(step.text for step in drafted(record, NAME).pattern.steps)
        assert ("Prop the front board open" in words) == opened
        assert ("lay a rod in each groove" in words) != opened


@pytest.mark.parametrize(("front", "back", "shown"), [(0.0, 6.4, 6.4), (7.0, 0.0, 7.0)])
def test_the_rod_is_shown_in_a_groove_where_only_one_joint_is_one(
    front: float, back: float, shown: float
) -> None:
    """A French joint without a gap is no groove: the other board's is the one that the rod is laid in."""
    record = changed("day_book", cover={"spine_width": 46.0})
    one, other = SideTable(joint_gap=front), SideTable(joint_gap=back)
    unlike = replace(record, cover=replace(record.cover, front=one, back=other))
    found = drafted(unlike, NAME).pattern
    (step,) = [one for one in found.steps if "lay a rod in each groove" in one.text]
    assert step.picture is not None
    words = [mark.text for mark in step.picture.marks if isinstance(mark, Words)]
    assert any(f"groove {shown:.1f} wide" in one for one in words)


def test_nothing_is_pasted_in_the_joint() -> None:
    """The cloth is free between the shoulder's tip and the board, on either side."""
    cloth = piece(part("day_book"), "lining")
    free = [zone for zone in cloth.zones if zone.kind == "free" and zone.face == "under"]
    widths = [Polygon(z.outline).bounds[2] - Polygon(z.outline).bounds[0] for z in free]
    assert widths == pytest.approx([8.6, 8.6], abs=0.01)


def test_examine_offers_it_for_a_case_with_what_it_needs() -> None:
    """Alone where it does; with the widening, the sewing, or both where it is ruled out without."""
    stock = materials.built_in()

    def ways(record: Record) -> list[str]:
        found = examine(record, stock, catalogue.templates())
        named = [one.structure for one in found.choices if NAME in one.structure]
        return [one for one in named if "sewn_cloth_joint" not in one]

    assert ways(demo("day_book")) == [f"spine_lining+{NAME}"]
    narrow = changed("day_book", cover={"spine_width": 45.0})
    assert ways(narrow) == [f"spine_lining+{NAME}+cover_widening"]
    heavy = changed(
        "day_book", text_block={"weight": 1.6}, book={"weight": 1.8}, cover={"spine_width": 52.0}
    )
    assert ways(heavy) == [f"spine_lining+secondary_sewing+{NAME}"]
    both = replace(heavy, cover=replace(heavy.cover, spine_width=40.0))
    assert ways(both) == [f"spine_lining+secondary_sewing+{NAME}+cover_widening"]
    assert ways(demo("signal_book")) == []


def test_a_case_that_is_widened_is_tried_when_it_is_wide_enough() -> None:
    """A block is not shut into a case too narrow for it: the trial comes after the widening, before the paste."""
    narrow = changed("day_book", cover={"spine_width": 43.0})
    texts = [
        step.text for step in drafted(narrow, NAME, "cover_widening").pattern.steps if step.text
    ]
    (tried,) = [n for n, text in enumerate(texts) if text.startswith("Try the block in its")]
    widened = next(n for n, text in enumerate(texts) if "Set the original spine" in text)
    pasted = next(n for n, text in enumerate(texts) if "Lay the front board open" in text)
    assert widened < tried < pasted
    alone = [step.text for step in drafted("day_book", NAME).pattern.steps]
    assert sum(text.startswith("Try the block in its case, dry") for text in alone) == 1


def test_a_paste_down_that_is_set_without_water_does_not_grow() -> None:
    """Red rot: the ether leaves the leaf of 150 as wide as it is, 2.25 mm less than paste would make it."""
    day_book = demo("day_book")
    rotted = replace(day_book, condition=replace(day_book.condition, leather="red-rot"))
    wet, dry = (number(part(book), "margin_fore_edge_front_mm") for book in (day_book, rotted))
    leaf = day_book.text_block.width
    assert leaf is not None
    assert dry - wet == pytest.approx(0.015 * leaf)


@pytest.mark.parametrize(
    ("onto", "further"), [(25, False), (31.9, False), (32.1, True), (60, True)]
)
def test_paste_downs_are_lifted_once_where_a_cloth_joint_goes_in_as_well(
    onto: float, further: bool
) -> None:
    """Casing in lifts them 32 beyond each board's spine edge: only a cloth that goes further lifts more."""
    found = drafted("day_book", "casing_in", "sewn_cloth_joint", sewn_cloth_joint__onto=onto)
    lifted = [step for step in found.pattern.steps if "ift the paste-down" in step.text]
    assert lifted[0].text.startswith("Take the block out of its case")
    assert [step.text for step in lifted[1:]] == (
        [
            "Lift the paste-downs, as far as they were not lifted to take the block out, on to "
            f"{onto:.1f} mm from the boards' spine edges: the cloth goes so far."
        ]
        if further
        else []
    )


def test_the_paste_downs_are_lifted_as_far_as_a_sewn_lining_goes() -> None:
    """Its flanges of 55 go beyond the 40.6 of casing in's own: 55 less the joint's 8.6 lie on each board."""
    wide = changed("day_book", cover={"spine_width": 52.0})
    found = drafted(wide, "secondary_sewing", NAME, secondary_sewing__flange=55)
    (lifted,) = [step.text for step in found.pattern.steps if "lift the paste-downs" in step.text]
    assert "as far as the lining will go, 55.0 mm from the shoulder" in lifted
    casing = part(wide, "secondary_sewing", secondary_sewing__flange=55)
    (section,) = [one for one in casing.diagrams if one.name.startswith("casing section")]
    assert any("flange 55.0 mm" in note and "last 46.4" in note for note in section.notes)


def test_a_flange_of_its_own_beside_a_sewn_lining_is_refused() -> None:
    """The cloth is the sewn one: another width would be drawn nowhere. The same one is no other."""
    wide = changed("day_book", cover={"spine_width": 52.0})
    with pytest.raises(SettingError, match=r"casing_in\.flange: 60 mm.*reaches 40\.6 mm"):
        part(wide, "secondary_sewing", casing_in__flange=60)
    part(wide, "secondary_sewing", casing_in__flange=55, secondary_sewing__flange=55)


def test_a_gauge_that_would_set_another_joint_is_doubted() -> None:
    """6.4 + 148 − 150.5 = 3.9 as recorded; a square read as 1.8 would close the groove to 4.3.

    Four readings of ± 0.5: 2.0 is borne, 2.1 is said.
    """

    def doubts(square: float) -> list[str]:
        record = changed("day_book", cover={"square_fore_edge": square})
        return [line for line in part(record).warnings if "set by the gauge" in line]

    assert doubts(3.9) == doubts(1.9) == doubts(5.9) == []
    assert len(doubts(6.0)) == 2
    for line, side in zip(doubts(1.8), ("front", "back"), strict=True):
        assert line.startswith(f"{side} board, set by the gauge the joint is 4.3 mm wide where 6.4")


def test_a_flange_is_told_and_undone_as_it_was_set_and_not_as_the_paste_down_over_it() -> None:
    """Red rot: the flange lies on bare board and is pasted; the paste-down meets the turn-ins and is not."""
    book = changed("day_book", condition={"leather": "red-rot"})
    found = drafted(book, NAME, endpapers="sewn")
    flange = next(s.text for s in found.pattern.steps if "the flange to the inner face" in s.text)
    assert "cellulose" not in flange
    set_with = {
        z.words or z.to: z.adhesive
        for one in found.pattern.parts
        for p in one.pieces
        for z in p.zones
    }
    assert set_with["inner face of the front board"] == "wheat starch paste"
    assert set_with["the paste-down"] == "cellulose ether in ethanol"
    out = found.pattern.undo[0]
    assert "paste-downs from the joint outwards with ethanol" in out
    assert "the lining's flanges dry, with a thin spatula" in out


def test_a_lining_that_is_sewn_comes_off_by_its_own_line_alone() -> None:
    """Case in over a sewn lining: nothing is said of a lining of the casing's own."""
    found = drafted("day_book", "secondary_sewing", NAME)
    casing = [line for line in found.pattern.undo if line.startswith("Casing in: ")]
    assert len(casing) == 1
    assert catalogue.find(NAME).undo[0] == OUT_OF_CASE
    assert (
        len([s for s in drafted("day_book", NAME).pattern.undo if s.startswith("Casing in: ")]) == 2
    )


def test_a_case_is_held_against_the_tube_that_will_lie_in_it() -> None:
    """Kraft 0.12 in three thicknesses: the case needs as much more as the spine turns by, and is refused for it."""
    book = demo("day_book")
    turn = 4 * math.atan2(2 * 5.0, 28.5)
    more = turn * 3 * 0.12
    width = book.cover.spine_width
    assert width is not None

    def lacks(*others: str) -> float:
        narrow = changed("day_book", cover={"spine_width": width - 6.0})
        with pytest.raises(Unsuitable, match="lacks") as refused:
            drafted(narrow, *others, NAME)
        return float(str(refused.value).split("lacks ")[1].split("\u00a0")[0].split(" ")[0])

    assert lacks("hollow_tube") == pytest.approx(lacks() + more, abs=0.11)
