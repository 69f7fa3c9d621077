"""Several structures in one draft: every pair sound or refused, layers stacked, one cover closed."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import replace
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patterns.book import spine
from patterns.drafting.job import COMMON_STEPS
from patterns.drafting.order import Drafted
from patterns.errors import MendfoldError, SettingError, Unsuitable
from patterns.model.part import Part
from patterns.model.piece import Piece
from patterns.record.record import Record, SideTable
from patterns.sheets import layers as stacking
from patterns.structures import catalogue, steps
from tests.books import changed, demo, drafted
from tests.test_ladder import sound

NAMES = tuple(catalogue.templates())
FOUR = ("board_slot", "secondary_sewing", "hollow_tube", "spine_inlay")
CALLED_FOR = (
    ("logbook", FOUR),
    ("chart_book", ("tissue_hinge", "cover_widening")),
    ("seaweed_album", ("album_guards", "cover_widening")),
)
"""Combinations that every release must draft."""
SMALL_LOSS = "12,30 31,28 40,52 18,60"


@cache
def books() -> dict[str, Record]:
    """Return records that between them suit every structure, and some that suit few."""
    logbook = demo("logbook")
    return {
        **{name: demo(name) for name in ("logbook", "atlas", "chart_book", "almanac", "seaweed_album")},
        "narrow": changed("logbook", cover={"spine_width_head": 60.0, "spine_width_tail": 61.0}),
        "thin": changed("chart_book", cover={"kind": "limp", "spine_width": 49.0, "spine_width_head": 49.0, "spine_width_tail": 49.5}),
        "light_list": demo("light_list"),
        "day_book": demo("day_book"),
        "narrow day_book": changed("day_book", cover={"spine_width": 44.0}),
        "wide day_book": changed("day_book", cover={"spine_width": 56.0, "square_tail_spine": 9.0, "square_tail_fore_edge": 9.0}),
        "signal_book": demo("signal_book"),
        "light": changed("atlas", book={"weight": 1.3}),
        "thin wrapper": changed("almanac", cover={"spine_width": 8.0}),
        "turned": replace(logbook, book=replace(logbook.book, reading="right-to-left")),
    }  # fmt: skip


def made(book: Record | str, *structures: str, **given: object) -> Drafted:
    """Draft with a loss where one is asked for, and the quicker layout."""
    chosen: dict[str, object] = {}
    for name in structures:
        one = catalogue.find(name)
        if "outline" in one.parameters:
            chosen[f"{name}__outline"] = SMALL_LOSS
        if "layout" in one.parameters:
            chosen[f"{name}__layout"] = "classes"
    return drafted(
        demo(book) if isinstance(book, str) else book, *structures, **{**chosen, **given}
    )


def part(found: Drafted, name: str) -> Part:
    """Return one structure's part of a draft."""
    return next(one for one in found.pattern.parts if one.structure == name)


def pieces(found: Drafted) -> Iterator[Piece]:
    """Yield every piece of a draft."""
    return (piece for one in found.pattern.parts for piece in one.pieces)


def refused(one: str, other: str) -> str:
    """Return the reason either template gives against a pair; "" when neither does."""
    a, b = catalogue.find(one), catalogue.find(other)
    return a.conflicts.get(other, "") or b.conflicts.get(one, "")


def order_of(name: str) -> int:
    return catalogue.find(name).order


def stacked(found: Drafted, linings: float) -> None:
    """Every structure that names what it lies on lies on exactly the layers of those before it."""
    order = [catalogue.find(name).order for name in found.pattern.structures]
    assert order == sorted(order)
    under = linings
    within = {
        "spine_inlay": "cover_widening"
    }  # pasted to the inside of the piece drafted before it
    for one in sorted(
        found.pattern.parts,
        key=lambda part: (
            order_of(within.get(part.structure, part.structure)) - (part.structure in within) / 2
        ),
    ):
        if "block_spine_mm" in one.quantities:
            under = 0.0
        lies = one.quantities.get("lies_on_mm")
        if lies is not None:
            assert lies == pytest.approx(under, abs=1e-9), one.structure
        for piece in one.pieces:
            if piece.lies_on_mm is not None:
                own = sum(a.thickness_mm for a in one.layers if a.on_spine and not a.existing)
                assert under - 1e-9 <= piece.lies_on_mm <= under + own + 1e-9, piece.name
        for layer in one.layers:
            under += layer.thickness_mm if layer.on_spine and not layer.existing else 0.0


