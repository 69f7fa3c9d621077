"""There is one way to draft: a record is refused, warned of and drawn alike by every command."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.commands.bench import Run

WEAK = "secondary_sewing.stitches=3"
WAYS = (
    ("draft", "book.toml", "secondary_sewing", "--set", WEAK),
    ("gallery", "reuse", "logbook", "book.toml"),
)
"""One draft, asked for anew and by a kept pattern of the same structure and setting."""


@pytest.fixture(autouse=True)
def _kept(run: Run, bench: Path) -> None:
    """Keep a pattern of the bench's book in the gallery, and clear the bench of its sheets."""
    asked = (*WAYS[0], "--formats", "svg", "--keep", "--out", "earlier")
    assert run(*asked).status == 0
    assert (bench / "gallery" / "logbook-secondary_sewing").is_dir()


def rewritten(bench: Path, before: str, after: str) -> None:
    book = bench / "book.toml"
    text = book.read_text()
    assert before in text
    book.write_text(text.replace(before, after))


@pytest.mark.parametrize("way", WAYS, ids=["draft", "reuse"])
def test_a_sewing_too_weak_is_told(run: Run, bench: Path, way: tuple[str, ...]) -> None:
    """What stands in a box on the sheets stands beside them as well."""
    rewritten(bench, "[text_block]\n", "[text_block]\ntear_strength = 160\n")
    said = run(*way)
    assert said.status == 0
    assert "\nwarning: TOO WEAK" in f"\n{said.err}"
    pattern = json.loads((bench / "logbook-secondary_sewing" / "pattern.json").read_text())
    assert all(f"warning: {line}" in said.err.splitlines() for line in pattern["warnings"])


@pytest.mark.parametrize("way", WAYS, ids=["draft", "reuse"])
def test_a_title_no_sheet_can_print_is_refused_by_its_field(
    run: Run, bench: Path, way: tuple[str, ...]
) -> None:
    rewritten(bench, "Harbour master's logbook", "航海日誌")
    said = run(*way)
    assert (said.status, said.out) == (1, "")
    assert said.err.startswith('mendfold: book.toml: book.title is "航海日誌": the typeface')
    assert not (bench / "logbook-secondary_sewing").exists()


@pytest.mark.parametrize("way", WAYS, ids=["draft", "reuse"])
@pytest.mark.parametrize("names", [("stitch", "stitch"), ("stitch", " stitch ")])
def test_a_setting_given_twice_is_refused(
    run: Run, bench: Path, way: tuple[str, ...], names: tuple[str, str]
) -> None:
    """Neither of the two is taken without a word."""
    said = run(*way, "--set", f"{names[0]}=15", "--set", f"{names[1]}=16")
    assert (said.status, said.out) == (1, "")
    assert said.err == "mendfold: --set stitch: given twice; give it once\n"
    assert not (bench / "logbook-secondary_sewing").exists()


@pytest.mark.parametrize("way", WAYS, ids=["draft", "reuse"])
@pytest.mark.parametrize("text", ["stitch", "=15", "stitch=", " = "])
def test_a_setting_that_is_none_is_refused(run: Run, way: tuple[str, ...], text: str) -> None:
    said = run(*way, "--set", "every=4", "--set", text)
    assert said.status == 1
    assert said.err == f"mendfold: --set {text!r}: write NAME=VALUE, as in hollow_tube.on=2\n"


def test_both_ways_draw_the_same(run: Run, bench: Path) -> None:
    """Reusing a book's pattern for the book itself changes no byte."""
    for out, way in zip(("one", "other"), WAYS, strict=True):
        assert run(*way, "--out", out).status == 0
    one, other = (bench / out / "logbook-secondary_sewing" for out in ("one", "other"))
    names = sorted(path.name for path in one.iterdir())
    assert names == sorted(path.name for path in other.iterdir())
    assert all((one / name).read_bytes() == (other / name).read_bytes() for name in names)
