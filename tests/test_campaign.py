"""The campaign of drawn input catches planted faults, makes them small, and tells its outcome."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from random import Random

import pytest

from tests.campaign import kept, records, tracings
from tests.campaign.asking import Ask, Looks
from tests.campaign.minimising import smallest
from tests.campaign.spoiling import misshapen, spoiled
from tests.campaign.trying import Tried

PROJECT = Path(__file__).parents[1]
PLANTED = '''
import json, os, tomllib
from dataclasses import replace
from patterns.errors import SettingError
from patterns.sheets import whole
from patterns.structures import catalogue
from patterns.model.drawing import Words
from patterns.writers import table
from tests.books import DEMO
from tests.campaign import trying
from tests.campaign.asking import Ask

trying.MOST_CPU_S = 1
real, laid, written = catalogue.structure, whole.sheets, table.write
sewing = tomllib.loads((DEMO / "logbook.toml").read_text("utf-8"))["sewing"]
TAPE_MM = sewing["supports_at"][1] - sewing["support_width"] / 2
book = (DEMO / "chart_book.toml").read_bytes()
command = ("draft", "book.toml", "hollow_tube", "--formats", "svg,pdf")


def planted(name, fault):
    """Work out a structure with a fault in its part."""
    def structure(asked):
        found = real(asked)
        def draft(book, params):
            handed = found.draft(book, params)
            return handed._replace(part=fault(handed.part))
        return replace(found, draft=draft)
    catalogue.structure = structure


def crossed(part):
    """A piece whose outline crosses itself."""
    first, *rest = part.pieces
    a, b, *others = first.outline
    return replace(part, pieces=(replace(first, outline=(b, a, *others)), *rest))


def outside(part):
    """A piece with a fold beyond its edge."""
    first, *rest = part.pieces
    fold = replace(first.folds[0], line=((-9.0, 0.0), (-9.0, 9.0)))
    return replace(part, pieces=(replace(first, folds=(fold,)), *rest))


def raising(part):
    return {}["girth"]


def short(part):
    raise SettingError("no")


def endless(part):
    while True:
        pass


def greedy(part):
    return [bytearray(10**7) for _ in range(100)]


def off_page(layout):
    """The first sheet with a label at its very edge."""
    first, *rest = laid(layout)
    label = Words((0.5, 60.0), "off the page", 2.5)
    drawing = replace(first.drawing, marks=(*first.drawing.marks, label))
    return (replace(first, drawing=drawing), *rest)


def one_page_less(formats, sheets, title, pieces):
    """A PDF that lacks the last sheet."""
    return written(formats, sheets[:-1], title, pieces)


def on_a_tape(part):
    """A stitch whose hole lies 4 mm from the edge of a tape, where 5 are kept."""
    first, *rest = part.sewing.stitches
    moved = replace(first, from_mm=TAPE_MM - 4.0)
    return replace(part, sewing=replace(part.sewing, stitches=(moved, *rest)))


seen = []
def as_it_says(part):
    """The fault that a file beside the record names."""
    match open("fault").read():
        case "end":
            os.kill(os.getpid(), 11)
        case "once":
            seen.append(part)
            return {}["seen before"] if len(seen) > 1 else part
        case name:
            return {"sound": lambda part: part, "raising": raising, "endless": endless,
                    "greedy": greedy, "crossed": crossed}[name](part)


for fault in (lambda part: part, crossed, outside, raising, short, endless, greedy):
    planted("hollow_tube", fault)
    found = trying.tried(Ask("records", "x", "x", {"book.toml": book}, (command,), "book.toml"))
    print(json.dumps([found.ended, found.told, found.failed]))
catalogue.structure = real
for sheets, writes in ((laid, written), (off_page, written), (laid, one_page_less)):
    whole.sheets, table.write = sheets, writes
    found = trying.tried(Ask("records", "x", "x", {"book.toml": book}, (command,), sheets=True))
    print(json.dumps([found.ended, found.told, found.failed]))
planted("secondary_sewing", on_a_tape)
logbook = (DEMO / "logbook.toml").read_bytes()
command = ("draft", "book.toml", "secondary_sewing", "--formats", "svg")
found = trying.tried(Ask("records", "x", "x", {"book.toml": logbook}, (command,)))
print(json.dumps([found.ended, found.told, found.failed]))
catalogue.structure = real
planted("hollow_tube", as_it_says)
command = ("draft", "book.toml", "hollow_tube", "--formats", "svg")
names = ("sound", "endless", "greedy", "sound", "end", "once", "crossed", "once", "raising", "sound")
found = trying.tried_together(
    [Ask("x", "x", one, {"book.toml": book, "fault": one.encode()}, (command,)) for one in names]
)
print(json.dumps([[one.ask.name, one.ended] for one in found]))
'''


def said(command: list[str]) -> str:
    """Return what a process of its own prints: this one has threads, and none should fork."""
    done = subprocess.run(
        command, cwd=PROJECT, capture_output=True, text=True, timeout=300, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def test_planted_faults_are_caught_each_by_its_name() -> None:
    """An outline that crosses itself, a KeyError, a loop, a gigabyte, a label off the page, a PDF cut short, a stitch at a tape.

    In one child with others each ends as it does alone, and what fails in company only is a failure too.
    """
    done = said([sys.executable, "-c", PLANTED])
    sound, crossed, outside, raised, short, endless, greedy, laid, off, fewer, tape, company = map(
        json.loads, done.splitlines()
    )
    assert [sound[0], sound[2]] == ["taken", False]
    assert crossed[0] == "wrong"
    assert "hollow_tube, strip: its outline is not valid (Self-intersection" in crossed[1]
    assert outside[0] == "wrong"
    assert "is not inside" in outside[1]
    assert raised[0] == "traceback"
    assert raised[1].startswith("KeyError")
    assert short[0] == "ill told"
    assert endless[0] == "too slow"
    assert greedy[0] == "too large"
    assert [laid[0], laid[2]] == ["taken", False], laid[1]
    assert off[0] == "wrong"
    assert "page 1" in off[1]
    assert fewer[0] == "wrong"
    assert "sheets; pypdf finds" in fewer[1]
    assert tape[0] == "wrong"
    assert "a stitch's hole at" in tape[1]
    assert company == [
        ["sound", "taken"],
        ["endless", "too slow"],
        ["greedy", "too large"],
        ["sound", "taken"],
        ["end", "traceback"],
        ["once", "taken"],
        ["crossed", "wrong"],
        ["once", "traceback"],
        ["raising", "traceback"],
        ["sound", "taken"],
    ]


def test_a_run_prints_its_table_and_ends_with_0() -> None:
    """A few of each kind, as the command is written in DEVELOPERS.md."""
    command = [sys.executable, "-m", "tests.campaign", "--seed", "1", "--sheets", "0"]
    counts = ["--records", "3", "--tracings", "3", "--files", "3"]
    done = said([*command, *counts])
    for kind in ("records", "tracings", "files"):
        assert f"\n{kind}" in f"\n{done}"
    assert "0 failures of 0 kinds in 9;" in done


@pytest.mark.parametrize("draw", [records.draw, tracings.draw, kept.draw])
def test_the_same_number_draws_the_same(draw: Callable[[int, int, Looks], Ask]) -> None:
    """Another seed and another number draw another."""
    first = draw(1, 5, Looks())
    assert draw(1, 5, Looks()) == first
    assert draw(2, 5, Looks()) != first
    assert draw(1, 6, Looks()) != first


def test_a_record_is_examined_and_its_sheets_laid_out_only_where_asked() -> None:
    """Both cost many times what the draft does."""
    plain, all_of_it = records.draw(1, 5, Looks()), records.draw(1, 5, Looks(True, True))
    examine = ("examine", "book.toml")
    assert examine not in plain.commands
    assert examine in all_of_it.commands
    assert [plain.sheets, all_of_it.sheets] == [False, True]


def test_what_is_spoiled_is_another_file() -> None:
    """Of a hundred, nearly all; a document stays a document when it is misshapen."""
    data = b'{"format": "x", "sizes": [1.5, 2.5], "inner": {"a": 1, "b": ["c"]}}'
    assert sum(spoiled(Random(seed), data) != data for seed in range(100)) > 90
    changed = [misshapen(Random(seed), data) for seed in range(100)]
    assert len({*changed}) > 50
    for one in changed:
        json.loads(one)


def test_a_failure_is_made_small() -> None:
    """Words of the command and lines of the file that it does not need are left out."""
    lines = b"".join(b"line %d\n" % number for number in range(40)) + b"bad = 1\n"
    ask = Ask(
        "records", "x", "x", {"book.toml": lines},
        (("examine", "book.toml"), ("draft", "book.toml", "a", "--set", "b=1", "c")),
        "book.toml",
    )  # fmt: skip

    def answer(asked: Ask) -> Tried:
        fails = b"bad" in asked.files["book.toml"] and any("a" in one for one in asked.commands)
        return Tried(asked, "traceback" if fails else "taken", "KeyError in x: 5", 0.0, 0)

    small = smallest(answer(ask), answer).ask
    assert small.files == {"book.toml": b"bad"}
    assert small.commands == (("draft", "book.toml", "a"),)
