"""A book on the desk: what is typed, its problems, the way back, the draft, and what is saved."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path

import pytest

from patterns.record import reading, typed
from patterns.record.editing import edited
from patterns.record.fields import FIELDS
from patterns.structures import catalogue
from tests.bench.benches import Asking, opened
from tests.books import DEMO

ATLAS, LOGBOOK, PAY_BOOK = 1, 2, 3


def write(
    bench: Asking, name: str, words: str, book: int = LOGBOOK, visit: str = ""
) -> dict[str, object]:
    """Type words into a field and return how the book stands."""
    told = bench.post(f"/books/{book}/field", name=name, words=words, visit=visit)
    assert told.status == 200, told.body
    stands: dict[str, object] = told.json
    return stands


def shown(bench: Asking, name: str, book: int = LOGBOOK) -> str:
    """Return what stands in a field of the form."""
    html = bench.get(f"/books/{book}").json["html"]
    row = html.partition(f'data-name="{name}"')[2].partition("</div>")[0]
    if "<select" in row:
        found = re.search(r"<option selected>([^<]*)<", row)
        return found[1] if found else ""
    found = re.search(r'value="([^"]*)"', row)
    assert found, name
    return found[1]


def test_every_field_stands_on_the_form(bench: Asking) -> None:
    """All of them, in handling order, with unit, range and reason."""
    html = bench.get(f"/books/{LOGBOOK}").json["html"]
    places = []
    for field in FIELDS:
        name = field.name.replace("sewing.fold.", "sewing.fold[1].").replace("union.", "union[1].")
        if field.table == "sewing.fold":
            continue  # the logbook has no irregular gathering: one is asked for
        places.append(html.index(f'data-name="{name}"'))
        row = html[places[-1] :].partition('<ul class="problems"')[0]
        assert f"{field.low:g} to {field.high:g}" in row or not field.unit
        assert not field.unit or f'class="unit">{field.unit}<' in row
        assert field.reason[:20].replace("'", "&#39;") in row
    assert places == sorted(places)
    more = bench.post(f"/books/{LOGBOOK}/block", table="sewing.fold").json["html"]
    for field in FIELDS:
        if field.table == "sewing.fold":
            assert f'data-name="sewing.fold[1].{field.key}"' in more


def test_every_problem_stands_beside_its_field(bench: Asking) -> None:
    """All that cannot stand are told at once, each under its own name; mended, it is gone."""
    write(bench, "text_block.height", "9 mm")
    write(bench, "text_block.leaves", "many")
    stands = write(bench, "union[2].made", "glued")
    problems = stands["problems"]
    assert isinstance(problems, dict)
    assert set(problems) >= {"text_block.height", "text_block.leaves", "union[2].made"}
    assert "20 to 2000" in problems["text_block.height"][0]
    stands = write(bench, "text_block.height", "330")
    assert "text_block.height" not in stands["problems"]  # type: ignore[operator]


def test_what_does_not_go_together_is_told_beside_a_field(bench: Asking) -> None:
    """A contradiction between two fields is a problem like any other."""
    stands = write(bench, "spine.girth_head", "20")
    assert any("spine" in name for name in stands["problems"])  # type: ignore[attr-defined]


def test_saving_keeps_comments_and_units_as_they_were_typed(bench: Asking, folder: Path) -> None:
    """Only the changed lines change, and they hold the words that were typed."""
    before = (folder / "logbook.toml").read_text()
    write(bench, "text_block.height", "13 in")
    write(bench, "book.note", "")
    write(bench, "text_block.tear_strength", "350")
    assert (folder / "logbook.toml").read_text() == before
    assert bench.post(f"/books/{LOGBOOK}/save").status == 200
    after = (folder / "logbook.toml").read_text()
    gone = [line for line in before.splitlines() if line not in after.splitlines()]
    new = [line for line in after.splitlines() if line not in before.splitlines()]
    assert sorted(new) == ['height = "13 in"', "tear_strength = 350"]
    assert [line.partition(" ")[0] for line in gone] == ["note", "height"]
    assert [line for line in before.splitlines() if line.startswith("#")] == [
        line for line in after.splitlines() if line.startswith("#")
    ]


def test_nothing_is_saved_that_cannot_stand(bench: Asking, folder: Path) -> None:
    """The record stays as it is, and what is wrong is told."""
    before = (folder / "logbook.toml").read_bytes()
    write(bench, "text_block.height", "9")
    told = bench.post(f"/books/{LOGBOOK}/save")
    assert told.status == 422
    assert "text_block.height" in told.json["refused"]
    assert (folder / "logbook.toml").read_bytes() == before


def test_a_record_changed_elsewhere_is_left_alone(bench: Asking, folder: Path) -> None:
    """Two programs write one record: what the other wrote is not lost."""
    write(bench, "text_block.height", "331")
    other = (folder / "logbook.toml").read_text().replace("folio", "quarto")
    (folder / "logbook.toml").write_text(other)
    told = bench.post(f"/books/{LOGBOOK}/save")
    assert told.status == 422
    assert "changed by another program" in told.json["refused"]
    assert (folder / "logbook.toml").read_text() == other


def test_every_change_can_be_taken_back(bench: Asking) -> None:
    """Field, setting, structures and paper, the last first, also after saving, down to nothing."""
    height = shown(bench, "text_block.height")
    for words in ("3", "33", "335"):
        write(bench, "text_block.height", words, visit="7")
    bench.post(f"/books/{LOGBOOK}/structures", names="board_slot+secondary_sewing", settings="")
    bench.post(f"/books/{LOGBOOK}/setting", name="board_slot.depth", words="8", visit="")
    bench.post(f"/books/{LOGBOOK}/paper", paper="A3")
    bench.post(f"/books/{LOGBOOK}/save")
    undone = [bench.post(f"/books/{LOGBOOK}/undo").json["undone"] for _ in range(4)]
    assert undone == ["paper", "board_slot.depth", "structures", "text_block.height"]
    assert shown(bench, "text_block.height") == height
    last = bench.post(f"/books/{LOGBOOK}/undo").json
    assert last["undone"] == ""
    assert last["undo"] is False
    assert last["structures"] == []


def test_a_draft_survives_a_crash(folder: Path) -> None:
    """What was typed is on the disk before it is answered: a bench that is gone leaves it."""
    with opened(folder) as bench:
        bench.get("/books")
        write(bench, "text_block.height", "9 3/4 in")
        write(bench, "text_block.width", "not a width")
        bench.post(f"/books/{LOGBOOK}/structures", names="board_slot", settings="")
    with opened(folder) as bench:
        assert "not saved" in bench.get("/books").json["html"]
        told = bench.get(f"/books/{LOGBOOK}").json
        assert shown(bench, "text_block.height") == "9 3/4 in"
        assert shown(bench, "text_block.width") == "not a width"
        assert "text_block.width" in told["problems"]
        assert told["structures"] == ["board_slot"]
        assert bench.post(f"/books/{LOGBOOK}/undo").json["undone"] == "structures"


def test_a_new_book_is_written_when_it_is_saved(bench: Asking, folder: Path) -> None:
    """It has a file of its own, and the figures stand there as they were typed."""
    number = bench.post("/books").json["number"]
    assert not (folder / "book-1.toml").exists()
    for name, words in {
        "book.id": "../../etc/passwd",
        "text_block.height": "24.5 cm",
        "text_block.thickness": "30",
        "union[1].between": "text block / boards",
    }.items():
        write(bench, name, words, number)
    assert bench.post(f"/books/{number}/save").status == 422  # no id: only letters, digits, - and _
    write(bench, "book.id", "new-one", number)
    assert bench.post(f"/books/{number}/save").status == 200
    assert not (folder / "book-1.toml").exists()
    assert bench.get(f"/books/{number}").status == 200
    read = reading.load(folder / "new-one.toml")
    assert read.book.id == "new-one"
    assert read.text_block.height == 245
    assert 'height = "24.5 cm"' in read.text
    assert read.unions[0].between == ("text block", "boards")
    assert sorted(path.name for path in folder.parent.iterdir()) == ["books"]


def test_a_book_says_nothing_before_it_is_measured(bench: Asking) -> None:
    """Height and thickness first: of a book without them nothing is called in order."""
    number = bench.post("/books").json["number"]
    for name in ("text_block.height", "text_block.thickness"):
        html = bench.get(f"/books/{number}/look/findings").json["html"]
        assert "Give the height and the thickness" in html
        assert "out of order" not in html
        write(bench, name, "200" if name.endswith("height") else "20", number)
    assert "What the book says" in bench.get(f"/books/{number}/look/findings").json["html"]


def test_words_that_are_no_words_are_refused(bench: Asking) -> None:
    """A field that is none, words of another kind, a line of its own: nothing is taken."""
    for name in ("text_block.colour", "union.between", "union[0].between", "union[999].made", ""):
        told = bench.post(f"/books/{LOGBOOK}/field", name=name, words="1", visit="")
        assert told.status == 422
    assert bench.post(f"/books/{LOGBOOK}/field", name="book.note", words=7, visit="").status == 400
    assert bench.post(f"/books/{LOGBOOK}/field", words="7").status == 400
    told = bench.post(f"/books/{LOGBOOK}/field", name="book.note", words="a\nb", visit="")
    assert told.status == 422
    assert bench.get(f"/books/{LOGBOOK}").json["undo"] is False


def test_a_record_that_cannot_be_read_says_why(bench: Asking, folder: Path) -> None:
    """It stands on the shelf with what is wrong with it; the studio's other files do not."""
    (folder / "broken.toml").write_text("[book\nid = 3")
    (folder / "stock.toml").write_text('[[stock]]\nmaterial = "paper"\n')
    html = bench.get("/books").json["html"]
    assert "broken.toml, line 1" in html
    assert "stock.toml" not in html


