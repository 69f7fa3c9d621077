"""Tube and inlay, and the spine they lie on, against worked examples, published figures and plain geometry."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from shapely import LineString, Polygon

from patterns.book import spine
from patterns.errors import RecordError, SettingError, Unsuitable
from tests.books import changed, demo, drafted, figure, part, piece


def strip_46() -> object:
    """Return the record of the worked layer: strip 46.0 over a bare spine, chord 40, round 8."""
    return changed(
        "chart_book",
        spine={
            "girth_head": 46.0, "girth_tail": 46.0, "round_depth": 8.0, "over_shoulders": 40.0,
            "strip_over": 0.0, "linings": 0.3, "profile": "rounded",
        },
    )  # fmt: skip


def test_a_layer_over_a_strip_is_as_worked() -> None:
    """Worked example: strip 46.0, (40, 8), u 0.30, t 0.10 → 46.457."""
    shape = spine.measure(strip_46())  # type: ignore[arg-type]
    assert shape.layer_mm(0.30, 0.10) == pytest.approx(46.457, abs=5e-4)


def test_a_fallen_in_spine_is_shorter_in_every_layer() -> None:
    """Worked example: chord 50, depth −3, girth 50.48 and at 0.45 outwards 50.26."""
    found = changed(
        "chart_book",
        spine={
            "girth_head": 50.48, "girth_tail": 50.48, "round_depth": -3.0, "over_shoulders": 50.0,
            "profile": "concave", "strip_over": 0.0,
        },
    )  # fmt: skip
    shape = spine.measure(found)
    half_strip = spine.STRIP_MM / 2
    assert shape.layer_mm(0.45 + half_strip, 0.0) == pytest.approx(50.26, abs=0.006)


def test_a_fallen_in_spine_needs_a_strip() -> None:
    """With h negative the strip is required."""
    found = changed(
        "chart_book",
        spine={"girth_head": None, "girth_tail": None, "round_depth": -3.0, "profile": "concave"},
    )
    with pytest.raises(RecordError, match="paper strip"):
        spine.measure(found)


def test_the_strip_wins_over_the_circle_and_a_difference_is_told() -> None:
    """A difference over max(1, 3 %) warns with both figures."""
    found = changed("chart_book", spine={"girth_head": 60.0, "girth_tail": 60.0})
    shape = spine.measure(found)
    assert shape.girth_head_mm == 60.0
    assert any("60.0" in line and "measure both again" in line for line in shape.warnings)


def test_a_third_of_a_circle_is_rounded_as_published() -> None:
    """Roberts & Etherington, "rounding": chord 30 → arc 36.3 mm, depth 8.7 mm."""
    found = changed(
        "chart_book",
        spine={
            "girth_head": None, "girth_tail": None, "round_depth": 8.66, "over_shoulders": 30.0,
            "profile": "rounded",
        },
    )  # fmt: skip
    shape = spine.measure(found)
    assert shape.girth_head_mm == pytest.approx(36.3, abs=0.05)
    assert shape.turn_deg == pytest.approx(120, abs=0.1)


# --- hollow tube -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("on", "off", "ratio", "source"),
    [
        (1, 2, 3, "blank 3 × rounded spine: Roberts & Etherington, tube entries"),
        (2, 2, 4, "slightly over 4 ×: P. Adam, Practical Bookbinding, 1903, ch. VIII"),
    ],
)
def test_tube_blanks_are_the_published_multiple_and_slightly_over(
    on: int, off: int, ratio: int, source: str
) -> None:
    """The strip is n panels and a little more for the thickness wound round."""
    found = drafted("chart_book", "hollow_tube", on=on, off=off)
    strip = piece(found, "strip").width_mm
    over = strip / figure(found, "hollow_tube", "panel_mm") - ratio
    assert 0 < over < 0.03, source


def test_the_worked_strip_ratios() -> None:
    """Worked example: w 51.1, t 0.12 → 3.011 and 4.022."""
    for layers, ratio in (((1, 2), 3.011), ((2, 2), 4.022)):
        base = drafted("chart_book", "hollow_tube", on=layers[0], off=layers[1])
        girth = figure(base, "hollow_tube", "girth_mm")
        book = changed("chart_book", spine={"girth_head": 48.0, "girth_tail": 48.0})
        girth = figure(drafted(book, "hollow_tube"), "hollow_tube", "girth_mm")
        found = drafted(
            replace(book, spine=replace(book.spine, girth_head=48.0 + 52.1 - girth, girth_tail=48.0 + 52.1 - girth, over_shoulders=None, round_depth=book.spine.round_depth)),
            "hollow_tube", on=layers[0], off=layers[1], ease=0, setback=0, paper_thickness=0.12,
        )  # fmt: skip
        panel = figure(found, "hollow_tube", "panel_mm")
        strip = piece(found, "strip").width_mm
        expected = ratio + (0.12 * math.pi * (3 if ratio < 4 else 6) / 2) * (1 / panel - 1 / 51.1)
        assert strip / panel == pytest.approx(expected, abs=6e-4)


def test_every_face_of_every_panel_is_spoken_for() -> None:
    """The inside stays free; every pasted face names a partner whose other face is pasted to it."""
    for on, off in ((1, 1), (1, 2), (2, 1), (2, 2), (2, 3), (3, 3)):
        zones = piece(drafted("chart_book", "hollow_tube", on=on, off=off), "strip").zones
        free_up = [z for z in zones if z.face == "up" and z.kind == "free"]
        assert len(free_up) == 2
        to = [z.to for z in zones if z.face == "under" and z.kind == "pasted"]
        assert to.count("spine") == 1
        assert to.count("cover") == 1


def test_panels_stay_dry_at_the_folds() -> None:
    """2 mm stay dry at folds between pasted panels."""
    strip = piece(drafted("chart_book", "hollow_tube"), "strip")
    creases = [LineString(fold.line) for fold in strip.folds]
    for zone in strip.zones:
        if zone.kind == "pasted" and zone.to not in ("spine", "cover"):
            assert min(Polygon(zone.outline).distance(c) for c in creases) >= 1.999


def test_a_tapered_tube_is_a_fan_whose_panels_are_mirror_images() -> None:
    """Each panel, reflected in its crease, covers its neighbour."""
    book = changed(
        "chart_book", spine={"girth_head": 50.0, "girth_tail": 55.0, "round_depth": None}
    )
    strip = piece(drafted(book, "hollow_tube", paper_thickness=0.005), "strip")
    assert len(strip.outline) > 4
    assert all(a[0] != b[0] for a, b in (fold.line for fold in strip.folds))


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"sewing": {"supports": "raised"}}, "spine_lining"),
    ],
)
def test_tubes_are_refused_where_they_do_not_suit(
    fields: dict[str, dict[str, object]], words: str
) -> None:
    """Not over raised supports, not for a case with a natural hollow."""
    with pytest.raises(Unsuitable, match=words):
        drafted(changed("chart_book", **fields), "hollow_tube")


def test_layers_that_cannot_be_wound_are_refused_with_the_remedy() -> None:
    """|on − off| ≤ 1, else add a separate lining of the same paper."""
    with pytest.raises(SettingError, match="separate lining of the same paper"):
        drafted("chart_book", "hollow_tube", on=1, off=3)


def test_slits_follow_every_crease_from_both_ends() -> None:
    """A slit of 20 leaves each crease cut 20 mm at head and tail."""
    strip = piece(drafted("chart_book", "hollow_tube", slit=20), "strip")
    assert len(strip.slits) == 2 * len(strip.folds)
    assert all(math.dist(*slit) == pytest.approx(20) for slit in strip.slits)


# --- spine inlay -------------------------------------------------------------------------------


def test_the_inlay_never_exceeds_the_covers_spine() -> None:
    """A piece inside a kept cover is never wider than its measured spine."""
    found = drafted("chart_book", "spine_inlay")
    cover = demo("chart_book").cover
    widest = max(cover.spine_width_head or 0, cover.spine_width_tail or 0)
    assert piece(found, "inlay").width_mm == pytest.approx(widest - 1.0)
    assert any("cover_widening" in line for line in found.pattern.warnings)


def test_the_inlay_is_as_high_as_the_boards_and_pasted_to_the_cover_alone() -> None:
    """Height of the boards; the under face, towards the text block, carries no paste."""
    found = piece(drafted("logbook", "spine_inlay"), "inlay")
    assert found.height_mm == pytest.approx(demo("logbook").cover.board_height or 0)
    assert [z.kind for z in found.zones if z.face == "under"] == ["free"]
    assert found.grain == "head-tail"


def test_an_inlay_lies_within_the_piece_that_widens_its_cover() -> None:
    """Day book by hand: φ = 4·atan(10/28.5) = 1.34997, card 0.4, cloth 0.35, both joints 15.7666.

    The inlay on the folds: 31 + φ·(0.2 − 0.05) = 31.2025, less 1. The piece over it:
    31 + φ·(0.4 + 0.175 − 0.05) + 15.7666 + (π − φ)·0.175 = 47.789. A card outside the piece would be
    0.47 wider, and a piece beneath the card 0.54 too narrow.
    """
    record = changed("day_book", cover={"spine_width": 40.0})
    found = drafted(record, "cover_widening", "spine_inlay")
    assert figure(found, "spine_inlay", "width_head_mm") == pytest.approx(30.2025, abs=5e-4)
    assert figure(found, "cover_widening", "needed_head_mm") == pytest.approx(47.789, abs=1e-3)
    assert piece(found, "inlay").lies_on_mm == pytest.approx(0.0)
    assert found.pattern.figures["cover_needed_head_mm"] == pytest.approx(47.789, abs=1e-3)


def test_an_inlay_for_a_widened_cover_goes_by_the_new_width() -> None:
    """Widened first, the chart book's cover no longer limits the inlay: the layer does."""
    found = drafted("chart_book", "cover_widening", "spine_inlay")
    inlay = piece(found, "inlay")
    layers = [figure(found, "spine_inlay", f"layer_{end}_mm") for end in ("head", "tail")]
    assert inlay.width_mm == pytest.approx(max(layers) - 1.0)
    assert not any("cover_widening" in line for line in part(found, "spine_inlay").warnings)
