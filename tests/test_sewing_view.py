"""The spine from outside, as it is drawn: what stands in which column, at which height, and what lies behind it.

The book of `tests/hand/secondary_sewing.py`: five gatherings, the front at the right; stitches from 30 to 42 and 104 to
116 in gatherings 1, 3, 5, from 46 to 58 and 120 to 132 in 2 and 4; supports of 2 at 70 and 140, kettles at 14 and 198.
"""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest

from patterns.model.drawing import Area, Line, LineKind, Mark, Words
from patterns.record import reading
from tests.books import drafted
from tests.hand.secondary_sewing import BOOK
from tests.test_search_budget import THIN_AND_TALL

ODD, EVEN = [(30, 42), (104, 116)], [(46, 58), (120, 132)]
SEWN_AS = {3: "1", 2: "2", 4: "3", 1: "4", 5: "5"}
"""From the middle of the spine outwards, by turns, the side of the front first."""


@pytest.fixture(scope="module")
def marks(tmp_path_factory: pytest.TempPathFactory) -> tuple[Mark, ...]:
    """The marks of the one drawing that shows the spine from outside."""
    file: Path = tmp_path_factory.mktemp("view") / "cove.toml"
    file.write_text(BOOK.record, encoding="utf-8")
    found = drafted(reading.load(file), *BOOK.structures, **BOOK.settings)
    (shown,) = (
        one
        for part in found.pattern.parts
        for one in part.diagrams
        if one.name == "spine from outside"
    )
    return shown.marks


def ground(marks: tuple[Mark, ...]) -> tuple[float, float, float, float]:
    """Return left, top, right and bottom of the spine's outline."""
    (outline,) = (m for m in marks if isinstance(m, Line) and m.kind is LineKind.OUTLINE)
    xs, ys = zip(*outline.points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def height(marks: tuple[Mark, ...], y: float) -> float:
    """Return the height in the book of a height in the drawing, the outline 212 high."""
    _, top, _, bottom = ground(marks)
    return (y - top) / (bottom - top) * 212


def test_supports_lie_grey_behind_every_gathering_old_holes_as_lines(
    marks: tuple[Mark, ...],
) -> None:
    """From edge to edge: 69 to 71 and 139 to 141 grey, both kettles a line."""
    left, _, right, _ = ground(marks)
    grey = [m.outline for m in marks if isinstance(m, Area) and m.kind is LineKind.REFERENCE]
    spans = []
    for ring in grey:
        xs, ys = zip(*ring, strict=True)
        assert (xs.count(left), xs.count(right)) == (2, 2)
        spans.append((height(marks, min(ys)), height(marks, max(ys))))
    assert sorted(spans) == [pytest.approx((69, 71)), pytest.approx((139, 141))]
    old = [m.points for m in marks if isinstance(m, Line) and m.kind is LineKind.REFERENCE]
    assert [{x for x, _ in line} for line in old] == [{left, right}] * 2
    assert sorted(height(marks, line[0][1]) for line in old) == pytest.approx([14, 198])
    assert all(line[0][1] == line[1][1] for line in old)


def test_every_column_shows_its_gathering_its_strip_its_turn_and_its_stitches(
    marks: tuple[Mark, ...],
) -> None:
    """At the head number and strip, at the tail when it is sewn; heavy from hole to hole, dashes inside."""
    _, top, _, bottom = ground(marks)
    words = [m for m in marks if isinstance(m, Words)]
    columns = sorted({m.points[0][0] for m in marks if isinstance(m, Line) and heavy(m)})
    assert len(columns) == 5
    for number, x in zip((5, 4, 3, 2, 1), columns, strict=True):
        above = [
            m.text for m in sorted(words, key=lambda m: m.at[1]) if m.at[0] == x and m.at[1] < top
        ]
        below = [m.text for m in words if m.at[0] == x and m.at[1] > bottom]
        assert (above, below) == ([str(number), "AB"[1 - number % 2]], [SEWN_AS[number]])
        stitches = ODD if number % 2 else EVEN
        bars = sorted(spans(marks, x, LineKind.SEWN_OUTSIDE))
        assert bars == [pytest.approx(one) for one in stitches]
        assert spans(marks, x, LineKind.SEWN_INSIDE) == [
            pytest.approx((stitches[0][1], stitches[1][0]))
        ]
        beside = [m for m in words if x < m.at[0] < x + 3 and m.text in "1234"]
        holes = [y for one in stitches for y in one]
        assert [m.text for m in beside] == list("1234")
        assert [height(marks, m.at[1]) for m in beside] == pytest.approx(holes, abs=3)
        ties = [m for m in words if x - 4 < m.at[0] < x and m.text in "KH"]
        assert [m.text for m in ties] == ["K", "H"]
        assert [height(marks, m.at[1]) for m in ties] == pytest.approx(holes[1:3], abs=3)


def heavy(line: Line) -> bool:
    """Tell whether a line is thread outside on the lining."""
    return line.kind is LineKind.SEWN_OUTSIDE


def spans(marks: tuple[Mark, ...], x: float, kind: LineKind) -> list[tuple[float, float]]:
    """Return from where to where lines of a kind run down a column."""
    runs = [m.points for m in marks if isinstance(m, Line) and m.kind is kind]
    found = [(height(marks, a[1]), height(marks, b[1])) for a, b in runs if a[0] == b[0] == x]
    return [(min(one), max(one)) for one in found]


def test_front_and_back_stand_at_their_sides(marks: tuple[Mark, ...]) -> None:
    """The spine towards you, the front of a book read from left to right is at the right."""
    left, top, right, bottom = ground(marks)
    at = {
        m.text: m.at for m in marks if isinstance(m, Words) and m.text.isupper() and len(m.text) > 1
    }
    assert at["BACK"][0] < left
    assert at["FRONT"][0] > right
    assert at["HEAD"][1] < top
    assert at["TAIL"][1] > bottom


@pytest.mark.parametrize("lined", [False, True])
def test_one_stitch_goes_through_all_that_lies_on_the_folds(lined: bool) -> None:
    """From the folds outwards: the paper lining where one is drafted, the tissue, the cloth."""
    structures = (*(("spine_lining",) if lined else ()), "secondary_sewing")
    found = drafted("logbook", *structures)
    (shown,) = (
        one for p in found.pattern.parts for one in p.diagrams if one.name == "stitch in section"
    )
    words = [(m.at[1], m.text) for m in shown.marks if isinstance(m, Words)]
    layers = [text for _, text in sorted(words) if text.endswith(("lining", "lining cloth"))]
    assert layers == [*(["spine lining"] if lined else []), "first lining", "lining cloth"]


def test_numbers_of_holes_near_one_another_never_touch() -> None:
    """404 mm at 1:3: the holes of a stitch of 8 are 2.67 apart on paper, and words take 1.44 × 2.5 = 3.6."""
    record = reading.parse(THIN_AND_TALL, "thin.toml")
    found = drafted(record, "secondary_sewing", stitch=8).pattern
    (shown,) = (
        one
        for part in found.parts
        for one in part.diagrams
        if one.name.startswith("spine from outside")
    )
    columns: dict[float, list[float]] = {}
    for mark in shown.marks:
        if isinstance(mark, Words) and mark.text.isdigit() and mark.anchor == "start":
            columns.setdefault(round(mark.at[0], 3), []).append(mark.at[1])
    numbered = [sorted(ys) for ys in columns.values() if len(ys) > 2]
    assert numbered
    assert min(b - a for ys in numbered for a, b in pairwise(ys)) >= 3.6
