"""A plan judged from its document alone: nothing overlaps, grain runs right, it can be cut so."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest
from shapely import affinity
from shapely.geometry import LineString, Polygon, box

from patterns.cutting import laying, stock, wanted
from patterns.cutting.plan import Plan, Wish
from patterns.cutting.stock import Stock
from patterns.cutting.wanted import StockPiece
from patterns.errors import MaterialError
from patterns.model.kept import KeptPattern, KeptPiece
from patterns.stock import materials
from tests.cutting import judging

GALLERY = Path(__file__).parents[1] / "gallery"
WAYS = ("through", "free")
KRAFT = Stock("sheet", "kraft", 700, 1000, count=20)


def piece(name: str, width: float, height: float, count: int = 1, **other: object) -> StockPiece:
    """Return a rectangle to cut, its grain head to tail."""
    outline = ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))
    made = StockPiece("book-structure", name, "kraft", "paper", outline, "y", count)
    return replace(made, **other)  # type: ignore[arg-type]


def planned(pieces: list[StockPiece], rows: list[Stock], **wish: object) -> Plan:
    """Return a plan of few tries."""
    asked = Wish(tries=20, **wish)  # type: ignore[arg-type]
    return laying.make(pieces, rows, asked, materials.built_in())


@pytest.fixture(scope="module")
def kept() -> list[tuple[str, KeptPattern]]:
    """The patterns of the gallery that comes with mendfold."""
    files = sorted(GALLERY.glob("*/r0001/pattern.json"))
    return [(file.parts[-3], KeptPattern.from_json(file.read_bytes())) for file in files]


@pytest.fixture(scope="module", params=WAYS)
def studio(request: pytest.FixtureRequest, kept: list[tuple[str, KeptPattern]]) -> Plan:
    """All of them on the stock of an invented studio, whose papers' grain runs either way."""
    pieces = wanted.wanted(kept)
    names = dict.fromkeys((one.material, one.kind) for one in pieces)
    rows = [
        Stock("roll", name, 1400, 20000)
        if kind == "cloth"
        else Stock("sheet", name, 700, 1000, "length" if number % 2 else "width", 100)
        for number, (name, kind) in enumerate(names)
    ]
    return planned(list(pieces), rows, cuts=request.param)


def told_apart(pattern: KeptPattern, piece: KeptPiece) -> str:
    """Return a piece's name, with its structure's where two structures have one so called."""
    names = Counter(one.name for one in pattern.pieces)
    return (
        f"{piece.name}, {piece.structures[-1].replace('_', ' ')}"
        if names[piece.name] > 1
        else piece.name
    )


def test_two_linings_of_one_pattern_have_names_of_their_own(studio: Plan) -> None:
    """The day book has a paper lining on its spine and a cloth lining of its casing in."""
    found = [
        (one["pattern"], one["name"]) for sheet in judging.sheets(studio) for one in sheet["pieces"]
    ]
    linings = {name for pattern, name in found if pattern.startswith("day_book")}
    assert {"lining, spine lining", "lining, casing in"} <= linings
    assert "lining" not in linings


def test_all_pieces_of_the_gallery_lie_inside_and_apart(
    studio: Plan, kept: list[tuple[str, KeptPattern]]
) -> None:
    """Every piece once, at least the gap from any other and the margin from every edge."""
    found = judging.sheets(studio)
    assert not studio.unplaced
    placed = sorted((one["pattern"], one["name"]) for sheet in found for one in sheet["pieces"])
    asked = sorted(
        (name, told_apart(pattern, one))
        for name, pattern in kept
        for one in pattern.pieces
        for _ in range(one.quantity)
        if one.stock
    )
    assert placed == asked
    for sheet in found:
        assert judging.least_distance(sheet) >= 2.0 - 0.02
        assert judging.least_margin(sheet) >= 5.0 - 0.02


