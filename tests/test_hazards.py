"""The condition of the book reaches every draft, and changes exactly what the templates' traits say.

What is expected is worked out here from the TOML files as they stand: a step's declared traits, the ways
it gives `instead`, and whether its bond can be set by something else than paste. The table of what each
condition asks for is this file's own.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import pytest

from patterns.book.book import Book
from patterns.drafting import hazards
from patterns.errors import Unsuitable
from patterns.model.part import Step
from patterns.model.pattern import Pattern
from patterns.record.record import ConditionTable
from patterns.stock import cautions, materials
from patterns.structures import asking, catalogue, steps
from tests.books import changed, demo, drafted
from tests.hazard_rules import (
    ASKED,
    BOOKS,
    BOX_ALWAYS,
    CASES,
    INK,
    LEAVES,
    OWN_WORDS,
    SKIN,
    STOPS,
    TOLD,
    UNPASTED,
    UNSEWN,
    WRAPPING,
    brought,
    check_step,
    declared,
    expected_way,
    in_condition,
    numbers,
    numbers_told,
    reached,
    row_of,
    sound,
)


@pytest.mark.parametrize("book", BOOKS)
@pytest.mark.parametrize(("structure", "settings"), CASES, ids=str)
def test_the_sheets_differ_exactly_where_the_traits_say(
    structure: str, settings: dict[str, str], book: str
) -> None:
    """Every step, its number in the box, every zone and every list: changed as expected, else alike."""
    unheated = {"parchment", "leather"} & set(BOOKS[book])
    if structure == "tissue_hinge" and unheated and not settings:
        settings = {"adhesive": "solvent-set acrylic film"}  # as it comes on parchment and red rot
    whole = sound(structure, settings)
    rows = {number: row_of(step) for number, step in enumerate(whole.steps)}
    given = set(rows_given(structure, settings))
    if "parchment" in BOOKS[book] and any("heats" in rows[n] for n in given):
        with pytest.raises(Unsuitable, match="parchment shrinks for good under heat"):
            in_condition(structure, settings, **BOOKS[book])
        return
    if "leather" in BOOKS[book] and any(SKIN & set(rows[n].get("heats", ())) for n in given):
        with pytest.raises(Unsuitable, match="shrinks for good at a heat"):
            in_condition(structure, settings, **BOOKS[book])
        return
    if "leather" in BOOKS[book] and structure == "board_paper" and "adhesive" not in settings:
        with pytest.raises(Unsuitable, match="turn-ins of red-rotted leather"):
            in_condition(structure, settings, **BOOKS[book])
        return
    if "green_cloth" in BOOKS[book] and any("dusts" in rows[n] for n in given):
        with pytest.raises(Unsuitable, match="may hold arsenic"):
            in_condition(structure, settings, **BOOKS[book])
        return
    pattern = in_condition(structure, settings, **BOOKS[book]).pattern
    steps_now = list(pattern.steps)
    before = [n for n, step in enumerate(steps_now) if "Consolidate the red-" in step.text]
    assert before == first_touching(rows, "leather" in BOOKS[book])
    for at in before:
        assert "tested first" in steps_now[at].text
        assert "(practice)" in steps_now[at].text
        assert "ethanol" in steps_now[at].cautions
    shift = 1 if before else 0
    kept = [step for n, step in enumerate(steps_now) if n not in before]
    assert len(kept) == len(whole.steps)
    told: dict[tuple[str, str], set[int]] = {}
    pasted: dict[str | None, str] = {}
    for at, (now, was) in enumerate(zip(kept, whole.steps, strict=True)):
        asked = reached(rows[at], ASKED[book]) if rows[at] else ()
        way = expected_way(rows[at], asked) if asked else ""
        asked = tuple(one for one in asked if way != "solvent" or one.box != "Photographs")
        asked = tuple(dict.fromkeys((*asked, *brought(way, rows[at], ASKED[book]))))
        check_step(now, was, way, rows[at], asked)
        if not asked:
            assert now.cautions == was.cautions
        number = at + 1 + (shift if before and at >= before[0] else 0)
        for one in asked:
            fits = way and way in (*one.ways, one.otherwise)
            told.setdefault((one.box, TOLD[way] if fits else one.judged), set()).add(number)
        if way in ("solvent", "sparing"):
            pasted |= dict.fromkeys(rows[at]["wets"], way)
    if before:
        told["Red-rotted", "consolidates it first"] = {before[0] + 1}
        if "photographs" in BOOKS[book]:
            away = told.setdefault(("Photographs", "out of reach of the solvent"), set())
            away.add(before[0] + 1)
    solvents = {
        at + 1 + (shift if before and at >= before[0] else 0)
        for at, row in rows.items()
        if "solvent" in row
    }
    if book == "soluble" and solvents:
        told.setdefault(("Inks, dyes", "every liquid is tested"), set()).update(solvents)
    check_boxes(pattern, told, book in BOX_ALWAYS)
    check_zones(pattern, whole, pasted)
    asks = bool(before) or any("ethanol" in words for _, words in told)
    cold = {"parchment", "leather", "photographs"} & set(BOOKS[book])
    check_undoing(pattern, whole, structure, pasted, UNPASTED[book], "without heat" if cold else "")
    check_the_rest(pattern, whole, structure, asks)


def rows_given(structure: str, settings: Mapping[str, str]) -> list[int]:
    return [n for n, step in enumerate(sound(structure, settings).steps) if step.structure]


def first_touching(rows: Mapping[int, Mapping[str, Any]], red_rot: bool) -> list[int]:
    """Return the place of the step that consolidates: before whatever touches the leather."""
    for at, row in rows.items():
        places = {p for trait in ("wets", "solvent", "cuts", "covers") for p in row.get(trait, ())}
        if red_rot and places & SKIN:
            return [at]
    return []


def check_boxes(pattern: Pattern, told: Mapping[tuple[str, str], set[int]], always: bool) -> None:
    """Every box names the steps that are expected in it, by the numbers they have, and no other."""
    boxes = pattern.stops
    assert pattern.boxes[: len(boxes)] == boxes
    for (name, words), steps_meant in told.items():
        (box,) = [one for one in boxes if one.startswith(name)]
        assert numbers_told(box, words) == steps_meant, box
    for box in boxes:
        named = {n for (name, _), found in told.items() if box.startswith(name) for n in found}
        found = {n for words in re.findall(r"steps? ([\d, and]+)", box) for n in numbers(words)}
        assert found == named, box
    if not told:
        assert bool(boxes) == always


def check_zones(now: Pattern, was: Pattern, pasted: Mapping[str | None, str]) -> None:
    """A pasted zone names what its step sets it with, and nothing else of any piece is changed."""
    words = {"solvent": "cellulose ether in ethanol", "sparing": "wheat starch paste, nearly dry"}
    for part, before in zip(now.parts, was.parts, strict=True):
        for piece, sound_piece in zip(part.pieces, before.pieces, strict=True):
            zones = tuple(
                replace(zone, adhesive=words[pasted[zone.on]]) if zone.on in pasted else zone
                for zone in sound_piece.zones
            )
            assert piece == replace(sound_piece, zones=zones)


OFF = {
    "solvent": "with ethanol, tested first (it is set with a cellulose ether)",
    "sparing": "dry, or barely damp, tested first, the parts under restraint",
}


def check_undoing(
    now: Pattern,
    was: Pattern,
    structure: str,
    pasted: Mapping[str | None, str],
    unpasted: Mapping[str, str],
    unheated: str,
) -> None:
    """Each bond comes off by what it was set with, as the book bears it, and no line corrects another.

    Whatever undoes an adhesive of its own says that it is no heat where the book bears none.
    """

    def off(place: str) -> str:
        return OFF.get(pasted.get(place, "")) or unpasted.get(place, "with a poultice")

    if any(
        "what undoes its adhesive" in line for line in was.undo
    ):  # set without water on any book
        cold = f"undoes its adhesive, {unheated}," if unheated else "undoes its adhesive,"
        assert now.undo == tuple(one.replace("undoes its adhesive,", cold) for one in was.undo)
        return
    lines = catalogue.find(structure).undo
    if any("draw each stitch out" in line for line in was.undo):  # told by its sewing
        assert now.undo == tuple(
            line.replace("with a poultice", off("spine")).replace(
                "undoes the adhesive,",
                f"undoes the adhesive, {unheated}," if unheated else "undoes the adhesive,",
            )
            for line in was.undo
        )
        return
    title = was.parts[0].title
    for line, one, sound_one in zip(lines, now.undo, was.undo, strict=True):
        places = re.findall(r"\{off_(\w+)\}", line)
        told = {f"off_{p}": off(p) for p in places}
        told["unheated"] = f", {unheated}" if unheated else ""
        assert one == f"{title}: {line.format(**told)}"
        assert (
            sound_one
            == f"{title}: {re.sub(r'{off_[a-z]+}', 'with a poultice', line).replace('{unheated}', '')}"
        )


def check_the_rest(now: Pattern, was: Pattern, structure: str, ether: bool) -> None:
    """Whatever is not told of the condition is as it was."""
    assert [name for name, _ in now.materials if "cellulose ether" in name] == (
        ["cellulose ether (hydroxypropyl cellulose) in ethanol"] if ether else []
    )
    assert now.materials[: len(was.materials)] == was.materials
    if structure not in OWN_WORDS:
        more = [line for line in now.warnings if line not in was.warnings]
        assert [line for line in now.warnings if line not in more] == list(was.warnings)
        assert all(line.startswith("A cellulose ether holds less than paste") for line in more)
    usual = {tool for row in declared(structure) for tool in row.get("tools", ())}
    anew = {
        tool
        for row in declared(structure)
        for one in row.get("instead", {}).values()
        for tool in one.get("tools", ())
    }
    assert set(was.tools) - set(now.tools) <= usual
    assert set(now.tools) - set(was.tools) <= anew
    alike = ("book_id", "structures", "measurements", "closing", "figures")
    assert all(getattr(now, name) == getattr(was, name) for name in alike)


@pytest.mark.parametrize("structure", catalogue.names())
def test_a_sound_book_has_no_box_of_its_condition(structure: str) -> None:
    """No caution either that belongs to what the book is not."""
    pattern = sound(structure, {})
    assert pattern.stops == ()
    assert not [c for step in pattern.steps for c in step.cautions if cautions.find(c).only]


@pytest.mark.parametrize("structure", catalogue.names())
@pytest.mark.parametrize("key", STOPS)
def test_what_stops_the_work_stands_first(structure: str, key: str) -> None:
    """Boxed before every other warning; what is sewn is refused altogether on brittle paper."""
    if key == "brittle" and structure in UNSEWN:
        with pytest.raises(Unsuitable):
            in_condition(structure, {}, **STOPS[key])
        return
    if key != "brittle" and structure in WRAPPING:
        with pytest.raises(Unsuitable, match="isolated and treated before it is wrapped"):
            in_condition(structure, {}, **STOPS[key])
        return
    made = in_condition(structure, {}, **STOPS[key], iron_gall=True, photographs=True)
    assert made.pattern.boxes[0].startswith("STOP: ")
    assert made.warnings[0] == made.pattern.boxes[0]
    assert [box for box in made.pattern.stops if box.startswith("STOP")] == [made.pattern.stops[0]]
    if key != "brittle":
        assert "solate the book" in made.pattern.stops[0]
        assert "no wrapper" in made.pattern.stops[0]


def test_numbers_in_a_box_are_those_of_all_structures_together() -> None:
    """Four structures on one book, ink and red rot: each number finds its step on the merged sheet."""
    book = replace(demo("logbook"), condition=ConditionTable(leather="red-rot", iron_gall=True))
    pattern = drafted(book, "secondary_sewing", "board_slot", "hollow_tube", "spine_inlay").pattern
    rot, ink = pattern.stops
    at = dict(enumerate(pattern.steps, 1))
    (first,) = numbers_told(rot, "consolidates it first")
    assert at[first].text.startswith("Consolidate the red-rotted leather")
    assert at[first + 1].text.startswith("Lift the paste-down")
    assert "leather" in at[first + 1].traits.cuts
    assert first + 1 < min(n for n, step in at.items() if step.traits.dusts)
    for box in (rot, ink):
        for n in numbers_told(box, "ethanol"):
            assert "cellulose ether in ethanol" in at[n].text
    assert all("spatula" in at[n].text for n in numbers_told(ink, "dry, by hand"))
    wet = [n for n, step in at.items() if {*LEAVES, *SKIN} & set(step.traits.wets)]
    assert wet == []


def test_each_bond_is_undone_by_what_it_was_set_with() -> None:
    """Iron gall: the tube's panel on the folds comes off with ethanol, the one on the cover with a poultice."""
    book = replace(demo("atlas"), condition=ConditionTable(iron_gall=True))
    (told,) = drafted(book, "hollow_tube").pattern.undo
    assert (
        "on the spine lifts with ethanol, tested first (it is set with a cellulose ether)" in told
    )
    assert told.endswith("the one on the cover with a poultice")


