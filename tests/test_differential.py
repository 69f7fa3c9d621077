"""The comparison of two versions, tried on toy trees that answer a few words each."""

from __future__ import annotations

import base64
import doctest
import io
import subprocess
import tomllib
from pathlib import Path
from types import ModuleType

import pytest
from reportlab.pdfgen.canvas import Canvas

from tests.differential import (
    __main__,
    comparing,
    drawings,
    expected,
    printed,
    trees,
    wishes,
)
from tests.differential.__main__ import main
from tests.differential.settings import Structure
from tests.differential.trees import DifferentialError

TOY = '''
"""A program that drafts a strip as wide as the block is high."""
import json, pathlib, tomllib

STRUCTURES = [{"name": "strip", "parameters": [], "materials": []}]
SHEET = """<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm" viewBox="0 0 210 297">
<title>Strip, mendfold 1.0</title><g id="cut" stroke="black"><path d="M0 0L%.3f 0"/></g></svg>"""


def main(arguments):
    command, *rest = arguments
    if command == "structures":
        print(json.dumps(STRUCTURES))
    elif command == "measure":
        pathlib.Path(rest[1]).write_text("[text_block]\\n#height =\\n")
    elif command == "examine":
        print(json.dumps({"findings": [{"key": "tall", "words": "it is tall"}]}))
    elif command == "draft":
        draft(rest)


def draft(rest):
    record = tomllib.loads(pathlib.Path(rest[0]).read_text())
    height = record.get("text_block", {}).get("height")
    if not isinstance(height, (int, float)):
        raise SystemExit(refuse("book.toml: no height: measure it"))
    folder = pathlib.Path("out/strip")
    folder.mkdir(parents=True)
    (folder / "sheet-01.svg").write_text(SHEET % height)
    print(json.dumps({"mendfold": "1.0", "pieces": [{"name": "STRIP", "width_mm": height}]}))


def refuse(line):
    import sys
    print(line, file=sys.stderr)
    return 1
'''
ORDERS = '[[order]]\nrecord = "toy"\nstructures = ["strip"]\n'
RUN = ("--records", "12", "--sheets", "3", "--workers", "1")


@pytest.fixture(autouse=True)
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Keep answers in a place of the test's own."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    return tmp_path / "cache" / "mendfold-differential"


def tree(folder: Path, *changes: tuple[str, str]) -> str:
    """Write a toy tree, its program's text changed, and return its folder."""
    text = TOY
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    package = folder / "patterns"
    (package / "demo").mkdir(parents=True)
    (folder / "templates").mkdir()
    (folder / "templates" / "strip.toml").write_text("", encoding="utf-8")
    (package / "__init__.py").write_text("", encoding="utf-8")
    (package / "cli.py").write_text(text, encoding="utf-8")
    (package / "demo" / "orders.toml").write_text(ORDERS, encoding="utf-8")
    (package / "demo" / "toy.toml").write_text("[text_block]\nheight = 200\n", encoding="utf-8")
    return str(folder)


def compared(tmp_path: Path, *changes: tuple[str, str], meant: str = "") -> tuple[int, Path]:
    """Compare the toy with a changed one; return the exit status and the list of differences."""
    known, listed = tmp_path / "expected.toml", tmp_path / "list.tsv"
    known.write_text(meant, encoding="utf-8")
    before, after = tree(tmp_path / "a"), tree(tmp_path / "b", *changes)
    asked = ("--before", before, "--after", after, "--expected", str(known), "--list", str(listed))
    return main((*asked, *RUN)), listed


def test_a_tree_does_not_differ_from_itself(tmp_path: Path) -> None:
    """Nothing is listed, and the run ends with 0."""
    status, listed = compared(tmp_path)
    assert status == 0
    assert listed.read_text(encoding="utf-8") == ""


