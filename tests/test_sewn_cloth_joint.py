"""sewn_cloth_joint: the row of holes, the strip's width, and a cloth that never draws tight."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import combinations, pairwise

import pytest
from shapely import LineString

from patterns.drafting.order import Drafted
from patterns.errors import SettingError, Unsuitable
from patterns.model.drawing import Line, LineKind, Words
from patterns.model.part import Part
from patterns.model.piece import Piece
from patterns.record.reading import parse
from patterns.record.record import Record, SideTable
from patterns.sketch.marks import Box, box_of
from patterns.structures.shared.hole_row import hole_heights
from tests.books import changed, demo, drafted

NAME = "sewn_cloth_joint"


def part(found: Drafted) -> Part:
    """Return the cloth joints' part of a draft."""
    return next(one for one in found.pattern.parts if one.structure == NAME)


def strip(found: Drafted, side: str) -> Piece:
    """Return one board's strip."""
    return next(one for one in part(found).pieces if one.name == f"strip, {side}")


def number(found: Drafted, name: str) -> float:
    """Return one figure of the cloth joints."""
    value = part(found).quantities[name]
    assert isinstance(value, (int, float))
    return float(value)


def board_book(kind: str, shoulder: float, board: float, gap: float) -> Record:
    """Return the logbook with both joints as given."""
    cover = {"joint": kind, "joint_gap": gap, "board_thickness": board, "back": SideTable()}
    return changed("logbook", spine={"shoulder": shoulder}, cover=cover)


@pytest.mark.parametrize(
    ("height", "end", "count", "pitch"),
    [(240.0, 12.0, 19, 12.0), (330.0, 12.0, 26, 12.24), (203.0, 10.0, 16, 12.2)],
)
def test_the_row_has_a_hole_about_every_12(
    height: float, end: float, count: int, pitch: float
) -> None:
    """n = ⌊(H − 2·end)/12⌋ + 1 evenly; 216/12 = 18 steps, 306/25, 183/15."""
    book = changed("logbook", text_block={"height": height}, sewing={"supports_at": None, "kettles": (15.0,), "tie_down": None})  # fmt: skip
    found = drafted(book, NAME, end=end)
    rows = sorted(hole.at[1] for hole in strip(found, "front").holes)
    assert len(rows) == count
    assert rows[0] == pytest.approx(end)
    assert rows[-1] == pytest.approx(height - end)
    gaps = [b - a for a, b in pairwise(rows)]
    assert gaps == pytest.approx([pitch] * (count - 1), abs=1e-6)


def test_the_strip_is_seam_joint_and_board() -> None:
    """Worked example: 5 + J(O → N) + 25, J worked by hand: tight 6.280, French 6.0."""
    tight = drafted(board_book("tight", 3.0, 3.2, 1.0), NAME)
    assert strip(tight, "front").width_mm == pytest.approx(36.280, abs=5e-4)
    french = drafted(board_book("french", 2.5, 2.5, 6.0), NAME)
    assert strip(french, "back").width_mm == pytest.approx(36.0)


def test_boards_that_differ_have_strips_of_their_own() -> None:
    """Back board 2.0: J = √(1 + 5²) instead of √(1 + 6.2²)."""
    book = replace(
        demo("logbook"), cover=replace(demo("logbook").cover, back=SideTable(board_thickness=2.0))
    )
    found = drafted(book, NAME)
    assert strip(found, "front").width_mm == pytest.approx(30 + math.hypot(1, 6.2), abs=1e-6)
    assert strip(found, "back").width_mm == pytest.approx(30 + math.hypot(1, 5.0), abs=1e-6)


def opened(kind: str, j: float, b: float, g: float, degrees: float) -> tuple[float, float]:
    """Return where the board's inner arris lies, reckoned with complex numbers."""
    turn = math.radians(degrees)
    if kind == "tight":
        pivot = complex(g / 2, (j + b) / 2)
        at = pivot + (g - pivot) * complex(math.cos(turn), math.sin(turn))
        return at.real, at.imag
    meets = 2 * math.atan2(g / 2, j)
    first = min(turn, meets)
    at = g / 2 + (g / 2) * complex(math.cos(first), math.sin(first))
    tip, rest = complex(0, j), turn - first
    at = tip + (at - tip) * complex(math.cos(rest), math.sin(rest))
    return at.real, at.imag