def test_green_cloth_is_neither_drilled_nor_lifted_without_a_judgement() -> None:
    """Arsenical dust: no board is drilled, and whoever lifts the covering has it judged first."""
    green = replace(demo("day_book"), condition=ConditionTable(green_cloth=True))
    with pytest.raises(Unsuitable, match="joint_tacket: a step slots, drills, sands or pares"):
        drafted(green, "joint_tacket")
    (box,) = drafted(green, "casing_in").pattern.stops
    assert numbers_told(box, "judgement of this very green") == {6}


def test_what_lies_under_the_covering_counts_as_the_covering() -> None:
    """Red rot: turn-ins are lifted, and cloth and papers lie on them, after the leather is consolidated."""
    rot = ConditionTable(leather="red-rot")
    for name, structure in (
        ("logbook", "sewn_cloth_joint"),
        ("day_book", "casing_in"),
        ("signal_book", "spine_inlay"),
    ):
        found = drafted(replace(demo(name), condition=rot), structure).pattern.steps
        first = next(n for n, step in enumerate(found) if step.text.startswith("Consolidate the"))
        touched = [
            n
            for n, step in enumerate(found)
            if n != first and "leather" in {*step.traits.cuts, *step.traits.solvent}
        ]
        assert touched
        assert first < min(touched)
        assert not [step for step in found if "leather" in step.traits.wets]


