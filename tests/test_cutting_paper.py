"""Plans carried out from the words of plan.pdf alone, as a second reader would with paper."""

from __future__ import annotations

from collections import defaultdict
from pathlib import Path

import pytest
from shapely.geometry import LineString, Point, Polygon, box

from patterns.cutting import laying, pages, writing
from patterns.cutting.plan import Wish
from patterns.cutting.stock import Stock
from patterns.cutting.wanted import StockPiece, wanted
from patterns.model.kept import KeptPattern
from patterns.stock import materials
from patterns.stock.paper import A4
from patterns.writers import pdf
from tests.cutting import on_paper
from tests.cutting.on_paper import Told

GALLERY = Path(__file__).parents[1] / "gallery"
HALF_MM = 0.5
Kept = list[tuple[str, KeptPattern]]


@pytest.fixture(scope="module")
def kept() -> Kept:
    """The patterns of the gallery, the album's twice."""
    files = [*GALLERY.glob("*/r0001/pattern.json"), *GALLERY.glob("seaweed*/r0001/pattern.json")]
    return [(file.parts[-3], KeptPattern.from_json(file.read_bytes())) for file in sorted(files)]


def told(kept: Kept, cuts: str) -> list[Told]:
    """Return what plan.pdf says, planned on an invented studio's stock."""
    names = dict.fromkeys((one.material, one.kind) for one in wanted(kept))
    rows = [
        Stock("roll", name, 1400, 20000)
        if kind == "cloth"
        else Stock("sheet", name, 700, 1100, "length" if number % 2 else "width", 20)
        for number, (name, kind) in enumerate(names)
    ]
    wish = Wish("through" if cuts == "through" else "free", tries=5)
    _, files = writing.make(kept, rows, wish, materials.built_in(), A4)
    return on_paper.read(files["plan.pdf"])


@pytest.fixture(scope="module")
def through(kept: Kept) -> list[Told]:
    """A plan for shears and long knives."""
    return told(kept, "through")


@pytest.fixture(scope="module")
def free(kept: Kept) -> list[Told]:
    """A plan by which each piece is cut out by itself."""
    return told(kept, "free")


def test_the_numbered_cuts_leave_every_piece_and_offcut_at_its_size(through: list[Told]) -> None:
    """Each cut measured from the edge told of the part told; nothing lies on the bench unnamed."""
    for sheet in through:
        parts, _ = on_paper.cut_up(sheet)
        named = {one.name: one.size for one in parts if one.name not in ("waste", "rest of roll")}
        asked = {f"piece {number}": size for number, (_, size) in sheet.pieces.items()}
        asked |= {f"offcut {letter}": size for letter, size in sheet.offcuts.items()}
        assert all(one.name for one in parts), sheet.title
        assert sorted(named) == sorted(asked)
        for name, size in asked.items():
            assert named[name] == pytest.approx(size, abs=HALF_MM), (sheet.title, name)


@pytest.mark.parametrize("way", ["through", "free"])
def test_what_is_cut_is_what_the_patterns_ask_for(
    way: str, kept: Kept, request: pytest.FixtureRequest
) -> None:
    """Every piece of every book by its name, as wide and as high as its pattern, to half a millimetre."""
    cut: dict[str, list[list[float]]] = defaultdict(list)
    asked: dict[str, list[list[float]]] = defaultdict(list)
    for sheet in request.getfixturevalue(way):
        for name, size in sheet.pieces.values():
            cut[name].append(sorted(size))
    for name, pattern in kept:
        for piece in pattern.pieces:
            xs, ys = zip(*(piece.cut_first_mm or piece.outline_mm), strict=True)
            size = sorted((max(xs) - min(xs), max(ys) - min(ys)))
            own = f"{name.rpartition('-')[0]}, {piece.name}"
            asked[own] += [size] * (piece.quantity if piece.stock and piece.material else 0)
    for name in [one for one in cut if one not in asked]:  # two pieces of one name, told apart
        cut[name.rpartition(", ")[0]] += cut.pop(name)
    missing = {name for name in asked if asked[name] and name not in cut}
    assert not missing
    for name, sizes in cut.items():
        for one, two in zip(sorted(sizes), sorted(asked[name]), strict=True):
            assert one == pytest.approx(two, abs=0.11), name


def test_each_piece_of_a_free_plan_lies_where_its_sides_are_told(free: list[Told]) -> None:
    """Inside the stock, as large as told, and nothing nearer to another than the gap."""
    for sheet in free:
        width, length = sheet.size
        found = []
        for row in sheet.places:
            x0, x1 = map(float, row["From the left edge"].split(" to "))
            y0, y1 = map(float, row["From the top edge"].split(" to "))
            _, size = sheet.pieces[int(row["Piece"])]
            assert (x1 - x0, y1 - y0) == pytest.approx(size, abs=0.11)
            assert min(x0, y0, width - x1, length - y1) >= 5 - 0.11
            found.append(box(x0, y0, x1, y1))
        assert len(found) == len(sheet.pieces)
        for number, one in enumerate(found):
            assert all(one.distance(other) > 2 - 0.11 for other in found[number + 1 :])


