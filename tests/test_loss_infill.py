"""loss_infill: areas by geometry, mirroring, the leaf's edges, islands, the scale bar, what is said."""

from __future__ import annotations

import math
from itertools import combinations
from pathlib import Path

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from patterns.errors import MendfoldError, SettingError
from patterns.model.drawing import Words
from patterns.model.part import Part
from patterns.model.piece import Piece
from patterns.record.record import Record
from patterns.sketch.marks import words_corners
from patterns.structures.shared.infill_view import leaf_map
from patterns.traced import outlines
from patterns.traced.losses import Infill
from tests.books import changed, drafted

WIDE, HIGH = 285.0, 355.0
INNER = "100,100 140,100 140,130 100,130"
CORNER = "250,355 250,320 285,320 285,355"
AT_SPINE = "0,100 20,100 20,140 0,140"


def infill(outline: str, book: Record | str = "atlas", **settings: object) -> Part:
    """Draft the infill of an outline."""
    return drafted(book, "loss_infill", outline=outline, **settings).pattern.parts[0]


def shape(piece: Piece) -> shapely.Polygon:
    """Return a piece with its openings as a polygon."""
    return shapely.Polygon(piece.outline, piece.openings)


def drawing(tmp_path: Path, inside: str) -> str:
    """Write an SVG of 300 × 400 mm and return its name."""
    file = tmp_path / "leaf 12, recto.svg"
    head = '<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="400mm" viewBox="0 0 300 400">'
    file.write_text(f"{head}{inside}</svg>", encoding="utf-8")
    return str(file)


def test_a_loss_inside_grows_by_the_overlap_all_round() -> None:
    """Area of a box grown by o: w·h + 2o(w + h) + π·o² (Steiner's formula)."""
    for overlap in (0.5, 2.5, 6.0):
        piece = infill(INNER, overlap=overlap).pieces[0]
        wanted = 40 * 30 + 2 * overlap * 70 + math.pi * overlap**2
        assert shape(piece).area == pytest.approx(wanted, abs=0.05 + 0.01 * overlap**2)
        assert piece.width_mm == pytest.approx(40 + 2 * overlap, abs=0.02)
        assert piece.height_mm == pytest.approx(30 + 2 * overlap, abs=0.02)
        assert not piece.rough


def test_the_paste_covers_the_overlap_and_nothing_else() -> None:
    """Pasted parts are the grown shape less the loss; the loss itself stays free."""
    piece = infill(INNER).pieces[0]
    pasted = shapely.union_all(
        [shapely.Polygon(z.outline) for z in piece.zones if z.kind == "pasted"]
    )
    assert pasted.area == pytest.approx(shape(piece).area - 1200, abs=0.1)
    assert {z.face for z in piece.zones if z.kind == "pasted"} == {"under"}


def test_the_other_face_is_the_mirror_image() -> None:
    """Traced from the recto: drawn for the recto as traced, for the verso turned side to side."""
    crooked = "100,100 140,104 131,150 118,122 104,139"
    recto, verso = (infill(crooked, face=face).pieces[0] for face in ("recto", "verso"))
    turned = shapely.affinity.scale(shape(recto), -1, 1, origin=(recto.width_mm / 2, 0))
    assert turned.symmetric_difference(shape(verso)).area < 0.05
    assert shape(recto).symmetric_difference(shape(verso)).area > 50
    again = infill(crooked, face="verso", traced="verso").pieces[0]
    assert shape(again).symmetric_difference(shape(recto)).area < 0.05
    assert (recto.left, recto.right) == ("spine", "fore edge")
    assert (verso.left, verso.right) == ("fore edge", "spine")


def test_right_to_left_books_have_their_spine_on_the_other_side() -> None:
    """The recto of a right-to-left book has its spine at the right."""
    book = changed("atlas", book={"reading": "right-to-left"})
    assert infill(INNER, book, face="recto").pieces[0].right == "spine"
    assert "85.0 mm from the spine" not in infill(INNER, face="recto").pieces[0].notes[1]
    assert (
        f"{tenth(WIDE - 140)} mm from the spine"
        in infill(INNER, book, face="recto").pieces[0].notes[1]
    )


def tenth(value: float) -> str:
    """Write as the sheets do."""
    return f"{value:.1f}"


