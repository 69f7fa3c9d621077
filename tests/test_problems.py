"""What is wrong with a record, as data: every problem at once, each with field, range and remedy."""

from __future__ import annotations

import pickle
import re
import tomllib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patterns import cli
from patterns.commands.advice import told
from patterns.errors import MendfoldError, Problem, RecordError, SettingError
from patterns.record import reading
from patterns.record.fields import BY_NAME, FIELDS, LIST_TABLES, TABLES
from patterns.record.needs import missing
from patterns.record.tables import check
from tests.books import changed, drafted
from tests.test_bad_input import CASES

FIVE = """\
[spine]
linings = "thick"
[text_block]
heigth = 240
thickness = 4000
leaves = 12
gatherings = 40
[[union]]
moves = true
"""


def refusal(text: str) -> RecordError:
    """Return the refusal of a text, which there must be."""
    with pytest.raises(RecordError) as caught:
        reading.parse(text, "book.toml")
    return caught.value


def test_a_record_with_five_faults_gives_all_five() -> None:
    """Unreadable ones first, then what cannot stand together, each in handling order."""
    error = refusal(FIVE)
    assert [
        (problem.field, problem.found, problem.allowed, problem.remedy, problem.kind)
        for problem in error.problems
    ] == [
        (
            "text_block.heigth",
            "is unknown",
            "height, width, thickness, thickness_fore_edge, weight, leaves, gatherings, "
            "leaves_per_gathering, leaf_thickness, grammage, grain, tear_strength, anchor_first, "
            "anchor_last",
            "did you mean height?",
            "name",
        ),
        (
            "text_block.thickness",
            "is 4000 mm",
            "0.5 to 400 mm",
            "measure again, or check the unit",
            "range",
        ),
        (
            "spine.linings",
            "is no measurement: “thick” is not a length in mm, cm, m, in or ft",
            "0 to 20 mm",
            "write “24.5 cm” or “9 3/4 in”",
            "unread",
        ),
        (
            "union[1]",
            "lacks between (the two parts of one join, as text block and boards; examine judges "
            "by the joins)",
            'two names, as ["text block", "boards"]',
            'write two names, as ["text block", "boards"]',
            "name",
        ),
        ("text_block.gatherings", "is 40, the leaves 12", "1 to 12", "count again", "clash"),
    ]


def test_the_line_tells_the_first_and_counts_the_others() -> None:
    """One line of the file's name, the line in it, the first problem's own words, and the count."""
    error = refusal(FIVE)
    assert str(error) == (
        "book.toml, line 4: text_block.heigth is unknown: did you mean height? (and 4 more)"
    )
    assert [problem.line for problem in error.problems][1:3] == [
        "text_block.thickness is 4000 mm; allowed: 0.5 to 400 mm: measure again, or check the unit",
        "spine.linings is no measurement: “thick” is not a length in mm, cm, m, in or ft: "
        "write “24.5 cm” or “9 3/4 in”; allowed: 0 to 20 mm",
    ]


@pytest.mark.parametrize("case", CASES)
def test_every_problem_has_all_its_parts(case: str, tmp_path: Path) -> None:
    """Field, found, allowed and remedy of each; the field is one of the record, its table or block."""
    content, _ = CASES[case]
    path = tmp_path / "book.toml"
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    with pytest.raises(RecordError) as caught:
        reading.load(path)
    assert caught.value.problems
    for problem in caught.value.problems:
        assert problem.found, problem
        assert problem.allowed, problem
        assert problem.remedy, problem
        assert problem.found.isprintable()
        assert "mendfold" not in problem.line
        name = re.sub(r"\[\d+\]", "", problem.field)
        if problem.kind in ("text", "empty"):
            assert not name
            assert len(caught.value.problems) == 1
        elif problem.kind == "name":
            assert name.rpartition(".")[0] in ("", "sewing", "cover", *TABLES)
        else:
            assert name in BY_NAME