def test_what_is_cut_out_by_hand_is_said_so() -> None:
    """Shapes in each other's gaps: named in the list and below it, each with its turn, and drawn."""
    triangle = ((0.0, 0.0), (100.0, 0.0), (0.0, 100.0))
    pieces = [StockPiece("book-structure", "infill", "kraft", "paper", triangle, "y", 2)]
    rows = [Stock("sheet", "kraft", 113, 113)]
    made = laying.make(pieces, rows, Wish("free", tries=5), materials.built_in())
    (data,) = pdf.write(pages.pages(made, A4, ["book-structure"]), "plan", None)
    (sheet,) = on_paper.read(data)
    assert [name for name, _ in sheet.pieces.values()] == [
        "book, infill, BY HAND",
        "book, infill, BY HAND, turned 180°",
    ]
    assert "BY HAND, after all others: 1, 2." in " ".join(sheet.words)
    drawn = [one for one in sheet.shapes if len(one.points) >= 3 and one.box[2] - one.box[0] > 20]
    sides = {round((one.box[2] - one.box[0]) * sheet.scale, 1) for one in drawn}
    assert 100.0 in sides


@pytest.mark.parametrize("way", ["through", "free"])
def test_pictures_are_drawn_to_the_scale_they_state(
    way: str, request: pytest.FixtureRequest
) -> None:
    """The stock's two sides, measured on the page, are its sizes by the scale, to 0.05 mm.

    Its sizes stand beside it, and the word for its grain.
    """
    for sheet in request.getfixturevalue(way):
        words = [one.text for one in sheet.labels]
        assert {"WARP", "grain"} & set(words), sheet.title
        assert {"top edge", "left edge"} <= set(words), sheet.title
        assert corner(sheet) is not None, sheet.title
        for mm in sheet.size:
            assert any(one == f"{mm:g} mm" for one in words), sheet.title


def corner(sheet: Told) -> tuple[float, float] | None:
    """Return where the stock's left top corner lies on the page, found by the lengths of its sides."""
    width, length = (mm / sheet.scale for mm in sheet.size)
    (title,) = (one.at[1] for one in sheet.labels if one.text.startswith("Scale "))
    lines = [sorted(one.points) for one in sheet.shapes if len(one.points) == 2]
    found = [
        (x0, y0)
        for (x0, y0), (x1, y1) in lines
        if abs(y1 - y0) < 0.01 and abs(x1 - x0 - width) < 0.05 and y0 > title
        if any(
            max(abs(a - x0), abs(c - x0), abs(b - y0)) < 0.02 and abs(d - b - length) < 0.05
            for (a, b), (c, d) in lines
        )
    ]
    return min(found, key=lambda at: at[1], default=None)


def led(sheet: Told, mark: Polygon, line: LineString) -> bool:
    """Tell whether a line leads from a number to its cut."""
    ends = [(Point(one.points[0]), Point(one.points[-1])) for one in sheet.shapes]
    return any(
        min(mark.distance(one) + line.distance(two), mark.distance(two) + line.distance(one)) < 0.6
        for one, two in ends
    )


def test_every_cut_has_its_number_beside_its_own_line(through: list[Told]) -> None:
    """Nearer than 1 mm to the line that the words lead to, or led to it; on no other number."""
    for sheet in through:
        _, ran = on_paper.cut_up(sheet)
        at = corner(sheet)
        assert at is not None
        taken: list[Polygon] = []
        for number, ((x0, y0), (x1, y1)) in enumerate(ran, 1):
            f = 1 / sheet.scale
            line = LineString([(at[0] + x0 * f, at[1] + y0 * f), (at[0] + x1 * f, at[1] + y1 * f)])
            labels = [one for one in sheet.labels if one.text == str(number) and one.bold]
            assert len(labels) == 1, (sheet.title, number)
            x, y = labels[0].at
            wide, high = labels[0].length_mm or 0.0, labels[0].size_mm * 0.65
            if labels[0].angle_deg:
                mark = box(x - high, y - wide, x, y)
            else:
                mark = box(x, y - high, x + wide, y)
            near = mark.distance(line) < 1.0
            assert near or led(sheet, mark, line), (sheet.title, number)
            assert not any(mark.intersects(other) for other in taken), (sheet.title, number)
            taken.append(mark)
