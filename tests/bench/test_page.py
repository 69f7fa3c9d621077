"""The page in a browser: by keyboard alone, by touch, at three widths; nothing in the way, nothing unread."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from patterns.cutting.stock import BLANK
from patterns.gallery import store
from patterns.record import reading
from tests.bench import picture
from tests.bench.benches import Asking
from tests.bench.paging import SIZES, page_of, reach, still, turn
from tests.browsing import wait_until
from tests.test_gallery_examples import GALLERY

pytestmark = pytest.mark.outside


def press(page: Any, selector: str, key: str = "Tab") -> None:
    """Go to something by one key alone and press it."""
    reach(page, selector, key)
    page.keyboard.press("Enter")


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
    still(page)
    press(page, "#stop-says")
    press(page, "#all-structures > summary")
    reach(page, "#take-flap_wrapper")
    page.keyboard.press("Space")
    first = drawn(page)
    assert first.startswith("Sheet 1 of")
    press(page, "#stop-settings", "Shift+Tab")
    still(page)
    before = page.get_attribute("#pieces", "src")
    reach(page, "[data-setting] input:not([type=file])")
    name = page.evaluate("document.activeElement.closest('[data-setting]').dataset.setting")
    low = page.evaluate(
        "document.activeElement.closest('[data-setting]').querySelector('.range').textContent"
    )
    page.keyboard.type(low.split(" ")[0])
    wait_until(page, f"() => document.querySelector('#pieces').src !== '{before}'")
    assert name.startswith("flap_wrapper.")
    page.keyboard.press("Control+s")
    wait_until(page, "() => document.querySelector('#stand').textContent === 'Saved'")
    _is_saved_as_typed(folder)
    page.keyboard.press("Escape")
    with page.expect_popup() as opened:
        press(page, "#print")
    wait_until(page, "() => document.querySelector('#said').textContent.includes('100 %')")
    opened.value.close()
    press(page, "#keep", "Shift+Tab")
    wait_until(page, "() => document.querySelector('#said').textContent.includes('revision 1')")
    assert store.names(folder / "gallery") == ["keyed-1-flap_wrapper"]
    press(page, "[data-go=gallery]", "Shift+Tab")
    page.wait_for_selector("#card-1")
    press(page, "#card-1")
    page.wait_for_selector("#p-print")
    assert page.inner_text("#name") == "A pilot book"
    assert complaints == []
    page.context.close()


def _is_saved_as_typed(folder: Path) -> None:
    read = reading.load(folder / "keyed-1.toml")
    assert read.book.id == "keyed-1"
    assert read.text_block.height == pytest.approx(203.2)
    assert read.text_block.thickness == 9
    assert '"8 in"' in read.text


def asked(page: Any) -> str:
    """Return which question lies before you: a field's name, or what is asked before a part."""
    return str(
        page.evaluate(
            "document.querySelector('.field.now')?.dataset.name ?? document.querySelector('#gate').textContent"
        )
    )


def go_on(page: Any, button: str = "#next") -> str:
    """Press a button and return the next question."""
    before = asked(page)
    page.click(button)
    for _ in range(1200):
        if not page.query_selector(".measuring .desk"):
            return ""  # the last was answered
        if asked(page) != before:
            return asked(page)
        page.wait_for_timeout(50)
    raise AssertionError(f"still {before}")


def test_questions_come_one_by_one_as_answers_ask_for_them(chromium: Any, bench: Asking) -> None:
    """Choices lie open, a part is passed over, a join is asked for in full, the desk is one button away."""
    complaints: list[str] = []
    page = page_of(chromium, bench, "desk", complaints)
    page.click("#new-book")
    page.click("#measuring")
    page.wait_for_selector("body.measuring")
    assert asked(page) == "book.id"
    assert go_on(page, "#pass") == "condition.paper"
    assert go_on(page, ".picks button:text-is('fair')") == "condition.leather"
    assert [go_on(page, "#pass") for _ in range(2)] == ["text_block.height", "spine.profile"]
    page.click("#measuring")
    page.wait_for_selector("body:not(.measuring)")
    turn(page, "condition")
    assert page.input_value("#f-condition-paper") == "fair"
    page.click("#measuring")
    page.wait_for_selector("body.measuring")
    assert asked(page) == "spine.profile"  # where it was left
    assert go_on(page, "#pass") == "cover.kind"
    assert go_on(page, ".picks button:text-is('case')") == "cover.board_height"
    every: list[str] = []
    while not every or "front board" not in every[-1]:
        every.append(go_on(page))
    assert "cover.joint_gap" in every
    assert "cover.side_width" not in every  # a case has none
    assert go_on(page, "#not") == "cover.front.board_height"
    assert go_on(page, "#back") == every[-1]
    assert "back board" in go_on(page)
    while "join" not in asked(page):
        go_on(page)
    assert go_on(page, "#not") == "union[1].between"
    page.keyboard.type("text block / cover")
    rest = [go_on(page) for _ in range(4)]
    assert rest[:3] == ["union[1].moves", "union[1].made", "union[1].state"]
    assert "another join" in rest[3]
    assert go_on(page, "#not") == "union[2].between"
    assert complaints == []
    page.context.close()


