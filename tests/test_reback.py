"""reback: a new covering over spine and joints, as wide as they ask and no wider, on whatever lies beneath."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon, union_all

from patterns.errors import RecordError, SettingError, Unsuitable
from patterns.formulas import joints
from patterns.formulas.joints import Joint
from patterns.model.part import Part
from patterns.record.record import ConditionTable, Record, SideTable, UnionTable
from tests.books import changed, drafted
from tests.books import part as part_of
from tests.test_ladder import sound

NAME = "reback"


def part(record: Record | str, *others: str, **settings: object) -> Part:
    found = drafted(record, *others, NAME, **settings)
    sound(found)
    return next(one for one in found.pattern.parts if one.structure == NAME)


def number(found: Part, name: str) -> float:
    value = found.quantities[name]
    assert isinstance(value, (int, float))
    return float(value)


def flat(**cover: object) -> Record:
    """Return a flat spine of 40 with a lining of 0.2, in boards of 3."""
    spine = {
        "profile": "flat", "round_depth": 0, "girth_head": 40.0, "girth_tail": 40.0, "linings": 0.2,
        "over_shoulders": 40.0, "shoulder": 3.0,
    }  # fmt: skip
    return changed(
        "signal_book", spine=spine, text_block={"thickness": 34.0, "thickness_fore_edge": 34.0},
        cover={"board_thickness": 3.0, "joint_gap": 1.0, "spine_width": None, **cover},
    )  # fmt: skip


def test_the_worked_example_of_a_tight_joint() -> None:
    """Own worked example: g 1, j 3, B 3: w = √(1² + 0²) = 1; 40 + 2·1 + 2·15 = 72, and π·1.2/2 = 1.885."""
    found = part(flat(), leather_thickness=1.2)
    assert number(found, "over_joint_front_mm") == pytest.approx(1.0)
    assert found.pieces[0].width_mm == pytest.approx(72.0 + 1.885, abs=0.001)


def test_the_worked_example_of_a_french_joint() -> None:
    """Own worked example: g 6.4, j 2.5, B 2.5: w = 2·√(3.2² + 2.5²) = 8.1216; 40 + 2·w + 30 = 86.243."""
    record = flat(joint="french", joint_gap=6.4, board_thickness=2.5)
    record = replace(record, spine=replace(record.spine, shoulder=2.5))
    found = part(record, leather_thickness=1.2)
    assert number(found, "over_joint_back_mm") == pytest.approx(8.1216, abs=1e-4)
    assert found.pieces[0].width_mm == pytest.approx(86.243 + 1.885, abs=0.001)


def test_a_strip_read_in_the_joint_wins() -> None:
    """joint_over 4.0 at both sides instead of 1.0: 6 more."""
    more = part(flat(joint_over=4.0)).pieces[0].width_mm - part(flat()).pieces[0].width_mm
    assert more == pytest.approx(6.0)


def unequal() -> Record:
    """A right-to-left signal book, unequal in everything."""
    record = changed(
        "signal_book",
        book={"reading": "right-to-left"},
        spine={"girth_head": 33.0, "girth_tail": 35.0, "shoulder": None, "shoulder_front": 2.5, "shoulder_back": 2.1},
    )  # fmt: skip
    back = SideTable(
        joint_gap=1.4, board_thickness=2.0, board_height=217.0, square_head=2.6, square_tail=2.4
    )
    return replace(record, cover=replace(record.cover, back=back))


def test_an_unequal_book_by_hand() -> None:
    """Girth 33 to 35 over 212; chord 31, round 6: φ = 4·atan(12/31). Lining 0.3, leather 0.8.

    a(y) = 33 + 2·y/212 + φ·(0.3 + 0.4 − 0.05), at the cover's head −3 and tail 215. w front √(1² + 0.1²),
    back √(1.4² + 0.1²). Half a turn less the spine's own: (π − φ)·0.8/4 at each side. Tuck 12, turn-in 17;
    218 + 34 = 252 high. Read from right to left the front lies at the left.
    """
    found = part(unequal(), tuck=12, turn_in=17, pare=6, old_spine=30)
    phi = 4 * math.atan(12 / 31)
    turns = (math.pi - phi) * 0.8 / 4
    front, back = math.hypot(1.0, 0.1) + turns, math.hypot(1.4, 0.1) + turns
    half = [(33 + 2 * y / 212 + phi * 0.65) / 2 for y in (-3, 215)]
    slope = (half[1] - half[0]) / 218
    top, low = half[0] - 17 * slope, half[1] + 17 * slope
    origin = low + front + 12
    (piece,) = found.pieces
    corners = [
        (origin - top - front - 12, 0), (origin + top + back + 12, 0),
        (origin + low + back + 12, 252), (0, 252),
    ]  # fmt: skip
    assert sorted(piece.outline) == [pytest.approx(corner, abs=1e-6) for corner in sorted(corners)]
    assert (piece.left, piece.right) == ("FRONT", "BACK")
    assert piece.lies_on_mm == pytest.approx(0.3)
    ends = {"front": (17, 235), "back": (17.4, 234.4)}  # 217 high, from 2.6 above the head
    ys = [fold.line[k][1] for fold in piece.folds for k in (0, 1)]
    assert ys == pytest.approx([17, 17, 17, 17.4, 17.4, 17.4, 235, 235, 235, 234.4, 234.4, 234.4])
    middle, *lines, bevel = piece.references
    assert [*middle[0], *middle[1]] == pytest.approx([origin, 0, origin, 252])
    beside = [("front", front), ("front", 0.0), ("back", 0.0), ("back", back)]
    for line, (side, out) in zip(lines, beside, strict=True):
        sign = -1 if side == "front" else 1
        xs = [origin + sign * (half[0] + slope * (y - 17) + out) for y in ends[side]]
        assert [*line[0], *line[1]] == pytest.approx([xs[0], ends[side][0], xs[1], ends[side][1]])
    assert Polygon(bevel).equals_exact(Polygon(piece.outline).buffer(-6, join_style="mitre"), 1e-6)
    areas: dict[tuple[str, str], float] = {}
    for zone in piece.zones:
        key = (zone.face, zone.to)
        areas[key] = areas.get(key, 0.0) + Polygon(zone.outline).area
    assert areas["under", "outer face of the front board"] == pytest.approx(12 * 218, abs=0.5)
    assert areas["up", "lifted covering of the back board"] == pytest.approx(12 * 217, abs=0.5)
    assert areas["under", "lining of the spine"] == pytest.approx(sum(half) * 217.5, abs=0.5)
    assert areas["under", "the joint: set in, no paste"] == pytest.approx(
        front * 218 + back * 217, abs=0.5
    )
    turned = (2 * top + 2 * half[0] + 2 * half[1] + 2 * low) / 2 * 17 + 2 * 17 * (front + back + 24)
    turned += (back + 12) * 1.0 + sum(
        half
    ) * 0.5  # 0.4 more at the head and 0.6 at the tail, at the back
    assert areas["under", "itself and the boards, turned in"] == pytest.approx(turned, abs=0.5)
    for end, k in (("head", 0), ("tail", 1)):
        needed = 2 * half[k] + front + back
        assert number(found, f"needed_{end}_mm") == pytest.approx(needed)
        assert number(found, f"gap_{end}_mm") == pytest.approx((needed - 30) / 2)


def two_heights() -> Record:
    """Return the unequal book with a back board of 214 whose head stands out by 1, beside 218 and 3."""
    book = unequal()
    front = replace(book.cover.front, board_height=218.0, square_head=3.0)
    back = replace(book.cover.back, board_height=214.0, square_head=1.0)
    return replace(book, cover=replace(book.cover, front=front, back=back))


def test_boards_of_two_heights_have_each_its_own_folds() -> None:
    """Front at the left: from −3 to 215, folds at 17 and 17 + 218. Back: from −1 to 213, at 19 and 17 + 216.

    Over the spine the fold goes from one to the other; each board's paste is as high as that board.
    """
    found = part(two_heights(), tuck=12, turn_in=17, pare=6, old_spine=30)
    (piece,) = found.pieces
    heights = [(fold.line[0][1], fold.line[1][1]) for fold in piece.folds]
    assert heights == [(17, 17), (17, 19), (19, 19), (235, 235), (235, 233), (233, 233)]
    for fold, on in zip(piece.folds, piece.folds[1:3], strict=False):
        assert fold.line[1] == on.line[0]
    areas = {(zone.face, zone.to): Polygon(zone.outline).area for zone in piece.zones}
    assert areas["under", "outer face of the front board"] == pytest.approx(12 * 218, abs=0.5)
    assert areas["under", "outer face of the back board"] == pytest.approx(12 * 214, abs=0.5)
    assert number(found, "height_mm") == pytest.approx(218 + 2 * 17)
    told = " ".join(step.text for step in found.steps)
    assert "17.0 mm at the head and 17.0 at the tail of the front board" in told
    assert "19.0 mm at the head and 19.0 at the tail of the back board" in told
    right = [one for one in piece.dimensions if one.side == "right"]
    assert [one.end[1] - one.start[1] for one in right] == pytest.approx([19, 214, 19])


def test_boards_that_stand_against_each_other_are_both_covered() -> None:
    """Front −3 to 215, back of 218 from −1 to 217: from the higher head to the lower tail there are 220."""
    book = two_heights()
    back = replace(book.cover.back, board_height=218.0)
    found = part(replace(book, cover=replace(book.cover, back=back)), turn_in=17)
    assert number(found, "height_mm") == pytest.approx(220 + 2 * 17)
    ys = [fold.line[0][1] for fold in found.pieces[0].folds]
    assert [ys[0], ys[2], ys[3], ys[5]] == pytest.approx([17, 19, 235, 237])


@pytest.mark.parametrize("heights", ["one", "two"])
def test_no_two_pasted_zones_of_a_face_lie_over_each_other_and_all_is_told(heights: str) -> None:
    """The under face is wholly pasted or free; nothing twice."""
    (piece,) = part(unequal() if heights == "one" else two_heights()).pieces
    rings = [Polygon(zone.outline) for zone in piece.zones if zone.face == "under"]
    assert sum(ring.area for ring in rings) == pytest.approx(union_all(rings).area, abs=1e-3)
    assert union_all(rings).area == pytest.approx(Polygon(piece.outline).area, abs=0.5)


def test_raised_bands_are_gone_round_and_over() -> None:
    """r 3, b 6: 2·√(9 + 9) − 6 = 2.485 a band, four of them; φ·3 more in girth."""
    bands = changed(
        "signal_book", sewing={"supports": "raised", "support_height": 3.0, "support_width": 6.0}
    )
    found, level = part(bands), part("signal_book")
    phi = 4 * math.atan(12 / 31)
    assert number(found, "over_bands_mm") == pytest.approx(4 * 2.4853, abs=1e-3)
    assert found.pieces[0].height_mm - level.pieces[0].height_mm == pytest.approx(9.941, abs=1e-3)
    assert found.pieces[0].width_mm - level.pieces[0].width_mm == pytest.approx(phi * 3.0)
    words = " ".join(step.text for step in drafted(bands, NAME).pattern.steps)
    assert "over the bands with the nippers" in words
    unknown = changed("signal_book", sewing={"supports": "raised", "support_height": None})
    with pytest.raises(RecordError, match=r"sewing\.support_height"):
        part(unknown)
    with pytest.raises(Unsuitable, match="raised supports"):
        part(bands, "hollow_tube")


@pytest.mark.parametrize(
    ("square", "thick", "wanted"), [(8.0, 1.2, 20.4), (3.0, 0.8, 15.0), (3.4, 0.8, 15.0)]
)
def test_the_turn_in_goes_over_the_square_and_holds(
    square: float, thick: float, wanted: float
) -> None:
    """Own worked example: square 8, covering 1.2: 8 + 2.4 + 10 = 20.4; never less than 15."""
    record = changed("signal_book", cover={"square_tail": square, "board_height": 215.0 + square})
    found = part(record, leather_thickness=thick)
    assert number(found, "turn_in_mm") == pytest.approx(wanted)
    assert found.pieces[0].height_mm == pytest.approx(215.0 + square + 2 * wanted)


@pytest.mark.parametrize(
    ("covering", "grain", "paste"),
    [
        ("leather", "head-tail", "wheat starch paste"),
        ("cloth", "warp head-tail", "paste and methyl cellulose"),
        ("paper", "spine-fore edge", "wheat starch paste"),
    ],
)
def test_each_covering_has_its_own_grain_and_paste(covering: str, grain: str, paste: str) -> None:
    """Only leather is pared."""
    found = part("signal_book", covering=covering)
    (piece,) = found.pieces
    assert piece.grain == grain
    assert {zone.adhesive for zone in piece.zones if zone.kind == "pasted"} == {paste}
    assert len(piece.references) == (6 if covering == "leather" else 5)
    words = " ".join(
        step.text for step in drafted("signal_book", NAME, covering=covering).pattern.steps
    )
    assert ("Pare the under face" in words) == (covering == "leather")


def test_what_it_is_pasted_to() -> None:
    """The tube, the sewn lining, the lining; in a case without any it stays free over the hollow."""

    def over(*others: str, record: Record | str = "signal_book") -> str:
        zones = part(record, *others).pieces[0].zones
        (found,) = [
            z.to for z in zones if z.face == "under" and "board" not in z.to and "joint" not in z.to
        ]
        return found

    assert over("hollow_tube") == "last panel of the tube"
    sewn = changed("signal_book", spine={"girth_sewn_head": 34.6, "girth_sewn_tail": 34.6})
    assert over("secondary_sewing", record=sewn) == "sewn lining"
    assert over("spine_lining") == "lining of the spine"
    assert over(record="day_book") == "natural hollow of the case: no paste"


def test_it_is_never_pasted_to_bare_folds() -> None:
    bare = changed("signal_book", spine={"linings": 0.0})
    with pytest.raises(Unsuitable, match="bare folds"):
        part(bare)
    for ground in ("hollow_tube", "spine_lining"):
        part(bare, ground)


def test_a_covering_hangs_no_heavy_boards() -> None:
    """From 1.5 kg of block on something else carries the boards, or they hang soundly."""
    heavy = changed("signal_book", text_block={"weight": 1.5}, book={"weight": 1.7})
    with pytest.raises(Unsuitable, match="a covering hangs no boards"):
        part(heavy)
    part(heavy, "secondary_sewing")
    part(heavy, "joint_tacket")
    part(heavy, "sewn_cloth_joint")
    hung = UnionTable(between=("text block", "boards"), moves=True, made="sewn", state="sound")
    part(replace(heavy, unions=(hung,)))
    weak = replace(hung, state="weak")
    with pytest.raises(Unsuitable, match="a covering hangs no boards"):
        part(replace(heavy, unions=(hung, weak)))


def test_a_limp_cover_is_not_rebacked() -> None:
    limp = changed("signal_book", cover={"kind": "limp"})
    with pytest.raises(Unsuitable, match="no boards whose covering could be lifted"):
        part(limp)


def test_with_a_new_back_the_covering_reaches_round() -> None:
    """An old spine of 30 no longer decides: what is drafted is as wide as it must be."""
    narrow = changed("signal_book", cover={"spine_width": 30.0})
    found = drafted(narrow, "hollow_tube", NAME).pattern
    assert found.closing.endswith("and the new covering is cut to that")
    assert found.figures["cover_closes"]


def test_the_old_spine_wider_than_the_new_back_is_told() -> None:
    assert any(
        "would lie over the joints" in line for line in part("signal_book", old_spine=45).warnings
    )
    assert not part("signal_book", old_spine=30).warnings[1:]


@pytest.mark.parametrize(
    ("given_", "words"),
    [({"pare": 14, "turn_in": 10}, "wider than the turn-in")],
)
def test_settings_without_room_are_refused(given_: dict[str, object], words: str) -> None:
    with pytest.raises(SettingError, match=words):
        part("signal_book", **given_)


@settings(max_examples=25)
@given(
    kind=st.sampled_from(["tight", "french"]), j=st.floats(0.5, 6.0), more=st.floats(-1.0, 1.0),
    g=st.floats(0.5, 3.0), groove=st.floats(5.0, 12.0), side=st.sampled_from([0, 2]),
)  # fmt: skip
def test_it_opens_flat_without_pulling_at_any_angle(
    kind: str, j: float, more: float, g: float, groove: float, side: int
) -> None:
    """As drawn, from the shoulder's tip to the board's arris there is never less than the way between them.

    The quarter turn of its own thickness at each side of a flat spine, π·t/4, is taken off first.
    At no degree from shut to flat, and in a groove shut as well, pressed down to the middle of its floor.
    """
    board, gap = max(1.0, j + more), groove if kind == "french" else g
    record = flat(joint=kind, joint_gap=gap, board_thickness=board)
    record = replace(record, spine=replace(record.spine, shoulder=j, over_shoulders=None))
    (drawn,) = part(record).pieces
    _, *lines = (line[0][0] for line in drawn.references)
    drawn_mm = lines[side + 1] - lines[side] - math.pi * drawn.thickness_mm / 4
    joint = Joint("french" if kind == "french" else "tight", j, 90.0, gap, board)
    for degrees in range(181):
        arris = joints.turned(joint, (gap, board), float(degrees))
        assert math.dist((0.0, j), arris) <= drawn_mm + 1e-6, degrees
    if kind == "french":
        assert math.hypot(gap / 2, j) + math.hypot(gap / 2, board) <= drawn_mm + 1e-6


def test_no_covering_is_lifted_twice() -> None:
    """With tackets and a lining beneath: one step lifts the covering, one sets it down, in this order."""
    heavy = changed("logbook", condition={"paper": "strong"}, text_block={"tear_strength": 4000.0})
    found = drafted(heavy, "spine_lining", "joint_tacket", "hollow_tube", NAME).pattern.steps
    down = [step.text for step in found if "covering" in step.text and "down" in step.text]
    assert len([text for text in down if text.startswith("Set the lifted covering")]) == 1
    assert not [text for text in down if "paste-down and covering" in text]
    lifts = [step for step in found if "leather" in step.traits.cuts]
    assert [step.structure for step in lifts] == [NAME]
    assert any("the covering stays lifted for the reback" in step.text for step in found)


def test_a_reback_on_red_rot_is_neither_pasted_nor_damp() -> None:
    """Its bond and its shaping are told anew: nothing calls an ether paste, nothing is formed damp on the book."""
    rot = changed("signal_book", condition={"leather": "red-rot"})
    texts = [
        step.text
        for step in drafted(rot, "hollow_tube", NAME).pattern.steps
        if step.structure == NAME
    ]
    assert not [text for text in texts if "what these words call paste" in text or "starch" in text]
    assert not [
        text for text in texts if "damp" in text and "away from the book: damp it" not in text
    ]


def test_steps_lift_before_they_cover_and_say_what_is_cut() -> None:
    """The old covering is lifted before tube and lining are laid; that cut is declared."""
    found = drafted("signal_book", "hollow_tube", NAME).pattern.steps
    texts = [step.text for step in found]
    lift = next(k for k, text in enumerate(texts) if text.startswith("Photograph spine and joints"))
    tube = next(k for k, text in enumerate(texts) if "release paper" in text and "panels" in text)
    assert lift < tube
    assert set(found[lift].traits.cuts) == {"cover", "leather"}
    assert not any("nothing else" in text for text in texts)


def test_an_old_spine_that_is_too_wide_lies_over_the_joints_by_so_much() -> None:
    """6 mm wider than the new back: 3.0 over each joint, and no gap of less than nothing."""
    needed = part("signal_book").quantities
    wide = float(str(needed["needed_head_mm"])) + 6
    found = drafted("signal_book", NAME, old_spine=wide)
    (text,) = [s.text for s in found.pattern.steps if s.text.startswith("Set the old spine back")]
    assert "it then lies over the joints by up to 3.0 mm each side" in text
    assert "shows beside it" not in text


@pytest.mark.parametrize("others", [("hollow_tube",), ("spine_lining",), ()])
@pytest.mark.parametrize("condition", [{"leather": "red-rot"}, {"iron_gall": True}, {}])
def test_every_zone_of_the_new_back_is_set_with_what_the_step_says(
    others: tuple[str, ...], condition: dict[str, object]
) -> None:
    """Brushed on its whole under face: one adhesive. Without a new lining ink in the folds asks for it as well."""
    book = changed("signal_book", spine={"linings": 0.3})
    book = replace(book, condition=ConditionTable(**condition))  # type: ignore[arg-type]
    found = drafted(book, NAME, *others)
    (step,) = [one for one in found.pattern.steps if "Lay its middle line" in one.text]
    ether = "cellulose ether" in step.text
    assert ether == ("leather" in condition or (bool(condition) and not others))
    (back,) = [piece for piece in part_of(found, NAME).pieces if piece.name == "new back"]
    (over,) = [zone for zone in back.zones if "lining" in zone.to or "tube" in zone.to]
    assert over.kind == "pasted"
    assert ("cellulose ether" in over.adhesive) == ether
    assert bool(over.covers) == (not others)