def test_the_grain_of_every_piece_runs_as_that_of_its_stock(
    studio: Plan, kept: list[tuple[str, KeptPattern]]
) -> None:
    """Measured on the stock: a piece's head-to-tail size lies along the grain, or across it.

    Its area and its turning sense stay: it is turned, never mirrored.
    """
    known: dict[tuple[str, str], list[KeptPiece]] = {}
    for name, pattern in kept:
        for one in pattern.pieces:
            known.setdefault((name, told_apart(pattern, one)), []).append(one)
    for sheet in judging.sheets(studio):
        for placed, outline in zip(sheet["pieces"], judging.outlines(sheet), strict=True):
            alike = known[placed["pattern"], placed["name"]]
            rings = [(Polygon(each.cut_first_mm or each.outline_mm), each) for each in alike]
            ring, own = min(rings, key=lambda pair: abs(pair[0].area - outline.area))
            assert outline.area == pytest.approx(ring.area, abs=1.0)
            assert outline.exterior.is_ccw == ring.exterior.is_ccw
            left, top, right, bottom = outline.bounds
            x0, y0, x1, y1 = ring.bounds
            along = (y1 - y0) if "head-tail" in own.grain else (x1 - x0)
            lies = (bottom - top) if sheet["grain"] == "length" else (right - left)
            assert lies == pytest.approx(along, abs=0.02), placed["name"]


def test_area_is_neither_lost_nor_won(studio: Plan) -> None:
    """Pieces, offcuts and waste make up the stock; no offcut lies under a piece or another."""
    whole = pieces = offcuts = 0.0
    for sheet in judging.sheets(studio):
        found = [
            box(
                one["x_mm"],
                one["y_mm"],
                one["x_mm"] + one["width_mm"],
                one["y_mm"] + one["length_mm"],
            )
            for one in sheet["offcuts"]
        ]
        every = [*found, *(one.buffer(-0.02) for one in judging.outlines(sheet))]
        for number, one in enumerate(every):
            assert judging.whole(sheet).buffer(0.01).covers(one)
            assert all(one.intersection(other).area < 1e-6 for other in every[number + 1 :])
        whole += judging.whole(sheet).area
        pieces += sum(one.area for one in judging.outlines(sheet))
        offcuts += sum(one.area for one in found)
    assert studio.waste_share == pytest.approx((whole - pieces - offcuts) / whole, abs=1e-4)
    assert 0 <= studio.waste_share < 0.15


@pytest.mark.parametrize("gap", [0.0, 2.0])
@pytest.mark.parametrize("margin", [0.0, 5.0])
def test_a_through_plan_falls_apart_by_its_cuts(gap: float, margin: float) -> None:
    """An independent pair of shears: every cut runs right through one part, each piece is left."""
    pieces = [piece("a", 120.4, 300, 5), piece("b", 77, 140.05, 9), piece("c", 333.3, 60, 4),
              piece("d", 210, 297, 3, along=None), piece("e", 18.2, 260, 7, along="x")]  # fmt: skip
    made = planned(pieces, [KRAFT], gap=gap, margin=margin)
    assert sum(len(sheet.pieces) for sheet in made.sheets) == 28
    for sheet in judging.sheets(made):
        judging.falls_apart(sheet)


def test_every_through_plan_of_the_gallery_falls_apart(studio: Plan) -> None:
    """The same of real pieces, on rolls as well."""
    if studio.wish.cuts == "through":
        for sheet in judging.sheets(studio):
            judging.falls_apart(sheet)


def test_measures_lead_to_the_piece() -> None:
    """Worked by hand: one 100 × 200 in the corner of 700 × 1000, margin 5: four cuts, each told
    from the edge of the part in hand."""
    (sheet,) = planned([piece("one", 100, 200)], [KRAFT]).sheets
    told = [(cut.lengthwise, cut.measure, cut.part) for cut in sheet.cuts]
    assert told[:2] == [(True, 5.0, (700, 1000)), (False, 5.0, (695, 1000))]
    assert sorted((lengthwise, measure) for lengthwise, measure, _ in told[2:]) == [
        (False, 200.0),
        (True, 100.0),
    ]


def test_offcuts_are_used_first_and_what_is_left_is_kept() -> None:
    """An offcut that holds the piece is taken before a new sheet; what it leaves is listed."""
    offcut = Stock("sheet", "kraft", 210, 480, source="an earlier job")
    (sheet,) = planned([piece("one", 100, 200)], [KRAFT, offcut]).sheets
    assert sheet.stock == offcut
    assert max(one.width * one.length for one in sheet.offcuts) >= 200 * 270


