"""Choosing: what comes first for which book, and that the reasons given are this book's reasons."""

from __future__ import annotations

import shlex
from dataclasses import replace
from typing import Any

import pytest

from patterns.drafting import job
from patterns.drafting.order import Order
from patterns.examine.examination import examine
from patterns.examine.finding import Choice
from patterns.record import reading
from patterns.stock import materials
from patterns.structures import catalogue
from patterns.structures.template import Template
from tests.books import drafted
from tests.examine_books import DEMO, LIBRARY, SOUND, changed, examined, joint

NAMES = (
    "spine_lining", "board_slot", "secondary_sewing", "casing_in", "sewn_cloth_joint", "joint_tacket",
    "album_guards", "tissue_hinge", "hollow_tube", "cover_widening", "reback", "spine_inlay",
    "board_paper", "text_block_support", "loss_infill",
)  # fmt: skip


def template(name: str, *needs: str) -> Template:
    """Return a template of that name which needs these fields."""
    title = name.replace("_", " ").capitalize()
    return replace(catalogue.find(name), title=title, needs=needs)


ALL = {name: template(name) for name in NAMES}
HEAVY = {"text_block.weight": 2.1, "book.weight": 2.4, "text_block.grammage": None}
LIMP = {
    "cover.kind": "limp", "cover.joint": "flush", "spine.shoulder": 0.0, "cover.joint_gap": 0.0,
    "unions": joint("pasted", "failed", "text block", "cover"),
}  # fmt: skip
PARTED = {"unions": joint("sewn", "failed")}
BACK = "+hollow_tube+reback"
"""What a book laced in its boards is finished with."""
SLOT, TACKET, STRIP = (
    f"{name}{BACK}" for name in ("board_slot+secondary_sewing", "joint_tacket", "sewn_cloth_joint")
)
TUBED = "hollow_tube+reback"


def choices(changes: dict[str, Any]) -> dict[str, Choice]:
    return {choice.structure: choice for choice in examined(changes, ALL).choices}


@pytest.mark.parametrize(
    ("changes", "order"),
    [
        ({}, ["nothing"]),
        (PARTED, [SLOT, TACKET, STRIP, "nothing"]),
        ({**PARTED, "cover.board_thickness": 1.9, "cover.board_weight": 0.05},
         [STRIP, TACKET, "nothing"]),
        ({**PARTED, "cover.kind": "wooden boards"}, [STRIP, TACKET, "nothing"]),
        ({**PARTED, "spine.shoulder": 0.0, "cover.spine_width": 44.5}, [STRIP, "nothing"]),
        ({**PARTED, **HEAVY}, [SLOT, STRIP, TACKET, "text_block_support", "nothing"]),
        (LIMP, ["tissue_hinge", "nothing"]),
        ({"cover.spine_width": 36.0}, ["cover_widening", TUBED, "nothing"]),
        ({"cover.spine_width": 36.0, "unions": joint("sewn", "weak")},
         ["cover_widening", TUBED, SLOT, TACKET, STRIP, "nothing"]),
        ({"cover.spine_width": 36.0, **PARTED},
         [SLOT, TACKET, STRIP, "cover_widening", "nothing"]),
        ({"unions": joint("pasted", "weak", "covering spine", "text block")},
         ["hollow_tube", TUBED, "nothing"]),
        ({"unions": joint("pasted", "weak", "covering spine", "text block"),
          "sewing.supports": "raised"}, ["spine_lining+reback", "nothing"]),
        ({"unions": joint("pasted", "weak", "covering spine", "text block"), "cover.kind": "case"},
         ["spine_lining+casing_in+cover_widening", "hollow_tube", "reback", "nothing"]),
        ({"unions": joint("pasted", "failed", "leaves", "stubs")}, ["album_guards", "nothing"]),
        ({"unions": joint("pasted", "failed", "lining", "panel", moves=False)}, ["nothing"]),
        ({"spine.round_depth": -3.0, "spine.profile": "concave"},
         ["text_block_support", "spine_lining+reback", "nothing"]),
        ({"condition.mould": "active", **PARTED}, ["nothing", SLOT, TACKET, STRIP]),
        ({"text_block.tear_strength": 120.0, **PARTED},
         ["nothing", f"{SLOT}+text_block_support", TACKET, STRIP]),
        ({"text_block.tear_strength": 120.0, "cover.spine_width": 36.0, **PARTED},
         ["cover_widening", f"{SLOT}+text_block_support", TACKET, STRIP, "nothing"]),
    ],
)  # fmt: skip
def test_the_ways_to_go_on_stand_in_their_order(changes: dict[str, Any], order: list[str]) -> None:
    """Common practice: moving unions are sewn; parted before strained, strained before weak."""
    assert list(choices(changes)) == order


