"""flap_wrapper: folded up in three dimensions it holds what was asked, and no card passes through another."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import combinations, pairwise
from math import sin, tan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Polygon

from patterns.book.book import Book
from patterns.drafting.order import Drafted
from patterns.errors import RecordError, Unsuitable
from patterns.examine.examination import examine
from patterns.model.part import Part
from patterns.model.piece import Piece
from patterns.record.record import BookTable, ConditionTable, CoverTable, Record
from patterns.sheets import ruler
from patterns.stock import materials
from patterns.structures import catalogue
from tests.books import changed, demo, drafted
from tests.examine_books import joint
from tests.test_ladder import sound

NAME = "flap_wrapper"
STOCK = materials.built_in()


def of_size(length: float, width: float, thick: float, **book: object) -> Record:
    """Return a light book of this outside."""
    return changed("pay_book", book={"outside": (length, width, thick), "weight": 0.8, **book})


def part(record: Record | str, **settings: object) -> Part:
    found = drafted(record, NAME, **settings)
    sound(found)
    return found.pattern.parts[0]


def pieces(found: Part, name: str) -> list[Piece]:
    return [one for one in found.pieces if one.name.startswith(name)]


# ---- the worked example, and an unequal book by hand


def test_the_worked_example() -> None:
    """Own worked example: L 300, W 200, T 40, e 1, t 0.6.

    Inner: base 300 + 1 + 0.6, walls 40 + 1 + 0.6, flaps 150 − 1; 682.8 × 201.0. Outer: base 200 + 1 + 0.6,
    walls 40 + 1 + 1.8 and 40 + 1 + 2.4, flaps 100 − 1 and 200 + 1 − 1; 586.8 × 302.2.
    """
    found = part(of_size(300, 200, 40))
    (inner,), (outer,) = pieces(found, "inner"), pieces(found, "outer")
    assert stops(inner) == pytest.approx([0, 149.0, 190.6, 492.2, 533.8, 682.8])
    assert stops(outer) == pytest.approx([0, 200.0, 243.4, 445.0, 487.8, 586.8])
    assert (inner.width_mm, inner.height_mm) == pytest.approx((201.0, 682.8))
    assert (outer.width_mm, outer.height_mm) == pytest.approx((586.8, 302.2))


def stops(piece: Piece) -> list[float]:
    """Return edge, creases and edge along a strip, from its outline and its folds."""
    upright = piece.name.startswith("inner")
    axis = 1 if upright else 0
    along = [p[axis] for p in piece.outline]
    for fold in piece.folds:
        assert fold.kind == "valley"
        assert fold.line[0][axis] == fold.line[1][axis]
    return [min(along), *sorted(fold.line[0][axis] for fold in piece.folds), max(along)]


def test_an_unequal_book_by_hand() -> None:
    """173.5 × 241 × 18.5, card of 0.45, clearance 1.5, tapes of 10, one pair, thumb of 8.

    | inner  | 173.5/2 − 1 | 18.5 + 1.5 + 0.45 | 173.5 + 1.5 + 0.45 | as the first wall | as the first flap |
    |        | 85.75       | 20.45             | 175.45             | 20.45             | 85.75             |
    | outer  | 241 + 1.5 − 1 | 20 + 1.8        | 241 + 1.5 + 0.45   | 20 + 1.35         | 241/2 − 1         |
    |        | 241.5       | 21.8              | 242.95             | 21.35             | 119.5             |

    Inner 387.85 long and 242.5 wide; outer 647.1 long, 173.5 + 1.5 + 0.9 = 175.9 wide. Slits of 11 at half of
    175.9: 82.45 to 93.45, one 8 + 8 from the last flap's edge, one 10 from the end of the base,
    241.5 + 21.8 + 242.95 − 10 = 496.25.
    """
    settings = {"card_thickness": 0.45, "clearance": 1.5, "tape_width": 10, "ties": 1, "thumb": 8}
    found = part(of_size(173.5, 241, 18.5), **settings)
    (inner,), (outer,) = pieces(found, "inner"), pieces(found, "outer")
    assert stops(inner) == pytest.approx([0, 85.75, 106.2, 281.65, 302.1, 387.85])
    assert stops(outer) == pytest.approx([0, 241.5, 263.3, 506.25, 527.6, 647.1])
    assert sorted(inner.outline) == [
        pytest.approx(corner) for corner in ((0, 0), (0, 387.85), (242.5, 0), (242.5, 387.85))
    ]
    ends = [end for slit in outer.slits for end in slit]
    wanted = [(16.0, 82.45), (16.0, 93.45), (496.25, 82.45), (496.25, 93.45)]
    assert [xy for end in ends for xy in end] == pytest.approx([xy for end in wanted for xy in end])
    thumb = Polygon([(0, 0), (647.1, 0), (647.1, 175.9), (0, 175.9)]).area - np.pi * 64 / 2
    assert Polygon(outer.outline).area == pytest.approx(thumb, abs=0.2)
    deepest = max(x for x, y in outer.outline if 79.0 < y < 97.0)
    assert deepest == pytest.approx(8.0, abs=0.01)
    bases = [zone.outline for zone in (*inner.zones, *outer.zones) if zone.kind == "pasted"]
    assert [Polygon(ring).bounds for ring in bases] == [
        pytest.approx((0.0, 106.2, 242.5, 281.65)),
        pytest.approx((263.3, 0.0, 506.25, 175.9)),
    ]
    assert [zone.face for zone in (*inner.zones, *outer.zones) if zone.kind == "pasted"] == [
        "under", "up",
    ]  # fmt: skip
    assert (inner.grain, outer.grain) == ("spine-fore edge", "head-tail")
    (label,) = outer.references
    xs, ys = zip(*label, strict=True)
    assert (min(xs), max(xs)) == pytest.approx((244.5, 260.3))
    assert (min(ys), max(ys)) == pytest.approx((175.9 / 8, 175.9 / 8 + 175.9 / 3))


# ---- folded up


@dataclass(frozen=True)
class Plate:
    """One panel folded into place: its four corners on the card's middle plane, and its thickness."""

    corners: np.ndarray
    thick: float

    @property
    def box(self) -> tuple[np.ndarray, np.ndarray]:
        """Return the least and greatest corner of the card itself, all of it upright or level."""
        low, high = self.corners.min(axis=0), self.corners.max(axis=0)
        normal = int(np.argmin(high - low))
        half = np.zeros(3)
        half[normal] = self.thick / 2
        return low - half, high + half