def test_a_lost_corner_ends_at_the_leafs_edges_and_is_trimmed_last() -> None:
    """Nominal: 35 × 35 plus the overlap on two sides; rough: 3 mm over tail and fore edge."""
    piece = infill(CORNER, face="recto").pieces[0]
    wanted = 35 * 35 + 2.5 * 70 + math.pi * 2.5**2 / 4
    assert shape(piece).area == pytest.approx(wanted, abs=0.1)
    left, top, right, bottom = piece.bounds
    rough = shapely.Polygon(piece.rough).bounds
    assert rough == pytest.approx((left, top, right + 3, bottom + 3), abs=0.03)


def test_nothing_stands_out_at_the_spine() -> None:
    """At the spine edge the infill ends with the leaf and is not cut larger."""
    for face in ("recto", "verso"):
        piece = infill(AT_SPINE, face=face).pieces[0]
        assert piece.width_mm == pytest.approx(22.5, abs=0.02)
        assert not piece.rough
        assert "0.0 mm from the spine edge" in piece.notes[1]


def test_the_overlap_alone_may_reach_the_edge() -> None:
    """A loss 1 mm inside the fore edge: the overlap ends at the edge."""
    piece = infill("270,100 284,100 284,120 270,120", face="recto").pieces[0]
    assert piece.width_mm == pytest.approx(14 + 2.5 + 1, abs=0.02)
    assert piece.rough


def test_an_island_is_kept_and_overlapped() -> None:
    """Island of 30 × 30 in a loss: the opening is 25 × 25; one of 4 × 4 is covered, and it is said."""
    ring = "100,100 180,100 180,180 100,180"
    part = infill(f"{ring} / 120,120 150,120 150,150 120,150")
    assert shapely.Polygon(part.pieces[0].openings[0]).area == pytest.approx(25 * 25, abs=0.2)
    small = infill(f"{ring} / 120,120 124,120 124,124 120,124")
    assert small.pieces[0].openings == ()
    assert any("too narrow for an opening" in line for line in small.warnings)


def test_several_losses_and_near_ones() -> None:
    """Far ones are filled one by one; 3 mm apart their overlaps meet and one infill fills both."""
    far = infill(f"{INNER}; {CORNER}")
    assert [piece.name for piece in far.pieces] == ["infill 1", "infill 2"]
    near = infill("100,100 120,100 120,120 100,120; 123,100 140,100 140,120 123,120")
    assert [piece.name for piece in near.pieces] == ["infill 1 + 2"]
    assert any("one infill fills them" in line for line in near.warnings)


def test_many_losses_that_one_infill_fills_are_told_as_a_run() -> None:
    """Eleven of 5 mm in a row, 3 mm apart, are 1–11."""
    row = [8 * n + 10 for n in range(11)]
    part = infill("; ".join(f"{x},100 {x + 5},100 {x + 5},105 {x},105" for x in row))
    assert [piece.name for piece in part.pieces] == ["infill 1–11"]


def test_names_beside_the_leaf_are_wrapped_and_stand_apart() -> None:
    """Twenty odd numbers fill more than one line; no line ends off the drawing or on another."""
    box = shapely.box(10, 10, 30, 30)
    told = (tuple(range(1, 40, 2)), (2,), (4,))
    diagram = leaf_map(
        "loss_infill", [Infill(n, box, box, None) for n in told], None, "recto", True
    )
    words = [m for m in diagram.marks if isinstance(m, Words) and m.at[0] > 110]
    assert len(words) > 3
    rings = [shapely.Polygon(words_corners(one)) for one in words]
    assert max(ring.bounds[2] for ring in rings) <= diagram.width_mm
    assert max(ring.bounds[3] for ring in rings) <= diagram.height_mm
    assert not any(a.intersects(b) for a, b in combinations(rings, 2))


@pytest.mark.parametrize(
    ("outline", "words"),
    [
        ("100,100 120,120 120,100 100,120", "crosses or touches itself near 110.0,110.0"),
        ("100,100 140,100 140,130 100,130; 130,110 160,110 160,120 130,120", "overlap or touch"),
        (
            "100,100 140,100 140,130 100,130 / 160,100 160.2,100 160.2,100.5",
            "slivers",
        ),
    ],
)
def test_what_is_repaired_is_reported(outline: str, words: str) -> None:
    """Crossings, doubled outlines and slivers are put right, and the sheet says so."""
    assert any(words in line for line in infill(outline).warnings), infill(outline).warnings


BAR = '<line id="scale" x1="10" y1="390" x2="{end}" y2="390"/>'
LOSS = '<path d="M100 100h40v30h-40z"/>'