def test_a_slot_is_reasoned_from_these_boards_and_this_shoulder() -> None:
    slot = choices({**PARTED, "cover.board_thickness": 2.7})[SLOT]
    assert "boards (2.7 mm)" in slot.pros[0]
    assert "shoulder (2.5 mm)" in slot.pros[0]
    assert any("cannot be undone" in con for con in slot.cons)
    assert slot.because == ("union_failed",)


def test_boards_too_thin_for_a_slot_are_the_reason_for_a_cloth_joint() -> None:
    thin = choices({**PARTED, "cover.board_thickness": 1.9})[STRIP]
    assert "boards of 1.9 mm are too thin for a slot" in thin.pros[0]
    thick = choices(PARTED)[STRIP]
    assert not any("too thin" in pro for pro in thick.pros)


@pytest.mark.parametrize("kilograms", [1.4, 1.49, 1.5, 1.6, 1.7, 1.8, 2.5, 4.0])
def test_tackets_are_always_listed_for_a_parted_board_with_one_limit_against(
    kilograms: float,
) -> None:
    """From 1.5 kg of block on, the one limit of attachments, they come last and say why."""
    changes = {
        **PARTED, "text_block.weight": kilograms, "book.weight": None, "text_block.grammage": None,
    }  # fmt: skip
    ways = choices(changes)
    assert TACKET in ways
    con = next(con for con in ways[TACKET].cons if con.startswith("loads a few holes only"))
    assert ("from 1.5 kg on" in con) == (kilograms >= 1.5)
    order = [name for name in ways if name in (STRIP, TACKET)]
    assert order[-1] == (TACKET if kilograms >= 1.5 else STRIP)


@pytest.mark.parametrize("name", ["day_book", "light_list"])
@pytest.mark.parametrize("narrow", [False, True])
def test_a_light_block_goes_back_into_its_own_case_before_that_is_cut(
    name: str, narrow: bool
) -> None:
    """No slot in its boards, and no reback over holes in them, comes before the ways that keep the case whole.

    From 1.5 kg of block on the slot comes first again, as it does for boards that are laced on.
    """
    book = reading.load(DEMO / f"{name}.toml")
    if narrow:
        book = replace(book, cover=replace(book.cover, spine_width=41.0))
    order = [one.structure for one in examine(book, LIBRARY, catalogue.templates()).choices]
    kept = [n for n, one in enumerate(order) if "casing_in" in one]
    cut = [n for n, one in enumerate(order) if "board_slot" in one or "joint_tacket" in one]
    assert kept
    assert cut
    assert max(kept) < min(cut)
    assert "sewn_cloth_joint" in order[min(kept)]
    heavy = replace(book, text_block=replace(book.text_block, weight=1.6))
    heavy = replace(heavy, book=replace(book.book, weight=1.8))
    first = examine(heavy, LIBRARY, catalogue.templates()).choices[0].structure
    assert "board_slot" in first


