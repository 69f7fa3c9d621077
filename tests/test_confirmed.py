"""Readings taken again: a name stands for what the record gives, and one that checks nothing is answered."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

import patterns
from patterns.errors import MendfoldError
from patterns.record import reading
from tests.examine_books import SOUND, changed, examined
from tests.test_examine import BOOKS

EXAMINE = Path(patterns.__file__).parent / "examine"
APART = {
    "cover.board_thickness": None,
    "cover.front.board_thickness": 2.5,
    "cover.back.board_thickness": 3.1,
}
MORE: list[dict[str, Any]] = [
    APART,
    {"text_block.height": 60.0},
    {"cover.board_width": 150.0},
    {"cover.board_width": None, "cover.front.board_width": 150.0, "cover.back.board_width": 90.0},
    {"spine.girth_head": 39.4, "spine.girth_tail": 60.0},
    {"spine.girth_head": None, "spine.girth_tail": 60.0},
    {"text_block.grammage": 300.0},
    {"book.weight": 3.0},
    {"spine.over_shoulders": 90.0},
    {"cover.spine_width": 60.0},
    {"cover.spine_width": None, "cover.spine_width_head": 60.0, "cover.spine_width_tail": 30.0},
    {
        "cover.square_tail": None,
        "cover.square_tail_spine": 30.0,
        "cover.square_tail_fore_edge": 30.0,
    },
    {"cover.board_weight": 0.9},
    {"cover.front.board_weight": 0.9},
    {"text_block.thickness_fore_edge": 80.0},
    {"text_block.weight": 2.1, "book.weight": 2.4},
]


@pytest.mark.parametrize("changes", [*(row[1] for row in BOOKS), *MORE], ids=str)
def test_every_doubt_is_settled_by_the_names_it_gives(changes: dict[str, Any]) -> None:
    """Each names readings that the record gives; confirmed one by one fewer are left, all together none."""
    for doubt in (one for one in examined(changes).findings if one.call == "measure"):
        held = [name for name in doubt.fields if _given(changes, name)]
        assert held
        for name in held:
            again = examined({**changes, "measuring.checked": (name,)}).findings
            left = [one for one in again if (one.key, one.title) == (doubt.key, doubt.title)]
            assert all(name not in one.fields for one in left)
        settled = examined({**changes, "measuring.checked": tuple(held)}).findings
        assert doubt.words not in [one.words for one in settled]


def _given(changes: dict[str, Any], name: str) -> bool:
    return changed(SOUND, changes).get(name) is not None


@pytest.mark.parametrize(
    ("changes", "key", "name"),
    [
        (APART, "boards_differ", "cover.board_thickness"),
        ({"cover.spine_width": None, "cover.spine_width_head": 60.0, "cover.spine_width_tail": 30.0},
         "cover_spine_differs", "cover.spine_width"),
        ({"spine.girth_head": 39.4, "spine.girth_tail": 60.0}, "girths_differ", "spine.girth"),
    ],
)  # fmt: skip
def test_a_shared_name_stands_for_both(changes: dict[str, Any], key: str, name: str) -> None:
    """Both boards, or head and tail, where the record gives each its own."""
    assert key in {one.key for one in examined(changes).findings}
    assert key not in {
        one.key for one in examined({**changes, "measuring.checked": (name,)}).findings
    }


def test_a_reading_of_its_own_is_not_confirmed_by_the_other_boards() -> None:
    """Given for the front as for both, and for the back alone: each name stands for its own reading."""
    unlike = {"cover.back.board_thickness": 3.1}
    for name, other in (
        ("cover.board_thickness", "cover.back.board_thickness"),
        ("cover.back.board_thickness", "cover.board_thickness"),
    ):
        found = examined({**unlike, "measuring.checked": (name,)}).findings
        (left,) = [one for one in found if one.key == "boards_differ"]
        assert left.fields == (other,)


BOTH = "[cover.front]\nboard_thickness = 2.5\n[cover.back]\nboard_thickness = 3.1\n"


@pytest.mark.parametrize(
    ("given", "name", "meant"),
    [
        ("[cover]\nboard_thickness = 2.5\n", "cover.back.board_thickness", "write cover.board_thickness"),
        (BOTH, "cover.board_height", "leave it out"),
        ("[spine]\ngirth_tail = 40\n", "spine.girth_head", "write spine.girth_tail"),
        ("[cover]\nsquare_tail = 3\n", "cover.square_tail_spine", "write cover.square_tail"),
        ("", "text_block.leaves", "leave it out"),
    ],
)  # fmt: skip
def test_a_name_that_checks_nothing_is_answered_in_one_line(
    given: str, name: str, meant: str
) -> None:
    """Which name, that it checks nothing, and what could be meant."""
    said = f"measuring.checked names {name}, where no reading is recorded.*({meant})"
    with pytest.raises(MendfoldError, match=said) as refused:
        reading.parse(f'{given}[measuring]\nchecked = ["{name}"]', "b.toml")
    assert "\n" not in str(refused.value)


def test_a_shared_name_can_be_written() -> None:
    """It is no field of its own where it names a pair, and is taken all the same."""
    pair = '[spine]\ngirth_head = 40\ngirth_tail = 41\n[measuring]\nchecked = ["spine.girth"]'
    assert reading.parse(pair, "b.toml").measuring.checked == ("spine.girth",)
    shared = f'{BOTH}[measuring]\nchecked = ["cover.board_thickness"]'
    assert reading.parse(shared, "b.toml").measuring.checked == ("cover.board_thickness",)
    with pytest.raises(MendfoldError, match="no field of a record"):
        reading.parse('[measuring]\nchecked = ["spine.profil"]', "b.toml")


def test_the_books_of_this_file_raise_every_doubt() -> None:
    """Each kind that an examination knows of an ordinary book is among them; albums have their own."""
    source = "".join(path.read_text("utf-8") for path in EXAMINE.glob("*.py"))
    known = set(re.findall(r'yield doubt\(\s*f?"([a-z_{}]+)"', source))
    known = {name for name in known if "{" not in name} - {"album_thickness_disagrees"}
    raised = {
        one.key
        for changes in (*(row[1] for row in BOOKS), *MORE)
        for one in examined(changes).findings
        if one.call == "measure"
    }
    assert known - raised == set()
