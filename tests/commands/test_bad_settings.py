"""Wrong settings, options and usage: one plain line and status 1, or usage and status 2."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from patterns.structures import catalogue
from patterns.structures.parameter import whole_list
from tests.books import drafted
from tests.commands.bench import Run, listing, refused

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
    start = time.process_time()
    assert whole_list("1-999," * 5000) == tuple(range(1, 1000))
    assert time.process_time() - start < 2


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
    (("gallery", "import", "none.zip"), "is not there"),
    (("gallery", "import", "book.toml"), "not a sound zip file"),
    (("gallery", "import", "settings"), "is a folder"),
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


def test_every_structure_takes_part() -> None:
    """The tables above name structures that exist."""
    assert {row[0] for row in SETTINGS} <= set(catalogue.templates())