@pytest.mark.parametrize("kilograms", [1.2, 2.4, 2.5, 3.0])
def test_a_tube_is_reasoned_two_on_two_off_where_it_is_drafted_so(kilograms: float) -> None:
    """Cornell Guide 4A: two on, two off when heavy; a book of 2.5 kg is, a block of 1.5 kg is not."""
    changes = {
        "book.weight": kilograms, "text_block.grammage": None, "spine.linings": 0.0,
        "unions": joint("pasted", "weak", "covering spine", "text block"),
    }  # fmt: skip
    told = choices(changes)["hollow_tube"].pros[0]
    tube = drafted(changed(SOUND, changes), "hollow_tube").pattern.parts[0]
    assert ("two on, two off" in told) is (tube.quantities["on"] == 2) is (kilograms >= 2.5)


def test_raised_supports_are_the_reason_against_a_tube() -> None:
    union = joint("pasted", "weak", "covering spine", "text block")
    lining = choices({"unions": union, "sewing.supports": "raised"})["spine_lining+reback"]
    assert "raised supports" in lining.pros[0]
    assert lining.because == ("union_weak", "moving_union_pasted", "raised_supports")
    case = choices({"unions": union, "cover.kind": "case"})
    assert "natural hollow" in case["spine_lining+casing_in+cover_widening"].pros[0]


def test_a_swollen_fore_edge_is_the_reason_against_a_wider_cover() -> None:
    wider = {"cover.spine_width": 36.0}
    swollen = choices({**wider, "text_block.thickness_fore_edge": 33.0})["cover_widening"]
    assert "will not close a book whose fore edge is the thicker" in swollen.cons
    assert not any("fore edge" in con for con in choices(wider)["cover_widening"].cons)


@pytest.mark.parametrize(
    ("changes", "con"),
    [
        ({"condition.iron_gall": True}, "near iron-gall ink it sets with a cellulose ether in ethanol (tested first)"),
        ({"text_block.tear_strength": 140.0},
         "the paper at the folds is too weak to sew through without guards"),
        ({}, "the paper's tear strength is not measured: what the folds bear is unknown"),
    ],
)  # fmt: skip
def test_what_speaks_against_sewing_and_pasting_is_said(changes: dict[str, Any], con: str) -> None:
    assert con in choices({**PARTED, **changes})[SLOT].cons
    measured = choices({**PARTED, "text_block.tear_strength": 400.0})[SLOT]
    assert con not in measured.cons


UNLIKE = {"cover.back.board_thickness": 3.1}
"""A back board of 3.1 beside a front board of 2.5: 24 % thicker, and on purpose."""


def test_a_doubt_is_told_once_and_not_again_under_every_way() -> None:
    found = examined({**PARTED, **UNLIKE}, ALL)
    assert [one.key for one in found.findings].count("boards_differ") == 1
    assert len(found.choices) > 2
    assert not any("doubt" in con for way in found.choices for con in way.cons)


def test_readings_that_were_checked_are_doubted_no_more() -> None:
    """All that a doubt rests on confirmed, it is gone; of two readings one, the other is asked again."""
    both = ("cover.board_thickness", "cover.back.board_thickness")
    assert "boards_differ" not in keys({**UNLIKE, "measuring.checked": both})
    (left,) = (
        one
        for one in examined({**UNLIKE, "measuring.checked": both[1:]}, ALL).findings
        if one.key == "boards_differ"
    )
    assert left.fields == both[:1]
    # what is no doubt is not settled by it: the shoulder matches no board of 3.7
    thick = {"cover.back.board_thickness": 3.7, "measuring.checked": both}
    assert "board_and_shoulder_differ" in keys(thick)


def keys(changes: dict[str, Any]) -> set[str]:
    return {one.key for one in examined(changes, ALL).findings}


def test_unsewn_leaves_speak_against_sewing_a_joint_to_them() -> None:
    album = choices({**PARTED, "album.kind": "single"})
    assert "there is no fold to sew through until the leaves hang on guards" in album[SLOT].cons


def test_doing_nothing_says_what_it_leaves_undone_and_why_it_may_be_right() -> None:
    nothing = choices({"cover.spine_width": 36.0, **PARTED})["nothing"]
    assert nothing.title == "Do nothing, tie or box"
    assert "tied or boxed it loses nothing more" in nothing.pros
    assert any("Text block and boards: parted" in con for con in nothing.cons)
    assert any("too narrow for the block" in con for con in nothing.cons)
    calm = choices({})["nothing"]
    assert "nothing found calls for a new structure" in calm.pros
    assert calm.cons == ()


