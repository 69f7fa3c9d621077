"""Swell: thread inside the fold at each height, the search of defaults that keeps it small, what waits for it."""

from __future__ import annotations

import math

import pytest

from patterns.drafting.order import Drafted
from patterns.examine.examination import examine
from patterns.examine.finding import Choice
from patterns.model.part import Part
from patterns.record.record import Record
from patterns.sewing.swell import Swell, most_level
from patterns.stock import materials
from patterns.structures import catalogue
from tests.books import changed, drafted

NAME = "secondary_sewing"
D_35 = math.sqrt(4e-3 * 3 * 1653.5155 / 35 / (math.pi * 0.90))
"""Linen thread 35/3, worked out from its name: 0.448 mm."""
UNREAD = {"girth_sewn_head": None, "girth_sewn_tail": None}
"""The logbook at its first visit: its spine is not sewn yet."""


def sewing(found: Drafted) -> Part:
    """Return the sewing's part of a draft."""
    return next(part for part in found.pattern.parts if part.sewing)


def figure(found: Drafted, name: str) -> float:
    """Return one figure of the sewing."""
    value = sewing(found).quantities[name]
    assert isinstance(value, (int, float))
    return float(value)


@pytest.mark.parametrize(
    ("settings", "gatherings", "likely"),
    [
        ({"path": "fold", "every": 5}, 10, 3.4),
        ({"path": "fold", "every": 4}, 12, 4.0),
        ({"path": "loops", "every": 3}, 8, 2.7),
        ({"path": "loops", "every": 4}, 6, 2.0),
    ],
)
def test_the_worked_swell_of_the_logbook(
    settings: dict[str, object], gatherings: int, likely: float
) -> None:
    """Worked by hand: gatherings with thread at one height × 0.448 × 0.75; 10 → 3.4, 8 → 2.7, 6 → 2.0."""
    found = drafted("logbook", NAME, **settings)
    assert pytest.approx(0.448, abs=5e-4) == D_35
    assert figure(found, "swell_gatherings_n") == gatherings
    assert figure(found, "swell_likely_mm") == pytest.approx(gatherings * D_35 * 0.75)
    assert figure(found, "swell_likely_mm") == pytest.approx(likely, abs=0.05)
    assert figure(found, "swell_most_mm") == pytest.approx(gatherings * D_35)
    assert figure(found, "swell_least_mm") == pytest.approx(gatherings * D_35 * 0.5)


def test_the_logbook_is_sewn_in_loops_through_every_fourth_gathering() -> None:
    """Its limit is 3 % of the greater girth, 73: 2.19. Fold 5 swells by 3.4, loops 3 by 2.7, loops 4 by 2.0."""
    found = drafted("logbook", NAME)
    details = sewing(found).sewing
    assert details is not None
    assert (details.details["path"], details.details["every"]) == ("loops", 4.0)
    sewn = [one.gathering for one in details.stitches]
    assert len(set(sewn)) == 12
    assert figure(found, "swell_gatherings_n") == 6
    assert found.parameters[NAME]["path"] is None
    assert found.parameters[NAME]["every"] is None


def test_swell_is_counted_height_by_height() -> None:
    """By hand: runs from 20 to 95, 50 to 110 and 100 to 150 lie two at once, the loops never but at 80 to 90."""
    holes = {
        1: [(20.0, 35.0), (80.0, 95.0)],
        4: [(50.0, 65.0), (75.0, 90.0), (96.0, 110.0)],
        7: [(100.0, 115.0), (135.0, 150.0)],
    }
    assert most_level(holes, "fold")[0] == 2
    count, at = most_level(holes, "loops")
    assert (count, at) == (2, 85.0)
    assert most_level({1: [(20.0, 35.0)], 2: [(35.0, 50.0)]}, "loops")[0] == 1
    assert most_level({}, "fold") == (0, 0.0)


@pytest.mark.parametrize(
    ("gatherings", "within", "dry", "again"),
    [(2, True, False, False), (3, True, False, True), (4, True, False, True), (5, True, True, True), (6, False, True, True)],
)  # fmt: skip
def test_the_limits_of_swell(gatherings: int, within: bool, dry: bool, again: bool) -> None:
    """At 0.45 mm and a limit of 2 mm: likely 0.34 a gathering, most 0.45; dry over 2 mm, read again over 1."""
    swell = Swell(gatherings, 50.0, 0.45, 2.0)
    assert (swell.within, swell.laid_dry, swell.read_again) == (within, dry, again)


