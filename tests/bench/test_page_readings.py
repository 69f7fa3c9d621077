"""Readings on the page: at a later visit, three of one figure, and one that is found right."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from patterns.record import reading
from tests.bench.benches import Asking
from tests.bench.paging import page_of
from tests.browsing import wait_until

pytestmark = pytest.mark.outside


def test_a_later_visit_asks_only_what_is_read_again(
    chromium: Any, bench: Asking, folder: Path
) -> None:
    """Newly sewn: the two girths, who and when; what was read before is told, and can stay as it was."""
    complaints: list[str] = []
    page = page_of(chromium, bench, "tablet", complaints)
    page.tap("#book-2")
    page.wait_for_selector("#visit")
    page.select_option("#visit", "sewn")
    page.tap("#measuring")
    asked = {}
    for words in ("75.8", "", "AB", ""):
        page.wait_for_selector(".field.now")
        name = page.get_attribute(".field.now", "data-name")
        asked[name] = page.inner_text("#was")
        if words:
            page.keyboard.type(words)
            page.keyboard.press("Enter")
        else:
            page.keyboard.type("99")
            page.tap("#not")  # as before
        wait_until(page, f"() => document.querySelector('.field.now')?.dataset.name !== '{name}'")
    assert list(asked) == [
        "spine.girth_sewn_head",
        "spine.girth_sewn_tail",
        "measuring.by",
        "measuring.on",
    ]
    assert "Before: 75 mm" in asked["spine.girth_sewn_head"]
    assert "Not measured before" in asked["measuring.by"]
    assert page.is_visible("#stop-book")  # back at the desk
    assert "2 figures" in page.inner_text("#said")
    page.tap("#save")
    wait_until(page, "() => document.querySelector('#stand').textContent === 'Saved'")
    read = reading.load(folder / "logbook.toml")
    assert (read.spine.girth_sewn_head, read.spine.girth_sewn_tail) == (75.8, 75.5)
    assert read.measuring.by == "AB"
    assert complaints == []
    page.context.close()


def test_a_figure_is_read_three_times(chromium: Any, bench: Asking, folder: Path) -> None:
    """Head, middle, tail: each has its place, the mean is told beside them, and undo takes it back."""
    complaints: list[str] = []
    page = page_of(chromium, bench, "desk", complaints)
    page.click("#book-2")
    page.wait_for_selector("#f-book-id")
    page.click("#stop-text_block")
    for words in ("61.6", "60.5"):
        page.click("#a-text_block-thickness")
        page.keyboard.type(words)
    assert not page.is_visible("#a-text_block-thickness")
    beside = "[data-name='text_block.thickness'] [data-read]"
    wait_until(page, f"() => document.querySelector(\"{beside}\").textContent.includes('1.1 mm')")
    assert page.inner_text(beside) == "their mean: 61.03 mm, 1.1 mm apart"
    page.select_option("#figures", "inches")
    wait_until(
        page, f"() => document.querySelector(\"{beside}\").textContent.includes('2 13/32 in')"
    )
    assert page.input_value("#f-text_block-thickness-1") == "61.6"
    page.click("#save")
    wait_until(page, "() => document.querySelector('#stand').textContent === 'Saved'")
    assert "thickness = [61, 61.6, 60.5]" in (folder / "logbook.toml").read_text()
    page.click("#undo")
    page.click("#undo")
    wait_until(page, "() => document.querySelector('#undo').disabled")
    assert page.input_value("#f-text_block-thickness") == "61"
    assert not page.is_visible("#f-text_block-thickness-1")
    assert complaints == []
    page.context.close()


def test_a_doubted_reading_is_found_right_by_one_press(chromium: Any, bench: Asking) -> None:
    """What looks odd and was measured again is named in the record, and asked no more."""
    bench.post("/books/2/field", name="text_block.leaf_thickness", words="0.25", visit="")
    complaints: list[str] = []
    page = page_of(chromium, bench, "desk", complaints)
    page.click("#book-2")
    page.wait_for_selector("#f-book-id")
    page.click("#stop-says")
    wait_until(page, "() => document.querySelector('[data-right]') !== null")
    names = page.get_attribute("[data-right]", "data-right")
    assert "text_block.leaf_thickness" in names.split()
    page.click(".finding:has([data-right]) summary")
    page.click("[data-right]")
    wait_until(page, "() => document.querySelector('[data-right]') === null")
    assert page.input_value("#f-measuring-checked") == names
    assert complaints == []
    page.context.close()
