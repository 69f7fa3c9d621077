"""What a template declares, what it shares with others, and how its module must type it."""

from __future__ import annotations

import tomllib
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Literal

import pytest

from patterns.errors import TemplateError
from patterns.structures import catalogue, comparing, steps, template
from patterns.structures import rows as template_rows
from patterns.structures.template import Template

HEAD = """
title = "A thing"
purpose = "for a test"
example = "logbook"
order = 1
needs = []
undo = []
"""
PAPER = """
[materials.paper]
kind = "paper"
default = "cartridge paper"
purpose = "for a test"
"""
STEP = """
[[steps]]
phase = "cover"
text = "Open it to {opening}°, {width} mm."
when = "%s"
"""
WIDTH = """
[parameters.width]
title = "width"
kind = "length"
default = 20.0
range = [5.0, 60.0]
source = "this test"
confidence = "own"
"""
SIDE = """
[parameters.side]
title = "side"
kind = "choice"
choices = ["front", "back"]
computed = "by the book"
source = "this test"
confidence = "own"
"""


def loaded(folder: Path, rows: str) -> Template:
    """Return a template of some parameter and material rows."""
    file = folder / "thing.toml"
    steps = "" if "[[steps]]" in rows else "steps = []\n"
    file.write_text(HEAD + steps + rows, encoding="utf-8")
    return template.load(file)


def test_shared_rows_stand_in_their_place(tmp_path: Path) -> None:
    """`use` takes rows as they are, `like` changes what it gives; a unit follows from the kind."""
    rows = '[parameters.some]\nuse = ["edge", "fixed"]\n' + WIDTH
    rows += '[parameters.head]\nlike = "setback_head"\ntitle = "how far"\nrange = [0.0, 20.0]\n'
    rows += '[materials.cloth]\nlike = "cloth"\npurpose = "a test"\n'
    found = loaded(tmp_path, rows)
    assert list(found.parameters) == ["edge", "fixed", "width", "head"]
    head = found.parameters["head"]
    assert (head.title, head.default, head.maximum, head.unit) == ("how far", 12.7, 20.0, "mm")
    assert "half an inch" in head.source
    assert found.materials["cloth"].default == "fine cotton cloth"
    assert found.materials["cloth"].purpose == "a test"


def test_a_step_stands_where_its_flag_says_so(tmp_path: Path) -> None:
    """A step is printed where its flag holds, or where it does not, as the template says."""
    held = loaded(tmp_path, STEP % "wet").steps[0]
    bare = loaded(tmp_path, STEP % "not wet").steps[0]
    for figures, wet in (({"wet": True}, True), ({"wet": 0}, False)):
        assert steps.wanted(held, figures) == wet
        assert steps.wanted(bare, figures) != wet
    with pytest.raises(TemplateError, match="when"):
        loaded(tmp_path, STEP % "very wet")


def test_degrees_are_whole_and_lengths_to_a_tenth(tmp_path: Path) -> None:
    """What counts is the kind of the figure, never the sign that follows it."""
    step = loaded(tmp_path, STEP % "wet").steps[0]
    figures = {"opening": 170.0, "width": 20.04}
    assert steps.fill(step.text, figures, ["opening"]) == "Open it to 170°, 20.0 mm."