def test_a_tracing_at_true_size_passes_and_a_scaled_one_is_refused(tmp_path: Path) -> None:
    """A bar of 50: 50.2 passes (0.4 %), 49.0 (2 % small) is refused, none at all is refused."""
    part = infill(drawing(tmp_path, BAR.format(end=60.2) + LOSS))
    assert part.quantities["scale_bar_mm"] == pytest.approx(50.2)
    with pytest.raises(SettingError, match=r"reads 49\.00 mm and should read 50\.00"):
        infill(drawing(tmp_path, BAR.format(end=59) + LOSS))
    with pytest.raises(SettingError, match="has no scale bar"):
        infill(drawing(tmp_path, LOSS))
    assert any("not checked" in w for w in infill(drawing(tmp_path, LOSS), scale_bar=0).warnings)


def test_a_large_loss_asks_for_a_truer_bar(tmp_path: Path) -> None:
    """0.4 % over 200 mm is 0.8 mm, more than half a millimetre."""
    large = '<path d="M20 100h200v100h-200z"/>'
    with pytest.raises(SettingError, match=r"out by 0\.8 mm"):
        infill(drawing(tmp_path, BAR.format(end=60.2) + large))


def test_a_traced_leaf_places_the_loss(tmp_path: Path) -> None:
    """The leaf drawn 5 mm from the page's corner: the loss is cut at its edge all the same."""
    leaf = f'<rect id="leaf" x="5" y="5" width="{WIDE}" height="{HIGH}"/>'
    bar = BAR.format(end=60)
    edge = '<path d="M255 325h50v50h-50z"/>'
    part = infill(drawing(tmp_path, bar + leaf + edge), face="recto")
    same = infill(CORNER, face="recto")
    assert shape(part.pieces[0]).symmetric_difference(shape(same.pieces[0])).area < 0.05
    small = leaf.replace(f"{WIDE}", "200")
    lines = infill(drawing(tmp_path, bar + small + LOSS)).warnings
    assert any("the record says 285.0" in line for line in lines)
    assert any(
        "overlap goes all round" in w for w in infill(drawing(tmp_path, bar + LOSS)).warnings
    )


def test_a_pattern_keeps_the_outline_and_needs_no_file(tmp_path: Path) -> None:
    """Drafted again from its own parameters, with the file gone, everything is the same."""
    name = drawing(tmp_path, BAR.format(end=60) + '<circle cx="90" cy="90" r="12.345"/>')
    first = drafted("atlas", "loss_infill", outline=name)
    Path(name).unlink()
    held = str(first.parameters["loss_infill"]["outline"])
    assert str(tmp_path) not in held
    assert drafted("atlas", "loss_infill", outline=held).pattern == first.pattern


def test_boards_have_a_wider_overlap_and_other_faces() -> None:
    """Overlap 6; the front board's recto is its outer face, the back board's its inner one."""
    corner = "240,373 240,340 286,340 286,373"
    front = infill(corner, of="front board", face="recto")
    assert front.pieces[0].width_mm == pytest.approx(46 + 6, abs=0.02)
    assert front.quantities["face_words"] == "outer face"
    assert infill(corner, of="back board", face="recto").quantities["face_words"] == "inner face"
    assert front.pieces[0].material.startswith("grey board")
    with pytest.raises(SettingError, match="board_width"):
        infill(corner, changed("chart_book"), of="front board")


@pytest.mark.parametrize(
    ("grain", "wanted"),
    [
        ("head-tail", "head-tail"),
        ("spine-fore edge", "spine-fore edge"),
        ("none", "any"),
        (None, "head-tail"),
    ],
)
def test_grain_is_turned_to_the_leaf(grain: str | None, wanted: str) -> None:
    """The infill's grain is the leaf's; an unknown one is assumed and said."""
    part = infill(INNER, changed("atlas", text_block={"grain": grain}))
    assert part.pieces[0].grain == wanted
    assert any("grain is not recorded" in line for line in part.warnings) == (grain is None)


def test_doubts_say_what_would_suit() -> None:
    """Too thick a paper, too great a loss, parchment, brittle paper."""
    assert any(
        "weaker than what it mends" in w for w in infill(INNER, paper_thickness=0.4).warnings
    )
    most = infill("50,50 240,50 240,300 50,300")
    assert any("sleeve or box" in line for line in most.warnings)
    hard = changed("atlas", condition={"parchment": ("leaves",), "paper": "brittle"})
    cover = changed("atlas", condition={"parchment": ("cover",)})
    assert not any("parchment" in line for line in infill(INNER, cover).warnings)
    assert (
        sum(
            "ask a conservator" in w or "sleeve or a box" in w for w in infill(INNER, hard).warnings
        )
        == 2
    )


