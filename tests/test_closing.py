"""Whether a cover closes over all that is put on the spine, and what is said where it does not."""

from __future__ import annotations

import math

import pytest

from patterns.book.covering import NARROWER_MM
from patterns.drafting.closing import Closing
from tests.books import changed
from tests.test_combinations import FOUR, layer, made, part


def test_a_cover_that_closes_says_so() -> None:
    """Atlas: chord 33, round 6, strip 36; 0.4 + 0.12 on it, French joints 6.4 wide, 54.5 measured.

    Over each joint: from the tip, 2.5 high, to the groove's floor 3.2 away, and up to 2.8; the
    covering, 0.5 thick, turns by half a circle.
    """
    found = made("atlas", "spine_lining")
    turn = 4 * math.atan2(12, 33)
    way = math.hypot(3.2, 2.5) + math.hypot(3.2, 2.8)
    wanted = layer(36.0, turn, 0.52, 0.5, 0.0) + 2 * way + (math.pi - turn) * 0.25
    assert found.pattern.figures["cover_needed_head_mm"] == pytest.approx(wanted, abs=0.01)
    assert wanted < 54.5
    assert found.pattern.figures["cover_closes"]
    assert found.pattern.closing.endswith("it closes")
    assert found.pattern.closing not in found.pattern.warnings


def test_a_cover_that_does_not_close_is_warned_of_and_a_widened_one_closes() -> None:
    """Chart book: 40.0 and 40.4 measured where the tube alone asks for more than 49."""
    bare = made("chart_book", "hollow_tube").pattern
    assert not bare.figures["cover_closes"]
    assert bare.closing in bare.warnings
    assert "cover_widening" in bare.closing
    turn = 4 * math.atan2(10, 46)
    tail = 48.0 + 0.6 * 3 / 260  # the cover reaches 3 further
    lack = layer(tail, turn, 0.36, 1.2, 0.0) + (math.pi - turn) * 0.6 - 40.4
    assert f"{lack:.1f} mm are lacking" in bare.closing
    widened = made("chart_book", "hollow_tube", "cover_widening", "spine_inlay").pattern
    assert widened.figures["cover_closes"]
    assert widened.closing.endswith("and the wider spine is cut to that")


def test_what_is_cut_after_the_sewing_lacks_nothing_beforehand() -> None:
    """A widening that waits for the strip over the sewing is not said to be too narrow for its thread."""
    narrow = changed("almanac", cover={"spine_width": 9.0})
    found = made(narrow, "tissue_hinge", "cover_widening").pattern
    assert any("not drawn yet: widening piece" in line for line in found.warnings)
    assert "Thread adds" in found.closing
    assert "lacks" not in found.closing
    assert found.closing not in found.warnings
    assert found.figures["cover_closes"]


def test_thread_that_makes_a_closing_cover_too_narrow_is_told() -> None:
    """A logbook's cover of 79 closes within 1 mm, but 1.3 mm of thread at least come on top once it is sewn."""
    unread = {"girth_sewn_head": None, "girth_sewn_tail": None}
    book = changed("logbook", cover={"spine_width": 79.0}, spine=unread)
    found = made(book, *FOUR).pattern
    least = part(made(book, *FOUR), "secondary_sewing").quantities["swell_least_mm"]
    assert isinstance(least, float)
    assert least > 1
    assert not found.figures["cover_closes"]
    assert "read the strip again after sewing" in found.closing


def test_a_cover_whose_spine_was_not_measured_is_not_judged() -> None:
    """Without cover.spine_width the sentence asks for it, and nothing is warned of."""
    book = changed("logbook", cover={"spine_width": None, "spine_width_head": None, "spine_width_tail": None})  # fmt: skip
    found = made(book, "hollow_tube").pattern
    assert "cover.spine_width is not measured" in found.closing
    assert "cover_closes" not in found.figures
    assert found.closing not in found.warnings


@pytest.mark.parametrize(
    ("spine", "swell", "lacks"),
    [
        ((50.4, 50.5), (0.0, 0.0), None),
        ((50.4, 50.5), (NARROWER_MM - 0.2, 3.0), None),
        ((50.4, 50.5), (NARROWER_MM + 0.2, 3.0), NARROWER_MM + 0.3),
        ((52.0, 50.5), (NARROWER_MM - 0.2, 3.0), None),
        ((49.0, 48.9 - NARROWER_MM), (0.4, 3.0), None),
    ],
)
def test_a_cover_that_closes_until_it_is_sewn_says_what_it_lacks_then(
    spine: tuple[float, float], swell: tuple[float, float], lacks: float | None
) -> None:
    """50.0 and 50.6 needed: at the tail 0.1 more than 50.5; what lacks at once is not told twice."""
    found = Closing(0.4, (50.0, 50.6), spine, swell_mm=swell).sentence()
    assert ("once sewn" in found) is (lacks is not None)
    if lacks is not None:
        assert f"and once sewn the cover lacks {lacks:.1f} mm or more" in found
    assert (f"Thread adds {swell[0]:.1f} to {swell[1]:.1f} mm" in found) is (swell[1] > 0)