@pytest.mark.parametrize(
    ("rows", "named"),
    [
        ('[parameters.a]\nuse = ["edge", "egde"]\n', "egde"),
        ('[parameters.a]\nlike = "egde"\n', "egde"),
        (WIDTH.replace("20.0", "70.0"), "width.default"),
        (WIDTH.replace("default = 20.0\n", ""), "width needs either"),
        (SIDE.replace('computed = "by the book"', 'default = "spine"'), "side.default"),
        (WIDTH.replace('"length"', '"size"'), "width.kind"),
        (STEP % "wet" + 'wet = ["leaf"]\n', "steps.wet is unknown"),
        (STEP % "wet" + 'wets = ["leaf", "page"]\n', "steps.wets may name leaf"),
        (STEP.replace('"cover"', '"covers"') % "wet", "steps.phase"),
        ('sewn = "yes"\n', "'old folds', 'new folds'"),
        ('answers = ["board joints"]\n', "'board joint'"),
        ('[[together]]\nwith = "board_slot"\nwhen = "never"\n', "'always'"),
        ("enclosed = true\n", "enclosed is unknown; allowed are answers"),
        (WIDTH.replace("range", "rang"), "parameters.width.rang is unknown"),
        (WIDTH.replace('"own"', '"workshop"'), "width.confidence 'workshop' is none of 'seen'"),
        (
            PAPER.replace('kind = "paper"', 'kind = "film"'),
            "materials.paper.kind 'film' is none of",
        ),
        (PAPER + 'governing = ["thick"]\n', "paper.governing 'thick' is none of 'thickness_mm'"),
        (PAPER + 'fits = "cover.thick"\n', "paper.fits 'cover.thick' is no field of the record"),
        (PAPER + "swells = true\n", "materials.paper.swells is unknown"),
        ('[[conflicts]]\nwith = "reback"\nwhy = "no room"\n', "conflicts.why is unknown"),
        ('[[together]]\nwith = "reback"\nwen = "always"\n', "together.wen is unknown"),
    ],
)
def test_a_faulty_row_is_named(tmp_path: Path, rows: str, named: str) -> None:
    """A template that cannot be read says which row is wrong."""
    with pytest.raises(TemplateError, match=named):
        loaded(tmp_path, rows)


@dataclass(frozen=True, slots=True)
class Inner:
    """Figures that two structures share."""

    wet: bool


@dataclass(frozen=True, slots=True)
class Told:
    """What the step above is filled in with, beside the parameter `width`."""

    opening: float
    inner: Inner


@dataclass(frozen=True, slots=True)
class More(Told):
    """One figure that no step names."""

    height: float


def test_the_words_of_a_template_are_compared_with_what_its_module_gives(tmp_path: Path) -> None:
    """Each name of a step, of its flag and of a way to undo; each figure of the module."""
    found = loaded(tmp_path, WIDTH + STEP % "wet")
    comparing.words(found, Told, ())
    with pytest.raises(TemplateError, match=r"told when wet, .*; no step names cold of the module"):
        comparing.words(found, _kind("Cold", opening=float, cold=bool), ())
    with pytest.raises(TemplateError, match=r"thing: a step names \{opening\}, .* told when wet"):
        comparing.words(found, None, ())
    with pytest.raises(TemplateError, match="thing: no step names height of the module"):
        comparing.words(found, More, ())
    comparing.words(replace(found, undo=("lift it {off_spine}",)), Told, ())
    for name in ("height", "off_height"):
        undone = replace(found, undo=(f"cut at {{{name}}} mm",))
        with pytest.raises(TemplateError, match=rf"a way to undo names \{{{name}\}}"):
            comparing.words(undone, Told, ())


def _kind(name: str, **fields: type) -> type:
    return dataclass(type(name, (), {"__annotations__": fields}))


def test_a_step_may_be_told_where_another_structure_is_drafted(tmp_path: Path) -> None:
    """`with_NAME` names a structure that there is, and another."""
    found = loaded(tmp_path, WIDTH + STEP % "with_board_slot")
    kind = _kind("Opened", opening=float)
    comparing.words(found, kind, ("thing", "board_slot"))
    with pytest.raises(TemplateError, match="told when with_board_slot"):
        comparing.words(found, kind, ("thing", "board_slit"))
    itself = loaded(tmp_path, WIDTH + STEP % "with_thing")
    with pytest.raises(TemplateError, match="told when with_thing"):
        comparing.words(itself, kind, ("thing", "board_slot"))


def test_a_need_is_a_field_of_the_record(tmp_path: Path) -> None:
    """Each alternative of it; the nearest field is offered."""
    file = tmp_path / "thing.toml"
    needs = 'needs = ["book.outside|book.outsize"]'
    file.write_text(HEAD.replace("needs = []", needs) + "steps = []\n", encoding="utf-8")
    with pytest.raises(TemplateError, match=r"'book.outsize' is no field .* nearest: book.outside"):
        template.load(file)