def test_what_is_wanting_is_named_and_one_press_away(chromium: Any, bench: Asking) -> None:
    """A figure that cannot stand, one that is missing for a draft, a record that cannot be saved."""
    bench.post("/books/2/field", name="text_block.height", words="9", visit="")
    page = page_of(chromium, bench, "desk", [])
    page.click("#book-2")
    turn(page, "says")
    page.click("#findings [data-field='text_block.height']")
    wait_until(page, "() => document.activeElement.id === 'f-text_block-height'")
    turn(page, "book")
    page.click("#f-book-title")
    page.click("#save")
    wait_until(page, "() => document.activeElement.id === 'f-text_block-height'")
    assert page.inner_text("#said").startswith("Not saved: text block: height is 9 mm")
    page.fill("#f-text_block-height", "330")
    turn(page, "spine")
    page.fill("#f-spine-linings", "")
    turn(page, "says")
    page.wait_for_selector("#choose-1")
    page.click("#all-structures > summary")
    page.check("#take-spine_lining")
    page.click("#told [data-field='spine.linings']")
    wait_until(page, "() => document.activeElement.id === 'f-spine-linings'")
    assert "Still to be measured" in page.inner_text("#told")
    page.context.close()


@pytest.mark.parametrize("size", SIZES)
def test_every_view_is_sound(chromium: Any, bench: Asking, folder: Path, size: str) -> None:
    """At each width: axe finds nothing, nothing scrolls sideways, and the focus is never covered."""
    from axe_playwright_python.sync_playwright import Axe

    bench.post("/books/1/structures", names="board_slot+secondary_sewing", settings="")
    bench.post("/books/1/field", name="text_block.leaves", words="many", visit="")
    bench.post("/books/2/structures", names="hollow_tube", settings="")
    bench.post("/books/2/keep")
    bench.post("/books/2/field", name="cover.endband_head", words="2.5", visit="")
    bench.post("/books/2/keep")
    (folder / "stock.toml").write_text(BLANK)
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


def _views(page: Any) -> Iterator[str]:
    """Lead through every view, and yield the name of each."""
    yield "shelf"
    page.click("#book-1")
    page.wait_for_selector("#findings, .finding", state="attached")
    still(page)
    for stop in ("text_block", "cover", "says", "settings", "sheets"):
        turn(page, stop)
        yield f"desk, {stop}"
    page.select_option("#visit", "cleaned")
    page.click("#measuring")
    page.click(".field.now [data-again]")
    still(page)
    yield "measuring again"
    page.click("#measuring")
    page.select_option("#visit", "first")
    page.click("#measuring")
    page.wait_for_selector(".field.now")
    still(page)
    yield "measuring"
    while not page.query_selector(".picks") and not page.is_visible("#gate"):
        go_on(page)
    still(page)
    yield "measuring by choice"
    page.click("[data-go=gallery]")
    page.wait_for_selector("#card-1")
    still(page)
    yield "gallery"
    page.click("#card-1")
    page.wait_for_selector("#p-treat")
    still(page)
    yield "pattern"
    page.click("#p-compare")
    page.wait_for_selector("#compare table")
    still(page)
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
    still(page)
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
    still(page)
    assert page.is_visible("#f-book-id")
    assert page.get_attribute("[data-go=gallery]", "aria-current") is None
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


def test_a_covered_focus_would_be_noticed(chromium: Any, bench: Asking) -> None:
    """With something fixed laid over the page, what has the focus is told as covered."""
    page = page_of(chromium, bench, "desk", [])
    page.focus("#new-book")
    assert page.evaluate(COVERED) == ""
    page.evaluate(
        "document.body.append(Object.assign(document.createElement('dialog'), {id: 'over'}));"
        "document.getElementById('over').showModal(); document.getElementById('new-book').focus()"
    )
    page.evaluate("document.getElementById('over').close()")
    page.focus("#new-book")
    page.evaluate(
        "const over = document.createElement('div'); over.id = 'lid';"
        "for (const [key, value] of [['position', 'fixed'], ['inset', '0'], ['zIndex', '99']]) over.style[key] = value;"
        "document.body.append(over)"
    )
    assert "under lid" in page.evaluate(COVERED)
    page.context.close()


MOVING = """() => [...document.querySelectorAll("*")].flatMap((one) => ["", "::before", "::after"].map((part) => {
  const look = getComputedStyle(one, part || undefined);
  const times = `${look.transitionDuration}, ${look.animationDuration}`.split(", ").map(parseFloat);
  return Math.max(...times) > 0 || look.scrollBehavior === "smooth" ? one.className + part : "";
})).filter(Boolean)"""


