"""Pressed twice, pressed while the page answers, typed ahead of it: nothing is lost, nothing counts double."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.bench.benches import Asking
from tests.bench.paging import page_of
from tests.browsing import wait_until

pytestmark = pytest.mark.outside

LATE_MS = 700
HEIGHT = "#f-text_block-height"


def typed_three_times(chromium: Any, bench: Asking, complaints: list[str]) -> Any:
    """Open the logbook, three changes of it to be taken back: 331, 332 and 333 mm high."""
    for figure in ("331", "332", "333"):
        bench.post("/books/2/field", name="text_block.height", words=figure, visit="")
    page = page_of(chromium, bench, "desk", complaints)
    page.click("#book-2")
    page.wait_for_selector("#f-book-id")
    page.click("#stop-text_block")
    wait_until(page, "() => !document.querySelector('#undo').disabled")
    return page


def late(page: Any, path: str, count: int = 1) -> list[str]:
    """Let the first answers on a path come late, though they were given at once; return what was asked."""
    asked: list[str] = []

    def answer(route: Any) -> None:
        asked.append(route.request.url)
        place = len(asked)
        given = route.fetch()
        if place <= count:
            page.wait_for_timeout(LATE_MS)
        route.fulfill(response=given)

    page.route(path, answer)
    return asked


def test_two_presses_take_two_steps_back_whichever_answer_comes_first(
    chromium: Any, bench: Asking
) -> None:
    """The page shows what the bench holds, not what an answer that came late held."""
    complaints: list[str] = []
    page = typed_three_times(chromium, bench, complaints)
    asked = late(page, "**/undo")
    page.evaluate("for (const _ of [1, 2]) document.querySelector('#undo').click()")
    wait_until(page, f"() => document.querySelector('{HEIGHT}').value === '331'")
    page.wait_for_timeout(LATE_MS)
    assert page.input_value(HEIGHT) == "331"
    assert len(asked) == 2
    assert bench.post("/books/2/undo").json["undone"] == "text_block.height"
    assert bench.post("/books/2/undo").json["undone"] == ""
    assert complaints == []
    page.context.close()


@pytest.mark.parametrize("button", ["#undo", "#more-union"])
def test_a_button_held_down_while_the_page_is_answered_still_counts(
    chromium: Any, bench: Asking, button: str
) -> None:
    """What is pressed stays in its place until it is let go."""
    complaints: list[str] = []
    page = typed_three_times(chromium, bench, complaints)
    page.click("#stop-union")
    asked = late(page, "**/undo")
    page.click("#undo")
    box = page.query_selector(button).bounding_box()
    page.mouse.move(box["x"] + 5, box["y"] + 5)
    page.mouse.down()
    page.wait_for_timeout(2 * LATE_MS)  # the first press is answered under the second
    page.mouse.up()
    if button == "#undo":
        wait_until(page, f"() => document.querySelector('{HEIGHT}').value === '331'")
        assert len(asked) == 2
    else:
        page.wait_for_selector("[data-name='union[1].between']")
    assert complaints == []
    page.context.close()


def test_a_choice_held_down_while_the_book_is_read_anew_still_counts(
    chromium: Any, bench: Asking
) -> None:
    """The findings follow what is typed, but never from under a finger."""
    complaints: list[str] = []
    page = page_of(chromium, bench, "desk", complaints)
    page.click("#book-2")
    page.wait_for_selector("#f-book-id")
    page.click("#stop-says")
    page.wait_for_selector("#choose-1")
    late(page, "**/look/findings")
    page.evaluate(
        "const one = document.querySelector('#f-text_block-leaf_thickness'); one.value = '0.25';"
        "one.dispatchEvent(new Event('input', {bubbles: true}))"
    )
    page.wait_for_timeout(200)
    page.query_selector("#choose-1").scroll_into_view_if_needed()
    box = page.query_selector("#choose-1").bounding_box()
    page.mouse.move(box["x"] + 5, box["y"] + 5)
    page.mouse.down()
    page.wait_for_timeout(3 * LATE_MS)
    page.mouse.up()
    wait_until(page, "() => document.querySelector('#choose-1').ariaPressed === 'true'")
    wait_until(page, "() => document.querySelector('[data-right]') !== null")
    assert complaints == []
    page.context.close()


def test_what_is_typed_while_a_step_is_taken_back_stays(chromium: Any, bench: Asking) -> None:
    """In the field, under the cursor, and in the record."""
    complaints: list[str] = []
    page = typed_three_times(chromium, bench, complaints)
    late(page, "**/undo")
    page.click("#undo", no_wait_after=True)
    page.click("#f-text_block-width")
    page.keyboard.press("Control+a")
    page.keyboard.type("20")
    page.wait_for_timeout(2 * LATE_MS)
    page.keyboard.type("3.5")
    wait_until(page, f"() => document.querySelector('{HEIGHT}').value === '332'")
    assert page.input_value("#f-text_block-width") == "203.5"
    page.click("#save")
    wait_until(page, "() => document.querySelector('#stand').textContent === 'Saved'")
    page.reload()
    page.wait_for_selector("#f-book-id")
    assert page.input_value("#f-text_block-width") == "203.5"
    assert page.input_value(HEIGHT) == "332"
    assert complaints == []
    page.context.close()


def test_a_view_that_was_left_is_not_shown_again_by_a_late_answer(
    chromium: Any, bench: Asking
) -> None:
    """Taken back, and away to the gallery before it is answered: the gallery stays."""
    complaints: list[str] = []
    page = typed_three_times(chromium, bench, complaints)
    late(page, "**/undo")
    page.click("#undo", no_wait_after=True)
    page.click("[data-go=gallery]", no_wait_after=True)
    page.wait_for_selector("#past")
    page.wait_for_timeout(2 * LATE_MS)
    assert page.is_visible("#past")
    assert complaints == []
    page.context.close()


def test_figures_typed_ahead_of_the_page_go_each_to_its_own_question(
    chromium: Any, bench: Asking, folder: Path
) -> None:
    """A quick hand, or calipers that type by themselves, wait for no answer."""
    complaints: list[str] = []
    page = page_of(chromium, bench, "desk", complaints)
    page.click("#book-2")
    page.wait_for_selector("#visit")
    page.select_option("#visit", "sewn")
    page.click("#measuring")
    page.wait_for_selector(".field.now")
    late(page, "**/field", 3)
    page.keyboard.type("75.8\n75.2\nAB\n")
    wait_until(
        page,
        "() => !document.body.classList.contains('measuring') || document.querySelector('.field.now').dataset.name === 'measuring.on'",
    )
    assert page.input_value("#f-spine-girth_sewn_head") == "75.8"
    assert page.input_value("#f-spine-girth_sewn_tail") == "75.2"
    assert page.input_value("#f-measuring-by") == "AB"
    page.keyboard.press("Escape")
    page.click("#save")
    wait_until(page, "() => document.querySelector('#stand').textContent === 'Saved'")
    assert 'by = "AB"' in (folder / "logbook.toml").read_text()
    assert complaints == []
    page.context.close()


def test_what_was_typed_last_survives_a_reload_at_once(chromium: Any, bench: Asking) -> None:
    """Typed and reloaded within the same blink."""
    page = typed_three_times(chromium, bench, [])
    page.fill(HEIGHT, "340")
    page.reload()
    page.wait_for_selector("#f-book-id")
    assert page.input_value(HEIGHT) == "340"
    page.click("#stop-text_block")
    page.fill(HEIGHT, "341")
    page.click("[data-go=shelf]")
    page.click("#book-2")
    page.wait_for_selector("#f-book-id")
    assert page.input_value(HEIGHT) == "341"
    page.context.close()


def test_what_is_missing_for_a_print_is_named_and_laid_open(chromium: Any, bench: Asking) -> None:
    """In the desk's own words, the first of it under the cursor; typed on, the message lies in nobody's way."""
    bench.post("/books/2/structures", names="spine_lining", settings="")
    bench.post("/books/2/field", name="spine.linings", words="", visit="")
    page = page_of(chromium, bench, "desk", [])
    page.click("#book-2")
    page.wait_for_selector("#f-book-id")
    page.click("#print")
    wait_until(page, "() => document.activeElement.id === 'f-spine-linings'")
    wait_until(page, "() => document.querySelector('#said').textContent.startsWith('Not printed')")
    assert page.inner_text("#said") == "Not printed: still to be measured: spine: linings."
    page.keyboard.type("0")
    wait_until(page, "() => document.querySelector('#said').textContent === ''")
    page.context.close()
