"""A kept pattern drafted again: the same today, or told where and by how much it differs."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from patterns.drafting import again
from patterns.drafting.given import settings_given
from patterns.drafting.making import Made
from patterns.drafting.order import Order
from patterns.errors import MendfoldError, Unsuitable
from patterns.gallery.differences import differences
from patterns.model.kept import KeptPattern
from patterns.record.record import Record
from patterns.stock import printer
from patterns.stock.printer import Correction
from tests import books


@pytest.fixture(autouse=True)
def _own_settings(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("MENDFOLD_CONFIG", str(tmp_path / "config"))


def made(book: str, *structures: str, paper: str = "A4", **settings: str) -> Made:
    dotted = {key.replace("__", "."): text for key, text in settings.items()}
    return books.made(book, *structures, settings=dotted, paper=paper)


def kept(one: Made) -> KeptPattern:
    return KeptPattern.from_json(one.files["pattern.json"])


@pytest.mark.parametrize("paper", ["A4", "letter", "300x420", "roll:610"])
def test_what_was_drafted_now_is_drawn_the_same(paper: str) -> None:
    one = made("chart_book", "hollow_tube", "spine_inlay", paper=paper)
    assert differences(one.files, "chart_book") == []


def test_settings_are_told_from_what_was_worked_out() -> None:
    one = made(
        "logbook", "secondary_sewing", "hollow_tube", hollow_tube__on="3", hollow_tube__slit="12",
        secondary_sewing__gatherings="1,2,5-9", secondary_sewing__pasted="no",
        hollow_tube__paper_thickness="0.15", secondary_sewing__stitch="16 mm",
    )  # fmt: skip
    found, gone = again.settings_of(kept(one))
    assert gone == ()
    assert found == {
        "hollow_tube.on": "3",
        "hollow_tube.slit": "12.0",
        "hollow_tube.paper_thickness_mm": "0.15",
        "secondary_sewing.gatherings": "1,2,5,6,7,8,9",
        "secondary_sewing.pasted": "false",
        "secondary_sewing.stitch": "16.0",
    }
    assert differences(one.files, "logbook") == []


def test_a_printer_that_is_no_longer_stored_does_not_matter() -> None:
    factors = Correction(1.0050251, 0.997009, "desk")
    one = books.made("chart_book", "hollow_tube", correction=factors)
    assert differences(one.files, "chart_book") == []


def test_a_measured_printer_s_factors_survive_the_keeping() -> None:
    """Factors from bar readings are no round numbers; what is drawn again must be the same."""
    factors = printer.profile("desk", "179.1/180", "250.6/250").correction
    one = books.made("atlas", "secondary_sewing", paper="A3", correction=factors)
    assert differences(one.files, "atlas") == []


def changed(one: Made, edit: Any) -> dict[str, bytes]:
    tree = json.loads(one.files["pattern.json"])
    edit(tree)
    return {**one.files, "pattern.json": json.dumps(tree).encode()}


def test_a_figure_that_moved_is_named_with_its_size() -> None:
    one = made("chart_book", "hollow_tube")
    strip = kept(one).quantities["strip_mm"]

    def edit(tree: dict[str, Any]) -> None:
        tree["quantities"]["strip_mm"] += 0.75
        tree["pieces"][0]["width_mm"] -= 0.25

    found = {one.where: one for one in differences(changed(one, edit), "chart_book")}
    assert found["quantities.strip_mm"].by == pytest.approx(0.75)
    assert found["quantities.strip_mm"].after == f"{strip:g}"
    assert found["pieces[strip].width_mm"].by == pytest.approx(0.25)
    assert len(found) == 2


def test_an_outline_with_other_corners_is_measured_by_its_distance() -> None:
    one = made("chart_book", "spine_inlay")

    def same_shape(tree: dict[str, Any]) -> None:
        ring = tree["pieces"][0]["outline_mm"]
        (x0, y0), (x1, y1) = ring[0], ring[1]
        ring.insert(1, [(x0 + x1) / 2, (y0 + y1) / 2])

    def other_shape(tree: dict[str, Any]) -> None:
        ring = tree["pieces"][0]["outline_mm"]
        (x0, y0), (x1, y1) = ring[0], ring[1]
        length = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
        off_x, off_y = 1.5 * (y1 - y0) / length, -1.5 * (x1 - x0) / length
        ring.insert(1, [(x0 + x1) / 2 + off_x, (y0 + y1) / 2 + off_y])

    assert differences(changed(one, same_shape), "x") == []
    (found,) = differences(changed(one, other_shape), "x")
    assert found.where == "pieces[inlay].outline_mm"
    assert found.by == pytest.approx(1.5, abs=0.01)


def test_a_drawing_that_moved_is_told_from_one_with_other_lines() -> None:
    one = made("chart_book", "spine_inlay")
    name = "sheet-02.svg"
    text = one.files[name].decode()
    at = text.index("<path")
    first = text.index('d="M ', at) + 5 if 'd="M ' in text[at:] else text.index('d="M', at) + 4
    end = next(i for i in range(first, len(text)) if text[i] not in "0123456789.")
    moved = f"{text[:first]}{float(text[first:end]) + 2.5:.1f}{text[end:]}"
    (found,) = differences({**one.files, name: moved.encode()}, "x")
    assert found.where == name
    assert found.by == pytest.approx(2.5, abs=0.06)
    other = text.replace("</svg>", '<g><path d="M0,0 L1,1"/></g></svg>')
    (found,) = differences({**one.files, name: other.encode()}, "x")
    assert "lines of its own" in found.before
    assert found.by is None


def test_an_example_kept_with_its_first_sheet_alone_is_compared_by_that() -> None:
    one = made("chart_book", "spine_inlay")
    names = ("record.toml", "pattern.json", "sheet-01.svg")
    few = {name: one.files[name] for name in names}
    assert differences(few, "x") == []
    (gone,) = differences({**few, "sheet-99.svg": b"<svg/>"}, "x")
    assert str(gone) == "sheet-99.svg: there → not drawn any more"


def test_a_parameter_not_known_any_more_is_named() -> None:
    one = made("chart_book", "hollow_tube")

    def edit(tree: dict[str, Any]) -> None:
        tree["parameters"]["hollow_tube"]["glitter"] = 3

    files = changed(one, edit)
    with pytest.raises(MendfoldError, match="glitter is not known any more"):
        differences(files, "x")
    own = order("logbook")
    assert again.reuse(KeptPattern.from_json(files["pattern.json"]), own).left_out == (
        "hollow_tube.glitter is not known any more and was left out",
    )


def order(book: str | Record, *given: str) -> Order:
    """Return what a pattern is to be used again on, as the command puts it together."""
    record = books.demo(book) if isinstance(book, str) else book
    return Order(record, (), settings_given(given))


def test_reuse_takes_structures_and_settings_and_works_the_rest_out_anew() -> None:
    old = made("chart_book", "hollow_tube", hollow_tube__slit="15", hollow_tube__setback="3")
    new = again.reuse(kept(old), order("logbook", "slit=20"))
    fresh = made("logbook", "hollow_tube", hollow_tube__slit="20", hollow_tube__setback="3")
    assert new.made.folder == "logbook-hollow_tube"
    assert kept(new.made) == kept(fresh)
    assert new.left_out == ()


def test_a_setting_the_new_book_does_not_allow_is_left_out_and_named() -> None:
    old = made("logbook", "secondary_sewing", secondary_sewing__gatherings="1,2,30,40")
    new = again.reuse(kept(old), order("chart_book"))
    assert len(new.left_out) == 1
    assert new.left_out[0].startswith("secondary_sewing.gatherings = 1,2,30,40 was left out: ")
    assert new.settings == {}


def test_a_structure_that_does_not_suit_the_new_book_is_refused() -> None:
    old = made("logbook", "board_slot")
    with pytest.raises((Unsuitable, MendfoldError)):
        again.reuse(kept(old), order("almanac"))
