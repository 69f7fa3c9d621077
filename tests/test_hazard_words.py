"""What a book does not bear is named nowhere on its sheets: steps, cautions, ways to undo, lists, pieces.

The rules go by the traits that templates declare. These tests read the words: what a step says of water, heat
or a solvent it must declare, or be done away from the book; and what a draft then prints is searched whole.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from patterns.book.book import Book
from patterns.errors import Unsuitable
from patterns.examine.examination import examine
from patterns.model.pattern import Pattern
from patterns.record.record import ConditionTable
from patterns.stock import cautions, materials
from patterns.structures import asking, catalogue
from tests.books import demo, drafted
from tests.hazard_rules import BOOKS, CASES, in_condition

SAYS = {
    "wets": re.compile(
        r"poultice|\bdamp\b|^paste\b|\bpaste (out|it out|the|both|panel|wedge|shims|them)|\bwork \{bond\}|\{bond\}"
        r"|with paste|mm pasted|glue", re.I,
    ),
    "heats": re.compile(r"heated|hot iron|\birons?\b", re.I),
    "solvent": re.compile(r"ethanol|solvent", re.I),
}  # fmt: skip
"""Words of doing it; a paste-down, release paper, or what is said not to be pasted are none."""
AWAY = (
    "Cut {layer_words} and paste them to each other only",
    "Draw a tape through each slit",
    "Leave it shut and pressed until it is dry through",
    "Lay release paper {panel_words} wide inside",
    "Mould the inlay damp to the round, over a rod and away from the book",
    "Paste the shims on",
    "Paste the wedge on",
    "Set the bonds with a heated spatula",
    "Set the bonds with ethanol",
    "Soak-test a strip of this very paper",
    "This adhesive is wet",
    "Where a strip is joined, glue its two parts",
    "Shape the new covering first, away from the book",
)
"""How steps begin that paste, damp or heat something on the bench, or declare what they do by another trait."""


def declared() -> Iterator[tuple[str, str, str, bool]]:
    """Yield structure, what a step does by its words, those words, and whether it declares that."""
    for name, template in catalogue.templates().items():
        for step in template.steps:
            for one in step.tellings:
                for does, words in SAYS.items():
                    if words.search(one.text):
                        yield name, does, one.text, bool(getattr(one.traits, does))


def test_a_step_declares_what_its_words_do() -> None:
    """Or it is done on the bench, and stands in this list; no word of the list is idle."""
    undeclared = [(name, does, text) for name, does, text, held in declared() if not held]
    assert [row for row in undeclared if not row[2].startswith(AWAY)] == []
    assert all(any(row[2].startswith(one) for row in undeclared) for one in AWAY)


@pytest.mark.parametrize("structure", catalogue.names())
def test_no_way_to_undo_names_a_liquid_of_its_own(structure: str) -> None:
    """How a bond comes off is filled in, as it was set and as the book bears it."""
    for line in catalogue.find(structure).undo:
        said = re.sub(r"\{\w+\}", "", line)
        assert not re.search(r"poultice|ethanol|water|damp|soften|heat", said), line


@cache
def drafted_in(structure: str, settings: tuple[tuple[str, str], ...], book: str) -> Pattern | None:
    """Return the draft of a structure's example in a condition; None where it is refused."""
    try:
        return in_condition(structure, dict(settings), **BOOKS[book]).pattern
    except Unsuitable:
        return None


def printed(pattern: Pattern) -> Iterator[str]:
    """Yield all words of a draft but its boxes, which say what is forbidden."""
    yield from (step.text for step in pattern.steps)
    yield from (cautions.find(key).words for step in pattern.steps for key in step.cautions)
    yield from (cautions.find(key).few for step in pattern.steps for key in step.cautions)
    yield from (*pattern.undo, *pattern.tools)
    yield from (f"{name} {words}" for name, words in pattern.materials)
    yield from (line for line in pattern.warnings if line not in pattern.stops)
    for piece in (piece for part in pattern.parts for piece in part.pieces):
        yield from (*piece.notes, piece.grain_reason)
        yield from (f"{zone.adhesive} {zone.words} {zone.to}" for zone in piece.zones)


HEAT = re.compile(r"heated|hot iron|\bthe iron\b|dry-set", re.I)
POULTICED = re.compile(r"(?<!no )(?<!a )\bpoultice\b", re.I)


@pytest.mark.parametrize("book", BOOKS)
@pytest.mark.parametrize(("structure", "settings"), CASES, ids=str)
def test_no_forbidden_means_is_printed(structure: str, settings: dict[str, str], book: str) -> None:
    """No heat on parchment and red rot; no poultice where leaves or skin bear none; cautions for what is done."""
    pattern = drafted_in(structure, tuple(settings.items()), book)
    if pattern is None:
        return
    words = list(printed(pattern))
    if {"parchment", "leather"} & set(BOOKS[book]):
        assert [line for line in words if HEAT.search(line)] == []
    texts = " ".join(step.text for step in pattern.steps)
    keys = {key for step in pattern.steps for key in step.cautions}
    assert ("heat" in keys) == ("heated spatula" in texts)
    assert ("ethanol" in keys) == ("ethanol" in texts)
    assert ("ethanol_and_heat" in keys) == ({"heat", "ethanol"} <= keys)
    wet_on = {place for step in pattern.steps for place in step.traits.wets}
    for line in pattern.undo:
        if "with a poultice" in line:
            assert wet_on - DRY.get(book, set()), line


