"""Figures that are read several times, again at a later visit, or in inches."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path

import pytest

from patterns.bench.figures import Figures
from patterns.cli import main
from patterns.record import reading
from patterns.record.fields import BY_NAME, FIELDS
from tests.bench.benches import Asking, opened

LOGBOOK = 2


def write(bench: Asking, name: str, words: str) -> dict[str, dict[str, object]]:
    """Type words into a field of the logbook and return how the book stands."""
    told = bench.post(f"/books/{LOGBOOK}/field", name=name, words=words, visit="")
    assert told.status == 200, told.body
    stands: dict[str, dict[str, object]] = told.json
    return stands


@pytest.mark.parametrize(
    ("name", "words", "used", "told"),
    [
        ("text_block.thickness", "61; 60.6; 61.4", 61.0, "their mean: 61 mm, 0.8 mm apart"),
        ("text_block.thickness", "2.4 in; 61", 60.98, "their mean: 60.98 mm, 0.04 mm apart"),
        ("cover.board_thickness", "3.3 3.2 3.2", 3.2, "the least: 3.2 mm, 0.1 mm apart"),
        ("measuring.error", "228.2; 228.8; 228.4", 0.3, "half of what they differ by: 0.3 mm"),
    ],
)
def test_what_is_used_of_several_readings_is_what_the_field_says(
    bench: Asking, folder: Path, name: str, words: str, used: float, told: str
) -> None:
    """It is told beside them, kept as it was typed, and drafted from on the command line too."""
    stands = write(bench, name, words)
    assert stands["read"][name] == told
    assert name not in stands["problems"]
    assert bench.post(f"/books/{LOGBOOK}/save").status == 200
    record = folder / "logbook.toml"
    assert reading.load(record).get(name) == pytest.approx(used, abs=1e-9)
    with pytest.raises(SystemExit) as left:
        main(["draft", str(record), "hollow_tube", "--out", str(folder.parent / "out")])
    assert left.value.code == 0
    shown = bench.get(f"/books/{LOGBOOK}").json["html"]
    row = shown.partition(f'data-name="{name}"')[2].partition('class="problems"')[0]
    held = [unescape(part) for part in re.findall(r' value="([^"]*)"', row)]
    parts = words.split("; ") if ";" in words else words.split()
    assert held == [*parts, *[""] * (3 - len(parts))]


def test_readings_that_cannot_stand_are_told(bench: Asking) -> None:
    """One of them too large, ten of them, one alone to differ from itself, or a field of one reading."""
    for name, words, said in (
        ("text_block.thickness", "61; 610", "0.5 to 400 mm"),
        ("text_block.thickness", " ".join(["61"] * 10), "write 1 to 9"),
        ("measuring.error", "228.2; 228.2; 228.2", "0.01 to 5 mm"),
        ("text_block.height", "330; 331", "text_block.height"),
    ):
        problems = write(bench, name, words)["problems"]
        assert name in problems, name
        assert said in f"{name} {problems[name]}"


def test_inches_are_for_reading_alone(bench: Asking, folder: Path) -> None:
    """Chosen, they stand beside figures, ranges and findings; the record and a bare number stay in mm."""
    before = (folder / "logbook.toml").read_bytes()
    assert "read" in write(bench, "text_block.height", "330")
    assert bench.get(f"/books/{LOGBOOK}").json["read"] == {}
    assert bench.post("/figures/inches", on="").status == 200
    told = bench.get(f"/books/{LOGBOOK}").json
    assert told["read"]["text_block.height"] == "330 mm · 13 in"
    assert told["read"]["book.weight"] == "4.1 kg · 9 lb 1 oz"
    assert told["read"]["sewing.kettles"] == "15 mm · 19/32 in, 315 mm · 12 13/32 in"
    assert "20 to 2000 mm · 25/32 in to 78 3/4 in" in told["html"]
    stands = write(bench, "text_block.width", "9 in")
    assert stands["read"]["text_block.width"] == "228.6 mm · 9 in"
    bench.post(f"/books/{LOGBOOK}/structures", names="hollow_tube", settings="")
    assert re.search(r"to \d+ mm · \d", bench.get(f"/books/{LOGBOOK}/settings").json["html"])
    found = bench.get(f"/books/{LOGBOOK}/look/findings").json["html"]
    assert re.search(r"\d mm · \d", found)
    pieces = bench.get(f"/books/{LOGBOOK}/look/pieces").json["settings"]
    assert any(" · " in words for words in pieces.values())
    assert (folder / "logbook.toml").read_bytes() == before
    with opened(folder) as again:
        again.get("/books")
        assert "13 in" in again.get(f"/books/{LOGBOOK}").json["read"]["text_block.height"]
        assert again.post("/figures/metric", on="").status == 200
        told = again.get(f"/books/{LOGBOOK}").json
        assert told["read"] == {"text_block.width": "228.6 mm"}  # its own words say inches
    assert bench.post("/figures/cubits", on="").status == 404


def test_a_figure_is_read_as_exactly_as_it_is_measured() -> None:
    """To 1/32 in, what calipers read to a thousandth."""
    inches = Figures(True)
    assert inches.shown(24.5, "mm") == "24.5 mm · 31/32 in"
    assert inches.shown(0.19, "mm") == "0.19 mm · 0.007 in"
    assert inches.shown(350, "mN") == "350 mN"
    for tenths in range(64, 20_000, 37):
        words = inches.shown(tenths / 10, "mm").partition(" · ")[2].removesuffix(" in")
        whole, _, part = words.rpartition(" ")
        top, _, bottom = part.partition("/")
        read = int(whole or 0) + int(top) / int(bottom or 1)
        assert abs(read * 25.4 - tenths / 10) <= 25.4 / 64 + 1e-9


def test_every_field_is_asked_at_some_visit_and_read_as_it_says() -> None:
    """What is read after the sewing alone is not asked at first; only lengths are read several times.

    Which readings were right is said beside what doubts them, never asked.
    """
    assert [field.name for field in FIELDS if not field.visits] == ["measuring.checked"]
    sewn = [field.name for field in FIELDS if field.visits == ("sewn",)]
    assert sewn == ["spine.girth_sewn_head", "spine.girth_sewn_tail"]
    assert "cleaned" in BY_NAME["spine.linings"].visits
    for field in FIELDS:
        if field.repeated:
            assert field.unit == "mm"
            assert len(field.places) == 3
