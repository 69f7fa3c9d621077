"""The page in a browser: by keyboard alone, by touch, at three widths; nothing in the way, nothing unread."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from patterns.cutting.stock import BLANK
from patterns.gallery import store
from patterns.record import reading
from tests.bench.benches import Asking
from tests.browsing import wait_until

pytestmark = pytest.mark.outside
SIZES = {"desk": (1366, 768, False), "tablet": (768, 1024, True), "small": (320, 640, True)}


@pytest.fixture(scope="module")
def chromium() -> Iterator[Any]:
    """A browser for the tests of this module."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        browser = play.chromium.launch(
            executable_path="/usr/bin/chromium", args=["--no-sandbox", "--disable-gpu"]
        )
        yield browser
        browser.close()


def page_of(chromium: Any, bench: Asking, size: str, complaints: list[str]) -> Any:
    """Open the bench in a window of a size; what the browser complains of is noted."""
    width, height, touch = SIZES[size]
    context = chromium.new_context(
        viewport={"width": width, "height": height}, has_touch=touch, reduced_motion="reduce"
    )
    page = context.new_page()
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.on("console", lambda told: complaints.extend([told.text] * (told.type == "error")))
    page.goto(bench.started.door.address)
    page.wait_for_selector("#new-book")
    return page


def press(page: Any, selector: str) -> None:
    """Go to something by Tab alone and press it; fail where Tab does not lead there."""
    target = page.query_selector(selector)
    assert target, selector
    for _ in range(400):
        if page.evaluate("one => document.activeElement === one", target):
            page.keyboard.press("Enter")
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"Tab does not lead to {selector}")


def drawn(page: Any) -> str:
    """Wait until the sheet is shown and every small sheet with it; return what the sheet says."""
    wait_until(
        page,
        "() => { const all = [...document.querySelectorAll('#thumbs img')];"
        " return all.length > 2 && all.every(one => one.naturalWidth > 0); }",
    )
    return str(page.inner_text("#sheet-words"))


def test_the_whole_way_by_keyboard_alone(chromium: Any, bench: Asking, folder: Path) -> None:
    """New book, measured, a wrapper chosen, a setting changed, printed, saved, kept, found again."""
    complaints: list[str] = []
    page = page_of(chromium, bench, "desk", complaints)
    press(page, "#new-book")
    page.wait_for_selector("#measuring")
    press(page, "#measuring")
    answers = {
        "book.id": "keyed-1",
        "book.title": "A pilot book",
        "book.outside": "212 150 31",
        "text_block.height": "8 in",
        "text_block.width": "140",
        "text_block.thickness": "9 mm",
    }
    asked = []
    while answers:
        name = page.evaluate("document.activeElement.closest('[data-name]').dataset.name")
        asked.append(name)
        if name in answers:
            page.keyboard.type(answers.pop(name))
        page.keyboard.press("Enter")
        wait_until(
            page,
            f"() => document.activeElement.closest('[data-name]')?.dataset.name !== '{name}'",
        )
    assert asked[0] == "book.id"
    page.keyboard.press("Escape")
    page.wait_for_selector("[data-take=flap_wrapper]", state="attached")
    page.wait_for_timeout(500)
    press(page, "#stop-says")
    press(page, "#all-structures > summary")
    page.focus("#take-flap_wrapper")
    page.keyboard.press("Space")
    first = drawn(page)
    assert first.startswith("Sheet 1 of")
    before = page.get_attribute("#pieces", "src")
    press(page, "#stop-settings")
    page.focus("[data-setting$='.stretch'] input, [data-setting] input:not([type=file])")
    name = page.evaluate("document.activeElement.closest('[data-setting]').dataset.setting")
    low = page.evaluate(
        "document.activeElement.closest('[data-setting]').querySelector('.range').textContent"
    )
    page.keyboard.type(low.split(" ")[0])
    wait_until(page, f"() => document.querySelector('#pieces').src !== '{before}'")
    assert name.startswith("flap_wrapper.")
    page.focus("#save")
    page.keyboard.press("Enter")
    wait_until(page, "() => document.querySelector('#stand').textContent === 'Saved'")
    read = reading.load(folder / "book-1.toml")
    assert read.book.id == "keyed-1"
    assert read.text_block.height == pytest.approx(203.2)
    assert read.text_block.thickness == 9
    assert '"8 in"' in read.text
    with page.expect_popup() as opened:
        page.focus("#print")
        page.keyboard.press("Enter")
    opened.value.close()
    page.focus("#keep")
    page.keyboard.press("Enter")
    wait_until(page, "() => document.querySelector('#said').textContent.includes('revision 1')")
    assert store.names(folder / "gallery") == ["keyed-1-flap_wrapper"]
    press(page, "[data-go=gallery]")
    page.wait_for_selector("#card-1")
    press(page, "#card-1")
    page.wait_for_selector("#p-print")
    assert page.inner_text("#name") == "A pilot book"
    assert complaints == []
    page.context.close()


