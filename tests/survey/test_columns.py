"""Headings: what they stand for, in which unit, and which are refused."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from patterns.errors import SettingError
from patterns.record.fields import FIELDS
from patterns.survey.columns import blank, columns, renamed


def test_the_empty_table_has_every_field_and_every_heading_is_read() -> None:
    """One column a field, its unit beside it, and what is written is understood again."""
    headings = next(csv.reader(io.StringIO(blank(short=False))))
    found = columns(headings, {}, "books.csv")
    assert {one.name for one in found.read} == {one.name for one in FIELDS} | {"value", "use"}
    assert not found.left
    assert "text_block.height [mm]" in headings
    assert "book.weight [kg]" in headings


def test_the_short_table_is_what_can_be_taken_at_the_shelf() -> None:
    """Few enough to be taken in minutes; every one of them is read."""
    headings = next(csv.reader(io.StringIO(blank(short=True))))
    assert len(headings) == 17
    assert len(columns(headings, {}, "books.csv").read) == 17


def test_a_unit_in_the_heading_and_a_join_by_its_parts() -> None:
    """The unit is kept where it is not the field's own; the join's parts are its block."""
    read = columns(
        ["text_block.height (in)", "union[text block + boards].state", "Shelf"], {}, "b.csv"
    ).read
    assert [(one.name, one.unit, one.block) for one in read] == [
        ("text_block.height", "in", ""),
        ("union.state", "", "text block + boards"),
    ]


@pytest.mark.parametrize(
    ("headings", "words"),
    [
        (["text_block.heigth [mm]"], "did you mean text_block.height"),
        (["text_block.height [kg]"], r"\[kg\] is no unit of text_block.height: write one of mm"),
        (["spine.profile [mm]"], "no unit"),
        (["text_block.height", "text_block.height [cm]"], "both stand for text_block.height"),
    ],
)
def test_a_heading_that_cannot_stand_is_refused(headings: list[str], words: str) -> None:
    """A slip of the pen would lose a whole column in silence."""
    with pytest.raises(SettingError, match=words):
        columns(headings, {}, "books.csv")


def test_a_library_s_own_headings(tmp_path: Path) -> None:
    """The file gives them fields; what it does not name is left alone and told."""
    file = tmp_path / "map.toml"
    file.write_text('[columns]\n"Höhe (cm)" = "text_block.height [cm]"\nSignatur = "book.id"\n')
    found = columns(["Signatur", "Höhe (cm)", "Standort"], renamed(file), "books.csv")
    assert [(one.name, one.unit) for one in found.read] == [
        ("book.id", ""),
        ("text_block.height", "cm"),
    ]
    assert found.left == ("Standort",)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('[columns]\nSignatur = "book.di"\n', "did you mean book.id"),
        ('[columns]\nSignatr = "book.id"\n', "is no heading of books.csv: did you mean “Signatur”"),
        ("[columns]\nSignatur = 3\n", "needs the name of a field"),
        ("Signatur = 3\n", r"one table \[columns\]"),
        ("[columns\n", "no TOML"),
    ],
)
def test_a_file_of_headings_that_cannot_stand(tmp_path: Path, text: str, words: str) -> None:
    """One line says which heading and what to write."""
    file = tmp_path / "map.toml"
    file.write_text(text)
    with pytest.raises(SettingError, match=words):
        columns(["Signatur"], renamed(file), "books.csv")