def test_what_a_heavy_block_pulls_on_an_ether_is_told() -> None:
    """Logbook: 4.1 kg less two boards of 0.27, and one board: 3.83 kg × 9.80665 = 37.56 N over 330 mm: 0.114."""
    ink = {"iron_gall": True}
    heavy = in_condition("secondary_sewing", {}, **ink).pattern
    (said,) = [line for line in heavy.warnings if line.startswith("A cellulose ether")]
    assert "pull by 38 N, 0.11 N on each mm" in said
    set_with_it = {
        n for n, step in enumerate(heavy.steps, 1)
        if step.traits.covers and "cellulose ether" in step.text
    }  # fmt: skip
    assert numbers(said.partition("set with it")[0]) == set_with_it
    light = replace(demo("atlas"), condition=ConditionTable(iron_gall=True))
    light = replace(light, book=replace(light.book, weight=0.9))
    assert "cellulose ether holds" not in " ".join(drafted(light, "hollow_tube").warnings)


def test_a_bond_that_another_structure_sets_is_undone_as_it_was_set() -> None:
    """Red rot: the reback is set on tube and tackets with an ether, and no way to undo brings water to it."""
    rot = replace(demo("signal_book"), condition=ConditionTable(leather="red-rot"))
    for line in drafted(rot, "hollow_tube", "reback").pattern.undo:
        assert not line.startswith("Reback: lift") or "poultice" not in line
    tube = next(
        line
        for line in drafted(rot, "hollow_tube", "reback").pattern.undo
        if line.startswith("Hollow tube")
    )
    assert tube.endswith(
        "the one on the cover with ethanol, tested first (it is set with a cellulose ether)"
    )


