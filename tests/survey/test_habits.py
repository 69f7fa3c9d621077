"""What people do in their own tables, and what a survey makes of it: merged headings, fractions, days, sums, ids twice."""

from __future__ import annotations

import datetime
import json
from pathlib import Path

import pytest

from patterns import cli
from patterns.survey.columns import columns
from patterns.survey.rows import from_cells
from patterns.survey.sample import pick
from tests.survey.surveying import rows, surveyed

PLAIN = "book.id,text_block.height,text_block.width,text_block.thickness,spine.profile,spine.linings,spine.shoulder,cover.kind"
"""Headings of the least that a book can be examined by."""


def test_a_heading_merged_over_both_rows_of_headings(tmp_path: Path) -> None:
    """A shelf mark's heading that stands in the upper row alone is one; so is a library's own."""
    table = (
        "Signatur;Titel;text_block;;value\n;;height;width;\n"
        "Hs. 4/1;Urbar;226,5;160;3\nHs. 4/2;Urbar;230;160;2\n"
    )
    (tmp_path / "b.csv").write_text(table, encoding="utf-8")
    (tmp_path / "c.toml").write_text('[columns]\n"Signatur" = "book.id"\n', encoding="utf-8")
    out = surveyed(tmp_path / "b.csv", tmp_path / "s", "--columns", str(tmp_path / "c.toml"))
    assert [one["id"] for one in rows(out / "books.csv")] == ["Hs. 4/1", "Hs. 4/2"]
    told = [json.loads(line)["told"] for line in (out / "results.jsonl").read_text().splitlines()]
    assert sorted(one["value"] for one in told) == [2, 3]
    assert not rows(out / "problems.csv")


@pytest.mark.parametrize(
    ("typed", "meant"), [("9-1/2", 241.3), ("9½", 241.3), ("1¾", 44.45), ('9 1/2"', 241.3)]
)
def test_inches_as_rules_are_read(typed: str, meant: float) -> None:
    """Below a heading in inches a fraction needs no unit, however it was typed."""
    read = columns(["book.id", "text_block.width [in]"], {}, "b.csv").read
    record = from_cells(["A", typed], read, "point").record
    assert record is not None
    assert record.text_block.width == pytest.approx(meant)


@pytest.mark.parametrize("typed", ["9-10", "9/1/2", "9 x 4", "1½ 1½"])
def test_two_figures_in_a_cell_in_inches_are_refused(typed: str) -> None:
    """A range or two sizes are no measurement, with a unit in the heading or without."""
    read = columns(["book.id", "text_block.width [in]"], {}, "b.csv").read
    assert from_cells(["A", typed], read, "point").record is None


def test_words_and_days_as_people_write_them() -> None:
    """The trade's own spelling of a word in the lists, and a day with points, day before month."""
    heads = ["book.id", "condition.leather", "cover.kind", "measuring.on"]
    read = columns(heads, {}, "b.csv").read
    record = from_cells(["A", "Red rot", "in boards", "5.3.2026"], read, "comma").record
    assert record is not None
    assert record.condition.leather == "red-rot"
    assert record.cover.kind == "in-boards"
    assert record.measuring.on == datetime.date(2026, 3, 5)


@pytest.mark.parametrize("typed", ["3/5/2026", "31.2.2026", "5.3.26"])
def test_a_day_that_could_be_two_is_refused(typed: str) -> None:
    """A day that says not which figure is the month, or is none, is not guessed at."""
    read = columns(["book.id", "measuring.on"], {}, "b.csv").read
    (one,) = from_cells(["A", typed], read, "comma").problems
    assert "25.11.2026" in one.problem.allowed


def test_a_row_of_sums_is_told_to_be_no_book(tmp_path: Path) -> None:
    """The sums below a table are refused as a row; any shelf mark would do, so no alphabet is prescribed."""
    (tmp_path / "b.csv").write_text("book.id,text_block.height\nMS. 1,240\n,240\n")
    out = surveyed(tmp_path / "b.csv", tmp_path / "s")
    (problem,) = rows(out / "problems.csv")
    assert problem["remedy"].endswith("or take the row out if it is no book")
    assert "A–Z" not in problem["allowed"]


def test_an_id_used_twice_is_told_in_a_sample_too(tmp_path: Path) -> None:
    """A row that repeats an id above it is no book of that id, though the sample left the other out."""
    lines = ["a,226,160,30,flat,0,0,limp"] * 2 + [f"{n},226,160,30,flat,0,0,limp" for n in range(4)]
    (tmp_path / "b.csv").write_text("\n".join([PLAIN, *lines]), encoding="utf-8")
    seed = next(one for one in range(100) if pick(6, 2, one) == frozenset({2, 3}))
    out = surveyed(tmp_path / "b.csv", tmp_path / "s", "--sample", "2", "--seed", str(seed))
    states = {one["row"]: one["state"] for one in rows(out / "books.csv")}
    assert states == {"2": "refused", "3": "examined"}
    text = (out / "survey.html").read_text()
    assert "the books examined: 1" in text
    assert "of the sample alone" in text


def test_a_word_that_fits_nowhere_may_be_left_out(tmp_path: Path) -> None:
    """A cloth binding has no leather to judge: the remedy is not to call it sound."""
    (tmp_path / "b.csv").write_text("book.id,condition.leather\na,none\n")
    (problem,) = rows(surveyed(tmp_path / "b.csv", tmp_path / "s") / "problems.csv")
    assert problem["remedy"] == "choose one, or leave it out"


@pytest.mark.parametrize("options", [(), ("--sample", "1")])
def test_a_collection_holds_at_least_the_books_of_its_table(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], options: tuple[str, ...]
) -> None:
    """However few are picked, a table of three books is of no collection of two."""
    (tmp_path / "b.csv").write_text("book.id\na\nb\nc\n")
    command = ["survey", str(tmp_path / "b.csv"), "--out", str(tmp_path / "s"), *options]
    with pytest.raises(SystemExit) as left:
        cli.main([*command, "--population", "2"])
    assert left.value.code == 1
    assert "3 books stand in the table" in capsys.readouterr().err
    assert not (tmp_path / "s").exists()
