"""What each step does to the book: declared, and held against what is drafted and cautioned."""

from __future__ import annotations

from dataclasses import replace

import pytest

from patterns.model.part import Part
from patterns.model.traits import Traits
from patterns.record.record import ConditionTable
from patterns.structures import catalogue
from tests.books import demo, drafted

OFF_THE_BOOK = {
    ("tissue_hinge", "heat"): 1,
    ("tissue_hinge", "ethanol"): 1,
    ("board_slot", "slotting_cutter"): 1,
    ("joint_tacket", "awl"): 1,
    ("sewn_cloth_joint", "awl"): 2,
    ("secondary_sewing", "awl"): 3,
    ("tissue_hinge", "awl"): 3,
    ("album_guards", "awl"): 2,
}
"""Steps that carry a caution for what is done on the bench, in waste board, in guards or through
holes that are pricked by then, by structure and caution."""
ASKED = {
    "heat": "heats",
    "ethanol": "solvent",
    "slotting_cutter": "cuts",
    "drill": "cuts",
    "awl": "cuts",
}
"""The trait that a caution speaks of."""


def example(name: str) -> Part:
    """Return a structure drafted on its own example, the book in no condition that changes it."""
    template = catalogue.find(name)
    book = replace(demo(template.example), condition=ConditionTable())
    return drafted(book, name, **template.example_settings).pattern.parts[0]


@pytest.mark.parametrize("name", catalogue.names())
def test_a_caution_and_its_trait_stand_together(name: str) -> None:
    """Where a step warns of water, heat, a solvent or a tool that cuts, its traits say what it reaches."""
    for caution, trait in ASKED.items():
        bare = [
            step.text
            for step in catalogue.find(name).steps
            if caution in step.cautions and not getattr(step.traits, trait)
        ]
        assert len(bare) == OFF_THE_BOOK.get((name, caution), 0), bare


@pytest.mark.parametrize("name", catalogue.names())
def test_what_is_sewn_and_what_swells_is_so_when_drafted(name: str) -> None:
    """A structure that needs an awl is sewn; one that adds thread to the girth swells."""
    found, declared = example(name), catalogue.find(name)
    assert bool(declared.sewn) == any("awl" in step.cautions for step in found.steps)
    swell = found.quantities.get("swell_most_mm", 0.0)
    assert declared.swells == (isinstance(swell, float) and swell > 0)


@pytest.mark.parametrize("name", catalogue.names())
def test_a_drafted_step_carries_the_traits_of_its_template(name: str) -> None:
    """Together the steps of an example do no more than the template declares, seldom steps included."""
    declared = catalogue.find(name)
    most = Traits()
    for step in declared.steps:
        most = most | step.traits
    done = Traits()
    for one in example(name).steps:
        done = done | one.traits
    assert all(set(a) <= set(b) for a, b in zip(done, most, strict=True))
    assert bool(done.wets) == bool(declared.traits.wets)


@pytest.mark.parametrize("name", catalogue.names())
def test_what_is_pasted_over_is_what_a_step_covers(name: str) -> None:
    """A zone that hides evidence says what it hides, and a step of the same draft says so too."""
    part = example(name)
    hidden = {zone.covers for piece in part.pieces for zone in piece.zones if zone.covers}
    assert hidden <= {place for step in part.steps for place in step.traits.covers}
    assert bool(hidden) == (name not in ("joint_tacket", "text_block_support", "flap_wrapper"))


def test_only_what_stands_beside_the_book_leaves_it_as_it_is() -> None:
    """Nothing of support and wrapper is pasted, sewn or cut to it; every other structure hides, wets or cuts something."""
    untouched = [
        name for name, one in catalogue.templates().items() if not one.sewn and not any(one.traits)
    ]
    assert sorted(untouched) == ["flap_wrapper", "text_block_support"]


def test_the_default_adhesive_decides_what_is_seldom() -> None:
    """A tissue hinge is set by heat unless another adhesive is chosen; its ethanol is seldom."""
    declared = catalogue.find("tissue_hinge")
    assert declared.traits.heats == ("cover",)
    assert declared.traits.solvent == ()
    steps = drafted("almanac", "tissue_hinge", adhesive="solvent-set acrylic film").pattern.steps
    assert any(step.traits.solvent for step in steps)
    assert not any(step.traits.heats for step in steps)