@pytest.mark.parametrize("others", [{"iron_gall": True}, {"parchment": ("leaves",)}])
def test_dry_mould_says_nothing_of_a_step_that_brings_no_water(others: dict[str, Any]) -> None:
    """Done dry or by a solvent a step wakes no mould: one word for one step; nearly dry paste still may."""
    alone = in_condition("secondary_sewing", {}, mould="inactive").pattern
    both = in_condition("secondary_sewing", {}, mould="inactive", **others).pattern
    told = [numbers_told(mould_box(one), "as dry and as short") for one in (alone, both)]
    wet = [
        {
            number
            for number, step in enumerate(one.steps, 1)
            if {"leaf", "leather", "board", "cover", "spine"} & set(step.traits.wets)
        }
        for one in (alone, both)
    ]
    assert told == wet
    assert told[1] < told[0]


def mould_box(pattern: Pattern) -> str:
    (box,) = [one for one in pattern.stops if one.startswith("Inactive mould")]
    return box


def test_what_is_not_made_yet_is_not_undone() -> None:
    """On red rot a reback that waits for the strip has no step that says how it is set: no poultice is told."""
    unread = changed("logbook", spine={"girth_sewn_head": None, "girth_sewn_tail": None})
    rot = replace(unread, condition=ConditionTable(leather="red-rot"))
    waiting = drafted(rot, "secondary_sewing", "hollow_tube", "reback", path="fold").pattern
    assert {part.structure for part in waiting.parts if part.waits} == {"hollow_tube", "reback"}
    assert not [line for line in waiting.undo if line.startswith(("Reback", "Hollow tube"))]
    assert [line for line in waiting.undo if line.startswith("Secondary sewing")]


def new_step(text: str, **row: object) -> steps.StepTemplate:
    return steps.declared({"phase": "cover", "text": text, **row})