def test_every_view_is_sound(chromium: Any, bench: Asking, folder: Path) -> None:
    """At each width: axe finds nothing, nothing scrolls sideways, and the focus is never covered."""
    from axe_playwright_python.sync_playwright import Axe

    bench.post("/books/1/structures", names="board_slot+secondary_sewing", settings="")
    bench.post("/books/1/field", name="text_block.leaves", words="many", visit="")
    bench.post("/books/2/structures", names="hollow_tube", settings="")
    bench.post("/books/2/keep")
    bench.post("/books/2/field", name="cover.endband_head", words="2.5", visit="")
    bench.post("/books/2/keep")
    (folder / "stock.toml").write_text(BLANK)
    for size in SIZES:
        complaints: list[str] = []
        page = page_of(chromium, bench, size, complaints)
        for view in _views(page):
            found = Axe().run(page).response["violations"]
            told = [(one["id"], [node["html"][:120] for node in one["nodes"]][:3]) for one in found]
            assert told == [], (size, view)
            wide = page.evaluate("document.documentElement.scrollWidth - innerWidth")
            assert wide <= 0, (size, view, wide)
            _focus_is_seen(page, (size, view))
        assert complaints == [], size
        page.context.close()


def turn(page: Any, stop: str) -> None:
    """Go to a part of the desk by its place on the strip; where the strip is folded, unfold it first."""
    if stop == "sheets" and page.viewport_size["width"] > 1200:
        return  # the sheets lie beside every part there
    if not page.is_visible(f"#stop-{stop}"):
        page.click("#whole")
    page.click(f"#stop-{stop}")
    page.wait_for_timeout(200)


def _views(page: Any) -> Iterator[str]:
    """Lead through every view, and yield the name of each."""
    yield "shelf"
    page.click("#book-1")
    page.wait_for_selector("#findings, .finding", state="attached")
    page.wait_for_timeout(1000)
    for stop in ("text_block", "cover", "says", "settings", "sheets"):
        turn(page, stop)
        yield f"desk, {stop}"
    page.select_option("#visit", "cleaned")
    page.click("#measuring")
    page.wait_for_timeout(300)
    page.click(".field.now [data-again]")
    yield "measuring again"
    page.click("#measuring")
    page.select_option("#visit", "first")
    page.click("#measuring")
    page.wait_for_timeout(300)
    yield "measuring"
    page.click("[data-go=gallery]")
    page.wait_for_selector("#card-1")
    yield "gallery"
    page.click("#card-1")
    page.wait_for_selector("#p-treat")
    yield "pattern"
    page.click("#p-compare")
    page.wait_for_selector("#compare table")
    yield "compared"
    page.click("#p-treat")
    page.wait_for_selector("#treated")
    yield "treatment"
    page.click("[data-go=gallery]")
    page.click("#to-plan")
    page.check("[name=pattern]")
    page.click("#lay-out")
    page.wait_for_selector("#planned-head")
    yield "cutting plan"


COVERED = """() => {
  const one = document.activeElement;
  if (!one || one === document.body || one.type === "hidden") return "";
  const box = one.getBoundingClientRect();
  if (!box.width || box.bottom < 0 || box.top > innerHeight) return `${one.id || one.textContent}: out of sight`;
  const x = Math.min(Math.max(box.left + box.width / 2, 1), innerWidth - 1);
  const y = Math.min(Math.max(box.top + Math.min(box.height, 40) / 2, 1), innerHeight - 1);
  const top = document.elementFromPoint(x, y);
  return top && (one.contains(top) || top.contains(one)) ? "" : `${one.id || one.textContent} under ${top?.id || top?.className}`;
}"""


def _focus_is_seen(page: Any, where: tuple[str, str]) -> None:
    """Forty steps by Tab: what has the focus is seen, never under what is fixed."""
    for step in range(40):
        page.keyboard.press("Tab")
        assert page.evaluate(COVERED) == "", (*where, step)


