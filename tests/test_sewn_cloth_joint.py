"""sewn_cloth_joint: the row of holes, the strip's width, and a cloth that never draws tight."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest

from patterns.drafting.order import Drafted
from patterns.errors import SettingError, Unsuitable
from patterns.model.part import Part
from patterns.model.piece import Piece
from patterns.record.record import Record, SideTable
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
    book = changed("logbook", text_block={"height": height}, sewing={"supports_at": (66.0,), "kettles": (15.0,)})  # fmt: skip
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
    """The strip is as high as the block; both strips have their holes at equal heights."""
    found = drafted("logbook", NAME)
    one, two = strip(found, "front"), strip(found, "back")
    assert one.height_mm == two.height_mm == 330.0
    assert sorted(h.at[1] for h in one.holes) == sorted(h.at[1] for h in two.holes)
    assert {round(h.at[0], 6) for h in one.holes} == {5.0}
    assert {round(two.width_mm - h.at[0], 6) for h in two.holes} == {5.0}


def test_only_the_boards_part_is_pasted() -> None:
    """Seam and joint stay free; 25 mm at the board's side take paste, 25 × 330 in all."""
    one = strip(drafted("logbook", NAME), "front")
    pasted = [zone for zone in one.zones if zone.kind == "pasted"]
    assert len(pasted) == 1
    xs = [x for x, _ in pasted[0].outline]
    assert (min(xs), max(xs)) == pytest.approx((one.width_mm - 25.0, one.width_mm))


def test_right_to_left_books_are_mirrored() -> None:
    """The front strip of one reading is the back strip of the other, holes and all."""
    book = changed("logbook", cover={"back": SideTable()})
    other = replace(book, book=replace(book.book, reading="right-to-left"))
    front, back = strip(drafted(other, NAME), "front"), strip(drafted(book, NAME), "back")
    assert {h.at for h in front.holes} == {h.at for h in back.holes}
    assert front.left == "FRONT board"


def test_old_holes_and_supports_on_the_row_are_named() -> None:
    """Tape at 66, holes 59 and 73: 61.0 passes a tape, 73.2 is the old hole itself."""
    found = drafted("logbook", NAME)
    notes = strip(found, "front").notes
    assert "old holes that serve again: 73.2, 256.8 mm below the head" in notes
    passed = str(part(found).quantities["support_words"]).split(", ")
    assert "61.0" in passed
    assert "73.2" not in passed


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
    """A small book with its ends at 80 mm has no room for holes."""
    small = changed(
        "logbook",
        text_block={"height": 170.0},
        sewing={"supports_at": (66.0,), "kettles": (15.0,)},
    )
    with pytest.raises(SettingError, match=r"allowed is up to 73\.0"):
        drafted(small, NAME, end=80)