@pytest.mark.parametrize(
    ("rows", "named"),
    [
        ('[[conflicts]]\nwith = "rebak"\nreason = "r"\n', "conflicts with 'rebak'"),
        ('[[shared]]\nwith = "rebak"\nwhat = "w"\nsettings = ["cloth"]\n', "shared with 'rebak'"),
        ('[[together]]\nwith = "rebak"\nwhen = "always"\n', "together with 'rebak'"),
        ('[[conflicts]]\nwith = "thing"\nreason = "r"\n', "conflicts with 'thing'"),
    ],
)
def test_another_structure_that_is_named_is_there(tmp_path: Path, rows: str, named: str) -> None:
    """A misspelt conflict would let two structures go together that cannot."""
    with pytest.raises(TemplateError, match=named):
        comparing.others(loaded(tmp_path, rows), ("thing", "reback"))
    right = rows.replace("rebak", "reback").replace('"thing"', '"reback"')
    comparing.others(loaded(tmp_path, right), ("thing", "reback"))


@pytest.mark.parametrize(
    ("right", "wrong", "named"),
    [
        ("{strip_words}", "{strip_wrods}", r"hollow_tube: a step names \{strip_wrods\}"),
        ('when = "wound"', 'when = "wuond"', "hollow_tube: a step is told when wuond"),
        ("{winding_words} ", "", "hollow_tube: no step names winding_words"),
        ('["knife", "old_', '["knive", "old_', "knive"),
    ],
)
def test_a_structure_is_compared_when_it_is_loaded(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, right: str, wrong: str, named: str
) -> None:
    """A slip in a template is told before any book is drafted, whatever the book's steps are."""
    text = (catalogue.folder() / "hollow_tube.toml").read_text(encoding="utf-8")
    assert right in text
    (tmp_path / "hollow_tube.toml").write_text(text.replace(right, wrong, 1), encoding="utf-8")
    broken = template.load(tmp_path / "hollow_tube.toml")
    names = catalogue.names()
    monkeypatch.setattr(catalogue, "names", lambda: names)
    monkeypatch.setattr(catalogue, "find", lambda _: broken)
    with pytest.raises(TemplateError, match=named):
        catalogue.structure.__wrapped__("hollow_tube")


def sections() -> Iterator[tuple[str, dict[str, Any]]]:
    """Yield every template's raw parameters and materials by the section's name."""
    for file in catalogue.folder().glob("*.toml"):
        raw = tomllib.loads(file.read_text(encoding="utf-8"))
        for section in ("parameters", "materials"):
            yield section, raw.get(section, {})


def test_what_is_shared_is_shared() -> None:
    """Every shared row serves two templates or more."""
    shared = tomllib.loads(template_rows.SHARED.read_text(encoding="utf-8"))
    used = Counter(
        (section, name)
        for section, rows in sections()
        for row in rows.values()
        for name in (*row.get("use", ()), *([row["like"]] if "like" in row else ()))
    )
    for section, rows in shared.items():
        for name in rows:
            assert used[section, name] > 1, f"{section}.{name} serves {used[section, name]}"


def test_no_row_is_declared_twice() -> None:
    """What two templates declare alike in every key stands in the shared table."""
    seen = Counter(
        (section, name, repr(sorted(row.items())))
        for section, rows in sections()
        for name, row in rows.items()
        if not {"use", "like"} & set(row)
    )
    assert [row for row, count in seen.items() if count > 1] == []


@dataclass(frozen=True, slots=True)
class Right:
    """Typed as the rows above declare it."""

    width: float
    side: Literal["front", "back"] | None


@dataclass(frozen=True, slots=True)
class Wrong:
    """One of each fault."""

    side: Literal["front", "spine"] | None
    more: int
    width: float = 20.0


@dataclass(frozen=True, slots=True)
class NeverNone:
    """A setting that may be worked out, typed as if it never were."""

    width: float
    side: Literal["front", "back"]


def test_a_module_types_what_its_template_declares(tmp_path: Path) -> None:
    """Every difference of name or type is named, and a default in the module is one."""
    found = loaded(tmp_path, WIDTH + SIDE)
    comparing.params(found, Right)
    with pytest.raises(TemplateError) as refused:
        comparing.params(found, Wrong)
    told = str(refused.value)
    assert "more only in the module" in told
    assert "width has a default in the module" in told
    assert "side is typed" in told
    with pytest.raises(TemplateError, match="side is typed"):
        comparing.params(found, NeverNone)
    less = _kind("Less", side=str)
    for compared in (comparing.params, comparing.names):
        with pytest.raises(TemplateError, match="width only in the TOML"):
            compared(found, less)
    comparing.names(found, NeverNone)
