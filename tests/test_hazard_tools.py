"""Tools and adhesives listed are those of the steps as a book's condition has them told."""

from __future__ import annotations

from typing import Any

import pytest

from patterns.sheets import overview
from tests.hazard_rules import in_condition


@pytest.mark.parametrize("structure", ["secondary_sewing", "casing_in", "spine_lining"])
def test_the_tools_are_those_of_the_steps_as_they_are_told(structure: str) -> None:
    """Old adhesive that comes off dry, by hand, takes no poultice."""
    sound_book = in_condition(structure, {}).pattern
    inked = in_condition(structure, {}, iron_gall=True).pattern
    assert "poultice and spatula" in sound_book.tools
    assert "bone or wooden spatula" not in sound_book.tools
    assert "poultice and spatula" not in inked.tools
    assert "bone or wooden spatula" in inked.tools


@pytest.mark.parametrize(
    ("condition", "listed", "missing"),
    [
        ({}, "wheat starch paste", "cellulose ether"),
        ({"leather": "red-rot"}, "cellulose ether", "wheat starch paste"),
        ({"parchment": ("cover",)}, "wheat starch paste, nearly dry", "cellulose ether"),
    ],
)
def test_what_a_step_sets_with_is_listed_though_no_piece_is_pasted(
    condition: dict[str, Any], listed: str, missing: str
) -> None:
    """Tackets paste no piece of their own: only their steps say what the covering is laid down with."""
    pattern = in_condition("joint_tacket", {}, **condition).pattern
    asked = [name for name, _ in (*pattern.materials, *overview.adhesives(pattern))]
    assert any(name.startswith(listed) for name in asked)
    assert not any(name.startswith(missing) for name in asked)
    assert not any("paste" in tool for tool in pattern.tools)