@pytest.mark.parametrize(
    ("kind", "j", "b", "g"),
    [("tight", 3.0, 3.2, 1.0), ("tight", 2.0, 3.0, 1.5), ("french", 2.5, 2.5, 6.0), ("french", 2.0, 3.0, 5.0)],
)  # fmt: skip
def test_the_cloth_never_draws_tight_over_the_whole_turn(
    kind: str, j: float, b: float, g: float
) -> None:
    """At every quarter degree the way from seam to board, round the shoulder, is within J."""
    found = drafted(board_book(kind, j, b, g), NAME)
    across = number(found, "joint_path_front_mm")
    for k in range(721):
        x, z = opened(kind, j, b, g, k / 4)
        way = j + math.hypot(x, z - j) if x < 0 else math.hypot(x, z)
        assert way <= across + 1e-6
    assert number(found, "least_margin_front_mm") >= -1e-6


def test_holes_of_strip_and_fold_meet() -> None:
    """The strip is as high as the block; both strips have their holes at equal heights.

    As seen in the end, the boards open: the front board at the left, its seam at the right.
    """
    found = drafted("logbook", NAME)
    one, two = strip(found, "front"), strip(found, "back")
    assert one.height_mm == two.height_mm == 330.0
    assert sorted(h.at[1] for h in one.holes) == sorted(h.at[1] for h in two.holes)
    assert {round(one.width_mm - h.at[0], 6) for h in one.holes} == {5.0}
    assert {round(h.at[0], 6) for h in two.holes} == {5.0}
    assert (one.left, one.right) == ("FRONT board", "SEAM")
    assert "turned-back face up" in one.face_up


def test_only_the_boards_part_is_pasted() -> None:
    """Seam and joint stay free; 25 mm at the board's side take paste, 25 × 330 in all."""
    one = strip(drafted("logbook", NAME), "front")
    pasted = [zone for zone in one.zones if zone.kind == "pasted"]
    assert len(pasted) == 1
    xs = [x for x, _ in pasted[0].outline]
    assert (min(xs), max(xs)) == pytest.approx((0.0, 25.0))


def test_right_to_left_books_are_mirrored() -> None:
    """The front strip of one reading is the back strip of the other, holes and all."""
    book = changed("logbook", cover={"back": SideTable()})
    other = replace(book, book=replace(book.book, reading="right-to-left"))
    front, back = strip(drafted(other, NAME), "front"), strip(drafted(book, NAME), "back")
    assert {h.at for h in front.holes} == {h.at for h in back.holes}
    assert (front.left, front.right) == ("SEAM", "FRONT board")


@pytest.mark.parametrize("kind", ["tapes", "recessed"])
def test_no_hole_is_pricked_at_a_support(kind: str) -> None:
    """Four supports of 14 at 66, 132, 198, 264, clear 3: no hole within 10 of a middle.

    By hand: 12 to 56 is 44, three steps of 14.667; 76 to 122 is 46, three of 15.333; and so on. At 73.2 a
    hole of an even row would have met the old hole at the side of the first support.
    """
    found = drafted(changed("logbook", sewing={"supports": kind}), NAME)
    rows = [hole.at[1] for hole in strip(found, "front").holes]
    assert rows == pytest.approx(
        [
            *(12, 26.6667, 41.3333, 56),
            *(76, 91.3333, 106.6667, 122),
            *(142, 157.3333, 172.6667, 188),
            *(208, 223.3333, 238.6667, 254),
            *(274, 288.6667, 303.3333, 318),
        ],
        abs=1e-3,
    )
    assert str(part(found).quantities["support_words"]) == "66.0, 132.0, 198.0, 264.0"
    assert "holes below the head: 12.0, 26.7, 41.3, 56.0, 76.0" in " ".join(
        strip(found, "front").notes
    )
    steps = " ".join(step.text for step in found.pattern.steps)
    assert "no hole is pricked there" in steps
    assert "go through the old one" not in steps


def test_an_old_hole_on_the_row_serves_again() -> None:
    """Without supports 330 mm has 26 holes 12.24 apart: 61.0 is the old hole, 74.2 lies 1.0 from one at 73.2."""
    book = changed(
        "logbook", sewing={"supports_at": None, "kettles": None, "holes_at": (61.0, 75.0)}
    )
    notes = " ".join(strip(drafted(book, NAME), "front").notes)
    assert "old holes that serve again: 61.0 mm below the head" in notes


@pytest.mark.parametrize(("tied", "end"), [(14.0, 17.0), (8.0, 12.0), (None, 12.0)])
def test_no_hole_is_pricked_among_the_endbands_tie_downs(tied: float | None, end: float) -> None:
    """Tied down to 14 mm from head and tail, clear 3: the row runs from 17 to 330 − 17."""
    book = changed("logbook", sewing={"supports_at": None, "kettles": None, "tie_down": tied})
    found = strip(drafted(book, NAME), "front")
    heights = [hole.at[1] for hole in found.holes]
    assert (heights[0], heights[-1]) == pytest.approx((end, 330.0 - end))
    assert ("tie-downs, 14.0 mm from head and tail" in " ".join(found.notes)) is (end > 12)