def test_nothing_moves_for_whoever_wants_no_motion(chromium: Any, bench: Asking) -> None:
    """Where less motion is asked for there is none; else the ticks of the strip grow."""
    for wanted in ("reduce", "no-preference"):
        context = chromium.new_context(reduced_motion=wanted)
        page = context.new_page()
        page.goto(bench.started.door.address)
        page.click("#book-1")
        page.wait_for_selector("#f-book-id")
        assert bool(page.evaluate(MOVING)) is (wanted == "no-preference")
        context.close()


def test_the_page_itself_is_printed_as_words_alone(chromium: Any, bench: Asking) -> None:
    """Nobody cuts by a picture that the browser scaled: the paper says where to print from, and no more."""
    import io

    import pypdf

    bench.post("/books/1/structures", names="board_slot", settings="")
    page = page_of(chromium, bench, "desk", [])
    page.click("#book-1")
    drawn(page)
    paper = pypdf.PdfReader(io.BytesIO(page.pdf()))
    words = " ".join(" ".join(one.extract_text().split()) for one in paper.pages).strip()
    assert words == page.text_content(".paper-only")
    assert words.startswith("Print from the PDF")
    assert not any(list(one.images) for one in paper.pages)
    page.context.close()


LOW = """() => [...document.querySelectorAll("button, input, select, summary")]
  .filter((one) => one.checkVisibility() && one.getBoundingClientRect().height < 24).map((one) => one.id)"""


@pytest.mark.parametrize("size", ["desk", "tablet"])
def test_the_whole_way_by_pointer(chromium: Any, bench: Asking, folder: Path, size: str) -> None:
    """By mouse at 1366 × 768 and by touch at 768 × 1024, keys for the figures alone."""
    complaints: list[str] = []
    page = page_of(chromium, bench, size, complaints)
    touched = size == "tablet"
    press = page.tap if touched else page.click

    def see(part: str) -> None:
        if touched or part != "sheets":
            press(f"#stop-{part}")

    press("#new-book")
    press("#measuring")
    page.wait_for_selector("body.measuring")
    page.keyboard.type("by-hand")
    press("#pass")
    press(".picks button:text-is('strong')")
    press("#pass")
    wait_until(
        page, "() => document.querySelector('.field.now')?.dataset.name === 'text_block.height'"
    )
    for figure in ("210", "140", "24"):
        page.keyboard.type(figure)
        go_on(page)
    press("#measuring")
    page.wait_for_selector("body:not(.measuring)")
    press("#f-book-outside")
    page.keyboard.type("218 146 31")
    see("says")
    press("#all-structures > summary")
    press("label[for=take-flap_wrapper]")
    see("sheets")
    assert drawn(page).startswith("Sheet 1 of")
    press("#after")
    wait_until(
        page, "() => document.querySelector('#sheet-words').textContent.startsWith('Sheet 2')"
    )
    see("settings")
    still(page)
    before = page.get_attribute("#pieces", "src")
    press("[data-setting] input:not([type=file])")
    page.keyboard.type(page.inner_text("[data-setting] .range").split(" ")[0])
    wait_until(page, f"() => document.querySelector('#pieces').src !== '{before}'")
    assert page.evaluate(LOW) == []
    press("#save")
    wait_until(page, "() => document.querySelector('#stand').textContent === 'Saved'")
    assert reading.load(folder / "by-hand.toml").text_block.thickness == 24
    with page.expect_popup() as opened:
        press("#print")
    wait_until(page, "() => document.querySelector('#said').textContent.includes('100 %')")
    opened.value.close()
    press("#keep")
    wait_until(page, "() => document.querySelector('#said').textContent.includes('revision 1')")
    press("[data-go=gallery]")
    press("#card-1")
    page.wait_for_selector("#p-print")
    assert store.names(folder / "gallery") == ["by-hand-flap_wrapper"]
    assert complaints == []
    page.context.close()


@pytest.mark.golden
def test_the_readme_shows_this_page(chromium: Any, request: pytest.FixtureRequest) -> None:
    """Its first picture is the page as wide as a screen; `--update-golden` takes it anew."""
    if request.config.getoption("--update-golden"):
        (GALLERY / picture.FILE).write_bytes(picture.picture(chromium))
    readme = (GALLERY.parent / "README.md").read_text(encoding="utf-8")
    assert re.findall(r"!\[[^]]+\]\(([^)]+)\)", readme)[0] == f"gallery/{picture.FILE}"
    with Image.open(GALLERY / picture.FILE) as held:
        assert held.size == (picture.WIDE, picture.HIGH)
        shades = held.convert("L").tobytes()
    assert min(shades) < 40  # ink
    assert max(shades) == 255  # on white