CONTRARY = """\
[book]
weight = 1
[text_block]
height = 240
thickness = 40
weight = 2
leaves = 30
gatherings = 40
leaf_thickness = 3
anchor_first = 50
anchor_last = 45
[spine]
profile = "flat"
round_depth = 90
over_shoulders = 30
shoulder = 2
girth_head = 9
girth_tail = 300
[cover]
board_height = 300
board_weight = 0.6
square_head = 3
square_tail = 3
side_height = 20
turn_in = 15
[cover.back]
board_height = 200
turn_in = 12
[sewing]
stations = [20, 10]
kettles = [12, 250]
supports_at = [3, 8]
support_width = 12
supports = "none"
stations_from = "kettle"
tie_down = 80
[[sewing.fold]]
gathering = 4
holes = [250]
[[sewing.fold]]
gathering = 4
holes = [9, 8]
[[sewing.fold]]
gathering = 99
[album]
leaves = 3
contents_thickness = [1, 2]
leaf_width = 100
inner_margin = 200
"""
SINGLE: dict[str, dict[str, object]] = {
    name: {key: value for key, value in row.items() if key not in ("back", "fold")}
    for name, row in {
        **tomllib.loads(CONTRARY),
        "cover.back": tomllib.loads(CONTRARY)["cover"]["back"],
    }.items()
}
# every field that contradicts another there, and how often, counted by hand
CONTRARIES = {
    "text_block.weight": 1, "text_block.gatherings": 1, "text_block.leaf_thickness": 1,
    "text_block.anchor_first": 2, "text_block.anchor_last": 1, "spine.round_depth": 2,
    "spine.over_shoulders": 1, "spine.girth_head": 1, "spine.girth_tail": 1,
    "cover.board_height": 1, "cover.board_weight": 1, "cover.turn_in": 1,
    "cover.back.board_height": 1, "cover.back.turn_in": 1, "sewing.stations": 1,
    "sewing.kettles": 1, "sewing.supports_at": 1, "sewing.support_width": 2,
    "sewing.stations_from": 1, "sewing.fold[1].holes": 1, "sewing.fold[2].gathering": 1,
    "sewing.fold[2].holes": 1, "album.contents_thickness": 1, "album.inner_margin": 1,
}  # fmt: skip


def test_every_contradiction_is_told_at_once() -> None:
    """Each beside the field to look at; none of them twice; in handling order."""
    fields = [problem.field for problem in refusal(CONTRARY).problems]
    assert {name: fields.count(name) for name in fields} == CONTRARIES
    places = [BY_NAME[re.sub(r"\[\d+\]", "", name)] for name in fields]
    assert [FIELDS.index(place) for place in places] == sorted(map(FIELDS.index, places))


def test_a_contradiction_of_both_boards_is_told_once() -> None:
    """One value for both boards that only its own squares contradict is one problem, not two."""
    text = (
        "[text_block]\nheight = 240\n[cover]\nboard_height = 300\nsquare_head = 3\nsquare_tail = 3\n"
        '[cover.back]\njoint = "tight"\n'
    )
    assert [problem.field for problem in refusal(text).problems] == ["cover.board_height"]


@pytest.mark.parametrize("field", [f for f in FIELDS if f.table not in LIST_TABLES])
def test_nothing_is_said_that_rests_on_a_value_which_cannot_be_read(
    field: object, request: pytest.FixtureRequest
) -> None:
    """One value spoilt: the same contradictions or fewer, never one that was not there before."""
    one = BY_NAME[getattr(field, "name", "")]
    tables = tomllib.loads(CONTRARY)
    whole = set(check(tables).problems)
    table = tables
    for step in one.table.split("."):
        table = table.setdefault(step, {})
    table[one.key] = {"spoilt": 1}
    apart = [problem for problem in check(tables).problems if problem not in whole]
    assert [problem.field for problem in apart] == [one.name], request.node.name
    assert all(problem.field != one.name for problem in check(tables).problems[1:])


def test_a_default_does_not_stand_in_for_what_cannot_be_read() -> None:
    """With 30 mm shoulders the strip of 150 is right over 40 mm; unread shoulders are not taken as 0."""
    text = "[text_block]\nthickness = 40\n[spine]\nshoulder = {}\ngirth_head = 150\n"
    reading.parse(text.format(30), "x")
    assert [problem.field for problem in refusal(text.format("30.5.1")).problems] == [""]
    for wrong in ('"wide"', "900", "[900]"):
        assert [p.field for p in refusal(text.format(wrong)).problems] == ["spine.shoulder"]
    slip = text.replace("shoulder =", "sholder =").format(30)
    assert [p.field for p in refusal(slip).problems] == ["spine.sholder"]
    assert [p.field for p in refusal(text.replace("shoulder = {}\n", "")).problems] == [
        "spine.girth_head"
    ]


def test_a_table_that_cannot_be_read_hides_all_that_stands_in_it() -> None:
    """The front board's own values may be anything, so nothing is said of it; the back is alike."""
    text = (
        "[text_block]\nheight = 240\n"
        "[cover]\nfront = {}\nboard_height = 300\nsquare_head = 3\nsquare_tail = 3\n"
    )
    assert [one.field for one in refusal(text.format(3)).problems] == ["cover.front"]
    assert [one.field for one in refusal(text.format("{}")).problems] == ["cover.board_height"]


