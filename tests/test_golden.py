"""Every structure's pieces on its example record, line for line as they were looked at."""

from __future__ import annotations

import difflib
from pathlib import Path

import pytest

from patterns.drafting.making import laid_out
from patterns.structures import catalogue
from patterns.writers.svg import svg_text
from tests.books import drafted

GOLDEN = Path(__file__).parent / "golden"


@pytest.mark.golden
@pytest.mark.parametrize("name", catalogue.templates())
def test_pieces_are_drawn_as_in_the_golden_file(name: str, request: pytest.FixtureRequest) -> None:
    """The plain drawing of all pieces equals the golden SVG; `--update-golden` rewrites it."""
    made = svg_text(laid_out(drafted(catalogue.find(name).example, name).pattern), name)
    file = GOLDEN / f"{name}.svg"
    if request.config.getoption("--update-golden"):
        file.write_text(made, encoding="utf-8")
    held = file.read_text(encoding="utf-8") if file.exists() else ""
    diff = difflib.unified_diff(held.splitlines(), made.splitlines(), "golden", "now", lineterm="")
    assert made == held, "\n".join(list(diff)[:40])


def test_no_golden_file_is_left_over() -> None:
    """Every golden file belongs to a template."""
    assert {file.stem for file in GOLDEN.glob("*.svg")} == set(catalogue.templates())
