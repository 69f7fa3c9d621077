"""`mendfold cutting-plan` as a person types it."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest
from pypdf import PdfReader

from patterns.cutting import stock, writing
from patterns.cutting.plan import CutSheet, Plan, Wish
from patterns.errors import WriteError
from tests.commands.bench import Run, refused

GALLERY = Path(__file__).parents[2] / "gallery"
STOCK = """
[[sheet]]
material = "kraft lining paper"
width = 700
length = 1000
grain = "length"
count = 3
price = 1.5

[[sheet]]
material = "spine card"
width = "50 cm"
length = "70 cm"
grain = "width"
count = 2

[[roll]]
material = "cover cloth"
width = 1100
length = 4000
"""


@pytest.fixture
def stocked(bench: Path) -> Path:
    """The bench with a stock file on it."""
    (bench / "stock.toml").write_text(STOCK, "utf-8")
    return bench


CHART = (
    "cutting-plan",
    "chart_book",
    "--gallery",
    str(GALLERY),
    "--stock",
    "stock.toml",
    "--tries",
    "5",
)
"""Plans the chart book of the gallery that comes with mendfold."""


def test_a_blank_stock_file_is_written_once(run: Run, bench: Path) -> None:
    """It can be read as it is, and one that may be filled in is never replaced."""
    assert run("cutting-plan", "--stock-blank").status == 0
    assert stock.load(bench / "stock.toml")
    (bench / "stock.toml").write_text("mine", "utf-8")
    refused(run, "cutting-plan", "--stock-blank")


def test_a_pattern_of_the_gallery_is_planned(run: Run, stocked: Path) -> None:
    """Three files; the PDF names every piece; the list for the shop is a table."""
    said = run(*CHART)
    folder = stocked / "cutting-plan"
    assert sorted(path.name for path in folder.iterdir()) == [
        "plan.json",
        "plan.pdf",
        "shopping.csv",
    ]
    document = json.loads((folder / "plan.json").read_text("utf-8"))
    assert document["format"] == "mendfold-plan/1"
    pieces = {one["name"] for sheet in document["stock"] for one in sheet["pieces"]}
    assert pieces == {"strip", "widening piece", "inlay"}
    words = " ".join(page.extract_text() for page in PdfReader(folder / "plan.pdf").pages)
    assert all(name in words for name in pieces)
    assert "3 pieces on 3" in said.out
    rows = list(csv.DictReader(io.StringIO((folder / "shopping.csv").read_text("utf-8-sig"))))
    assert ("kraft lining paper", "1", "1.50") in [
        (row["material"], row["count"], row["price"]) for row in rows
    ]
    assert any(row["for"] == "adhesive" for row in rows)


def test_a_folder_that_was_drafted_is_planned_by_its_path(run: Run, stocked: Path) -> None:
    """The same pattern, from the gallery's own folder."""
    folder = next(GALLERY.glob("chart_book-*/r0001"))
    assert run("cutting-plan", str(folder), *CHART[4:]).status == 0
    assert (stocked / "cutting-plan" / "plan.json").exists()


def test_offcuts_go_into_the_stock_file_and_the_old_one_stays(run: Run, stocked: Path) -> None:
    """What was cut is gone, what is left is there, the roll is shorter, the old file lies beside."""
    assert run(*CHART, "--keep-offcuts").status == 0
    assert (stocked / "stock-before-1.toml").read_text("utf-8") == STOCK
    rows = stock.load(stocked / "stock.toml")
    kraft = [one for one in rows if one.material == "kraft lining paper"]
    assert sum(one.count for one in kraft if not one.source) == 2
    assert any("chart_book" in one.source for one in kraft)
    (roll,) = (one for one in rows if one.form == "roll")
    (cloth,) = (
        one
        for one in json.loads((stocked / "cutting-plan" / "plan.json").read_text("utf-8"))["stock"]
        if one["form"] == "roll"
    )
    assert roll.length_mm == pytest.approx(4000 - cloth["length_mm"], abs=0.02)
    assert cloth["length_mm"] == pytest.approx(294 + 2 * 5, abs=1.0)


def test_offcuts_kept_twice_are_taken_from_what_is_there(run: Run, stocked: Path) -> None:
    """The second run plans on what the first one left, and every older stock file stays."""
    assert run(*CHART, "--keep-offcuts").status == 0
    left = (stocked / "stock.toml").read_bytes()
    said = run(*CHART, "--keep-offcuts")
    assert said.status == 1, "an earlier, different plan is there"
    assert (stocked / "stock.toml").read_bytes() == left
    assert run(*CHART, "--keep-offcuts", "--force").status == 0
    assert (stocked / "stock-before-1.toml").read_text("utf-8") == STOCK
    assert (stocked / "stock-before-2.toml").read_bytes() == left
    document = json.loads((stocked / "cutting-plan" / "plan.json").read_text("utf-8"))
    assert any("chart_book" in one["from"] for one in document["stock"]), "offcuts come first"


def test_stock_that_somebody_else_has_used_is_left_alone(stocked: Path) -> None:
    """Two plans from one stock file: the second to write is told so, and nothing is lost."""
    path = stocked / "stock.toml"
    rows = stock.load(path)
    sheet = CutSheet(rows[0], rows[0].length_mm, (), (), ())
    beside = writing.keep_offcuts(path, rows, Plan(Wish(), (sheet,)), "one\njob")
    assert beside.read_text("utf-8") == STOCK
    after = path.read_bytes()
    with pytest.raises(WriteError, match="has changed since this plan was made"):
        writing.keep_offcuts(path, rows, Plan(Wish(), (sheet, sheet)), "another job")
    assert path.read_bytes() == after
    assert sum(one.count for one in stock.load(path)) == sum(one.count for one in rows) - 1


@pytest.mark.usefixtures("stocked")
@pytest.mark.parametrize(
    ("more", "words"),
    [
        (("--gap", "nan"), "gap is nan mm; allowed: 0 to 50 mm"),
        (("--tries", "0"), "tries is 0; allowed: 1 to"),
        (("--paper", "A17"), "--paper"),
        (("nobody",), "nobody: no such pattern"),
        (("--stock", "none.toml"), "none.toml is not there"),
    ],
)
def test_what_cannot_be_done_is_refused_in_one_line(
    run: Run, more: tuple[str, ...], words: str
) -> None:
    """Nothing is written."""
    refused(run, *CHART, *more, words=(words,))


def test_a_name_that_a_spreadsheet_would_take_for_a_formula_stays_words(
    run: Run, stocked: Path
) -> None:
    """A studio may call its stock anything."""
    own = '[[sheet]]\nmaterial = "=1+1"\nwidth = 700\nlength = 700\ngrain = "width"\n'
    (stocked / "stock.toml").write_text(own, "utf-8")
    folder = next(GALLERY.glob("chart_book-*/r0001"))
    home = stocked / "own"
    home.mkdir()
    text = (folder / "pattern.json").read_text("utf-8").replace('"spine card"', '"=1+1"')
    (home / "pattern.json").write_text(text, "utf-8")
    assert run("cutting-plan", "own", "--stock", "stock.toml", "--tries", "2").status == 0
    table = (stocked / "cutting-plan" / "shopping.csv").read_text("utf-8-sig")
    assert "'=1+1" in table
    assert "\n=" not in table