FAULTS = {
    "a figure": (('"width_mm": height', '"width_mm": height + 0.01'), "draft/answer/pieces/STRIP/width_mm"),
    "a key more": (('"width_mm"', '"x": 1, "width_mm"'), "draft/answer/pieces/STRIP/x"),
    "a line on the sheet": (("SHEET % height", "SHEET % (height + 0.01)"), "draft/sheets/sheet-01.svg/layers/cut/marks/0/draws/figures/2"),
    "a sheet less": (('(folder / "sheet-01.svg").write_text', "str"), "draft/sheets/sheet-01.svg"),
    "words of a finding": (("it is tall", "it is long"), "examine/answer/findings/tall/words"),
    "a warning": (('folder = pathlib', 'refuse("warning: so tall"); folder = pathlib'), "draft/told/0"),
    "a refusal": (('not isinstance(height, (int, float))', "True"), "draft/outcome"),
    "words of a refusal": (("no height: measure it", "no height"), "draft/refused"),
    "a crash": (('folder = pathlib.Path("out/strip")', "height.nothing"), "draft/outcome"),
}  # fmt: skip


@pytest.mark.parametrize("fault", FAULTS)
def test_a_fault_is_listed_by_its_field(fault: str, tmp_path: Path) -> None:
    """Each fault put into the second toy is told where it shows, and there alone."""
    change, path = FAULTS[fault]
    status, listed = compared(tmp_path, change)
    assert status == 1
    rows = [line.split("\t") for line in listed.read_text(encoding="utf-8").splitlines()]
    assert {row[3] for row in rows} == {path}
    assert {row[2] for row in rows} == {"unexpected"}


def test_what_is_smaller_than_a_thousandth_is_no_difference(tmp_path: Path) -> None:
    """Neither on the sheet nor in the figures, nor in how a mark or the version is written."""
    assert compared(
        tmp_path,
        ('"width_mm": height', '"width_mm": height + 0.0004'),
        ('<g id="cut" stroke="black"><path d="M0 0L%.3f 0"/>',
         '<g id="cut"><line stroke="black" x1="0" y1="0.0" x2="%.4f" y2="0"/>'),
        ("mendfold 1.0", "mendfold 2.0"),
        ('"mendfold": "1.0"', '"mendfold": "2.0"'),
    )[0] == 0  # fmt: skip


MEANT = """
[[expected]]
name = "wider"
reason = "a hundredth was forgotten"
path = "draft/answer/pieces/*/width_mm"
structure = "strip"
before = '^\\d+'
"""