@pytest.mark.parametrize(
    ("outline", "error", "words"),
    [
        ("300,400 340,400 340,430", SettingError, "outside the leaf"),
        (f"0,0 {WIDE},0 {WIDE},{HIGH} 0,{HIGH}", SettingError, "whole leaf"),
        (
            " ".join(f"{50 + 37 * i * i % 101},{60 + 53 * i * i * i % 103}" for i in range(150)),
            SettingError,
            "cross more",
        ),
        ("10,10 10.1,10 10.1,10.1", SettingError, "nothing with an area"),
    ],
)
def test_refusals(outline: str, error: type[MendfoldError], words: str) -> None:
    """Losses that are no losses of this leaf."""
    with pytest.raises(error, match=words):
        infill(outline)


def test_without_an_outline_it_asks_for_one() -> None:
    """The one setting it cannot do without; how to type it is the command line's to say."""
    with pytest.raises(
        SettingError, match=r"^loss_infill\.outline: the traced loss is needed$"
    ) as no:
        drafted(changed("atlas"), "loss_infill")
    assert [problem.field for problem in no.value.problems] == ["loss_infill.outline"]


def test_a_fallen_in_spine_is_no_hindrance() -> None:
    """A leaf is flat whatever its spine is."""
    spine = {"profile": "concave", "round_depth": -2.0, "girth_head": 34.0, "girth_tail": 35.0}
    assert infill(INNER, changed("atlas", spine=spine)).pieces


places = st.tuples(st.integers(-200, 3200), st.integers(-200, 3900)).map(
    lambda p: (p[0] / 10, p[1] / 10)
)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.lists(places, min_size=3, max_size=7), min_size=1, max_size=5),
    st.sampled_from([0.5, 2.5, 6.0, 20.0]),
    st.sampled_from(["recto", "verso"]),
)
def test_drawn_losses_are_filled_within_the_leaf_or_refused(
    rings: list[list[tuple[float, float]]], overlap: float, face: str
) -> None:
    """Every infill covers its loss, lies within the leaf, has sound zones, and can be read."""
    text = "; ".join(" ".join(f"{x},{y}" for x, y in ring) for ring in rings)
    try:
        part = infill(text, overlap=overlap, face=face)
    except MendfoldError:
        return
    total = 0.0
    for piece in part.pieces:
        whole = shape(piece)
        assert whole.is_valid
        assert piece.width_mm <= WIDE + 0.02
        assert piece.height_mm <= HIGH + 0.02
        zones = [shapely.Polygon(z.outline) for z in piece.zones if z.face == "under"]
        assert all(zone.is_valid for zone in zones)
        assert shapely.union_all(zones).area == pytest.approx(whole.area, rel=0.01, abs=0.5)
        if piece.rough:
            assert shapely.Polygon(piece.rough).buffer(0.02).covers(shapely.Polygon(piece.outline))
        total += whole.area
    assert total == pytest.approx(float(part.quantities["infill_area_mm2"]), rel=1e-3)
    for diagram in part.diagrams:
        assert diagram.width_mm <= 176
        assert diagram.height_mm <= 205
        boxes = [shapely.Polygon(words_corners(m)) for m in diagram.marks if isinstance(m, Words)]
        pairs = shapely.STRtree(boxes).query(boxes, predicate="intersects").T
        assert all(a == b for a, b in pairs)


@pytest.mark.parametrize(
    ("leaf", "paper"),
    [
        (0.20, "cartridge paper"),
        (0.175, "endpaper stock"),
        (0.12, "long-fibred tissue 35 g/m²"),
        (0.10, "long-fibred tissue 25 g/m²"),
        (0.03, "long-fibred tissue 11 g/m²"),
    ],
)
def test_a_leaf_is_filled_with_the_stock_nearest_below_it(leaf: float, paper: str) -> None:
    """Library: tissues 0.04, 0.055, 0.08, 0.11, papers 0.102, 0.15, 0.17, 0.18; kraft is not taken."""
    book = changed("atlas", text_block={"leaf_thickness": leaf})
    found = infill(INNER, book)
    assert found.pieces[0].material == paper
    assert any("thicker than the leaf" in line for line in found.warnings) is (leaf < 0.04)


def test_a_leaf_of_unknown_thickness_is_filled_with_the_default() -> None:
    """Nothing to go by: the default of the template; a tissue may be named, a cloth may not."""
    book = changed("atlas", text_block={"leaf_thickness": None})
    assert infill(INNER, book).pieces[0].material == "text paper 75 g/m²"
    tissue = infill(INNER, book, paper="long-fibred tissue 25 g/m²")
    assert tissue.pieces[0].material == "long-fibred tissue 25 g/m²"
    with pytest.raises(MendfoldError, match="a paper or a tissue is wanted"):
        infill(INNER, book, paper="thin cotton cloth")