DRY = {
    "red rot": {"leather", "cover"},
    "parchment": {"leaf", "spine", "leather", "cover", "board"},
    "parchment leaves": {"leaf", "spine"},
    "parchment cover": {"leather", "cover", "board"},
    "photographs": {"leaf", "spine"},
    "iron gall": {"leaf", "spine"},
    "soluble": {"leaf", "spine", "leather", "cover"},
    "ink and photographs": {"leaf", "spine"},
    "red rot and photographs": {"leather", "cover", "leaf", "spine"},
    "red rot and ink": {"leather", "cover", "leaf", "spine"},
}
"""What bears no poultice: a line that names one is about something else that was pasted."""


@pytest.mark.parametrize("parchment", [(), ("leaves",), ("cover",)])
@pytest.mark.parametrize("leather", [None, "red-rot"])
@pytest.mark.parametrize("structure", ["tissue_hinge", "board_paper", "spine_inlay"])
def test_what_examining_says_of_heat_and_solvents_is_what_the_draft_does(
    structure: str, leather: str | None, parchment: tuple[str, ...]
) -> None:
    """Near photographs: heat where a step heats, a solvent where one is used, and no word of what is not."""
    condition = ConditionTable(photographs=True, leather=leather, parchment=parchment)
    template = catalogue.find(structure)
    book = replace(demo(template.example), condition=condition)
    (said,) = asking.ask_as_it_comes([template], Book.of(book, materials.built_in()))
    if said.rulings:
        return
    steps_now = drafted(book, structure, **template.example_settings).pattern.steps
    own = [step for step in steps_now if step.structure]
    for word, done in (
        ("it brings heat near photographs", any(step.traits.heats for step in own)),
        ("it brings a solvent near photographs", any(step.traits.solvent for step in own)),
    ):
        assert (word in said.against) == done


def test_no_adhesive_is_advised_that_photographs_do_not_bear() -> None:
    """Paste on the almanac's hinge: the tissue grows, and neither heat nor a solvent is named for it."""
    paste = {"adhesive": "wheat starch paste"}
    for photographs in (False, True):
        warnings = in_condition("tissue_hinge", paste, photographs=photographs).pattern.warnings
        (told,) = [line for line in warnings if "wets the tissue" in line]
        assert ("solvent-set or dry-set adhesive does not" in told) == (not photographs)


@pytest.mark.parametrize(
    ("condition", "words"),
    [
        ({}, "set it dry or with a solvent."),
        ({"parchment": ("cover",)}, "set it with a solvent."),
        ({"leather": "red-rot"}, "set it with a solvent."),
        ({"photographs": True}, "set it with nearly dry adhesive."),
    ],
)
def test_what_examining_says_of_a_hinge_is_what_the_book_bears(
    condition: dict[str, Any], words: str
) -> None:
    """A dry-set film is set by heat: it is not named where the draft takes none."""
    book = replace(demo("almanac"), condition=ConditionTable(**condition))
    found = examine(book, materials.built_in()).findings
    (told,) = [one.words for one in found if one.key == "hinge_tears_along_grain"]
    assert told.endswith(words)


def test_parchment_is_never_heated() -> None:
    """The hinge of the almanac is set by heat, on parchment by ethanol; heat asked for is refused."""
    heated = [step for step in catalogue.find("tissue_hinge").steps if step.traits.heats]
    assert {step.sets for step in heated} == {"heat"}
    with pytest.raises(Unsuitable, match="parchment shrinks for good under heat"):
        in_condition("tissue_hinge", {"adhesive": "dry-set acrylic film"}, parchment=("leaves",))
    for where in ("leaves", "cover"):
        as_it_comes = in_condition("tissue_hinge", {}, parchment=(where,))
        assert not any("heated spatula" in step.text for step in as_it_comes.pattern.steps)
        assert as_it_comes.materials["tissue_hinge"]["adhesive"].sets == "solvent"
    assert in_condition("tissue_hinge", {}).materials["tissue_hinge"]["adhesive"].sets == "heat"


def test_red_rotted_leather_is_never_heated() -> None:
    """What sound leather bears shrinks it: the hinge comes with ethanol, a leather side is not ironed."""
    as_it_comes = in_condition("tissue_hinge", {}, leather="red-rot")
    assert as_it_comes.materials["tissue_hinge"]["adhesive"].sets == "solvent"
    for structure in ("tissue_hinge", "board_paper"):
        with pytest.raises(Unsuitable, match="red-rotted leather shrinks for good at a heat"):
            in_condition(structure, {"adhesive": "dry-set acrylic film"}, leather="red-rot")
    sound_leather = in_condition("tissue_hinge", {}, leather="sound")
    assert sound_leather.materials["tissue_hinge"]["adhesive"].sets == "heat"


def test_no_adhesive_set_by_heat_is_advised_on_parchment() -> None:
    """Ink that runs is no reason to heat parchment: the warning names no dry-set adhesive there."""
    for adhesive in ("solvent-set acrylic film", "wheat starch paste"):
        for parchment in ((), ("cover",)):
            warnings = in_condition(
                "tissue_hinge", {"adhesive": adhesive}, soluble_media=True, parchment=parchment
            ).pattern.warnings
            told = [line for line in warnings if adhesive in line and "Tissue hinge" in line]
            assert told
            assert any("dry-set" in line for line in told) == (not parchment)
