"""tissue_hinge: cloth and tissues by a worked example; nothing pasted to the folds or the cover's spine."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import cos, dist, pi, radians, sin

import numpy as np
import pytest
from shapely import Polygon, box, transform, union_all

from patterns.drafting.order import Drafted
from patterns.errors import SettingError, Unsuitable
from patterns.formulas.hinges import Tissue
from patterns.model.part import Part
from patterns.model.piece import Piece, Zone
from patterns.record.record import Record
from patterns.structures.shared import hinge_view
from tests.books import changed, demo, drafted
from tests.test_combinations import layer
from tests.test_ladder import sound


def part(record: Record | str, *others: str, **settings: object) -> Part:
    found = whole(record, *others, **settings)
    return next(one for one in found.pattern.parts if one.structure == "tissue_hinge")


def whole(record: Record | str, *others: str, **settings: object) -> Drafted:
    found = drafted(record, "tissue_hinge", *others, **settings)
    sound(found)
    return found


def piece(found: Part, name: str) -> Piece:
    return next(one for one in found.pieces if one.name == name)


def shape(zone: Zone) -> Polygon:
    return Polygon(zone.outline)


def zones(one: Piece, kind: str, face: str = "") -> list[Zone]:
    return [zone for zone in one.zones if zone.kind == kind and zone.face in (face or zone.face)]


def test_worked_example() -> None:
    """Almanac: s 11, cloth 11 × 154, tissue 116.5, stub 154, side 168, overlap 10."""
    found = part("almanac")
    given = found.quantities
    cloth = piece(found, "lining cloth")
    assert cloth.width_mm == pytest.approx(11.0)
    assert cloth.height_mm == pytest.approx(154.0)
    for side in ("front", "back"):
        assert given[f"stub_{side}_mm"] == pytest.approx(11.0)
        assert given[f"stub_{side}_height_mm"] == pytest.approx(154.0)
        assert given[f"side_{side}_height_mm"] == pytest.approx(168.0)
        assert piece(found, f"tissue, {side}").width_mm == pytest.approx(116.5)
        assert piece(found, f"tissue, {side}").height_mm == pytest.approx(168.0)
        assert given["bond_from_mm"] == 5.0
        assert given[f"bond_to_{side}_mm"] == pytest.approx(105.0)
    assert given["stub_overlap_mm"] == pytest.approx(10.0)
    assert given["growth_wide_mm"] == pytest.approx(0.35, abs=0.005)
    assert given["growth_high_mm"] == pytest.approx(2.5, abs=0.05)
    turned_in = part(
        changed("almanac", cover={"turn_in": 22.0})
    )  # the side is then lower than the stub
    assert turned_in.quantities["growth_high_mm"] == pytest.approx(0.015 * 154, abs=0.05)


def test_zones_of_the_worked_example() -> None:
    """Stub bonded −11 … −1.5, free −1.5 … 5, side bonded 5 … 105; 0.5 of slack in the free strip."""
    front = piece(part("almanac"), "tissue, front")
    joint, slack = 11.0, 0.5
    spans = {
        zone.to: [x - joint for x in shape(zone).bounds[::2]] for zone in zones(front, "pasted", "up")
    }  # fmt: skip
    assert spans["cloth"] == pytest.approx([-11.0, -1.5])
    assert spans["inside of the front side of the cover"] == pytest.approx([5 + slack, 105 + slack])
    (free,) = zones(front, "free", "up")
    assert [x - joint for x in shape(free).bounds[::2]] == pytest.approx([-1.5, 5 + slack])


BOOKS = {
    "almanac": ("almanac", (), {}),
    "wide stub ends": ("almanac", (), {"stub_end": 3}),
    "charts, widened": ("chart_book", ("cover_widening",), {}),
}


@pytest.fixture(params=list(BOOKS))
def hinged(request: pytest.FixtureRequest) -> tuple[Record, Part]:
    name, others, settings = BOOKS[request.param]
    return demo(name), part(name, *others, **settings)


def test_nothing_is_pasted_to_folds_or_to_the_spine_of_the_cover(
    hinged: tuple[Record, Part],
) -> None:
    """No bond to the sides lies over the spine; every bond over it has a partner in the laminate.

    Seen from the folds the back stub's inner face comes first, then what it leaves of the front
    stub's and the cloth's: no pasted zone may look at the folds there. Seen from the cover the
    cloth's outer face comes first.
    """
    _, found = hinged
    members = {"cloth": "lining cloth", "front stub": "tissue, front", "back stub": "tissue, back"}
    for side in ("front", "back"):
        tissue = piece(found, f"tissue, {side}")
        joint = tissue.references[0][0][0]
        spine = box(0, -1, joint, 999) if side == "front" else box(joint, -1, 999, 999)
        for zone in zones(tissue, "pasted"):
            over_spine = shape(zone).intersection(spine).area
            if zone.to in members:
                assert over_spine == pytest.approx(shape(zone).area)
            else:
                assert over_spine == 0
                assert zone.to == f"inside of the {side} side of the cover"
                assert zone.face == "up"
    assert zones(piece(found, "tissue, back"), "pasted", "under") == []
    assert [z.to for z in zones(piece(found, "tissue, front"), "pasted", "under")] == ["back stub"]
    cloth = piece(found, "lining cloth")
    assert zones(cloth, "pasted", "up") == []
    assert {z.to for z in zones(cloth, "pasted", "under")} <= {"front stub", "back stub"}


def test_every_bond_of_the_laminate_lies_on_its_partner() -> None:
    """Laid on the spine (x from its middle, front to the right), a bond never misses its partner."""
    for settings in ({}, {"stub_end": 3}, {"stub_end": 4, "keep": 0.5}, {"keep": 3}):
        found = part("almanac", **settings)
        half, setback = 6.0, 8.0
        cloth, front, back = (
            piece(found, name) for name in ("lining cloth", "tissue, front", "tissue, back")
        )
        places = {
            "cloth": (cloth, -cloth.width_mm / 2, setback),
            "front stub": (front, half - front.references[0][0][0], -1 + 2),
            "back stub": (back, -half - back.references[0][0][0], -1 + 2),
        }

        def laid(
            outline: object, name: str, places: dict[str, tuple[Piece, float, float]] = places
        ) -> Polygon:
            _, dx, dy = places[name]
            return transform(Polygon(outline), lambda xy: np.add(xy, (dx, dy)))  # type: ignore[arg-type]

        bonds = {
            (own, zone.to): laid(zone.outline, own)
            for own, (one, _, _) in places.items()
            for zone in zones(one, "pasted")
            if zone.to in places
        }
        assert ("front stub", "cloth") in bonds
        for (own, to), bond in bonds.items():
            assert laid(places[to][0].outline, to).buffer(1e-6).covers(bond), (settings, own, to)
            free = [laid(z.outline, to) for z in zones(places[to][0], "free", "under")]
            if to == "cloth":
                assert union_all(free).intersection(bond).area == 0
        alone = [to for own, to in bonds if own == "back stub"]
        wants_cloth = float(found.quantities["stub_overlap_mm"]) and settings.get(
            "stub_end", 1
        ) > settings.get("keep", 1.5)
        assert alone == (["front stub", "cloth"] if wants_cloth else ["front stub"])


def test_the_tissues_are_mirror_images_and_their_steps_are_rounded() -> None:
    """Flat spine: the back is the front turned over; each step has an arc of 3 mm."""
    found = part("almanac")
    front, back = piece(found, "tissue, front"), piece(found, "tissue, back")
    mirrored = transform(Polygon(front.outline), lambda xy: [116.5, 0.0] + xy * [-1.0, 1.0])
    assert mirrored.symmetric_difference(Polygon(back.outline)).area == pytest.approx(0, abs=1e-6)
    area = 11 * 154 + 105.5 * 168 + 2 * (1 - pi / 4) * 3**2
    assert Polygon(front.outline).area == pytest.approx(area, abs=0.02)
    assert any("168.0 mm), the back one the other way round" in step.text for step in found.steps)


@pytest.mark.parametrize(("side_top", "side_bottom"), [(-5.0, 105.0), (3.0, 97.0), (0.0, 100.0)])
def test_steps_either_way(side_top: float, side_bottom: float) -> None:
    """A side lower than its stub has its arcs on the side; level heights have no step."""
    flat = Tissue(20, 20, 0, 100, 50, side_top, side_bottom, 1.5, 5)
    steps = sum(min(3, abs(d)) ** 2 for d in (side_top, side_bottom - 100))
    area = 20 * 100 + 50 * (side_bottom - side_top) + (1 - pi / 4) * steps
    assert flat.outline().area == pytest.approx(area, abs=0.02)
    assert flat.outline().is_valid


def test_grain_crosses_the_joint_with_its_reason_and_the_opposite_rule() -> None:
    """Both are printed beside each other, on the tissue and in the step."""
    drafts = whole("almanac")
    tissue = piece(drafts.pattern.parts[0], "tissue, front")
    assert tissue.grain == "spine-fore edge"
    for words in (tissue.grain_reason, " ".join(step.text for step in drafts.pattern.steps)):
        assert "tears along the fold" in words
        assert "opposite, head to tail (Roberts & Etherington)" in words


def test_the_free_strip_spans_the_joint_at_every_opening() -> None:
    """From the last bond on the spine to the first on the side, over the whole turn to 180°.

    The side turns about the joint edge; the straight way is never longer than the free tissue,
    and laid flat at 180° past the spine's edge there is the slack of 0.5 left.
    """
    found = part("almanac")
    front = piece(found, "tissue, front")
    joint = front.references[0][0][0]
    last, first = (x - joint for x in shape(zones(front, "free", "up")[0]).bounds[::2])
    bond = float(found.quantities["bond_from_mm"])
    ways = [
        dist((0.0, last), (bond * cos(turn), bond * sin(turn)))
        for turn in (radians(opening) for opening in range(181))
    ]
    assert max(ways) <= first - last
    assert first - last - (bond - last) == pytest.approx(0.5)


def sewn_folds(found: Part) -> Iterator[float]:
    """Yield each sewn fold's distance from the nearer joint, for 12 gatherings on 12 mm."""
    assert found.sewing is not None
    for stitch in found.sewing.stitches:
        yield min(stitch.gathering - 0.5, 12.5 - stitch.gathering)