def sound_or_line(book: Record, *names: str) -> Drafted | str:
    """Return a draft that was checked, or the one line that refuses it."""
    try:
        found = made(book, *names)
    except MendfoldError as error:
        line = str(error)
    else:
        sound(found)
        stacked(found, book.spine.linings or 0.0)
        return found
    assert "\n" not in line
    return line


@pytest.mark.parametrize("pair", list(itertools.combinations(NAMES, 2)), ids="+".join)
def test_every_pair_is_sound_on_some_book_or_refused_with_its_reason(pair: tuple[str, str]) -> None:
    """What does not go together says why, in either order; all else drafts on a book that suits."""
    if reason := refused(*pair):
        assert len(reason) > 30
        for names in (pair, pair[::-1]):
            with pytest.raises(Unsuitable) as caught:
                made("logbook", *names)
            assert reason in str(caught.value)
        return
    said = []
    for name, book in books().items():
        found = sound_or_line(book, *pair)
        if isinstance(found, Drafted):
            assert found.pattern.structures == pair
            return
        assert len(found) > 30
        said.append(f"{name}: {found}")
    lines = "\n".join(said)
    pytest.fail(f"no book here suits {pair}; if none can, a template must say why:\n{lines}")


@pytest.mark.parametrize(("book", "structures"), CALLED_FOR)
def test_the_combinations_called_for_are_sound(book: str, structures: tuple[str, ...]) -> None:
    """Sound pieces, layers in order, the same pattern in whatever order they are named."""
    found = made(book, *structures)
    sound(found)
    stacked(found, demo(book).spine.linings or 0.0)
    assert made(book, *structures[::-1]).pattern == found.pattern
    names = [(piece.structure, piece.name) for piece in pieces(found)]
    assert len(names) == len(set(names))


def test_conflicts_and_shared_settings_name_what_exists() -> None:
    """A misspelt name would never refuse anything; shared settings stand in both, alike by default."""
    for one in catalogue.templates().values():
        assert set(one.conflicts) <= set(NAMES) - {one.name}
        for shared in one.shared:
            other = catalogue.find(shared.other)
            for setting in shared.settings:
                rows = [
                    held.parameters[setting].default
                    if setting in held.parameters
                    else held.materials[setting].default
                    for held in (one, other)
                ]
                assert rows[0] == rows[1], (one.name, setting)


@settings(max_examples=25, deadline=None, derandomize=True)
@given(
    book=st.sampled_from(("logbook", "atlas", "chart_book", "narrow", "turned")),
    names=st.lists(st.sampled_from(NAMES), min_size=3, max_size=6, unique=True),
)
def test_three_to_six_drawn_structures_are_sound_or_refused(book: str, names: list[str]) -> None:
    """Any handful on one book: sound and stacked, or one line."""
    kept: list[str] = []
    for name in names:
        if not any(refused(name, other) for other in kept):
            kept.append(name)
    found = sound_or_line(books()[book], *kept)
    assert isinstance(found, Drafted) or len(found) > 30


def layer(girth: float, turn: float, under: float, thickness: float, over: float) -> float:
    """Return a(u, t) written out: A + φ·(u − u₀ + t/2 − 0.1/2)."""
    return girth + turn * (under - over + thickness / 2 - 0.05)


def test_each_layer_of_the_logbook_is_as_long_as_its_place_asks() -> None:
    """Chord 67, round 12: φ = 4·atan(24/67); the tube on 0.2 + 0.08 + 0.25, by the strip read there; the inlay 0.48 more."""
    found = made("logbook", *FOUR)
    turn = 4 * math.atan2(24, 67)
    middle = 72.75
    cloth_on = 0.2 + 0.08
    assert part(found, "secondary_sewing").quantities["spine_width_mm"] == pytest.approx(
        layer(middle, turn, cloth_on, 0.25, 0.2), abs=0.01
    )
    tube_on = cloth_on + 0.25
    tube = part(found, "hollow_tube").quantities
    assert tube["lies_on_mm"] == pytest.approx(tube_on)
    assert tube["girth_mm"] == pytest.approx(layer(75.25, turn, tube_on, 0.12, tube_on), abs=0.01)
    inlay = part(found, "spine_inlay").quantities
    assert inlay["lies_on_mm"] == pytest.approx(tube_on + 4 * 0.12)


