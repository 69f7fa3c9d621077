"""Figures as people type them: what each means with either decimal sign, and what cannot be told."""

from __future__ import annotations

import pytest

from patterns.errors import MendfoldError
from patterns.survey.numbers import Decimal, Signs, about, plain_figures


@pytest.mark.parametrize(
    ("typed", "decimal", "meant"),
    [
        ("24.5", "point", "24.5"),
        ("24,5", "comma", "24.5"),
        ("1.250 mm", "comma", "1250 mm"),
        ("1.250 mm", "point", "1.250 mm"),
        ("1,250", "point", "1250"),
        ("1.250,75", "comma", "1250.75"),
        ("1 250", "point", "1250"),
        ("1\u202f250,5", "comma", "1250.5"),
        ("1'250.5", "point", "1250.5"),
        ("1’250", "comma", "1250"),
        ("12; 60,5; 110", "comma", "12; 60.5; 110"),
        ("12, 60.5, 110", "point", "12, 60.5, 110"),
        ("9 3/4 in", "point", "9 3/4 in"),
        ("-3,5", "comma", "-3.5"),
    ],
)
def test_a_figure_means_what_its_sheet_means(typed: str, decimal: Decimal, meant: str) -> None:
    """Thousands go, the decimal sign becomes a point, all else stays."""
    assert plain_figures(typed, decimal) == meant


@pytest.mark.parametrize(
    ("typed", "decimal"),
    [("24.5", "comma"), ("24,5", "point"), ("1.2.3", "point"), ("1,25.0", "point")],
)
def test_a_figure_of_the_other_sign_is_refused(typed: str, decimal: Decimal) -> None:
    """In a table of one decimal sign a figure of the other is never read as something else."""
    with pytest.raises(MendfoldError, match="no figure where the decimal sign is a"):
        plain_figures(typed, decimal)


@pytest.mark.parametrize(
    ("cells", "settled"),
    [
        (["24.5", "1,250"], "point"),
        (["24,5", "1.250 mm"], "comma"),
        (["1.250.000"], "comma"),
        (["0.125"], "point"),
        (["1 250,500"], "comma"),
        (["12", "30"], "point"),
    ],
)
def test_the_sign_is_settled_by_what_can_be_read_one_way(cells: list[str], settled: str) -> None:
    """One figure that tells settles all those that do not."""
    signs = Signs()
    for place, cell in enumerate(cells):
        signs.look(cell, f"row {place}")
    assert signs.settled("books.csv") == settled


@pytest.mark.parametrize("cells", [["1.250 mm"], ["24.5", "24,5"], ["1,250", "12.500"]])
def test_a_table_that_could_be_both_is_refused(cells: list[str]) -> None:
    """Nothing is guessed: the line names a place and the option that settles it."""
    signs = Signs()
    for place, cell in enumerate(cells):
        signs.look(cell, f"row {place}")
    with pytest.raises(MendfoldError, match=r"books.csv.*row 0.*: say which"):
        signs.settled("books.csv")


@pytest.mark.parametrize(
    "typed", ["ca. 30", "ca 30", "circa 30", "c. 30", "~30", "≈ 30", "About 30"]
)
def test_about_is_told(typed: str) -> None:
    """All the ways of saying that a reading was only taken about."""
    assert about(typed) == ("30", True)


@pytest.mark.parametrize("typed", ["30", "30 cm", "calf"])
def test_what_is_not_about(typed: str) -> None:
    """A plain reading, a unit that begins alike, a word."""
    assert about(typed) == (typed, False)