def test_a_thin_block_is_sewn_through_its_folds() -> None:
    """Seven gatherings: all within the limit, so the fold is sewn along and no lining is laid dry."""
    book = changed("logbook", text_block={"gatherings": 4, "leaves": 32})
    found = drafted(book, NAME)
    assert sewing(found).quantities["fold_path"]
    assert figure(found, "swell_most_mm") == pytest.approx(4 * D_35)
    steps = " ".join(step.text for step in found.pattern.steps)
    assert "between the shoulder tips only" in steps
    assert "Paste the cloth through" not in steps


def test_a_lining_that_must_give_is_laid_dry_and_pasted_through_afterwards() -> None:
    """Six gatherings of 0.448 swell by up to 2.7 mm: over 2."""
    found = drafted("logbook", NAME)
    order = [step.text for step in found.pattern.steps]
    laid = next(k for k, text in enumerate(order) if "Lay it dry on the tissue" in text)
    sewn = next(k for k, text in enumerate(order) if text.startswith("Sew each stitch by itself"))
    through = next(
        k for k, text in enumerate(order) if text.startswith("Work a cellulose ether in ethanol")
    )
    assert laid < sewn < through
    assert not any("Paste it to the tissue" in text for text in order)


@pytest.mark.parametrize("structures", [(NAME,), ("board_slot", NAME)])
def test_the_lining_is_cut_larger_by_half_the_swell_and_the_dry_fit(
    structures: tuple[str, ...],
) -> None:
    """A side: 6 × 0.448 / 2 = 1.34, and the 3 of the dry fit once."""
    found = drafted("logbook", *structures)
    (cloth,) = (p for part in found.pattern.parts for p in part.pieces if p.name == "lining")
    assert cloth.first_cut_mm[0] - cloth.width_mm == pytest.approx(2 * (6 * D_35 / 2 + 3))


def test_what_lies_on_the_sewing_is_drafted_from_the_strip_read_over_it() -> None:
    """Second visit: 75 and 75.5 over the lining, 0.2 + 0.08 + 0.25 on the spine; the tube's paper 0.12.

    A panel is the girth at the middle, 75.25, and the round for half its own paper less half the strip's: φ·0.01, less
    the ease; by hand φ = 4·atan(24/67) = 1.377.
    """
    found = drafted("logbook", NAME, "hollow_tube", ease=1)
    tube = next(part for part in found.pattern.parts if part.structure == "hollow_tube")
    phi = 4 * math.atan2(24, 67)
    assert float(tube.quantities["panel_mm"]) == pytest.approx(
        75.25 + phi * (0.06 - 0.05) - 1, abs=1e-6
    )
    assert not any("not drawn yet" in line for line in found.warnings)
    (cloth,) = (p for part in found.pattern.parts for p in part.pieces if p.name == "first lining")
    assert cloth.width_mm < 73.2  # beneath the sewing the first strip still counts


def test_a_tube_alone_on_a_sewn_spine_goes_by_the_strip_read_over_it() -> None:
    tube = drafted("logbook", "hollow_tube", ease=1).pattern.parts[0]
    phi = 4 * math.atan2(24, 67)
    assert float(tube.quantities["panel_mm"]) == pytest.approx(
        75.25 + phi * (0.06 - 0.05) - 1, abs=1e-6
    )


def test_what_lies_on_the_sewing_waits_until_the_strip_is_read() -> None:
    """First visit: up to 2.7 mm of swell, over 1: no piece, no figure in a step, one line with the range and what to read.

    By hand: a panel before is 72.75 + 1.377·(0.53 − 0.2 + 0.06 − 0.05) − 1; the strip of three panels is wider by
    3 × 1.343 at least and 3 × 2.687 at most.
    """
    book = changed("logbook", spine=UNREAD)
    found = drafted(book, NAME, "hollow_tube", ease=1, on=1, off=2)
    tube = next(part for part in found.pattern.parts if part.structure == "hollow_tube")
    assert tube.pieces == ()
    assert tube.diagrams == ()
    assert dict(tube.quantities) == {}
    panel = 72.75 + 4 * math.atan2(24, 67) * (0.53 - 0.2 + 0.06 - 0.05) - 1
    bare = 3 * panel + math.pi * 0.12 * 3 * 2 / 4
    (line,) = (text for text in found.warnings if "not drawn yet" in text)
    least, most = bare + 3 * 6 * D_35 * 0.5, bare + 3 * 6 * D_35
    assert f"expected {least:.1f} to {most:.1f} mm wide" in line
    assert "spine.girth_sewn_head" in line
    (step,) = (one for one in found.pattern.steps if one.structure == "hollow_tube")
    assert "not drawn yet" in step.text


def test_a_little_swell_is_only_said_on_the_piece() -> None:
    """Two gatherings in loops swell by 0.9 mm at most: the tube is drawn and says that the strip is read again."""
    book = changed("logbook", spine=UNREAD)
    found = drafted(book, NAME, "hollow_tube", gatherings="5,36", path="loops")
    tube = next(part for part in found.pattern.parts if part.structure == "hollow_tube")
    assert any("again after the sewing" in note for piece in tube.pieces for note in piece.notes)


