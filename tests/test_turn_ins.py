"""A lining's flange is pasted to what lies on the inside of the cover: bare board, turn-ins, a limp side."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from patterns.drafting.order import Drafted
from patterns.record.record import ConditionTable, Record
from tests.books import changed, drafted, part, piece

ETHER = "cellulose ether in ethanol"


def wide(book: str, turn_in: float, **condition: object) -> Record:
    """Return a demo book whose turn-ins are so wide, in a condition."""
    record = changed(book, cover={"turn_in": turn_in})
    return replace(record, condition=ConditionTable(**condition))  # type: ignore[arg-type]


def flange_step(found: Drafted, words: str) -> str:
    (text,) = [step.text for step in found.pattern.steps if words in step.text]
    return text


FLANGES = {
    "secondary_sewing": ("logbook", "Trim the flanges", 16.7, 4.0, 5.0),
    "casing_in": ("day_book", "Lay the front board open", 15.7, 3.0, 3.0),
}
"""Book, its step, the widest turn-in clear of a setback of 12.7 with these squares at head and tail."""


@pytest.mark.parametrize("structure", FLANGES)
def test_a_flange_clear_of_the_turn_ins_is_pasted_to_board_alone(structure: str) -> None:
    """12.7 + the square at the head, 4.0 or 3.0: a turn-in as wide as that ends where the cloth begins."""
    book, words, clear, _, _ = FLANGES[structure]
    found = drafted(wide(book, clear, leather="red-rot"), structure)
    text = flange_step(found, words)
    assert "turn-ins" not in text
    assert ETHER not in text
    assert not any("turn-ins by" in line for line in part(found, structure).warnings)


@pytest.mark.parametrize("structure", FLANGES)
def test_a_flange_on_the_turn_ins_says_so_and_how_far(structure: str) -> None:
    """Turn-ins 22: 22 − square − 12.7 of each flange lie on them, and setbacks of 22 − square keep clear."""
    book, words, _, head, tail = FLANGES[structure]
    found = drafted(wide(book, 22.0), structure)
    ends = f"{22 - head - 12.7:.1f} mm at the head and {22 - tail - 12.7:.1f} mm at the tail"
    assert f" ends on the turn-ins ({ends})" in flange_step(found, words)
    (told,) = [line for line in part(found, structure).warnings if "turn-ins" in line]
    assert f"by {ends}" in told
    assert f"setback_head {22 - head:.1f} and setback_tail {22 - tail:.1f}" in told
    kept_clear = {"setback_head": 22 - head, "setback_tail": 22 - tail}
    assert "turn-ins" not in flange_step(drafted(wide(book, 22.0), structure, **kept_clear), words)


@pytest.mark.parametrize("structure", FLANGES)
@pytest.mark.parametrize(
    ("condition", "adhesive"),
    [
        ({"leather": "red-rot"}, "cellulose ether in ethanol"),
        ({"parchment": ("cover",)}, "wheat starch paste, nearly dry"),
    ],
)
def test_no_paste_comes_onto_turn_ins_that_bear_no_water(
    structure: str, condition: dict[str, object], adhesive: str
) -> None:
    """The step sets it as the covering asks, and the zones on the cloth name the same."""
    book, words, _, _, _ = FLANGES[structure]
    found = drafted(wide(book, 22.0, **condition), structure)
    text = flange_step(found, words)
    asked = "cellulose ether" if "leather" in condition else "nearly dry paste"
    assert asked in text
    (cloth,) = [piece for piece in part(found, structure).pieces if piece.name == "lining"]
    onto = {zone.adhesive for zone in cloth.zones if zone.on == "board" and zone.kind == "pasted"}
    assert onto == {adhesive}


@pytest.mark.parametrize("parchment", [(), ("cover",)])
def test_a_flange_on_a_limp_side_is_set_as_the_cover_asks(parchment: tuple[str, ...]) -> None:
    """The almanac has no boards: its cover, of parchment or not, is what the flange is pasted to."""
    book = replace(changed("almanac"), condition=ConditionTable(parchment=parchment or None))
    found = drafted(book, "secondary_sewing")
    text = flange_step(found, "Trim the flanges")
    assert ("nearly dry paste" in text) == bool(parchment)
    (cloth,) = [piece for piece in part(found, "secondary_sewing").pieces if piece.name == "lining"]
    assert any("nearly dry" in zone.adhesive for zone in cloth.zones) == bool(parchment)
    (step,) = [one for one in found.pattern.steps if "Trim the flanges" in one.text]
    assert "cover" in step.traits.wets


def limp_cover(**cover: object) -> Record:
    """Return a book in a limp cover with turn-ins of 16: the almanac's, its squares not measured."""
    bare = {"turn_in": 16.0, "square_head": None, "square_tail": None}
    return changed("almanac", cover={**bare, **cover})


def test_ends_of_a_flange_on_the_turn_ins_of_a_limp_cover_are_said() -> None:
    """Level with the block, 16 − 12.7 of them; sides 4 mm higher than the block stand out by 2 at each end."""
    high = limp_cover().text_block.height
    assert high is not None
    for side_height, ends in ((high, "3.3"), (high + 4, "1.3")):
        found = drafted(limp_cover(side_height=side_height), "secondary_sewing")
        both = f"{ends} mm at the head and {ends} mm at the tail"
        assert f"their ends on the turn-ins ({both})" in flange_step(found, "Trim the flanges")
        assert any(f"turn-ins by {both}" in line for line in found.pattern.parts[0].warnings)
    clear = drafted(limp_cover(square_head=4.0, square_tail=4.0), "secondary_sewing")
    assert "turn-ins" not in flange_step(clear, "Trim the flanges")


def test_a_limp_cover_has_no_board_and_no_joint_to_cross() -> None:
    """Nothing said of it names a board; a flange free across nothing is not called free."""
    found = drafted("almanac", "secondary_sewing")
    (made,) = found.pattern.parts
    cloth = piece(found, "lining")
    assert {cloth.left, cloth.right} == {"FRONT cover", "BACK cover"}
    text = flange_step(found, "Trim the flanges")
    assert "32.0 mm, from the tip of the shoulder on, set with" in text
    assert "0.0" not in text
    said = [*(step.text for step in made.steps), *made.warnings, str(made.quantities)]
    assert not [words for words in said if re.search(r"never by a board|0\.0 mm free", words)]


def test_a_book_with_boards_keeps_its_words() -> None:
    found = drafted("logbook", "secondary_sewing")
    cloth = piece(found, "lining")
    assert {cloth.left, cloth.right} == {"FRONT board", "BACK board"}
    assert "mm free across the joint, then 51.0 mm pasted" in flange_step(found, "Trim the flanges")
