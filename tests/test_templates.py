"""What a template declares, what it shares with others, and how its module must type it."""

from __future__ import annotations

import tomllib
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

import pytest

from patterns.errors import TemplateError
from patterns.structures import catalogue, steps, template
from patterns.structures.template import Template

HEAD = """
title = "A thing"
purpose = "for a test"
example = "logbook"
order = 1
needs = []
undo = []
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
    for figures, wet in (({"wet": True}, True), ({"wet": 0}, False), ({}, False)):
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
    ],
)
def test_a_faulty_row_is_named(tmp_path: Path, rows: str, named: str) -> None:
    """A template that cannot be read says which row is wrong."""
    with pytest.raises(TemplateError, match=named):
        loaded(tmp_path, rows)


def sections() -> Iterator[tuple[str, dict[str, Any]]]:
    """Yield every template's raw parameters and materials by the section's name."""
    for file in catalogue.folder().glob("*.toml"):
        raw = tomllib.loads(file.read_text(encoding="utf-8"))
        for section in ("parameters", "materials"):
            yield section, raw.get(section, {})


def test_what_is_shared_is_shared() -> None:
    """Every shared row serves two templates or more."""
    shared = tomllib.loads(template.SHARED.read_text(encoding="utf-8"))
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
    template.compare(found, Right)
    with pytest.raises(TemplateError) as refused:
        template.compare(found, Wrong)
    told = str(refused.value)
    assert "more only in the module" in told
    assert "width has a default in the module" in told
    assert "side is typed" in told
    with pytest.raises(TemplateError, match="side is typed"):
        template.compare(found, NeverNone)
    with pytest.raises(TemplateError, match="width only in the TOML"):
        template.compare(found, dataclass(type("Less", (), {"__annotations__": {"side": str}})))