@pytest.mark.parametrize(
    ("alive", "title"),
    [({"condition.mould": "active"}, "active mould"), ({"condition.active_pests": True}, "active pests")],
)  # fmt: skip
def test_what_lives_in_a_book_isolates_it_without_a_wrapper(
    alive: dict[str, Any], title: str
) -> None:
    """Wrapped or boxed it would spread there: neither is offered, though thin paper would ask for it."""
    thin = {"text_block.tear_strength": 120.0, "text_block.thickness": 30.0}
    waiting = choices({**alive, **PARTED, **thin})["nothing"]
    assert f"{title}: the work waits for a conservator's judgement" in waiting.pros
    assert waiting.title == "Do nothing: isolate the book"
    assert not any("box" in word or "wrapper" in word for word in waiting.pros)
    assert any("box" in word for word in choices({**PARTED, **thin})["nothing"].pros)


def test_a_book_is_not_slotted_where_its_dust_may_hold_arsenic() -> None:
    """Refused by the draft in the same words, and so never offered."""
    green = choices({"condition.green_cloth": True, **PARTED})
    assert SLOT not in green
    assert STRIP in green


def test_missing_measurements_are_named_before_the_command() -> None:
    needs = ("cover.endband_tail", "spine.girth_head|spine.round_depth", "text_block.height")
    asking = {"cover_widening": template("cover_widening", *needs)}
    found = examine(changed(SOUND, {"cover.spine_width": 36.0}), LIBRARY, asking).choices[0]
    assert found.missing == ("cover.endband_tail",)


def test_only_structures_that_exist_are_offered() -> None:
    assert [choice.structure for choice in examined(PARTED, {}).choices] == ["nothing"]
    some = {"sewn_cloth_joint": ALL["sewn_cloth_joint"]}
    assert [choice.structure for choice in examined(PARTED, some).choices] == [
        "sewn_cloth_joint",
        "nothing",
    ]


def test_the_command_names_the_record_so_that_a_shell_takes_it_whole() -> None:
    found = examine(changed(SOUND, PARTED), LIBRARY, ALL, "my books/it's one.toml")
    assert shlex.split(found.choices[0].command) == [
        "mendfold", "draft", "my books/it's one.toml", "board_slot", "secondary_sewing", "hollow_tube", "reback",
    ]  # fmt: skip
    for choice in found.choices[:-1]:
        names, _, given = " ".join(shlex.split(choice.command)[3:]).partition(" --set ")
        assert names.split(" ") == choice.structure.split("+")
        assert given == " --set ".join(choice.settings)
    assert (found.choices[-1].structure, found.choices[-1].command) == ("nothing", "")


FIRST = {
    "almanac": "tissue_hinge",
    "atlas": "text_block_support",
    "chart_book": "cover_widening",
    "logbook": SLOT,
    "seaweed_album": "album_guards",
}
"""What each invented book was invented for."""


@pytest.mark.parametrize(("name", "first"), FIRST.items())
def test_each_demonstration_book_gets_what_it_was_invented_for(name: str, first: str) -> None:
    book = reading.load(DEMO / f"{name}.toml")
    assert examine(book, LIBRARY, ALL).choices[0].structure == first


DRAFTABLE = [
    name
    for name, first in FIRST.items()
    if all(one in catalogue.templates() for one in first.split("+"))
]


@pytest.mark.parametrize("name", DRAFTABLE)
def test_the_first_command_for_a_demonstration_book_drafts(name: str) -> None:
    path = DEMO / f"{name}.toml"
    book = reading.load(path)
    first = examine(book, LIBRARY, catalogue.templates(), str(path)).choices[0]
    asked = shlex.split(first.command)[3:]
    assert "+".join(asked) == first.structure
    drafted = job.draft(Order(book, tuple(asked), stock=materials.built_in()))
    assert set(drafted.pattern.structures) == set(asked)
