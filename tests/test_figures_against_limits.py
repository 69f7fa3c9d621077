"""A figure and the limit that it is held against are told apart; what a refusal allows is allowed."""

from __future__ import annotations

import re

import pytest

from patterns.drafting.order import Drafted
from patterns.errors import MendfoldError
from patterns.examine.finding import Finding
from patterns.examine.wording import figure_words
from patterns.record.record import Record
from patterns.units import told_apart
from tests.books import changed, drafted

UNREAD = {"girth_sewn_head": None, "girth_sewn_tail": None}


def swelling(found: Drafted) -> str:
    """Return the line that says what the thread adds to the spine."""
    return next(text for text in found.warnings if "the thread adds" in text)


def test_a_swell_just_over_what_is_let_pass_is_not_told_by_the_same_figure() -> None:
    """Six gatherings × 0.448 × 0.75 = 2.016 on a girth of 62: 3 % are 1.86, so 2 mm are let pass."""
    spine = {**UNREAD, "girth_head": 62, "girth_tail": 62, "over_shoulders": 58}
    line = swelling(
        drafted(changed("logbook", spine=spine), "secondary_sewing", path="loops", every=4)
    )
    assert "likely 2.02, more than the 2.00 mm that are let pass" in line


def test_a_finding_just_past_its_limit_shows_both_apart() -> None:
    told = Finding("k", "sewing", "note", "t", "w", (), "s", "own", "read", 0.3512, "mm", 0.3504)
    assert figure_words(told).startswith("0.351 mm, limit 0.35 mm")


@pytest.mark.parametrize(("figure", "limit"), [(2.9996, 3.0), (60.04, 60.0), (0.04, 0.0)])
def test_two_different_figures_are_never_written_alike(figure: float, limit: float) -> None:
    told = told_apart(figure, limit)
    assert told[0] != told[1]
    assert float(told[0]) == pytest.approx(figure, abs=0.05)


def refused_with(read: Record, structure: str, setting: str, value: float) -> str:
    """Return what a draft with one setting is refused for; "" where it is not."""
    try:
        drafted(read, structure, **{setting: value})
    except MendfoldError as found:
        return str(found)
    return ""


@pytest.mark.parametrize(
    ("record", "tables", "setting", "asked"),
    [
        ("almanac", {"text_block": {"height": 150.17}}, "tissue_hinge.setback", 70),
        ("chart_book", {"cover": {"board_height": 100.17}}, "cover_widening.turn_in", 60),
        ("light_list", {"text_block": {"height": 100.17}}, "sewn_cloth_joint.end", 45),
    ],
)
def test_the_most_that_a_refusal_allows_is_allowed(
    record: str, tables: dict[str, dict[str, float]], setting: str, asked: float
) -> None:
    """Half of what is left is rounded down, never up: the same setting is not refused again."""
    read, structure = changed(record, **tables), setting.split(".")[0]
    with pytest.raises(MendfoldError) as refused:
        drafted(read, structure, **{setting: asked})
    found = re.search(r"allowed is up to ([\d.]+)", str(refused.value))
    assert found is not None, refused.value
    assert setting not in refused_with(read, structure, setting, float(found[1]))
