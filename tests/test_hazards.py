"""The condition of the book reaches every draft: stops first, no heat on parchment, wet steps named."""

from __future__ import annotations

from dataclasses import replace

import pytest

from patterns.drafting.order import Drafted
from patterns.errors import Unsuitable
from patterns.record.record import ConditionTable
from patterns.structures import catalogue
from tests.books import demo, drafted

STOPS = {"mould": True, "active_pests": True, "paper": "brittle", "parchment": True}
REFUSED = {
    ("paper", name)
    for name in ("joint_tacket", "secondary_sewing", "sewn_cloth_joint", "tissue_hinge")
}
"""Brittle paper is not sewn through."""
REFUSED |= {("parchment", "tissue_hinge")}
"""Its example is set with heat."""
REFUSED |= {("mould", "flap_wrapper"), ("active_pests", "flap_wrapper")}
"""A wrapper would shut them in."""
WET = {"leather": "red-rot", "iron_gall": True, "soluble_media": True}


def in_condition(structure: str, **condition: object) -> Drafted:
    """Draft a structure's own example, its record in another condition."""
    template = catalogue.find(structure)
    book = demo(template.example)
    sound = replace(book, condition=ConditionTable(**condition))  # type: ignore[arg-type]
    settings = {key: str(value) for key, value in template.example_settings.items()}
    return drafted(sound, structure, **settings)


@pytest.mark.parametrize("structure", catalogue.names())
def test_a_sound_book_has_no_stop(structure: str) -> None:
    assert in_condition(structure).pattern.stops == ()


@pytest.mark.parametrize("structure", catalogue.names())
@pytest.mark.parametrize("key", sorted(STOPS))
def test_what_stops_the_work_stands_first(structure: str, key: str) -> None:
    """Boxed before every other warning; a few are refused altogether."""
    if (key, structure) in REFUSED:
        with pytest.raises(Unsuitable):
            in_condition(structure, **{key: STOPS[key]})
        return
    made = in_condition(structure, **{key: STOPS[key]})
    assert made.pattern.boxes[0].startswith("STOP: ")
    assert made.warnings[0] == made.pattern.boxes[0]


@pytest.mark.parametrize("structure", catalogue.names())
@pytest.mark.parametrize("key", sorted(WET))
def test_every_step_that_brings_moisture_is_named_by_its_number(structure: str, key: str) -> None:
    """From what the templates declare: a box names those steps, and there is none without them."""
    places = {
        "leather": {"leather", "cover"},
        "iron_gall": {"leaf", "spine"},
        "soluble_media": {"leaf", "spine", "leather", "cover"},
    }[key]
    pattern = in_condition(structure, **{key: WET[key]}).pattern
    wet = [
        number
        for number, step in enumerate(pattern.steps, 1)
        if places & {*step.traits.wets, *step.traits.solvent}
    ]
    assert len(pattern.stops) == (1 if wet else 0)
    if wet:
        assert f" {', '.join(map(str, wet))};" in pattern.stops[0]


def test_parchment_is_never_heated() -> None:
    """The hinge of the almanac is set by heat when asked so: refused, with another way named."""
    book = replace(demo("almanac"), condition=ConditionTable(parchment=True))
    template = catalogue.find("tissue_hinge")
    heated = [step for step in template.steps if step.traits.heats]
    assert heated
    way = {step.when for step in heated}
    assert way == {"set_heat"}
    with pytest.raises(Unsuitable, match="parchment shrinks for good under heat"):
        drafted(book, "tissue_hinge", adhesive="dry-set acrylic film")