def test_a_cloth_keeps_off_the_selvedge_and_a_torn_tissue_off_its_neighbour() -> None:
    """10 mm each, where 5 and 2 are enough for a paper (practice)."""
    cloth = [piece("cloth", 300, 200, 4, kind="cloth")]
    (sheet,) = judging.sheets(planned(cloth, [Stock("roll", "kraft", 1400, 5000)]))
    assert min(one.bounds[0] for one in judging.outlines(sheet)) == pytest.approx(10)
    tissue = [piece("tissue", 300, 200, 4, kind="tissue")]
    (sheet,) = judging.sheets(planned(tissue, [KRAFT]))
    assert judging.least_distance(sheet) == pytest.approx(10)


TRIANGLE = ((0.0, 0.0), (100.0, 0.0), (0.0, 100.0))


def shapes(count: int, **other: object) -> StockPiece:
    """Return infills that are half of the square about them."""
    return piece("infill", 100, 100, count, outline=TRIANGLE, **other)


def judged(made: Plan) -> None:
    """Judge a plan with shapes: gap and margin by true outlines, and straight cuts through nothing."""
    for sheet in judging.sheets(made):
        assert judging.least_distance(sheet) >= 2 - 0.02
        assert judging.least_margin(sheet) >= 5 - 0.02
        found = judging.outlines(sheet)
        for one, outline in zip(sheet["pieces"], found, strict=True):
            turned = affinity.rotate(Polygon(TRIANGLE), one["turned_deg"], origin=(0, 0))
            if one["name"] == "infill":
                moved = affinity.translate(
                    turned,
                    *(a - b for a, b in zip(outline.bounds[:2], turned.bounds[:2], strict=True)),
                )
                assert moved.symmetric_difference(outline).area < 0.1, (
                    "turned as told, never mirrored"
                )
        for start, end in sheet["cuts"]:
            line = LineString([start, end])
            assert all(line.intersection(one.buffer(-0.11)).length == 0 for one in found)


def test_shapes_lie_into_each_other_by_their_outlines_where_they_are_cut_by_hand() -> None:
    """Two half squares of 100 with 2 between share one 113 × 113; as squares each asks for its own.

    A square of 113 with margins of 5 leaves 103; two triangles, one turned by 180°, need 100 and
    the gap square to their long sides, 2·√2. Cut through, each keeps its square.
    """
    rows = [Stock("sheet", "kraft", 113, 113, count=3)]
    made = planned([shapes(2)], rows, cuts="free")
    assert len(made.sheets) == 1
    assert sorted(one.turned_deg for one in made.sheets[0].pieces) == [0, 180]
    assert all(one.by_hand for one in made.sheets[0].pieces)
    judged(made)
    assert len(planned([shapes(2)], rows).sheets) == 2


@pytest.mark.parametrize("grain", ["length", "width"])
@pytest.mark.parametrize("along", ["x", "y", None])
def test_shapes_keep_their_grain_in_the_gaps_that_rectangles_leave(
    grain: str, along: str | None
) -> None:
    """A shape beside a rectangle: its grain along the stock's, turned by 180° at most besides."""
    rows = [Stock("sheet", "kraft", 320, 320, grain, count=9)]  # type: ignore[arg-type]
    made = planned(
        [shapes(4, along=along), piece("strip", 150, 210, along=None)], rows, cuts="free"
    )
    assert len(made.sheets) == 1
    assert len(made.sheets[0].pieces) == 5
    judged(made)
    level = (along == "y") == (grain == "length")
    allowed = {0, 90, 180, 270} if along is None else {0, 180} if level else {90, 270}
    assert {one.turned_deg for one in made.sheets[0].pieces if one.name == "infill"} <= allowed
    assert not any(one.by_hand for one in made.sheets[0].pieces if one.name == "strip")


def test_shapes_stay_in_their_rectangles_where_nothing_is_won() -> None:
    """One shape alone on a sheet is cut out of its rectangle by straight cuts."""
    (sheet,) = planned([shapes(1)], [KRAFT], cuts="free").sheets
    assert not any(one.by_hand for one in sheet.pieces)
    assert len(sheet.cuts) == 4