def turned(points: np.ndarray, axis_at: np.ndarray, axis: np.ndarray, angle: float) -> np.ndarray:
    """Turn points about an axis by Rodrigues' formula."""
    away = points - axis_at
    along = np.outer(away @ axis, axis)
    found: np.ndarray = (
        axis_at + along + (away - along) * np.cos(angle) + np.cross(axis, away) * np.sin(angle)
    )
    return found


def folded(piece: Piece, base_at: np.ndarray, thick: float) -> list[Plate]:
    """Fold a strip up at its four creases, its base level, the middle of the base at `base_at`.

    Two sheets of plates meet at each crease: from the base outwards every crease turns all that lies
    beyond it upwards by a right angle.
    """
    upright = piece.name.startswith("inner")
    at = stops(piece)
    left, top, right, bottom = piece.bounds
    across = (left, right) if upright else (top, bottom)

    def corners(a: float, b: float) -> np.ndarray:
        flat = [(x, y) for x, y in ((a, across[0]), (b, across[0]), (b, across[1]), (a, across[1]))]
        return np.array([(y, x, 0.0) if upright else (x, y, 0.0) for x, y in flat])

    panels = [corners(a, b) for a, b in pairwise(at)]
    axis = np.array([1.0, 0.0, 0.0]) if upright else np.array([0.0, 1.0, 0.0])

    def crease(x: float) -> np.ndarray:
        return np.array([0.0, x, 0.0] if upright else [x, 0.0, 0.0])

    up = np.pi / 2 if upright else -np.pi / 2  # turns what lies beyond the crease to +z
    for place, group, sign in ((3, (3, 4), 1), (4, (4,), 1), (2, (0, 1), -1), (1, (0,), -1)):
        hinge, way = crease(at[place]), axis
        if place in (4, 1):  # the outer crease has been carried along by the inner one
            inner = crease(at[3] if place == 4 else at[2])
            hinge = turned(hinge[None, :], inner, axis, sign * up)[0]
        for k in group:
            panels[k] = turned(panels[k], hinge, way, sign * up)
    middle = panels[2].mean(axis=0)
    return [Plate(one - middle + base_at, thick) for one in panels]