def test_every_stitch_passes_cloth_and_both_stubs() -> None:
    """Sewn folds lie a hem inside the stubs' ends; bars within the cloth's height."""
    found = part("almanac")
    assert found.sewing is not None
    assert min(sewn_folds(found)) >= 1.0 + 1.0
    for stitch in found.sewing.stitches:
        assert stitch.from_mm >= 8 + 5
        assert stitch.to_mm <= 170 - 8 - 5
    cloth = Polygon(piece(found, "lining cloth").outline)
    places = np.array([hole.at for hole in piece(found, "lining cloth").holes])
    assert len(places) == 2 * len(found.sewing.stitches)
    assert (cloth.bounds[0] + 1 <= places[:, 0]).all()


def test_stitches_keep_clear_of_the_old_holes() -> None:
    """5 mm from 15, 60, 110 and 155."""
    found = part("almanac")
    assert found.sewing is not None
    for y in found.sewing.stations_mm:
        assert min(abs(y - old) for old in (15, 60, 110, 155)) >= 5


def test_gatherings_outside_the_cloth_are_refused() -> None:
    """Asked for by number or pinned by hand."""
    with pytest.raises(SettingError, match="allowed are 3 to 10"):
        part("almanac", gatherings="1,5,9")
    with pytest.raises(SettingError, match="gathering 3 to 10"):
        part("almanac", fixed="1@40")


