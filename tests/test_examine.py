"""Findings: each book has the one it must have and lacks the one it must not."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patterns.examine.examination import examine
from patterns.examine.finding import Examination
from patterns.examine.wording import as_data, as_text
from patterns.record.record import FoldTable
from patterns.stock import cautions
from patterns.stock.materials import Library
from tests.examine_books import LIBRARY, SOUND, changed, examined, joint, keys, the

HEAVY = {"text_block.weight": 2.1, "book.weight": 2.4, "text_block.grammage": None}

# What the book is, the fields changed, the finding that must appear, the one that must not.
BOOKS: list[tuple[str, dict[str, Any], str, str]] = [
    ("joint parted", {"unions": joint("sewn", "failed")}, "union_failed", "moving_union_pasted"),
    ("joint weak", {"unions": joint("sewn", "weak")}, "union_weak", "union_failed"),
    ("moves and is pasted", {"unions": joint("pasted", "sound")}, "moving_union_pasted",
     "union_weak"),
    ("rests and is sewn", {"unions": joint("sewn", "sound", "lining", "panel", moves=False)},
     "static_union_sewn", "moving_union_pasted"),
    ("rests and is pasted", {"unions": joint("pasted", "weak", "lining", "panel", moves=False)},
     "union_weak", "moving_union_pasted"),
    ("cover 1.1 narrower", {"cover.spine_width": 39.9}, "spine_too_narrow",
     "cover_spine_disagrees"),
    ("cover 0.9 narrower", {"cover.spine_width": 40.1, "text_block.grain": "none"},
     "leaves_without_grain", "spine_too_narrow"),
    ("wider at the tail only", {"cover.spine_width": None, "cover.spine_width_head": 40.4,
     "cover.spine_width_tail": 38.0}, "spine_too_narrow", "cover_spine_differs"),
    ("fallen in", {"spine.round_depth": -3.0, "spine.profile": "concave"}, "fallen_in",
     "recessed_supports"),
    ("swollen at the fore edge", {"text_block.thickness_fore_edge": 32.1}, "swollen_fore_edge",
     "fore_edge_disagrees"),
    ("swollen but thin", {"text_block.thickness_fore_edge": 31.6}, "swollen_fore_edge",
     "spine_too_narrow"),
    ("board thicker than shoulder", {"cover.board_thickness": 3.6, "cover.board_weight": 0.083},
     "board_and_shoulder_differ", "board_weight_disagrees"),
    ("board 0.9 thicker", {"cover.board_thickness": 3.4, "sewing.supports": "raised"},
     "raised_supports", "board_and_shoulder_differ"),
    ("heavy, joints parted", {**HEAVY, "unions": joint("sewn", "failed")},
     "heavy_on_attachments", "heavy_unsupported"),
    ("light, joints parted", {"unions": joint("sewn", "failed")}, "union_failed",
     "heavy_on_attachments"),
    ("heavy, recessed", {**HEAVY, "sewing.supports": "recessed"}, "heavy_on_attachments",
     "union_failed"),
    ("heavy, unsupported", {**HEAVY, "sewing.supports": "none", "sewing.supports_at": None},
     "heavy_unsupported", "few_supports"),
    ("heavy boards", {"cover.board_weight": 0.16}, "boards_too_heavy", "heavy_on_attachments"),
    ("boards a fifth of the block", {"book.note": "as it is", "text_block.grain": "none"},
     "leaves_without_grain", "boards_too_heavy"),
    ("heavy with a deep square", {**HEAVY, "cover.square_tail": 4.0, "cover.board_height": 207.0},
     "deep_tail_square", "board_height_disagrees"),
    ("light with a deep square", {"cover.square_tail": 9.0, "cover.board_height": 212.0,
     "text_block.grain": "none"}, "leaves_without_grain", "deep_tail_square"),
    ("401 high", {"text_block.height": 401.0}, "store_flat", "fallen_in"),
    ("400 high", {"text_block.height": 400.0}, "board_height_disagrees", "store_flat"),
    ("81 thick", {"text_block.thickness": 81.0}, "store_flat", "fallen_in"),
    ("80 thick", {"text_block.thickness": 80.0}, "thickness_disagrees", "store_flat"),
    ("two tapes at 203", {"text_block.height": 203.0, "sewing.supports_at": (60.0, 140.0)},
     "few_supports", "heavy_unsupported"),
    ("two tapes at 202", {"text_block.height": 202.0, "sewing.supports_at": (60.0, 140.0),
     "text_block.grain": "none"}, "leaves_without_grain", "few_supports"),
    ("three tapes at 305", {"text_block.height": 305.0}, "few_supports", "store_flat"),
    ("recessed cords", {"sewing.supports": "recessed"}, "recessed_supports", "raised_supports"),
    ("holes 4 apart", {"sewing.holes_at": (16.0,)}, "holes_close", "holes_at_ends"),
    ("kettle 5 from the head", {"sewing.kettles": (5.0, 188.0)}, "holes_at_ends", "holes_close"),
    ("kettle 6.4 from the head", {"sewing.kettles": (6.4, 188.0), "sewing.supports": "recessed"},
     "recessed_supports", "holes_at_ends"),
    ("single leaves on stubs", {"album.kind": "single"}, "leaves_unsewn", "few_supports"),
    ("album of folios", {"album.kind": "folios", "sewing.supports": "raised"}, "raised_supports",
     "leaves_unsewn"),
    ("leaves cross-grained", {"text_block.grain": "spine-fore edge"}, "leaf_grain_across",
     "leaves_without_grain"),
    ("mould", {"condition.mould": "active"}, "mould", "active_pests"),
    ("mould of long ago", {"condition.mould": "inactive"}, "mould", "active_pests"),
    ("photographs", {"condition.photographs": True}, "photographs", "iron_gall"),
    ("pests", {"condition.active_pests": True}, "active_pests", "mould"),
    ("parchment", {"condition.parchment": ("leaves",)}, "parchment", "brittle_paper"),
    ("brittle", {"condition.paper": "brittle"}, "brittle_paper", "weak_folds"),
    ("weak paper", {"condition.paper": "weak", "text_block.tear_strength": 149.0}, "weak_folds",
     "brittle_paper"),
    ("fair paper", {"condition.paper": "fair", "text_block.tear_strength": 150.0,
     "condition.iron_gall": True}, "iron_gall", "weak_folds"),
    ("red rot", {"condition.leather": "red-rot"}, "leather", "parchment"),
    ("green cloth", {"condition.green_cloth": True}, "green_cloth", "leather"),
    ("running inks", {"condition.soluble_media": True}, "soluble_media", "iron_gall"),
    ("charts guarded in", {"text_block.leaves": 262, "text_block.leaf_thickness": 0.115},
     "leaves_beyond_gatherings", "leaf_count_disagrees"),
    ("gathering miscounted", {"text_block.gatherings": 33}, "leaf_count_disagrees",
     "leaves_beyond_gatherings"),
    ("an odd gathering explains it", {"text_block.gatherings": 31, "sewing.fold": (FoldTable(3, 1),
     FoldTable(9, 3)), "text_block.grain": "none"}, "leaves_without_grain", "leaf_count_disagrees"),
]  # fmt: skip


def test_the_sound_book_is_found_sound() -> None:
    assert examined({}).findings == ()
    assert examined({}).choices[0].structure == "nothing"


@pytest.mark.parametrize(
    ("changes", "must", "must_not"), [row[1:] for row in BOOKS], ids=[row[0] for row in BOOKS]
)
def test_each_book_has_its_finding_and_not_the_other(
    changes: dict[str, Any], must: str, must_not: str
) -> None:
    found = keys(examined(changes))
    assert must in found
    assert must_not not in found


def test_the_deficiency_is_the_worked_one() -> None:
    """A flat 36.6, no shoulder, gap 1, boards 2.5, covering 0.8: over a joint √7.25 = 2.6926.

    36.6 + 2 × 2.6926 + π × 0.4 = 43.2419 needed; a cover of 35.0 lacks 8.242 (worked by hand).
    """
    found = examined(
        {
            "spine.profile": "flat", "spine.round_depth": 0.0, "spine.shoulder": 0.0,
            "spine.over_shoulders": None, "text_block.thickness": 36.6,
            "text_block.thickness_fore_edge": 36.6, "spine.girth_head": 36.6,
            "spine.girth_tail": 36.6, "cover.spine_width": 35.0,
        }
    )  # fmt: skip
    short = the(found, "spine_too_narrow")
    assert short.figure == pytest.approx(8.242, abs=0.001)
    assert "23 % of the thickness" in short.words  # 8.242 / 36.6
    assert (short.limit, short.status) == (1.0, "practice")


def test_a_tapered_spine_is_held_against_its_chord_by_the_mean_of_both_strips() -> None:
    """Chord 35 and round 6 come to 37.68: 36.2 and 39.2 are 37.7 in the mean, 39.4 and 40.0 are not."""
    tapered = examined({"spine.girth_head": 36.2, "spine.girth_tail": 39.2})
    assert "girth_disagrees" not in keys(tapered)
    found = the(examined({"spine.girth_head": 39.4, "spine.girth_tail": 40.0}), "girth_disagrees")
    assert found.figure == pytest.approx(39.7 - 37.68, abs=0.01)
    assert found.fields[:2] == ("spine.girth_head", "spine.girth_tail")
    assert "39.4 and 40 mm" in found.words


def test_the_pull_on_a_support_is_the_worked_one() -> None:
    """1.5 kg, width 160, attachments at 20, 70, 120, 170, 220: 5.550945 N, worked two ways."""
    found = examined(
        {
            "text_block.weight": 1.5, "text_block.width": 160.0, "text_block.height": 240.0,
            "sewing.supports_at": (20.0, 70.0, 120.0, 170.0, 220.0),
            "unions": joint("sewn", "failed"),
        }
    )  # fmt: skip
    assert "up to 5.6 N on one of its 5 supports" in the(found, "heavy_on_attachments").words


def test_a_sagging_block_opens_the_head_by_height_over_width() -> None:
    """Similar triangles: 6 mm at 230 from the spine is 6 × 330 / 230 = 8.6 mm at 330 above its tail."""
    found = examined(
        {**HEAVY, "text_block.height": 330.0, "text_block.width": 230.0, "cover.square_tail": 6.0}
    )
    assert (
        "free to turn about the tail of its spine would come 8.6 mm off the joint"
        in the(found, "deep_tail_square").words
    )


def test_crossed_layers_curl_as_timoshenko_says() -> None:
    """Equal layers, 1.5 Δε / h: Δε 10⁻³ and h 0.2 give 0.0075 per mm, a radius of 133.3 mm."""
    lining = LIBRARY.find("kraft lining paper")
    lining = replace(lining, thickness_mm=0.1, humid_along=0.004, humid_across=0.014)
    library = Library(
        tuple(lining if each.name == lining.name else each for each in LIBRARY.materials)
    )
    book = changed(SOUND, {"text_block.grain": "spine-fore edge", "text_block.leaf_thickness": 0.1})
    curl = the(examine(book, library), "crossed_layers_curl")
    assert curl.figure == pytest.approx(1000 / 7.5, abs=0.01)


def test_growth_both_ways_is_that_of_the_studios_own_soak_test() -> None:
    """A 180 mark that grew to 183.6 and 180.9: 2 % and 0.5 %; a board 132 × 206 → 2.64 and 1.03."""
    paper = replace(LIBRARY.find("endpaper stock"), growth_across=2.0, growth_along=0.5)
    library = Library(
        tuple(paper if each.name == paper.name else each for each in LIBRARY.materials)
    )
    found = the(examine(changed(SOUND, {"unions": joint("sewn", "failed")}), library),
                "board_paper_draws")  # fmt: skip
    assert found.figure == pytest.approx(2.64)
    assert "2.6 mm from spine to fore edge and 1 mm from head to tail" in found.words


@pytest.mark.parametrize(
    ("changes", "key", "limit", "source"),
    [
        ({"text_block.height": 420.0}, "store_flat", 400, "Albany"),
        ({"text_block.thickness": 90.0}, "store_flat", 80, "Albany"),
        ({"text_block.height": 310.0}, "few_supports", 4, "Bailey 1916"),
        ({"sewing.supports_at": (60.0,), "text_block.height": 210.0}, "few_supports", 3, "Bailey"),
        ({"sewing.kettles": (4.0, 188.0)}, "holes_at_ends", 6.4, "R&E"),
    ],
)
def test_published_limits_are_the_published_ones(
    changes: dict[str, Any], key: str, limit: float, source: str
) -> None:
    """Univ. at Albany Libraries guideline; Bailey 1916; R&E, "kerf" (¼ in)."""
    found = the(examined(changes), key)
    assert (found.limit, found.status) == (limit, "published")
    assert source in found.limit_source


def test_a_fallen_in_spine_without_a_strip_is_still_examined() -> None:
    found = examined(
        {
            "spine.profile": "concave", "spine.round_depth": -4.0, "spine.girth_head": None,
            "spine.girth_tail": None,
        }
    )  # fmt: skip
    assert "fallen_in" in keys(found)


def test_an_empty_record_is_examined_without_complaint() -> None:
    empty = examine(type(SOUND)(), LIBRARY)
    assert empty.findings == ()
    assert empty.choices[0].structure == "nothing"


@pytest.mark.parametrize(
    ("key", "value", "found_as"),
    [
        ("mould", "active", "mould"),
        ("active_pests", True, "active_pests"),
        ("paper", "brittle", "brittle_paper"),
    ],
)
def test_what_stops_the_work_comes_before_everything(
    key: str, value: object, found_as: str
) -> None:
    found = examined({f"condition.{key}": value, "unions": joint("sewn", "failed")})
    assert found.findings[0].key == found_as
    assert found.stops == (found.findings[0].title,)
    assert found.choices[0].structure == "nothing"
    assert not any(choice.command for choice in found.choices)


@pytest.mark.parametrize(
    ("key", "value"), [("parchment", ("cover",)), ("mould", "inactive"), ("photographs", True)]
)
def test_what_only_changes_the_work_does_not_stop_it(key: str, value: object) -> None:
    found = examined({f"condition.{key}": value, "unions": joint("sewn", "failed")})
    (finding,) = [one for one in found.findings if one.key == key]
    assert finding.call == "note"
    assert found.stops == ()


def all_books() -> list[Examination]:
    return [examined(changes) for _, changes, _, _ in BOOKS]


def test_every_finding_shows_its_working() -> None:
    for found in all_books():
        for finding in found.findings:
            assert all((finding.title, finding.words, finding.limit_source, finding.sureness))
            assert finding.fields
            assert finding.status in ("published", "practice", "memory", "own")
            named = {"practice": "common practice", "own": "mendfold's own"}.get(finding.status, "")
            assert finding.limit_source.startswith(named)
            for suit in finding.suits:
                assert suit.pro
                assert suit.con not in ("", suit.pro)
            if finding.limit is not None:
                assert finding.figure is not None


def test_words_and_data_say_the_same() -> None:
    for found in all_books():
        text, data = " ".join(as_text(found).split()), json.loads(json.dumps(as_data(found)))
        assert data["format"] == "mendfold-examination/1"
        for finding in data["findings"]:
            assert finding["title"] in text
            assert " ".join(finding["words"].split()) in text
        for key, words in data["cautions"].items():
            assert words == cautions.text(key)
            assert words in text


LOADS = {"heavy_on_attachments", "deep_tail_square", "heavy_unsupported"}


@given(
    light=st.floats(0.2, 8.0),
    more=st.floats(0.0, 5.0),
    square=st.floats(0.0, 15.0),
    supports=st.sampled_from(["raised", "recessed", "tapes", "none"]),
    state=st.sampled_from(["sound", "weak", "failed"]),
)
def test_heavier_is_never_safer(
    light: float, more: float, square: float, supports: str, state: str
) -> None:
    def loads(kg: float) -> set[str]:
        return LOADS & keys(
            examined(
                {
                    "text_block.weight": kg, "cover.square_tail": square,
                    "sewing.supports": supports, "unions": joint("sewn", state),
                }
            )
        )  # fmt: skip

    assert loads(light) <= loads(light + more)


@given(narrow=st.floats(20.0, 60.0), more=st.floats(0.0, 20.0))
def test_a_wider_cover_is_never_more_deficient(narrow: float, more: float) -> None:
    def lack(width: float) -> float:
        found = examined({"cover.spine_width": width})
        return max(
            (f.figure or 0 for f in found.findings if f.key == "spine_too_narrow"), default=0
        )

    assert lack(narrow + more) <= lack(narrow)


@given(
    st.fixed_dictionaries(
        {},
        optional={
            "text_block.height": st.none() | st.floats(20, 2000),
            "text_block.width": st.none() | st.floats(15, 2000),
            "text_block.thickness": st.none() | st.floats(0.5, 400),
            "text_block.leaves": st.none() | st.integers(1, 5000),
            "text_block.gatherings": st.none() | st.integers(1, 600),
            "spine.round_depth": st.none() | st.floats(-30, 60),
            "spine.girth_head": st.none() | st.floats(0.5, 900),
            "spine.over_shoulders": st.none() | st.floats(0.5, 500),
            "spine.profile": st.sampled_from([None, "flat", "rounded", "concave"]),
            "cover.kind": st.sampled_from([None, "limp", "case", "wooden boards"]),
            "cover.board_thickness": st.none() | st.floats(0.2, 40),
            "cover.spine_width": st.none() | st.floats(0.5, 900),
            "book.weight": st.none() | st.floats(0.3, 80),
            "sewing.supports_at": st.none() | st.just((7.0,)) | st.just((7.0, 7.0)),
        },
    )
)
def test_no_record_is_too_odd_to_examine(changes: dict[str, Any]) -> None:
    found = examined(changes)
    assert as_text(found)
    assert all(finding.fields for finding in found.findings)


def test_a_boards_density_counts_its_covering_or_says_that_it_is_left_out() -> None:
    """206 × 132 mm, 2.5 thick, 0.8 of covering on it.

    0.095 kg in 2.5 mm were 1397 kg/m³, too much for any board; in 3.3 mm they are 1059. 0.045 kg in
    3.3 mm are 501, too little; in 2.5 mm they were 662.
    """
    heavy: dict[str, Any] = {"cover.board_weight": 0.095, "book.weight": 0.775}
    light: dict[str, Any] = {"cover.board_weight": 0.045, "book.weight": 0.675}
    bare = {"cover.thickness": None}
    assert "board_weight_disagrees" not in keys(examined(heavy))
    assert "1397 kg/m³, its covering, whose thickness was not measured, left out" in words(
        {**heavy, **bare}
    )
    assert "501 kg/m³, 0.8 mm of covering counted with it" in words(light)
    assert "board_weight_disagrees" not in keys(examined({**light, **bare}))


def words(changes: dict[str, Any]) -> str:
    found = examined(changes).findings
    return next(one.words for one in found if one.key == "board_weight_disagrees")