def closed(found: Part) -> tuple[list[Plate], list[Plate], float]:
    """Fold both strips of a wrapper, the outer base one card below the inner one."""
    (inner,), (outer,) = pieces(found, "inner"), pieces(found, "outer")
    t = inner.thickness_mm
    return folded(inner, np.zeros(3), t), folded(outer, np.array([0.0, 0.0, -t]), t), t


def overlap(one: Plate, other: Plate) -> float:
    """Return how deep two plates pass through each other, where they do it least."""
    (a, b), (c, d) = one.box, other.box
    return float(np.min(np.minimum(b, d) - np.maximum(a, c)))


def check_closed(found: Part, length: float, width: float, thick: float) -> None:
    """The inside is what was asked within 0.1, and nothing passes through anything."""
    inner, outer, t = closed(found)
    head_flap, head, base, tail, tail_flap = inner
    full, spine, outer_base, fore, half = outer
    e = 1e-6
    assert tail.box[0][1] - head.box[1][1] == pytest.approx(length, abs=0.1)
    assert fore.box[0][0] - spine.box[1][0] == pytest.approx(width, abs=0.1)
    for flap in (head_flap, tail_flap):
        assert flap.box[0][2] - base.box[1][2] == pytest.approx(thick, abs=0.1)
    names = {id(one): k for k, one in enumerate((*inner, *outer))}
    joined = {(0, 1), (1, 2), (2, 3), (3, 4), (5, 6), (6, 7), (7, 8), (8, 9)}
    for one, other in combinations((*inner, *outer), 2):
        if (names[id(one)], names[id(other)]) not in joined:
            assert overlap(one, other) <= e, (names[id(one)], names[id(other)])
    tops = [plate.box[1][2] for plate in (head_flap, half, full)]
    assert tops == sorted(tops)
    assert half.box[0][2] == pytest.approx(head_flap.box[1][2], abs=1e-6)
    assert full.box[0][2] == pytest.approx(half.box[1][2], abs=1e-6)
    assert outer_base.box[1][2] == pytest.approx(base.box[0][2], abs=1e-6)
    assert head_flap.box[1][1] < tail_flap.box[0][1]
    assert spine.box[0][1] == pytest.approx(head.box[0][1], abs=0.1)
    assert spine.box[1][1] == pytest.approx(tail.box[1][1], abs=0.1)
    assert full.box[1][0] <= fore.box[1][0]
    assert t > 0


def test_folded_up_the_demonstration_holds_its_book() -> None:
    """247.5 × 162 × 37 with 1 mm of room each way."""
    check_closed(part("pay_book"), 248.5, 163.0, 38.0)


@given(
    length=st.floats(60, 390), width=st.floats(60, 290), thick=st.floats(2, 50),
    clearance=st.floats(0, 5), card=st.floats(0.2, 1.5),
)  # fmt: skip
def test_folded_up_it_holds_what_was_asked(
    length: float, width: float, thick: float, clearance: float, card: float
) -> None:
    """For any size: the inside is the book and the clearance, and no wall passes through another."""
    size = [round(mm, 1) for mm in (length, width, thick, clearance)]
    found = drafted(
        of_size(*size[:3]), NAME, clearance=size[3], card_thickness=round(card, 2),
        card_sheet_width=4000, card_sheet_length=4000,
    ).pattern.parts[0]  # fmt: skip
    check_closed(found, *(mm + size[3] for mm in size[:3]))