def test_advice_on_swell_is_a_setting_that_was_tried() -> None:
    """Fold and every third by hand: 15 × 0.448 × 0.75 = 5.0. What the advice names is drafted, and swells as it says."""
    found = drafted(changed("logbook", spine=UNREAD), NAME, path="fold", every=3)
    (line,) = (text for text in found.warnings if "are let pass" in text)
    assert "more than the 2.2 mm that are let pass" in line
    words = line.rpartition("let pass: ")[2]
    settings = dict(word.split("=") for word in words.replace("'", "").split() if "=" in word)
    again = drafted("logbook", NAME, **{"path": "fold", "every": 3, **settings})
    assert figure(again, "swell_likely_mm") <= 2.19
    assert f"{figure(again, 'swell_likely_mm'):.1f} mm" in words


def test_where_no_setting_helps_the_advice_says_so() -> None:
    """Forty gatherings named by hand, sewn in loops with the thinnest thread: no setting is left."""
    named = ",".join(map(str, range(1, 41)))
    book = changed("logbook", spine=UNREAD)
    found = drafted(book, NAME, gatherings=named, path="loops", thread="linen thread 35/3")
    (line,) = (text for text in found.warnings if "are let pass" in text)
    assert "nothing helps but fewer gatherings" in line


def ways(record: Record) -> dict[str, Choice]:
    """Examine a record and return every way to go on by its structures."""
    found = examine(record, materials.built_in(), catalogue.templates(), "x.toml")
    return {one.structure: one for one in found.choices}


def test_examine_says_the_range_that_the_draft_swells_by() -> None:
    """The same function answers both: 6 × 0.448 in soft and in hard paper."""
    found = drafted("logbook", NAME)
    range_ = (
        f"adds {figure(found, 'swell_least_mm'):.1f} to {figure(found, 'swell_most_mm'):.1f} mm"
    )
    assert range_ == "adds 1.3 to 2.7 mm"
    cons = ways(changed("logbook"))["board_slot+secondary_sewing+hollow_tube+reback"].cons
    assert any(range_ in line for line in cons)


def test_a_sewing_that_swells_too_much_stands_behind_what_does_not() -> None:
    """A quarto of 160 gatherings of one folio each on 42 mm: even in loops it swells by more than 2 mm."""
    thick = changed(
        "logbook",
        text_block={
            "gatherings": 160,
            "leaves": 640,
            "leaves_per_gathering": 4,
            "leaf_thickness": 0.09,
        },
    )
    usual, found = ways(changed("logbook")), ways(thick)
    both, joint = (
        f"{one}+hollow_tube+reback" for one in ("board_slot+secondary_sewing", "sewn_cloth_joint")
    )
    assert list(usual).index(both) < list(usual).index(joint)
    assert list(found).index(both) > list(found).index(joint)
    assert any("more than the" in line for line in found[both].cons)


def test_stitches_too_weak_are_offered_with_a_support() -> None:
    """Weak paper under 3.56 kg: no way reaches 3, so the support comes with it, and drafted so nothing hangs."""
    weak = changed("logbook", text_block={"tear_strength": 160.0})
    alone = drafted(weak, NAME)
    assert any(line.startswith("TOO WEAK") for line in alone.warnings)
    structures = ("board_slot", NAME, "hollow_tube", "reback", "text_block_support")
    choice = ways(weak)["+".join(structures)]
    assert any("the support carries the block" in line for line in choice.cons)
    carried = drafted(weak, *structures)
    assert not any(line.startswith("TOO WEAK") for line in carried.warnings)


def test_an_inlay_in_a_case_that_is_widened_is_expected_as_wide_as_both_will_be() -> None:
    """Both wait for the strip: the widened case is then as much wider as the spine, and leaves the inlay its room."""
    narrow = changed("day_book", cover={"spine_width": 40.0})
    found = drafted(narrow, NAME, "cover_widening", "spine_inlay", every=3, path="fold")
    (sewing, *above) = found.pattern.parts
    swell = [float(sewing.quantities[f"swell_{name}_mm"]) for name in ("least", "most")]
    assert swell[1] > 1.5
    wide = {part.structure: part.waits[0].wide_mm for part in above}
    bare = 31 + 4 * math.atan2(2 * 5, 28.5) * (0.08 + 0.25 + 0.4 / 2 - 0.05) - 1
    assert wide["spine_inlay"] == pytest.approx((bare + swell[0], bare + swell[1]))
    least, most = wide["cover_widening"] or (0.0, 0.0)
    assert most - least == pytest.approx(swell[1] - swell[0])
