"""Everything wrong on the command line: one plain line and status 1, or usage and status 2.

Whatever is refused leaves nothing on the disk, and nothing waits, overruns or ends in a traceback.
"""

from __future__ import annotations

import os
import shutil
import stat
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

import patterns
from patterns import catalogue, cli
from patterns.template import whole_list
from tests.books import DEMO, drafted

ROOT = Path(patterns.__file__).parent.parent


@dataclass(frozen=True)
class Said:
    """What a command answered."""

    status: int
    out: str
    err: str


Run = Callable[..., Said]


@pytest.fixture
def bench(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of its own with a good record, and settings and gallery of its own."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("MENDFOLD_CONFIG", str(tmp_path / "settings"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "settings" / "cache"))
    monkeypatch.delenv("MENDFOLD_GALLERY", raising=False)
    (tmp_path / "settings").mkdir()
    shutil.copy(DEMO / "logbook.toml", tmp_path / "book.toml")
    return tmp_path


@pytest.fixture
def run(bench: Path, capsys: pytest.CaptureFixture[str]) -> Run:
    """Run a command in this process and return its status and words."""
    assert bench

    def called(*arguments: str) -> Said:
        with pytest.raises(SystemExit) as leave:
            cli.main(arguments)
        told = capsys.readouterr()
        assert isinstance(leave.value.code, int)
        return Said(leave.value.code, told.out, told.err)

    return called


def listing(folder: Path) -> dict[str, bytes]:
    """Return every path below a folder with what is in it."""
    return {
        str(path.relative_to(folder)): path.read_bytes() if path.is_file() else b""
        for path in folder.rglob("*")
    }


def refused(run: Run, *arguments: str, words: tuple[str, ...] = ()) -> str:
    """Check for a refusal in one line with these words, nothing written; return the line."""
    before, start = listing(Path.cwd()), time.monotonic()
    said = run(*arguments)
    assert said.status == 1, said
    assert said.out == ""
    assert said.err.startswith("mendfold: ")
    assert said.err.endswith("\n")
    line = said.err.removesuffix("\n")
    assert line.isprintable(), line
    assert len(line) < 800
    for word in words:
        assert word in line, line
    assert listing(Path.cwd()) == before
    assert time.monotonic() - start < 10
    return line


# what stands after --set, and words of the refusal
SETTINGS: tuple[tuple[str, str, tuple[str, ...]], ...] = (
    # names
    ("hollow_tube", "ease", ("write NAME=VALUE",)),
    ("hollow_tube", "ease=", ("write NAME=VALUE",)),
    ("hollow_tube", "=3", ("write NAME=VALUE",)),
    ("hollow_tube", "onn=1", ("--set onn", "nearest: on")),
    ("hollow_tube", "hollow_tube.onn=1", ("--set hollow_tube.onn", "nearest: on")),
    ("hollow_tube", "qqqqq=1", ("mendfold structures NAME",)),
    ("hollow_tube", "board_slot.depth=10", ("board_slot is not among the drafted structures",)),
    ("hollow_tube", "tube.on=1", ("tube is not among",)),
    ("hollow_tube", ".on=1", ("--set .on",)),
    ("hollow_tube", "hollow_tube.=1", ("--set hollow_tube.",)),
    ("hollow_tube", "hollow_tube.on.on=1", ("hollow_tube.on is not among",)),
    ("hollow_tube", "paper_=1", ("--set paper_",)),
    ("hollow_tube", "paper_lustre=1", ("--set paper_lustre", "paper_thickness")),
    ("hollow_tube", "paper_plies=2", ("--set paper_plies",)),
    ("hollow_tube", "\ud800=1", ("no drafted structure",)),
    # lengths
    ("hollow_tube", "ease=nan", ("--set ease", "from 0 to 5")),
    ("hollow_tube", "ease=inf", ("--set ease", "from 0 to 5")),
    ("hollow_tube", "ease=1e400", ("--set ease", "from 0 to 5")),
    ("hollow_tube", "ease=-1", ("-1 mm", "0 to 5")),
    ("hollow_tube", "ease=6", ("6 mm", "0 to 5")),
    ("hollow_tube", f"ease={'9' * 5000}", ("too long to be a measurement",)),
    ("hollow_tube", "ease=9 3/4 in", ("247.65 mm", "0 to 5")),
    ("hollow_tube", "ease=9 3/4", ("without a unit",)),
    ("hollow_tube", "ease=1,250", ("two ways",)),
    ("hollow_tube", "ease=2 kg", ("a length in mm",)),
    ("hollow_tube", "ease=2 ells", ("a length in mm",)),
    ("hollow_tube", "ease=٣", ("--set ease",)),
    ("hollow_tube", "ease=1,2,3", ("--set ease",)),
    ("hollow_tube", "lap=1/0 in", ("impossible fraction",)),
    ("hollow_tube", "slit=1\n2", ("--set slit",)),
    # whole numbers, numbers, angles
    ("hollow_tube", "on=1.5", ("whole number from 1 to 3",)),
    ("hollow_tube", "on=nan", ("whole number from 1 to 3",)),
    ("hollow_tube", "on=yes", ("whole number from 1 to 3",)),
    ("hollow_tube", "on=0", ("1 to 3",)),
    ("hollow_tube", "on=1_0", ("whole number",)),
    ("hollow_tube", "on=٢", ("whole number",)),
    ("hollow_tube", f"on={'9' * 400}", ("whole number",)),
    ("hollow_tube", f"on={'9' * 5000}", ("whole number",)),
    ("hollow_tube", "on=1,2", ("whole number",)),
    ("secondary_sewing", "safety=inf", ("number from 1 to 20", "a point for decimals")),
    ("secondary_sewing", "safety=nan", ("number from 1 to 20",)),
    ("secondary_sewing", "safety=3,5", ("a point for decimals",)),
    ("secondary_sewing", "safety=1e1", ("number from 1 to 20",)),
    ("board_slot", "angle=nan", ("an angle in °", "0 to 45")),
    ("board_slot", "angle=90", ("0 to 45",)),
    ("board_slot", "angle=3 mm", ("an angle in °",)),
    # choices, yes and no
    ("hollow_tube", "reach=board", ("did you mean boards",)),
    ("hollow_tube", "reach=\x1b[31m", ("block, boards",)),
    ("board_slot", "toward=sideways", ("inner, outer",)),
    ("secondary_sewing", "layout=besst", ("did you mean best",)),
    ("secondary_sewing", "reuse=maybe", ("yes or no",)),
    ("secondary_sewing", "pasted=1", ("yes or no",)),
    # lists and pins
    ("secondary_sewing", "gatherings=x", ("1,2,5-20",)),
    ("secondary_sewing", "gatherings=5-1", ("backwards",)),
    ("secondary_sewing", "gatherings=1.5", ("1,2,5-20",)),
    ("secondary_sewing", "gatherings=,", ("the list is empty",)),
    ("secondary_sewing", "gatherings=0", ("1 to 40",)),
    ("secondary_sewing", "gatherings=41", ("1 to 40",)),
    ("secondary_sewing", "gatherings=1-9999", ("up to 999",)),
    ("secondary_sewing", "fixed=5", ("5@40",)),
    ("secondary_sewing", "fixed=5@nan", ("5@40",)),
    ("secondary_sewing", "fixed=5@1e400", ("5@40",)),
    ("secondary_sewing", f"fixed={'9' * 5000}@4", ("5@40",)),
    ("secondary_sewing", "fixed=41@100", ("1 to 40",)),
    ("secondary_sewing", "fixed=5@40 5@40", ("from centre to centre",)),
    # materials
    ("hollow_tube", "paper=kraft", ("No paper is called “kraft”",)),
    ("hollow_tube", "paper=fine cotton cloth", ("is a cloth, and a paper is wanted",)),
    ("hollow_tube", "paper=\u202e", ("No paper is called",)),
    ("hollow_tube", "paper_thickness=nan", ("--set paper_thickness",)),
    ("hollow_tube", "paper_thickness=0", ("--set paper_thickness", "0.005 to 20 mm")),
    ("hollow_tube", "paper_thickness=0.1 kg", ("--set paper_thickness", "a length in mm")),
    ("hollow_tube", "paper_growth_across=x", ("--set paper_growth_across",)),
    ("hollow_tube", "paper_growth_across=nan", ("--set paper_growth_across",)),
    ("hollow_tube", f"paper_grammage={'9' * 400}", ("--set paper_grammage",)),
    ("secondary_sewing", "thread_lea=x", ("--set thread_lea",)),
    ("secondary_sewing", "thread_plies=1.5", ("1 to 16, whole",)),
)  # fmt: skip


@pytest.mark.parametrize(("structure", "setting", "words"), SETTINGS)
def test_a_wrong_setting_is_refused(
    structure: str, setting: str, words: tuple[str, ...], run: Run
) -> None:
    """The line names the setting, what is allowed and, for a slip, the nearest name."""
    refused(run, "draft", "book.toml", structure, "--set", setting, words=words)


def test_a_setting_given_twice_is_refused(run: Run) -> None:
    """One name, two values: neither is taken; a structure's own beside the bare name is."""
    line = refused(run, "draft", "book.toml", "hollow_tube", "--set", "on=1", "--set", "on=2")
    assert "--set on: given twice" in line
    own = ("--set", "on=1", "--set", "hollow_tube.on=2", "--set", "off=2", "--formats", "svg")
    assert run("draft", "book.toml", "hollow_tube", *own).status == 0


@pytest.mark.parametrize(
    ("structure", "setting"),
    [
        ("hollow_tube", "ease=1,2"),
        ("hollow_tube", "ease=0.1 in"),
        ("hollow_tube", "ease= 1.2 "),
        ("board_slot", "angle=3°"),
        ("secondary_sewing", "reuse=TRUE"),
        ("secondary_sewing", "gatherings=1,2,5-20"),
        ("secondary_sewing", "safety=3.5"),
        ("hollow_tube", "paper=Kraft  Lining Paper"),
        ("hollow_tube", "paper_thickness=0.1 mm"),
    ],
)
def test_what_a_person_may_write_is_taken(structure: str, setting: str, run: Run) -> None:
    """Units, a decimal comma, capitals and spaces apart are no mistakes."""
    said = run("draft", "book.toml", structure, "--set", setting, "--formats", "svg")
    assert said.status == 0, said.err


def test_a_list_of_any_length_is_read_at_once() -> None:
    """Thousands of overlapping ranges are one set of numbers, without waiting."""
    start = time.monotonic()
    assert whole_list("1-999," * 5000) == tuple(range(1, 1000))
    assert time.monotonic() - start < 2


def test_a_thread_s_figures_are_not_ignored() -> None:
    """A measured diameter is used as it is; 25/3 linen is 198.4 tex (trade figure, 3 × 1653.5/25)."""
    measured = drafted("logbook", "secondary_sewing", thread_thickness=0.5)
    assert measured.pattern.parts[0].quantities["thread_diameter_mm"] == 0.5
    assert not [line for line in measured.pattern.warnings if "diameter of" in line]
    thread = drafted("logbook", "secondary_sewing", thread="linen thread 18/3", thread_lea=25)
    tex = thread.materials["secondary_sewing"]["thread"].tex
    assert tex == pytest.approx(198.4, abs=0.05)


WORDS_OF_OPTIONS: tuple[tuple[tuple[str, ...], tuple[str, ...]], ...] = (
    *(
        (("--paper", paper), ("--paper", "A0–A10"))
        for paper in (
            "", "A11", "A-1", "C4", "A٤", "lettre", "nanxnan", "inf x inf", "1e3x1e3", "roll", "roll:",
            "roll:nan", "roll:-610", "210x297mm", "٢٩٧x٤٢٠", "\x1b[31m", "../A4", "210", "A4 A4",
        )
    ),
    *(
        (("--paper", paper), ("the smallest is 148 × 210",))
        for paper in ("A6", "A10", "B10", "0x0", "1x1", "147x210", "148x209", "210x20")
    ),
    *((("--paper", paper), ("5000 mm",)) for paper in ("99999x99999", f"{'9' * 400}x400")),
    *((("--paper", paper), ("210 to 5000",)) for paper in ("roll:0", "roll:209", "roll:6000", f"roll:{'9' * 400}")),
    *(
        (("--printer", printer), ("is not stored", "mendfold printer test"))
        for printer in ("desk", "", "None", "../desk", "\x1b", "\ud800")
    ),
    *(
        (("--formats", formats), ("--formats", "svg, pdf, dxf, png"))
        for formats in ("", ",", "gif", "svg,gif", "svg svg", "pdf;svg", "\ud800", "*", "sheets.pdf")
    ),
)  # fmt: skip


@pytest.mark.parametrize(("options", "words"), WORDS_OF_OPTIONS)
def test_a_wrong_option_is_refused(
    options: tuple[str, ...], words: tuple[str, ...], run: Run
) -> None:
    """Papers, printers and formats that are none: the line says which there are."""
    refused(run, "draft", "book.toml", "hollow_tube", *options, words=words)


@pytest.mark.parametrize(
    ("names", "word"),
    [
        (("tube",), "did you mean hollow_tube"),
        (("hollow-tube",), "did you mean hollow_tube"),
        (("hollow_tubes",), "did you mean hollow_tube"),
        (("hollow_tube", "bord_slot"), "did you mean board_slot"),
        (("HOLLOW TUBE",), "known: "),
        (("",), "known: "),
        (("../hollow_tube",), "did you mean hollow_tube"),
        (("hollow_tube\n",), "did you mean hollow_tube"),
        (("x" * 10_000,), "known: "),
        (("\ud800\u202e",), "known: "),
    ],
)
def test_an_unknown_structure_is_refused(names: tuple[str, ...], word: str, run: Run) -> None:
    """The nearest names are offered, to draft, structures and measure alike."""
    refused(run, "draft", "book.toml", *names, words=(word,))
    refused(run, "structures", names[-1], words=(word,)) if names[-1] else None
    refused(run, "measure", "new.toml", "--for", names[-1], words=(word,))


def test_a_structure_named_twice_is_drafted_once(run: Run, bench: Path) -> None:
    """Twice the same name in any order is the same pattern."""
    names = ("spine_inlay", "hollow_tube", "spine_inlay")
    assert run("draft", "book.toml", *names, "--formats", "svg").status == 0
    assert run("draft", "book.toml", *sorted(set(names)), "--formats", "svg").status == 0
    assert [path.name for path in bench.glob("logbook*")] == ["logbook-hollow_tube+spine_inlay"]


USAGE: tuple[tuple[str, ...], ...] = (
    ("nosuch",),
    ("--nosuch",),
    ("draft",),
    ("draft", "book.toml"),
    ("draft", "book.toml", "hollow_tube", "--nosuch"),
    ("draft", "book.toml", "hollow_tube", "--set"),
    ("draft", "book.toml", "hollow_tube", "--json=yes"),
    ("draft", "book.toml", "hollow_tube", "--out", "book.toml"),
    ("measure", "a.toml", "b.toml"),
    ("measure", "--for"),
    ("examine",),
    ("examine", "book.toml", "more.toml"),
    ("examine", "book.toml", "--pdf", "settings"),
    ("structures", "hollow_tube", "spine_inlay"),
    ("demo", "more"),
    ("demo", "--out", "book.toml"),
    ("printer",),
    ("printer", "nosuch"),
    ("printer", "set"),
    ("printer", "set", "desk"),
    ("printer", "set", "desk", "--across", "180/180"),
    ("printer", "set", "desk", "--across", "180/180", "--down", "250/250", "--diagonals", "1"),
    ("printer", "set", "desk", "--across", "180/180", "--down", "250/250", "--diagonals", "a", "b"),
    ("printer", "test", "more"),
    ("printer", "test", "--out", "settings"),
    ("printer", "list", "more"),
    ("gallery",),
    ("gallery", "nosuch"),
    ("gallery", "keep"),
    ("gallery", "add", "logbook"),
    ("gallery", "add", "logbook", "none.jpg"),
    ("gallery", "show"),
    ("gallery", "similar"),
    ("gallery", "reuse", "logbook"),
    ("gallery", "list", "--gallery", "book.toml"),
    ("gallery", "find", "--limit", "0"),
    ("gallery", "export"),
    ("gallery", "import"),
    ("report",),
    ("report", "logbook", "more"),
)  # fmt: skip


@pytest.mark.parametrize("arguments", USAGE, ids=" ".join)
def test_wrong_usage_ends_with_two(arguments: tuple[str, ...], run: Run, bench: Path) -> None:
    """Missing and extra arguments: how it is used, status 2, nothing written, no traceback."""
    before = listing(bench)
    said = run(*arguments)
    assert said.status == 2
    assert said.out == ""
    assert said.err.startswith(("Usage: mendfold", "Error: Option "))
    assert "Traceback" not in said.err
    assert listing(bench) == before


REFUSED: tuple[tuple[tuple[str, ...], str], ...] = (
    (("gallery", "keep", "settings"), "no pattern.json"),
    (("gallery", "keep", "none"), "no such folder"),
    (("gallery", "keep", "book.toml"), "no such folder"),
    (("gallery", "show", "logbook"), "no gallery here"),
    (("gallery", "verify"), "no gallery here"),
    (("gallery", "export", "logbook"), "no gallery here"),
    (("gallery", "import", "none.zip"), "cannot be read"),
    (("gallery", "import", "book.toml"), "not a sound zip file"),
    (("gallery", "import", "settings"), "no plain file"),
    (("gallery", "find", "--height", "tall"), "190-210"),
    (("gallery", "find", "--height", "210-190"), "190-210"),
    (("gallery", "find", "--height", "nan-inf"), "190-210"),
    (("gallery", "find", "--since", "yesterday"), "2026-11-25"),
    (("gallery", "similar", "none.toml"), "is not there"),
    (("gallery", "reuse", "logbook", "book.toml"), "no gallery here"),
    (("report", "logbook"), "no gallery here"),
    (("printer", "set", "none", "--across", "180/180", "--down", "250/250"), "not \"none\""),
    (("printer", "set", "../desk", "--across", "180/180", "--down", "250/250"), "letters, digits"),
    (("printer", "set", "desk", "--across", "180", "--down", "250/250"), "is not a reading"),
    (("printer", "set", "desk", "--across", "nan/180", "--down", "250/250"), "is not a reading"),
    (("printer", "set", "desk", "--across", "0/180", "--down", "250/250"), "misread"),
    (("printer", "set", "desk", "--across", "160/180", "--down", "250/250"), "misread"),
    (("printer", "set", "desk", "--across", "180/179", "--down", "250/250"), "no bar is"),
    (("printer", "set", "desk", "--across", "180/180", "--down", "250/250", "--diagonals", "nan", "inf"), "do not belong"),
    (("printer", "test", "--paper", "A9"), "the smallest is"),
    (("measure", "new.pdf", "--form", "--paper", "A9"), "the smallest is"),
    (("measure", "new.doc", "--form"), "name it .pdf or .svg"),
    (("measure", "new.toml", "--form", "--blank"), "one after the other"),
    (("measure", "book.toml"), "--force"),
    (("demo", "--paper", "A9"), "the smallest is"),
    (("examine", "book.toml", "--pdf", "new.pdf", "--paper", "A9"), "the smallest is"),
    (("examine", "book.toml", "--pdf", "book.toml"), "already there and different"),
    (("printer", "test", "--out", "book.toml"), "already there and different"),
)  # fmt: skip


@pytest.mark.parametrize(("arguments", "word"), REFUSED, ids=[" ".join(row[0]) for row in REFUSED])
def test_every_command_refuses_in_one_line(arguments: tuple[str, ...], word: str, run: Run) -> None:
    """What a command cannot use, it names; nothing is written, no earlier file replaced."""
    refused(run, *arguments, words=(word,))


# records that are no files, or not such as anybody writes
def _odd_records(folder: Path) -> Iterator[tuple[str, str]]:
    """Make odd things to name as a record; yield each with a word of its refusal."""
    (folder / "folder").mkdir()
    (folder / "empty.toml").write_bytes(b"")
    (folder / "huge.toml").write_bytes(b"#" * 10_000_000)
    (folder / "deep.toml").write_text("a." * 300_000 + "a = 1")
    (folder / "brackets.toml").write_text("a = " + "[" * 100_000)
    (folder / "spaces.toml").write_text("[book]\nnote = '''\na" + " " * 900_000 + "'''\n")
    (folder / "picture.toml").write_bytes(b"\x89PNG\r\n\x1a\n" + bytes(range(256)))
    yield from (
        ("folder", "is a folder"),
        ("none.toml", "is not there"),
        ("empty.toml", "is empty"),
        ("book.toml/more", "cannot be read"),
        ("x" * 300, "cannot be read"),
        ("huge.toml", "over 1 MB"),
        ("deep.toml", "nested too deep"),
        ("brackets.toml", "nested too deep"),
        ("spaces.toml", "book.note"),
        ("picture.toml", "UTF-8"),
    )
    os.mkfifo(folder / "pipe")
    (folder / "circle").symlink_to("circle")
    (folder / "dangling").symlink_to("nowhere")
    yield from (
        ("pipe", "a pipe or a device"),
        ("circle", "cannot be read"),
        ("dangling", "is not there"),
        ("/dev/zero", "a pipe or a device"),
        ("/dev/null", "a pipe or a device"),
    )


@pytest.mark.parametrize(
    "command", [("draft", "{}", "hollow_tube"), ("examine", "{}"), ("gallery", "similar", "{}")]
)
def test_what_is_no_record_file_is_refused(command: tuple[str, ...], run: Run, bench: Path) -> None:
    """Folders, pipes, devices, links in a circle, endless keys: named, at once."""
    for name, word in list(_odd_records(bench)):
        arguments = [part.format(name) for part in command]
        start = time.monotonic()
        said = run(*arguments)
        assert said.status == 1, name
        assert said.err.count("\n") == 1
        assert word in said.err, said.err
        assert time.monotonic() - start < 5, name
    assert not list(bench.glob("logbook-*"))


def test_a_record_may_come_from_any_editor(run: Run, bench: Path) -> None:
    """A byte-order mark and Windows line ends change nothing that is drawn."""
    text = (bench / "book.toml").read_text(encoding="utf-8")
    (bench / "windows.toml").write_bytes(b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode())
    for name, out in (("book.toml", "one"), ("windows.toml", "other")):
        assert run("draft", name, "spine_inlay", "--formats", "svg", "--out", out).status == 0
    one, other = (bench / out / "logbook-spine_inlay" for out in ("one", "other"))
    assert (one / "pattern.json").read_bytes() == (other / "pattern.json").read_bytes()


@pytest.mark.parametrize(
    "mark", ["\x07", "\x1b[31m", "\u202e", "\u2066", "\u200b", "\ufeff", "\u2028"]
)
@pytest.mark.parametrize(
    "field", ["book.title", "book.owner", "book.note", "sewing.kind", "measuring.by", "union"]
)
def test_hidden_characters_are_refused_in_every_text(
    field: str, mark: str, run: Run, bench: Path
) -> None:
    """Control, bidirectional and invisible characters stand in no text of a record."""
    table, _, key = field.partition(".")
    escaped = "".join(f"\\u{ord(one):04x}" for one in mark)
    row = f'{key} = "a{escaped}b"' if key else f'between = ["a{escaped}b", "c"]'
    head = f"[{table}]" if key else f"[[{table}]]"
    (bench / "odd.toml").write_text(f"{head}\n{row}\n")
    refused(run, "draft", "odd.toml", "hollow_tube", words=("hidden character",))


def test_letters_the_sheets_lack_are_named_with_their_field(run: Run, bench: Path) -> None:
    """A title in letters without a typeface here: field and letters, and nothing drawn as boxes."""
    (bench / "book.toml").write_text(
        (DEMO / "logbook.toml").read_text().replace("Harbour master's logbook", "港 logbook")
    )
    words = ("book.toml: book.title", "U+6E2F", "Latin, Greek and Cyrillic")
    refused(run, "draft", "book.toml", "spine_inlay", words=words)
    assert run("examine", "book.toml").status == 0


@pytest.mark.parametrize("name", ["CON", "nul", "aux", "LPT1", "a" * 64, "0", "a_-b"])
def test_an_allowed_id_names_a_folder_on_every_system(name: str, run: Run, bench: Path) -> None:
    """Device names are harmless before “-structure”."""
    text = (bench / "book.toml").read_text().replace('id = "logbook"', f'id = "{name}"')
    (bench / "book.toml").write_text(text)
    assert run("draft", "book.toml", "spine_inlay", "--formats", "svg").status == 0
    assert (bench / f"{name}-spine_inlay" / "pattern.json").is_file()


# where to write
@pytest.mark.parametrize(
    "out", ["book.toml/x", "circle", "circle/x", "pipe", "/dev/null", "/proc/none", "x" * 300]
)
def test_a_place_that_cannot_be_written_is_refused(out: str, run: Run, bench: Path) -> None:
    """A file, a device or a circle on the way: one line, nothing left behind."""
    (bench / "circle").symlink_to("circle")
    os.mkfifo(bench / "pipe")
    for arguments in (
        ("draft", "book.toml", "spine_inlay", "--formats", "svg", "--out", out),
        ("printer", "test", "--out", f"{out}/page.pdf"),
        ("examine", "book.toml", "--pdf", f"{out}/page.pdf"),
        ("measure", f"{out}/new.toml", "--blank"),
    ):
        said = run(*arguments)
        assert (said.status, said.err.count("\n")) == (1, 1), said
    assert sorted(path.name for path in bench.iterdir()) == [
        "book.toml",
        "circle",
        "pipe",
        "settings",
    ]


@pytest.mark.parametrize(
    "command", [("measure", "{}", "--blank"), ("printer", "test", "--out", "{}")]
)
def test_a_device_or_pipe_is_not_replaced_by_a_file(
    command: tuple[str, ...], run: Run, bench: Path
) -> None:
    """Even --force replaces plain files only."""
    os.mkfifo(bench / "pipe")
    said = run(*(part.format("pipe") for part in command), "--force")
    assert said.status == 1
    assert "not a file" in said.err
    assert stat.S_ISFIFO((bench / "pipe").stat().st_mode)


def test_a_full_disk_leaves_nothing_behind(
    run: Run, bench: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The disk is full after some bytes: no folder, no part of one, not even the parent."""
    left = [20_000]
    write = os.write

    def filling(handle: int, data: bytes | memoryview) -> int:
        if left[0] <= 0:
            raise OSError(28, "No space left on device")
        left[0] -= min(len(data), 8_000)
        return write(handle, data[:8_000])

    monkeypatch.setattr("os.write", filling)
    refused(run, "draft", "book.toml", "spine_inlay", "--out", "a/b", words=("no space left",))
    assert not (bench / "a").exists()


def test_an_existing_folder_is_left_or_set_aside(run: Run, bench: Path) -> None:
    """Equal: unchanged. Different: refused; with --force kept beside the new one."""
    draft = ("draft", "book.toml", "spine_inlay", "--formats", "svg")
    folder = bench / "logbook-spine_inlay"
    assert "written" in run(*draft).out
    before = listing(bench)
    assert "unchanged" in run(*draft).out
    assert listing(bench) == before
    (folder / "notes.txt").write_text("mine")
    refused(run, *draft, words=("already there and different", "--force"))
    assert run(*draft, "--force").status == 0
    assert (bench / "logbook-spine_inlay.earlier-1" / "notes.txt").read_text() == "mine"
    assert not (folder / "notes.txt").exists()
    folder.with_name("logbook-hollow_tube").write_text("a file")
    refused(run, "draft", "book.toml", "hollow_tube", "--force", words=("could not be written",))


def test_ctrl_c_puts_an_earlier_folder_back(
    run: Run, bench: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Stopped between setting the old folder aside and putting the new one there."""
    draft = ("draft", "book.toml", "spine_inlay", "--formats", "svg")
    run(*draft)
    (bench / "logbook-spine_inlay" / "notes.txt").write_text("mine")
    before = listing(bench)
    rename, calls = os.rename, list[object]()

    def stopped(*paths: str) -> None:
        calls.append(paths)
        if len(calls) == 2:
            raise KeyboardInterrupt
        rename(*paths)

    monkeypatch.setattr("os.rename", stopped)
    said = run(*draft, "--force")
    assert (said.status, said.out) == (1, "")
    assert said.err.strip() == "mendfold: stopped"
    assert listing(bench) == before


def test_a_failed_keeping_says_where_the_sheets_are(run: Run, bench: Path) -> None:
    """The gallery cannot be written: status 1, and the line names the folder that was."""
    said = run(
        "draft",
        "book.toml",
        "spine_inlay",
        "--formats",
        "svg",
        "--keep",
        "--gallery",
        "book.toml/x",
    )
    assert said.status == 1
    assert said.err.startswith("mendfold: not kept")
    assert "The sheets are in logbook-spine_inlay" in said.err
    assert (bench / "logbook-spine_inlay" / "pattern.json").is_file()


def test_a_record_that_disappears_while_it_is_read(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Gone between the look and the reading: as if it had never been there."""
    status = Path.stat

    def gone(path: Path, *, follow_symlinks: bool = True) -> os.stat_result:
        found = status(path, follow_symlinks=follow_symlinks)
        if path.name == "book.toml":
            path.unlink(missing_ok=True)
        return found

    monkeypatch.setattr(Path, "stat", gone)
    said = run("draft", "book.toml", "spine_inlay")
    assert said.status == 1
    assert "is not there" in said.err


# the studio's own settings
MATERIALS: dict[str, str | bytes] = {
    "words": "x",
    "unknown table": "a = 1",
    "no list": "material = 1",
    "no name": "[[material]]",
    "name a number": "[[material]]\nname = 1",
    "name hidden": '[[material]]\nname = "a\\u202eb"\nkind = "paper"',
    "name without end": f'[[material]]\nname = "{"W" * 10_000}"\nkind = "paper"',
    "no kind": "[[material]]\nname = 'x'",
    "kind a list": "[[material]]\nname = 'x'\nkind = ['paper']",
    "nan": "[[material]]\nname = 'x'\nkind = 'paper'\nthickness_mm = nan",
    "negative": "[[material]]\nname = 'kraft lining paper'\nthickness_mm = -1",
    "400 digits": f"[[material]]\nname = 'x'\nkind = 'paper'\nthickness_mm = {'9' * 400}",
    "5000 digits": f"[[material]]\nname = 'x'\nkind = 'paper'\nthickness_mm = {'9' * 5000}",
    "half a ply": "[[material]]\nname = 'x'\nkind = 'thread'\nlea = 20\nplies = 1.5",
    "source hidden": "[[material]]\nname = 'x'\nkind = 'paper'\nthickness_mm = {value = 1, source = \"\\u0007\"}",
    "brackets": "a = " + "[" * 100_000,
    "endless key": "a." * 300_000 + "a = 1",
    "binary": bytes(range(256)),
    "huge": b"#" * 10_000_000,
}  # fmt: skip


@pytest.mark.parametrize("case", MATERIALS)
def test_a_studio_file_that_cannot_be_used_is_named(case: str, run: Run, bench: Path) -> None:
    """Drafting and examining say which file it is; nothing is guessed in its place."""
    content = MATERIALS[case]
    path = bench / "settings" / "materials.toml"
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    for command in (("draft", "book.toml", "hollow_tube"), ("examine", "book.toml")):
        refused(run, *command, words=(str(path),))


PRINTERS: dict[str, str | bytes] = {
    "words": "x",
    "no table": "desk = 1",
    "no readings": "[desk]",
    "readings bare": "[desk]\nacross = 1\ndown = 2",
    "unknown key": "[desk]\nacross = '180/180'\ndown = '250/250'\nskew = 1",
    "nan": "[desk]\nacross = '180/180'\ndown = '250/250'\ndiagonals = [nan, nan]",
    "400 digits": f"[desk]\nacross = '180/180'\ndown = '250/250'\ndiagonals = [1, {'9' * 400}]",
    "reserved": "[none]\nacross = '180/180'\ndown = '250/250'",
    "name": '["a b"]\nacross = "180/180"\ndown = "250/250"',
    "brackets": "a = " + "[" * 100_000,
    "binary": bytes(range(256)),
    "huge": b"#" * 10_000_000,
}


@pytest.mark.parametrize("case", PRINTERS)
def test_a_printer_file_that_cannot_be_used_is_named(case: str, run: Run, bench: Path) -> None:
    """No command corrects by a garbled factor, and storing does not overwrite the file."""
    content = PRINTERS[case]
    path = bench / "settings" / "printers.toml"
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    for command in (
        ("draft", "book.toml", "hollow_tube", "--printer", "desk"),
        ("printer", "list"),
        ("printer", "set", "desk", "--across", "180/180", "--down", "250/250"),
    ):
        refused(run, *command, words=(str(path),))


@pytest.mark.parametrize("kind", ["folder", "pipe", "circle"])
def test_settings_that_are_no_files(kind: str, run: Run, bench: Path) -> None:
    """A folder, a pipe or a circle of links in place of the studio's files."""
    for name in ("materials.toml", "printers.toml"):
        path = bench / "settings" / name
        if kind == "circle":
            path.symlink_to(name)
        else:
            (os.mkdir if kind == "folder" else os.mkfifo)(path)
    assert "materials.toml" in run("draft", "book.toml", "hollow_tube").err
    assert "printers.toml" in run("printer", "list").err
    assert "materials.toml" in run("examine", "book.toml").err


@pytest.mark.parametrize("place", ["book.toml", "nowhere", "nowhere/at/all"])
def test_a_settings_folder_that_is_none(
    place: str, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without settings everything goes on; a printer cannot be stored in a file."""
    monkeypatch.setenv("MENDFOLD_CONFIG", place)
    assert run("draft", "book.toml", "spine_inlay", "--formats", "svg").status == 0
    if place == "book.toml":
        said = run("printer", "set", "desk", "--across", "180/180", "--down", "250/250")
        assert (said.status, said.err.count("\n")) == (1, 1)


# whole processes
def process(
    bench: Path, script: str, **environment: str | None
) -> subprocess.CompletedProcess[bytes]:
    """Run a shell line in which $M is mendfold; None takes a variable away."""
    own = {**os.environ, "PYTHONPATH": str(ROOT), "M": f"{sys.executable} -m patterns"}
    own |= {key: value for key, value in environment.items() if value is not None}
    left = {key: value for key, value in own.items() if environment.get(key, "") is not None}
    return subprocess.run(
        ["sh", "-c", script], cwd=bench, env=left, capture_output=True, timeout=60, check=False
    )


@pytest.mark.parametrize(
    ("script", "status", "said"),
    [
        ("$M structures | true", 0, b""),
        ("$M structures > /dev/full", 1, b"no space left on device"),
        ("$M structures >&-", 0, b""),
        ("$M draft none.toml hollow_tube 2>&-", 1, b""),
        ("$M measure new.toml <&-", 1, b"nothing was answered yet"),
        ("$M measure new.toml </dev/null", 1, b"nothing was answered yet"),
        ("PYTHONIOENCODING=ascii $M structures hollow_tube", 0, b""),
        ("PYTHONIOENCODING=ascii $M draft none.toml hollow_tube", 1, b"is not there"),
        ("env -u HOME $M draft book.toml spine_inlay --formats svg", 0, b""),
        ("ulimit -f 8; $M draft book.toml spine_inlay --out new", 1, b"file too large"),
        ("$M draft \"$(printf 'b\\377')\" spine_inlay", 1, b"is not there"),
    ],
)
def test_a_terminal_of_any_kind(script: str, status: int, said: bytes, bench: Path) -> None:
    """Closed pipes, full and missing streams, other encodings, no home: never a traceback."""
    done = process(bench, script)
    assert done.returncode == status, done.stderr
    assert b"Traceback" not in done.stderr
    assert b"Exception ignored" not in done.stderr
    assert said in done.stderr
    assert not (bench / "new").exists()
    assert not list(bench.rglob(".part-*"))


@pytest.mark.parametrize("after_s", [0.05, 0.15, 0.25])
def test_ctrl_c_stops_a_draft_with_nothing_written(after_s: float, bench: Path) -> None:
    """Interrupted while it loads or works: one word, no traceback, no folder."""
    script = (
        "import os, signal, threading; from patterns import cli\n"
        f"threading.Timer({after_s}, os.kill, (os.getpid(), signal.SIGINT)).start()\n"
        "cli.main(['draft', 'book.toml', 'secondary_sewing', 'board_slot'])"
    )
    child = subprocess.run(
        [sys.executable, "-c", script],
        cwd=bench,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        timeout=60,
        check=False,
    )
    assert b"stopped" in child.stderr
    assert b"Traceback" not in child.stderr
    assert child.returncode != 0
    assert not list(bench.glob("*logbook*"))
    assert not list(bench.glob(".part-*"))


def test_every_structure_takes_part() -> None:
    """The tables above name structures that exist."""
    assert {row[0] for row in SETTINGS} <= set(catalogue.templates())