def test_a_default_chosen_by_the_leaf_is_chosen_anew_on_another_book() -> None:
    """A kept pattern holds it as worked out, not as set; one that was named stays."""
    from patterns.drafting.again import settings_of
    from patterns.drafting.document import document

    own = document(drafted("atlas", "loss_infill", outline=INNER), ())
    assert "loss_infill.paper" not in settings_of(own)[0]
    named = document(drafted("atlas", "loss_infill", outline=INNER, paper="endpaper stock"), ())
    assert settings_of(named)[0]["loss_infill.paper"] == "endpaper stock"


def test_an_outline_behind_a_pipe_is_refused_at_once(tmp_path: Path) -> None:
    """A pipe that nobody writes to would keep the draft waiting for ever."""
    import os

    pipe = tmp_path / "loss.svg"
    os.mkfifo(pipe)
    with pytest.raises(SettingError, match="is a pipe or a device"):
        infill(str(pipe))


TRUE_BAR = '<line id="scale" x1="10" y1="390" x2="60" y2="390"/>'


@pytest.mark.parametrize(
    ("inside", "words"),
    [
        (
            f'{TRUE_BAR}<path d="M0 0H290V9z"/>',
            "loss 1 is 290.0 × 9.0 mm and the leaf 285.0 × 355.0",
        ),
        (
            f'{TRUE_BAR}<path d="M0 0H9V358z"/>',
            "loss 1 is 9.0 × 358.0 mm and the leaf 285.0 × 355.0",
        ),
        (
            f'{TRUE_BAR}<g transform="scale(100)"><path d="M1 1L51 1L51 51z"/></g>',
            "loss 1 is 5000.0 × 5000.0 mm and the leaf 285.0 × 355.0: trace it upright and at 1:1",
        ),
        (
            f'{TRUE_BAR}<rect id="leaf" width="2850" height="3550"/><path d="M9 9H90V99z"/>',
            "the traced leaf is 2850.0 × 3550.0 mm and the record says 285.0 × 355.0",
        ),
    ],
)
def test_what_no_leaf_of_the_book_can_hold_is_refused(
    inside: str, words: str, tmp_path: Path
) -> None:
    """A scaled group beside a bar that is not: five metres were laid out on six hundred sheets."""
    with pytest.raises(SettingError) as refused:
        infill(drawing(tmp_path, inside))
    assert words in str(refused.value)


def test_a_loss_as_large_as_the_leaf_allows_is_filled(tmp_path: Path) -> None:
    """A strip along the whole fore edge, traced a little long."""
    assert infill(drawing(tmp_path, f'{TRUE_BAR}<path d="M0 0H9V356H0z"/>')).pieces


@pytest.mark.parametrize(
    "scale", ["nan", "inf", "-50", "5_0", "1e400", "٥٠", "0,0 50,0 9,9", "50.0 mm"]
)
def test_a_scale_that_is_no_length_is_refused_with_its_field(scale: str) -> None:
    """As the command and the page take it in: the setting is named first."""
    with pytest.raises(SettingError) as refused:
        outlines.setting(f"scale {scale}; {INNER}", "loss_infill.outline")
    assert str(refused.value).startswith("loss_infill.outline: ")
    assert "is no length" in str(refused.value)
    assert [one.field for one in refused.value.problems] == ["loss_infill.outline"]


@pytest.mark.parametrize("wide", [2, 6, 12, 30, 120])
@pytest.mark.parametrize("high", [2, 6, 12, 30, 120])
def test_the_names_of_the_edges_stand_apart(wide: int, high: int, tmp_path: Path) -> None:
    """A small loss drawn large or alone: HEAD was written upon the upright “fore edge”."""
    inside = f'{TRUE_BAR}<path d="M50 50h{wide}v{high}h-{wide}z"/>'
    (drawn, _) = infill(drawing(tmp_path, inside)).diagrams
    said = [mark for mark in drawn.marks if isinstance(mark, Words)]
    boxes = [shapely.Polygon(words_corners(one)) for one in said]
    for one, other in combinations(boxes, 2):
        assert one.intersection(other).area < 1e-6
    page = shapely.box(-0.5, 0, drawn.width_mm, drawn.height_mm + 1e-6)  # the reach above capitals
    assert all(page.covers(one) for one in boxes)
