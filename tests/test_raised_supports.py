"""Raised supports beneath a new lining: drawn on it where they lie, and told at the piece, not on page 1 alone."""

from __future__ import annotations

import pytest

from patterns.model.drawing import Words
from patterns.model.sheet import Sheet
from patterns.sheets import whole
from patterns.sheets.page import Layout
from patterns.stock.paper import parse
from tests.books import changed, drafted, piece

BANDS = [52.0, 95.0, 140.0, 182.0, 286.0]
RAISED = {"supports": "raised", "supports_at": tuple(BANDS), "support_width": 6.0}
MORE = 5 * (2 * (2.25**2 + 3**2) ** 0.5 - 6)
"""Over five bands 6 wide that stand out by 2.25, two ways of 3.75 each: 7.5 less 6 a band."""


def sheets(**sewing: object) -> tuple[Sheet, ...]:
    found = drafted(changed("logbook", sewing={**RAISED, **sewing}), "secondary_sewing")
    return whole.sheets(Layout(found.pattern, parse("A4")))


def said(sheet: Sheet) -> str:
    words = " ".join(m.text for m in sheet.drawing.marks if isinstance(m, Words) and m.bold)
    return words.replace("\u00a0", " ")


@pytest.mark.parametrize(("name", "before"), [("lining", 2), ("first lining", 0)])
def test_the_edges_of_every_band_are_drawn_on_cloth_and_tissue(name: str, before: int) -> None:
    """Each at its height below the head less the setback of 12.7, from tip to tip of the shoulders."""
    found = drafted(changed("logbook", sewing=RAISED), "secondary_sewing")
    across = piece(found, name).references[before:]
    heights = [at + side * 3.0 - 12.7 for at in BANDS for side in (-1, 1)]
    assert [line[0][1] for line in across] == pytest.approx(heights)
    assert [line[-1][1] for line in across] == pytest.approx(heights)
    girth = drafted("logbook", "secondary_sewing")
    wide = piece(girth, "first lining").width_mm
    assert all(abs(line[-1][0] - line[0][0]) == pytest.approx(wide, abs=0.7) for line in across)


def test_it_stands_bold_where_the_piece_is_cut() -> None:
    """On every sheet that says how large cloth or tissue is cut, with the height were it laid over them."""
    assert pytest.approx(7.5) == MORE
    cut = [said(sheet) for sheet in sheets(support_height=2.25) if sheet.group == "cutting"]
    told = " ".join(cut)
    high = 330 - 2 * 12.7
    assert told.count("Cut a window for each of the 5 raised supports") == 2
    assert told.count(f"it takes 7.5 mm more: cut it {high + MORE:.1f} mm high") == 2
    assert told.count(f"and trim its flanges to {high:.1f}") == 1


def test_bands_whose_height_was_not_measured_are_asked_for() -> None:
    told = " ".join(map(said, sheets()))
    assert told.count("measure how high they are (sewing.support_height)") == 2


def test_nothing_is_said_over_flat_supports() -> None:
    found = drafted("logbook", "secondary_sewing")
    assert not any(one.heed for one in found.pattern.parts[0].pieces)