def test_a_draft_that_cannot_be_read_is_told_and_not_lost(bench: Asking, folder: Path) -> None:
    """A broken draft is left where it is, with what to do about it."""
    draft = folder / ".bench" / "atlas.toml.draft.json"
    draft.parent.mkdir(exist_ok=True)
    draft.write_text('{"format": "mendfold-bench/1"}')
    assert "atlas.toml.draft.json" in bench.get("/books").json["html"]
    assert bench.get(f"/books/{ATLAS}").status == 422
    assert draft.exists()


def test_every_setting_of_every_structure_appears(bench: Asking) -> None:
    """With its unit, range, default and source, as the template declares it."""
    for name, template in catalogue.templates().items():
        told = bench.post(f"/books/{LOGBOOK}/structures", names=name, settings="")
        html = unescape(told.json["settings"])
        for key, row in template.parameters.items():
            part = html.partition(f'data-setting="{name}.{key}"')[2].partition("</ul>")[0]
            assert row.source[:15] in part, (name, key)
            if row.minimum is not None and row.maximum is not None:
                assert f"{row.minimum:g} to {row.maximum:g}" in part
        for role in template.materials:
            assert f'data-setting="{name}.{role}"' in html


@pytest.mark.parametrize("name", sorted(path.stem for path in DEMO.glob("*_*.toml")))
def test_a_record_is_typed_anew_as_it_was(name: str) -> None:
    """Every value as words, understood again, gives the same values; unchanged, the same text."""
    text = (DEMO / f"{name}.toml").read_text()
    tables = reading.unchecked(text, name)
    again = typed.typed({}, typed.all_words(tables))
    assert again.problems == ()
    assert reading.build(again.values) == reading.parse(text, name)
    assert edited(text, tables) == text