def test_one_cloth_serves_slot_and_sewing_and_is_drawn_once() -> None:
    """The lining names both structures; the slot alone would have drawn it itself."""
    found = made("logbook", *FOUR)
    (lining,) = (piece for piece in pieces(found) if piece.name == "lining")
    assert {*lining.serves, lining.structure} == {"board_slot", "secondary_sewing"}
    names = [one.name for one in stacking.stack(found.pattern)]
    assert names.count("lining cloth") == 1


@pytest.mark.parametrize(
    ("names", "given", "words"),
    [
        (("board_slot", "secondary_sewing"), {"secondary_sewing__cloth": "mull"}, "for one cloth"),
        (("board_slot", "secondary_sewing"), {"board_slot__cloth_thickness": 0.4}, "0.4 mm"),
        (("board_slot", "secondary_sewing"), {"board_slot__strong": "warp"}, "strong: "),
        (("board_slot", "board_paper"), {"board_slot__opening": 90}, "for one joint"),
        (("sewn_cloth_joint", "board_paper"), {"board_paper__opening": 90}, "for one joint"),
    ],
)
def test_shared_things_that_are_set_apart_are_refused(
    names: tuple[str, ...], given: dict[str, object], words: str
) -> None:
    """Shared pieces whose values then differ are refused, and the line says what to set."""
    with pytest.raises(SettingError, match=words) as refusal:
        made("logbook", *names, **given)
    name = next(iter(given)).partition("__")[2]
    (problem,) = refusal.value.problems
    assert problem.field == name.removesuffix("_thickness")
    assert problem.remedy == "set both"
    made("logbook", *names, **{name: next(iter(given.values()))})


@pytest.mark.parametrize(("book", "structures"), CALLED_FOR)
def test_steps_are_merged_in_working_order(book: str, structures: tuple[str, ...]) -> None:
    """Phase after phase, within one the inner structure first, the common ones at both ends."""
    found = made(book, *structures)
    phases = [steps.PHASES.index(step.phase) for step in found.pattern.steps]
    assert phases == sorted(phases)
    for phase in set(phases):
        own = [
            found.pattern.structures.index(step.structure)
            for step, at in zip(found.pattern.steps, phases, strict=True)
            if at == phase and step.structure
        ]
        assert own == sorted(own)
    assert {step.structure for step in found.pattern.steps if step.structure} == set(structures)
    assert found.pattern.steps[0].text == COMMON_STEPS[0].text
    assert found.pattern.steps[-1].text == COMMON_STEPS[-1].text


def place(found: Drafted, words: str) -> int:
    """Return the place of the one step that says something."""
    (at,) = [k for k, step in enumerate(found.pattern.steps) if words in step.text]
    return at


SEWN_CHARTS = changed("chart_book", spine={"girth_sewn_head": 49.0, "girth_sewn_tail": 49.5})
"""The chart book with its strip read over the sewn hinge."""


def test_a_cover_is_finished_before_it_is_hung() -> None:
    """Widened, then stiffened, then pasted to the tube; sides are set when the cover is widened."""
    tube = made("chart_book", "hollow_tube", "cover_widening", "spine_inlay")
    hung = place(tube, "Set panel 3, “off 2”, on the inlay")
    assert place(tube, "Set the original spine on the new piece") < hung
    assert place(tube, "Set the inlay on the inside") < hung
    hinge = made(SEWN_CHARTS, "tissue_hinge", "cover_widening")
    assert place(hinge, "Set the original spine on the new piece") < place(hinge, "Set the sides")


NARROW_CASE = changed("day_book", cover={"spine_width": 42.0})
"""The day book in a case that lacks some mm over spine and joints."""