def test_a_cover_too_narrow_is_widened_first() -> None:
    """Refused alone, drafted beside cover_widening, which then lies on the laminate."""
    with pytest.raises(Unsuitable, match="cover_widening"):
        part("chart_book")
    waiting = whole("chart_book", "cover_widening")
    assert any("widening piece, expected" in line for line in waiting.warnings)
    read = changed("chart_book", spine={"girth_sewn_head": 49.0, "girth_sewn_tail": 49.5})
    found = whole(read, "cover_widening")
    hinge, widening = found.pattern.parts
    assert (hinge.structure, widening.structure) == ("tissue_hinge", "cover_widening")
    assert widening.quantities["lies_on_mm"] == pytest.approx(2 * 0.08 + 0.15)


TAPERED = changed(
    "almanac",
    text_block={"thickness": 22.6, "thickness_fore_edge": 22.6},
    spine={"girth_head": 22.4, "girth_tail": 22.8},
    cover={"spine_width": None, "spine_width_head": 22.5, "spine_width_tail": 23.0},
)
"""A flat spine, on which every layer is as wide as what it lies on."""


def test_each_end_of_the_cover_is_held_against_its_own_end() -> None:
    """22.5 round 22.4 at the head and 23.0 round 22.8 at the tail: 22.5 is less than 22.8, and both fit."""
    spare = {one.name: one.value for one in part(TAPERED).checks if "girth over" in one.name}
    over = "spine of the cover, as measured, less the girth over the laminate, at the "
    assert spare == {f"{over}head": pytest.approx(0.1), f"{over}tail": pytest.approx(0.2)}
    narrow = changed_of(TAPERED, spine_width_head=19.0, spine_width_tail=19.6)
    spare = {
        one.name: one.value for one in part(narrow, "cover_widening").checks if over in one.name
    }
    assert spare == {f"{over}head": pytest.approx(-3.4), f"{over}tail": pytest.approx(-3.2)}
    # Closed, the paper of 0.35 turns half a circle: 0.35 · π / 2 = 0.55 more; it stands 1 beyond the block.
    wanted = f"{22.4 - 0.4 / 170 + 0.55:.1f} .head. and {22.8 + 0.4 / 170 + 0.55:.1f} .tail."
    with pytest.raises(Unsuitable, match=f"19.0 .head. and 19.6 .tail. mm wide and needs {wanted}"):
        part(narrow)


