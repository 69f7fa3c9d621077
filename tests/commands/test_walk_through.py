"""The README's walk through, command after command as it stands there, with what it prints."""

from __future__ import annotations

import re
import shlex
import shutil
from itertools import islice
from pathlib import Path

import pytest

import patterns
from tests.commands.bench import Run

README = Path(patterns.__file__).parent.parent / "README.md"
DEMO = Path(patterns.__file__).parent / "demo"
ASKING = {("bench",), ("measure", "atlas.toml")}
"""They stay open and are answered by a person; tests of their own do."""


def walk() -> list[tuple[tuple[str, ...], str]]:
    """Return the words of every command and what is printed below it."""
    (block,) = re.findall(
        r"## A walk through\n\n```console\n(.*?)```", README.read_text("utf-8"), re.S
    )
    steps = re.findall(r"^\$ mendfold (.*)\n((?:(?!\$).+\n)*)", block, re.M)
    return [(tuple(shlex.split(words, comments=True)), printed.strip()) for words, printed in steps]


@pytest.mark.golden
def test_the_walk_through_can_be_walked(
    run: Run, bench: Path, request: pytest.FixtureRequest
) -> None:
    """Once the records are there that a person measures, every line of it does what it says.

    `--update-golden` writes anew what is printed.
    """
    for name in ("atlas", "logbook"):
        shutil.copy(DEMO / f"{name}.toml", bench)
    shutil.copy(DEMO / "stock.toml", bench)
    with (DEMO / "harbour_office.csv").open("rb") as books:
        (bench / "collection.csv").write_bytes(b"".join(islice(books, 20)))
    run("draft", "logbook.toml", "hollow_tube", "--keep", "--out", "past")
    steps = walk()
    assert len(steps) > 10
    for words, printed in steps:
        if words in ASKING:
            continue
        said = run(*words)
        assert said.status == 0, (words, said.err)
        if printed and request.config.getoption("--update-golden"):
            README.write_text(README.read_text("utf-8").replace(printed, said.out.strip()), "utf-8")
        elif printed:
            assert printed == said.out.strip()
    assert any(printed for _, printed in steps)
    for name in ("form.pdf", "cut", "corrected", "survey/survey.html"):
        assert (bench / name).exists(), name