# ---- a strip longer than the card


def test_a_strip_longer_than_the_card_is_joined_on_its_base() -> None:
    """Card of 500: the inner strip of 682.8 is parted in the middle of its base, the outer one of 586.8

    where its longer side, flap and wall of 243.4, still leaves it in the middle: at 243.4 + 100.8.
    """
    found = part(of_size(300, 200, 40), card_sheet_width=500)
    head, tail = pieces(found, "inner")
    assert (head.height_mm, tail.height_mm) == pytest.approx((341.4, 341.4))
    spine, fore = pieces(found, "outer")
    assert spine.width_mm == pytest.approx(243.4 + 100.8)
    assert spine.width_mm + fore.width_mm == pytest.approx(586.8)
    assert [len(one.folds) for one in (head, tail, spine, fore)] == [2, 2, 2, 2]
    assert [len(one.slits) for one in (spine, fore)] == [2, 2]
    words = " ".join(
        step.text
        for step in drafted(of_size(300, 200, 40), NAME, card_sheet_width=500).pattern.steps
    )
    assert "edge to edge" in words
    assert "edge to edge" not in " ".join(s.text for s in drafted("pay_book", NAME).pattern.steps)


def test_the_joint_moves_off_the_middle_where_the_longer_side_asks_it() -> None:
    """Card of 320: from the edge of the full flap the outer strip holds 320, short of the middle at 344.2."""
    found = part(of_size(300, 200, 40), card_sheet_width=342)
    spine, fore = pieces(found, "outer")
    assert (spine.width_mm, fore.width_mm) == pytest.approx((342.0, 244.8))


@pytest.mark.parametrize(
    ("setting", "value"), [("card_sheet_width", 300), ("card_sheet_length", 250)]
)
def test_a_card_too_small_is_refused(setting: str, value: float) -> None:
    with pytest.raises(Unsuitable, match="take a larger card, or have a rigid box made"):
        part(of_size(300, 200, 40), **{setting: value})


# ---- the outside of a book that was not measured as a whole


def test_without_the_outside_boards_covering_and_block_add_up() -> None:
    """Pay book: boards 245 and 154, joint gap 1, round 5, linings 0.3, covering 1.0, boards of 2.2.

    245 + 2·1 = 247 ± (0.5 + 0.2); 1 + 154 + 1 + 5 + 0.3 + 1 = 162.3 ± (3·0.5 + 3·0.1): the covering, read once, is
    counted at spine and fore edge, and the linings are read as well; at the fore edge 31 + 4.4 + 2 = 37.4, more
    than the 34 + 2 over the shoulders, ± (0.5 + 0.4).
    """
    found = part(changed("pay_book", book={"outside": None}))
    sizes = [found.quantities[f"{name}_mm"] for name in ("length", "width", "thickness")]
    assert sizes == pytest.approx([247 + 0.7, 162.3 + 1.8, 37.4 + 0.9])
    assert any("book.outside is not measured" in line for line in found.warnings)
    assert not part("pay_book").warnings


def test_unequal_boards_count_each_with_its_own() -> None:
    """Back board 3 higher, 2 wider, 1 thicker; shoulders of 42 over all win over 31 + 5.4."""
    record = changed("pay_book", book={"outside": None}, spine={"over_shoulders": 42.0})
    back = replace(record.cover.back, board_height=248.0, board_width=156.0, board_thickness=3.2)
    found = part(replace(record, cover=replace(record.cover, back=back)))
    assert found.quantities["length_mm"] == pytest.approx(248 + 2 + 0.7)
    assert found.quantities["width_mm"] == pytest.approx(156 + 1 + 1 + 5.3 + 1 + 1.8)
    assert found.quantities["thickness_mm"] == pytest.approx(42 + 2 + 0.7)