def changed_of(record: Record, **fields: object) -> Record:
    """Return the record with some fields of its cover replaced."""
    return replace(record, cover=replace(record.cover, **fields))  # type: ignore[arg-type]


@pytest.mark.parametrize(("lack", "fits"), [(0.9, True), (1.1, False)])
def test_the_cover_must_go_round_the_bars_of_the_sewing_too(lack: float, fits: bool) -> None:
    """Chart book: chord 46, round 5, strips 47.4 and 48.0 on the bare spine, covering 1.2 thick.

    Beneath it two tissues of 0.08, cloth of 0.15 and the bars of a thread of 0.7. What it lacks then, and no
    less than 1 mm, is what the widening goes by as well: one of the two always serves.
    """
    turn = 4 * np.arctan2(10, 46)
    under = 2 * 0.08 + 0.15 + 0.7
    needs = [
        layer(47.4 + 0.6 * at / 260, turn, under, 1.2, 0.0) + (pi - turn) * 0.6 for at in (-3, 263)
    ]
    cover = {
        "spine_width": None,
        "spine_width_head": needs[0] - lack,
        "spine_width_tail": needs[1] - lack,
    }
    book = changed("chart_book", cover=cover)
    given = {"thread": "linen thread 35/3", "thread_thickness": 0.7}
    if fits:
        assert part(book, **given).pieces
        with pytest.raises(Unsuitable, match="is not narrower"):
            part(book, "cover_widening", **given)
    else:
        with pytest.raises(Unsuitable, match="widen the cover first"):
            part(book, **given)
        assert part(book, "cover_widening", **given).pieces


@pytest.mark.parametrize("stub_end", [3.0, 4.0])
def test_bonds_of_a_tapered_laminate_lie_side_by_side(stub_end: float) -> None:
    """Where the front stub ends, at either end of the spine, the back stub's own bond begins."""
    book = changed_of(TAPERED, spine_width_head=24.5, spine_width_tail=26.5)
    book = replace(book, spine=replace(book.spine, girth_head=21.6, girth_tail=23.6))
    found = part(book, stub_end=stub_end)
    cloth = {one.to: shape(one) for one in zones(piece(found, "lining cloth"), "pasted", "under")}
    assert cloth["front stub"].intersection(cloth["back stub"]).area == pytest.approx(0, abs=1e-9)
    back = {one.to: shape(one) for one in zones(piece(found, "tissue, back"), "pasted", "up")}
    assert back["cloth"].intersection(back["front stub"]).area == pytest.approx(0, abs=1e-9)
    for bond in (cloth["back stub"], back["cloth"]):
        high = bond.bounds[3] - bond.bounds[1]
        assert bond.area == pytest.approx((stub_end - 1.5) * high)