def test_blocks_are_changed_added_and_taken_away() -> None:
    """A join more, one less, one changed: the comments of the others stay."""
    text = (
        '# mine\n[[union]]\nbetween = ["a", "b"] # first\nmoves = true\n\n'
        '[[union]]\nbetween = ["c", "d"] # second\n\n[measuring]\nerror = 0.5 # read twice\n'
    )
    tables = reading.unchecked(text, "x")
    words = {"union[1].moves": "no", "union[3].between": "e / f", "measuring.error": "0.4"}
    more = edited(text, typed.typed(tables, words).tables)
    assert [row["between"] for row in reading.unchecked(more, "x")["union"]] == [
        ["a", "b"],
        ["c", "d"],
        ["e", "f"],
    ]
    for comment in ("# mine", "# first", "# second", "# read twice"):
        assert comment in more
    assert "moves = false" in more
    less = edited(text, typed.typed(tables, {"union[2].between": ""}).tables)
    assert len(reading.unchecked(less, "x")["union"]) == 1
    assert "# first" in less


def test_a_taken_away_block_leaves_the_numbers_of_the_others() -> None:
    """What is wrong with the third join is told of the third, though the second is empty."""
    tables = {"union": [{"between": ["a", "b"]}, {"between": ["c", "d"]}, {"between": ["e", "f"]}]}
    words = {"union[2].between": "", "union[3].made": "glued"}
    (problem,) = typed.typed(tables, words).problems
    assert problem.field == "union[3].made"