@pytest.mark.parametrize(
    ("condition", "wets", "begins"),
    [
        ({"parchment": ("leaves",)}, ["leaf"], "Nearly dry adhesive, tested first"),
        ({"parchment": ("cover",)}, ["leaf"], "Paste it"),
        ({"parchment": ("cover",)}, ["leather"], "Nearly dry adhesive, tested first"),
        ({"leather": "red-rot"}, ["leather"], "Nothing wet: "),
        ({"photographs": True}, ["leaf"], "Nearly dry adhesive, tested first"),
        ({"iron_gall": True}, ["leaf"], "Paste it"),
    ],
)
def test_a_new_structure_gets_it_for_its_traits(
    condition: dict[str, Any], wets: list[str], begins: str
) -> None:
    """A step that says nothing of any condition, only what it wets."""
    step = new_step("Paste it to the {thing}.", wets=wets)
    told = hazards.told(ConditionTable(**condition), step, {"thing": "leaf"}, (), "new")
    assert told.text.startswith(begins)
    assert told.text.endswith("Paste it to the leaf.")
    judged = "iron_gall" in condition
    assert [h.told for h in told.heeds if INK in h.told] == (
        ["{steps} not without a conservator's judgement of this very ink"] if judged else []
    )
    assert ("ink" in told.cautions) == judged


@pytest.mark.parametrize(
    ("condition", "refused"),
    [
        ({"mould": "active"}, "active mould"),
        ({"active_pests": True}, "active pests"),
        ({"mould": "inactive"}, ""),
        ({}, ""),
    ],
)
def test_nothing_is_put_round_a_book_in_which_something_lives(
    condition: dict[str, Any], refused: str
) -> None:
    """Whatever structure declares that it encloses the book, a wrapper or a box."""
    template = replace(catalogue.find("spine_inlay"), encloses=True)
    book = replace(demo(template.example), condition=ConditionTable(**condition))
    (said,) = asking.ask_as_it_comes([template], Book.of(book, materials.built_in()))
    assert any(refused in one.words for one in said.rulings) == bool(said.rulings) == bool(refused)


@pytest.mark.parametrize("structure", catalogue.names())
def test_no_template_brings_a_caution_of_a_condition(structure: str) -> None:
    """Conditions bring their own; a step told only on brittle paper may warn of it."""
    for step in catalogue.find(structure).steps:
        own = {key for one in step.tellings for key in one.cautions if cautions.find(key).only}
        assert own <= ({"brittle"} if step.when == (("brittle", True),) else set()), step.text


@pytest.mark.parametrize("structure", catalogue.names())
def test_a_bond_on_the_book_is_set_with_what_its_condition_asks_for(structure: str) -> None:
    """A wet step either lets its bond be set by something else or is told anew; few are left to a judgement."""
    left = [
        step.text
        for step in catalogue.find(structure).steps
        if {*LEAVES, *SKIN} & set(step.traits.wets)
        and not all(step.offers(way) for way in ("solvent", "sparing"))
        and not step.offers("dry")
    ]
    assert len(left) == LEFT_TO_A_JUDGEMENT.get(structure, 0), left


LEFT_TO_A_JUDGEMENT = {"board_paper": 2, "tissue_hinge": 1, "casing_in": 3}
"""Papers that must grow in paste to fit, endpapers, and a hinge for which paste was chosen."""


def test_a_caution_for_another_condition_is_not_printed() -> None:
    step = Step("cover", "Lay it down.", ("knife", "red_rot", "no_moisture", "brittle"))
    books: dict[str, dict[str, Any]] = {
        "none": {}, "red rot": {"leather": "red-rot"}, "brittle": {"paper": "brittle"},
    }  # fmt: skip
    warned = {
        name: hazards.warned(ConditionTable(**book), step).cautions for name, book in books.items()
    }
    assert warned == {
        "none": ("knife",), "red rot": ("knife", "red_rot", "no_moisture"), "brittle": ("knife", "brittle"),
    }  # fmt: skip


@pytest.mark.parametrize(
    ("row", "words"),
    [
        (
            {"instead": {"wet": {"text": "no"}}},
            "steps.instead.wet is unknown; allowed are dry, solvent, sparing",
        ),
        (
            {"instead": {"dry": {"text": "no", "phase": "cover"}}},
            "steps.instead.dry.phase is unknown",
        ),
        ({"dusts": ["shelf"]}, "steps.dusts may name"),
    ],
)
def test_a_template_that_declares_it_wrongly_is_refused(row: dict[str, Any], words: str) -> None:
    with pytest.raises(ValueError, match=re.escape(words)):
        new_step("Lay it.", **row)