def test_turn_ins_of_the_cover_are_kept_clear() -> None:
    """Turn-ins of 14: the side ends 2 inside them, 266 − 2 · 16 high, 193 − 16 + 0.5 wide."""
    found = part("chart_book", "cover_widening")
    assert found.quantities["side_front_height_mm"] == pytest.approx(234.0)
    wide = found.quantities["tissue_front_width_mm"], found.quantities["stub_front_mm"]
    assert float(wide[0]) - float(wide[1]) == pytest.approx(177.5)


def test_tapered_spine() -> None:
    """Stub and cloth follow 12 at the head and 14 at the tail, taken at their own ends."""
    found = part(changed("almanac", spine={"girth_tail": 14.0}, cover={"spine_width": 14.5}))
    at_head, at_tail = (12 + 2 * y / 170 for y in (8, 162))
    assert found.quantities["stub_front_head_mm"] == pytest.approx(at_head - 1)
    assert found.quantities["stub_back_tail_mm"] == pytest.approx(at_tail - 1)
    cloth = piece(found, "lining cloth")
    assert cloth.width_mm == pytest.approx(at_tail - 1)
    assert found.quantities["stub_overlap_mm"] == pytest.approx(10, abs=0.3)


def test_right_to_left_books_turn_front_and_back() -> None:
    """The front tissue of one is the back tissue of the other."""
    record = demo("almanac")
    other = part(replace(record, book=replace(record.book, reading="right-to-left")))
    one = part(record)
    for side, twin in (("front", "back"), ("back", "front")):
        a, b = (
            Polygon(piece(one, f"tissue, {side}").outline),
            Polygon(piece(other, f"tissue, {twin}").outline),
        )
        assert a.symmetric_difference(b).area == pytest.approx(0, abs=1e-6)
    assert piece(other, "lining cloth").left == "FRONT"


def test_a_fallen_in_spine_has_shorter_layers_outwards() -> None:
    """Negative depth: the front stub, further out, is narrower than the back stub."""
    spine = {"profile": "concave", "round_depth": -2.0, "girth_head": 12.9, "girth_tail": 12.9}
    found = part(changed("almanac", spine=spine, cover={"spine_width": 13.0}))
    assert found.quantities["stub_front_mm"] < found.quantities["stub_back_mm"]  # type: ignore[operator]


@pytest.mark.parametrize(
    ("record", "words"),
    [
        (changed("almanac", cover={"kind": "case"}), "secondary_sewing"),
        (changed("almanac", sewing={"supports": "raised"}), "spine_lining"),
        (
            changed(
                "almanac",
                text_block={"thickness": 3.5},
                spine={"girth_head": 3.5, "girth_tail": 3.5},
            ),
            "too? thin|this thin",
        ),
        (changed("almanac", text_block={"tear_strength": 120.0}), "line the folds"),
    ],
)
def test_what_it_does_not_suit_is_refused_with_what_would(record: Record, words: str) -> None:
    """Boards, raised supports, hardly any spine, paper too weak."""
    with pytest.raises(Unsuitable, match=words):
        part(record)


def test_a_thin_spine_is_told_to_take_one_tissue() -> None:
    """Overlap 2s − a below 6: at a = 7.5 and s = 6.5 it is 5.5."""
    thin = changed(
        "almanac",
        text_block={"thickness": 7.5},
        spine={"girth_head": 7.5, "girth_tail": 7.5},
        cover={"spine_width": 8.0},
    )
    found = part(thin)
    assert found.quantities["stub_overlap_mm"] == pytest.approx(5.5)
    assert any("one tissue" in line for line in found.warnings)