def test_the_turn_ins_of_a_limp_cover_lie_within_the_closed_book() -> None:
    """Leaves 47.5 at the fore edge, two sides of 1.2 and two turn-ins of 1.2: 52.3; ± 0.5, and 2 × ± 0.1 twice.

    A wrapper for 49.9 would lack 0.7 of what its doubts and its clearance of 1 leave.
    """
    for turn_in, thick in ((14, 52.3 + 0.5 + 0.4), (0, 49.9 + 0.5 + 0.2)):
        book = Book.of(changed("chart_book", cover={"turn_in": turn_in}), materials.built_in())
        assert book.outside.greatest_mm[2] == pytest.approx(thick)


def test_a_limp_cover_has_no_boards_to_count() -> None:
    """Almanac: side 107 × 172, flat, cover 0.35: 172.7, 107.7, 12.7, and the doubts: no boards, no linings."""
    found = part(changed("almanac"))
    sizes = [found.quantities[f"{name}_mm"] for name in ("length", "width", "thickness")]
    assert sizes == pytest.approx([172.7 + 0.7, 107.7 + 1.7, 12.7 + 0.7])


def test_a_round_known_by_its_girth_alone_is_taken_at_its_worst() -> None:
    """Chord 34, girths 36 and 36.5: by 36.25 the round stands out 5.41 mm, by 37 on 33.5 it would be 6.73.

    An arc of chord c and half angle θ: girth = c·θ/sin θ, depth = c/2·tan(θ/2), solved here by halving.
    """

    def depth(girth: float, chord: float) -> float:
        low, high = 1e-6, 1.5
        for _ in range(60):
            middle = (low + high) / 2
            low, high = (middle, high) if chord * middle / sin(middle) < girth else (low, middle)
        return chord / 2 * tan(low / 2)

    found = part(changed("pay_book", book={"outside": None}, spine={"round_depth": None}))
    assert depth(36.25, 34) == pytest.approx(5.41, abs=0.01)
    most = 1 + 154 + depth(37.0, 33.5) + 0.3 + 2 + 2 * 0.5 + 3 * 0.1
    assert found.quantities["width_mm"] == pytest.approx(most, abs=0.01)


def test_shoulders_read_one_by_one_are_three_readings() -> None:
    """31 + 2·6 of shoulders = 43 and 2 of covering, ± (3·0.5 + 0.2)."""
    spine = {"over_shoulders": None, "shoulder": 6.0, "girth_head": 44.0, "girth_tail": 44.0}
    record = changed("pay_book", book={"outside": None}, spine={**spine, "round_depth": 2.0})
    found = part(replace(record, text_block=replace(record.text_block, thickness=31.0)))
    assert found.quantities["thickness_mm"] == pytest.approx(43 + 2 + 1.7)


def test_boards_of_unknown_thickness_ask_for_it_or_for_the_outside() -> None:
    record = changed("pay_book", book={"outside": None}, cover={"board_thickness": None})
    with pytest.raises(RecordError, match=r"book\.outside or cover\.front\.board_thickness"):
        part(record)
    found = examine(record, STOCK, catalogue.templates())
    (choice,) = [one for one in found.choices if one.structure == NAME]
    assert choice.missing == ("book.outside or cover.front.board_thickness",)


# ---- when it is refused, and when it is offered


@pytest.mark.parametrize(
    ("tables", "words"),
    [
        ({"book": {"weight": 1.5}}, "a rigid box suits, which is not covered here"),
        ({"book": {"outside": (240.0, 160.0, 50.1)}}, "a rigid box suits"),
        ({"book": {"outside": (240.0, 39.0, 20.0)}}, "an envelope of folded paper suits"),
        ({"condition": {"active_pests": True}}, "isolated and treated before it is wrapped"),
    ],
)
def test_it_is_refused_with_what_suits(tables: dict[str, dict[str, object]], words: str) -> None:
    with pytest.raises(Unsuitable, match=words):
        part(changed("pay_book", **tables))