@pytest.mark.parametrize(
    ("others", "joins"),
    [
        (("hollow_tube",), ("Set panel 3, “off 2”, on the inside of the spine",)),
        (("sewn_cloth_joint",), ("Turn the strip back", "mm of the cloth on the inner face")),
        (("secondary_sewing",), ("Trim the flanges",)),
    ],
)
def test_a_block_is_joined_to_its_case_when_the_case_is_ready_and_before_it_is_shut(
    others: tuple[str, ...], joins: tuple[str, ...]
) -> None:
    """Widened, tried dry, then joined at spine and joints, then the paste-downs: never a step in a shut book."""
    shape = replace(NARROW_CASE.spine, girth_sewn_head=32.0, girth_sewn_tail=32.0)
    book = replace(NARROW_CASE, spine=shape)
    reach = {"hollow_tube__reach": "block"} if "hollow_tube" in others else {}
    for widening in (("cover_widening",), ()):
        record = book if widening else replace(book, cover=replace(book.cover, spine_width=50.0))
        found = made(record, "casing_in", *others, *widening, **reach)
        tried = place(found, "Try the block in its")
        if widening:
            assert place(found, "Set the original spine on the new piece") < tried
        for one in joins:
            assert tried < place(found, one) < place(found, "paste-down, a waste sheet")


def test_a_doubt_that_two_structures_share_is_told_once() -> None:
    """Boards level with a rounded spine enter it, whatever crosses the joint: one line a board, not one a structure."""
    flush = changed(
        "light_list", spine={"shoulder": 0.0}, cover={"joint": "flush", "joint_gap": 0.0}
    )
    found = made(flush, "sewn_cloth_joint", "board_paper").pattern
    entered = [line for line in found.warnings if "lies level with a rounded spine" in line]
    assert len(entered) == 2
    assert all(line.startswith("Sewn cloth joints, board papers: ") for line in entered)


def test_tackets_and_a_widened_cover_are_not_drafted_together() -> None:
    with pytest.raises(Unsuitable, match="tackets are tied beneath the covering"):
        made("signal_book", "joint_tacket", "cover_widening")


def test_a_new_lining_is_not_poulticed_off_again() -> None:
    """With a spine lining the sewing's own cleaning of the spine is left out."""
    both = made("logbook", "spine_lining", "secondary_sewing").pattern.steps
    alone = made("logbook", "secondary_sewing").pattern.steps
    assert not any(step.text.startswith("Take the old adhesive off the spine") for step in both)
    assert any(step.text.startswith("Take the old adhesive off the spine") for step in alone)


def test_what_lies_on_a_new_sewing_says_read_the_strip_again() -> None:
    """Later pieces say "read the strip again after sewing"."""
    unread = changed("logbook", spine={"girth_sewn_head": None, "girth_sewn_tail": None})
    found = made(unread, *FOUR, path="loops", gatherings="5,36")
    for piece in pieces(found):
        later = piece.structure in ("hollow_tube", "spine_inlay")
        assert any("again after the sewing" in note for note in piece.notes) == later
    alone = made("logbook", "hollow_tube")
    assert not any("again after" in note for piece in pieces(alone) for note in piece.notes)


def test_the_section_stacks_every_layer_once_and_adds_them_up() -> None:
    """Tissue 0.08, cloth 0.25, four papers of 0.12, card 0.40: 1.21 mm."""
    found = made("logbook", *FOUR)
    shown = stacking.stack(found.pattern)
    assert len({one.name for one in shown}) == len(shown)
    assert found.pattern.figures["added_over_spine_mm"] == pytest.approx(
        0.08 + 0.25 + 4 * 0.12 + 0.4
    )
    assert stacking.total(shown).endswith("= 1.21 mm.")


def test_what_is_pasted_to_the_tube_is_not_shown_free() -> None:
    """The tube's last off panel holds inlay or widening piece; without a tube air lies between."""
    found = made("chart_book", "hollow_tube", "cover_widening", "spine_inlay")
    shown = stacking.stack(found.pattern)
    names = [one.name for one in shown]
    assert names.index("inlay") < names.index("widening piece") < names.index("original spine")
    assert "air" not in names
    assert {one.union for one in shown if one.name in ("inlay", "widening piece")} == {"pasted"}
    for piece in pieces(found):
        assert not any("faces the text block" in zone.to for zone in piece.zones)
    bare = stacking.stack(made("chart_book", "spine_inlay").pattern)
    assert "air" in [one.name for one in bare]