def test_an_expected_difference_passes(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """It is told by its name; one that matches nothing is told, too."""
    idle = MEANT.replace("width", "breadth")
    change = ('"width_mm": height', '"width_mm": height + 0.01')
    assert compared(tmp_path, change, meant=MEANT + idle)[0] == 0
    told = capsys.readouterr().out
    assert "expected  “wider” at draft/answer/pieces/*/width_mm" in told
    assert (
        "matched nothing: the expected difference “wider” at draft/answer/pieces/*/breadth" in told
    )


@pytest.mark.parametrize(
    "entry",
    [MEANT.replace("strip", "tube"), MEANT.replace("\\d", "[a-z]"), MEANT.replace("*", "TUBE")],
    ids=["structure", "before", "path"],
)
def test_another_difference_is_not_taken_for_the_expected_one(entry: str, tmp_path: Path) -> None:
    """Structure, place and what stood there must all fit."""
    change = ('"width_mm": height', '"width_mm": height + 0.01')
    assert compared(tmp_path, change, meant=entry)[0] == 1


@pytest.mark.parametrize("key", ["name", "reason", "path"])
def test_an_expectation_says_what_and_why(key: str, tmp_path: Path) -> None:
    """An entry without one of them is refused."""
    path = tmp_path / "expected.toml"
    path.write_text(MEANT.replace(f"{key} =", "other ="), encoding="utf-8")
    with pytest.raises(DifferentialError, match=f"{key} is missing"):
        expected.load(path)


def test_a_worker_that_dies_ends_the_comparison(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """It is said where; nothing passes for equal."""
    change = ('folder = pathlib.Path("out/strip")', "import os; os._exit(3)")
    assert compared(tmp_path, change)[0] == 2
    assert "the worker ended with 3 at demo toy" in capsys.readouterr().err


def test_a_field_that_only_one_knows_is_left_out(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A record drawn for both holds what both know; the field is named."""
    assert compared(tmp_path, ("#height =", "#height =\\n#mood ="))[0] == 0
    assert "only it knows text_block.mood" in capsys.readouterr().out


def test_the_list_of_differences_names_the_version_they_are_meant_against(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Without --before its base is compared with; a list without a base says what is missing."""
    known, before = tmp_path / "expected.toml", tree(tmp_path / "a")
    after = tree(tmp_path / "b", ('"width_mm": height', '"width_mm": height + 0.01'))
    asked = ("--after", after, "--expected", str(known), *RUN)
    known.write_text(f"base = '{before}'\n", encoding="utf-8")
    assert main(asked) == 1
    assert "draft/answer/pieces/*/width_mm" in capsys.readouterr().out
    known.write_text(f"base = '{after}'\n", encoding="utf-8")
    assert main(asked) == 0
    known.write_text("", encoding="utf-8")
    assert main(asked) == 2
    assert "base is missing: name a commit there, or by --before" in capsys.readouterr().err


def test_sheets_that_nobody_asked_for_are_no_difference(tmp_path: Path) -> None:
    """A version whose sheets cannot wait is compared all the same; asked for, they count."""
    status, listed = compared(tmp_path, ('{"mendfold"', '{"sheets": [], "mendfold"'))
    rows = [line.split("\t") for line in listed.read_text(encoding="utf-8").splitlines()]
    assert status == 1
    assert {row[3] for row in rows} == {"draft/answer/sheets"}
    assert len(rows) < 5


def test_a_crash_of_both_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """It is no difference, and no secret."""
    known = tmp_path / "expected.toml"
    known.write_text("", encoding="utf-8")
    fault = ('folder = pathlib.Path("out/strip")', "height.nothing")
    asked = ("--before", tree(tmp_path / "a", fault), "--after", tree(tmp_path / "b", fault))
    assert main((*asked, "--expected", str(known), *RUN)) == 0
    told = capsys.readouterr().out
    assert "the earlier version crashed: demo toy strip: AttributeError: " in told
    assert "(in cli.py, draft)" in told


def test_one_entry_more_is_one_difference() -> None:
    """What follows it in the list is known again."""
    before = [{"text": f"step {i}"} for i in range(6)]
    after = [*before[:2], {"text": "another"}, *before[2:]]
    found = list(comparing.spots({"steps": before}, {"steps": after}))
    assert [(one.path, one.before) for one in found] == [("steps/2", "(absent)")]


def test_no_figure_is_a_truth() -> None:
    """1 and true, 0 and null are different."""
    assert list(comparing.spots([{"a": 1}], [{"a": True}]))
    assert list(comparing.spots([{"a": 0}], [{"a": None}]))
    assert not list(comparing.spots([{"a": 2}], [{"a": 2.0}]))


def test_a_ring_may_begin_at_another_corner() -> None:
    """A corner moved by 0.01, and the same corners the other way round, are differences."""
    ring = [[0.0, 0.0], [9.5, 0.0], [9.5, 154.0], [0.0, 154.0]]
    turned, moved = [*ring[1:], ring[0]], [*ring[1:], [0.01, 0.0]]
    assert not list(comparing.spots({"outline_mm": ring}, {"outline_mm": turned}))
    assert list(comparing.spots({"outline_mm": ring}, {"outline_mm": moved}))
    assert list(comparing.spots({"outline_mm": ring}, {"outline_mm": ring[::-1]}))
    assert list(comparing.spots({"outline_mm": ring}, {"outline_mm": ring[:3]}))
    assert list(comparing.spots({"holes_mm": ring}, {"holes_mm": turned}))


def test_a_factor_is_held_finer_than_a_length() -> None:
    """A ten-thousandth of a factor is 0.03 mm on a sheet; of a length it is nothing."""
    assert list(comparing.spots({"correction": {"down": 1.0}}, {"correction": {"down": 1.0001}}))
    assert not list(
        comparing.spots({"quantities": {"down": 1.0}}, {"quantities": {"down": 1.0001}})
    )
    page = "2.834646 0 0 2.834646 0 0 cm"
    stretched = page.replace("0 2.834646", "0 2.834929")
    assert list(comparing.spots(drawings.value(page), drawings.value(stretched)))


def test_paths_are_read_with_letters_left_out() -> None:
    """A figure pair after M is an L; a closed path keeps its end."""
    text = '<svg width="9mm"><g id="a"><path d="M1 2 3 4-5.5.5Z"/></g></svg>'
    assert list(comparing.spots(drawings.sheet(text), drawings.sheet(text))) == []
    (row,) = comparing.spots(drawings.sheet(text), drawings.sheet(text.replace("5.5", "5.6")))
    assert (row.path, row.before, row.after) == ("layers/a/marks/0/draws/figures/4", "-5.5", "-5.6")
    (row,) = comparing.spots(drawings.sheet(text), drawings.sheet(text.replace("Z", "")))
    assert (row.before, row.after) == ("MLLZ", "MLL")


def test_a_commit_is_compared_and_its_answers_are_kept(
    tmp_path: Path, cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The second run asks the working tree alone, and finds the fault all the same."""
    folder = tmp_path / "repository"
    tree(folder)
    for words in ("init -q", "add .", "-c user.name=n -c user.email=e commit -qm toy"):
        subprocess.run(["git", *words.split()], cwd=folder, check=True)
    monkeypatch.setattr(__main__, "REPOSITORY", folder)
    listed = tmp_path / "list.tsv"
    asked = ("--before", "HEAD", "--list", str(listed), *RUN)
    assert main((*asked, "--after", str(folder))) == 0
    kept = {path: path.stat().st_mtime for path in cache.iterdir()}
    assert len(kept) == 2  # what it knows, and one batch
    program = folder / "patterns" / "cli.py"
    text = program.read_text(encoding="utf-8")
    program.write_text(text.replace("tall", "long"), encoding="utf-8")
    assert main((*asked, "--after", str(folder))) == 1
    assert "it is tall\tit is long" in listed.read_text(encoding="utf-8")
    assert set(cache.iterdir()) == set(kept)


def test_what_is_no_version_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    """Neither folder nor commit: one line, and status 2."""
    assert main(("--before", "no-such-commit")) == 2
    assert "no-such-commit" in capsys.readouterr().err


def test_drawn_records_are_toml_and_stay_the_same() -> None:
    """A drawn book does not depend on how many are drawn, nor is it ever the one before."""
    known = wishes.Common([Structure("board_slot", [], [])], frozenset(EVERY_FIELD))
    drawn = [wishes.draw(7, number, known).record for number in range(150)]
    assert all(tomllib.loads(text) for text in drawn)
    assert len(set(drawn)) == 150
    assert wishes.draw(7, 149, known).record == drawn[149]
    assert sum("[text_block]\nheight = " in text for text in drawn) > 100


EVERY_FIELD = [
    f"{table}.{key}"
    for table, keys in {
        "book": ("id", "title", "weight"),
        "text_block": ("height", "width", "thickness", "leaves", "gatherings"),
        "spine": ("profile", "round_depth", "girth_head", "girth_tail"),
        "cover": ("kind", "board_height", "board_thickness", "joint_gap"),
        "sewing": ("kettles", "supports_at"),
    }.items()
    for key in keys
]


def _pdf(x: float, words: str) -> str:
    file = io.BytesIO()
    canvas = Canvas(file, pageCompression=0)
    canvas.line(0, 0, x, 0)
    canvas.drawString(10, 10, words)
    canvas.save()
    return base64.b64encode(file.getvalue()).decode()


def test_a_printed_page_is_compared_by_its_lines_and_words() -> None:
    """A line's end and a word are each one difference; the version is none."""
    page = printed.pdf(_pdf(100.0, "cut, mendfold 1.0"))
    assert not list(comparing.spots(page, printed.pdf(_pdf(100.0, "cut, mendfold 1.1"))))
    (spot,) = comparing.spots(page, printed.pdf(_pdf(100.01, "cut, mendfold 1.0")))
    assert (spot.before, spot.after) == ("100.0", "100.01")
    (spot,) = comparing.spots(page, printed.pdf(_pdf(100.0, "fold, mendfold 1.0")))
    assert spot.path == "pages/page 1/words/0"


@pytest.mark.parametrize(
    "module", [comparing, drawings, expected, trees], ids=lambda one: one.__name__
)
def test_the_examples_in_the_words_hold(module: ModuleType) -> None:
    """pytest collects nothing of the package by itself."""
    found = doctest.testmod(module)
    assert found.attempted
    assert not found.failed