@pytest.mark.parametrize(
    ("supports", "off", "rows"),
    [
        ([24], 4, [15, 30, 44.5, 59, 73.5, 88]),
        ([10, 90], 5, [16, 29.6, 43.2, 56.8, 70.4, 84]),
        ([30, 42], 10, [16, 52, 64, 76, 88]),
    ],
)
def test_stretches_between_supports_are_evened(
    supports: list[float], off: float, rows: list[float]
) -> None:
    """Height 100, ends 12; worked by hand, never nearer than half of 12 to the middle of a support."""
    assert hole_heights(100, 12, supports, off) == pytest.approx(rows)


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"text_block": {"tear_strength": 120.0}}, "line_folds"),
        ({"condition": {"paper": "brittle"}}, "box the book"),
        ({"cover": {"board_width": 20.0}}, "board_width|wide"),
    ],
)
def test_books_it_does_not_suit_are_told_what_would(
    fields: dict[str, dict[str, object]], words: str
) -> None:
    """One line says why, and what would suit instead."""
    with pytest.raises(Unsuitable, match=words):
        drafted(changed("logbook", **fields), NAME)


def test_ends_that_leave_no_row_are_refused() -> None:
    """Ends at 80 mm leave no room. A tape at 66 keeps holes off to 76: two pitches from there end 70 above the tail."""
    small = changed(
        "logbook",
        text_block={"height": 170.0},
        sewing={"supports_at": (66.0,), "kettles": (15.0,)},
    )
    with pytest.raises(SettingError, match=r"allowed is up to 70\.0"):
        drafted(small, NAME, end=80)
    drafted(small, NAME, end=70)


OPEN = """
[book]
id = "joint-1"
[text_block]
height = 323.5
width = 228.9
thickness = 29.5
leaf_thickness = 0.147

[spine]
profile = "rounded"
shoulder = 1.5
round_depth = 5.8
girth_head = 35.2
girth_tail = 35.2

[cover]
kind = "in-boards"
joint = "tight"
joint_gap = 1.2
square_head = 2.6
square_tail = 2.6
board_height = 328.7
board_width = 232
board_thickness = 2.9
"""


def test_words_of_the_joint_stay_within_its_drawing() -> None:
    """A board opened to 72.3° takes the room beside the spine: its name stands below it."""
    found = drafted(parse(OPEN, "open.toml"), NAME, opening=72.3)
    for drawn in found.pattern.parts[0].diagrams:
        page = Box(0.0, 0.0, drawn.width_mm, drawn.height_mm)
        said = [mark for mark in drawn.marks if isinstance(mark, Words)]
        assert all(page.holds(box_of(one)) for one in said), drawn.name
        for one, other in combinations(said, 2):
            assert not box_of(one).meets(box_of(other)), (one, other)


@pytest.mark.parametrize(("shoulder", "seam"), [(2.0, 5.0), (6.0, 5.0), (0.0, 5.0), (2.0, 12.0)])
def test_the_section_shows_the_whole_seam_on_shoulder_and_spine(
    shoulder: float, seam: float
) -> None:
    """Measured on the drawing: as long at its scale as the seam is, along the outline of the block."""
    book = changed("light_list", spine={"shoulder": shoulder, "shoulder_angle": 90.0})
    found = drafted(book, NAME, seam=seam)
    (section, *_) = [d for d in part(found).diagrams if "section" in d.name]
    wide, one = (float(value) for value in section.scale.split(":"))
    cloths = [m for m in section.marks if isinstance(m, Line) and m.kind is LineKind.SEWN_OUTSIDE]
    blocks = [m for m in section.marks if isinstance(m, Line) and m.kind is LineKind.OUTLINE]
    for cloth, block in zip(cloths, blocks, strict=True):
        base = block.points[1]  # the block's face ends there, where the shoulder begins
        to_base = cloth.points[
            : min(range(len(cloth.points)), key=lambda i: math.dist(cloth.points[i], base)) + 1
        ]
        assert to_base[-1] == pytest.approx(base)
        assert LineString(to_base).length == pytest.approx(seam * wide / one)
        assert LineString(block.points).buffer(1e-6).covers(LineString(to_base))
    assert f"the seam, {seam:.1f} mm, lies on the" in " ".join(section.notes)
