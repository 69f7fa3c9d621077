"""hollow_tube: where its creases lie on sheet and in step, on tapered spines and in cases."""

from __future__ import annotations

import math
import re

import pytest

from patterns.drafting.order import Drafted
from patterns.errors import Unsuitable
from patterns.model.drawing import Words
from patterns.model.piece import Piece
from patterns.sheets import whole
from patterns.sheets.page import Layout
from patterns.stock.paper import parse
from tests.books import changed, drafted


def strip(found: Drafted) -> Piece:
    return found.pattern.parts[0].pieces[0]


def told(found: Drafted) -> list[str]:
    """Return every distance of a crease that the step tells, in order."""
    (text,) = [step.text for step in found.pattern.steps if "Score the creases" in step.text]
    return re.findall(r"\d+\.\d", text.split("Score the creases")[1].split("mm")[0])


def tapered(head: float, tail: float, error: float = 0.5) -> Drafted:
    record = changed(
        "chart_book", spine={"girth_head": head, "girth_tail": tail}, measuring={"error": error}
    )
    return drafted(record, "hollow_tube", ease=1, on=1, off=2)


def test_step_and_sheet_count_creases_from_the_same_edge() -> None:
    """Chord 46, round 5, strip 48: panel 48.01 − 1; creases at w + π·0.12/4 and 2w + π·0.12."""
    found = tapered(48.0, 48.0)
    turn = 4 * math.atan2(10, 46)
    panel = 48.0 + turn * (0.12 / 2 - 0.05) - 1
    wanted = [f"{panel + math.pi * 0.03:.1f}", f"{2 * panel + math.pi * 0.12:.1f}"]
    assert wanted == ["47.1", "94.4"]
    assert told(found) == wanted
    assert [fold.label for fold in strip(found).folds] == [
        f"{k} · fold over · {place} from the left edge" for k, place in enumerate(wanted, 1)
    ]


def test_a_fan_tells_each_crease_at_head_and_tail_from_its_left_corners() -> None:
    """50 to 55 over 260, the tube 1 inside both ends: panels 49.03 and 53.99 wide, mirror images."""
    found = tapered(50.0, 55.0)
    piece = strip(found)
    assert len(piece.outline) > 4
    assert told(found) == ["49.1", "54.1", "98.4", "108.4"]
    assert piece.folds[0].label == "1 · fold over · 49.1 (head) and 54.1 (tail) from the left edge"
    corner = piece.outline[0]
    assert math.dist(corner, piece.folds[1].line[0]) == pytest.approx(98.43, abs=0.02)
    chain = [row for row in piece.dimensions if row.side == "head" and row.row == 0]
    assert sum(math.dist(row.start, row.end) for row in chain[:2]) == pytest.approx(98.43, abs=0.05)
    tail = [row for row in piece.dimensions if row.side == "tail"]
    assert sum(math.dist(row.start, row.end) for row in tail[:2]) == pytest.approx(108.36, abs=0.05)
    (fitted,) = [step.text for step in found.pattern.steps if "Dry-fit the flat tube" in step.text]
    assert "49.0 mm (head) and 54.0 mm (tail) wide on a spine of 50.0 mm (head)" in fitted


@pytest.mark.parametrize(
    ("tail", "error", "corners"), [(49.0, 0.5, 4), (49.2, 0.5, 10), (48.2, 0.1, 4), (49.0, 0.1, 10)]
)
def test_a_taper_within_two_readings_is_wound_from_a_plain_strip(
    tail: float, error: float, corners: int
) -> None:
    """48 at the head: 1.0 more is what two readings of ± 0.5 may differ by, 1.2 is not."""
    found = tapered(48.0, tail, error)
    quantities = found.pattern.parts[0].quantities
    assert (len(strip(found).outline) == 4) is (corners == 4)
    meaned = [line for line in found.pattern.warnings if "cut to the mean panel" in line]
    assert bool(meaned) is (corners == 4)
    if corners == 4:
        assert quantities["panel_head_mm"] == quantities["panel_tail_mm"]
        assert f"two readings may differ so much (±\u00a0{error:g}\u00a0mm each)" in meaned[0]


def test_a_case_takes_a_tube_as_high_as_its_block_with_the_reason_against_it() -> None:
    """The repair hollow serves cases; its boards turn on the case's own joints."""
    case = changed("chart_book", cover={"kind": "case", "board_thickness": 2.5})
    found = drafted(case, "hollow_tube").pattern
    assert any("a case has a natural hollow" in line for line in found.warnings)
    assert found.parts[0].pieces[0].height_mm == pytest.approx(260 - 2)
    with pytest.raises(Unsuitable, match="leave reach = block"):
        drafted(case, "hollow_tube", reach="boards")
    raised = changed("chart_book", cover={"kind": "case"}, sewing={"supports": "raised"})
    with pytest.raises(Unsuitable, match="spine_lining"):
        drafted(raised, "hollow_tube")
    plain = drafted("chart_book", "hollow_tube").pattern
    assert not any("natural hollow" in line for line in plain.warnings)


@pytest.mark.parametrize("name", ["chart_book", "logbook", "signal_book"])
def test_back_and_front_stand_at_their_own_edges_of_the_panel_on_the_spine(name: str) -> None:
    """Seen from outside, HEAD up, the back of a book read from left to right lies at the left.

    Read off the finished sheets: long strips are drawn small, short ones leave little room.
    """
    found = drafted(changed(name), "hollow_tube")
    for sheet in whole.sheets(Layout(found.pattern, parse("A4"))):
        words = [mark for mark in sheet.drawing.marks if isinstance(mark, Words)]
        places = {w.text.split()[0]: w.at[0] for w in words if w.text.endswith("of the spine")}
        if places:
            assert places["BACK"] < places["FRONT"], sheet.title
            return
    raise AssertionError("neither edge is named")
