"""Bad records: each is refused in one plain line that says where, what, what is allowed, what to do."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from click.testing import CliRunner

from patterns import cli
from patterns.commands import advice
from patterns.commands.measure import measure
from patterns.errors import MendfoldError, RecordError, WriteError
from patterns.record import reading

GOOD = """\
[book]
id = "book-1"
weight = 1.5
[text_block]
height = 240
width = 160
thickness = 40
leaves = 320
gatherings = 40
[spine]
profile = "rounded"
round_depth = 8
girth_head = 44
[cover]
board_height = 246
board_thickness = 3
square_head = 3
square_tail = 3
spine_width = 46
[sewing]
kettles = [12, 228]
supports_at = [60, 120, 180]
support_width = 12
supports = "tapes"
[measuring]
error = 0.5
on = 2026-11-25
"""


def put(old: str, new: str) -> str:
    """Return the good record with one line, which must be in it, changed."""
    assert GOOD.count(f"{old}\n") == 1, old
    return GOOD.replace(f"{old}\n", f"{new}\n")


def more(lines: str) -> str:
    """Return the good record with lines added at its end."""
    return GOOD + lines + "\n"


MM = "allowed: 20 to 2000 mm"
# what it is: the record, and words the one line must hold
CASES: dict[str, tuple[str | bytes, tuple[str, ...]]] = {
    # numbers that are none
    "nan": (put("height = 240", "height = nan"), ("line 5", "text_block.height", "nan", MM)),
    "infinity": (put("height = 240", "height = inf"), ("text_block.height", "inf", MM)),
    "minus infinity": (put("height = 240", "height = -inf"), ("text_block.height", MM)),
    "true for a length": (put("height = 240", "height = true"), ("height", "true", MM)),
    "a date for a length": (put("height = 240", "height = 2026-11-25"), ("height", MM)),
    "a list for a length": (put("height = 240", "height = [240]"), ("height", "a list", MM)),
    "a table for a length": (put("height = 240", "height = {mm = 240}"), ("height", "a table")),
    "quoted without unit": (put("height = 240", 'height = "240"'), ("“240”", "without a unit", MM)),
    "fraction without unit": (put("height = 240", 'height = "9 3/4"'), ("without a unit", MM)),
    "words for a length": (put("height = 240", 'height = "tall"'), ("“tall”", MM)),
    "empty words for a length": (put("height = 240", 'height = ""'), ("no number", MM)),
    "comma in a bare number": (put("height = 240", "height = 24,5"), ("line 5", "24,5", "a point for decimals")),
    "fraction unquoted": (put("height = 240", "height = 9 3/4 in"), ("line 5", "in quotes with its unit")),
    "unit unquoted": (put("height = 240", "height = 240 mm"), ("line 5", "240 mm")),
    "thousands or decimals": (put("weight = 1.5", 'weight = "1,250 kg"'), ("two ways", "1.250")),
    "whole number in quotes": (put("leaves = 320", 'leaves = "320"'), ("leaves", "whole number")),
    "half a leaf": (put("leaves = 320", "leaves = 320.5"), ("leaves", "320.5", "whole number")),
    "true for a count": (put("leaves = 320", "leaves = true"), ("leaves", "whole number")),
    # numbers out of all bounds
    "negative length": (put("height = 240", "height = -240"), ("-240 mm", MM)),
    "nought for a length": (put("height = 240", "height = 0"), ("0 mm", MM)),
    "a book of 4 m": (put("height = 240", "height = 4000"), ("4000 mm", MM, "check the unit")),
    "a book of 4 m with its unit": (put("height = 240", 'height = "4 m"'), ("4000 mm", MM)),
    "a tiny book": (put("height = 240", "height = 2.4"), ("2.4 mm", MM)),
    "1e300": (put("height = 240", "height = 1e300"), ("height", MM)),
    "a thousand digits": (put("height = 240", f"height = {'9' * 1000}"), ("huge number", MM)),
    "ten thousand digits": (put("height = 240", f"height = {'9' * 10000}"), ("digits",)),
    "negative weight": (put("weight = 1.5", "weight = -1"), ("book.weight", "0.005 to 80 kg")),
    "grams for kilograms": (put("weight = 1.5", "weight = 1500"), ("1500 kg", "check the unit")),
    "weight in millimetres": (put("weight = 1.5", 'weight = "15 mm"'), ("15 mm", "a weight in kg")),
    "length in kilograms": (put("height = 240", 'height = "2 kg"'), ("2 kg", "a length in mm")),
    "unknown unit": (put("height = 240", 'height = "2 ells"'), ("2 ells", "a length in mm")),
    "ounces over a pound": (put("weight = 1.5", 'weight = "2 lb 20 oz"'), ("does not add up",)),
    "no leaves": (put("leaves = 320", "leaves = 0"), ("leaves", "1 to 5000", "count again")),
    "joint of a metre": (more("[cover.front]\njoint_gap = 1000"), ("cover.front.joint_gap", "0 to")),
    "error of a whole book": (put("error = 0.5", "error = 50"), ("measuring.error", "0.01 to 5")),
    "angle past the straight": (put("girth_head = 44", "shoulder_angle = 200"), ("20 to 160 °",)),
    # words
    "id with a slash": (put('id = "book-1"', 'id = "../etc"'), ("book.id", "A–Z")),
    "id with a backslash": (put('id = "book-1"', "id = 'a\\b'"), ("book.id", "A–Z")),
    "id of dots": (put('id = "book-1"', 'id = ".."'), ("book.id", "A–Z")),
    "id with a control character": (put('id = "book-1"', r'id = "a\u0007"'), ("hidden character",)),
    "id with a line break": (put('id = "book-1"', r'id = "a\nb"'), ("hidden character", "one line")),
    "id turned round": (put('id = "book-1"', r'id = "a\u202eb"'), ("right-to-left override",)),
    "id with a zero-width space": (put('id = "book-1"', r'id = "a\u200bb"'), ("zero width space",)),
    "id of an accent": (put('id = "book-1"', 'id = "é"'), ("book.id", "A–Z")),
    "id too long": (put('id = "book-1"', f'id = "{"a" * 65}"'), ("book.id", "64")),
    "id of nothing": (put('id = "book-1"', 'id = ""'), ("book.id", "1 to 64")),
    "id a number": (put('id = "book-1"', "id = 7"), ("book.id", "is 7", "1 to 64")),
    "title of an escape sequence": (
        put('id = "book-1"', 'title = "\\u001b[31m"'),
        ("book.title", "hidden character"),
    ),
    "title of two names": (put('id = "book-1"', 'title = ["a", "b"]'), ("book.title", "a list")),
    "title of nothing": (put('id = "book-1"', 'title = "  "'), ("book.title", "empty")),
    "title without end": (put('id = "book-1"', f'title = "{"a" * 201}"'), ("201", "at most 200")),
    "unknown profile": (put('profile = "rounded"', 'profile = "round"'), ("did you mean “rounded”",)),
    "unknown supports": (put('supports = "tapes"', 'supports = "tape"'), ("did you mean “tapes”",)),
    "choice a number": (put('profile = "rounded"', "profile = 1"), ("profile", '"flat"')),
    "yes for true": (more('[condition]\niron_gall = "yes"'), ("condition.iron_gall", "true or false")),
    "one for true": (more("[condition]\niron_gall = 1"), ("condition.iron_gall", "true or false")),
    "a date in quotes": (put("on = 2026-11-25", 'on = "2026-11-25"'), ("measuring.on", "without quotes")),
    "a time for a date": (put("on = 2026-11-25", "on = 2026-11-25T10:00:00"), ("measuring.on",)),
    "a day that is none": (put("on = 2026-11-25", "on = 2026-02-30"), ("line 27", "2026-02-30")),
    # names
    "unknown key": (put("height = 240", "heigth = 240"), ("line 5", "heigth", "did you mean height?")),
    "key of another table": (put("height = 240", "girth_head = 44"), ("belongs below [spine]",)),
    "key like nothing": (put("height = 240", "qqqq = 240"), ("qqqq", "thickness")),
    "unknown table": (more("[spines]\nlinings = 0"), ("line 28", "spines", "did you mean [spine]?")),
    "key outside its table": ('height = 240\n[book]\nid = "x"', ("line 1", "below [text_block]")),
    "union with one bracket": (more("[union]\nmoves = true"), ("union", "[[union]]")),
    "spine a number": ("spine = 3", ("line 1", "spine", "[spine]")),
    "two brackets for one": ("[[spine]]\nlinings = 0", ("line 1", "write [spine]")),
    "key twice": (put("height = 240", "height = 240\nheight = 241"), ("line 6", "height = 241", "second time")),
    "table twice": (more("[spine]\nlinings = 0"), ("line 28", "second time")),
    "union without its parts": (more("[[union]]\nmoves = true"), ("union[1]", "lacks between")),
    "union of one part": (more('[[union]]\nbetween = ["boards"]'), ("two names",)),
    "union with itself": (more('[[union]]\nbetween = ["a", "a"]'), ("two names",)),
    "fold without its number": (more("[[sewing.fold]]\nfolios = 2"), ("sewing.fold[1]", "gathering")),
    # heights of the sewing
    "station outside the fold": (
        put("kettles = [12, 228]", "kettles = [12, 250]"),
        ("line 21", "sewing.kettles", "250 mm", "outside the fold", "0 to 240 mm"),
    ),
    "stations unsorted": (put("kettles = [12, 228]", "stations = [60, 12]"), ("12 after 60",)),
    "a station twice": (put("kettles = [12, 228]", "stations = [12, 12]"), ("12 after 12",)),
    "a station that is none": (put("kettles = [12, 228]", "kettles = [12, nan]"), ("kettles", "nan")),
    "a station in words": (put("kettles = [12, 228]", 'kettles = [12, "x"]'), ("kettles", "“x”")),
    "a station over two metres": (put("kettles = [12, 228]", "kettles = [12, 2001]"), ("2001", "0 to 2000")),
    "no station in the list": (put("kettles = [12, 228]", "kettles = []"), ("0 figures",)),
    "a station without list": (put("kettles = [12, 228]", "kettles = 12"), ("kettles", "[12, 60.5")),
    "tapes overlap": (put("support_width = 12", "support_width = 62"), ("supports overlap",)),
    "a tape off the head": (
        put("supports_at = [60, 120, 180]", "supports_at = [3, 120]"),
        ("sewing.support_width", "out of the fold"),
    ),
    "tapes that are none": (put('supports = "tapes"', 'supports = "none"'), ("keep one",)),
    "first kettle not nought": (
        put('supports = "tapes"', 'stations_from = "kettle"'),
        ("sewing.stations_from", "first kettle is at 12"),
    ),
    "endbands tied far down": (put('supports = "tapes"', "tie_down = 81"), ("0 to 80 mm",)),
    "endbands tied past the middle": (
        "[text_block]\nheight = 100\n[sewing]\ntie_down = 60",
        ("line 4", "sewing.tie_down", "60 mm at head and tail of 100 mm"),
    ),
    "turn-ins past the middle": (
        "[cover]\nside_height = 172\nturn_in = 90",
        ("line 3", "cover.turn_in", "90 mm", "172 mm"),
    ),
    "inline table": ("text_block = {height = 9000}", ("line 1", "text_block.height", MM)),
    "dotted key": ("text_block.height = 9000", ("line 1", "text_block.height", MM)),
    "fold of no gathering": (more("[[sewing.fold]]\ngathering = 41"), ("1 to 40",)),
    "fold twice": (more("[[sewing.fold]]\ngathering = 4\n" * 2), ("sewing.fold[2]", "twice")),
    "hole outside its fold": (
        more("[[sewing.fold]]\ngathering = 4\nholes = [241]"),
        ("line 30", "sewing.fold[1].holes", "outside the fold"),
    ),
    # figures that cannot stand together
    "round on a flat spine": (put('profile = "rounded"', 'profile = "flat"'), ("8 mm on a flat",)),
    "fallen in but rounded": (put("round_depth = 8", "round_depth = -3"), ("on a rounded spine",)),
    "round deeper than wide": (put("round_depth = 8", "round_depth = 90"), ("too deep for",)),
    "strip far too short": (put("girth_head = 44", "girth_head = 4.4"), ("38 to 58 mm", "again")),
    "strip in the wrong unit": (put("girth_head = 44", "girth_head = 440"), ("38 to 58 mm",)),
    "tips nearer than boards": (put("girth_head = 44", "over_shoulders = 30"), ("less than",)),
    "board does not add up": (put("board_height = 246", "board_height = 264"), ("246 mm", "within 5")),
    "more gatherings than leaves": (put("leaves = 320", "leaves = 12"), ("gatherings is 40",)),
    "leaves thicker than the block": (put("leaves = 320", "leaves = 320\nleaf_thickness = 1.2"), ("384",)),
    "block heavier than the book": (put("leaves = 320", "leaves = 320\nweight = 2"), ("1.5 kg",)),
    "boards heavier than the book": (put("spine_width = 46", "board_weight = 0.9"), ("1.8 kg",)),
    "anchors the wrong way": (
        put("leaves = 320", "leaves = 320\nanchor_first = 9\nanchor_last = 3"),
        ("text_block.anchor_first", "count from the front"),
    ),
    "anchor past the last": (put("leaves = 320", "leaves = 320\nanchor_last = 41"), ("41 of 40",)),
    "contents of other leaves": (
        more("[album]\nleaves = 3\ncontents_thickness = [1, 2]"),
        ("2 figures for 3 leaves",),
    ),
    "margin wider than the leaf": (more("[album]\nleaf_width = 200\ninner_margin = 300"), ("200 mm",)),
    # files
    "empty": ("", ("is empty", "fill in a record")),
    "blank lines": ("\n \n\t\n", ("is empty", "fill in a record")),
    "binary": (bytes(range(256)), ("UTF-8",)),
    "noughts": (b"\0" * 64, ("binary",)),
    "a picture": (b"\x89PNG\r\n\x1a\n" + b"\0" * 32, ("UTF-8",)),
    "two bytes a letter": (GOOD.encode("utf-16"), ("UTF-8",)),
    "an old code page": (put('id = "book-1"', 'title = "é"').encode("latin-1"), ("UTF-8",)),
    "10 MB": (b"# " + b"a" * 10_000_000, ("over 1 MB",)),
    "brackets without end": ("a = " + "[" * 100_000, ("nested",)),
    "cut short": (GOOD + '[album]\nkind = "sin', ("line 29", "kind")),
    "another format": ('{"book": {"id": "x"}}', ("line 1", "name = number")),
    "curly quotes": (put('id = "book-1"', "id = “book-1”"), ("line 2", "straight quotes")),
    "no value": (put("height = 240", "height ="), ("line 5", "height =")),
}  # fmt: skip


TYPE_NEXT = {
    "empty": "from “mendfold measure --blank”",
    "blank lines": "“mendfold measure --blank”",
}
"""What the command line alone adds, of its own commands."""


def test_the_table_is_long_and_its_ground_is_good() -> None:
    """At least sixty cases, each a change of a record that is read without a word."""
    assert len(CASES) >= 60
    assert reading.parse(GOOD, "good.toml").text_block.height == 240


@pytest.mark.parametrize("case", CASES)
def test_a_bad_record_is_refused_in_one_line(case: str, tmp_path: Path) -> None:
    """The line begins with the file and holds the field, the value, the range or the remedy."""
    content, words = CASES[case]
    path = tmp_path / "book.toml"
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    with pytest.raises(RecordError) as refusal:
        reading.load(path)
    line = str(refusal.value)
    assert line.startswith("book.toml")
    assert "\n" not in line
    assert line.isprintable()
    assert len(line) < 500
    for word in words:
        assert word in line, line
    assert "mendfold" not in line
    assert [name.name for name in tmp_path.iterdir()] == ["book.toml"]


@pytest.mark.parametrize("case", CASES)
def test_the_command_line_refuses_a_bad_record(
    case: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Drafting from it: status 1, one line on stderr, nothing on stdout, nothing written."""
    content, words = CASES[case]
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "book.toml"
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    with pytest.raises(SystemExit) as leave:
        cli.main(["draft", "book.toml", "hollow_tube"])
    said = capsys.readouterr()
    assert leave.value.code == 1
    assert said.out == ""
    assert said.err.count("\n") == 1
    assert all(word in said.err for word in (*words, TYPE_NEXT.get(case, "")))
    assert list(tmp_path.iterdir()) == [path]