@given(st.sets(st.sampled_from([(t, k) for t, row in SINGLE.items() for k in row])))
@settings(max_examples=300)
def test_any_part_of_a_record_can_be_compared(kept: set[tuple[str, str]]) -> None:
    """With any of its figures left out, what is told is told of figures that are there."""
    tables: dict[str, dict[str, object]] = {}
    for table, key in sorted(kept):
        tables.setdefault(table, {})[key] = SINGLE[table][key]
    raw = {table: row for table, row in tables.items() if "." not in table}
    raw |= {"cover": {**raw.get("cover", {}), "back": tables.get("cover.back", {})}}
    for problem in check(raw).problems:
        table, _, key = problem.field.rpartition(".")
        assert (table, key) in kept or problem.field == "cover.board_weight"


def test_each_missing_field_is_a_problem_of_its_own() -> None:
    """With its range and how it is measured; alternatives are one problem, either would do."""
    book = reading.parse("[text_block]\nheight = 240\n", "x.toml")
    wanted = ("spine.girth_head|spine.round_depth", "text_block.height", "text_block.thickness")
    assert [
        (one.field, one.found, one.allowed, one.remedy.partition(",")[0], one.kind)
        for one in missing(book, wanted)
    ] == [
        (
            "book.id",
            "is missing",
            "1 to 64 letters A–Z a–z, digits, - and _, starting with a letter or digit",
            "give it: names every sheet and folder of this book",
            "missing",
        ),
        (
            "text_block.thickness",
            "is missing",
            "0.5 to 400 mm",
            "give it: between the boards' inner faces",
            "missing",
        ),
        (
            "spine.girth_head|spine.round_depth",
            "is missing",
            "0.5 to 900 mm, or -150 to 300 mm",
            "give one: spine.girth_head: paper strip",
            "missing",
        ),
    ]
    assert missing(book, ["text_block.height"])[1:] == ()