def test_a_book_too_thick_for_card_is_not_asked_for_its_bands_first() -> None:
    """32 of block, two boards of 8.5, 2 of covering are 51: too thick, however far the bands stand out."""
    raised = {"supports": "raised", "support_height": None}
    book = changed(
        "signal_book", text_block={"thickness": 32.0, "thickness_fore_edge": 32.0}, sewing=raised
    )
    with pytest.raises(RecordError, match=r"book\.outside or sewing\.support_height"):
        part(book)
    cover = replace(book.cover, board_thickness=8.5, thickness=1.0)
    with pytest.raises(Unsuitable, match="a rigid box suits"):
        part(replace(book, cover=cover))
    found = examine(replace(book, cover=cover), STOCK, catalogue.templates())
    assert NAME not in [one.structure for one in found.choices]


def test_up_to_its_limits_it_is_drafted() -> None:
    part(changed("pay_book", book={"weight": 1.49, "outside": (240.0, 40.0, 50.0)}))


def offered(record: Record) -> list[str]:
    return [one.structure for one in examine(record, STOCK, catalogue.templates()).choices]


def test_it_is_offered_beside_doing_nothing_where_tying_or_boxing_is() -> None:
    """Brittle paper: after doing nothing and before all mending; parted joints: last but one."""
    assert offered(demo("pay_book"))[:2] == ["nothing", NAME]
    parted = offered(replace(demo("signal_book"), unions=joint("sewn", "failed")))
    assert parted[-2:] == [NAME, "nothing"]
    assert len(parted) > 2


def test_it_is_offered_where_nothing_else_answers() -> None:
    """A swollen fore edge of no album is answered by no other structure."""
    record = changed("signal_book", text_block={"thickness_fore_edge": 30.0})
    assert offered(replace(record, unions=()))[:2] == ["nothing", NAME]


def test_it_is_not_offered_for_a_sound_book_nor_one_to_be_isolated() -> None:
    """Nothing to mend; pests; active mould."""
    sound_book = replace(demo("signal_book"), unions=())
    assert NAME not in offered(sound_book)
    for condition in (ConditionTable(active_pests=True), MOULDY):
        assert NAME not in offered(replace(demo("pay_book"), condition=condition))


MOULDY = ConditionTable(mould="active")


def test_nothing_of_it_reaches_the_book() -> None:
    """No step wets, heats, cuts or covers anything of it; no zone is pasted to it."""
    found: Drafted = drafted("pay_book", NAME)
    assert not any(any(step.traits) for step in found.pattern.parts[0].steps)
    pasted = [
        zone.to
        for piece in found.pattern.parts[0].pieces
        for zone in piece.zones
        if zone.kind == "pasted"
    ]
    assert all(to.startswith("base of the") for to in pasted)


def test_a_record_of_the_outside_alone_is_enough_to_know_the_sizes() -> None:
    """The three lengths need neither boards nor block."""
    from patterns.book.book import Book

    bare = Record(
        book=BookTable(id="b", outside=(200.0, 150.0, 20.0)), cover=CoverTable(kind="case")
    )
    assert Book.of(bare, STOCK).outside.greatest_mm == (200.0, 150.0, 20.0)


def test_a_strip_measured_off_is_measured_from_the_edge_that_it_names() -> None:
    """Running dimensions begin at the datum: the head of the upright strip, the left edge of the level one."""
    found = drafted(of_size(330.0, 250.0, 40.0), NAME)
    for one in found.pattern.parts[0].pieces:
        if not ruler.plain(one):
            continue
        drawn = ruler.ruled(one)
        left, top, _, _ = drawn.bounds
        running = [d for d in drawn.dimensions if d.side in ("tail", "right")]
        upright = {abs(fold.line[0][0] - fold.line[1][0]) < 0.05 for fold in one.folds}
        said = ruler.how(one)
        assert ("left edge (the datum)" in said) == (upright == {True})
        assert ("from the HEAD (the datum)" in said) == (upright == {False})
        for each in running:
            start = each.start[0] - left if upright == {True} else each.start[1] - top
            assert start == pytest.approx(0.0)
        break
    else:
        pytest.fail("no strip of it is plain")