def test_what_has_no_stock_is_to_be_bought() -> None:
    """An unknown material, and one of which too little is there."""
    other = planned([piece("one", 100, 200, material="spine card")], [KRAFT])
    assert [one.material for one in other.shopping] == ["spine card"]
    assert [one.name for one in other.unplaced] == ["one"]
    short = planned([piece("one", 600, 900, 5)], [replace(KRAFT, count=2)])
    assert [one.count for one in short.unplaced] == [3]
    assert [(one.size, one.count) for one in short.shopping] == [("700.0 × 1000.0 mm", "3")]


def test_a_piece_larger_than_its_stock_is_named_with_the_sheet_that_would_do() -> None:
    """800 wide on 700; with margins of 5 it needs 810 × 210, and none may turn."""
    with pytest.raises(
        MaterialError, match=r"too wide.*810\.0 × 210\.0 mm, grain along the second"
    ):
        planned([piece("too wide", 800, 200)], [KRAFT])
    assert planned([piece("turned", 800, 200, along=None)], [KRAFT]).sheets


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "no stock stands there"),
        (
            "[[sheet]]\nmaterial='k'\nwidth=0\nlength=1000\ngrain='length'",
            "width is 0.*allowed: 20",
        ),
        (
            f"[[sheet]]\nmaterial='k'\nwidth=1{'0' * 400}\nlength=1000\ngrain='length'",
            "width is 10",
        ),
        ("[[sheet]]\nmaterial='k'\nwidth=nan\nlength=1000\ngrain='length'", "width is nan"),
        (
            "[[sheet]]\nmaterial='k'\nwidth=700\nlength=1000",
            "grain is missing.*“length” or “width”",
        ),
        ("[[sheet]]\nmaterial='k'\nwidth=700\nlength=1000\ngrain='long'", "grain is 'long'"),
        ("[[sheet]]\nmaterial='k'\nwidth=700\nlength=1000\ngrain='width'\ncount=0", "count is 0"),
        ("[[sheet]]\nwidth=700\nlength=1000\ngrain='width'", "material is missing"),
        ("[[sheet]]\nmaterial='k'\nwdth=700", "“wdth” is not known; nearest: width"),
        ("[[board]]\nmaterial='k'", "“board” is not known"),
        ("sheet=3", "not a list of tables"),
        ("[[sheet]", "not valid TOML"),
        ("[[roll]]\nmaterial='k'\nwidth='12 apples'", "width:"),
    ],
)
def test_bad_stock_is_refused_in_one_line(text: str, words: str) -> None:
    """Where, what, what is allowed."""
    with pytest.raises(MaterialError, match=words) as refused:
        stock.parse(text, "stock.toml")
    assert str(refused.value).startswith("stock.toml")
    assert "\n" not in str(refused.value)


def test_sizes_may_carry_their_unit() -> None:
    """A number in mm, or words as in a record; what is written reads back."""
    text = "[[roll]]\nmaterial = 'linen'\nwidth = '140 cm'\nlength = '27 1/2 in'\nprice = 3"
    (row,) = stock.parse(text, "stock.toml")
    assert row.width_mm == pytest.approx(1400)
    assert row.length_mm == pytest.approx(698.5)
    assert stock.parse(stock.left_over([row], {}, []), "again") == (row,)


def test_rows_that_are_alike_give_one_after_another() -> None:
    """Own case: twice two sheets, three are cut: one is left. Of two rolls each gives what it gave."""
    twice = [replace(KRAFT, count=2)] * 2
    (left,) = stock.parse(stock.left_over(twice, {twice[0]: [1000, 1000, 1000]}, []), "left")
    assert left == replace(KRAFT, count=1)
    rolls = [Stock("roll", "cloth", 1400, 5000)] * 2
    text = stock.left_over(rolls, {rolls[0]: [4000.0, 500.5]}, [])
    assert [one.length_mm for one in stock.parse(text, "left")] == [1000, 4499.5]


def test_a_roll_without_a_length_stays_without_one() -> None:
    """Nobody knows how much is left of it; no figure is made up."""
    (row,) = stock.parse("[[roll]]\nmaterial = 'linen'\nwidth = 1400", "stock.toml")
    text = stock.left_over([row], {row: [300.0]}, [])
    assert "length" not in text
    (again,) = stock.parse(text, "left")
    assert again.endless