def test_a_problem_stands_beside_its_field_while_it_is_typed(chromium: Any, bench: Asking) -> None:
    """Typed, it is told; mended, it is gone; the field is marked for whoever hears the page."""
    complaints: list[str] = []
    page = page_of(chromium, bench, "desk", complaints)
    page.click("#book-2")
    page.wait_for_selector("#f-book-id")
    turn(page, "text_block")
    page.fill("#f-text_block-height", "9")
    page.wait_for_selector("#p-text_block-height li")
    assert "20 to 2000 mm" in page.inner_text("#p-text_block-height")
    assert page.get_attribute("#f-text_block-height", "aria-invalid") == "true"
    page.fill("#f-text_block-height", "330")
    page.wait_for_selector("#p-text_block-height li", state="detached")
    page.click("#undo")
    wait_until(page, "() => document.querySelector('#undo').disabled")
    page.reload()
    page.wait_for_selector("#f-book-id")  # the same book, after a reload
    assert complaints == []
    page.context.close()


def test_the_view_asked_for_last_is_shown(chromium: Any, bench: Asking) -> None:
    """A view that is answered late never covers the one that was asked for after it."""
    complaints: list[str] = []
    page = page_of(chromium, bench, "desk", complaints)

    def late(route: Any) -> None:
        page.wait_for_timeout(600)
        route.continue_()

    page.route("**/gallery?*", late)
    page.click("[data-go=gallery]", no_wait_after=True)
    page.click("#book-2")
    page.wait_for_selector("#f-book-id")
    page.wait_for_timeout(1200)
    assert page.is_visible("#f-book-id")
    assert page.get_attribute("[data-go=gallery]", "aria-current") is None
    assert complaints == []
    page.context.close()


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
        row = page.query_selector(".field.now")
        asked[row.get_attribute("data-name")] = page.inner_text("#was")
        if words:
            page.keyboard.type(words)
            page.keyboard.press("Enter")
        else:
            page.keyboard.type("99")
            page.tap("#not")  # as before
        page.wait_for_timeout(400)
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
    assert page.inner_text(beside) == "the mean: 61.03 mm, 1.1 mm apart"
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


def test_no_word_becomes_a_script_and_no_page_frames_the_bench(
    chromium: Any, folder: Path, bench: Asking
) -> None:
    """A title that is a tag is shown as words; without its policy an added script would run."""
    from patterns.bench.guards import HEADERS
    from tests.bench.benches import opened

    title = "<img src=x onerror=\"document.title='run'\"><script>document.title='run'</script>"
    bench.post("/books/1/field", name="book.title", words=title, visit="")
    added = (
        "() => { const s = document.createElement('script'); s.textContent = \"document.title='run'\";"
        " document.body.append(s); return document.title; }"
    )
    complaints: list[str] = []
    page = page_of(chromium, bench, "desk", complaints)
    assert "<img src=x" in page.inner_text("#book-1")
    assert page.evaluate(added) != "run"
    page.context.close()
    bare = {name: value for name, value in HEADERS.items() if "Policy" not in name}
    with opened(folder, headers={**bare, "X-Frame-Options": "SAMEORIGIN"}) as open_bench:
        context = chromium.new_context(bypass_csp=True)
        page = context.new_page()
        page.goto(open_bench.started.door.address)
        assert page.evaluate(added) == "run"
        context.close()


def test_the_page_itself_is_printed_as_words_alone(chromium: Any, bench: Asking) -> None:
    """Nobody cuts by a picture that the browser scaled: the paper says where to print from."""
    page = page_of(chromium, bench, "desk", [])
    page.emulate_media(media="print")
    assert page.is_visible(".paper-only")
    assert not page.is_visible("main")
    assert "Print from the PDF" in page.inner_text(".paper-only")
    page.context.close()


def test_the_desk_is_worked_by_touch(chromium: Any, bench: Asking) -> None:
    """On a touch screen of 768 × 1024: a structure chosen, its sheets seen, another sheet turned to."""
    complaints: list[str] = []
    page = page_of(chromium, bench, "tablet", complaints)
    page.tap("#book-1")
    page.wait_for_selector("#stop-says")
    page.tap("#stop-says")
    wait_until(page, "() => document.querySelector('[data-choose]') !== null")
    page.tap("[data-choose]:not([data-choose=''])")
    page.tap("#stop-sheets")
    assert drawn(page).startswith("Sheet 1 of")
    page.tap("#after")
    wait_until(
        page, "() => document.querySelector('#sheet-words').textContent.startsWith('Sheet 2')"
    )
    for button in page.query_selector_all("button:visible, input:visible, select:visible"):
        assert button.bounding_box()["height"] >= 24
    assert complaints == []
    page.context.close()