@pytest.mark.parametrize(
    ("adhesive", "keys"),
    [
        ("dry-set acrylic film", {"heat"}),
        ("solvent-set acrylic film", {"ethanol"}),
        ("wheat starch paste", set()),
    ],
)
def test_the_adhesive_brings_its_own_steps_and_cautions(adhesive: str, keys: set[str]) -> None:
    """Heat, ethanol and water each have theirs; heat and ethanol never stand together."""
    steps = whole("almanac", adhesive=adhesive).pattern.steps
    told = {caution for step in steps for caution in step.cautions}
    assert told & {"heat", "ethanol", "ethanol_and_heat"} == keys


def test_it_does_not_go_with_pasted_linings() -> None:
    """Nothing is pasted to the folds, so no lining lies beneath."""
    with pytest.raises(Unsuitable, match="nothing is pasted to the folds"):
        part("almanac", "spine_lining")


def test_a_cone_is_cut_as_a_sector_and_stays_sound() -> None:
    """40 to 60 over 260 mm bows by more than 0.25: cloth and widening piece bend with it."""
    record = changed(
        "chart_book",
        spine={"girth_head": 40.0, "girth_tail": 60.0},
        text_block={"thickness": 38.0},
        cover={"spine_width": 30.0, "spine_width_head": 30.0, "spine_width_tail": 30.0},
    )
    for reading in ("left-to-right", "right-to-left"):
        book = replace(record, book=replace(record.book, reading=reading))
        assert len(piece(part(book, "cover_widening"), "lining cloth").outline) > 4


@pytest.mark.parametrize("girth", [8.0, 12.0, 31.0, 60.0, 120.0, 300.0])
def test_the_section_fits_a_page_and_stays_inside_itself(girth: float) -> None:
    """At most 176 wide, its scale stated, nothing drawn outside its own size."""
    found = hinge_view.across_the_spine("tissue_hinge", ("BACK", "FRONT"), girth, 1.0, 1.5, 5.0)
    assert found.width_mm <= 176
    assert "widths" in found.scale
    for mark in found.marks:
        for x, y in getattr(mark, "points", ()):
            assert -0.01 <= x <= found.width_mm
            assert -0.01 <= y <= found.height_mm


def test_tapered_stubs_are_told_in_the_section_by_their_mean() -> None:
    """Stubs 1 wider at the tail: each ends short of its far joint by the mean of both ends, not by the wider."""
    tapered = changed("almanac", spine={"girth_head": 11.5, "girth_tail": 12.5})
    found = part(tapered)
    layers = {layer.name: layer for layer in found.layers}
    for side in ("front", "back"):
        head, tail = (float(found.quantities[f"stub_{side}_{end}_mm"]) for end in ("head", "tail"))
        assert tail - head > 0.8
        stub = layers[f"{side} stub"]
        inner = min(abs(stub.left_mm), abs(stub.right_mm))
        assert inner == pytest.approx((head + tail) / 2 - 12.0 / 2)


@pytest.mark.parametrize(("head", "tail"), [(11.0, 13.0), (13.0, 11.0)])
def test_a_tapered_tissue_is_dimensioned_where_it_is_drawn(head: float, tail: float) -> None:
    """Every width is that of the outline at the end where its line stands, whichever end is the wider.

    The side is 168 high from 1 below the head of the block on, the stub 154 from 8 on; the side reaches 105.5.
    """
    girths = {"girth_head": head, "girth_tail": tail}
    found = part(changed("almanac", spine=girths, cover={"spine_width": 15.0}))
    for side in ("front", "back"):
        cut = piece(found, f"tissue, {side}")
        whole_at = {}
        for end, y in (("head", 7.0), ("tail", 161.0)):
            at = Polygon(cut.outline).intersection(box(-1, y - 0.01, 999, y + 0.01))
            whole_at[end] = at.bounds[2] - at.bounds[0]
        assert abs(whole_at["head"] - whole_at["tail"]) > 1.5
        for end, wide in whole_at.items():
            told = [abs(d.end[0] - d.start[0]) for d in cut.dimensions if d.side == end]
            for wanted in (wide, wide - 105.5):
                assert min(abs(wanted - mm) for mm in told) < 0.02