def test_guards_hand_the_cover_the_block_they_build() -> None:
    """Balanced to half a strip of the leaves' 24 × 0.9; flat, two French joints, a case of 33.2."""
    found = made("seaweed_album", "album_guards", "cover_widening")
    built = part(found, "album_guards").quantities["block_spine_mm"]
    assert isinstance(built, float)
    assert abs(built - 24 * 0.9) <= 0.25 / 2 + 0.41
    widening = part(found, "cover_widening").quantities
    ways = 2 * (3.2 + math.hypot(3.2, 2.5))
    assert widening["needed_head_mm"] == pytest.approx(built + ways + math.pi * 0.35 / 2)
    lacking = built + ways + math.pi * 0.4 / 2 - 33.2
    assert widening["deficiency_tail_mm"] == pytest.approx(lacking)
    assert not any("will not close it" in line for line in found.pattern.warnings)
    with pytest.raises(Unsuitable, match="not narrower"):
        made("seaweed_album", "cover_widening")


def test_tapered_fallen_in_and_unequal_books_carry_whole_combinations() -> None:
    """A spine fallen in by 3, girths 5 apart, boards that differ, read from right to left."""
    fallen = changed(
        "logbook",
        spine={
            "profile": "concave",
            "round_depth": -3.0,
            "girth_head": 67.4,
            "girth_tail": 67.4,
            "girth_sewn_head": 69.0,
            "girth_sewn_tail": 69.0,
        },
    )
    found = made(fallen, *FOUR)
    sound(found)
    stacked(found, 0.2)
    assert spine.measure(fallen).turn_deg < 0
    widths = [
        part(found, "secondary_sewing").quantities["spine_width_mm"],
        part(found, "hollow_tube").quantities["girth_mm"],
    ]
    assert float(widths[0]) < 67.4
    assert 67.4 < float(widths[1]) < 69.0
    tapered = replace(
        changed(
            "logbook",
            spine={
                "girth_head": 70.0,
                "girth_tail": 75.0,
                "girth_sewn_head": 72.0,
                "girth_sewn_tail": 77.0,
            },
        ),
        book=replace(demo("logbook").book, reading="right-to-left"),
    )
    tapered = replace(
        tapered,
        cover=replace(tapered.cover, back=SideTable(board_thickness=2.6, board_height=338.0)),
    )
    found = made(tapered, *FOUR)
    sound(found)
    stacked(found, 0.2)
    needed = found.pattern.figures
    assert needed["cover_needed_tail_mm"] > needed["cover_needed_head_mm"] + 4


def test_thread_stands_among_the_materials_by_its_length() -> None:
    """Eight loops of 155.8 mm are 1.25 m, so 1.3; every sewn structure names its thread."""
    tackets = dict(made("signal_book", "joint_tacket").pattern.materials)
    assert tackets == {"linen thread 18/3": "joint tackets: 1.3 m"}
    for book, name in (
        ("logbook", "secondary_sewing"),
        ("almanac", "tissue_hinge"),
        ("seaweed_album", "album_guards"),
        ("light_list", "sewn_cloth_joint"),
    ):
        listed = dict(made(book, name).pattern.materials)
        assert any(
            "thread" in material and words.endswith(" m") for material, words in listed.items()
        )


@pytest.mark.parametrize("structure", ["secondary_sewing", "board_slot"])
def test_a_cloth_over_raised_bands_says_what_it_lacks(structure: str) -> None:
    """Four bands 14 wide, 3 high: 2·√(9 + 49) − 14 = 1.2315 each, 4.9 mm from head to tail; over tapes nothing."""
    bands = changed("logbook", sewing={"supports": "raised", "support_height": 3.0})
    (told,) = [
        line for line in part(made(bands, structure), structure).warnings if "raised" in line
    ]
    assert "laid over them instead, each is cut 4.9 mm higher" in told
    assert 4 * (2 * math.hypot(3.0, 7.0) - 14) == pytest.approx(4.926, abs=0.001)
    unread = changed("logbook", sewing={"supports": "raised"})
    (asked,) = [
        line for line in part(made(unread, structure), structure).warnings if "raised" in line
    ]
    assert "sewing.support_height" in asked
    tapes = part(made("logbook", structure), structure)
    assert not [line for line in tapes.warnings if "raised" in line]