def test_offcuts_that_are_alike_stand_in_one_row() -> None:
    """So that a stock file does not grow beyond what is read."""
    offcut = Stock("sheet", "kraft", 100, 200, source="a job")
    assert stock.parse(stock.left_over([], {}, [offcut] * 3), "left") == (replace(offcut, count=3),)


def test_the_least_sheet_that_would_do_does() -> None:
    """A cloth of 100.03 × 200.07 asks for 120.1 × 210.1: selvedge 10, margin 5, tenths rounded up."""
    odd = piece("odd", 100.03, 200.07, kind="cloth")
    with pytest.raises(MaterialError, match=r"120\.1 × 210\.1") as refused:
        planned([odd], [Stock("roll", "kraft", 100, 5000)])
    width = float(str(refused.value).rpartition("do: ")[2].split(" ")[0])
    assert planned([odd], [Stock("roll", "kraft", width, 210.1)]).sheets


def test_the_blank_stock_file_can_be_used_as_it_is() -> None:
    """Every kind of stock stands in it once."""
    rows = stock.parse(stock.BLANK, "stock.toml")
    assert {row.form for row in rows} == {"sheet", "roll", "skin"}
    assert any(row.source for row in rows)


def test_the_document_tells_what_it_is_said_to_tell(studio: Plan) -> None:
    """Its keys, for whoever reads plan.json: by name, no more and no fewer."""
    document = json.loads(studio.to_json())
    asked = {"cuts", "gap_mm", "margin_mm", "tries", "seed"}
    held = {"format", "stock", "unplaced", "by_hand", "shopping", "waste_share", "area_bound"}
    assert document.keys() == asked | held
    assert document["area_bound"] == sum(studio.bounds.values())
    own = {
        "material",
        "form",
        "width_mm",
        "length_mm",
        "grain",
        "from",
        "pieces",
        "cuts",
        "offcuts",
    }
    for sheet in document["stock"]:
        assert sheet.keys() == own
        for one in sheet["pieces"]:
            assert one.keys() == {"pattern", "name", "turned_deg", "outline_mm", "by_hand"}
        for one in sheet["offcuts"]:
            assert one.keys() == {"x_mm", "y_mm", "width_mm", "length_mm"}
        assert all(len(cut) == len(cut[0]) == len(cut[1]) == 2 for cut in sheet["cuts"])


def test_leather_without_a_skin_is_laid_out_by_hand() -> None:
    """It is named, neither bought nor counted as missing; with a skin it is laid along its backbone."""
    leather = piece("new back", 80, 300, kind="leather", material="calf")
    made = planned([leather], [KRAFT])
    assert [one.name for one in made.by_hand] == ["new back"]
    assert not made.shopping
    assert not made.unplaced
    (sheet,) = judging.sheets(planned([leather], [Stock("skin", "calf", 320, 500)]))
    assert sheet["pieces"][0]["turned_deg"] == 0


def test_more_pieces_than_a_plan_is_made_for_are_refused(
    kept: list[tuple[str, KeptPattern]],
) -> None:
    """A pattern file may ask for any number; the piece that asks for most is named."""
    name, pattern = kept[0]
    many = replace(pattern, pieces=tuple(replace(one, quantity=10**9) for one in pattern.pieces))
    with pytest.raises(MaterialError, match=r"1000000000 of them .* up to 5000"):
        wanted.wanted([(name, many)])


def test_a_plan_is_the_same_on_every_run() -> None:
    """Two processes with other hash seeds write the same bytes."""
    script = (
        "from tests.test_cutting_plan import *; "
        "wish = dict(cuts='free'); rows = [replace(KRAFT, width_mm=400, length_mm=420)]; "
        "print(planned([piece('a', 120, 300, 2), piece('b', 77, 140, 3, along=None), shapes(7)], rows, **wish).to_json())"
    )
    written = {
        subprocess.run(
            [sys.executable, "-c", script],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            check=True,
            cwd=Path(__file__).parents[1],
        ).stdout
        for seed in ("1", "2")
    }
    assert len(written) == 1
    document = json.loads(written.pop())
    assert document["format"] == "mendfold-plan/1"
    assert any(one["by_hand"] for sheet in document["stock"] for one in sheet["pieces"])