def test_the_first_in_handling_order_is_told_and_the_rest_counted() -> None:
    """A fault of the block comes before one of the spine, wherever it stands in the file."""
    text = '[spine]\nlinings = -1\nprofile = "x"\n[text_block]\nwidth = 9000\nheight = 9000\n'
    with pytest.raises(RecordError) as refusal:
        reading.parse(text, "book.toml")
    assert str(refusal.value).startswith("book.toml, line 6: text_block.height is 9000 mm")
    assert str(refusal.value).endswith("(and 3 more)")


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    """A wrong name, a folder, a name no system can hold: one line each."""
    for path, word in (
        (tmp_path / "none.toml", "is not there"),
        (tmp_path, "is a folder"),
        (tmp_path / "book.toml" / "x", "is not there"),
        (Path("a\0b.toml"), "cannot be read"),
        (tmp_path / ("x" * 300), "cannot be read"),
    ):
        with pytest.raises(RecordError, match=word) as refusal:
            reading.load(path)
        assert "\n" not in str(refusal.value)


def test_a_file_without_permission(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What the system forbids is told, not thrown (root may read all: the refusal is given here)."""
    path = tmp_path / "book.toml"
    path.write_text(GOOD)
    path.chmod(0)
    if os.access(path, os.R_OK):
        real = os.open

        def forbidden(name: str | Path, *rest: int, **more: int) -> int:
            if Path(name) == path:
                raise PermissionError(13, "Permission denied")
            return real(name, *rest, **more)

        monkeypatch.setattr(os, "open", forbidden)
    with pytest.raises(RecordError, match="may not be read"):
        reading.load(path)


def test_a_full_disk_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A blank record on a full disk: refused, and the folder as it was."""

    def full(*_: object) -> int:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.write", full)
    result = CliRunner().invoke(measure, [str(tmp_path / "book.toml"), "--blank"])
    assert isinstance(result.exception, WriteError)
    assert "no space left" in str(result.exception)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("options", [[], ["--blank"]])
def test_an_existing_record_is_not_overwritten(options: list[str], tmp_path: Path) -> None:
    """Without --force the record stays as it was."""
    path = tmp_path / "book.toml"
    path.write_text(GOOD)
    result = CliRunner().invoke(measure, [str(path), *options])
    assert isinstance(result.exception, MendfoldError)
    assert "--force" in advice.told(result.exception)
    assert path.read_text() == GOOD