def typed(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    """Return the line with which the command line refuses."""
    with pytest.raises(SystemExit) as leave:
        cli.main(words)
    assert leave.value.code == 1
    return capsys.readouterr().err


def test_only_the_command_line_says_what_to_type(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The whole lines, as a person reads them."""
    monkeypatch.chdir(tmp_path)
    Path("x.toml").write_text('[book]\nid = "x"\n[text_block]\nheight = 240\n')
    Path("empty.toml").write_text("\n")
    assert typed(capsys, "draft", "x.toml", "hollow_tube") == (
        "mendfold: x.toml, line 3: missing text_block.thickness (mm), spine.girth_head (mm) or "
        "spine.girth_tail (mm) or spine.round_depth (mm), spine.linings (mm): measure and add each below its [table], "
        "or run “mendfold measure” for the reason of each\n"
    )
    assert typed(capsys, "draft", "empty.toml", "hollow_tube") == (
        "mendfold: empty.toml is empty: fill in a record from “mendfold measure --blank”\n"
    )
    assert typed(capsys, "draft", "none.toml", "hollow_tube") == (
        "mendfold: none.toml is not there: check the name, or start one with "
        "“mendfold measure --blank”\n"
    )


def test_problems_travel_with_their_refusal() -> None:
    """A worker of another process hands them back whole."""
    error = refusal(FIVE)
    back = pickle.loads(pickle.dumps(error))
    assert (str(back), back.problems) == (str(error), error.problems)
    assert MendfoldError("a plain line").problems == ()


def test_no_part_of_a_problem_carries_marks_that_move_the_terminal() -> None:
    """What was typed is shown as one printable line; the field's name stays as it was given."""
    problem = Problem("a\x1b.b", "is “\x1b[31m\nx”", "\u202e1", "write\tagain")
    assert (problem.field, problem.found) == ("a\x1b.b", "is “[31m x”")
    assert str(RecordError.of(problem)).isprintable()


# structures, setting, what the core finds: field, allowed, remedy; and the line as it is typed
SETTINGS: tuple[tuple[str, dict[str, str], tuple[str, str, str], str], ...] = (
    (
        "hollow_tube", {"on": "9"}, ("on", "1 to 3", "give one between them"),
        "--set on: 9 layers is out of range; allowed is 1 to 3",
    ),
    (
        "hollow_tube", {"hollow_tube.reach": "board"},
        ("hollow_tube.reach", "choice of block, boards", "did you mean boards?"),
        "--set hollow_tube.reach: 'board' is no choice of block, boards: did you mean boards?",
    ),
    (
        "hollow_tube", {"onn": "1"}, ("onn", "on", "nearest: on"),
        "--set onn: no drafted structure has this setting; nearest: on; "
        "`mendfold structures NAME` lists them",
    ),
    (
        "hollow_tube", {"board_slot.depth": "9"},
        ("board_slot.depth", "hollow_tube", "set it of one of them, or draft it too"),
        "--set board_slot.depth: board_slot is not among the drafted structures",
    ),
    (
        "hollow_tube", {"paper_thickness": "0"},
        ("paper_thickness", "0.005 to 20 mm", "give one between them"),
        "--set paper_thickness is 0 mm; allowed: 0.005 to 20 mm",
    ),
    (
        "hollow_tube", {"paper_growth_across": "x"},
        ("paper_growth_across", "a number", "write figures alone, with a point for decimals"),
        "--set paper_growth_across: write figures alone, with a point for decimals",
    ),
    (
        "board_slot secondary_sewing", {"board_slot.setback_head": "5"},
        ("setback_head", "board_slot and secondary_sewing alike", "set both"),
        "setback_head: board_slot has 5 and secondary_sewing 12.7 for one cloth; "
        "set both with --set setback_head=…",
    ),
    (
        "loss_infill", {}, ("loss_infill.outline", "an SVG or DXF file, or points in mm", "give it"),
        "loss_infill.outline: the traced loss is needed: --set outline=FILE.svg, a DXF file, or "
        "points in mm such as --set outline='12,30 31,28 40,52 18,60'",
    ),
    (
        "loss_infill", {"outline": "1,2"}, ("outline", "one traced loss, of closed lines", "give an SVG"),
        "--set outline: an outline of 1 points encloses nothing; give three or more",
    ),
    (
        "hollow_tub", {}, ("structure", "album_guards, ", "did you mean hollow_tube?"),
        "structure 'hollow_tub' is unknown; did you mean hollow_tube? "
        "`mendfold structures` lists them",
    ),
    (
        "", {}, ("structure", "one or more", "name one"),
        "no structure named; `mendfold structures` lists them",
    ),
)  # fmt: skip


@pytest.mark.parametrize(("structures", "settings", "data", "line"), SETTINGS)
def test_a_wrong_setting_is_a_problem_too(
    structures: str, settings: dict[str, str], data: tuple[str, str, str], line: str
) -> None:
    """Its name, what is allowed and what to do; what a terminal takes is no word of the core."""
    with pytest.raises(SettingError) as caught:
        drafted("logbook", *structures.split(), **settings)
    (problem,) = caught.value.problems
    assert problem.field == data[0]
    assert problem.found
    assert data[1] in problem.allowed
    assert problem.remedy.startswith(data[2])
    assert "--set" not in str(caught.value)
    assert "mendfold" not in str(caught.value)
    assert told(caught.value) == line


# structures, changes of a demo record, what the core finds, and the line as it was always typed
FOUND_WHILE_DRAFTING: tuple[tuple[str, str, dict[str, dict[str, object]], list[str], str], ...] = (
    (
        "chart_book", "hollow_tube",
        {"spine": {"profile": "concave", "round_depth": -3.0, "girth_head": None, "girth_tail": None}},
        ["spine.girth_head", "spine.girth_tail"],
        "spine.girth_head: a fallen-in spine cannot be worked out from its depth; lay a paper strip "
        "over it, tip to tip, and give girth_head and girth_tail",
    ),
    (
        "seaweed_album", "album_guards", {"album": {"kind": "folios", "leaves": 9}},
        ["album.leaves"],
        "album.leaves: 9 is odd, and folded pairs have two leaves each; count again, or guard the odd "
        'one as a pair with a bare stub and record kind = "single"',
    ),
    (
        "logbook", "spine_lining", {"sewing": {"support_width": None}}, ["sewing.support_width"],
        "sewing.support_width is needed beside supports_at: measure one support, head to tail, 0.2 to 80 mm",
    ),
    (
        "logbook", "board_slot", {"cover": {"board_thickness": None}},
        ["cover.board_thickness"],
        "missing cover.board_thickness (mm)",
    ),
)  # fmt: skip


@pytest.mark.parametrize(("book", "structure", "changes", "fields", "line"), FOUND_WHILE_DRAFTING)
def test_what_drafting_finds_wrong_with_a_record_is_told_beside_its_field(
    book: str, structure: str, changes: dict[str, dict[str, object]], fields: list[str], line: str
) -> None:
    """A record that reads well may still not do for a structure: the same data, the same line."""
    with pytest.raises(RecordError) as caught:
        drafted(changed(book, **changes), structure)
    assert [problem.field for problem in caught.value.problems] == fields
    assert all(one.found and one.allowed and one.remedy for one in caught.value.problems)
    assert str(caught.value).endswith(line)


def test_letters_that_cannot_be_printed_are_told_of_their_field() -> None:
    """The title is a field of the record like any other."""
    book = changed("chart_book", book={"title": "日"})
    with pytest.raises(
        RecordError, match=r"chart_book\.toml: book\.title is .日.: the typeface"
    ) as no:
        drafted(book, "hollow_tube")
    (problem,) = no.value.problems
    assert problem.field == "book.title"
    assert problem.allowed == "Latin, Greek and Cyrillic letters, figures and common signs"
