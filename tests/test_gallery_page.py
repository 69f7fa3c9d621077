"""The gallery's web page: what a browser makes of it, hostile records included."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import unquote, urlsplit

import pytest

from patterns.errors import WriteError
from patterns.gallery.site import build
from patterns.gallery.store import add, keep
from tests.browsing import wait_until
from tests.gallery_samples import DOT, OWNER, pattern_files

if TYPE_CHECKING:
    from playwright.sync_api import Page

HOSTILE = [
    "<script>document.title='owned'</script>",
    '"><img src=x onerror="document.title=\'owned\'">',
    "' onmouseover='document.title=`owned`",
    "</title><script>document.title='owned'</script>",
    "--><svg onload=document.title='owned'>",
    "$title ${body} $$ %s {0}",
    "javascript:document.title='owned'",
    "&lt;b&gt; & <b>bold</b>",
    "Logbuch der Hafenmeisterei – 日本語 عربى",
]


@pytest.fixture
def gallery(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("MENDFOLD_CACHE", str(tmp_path / "cache"))
    return tmp_path / "gallery"


def fill(gallery: Path) -> None:
    kinds = (("hollow_tube",), ("board_slot", "secondary_sewing"), ("spine_inlay",))
    for number, title in enumerate(["Harbour master's logbook", "Pilot's chart book", *HOSTILE]):
        structures = kinds[number % 3]
        files = pattern_files(
            f"B-{number}", title=title, height=150.0 + 20 * number, structures=structures,
            material=f"{title[:30]} paper" if number > 5 else "kraft lining paper",
        )  # fmt: skip
        keep(gallery, f"B-{number}-{'+'.join(structures)}", files)
    note = f"<script>document.title='owned'</script> seen by {number}".encode()
    add(gallery, "B-0-hollow_tube", {"before é.gif": DOT, "notes.txt": note, "evil.html": note})
    keep(gallery, "B-0-hollow_tube", pattern_files("B-0", title="Logbook again", height=151.0))


class Links(HTMLParser):
    """Collects where a page points, and refuses what no page of ours may hold."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        assert not [name for name in given if name.startswith("on")]
        assert tag != "script" or given.get("src") == "filter.js"
        self.found += [given[name] or "" for name in ("href", "src") if name in given]


def test_every_link_leads_to_a_file_of_the_page(gallery: Path, tmp_path: Path) -> None:
    fill(gallery)
    out = tmp_path / "page"
    built = build(gallery, out)
    assert (len(built.entries), built.missing, built.mentions) == (11, [], [])
    pages = list(out.glob("*.html"))
    assert len(pages) == 12
    for path in pages:
        links = Links()
        links.feed(path.read_text(encoding="utf-8"))
        for link in links.found:
            parts = urlsplit(link)
            assert (parts.scheme, parts.netloc) == ("", "")
            assert (out / unquote(parts.path)).is_file() or parts.path == ""
    assert not list(out.rglob("evil.html"))


def test_the_owner_is_on_no_page(gallery: Path, tmp_path: Path) -> None:
    fill(gallery)
    build(gallery, tmp_path / "page")
    for path in (tmp_path / "page").rglob("*"):
        if path.is_file():
            assert OWNER.encode() not in path.read_bytes(), path


def test_sheets_link_to_the_pdf_and_never_to_a_drawing_a_browser_would_scale(
    gallery: Path, tmp_path: Path
) -> None:
    fill(gallery)
    build(gallery, tmp_path / "page")
    for path in (tmp_path / "page").glob("*.html"):
        text = path.read_text(encoding="utf-8")
        assert not re.search(r'href="[^"]*\.svg', text)
        if path.name != "index.html":
            assert '/sheets.pdf">Sheets for cutting (PDF)' in text
            assert "not to scale" in text


def test_a_pattern_kept_without_its_pdf_says_so(gallery: Path, tmp_path: Path) -> None:
    files = {name: data for name, data in pattern_files().items() if name != "sheets.pdf"}
    keep(gallery, "LOG-1-hollow_tube", files)
    build(gallery, tmp_path / "page")
    text = (tmp_path / "page" / "LOG-1-hollow_tube.html").read_text(encoding="utf-8")
    assert "sheets.pdf" not in text
    assert "draft the record again" in text


def test_only_an_earlier_page_is_replaced(gallery: Path, tmp_path: Path) -> None:
    keep(gallery, "B-0-hollow_tube", pattern_files("B-0"))
    mine = tmp_path / "mine"
    mine.mkdir()
    (mine / "thesis.txt").write_bytes(b"years of work")
    with pytest.raises(WriteError, match="and no gallery page"):
        build(gallery, mine)
    assert (mine / "thesis.txt").read_bytes() == b"years of work"
    build(gallery, tmp_path / "page")
    keep(gallery, "B-1-hollow_tube", pattern_files("B-1"))
    assert len(build(gallery, tmp_path / "page").entries) == 2
    assert (tmp_path / "page" / "B-1-hollow_tube.html").is_file()
    assert sorted(path.name for path in tmp_path.iterdir()) == ["cache", "gallery", "mine", "page"]


def test_what_changed_is_told(gallery: Path, tmp_path: Path) -> None:
    fill(gallery)
    build(gallery, tmp_path / "page")
    text = (tmp_path / "page" / "B-0-hollow_tube.html").read_text(encoding="utf-8")
    assert "measurement text_block.height: 150 → 151" in text
    assert "measurement book.title: Harbour master&#39;s logbook → Logbook again" in text


def listen(page: Page) -> list[str]:
    """Collect what the browser complains of."""
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.on("requestfailed", lambda request: said.append(f"failed: {request.url}"))
    return said


@pytest.mark.outside
def test_a_browser_shows_filters_and_orders(
    gallery: Path, tmp_path: Path, browser_page: Page
) -> None:
    fill(gallery)
    build(gallery, tmp_path / "page")
    page, said = browser_page, listen(browser_page)
    page.goto((tmp_path / "page" / "index.html").as_uri())
    visible = page.locator(".card:visible")
    assert visible.count() == 11
    page.get_by_label("Words").fill("LÓGBOOK")
    assert visible.count() == 1
    assert page.get_by_role("status").inner_text() == "1 of 11 shown"
    page.get_by_role("button", name="Show all").click()
    page.get_by_label("Structure").select_option("secondary_sewing")
    assert visible.count() == 4
    page.get_by_label("Structure").select_option("")
    page.get_by_label("from", exact=True).fill("151")
    page.get_by_label("to", exact=True).fill("190")
    assert visible.count() == 3
    page.get_by_role("button", name="Show all").click()
    page.get_by_label("Order").select_option("height")
    heights = page.eval_on_selector_all(".card", "all => all.map(one => +one.dataset.height)")
    assert heights == sorted(heights)
    pictures = page.eval_on_selector_all(
        ".card img", "all => {all.forEach(one => one.loading = 'eager'); return all.length}"
    )
    assert pictures == 11
    wait_until(
        page,
        "[...document.querySelectorAll('.card img')].every(one => one.naturalWidth > 0)",
    )
    assert said == []


@pytest.mark.outside
def test_hostile_titles_stay_words(gallery: Path, tmp_path: Path, browser_page: Page) -> None:
    fill(gallery)
    build(gallery, tmp_path / "page")
    page, said = browser_page, listen(browser_page)
    for path in sorted((tmp_path / "page").glob("*.html")):
        page.goto(path.as_uri())
        page.mouse.move(300, 60)
        assert page.title() != "owned"
        assert page.locator("script:not([src='filter.js'])").count() == 0
    assert said == []
    page.goto((tmp_path / "page" / "index.html").as_uri())
    titles = page.locator(".card .title").all_text_contents()
    assert set(HOSTILE) <= set(titles)
    page.get_by_label("Words").fill("onerror")
    assert page.locator(".card:visible").count() == 1


@pytest.mark.outside
def test_keyboard_and_screen_reader_find_their_way(
    gallery: Path, tmp_path: Path, browser_page: Page
) -> None:
    fill(gallery)
    build(gallery, tmp_path / "page")
    page = browser_page
    page.goto((tmp_path / "page" / "index.html").as_uri())
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "To the content"
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "main"
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.wait_for_url("**/B-0-hollow_tube.html")
    for path in (tmp_path / "page").glob("*.html"):
        page.goto(path.as_uri())
        assert page.locator("main").count() == 1
        assert page.locator("h1").count() == 1
        assert page.locator("img:not([alt])").count() == 0
        assert page.evaluate("document.documentElement.lang") == "en-GB"
        fields = page.locator("input, select")
        for at in range(fields.count()):
            field = fields.nth(at)
            assert field.evaluate(
                "one => one.labels.length > 0 && one.labels[0].textContent !== ''"
            )
        levels = page.eval_on_selector_all("h1, h2, h3", "all => all.map(one => +one.tagName[1])")
        assert all(later - one <= 1 for one, later in pairwise(levels))


@pytest.mark.outside
@pytest.mark.parametrize("width", [360, 820, 1100, 1920])
def test_nothing_is_cut_off_on_a_telephone_a_tablet_or_a_desk(
    gallery: Path, tmp_path: Path, browser_page: Page, width: int
) -> None:
    fill(gallery)
    build(gallery, tmp_path / "page")
    page = browser_page
    page.set_viewport_size({"width": width, "height": 900})
    for name in ("index.html", "B-0-hollow_tube.html", "B-1-board_slot+secondary_sewing.html"):
        page.goto((tmp_path / "page" / name).as_uri())
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        small = page.eval_on_selector_all(
            "form input, form select, form button, .button",
            "all => all.filter(one => one.getBoundingClientRect().height < 40).length",
        )
        assert small == 0, "a finger needs 40 px"


@pytest.mark.outside
def test_a_thousand_patterns_stay_usable(gallery: Path, tmp_path: Path, browser_page: Page) -> None:
    from tests.benchmarks.bench_gallery import fill as fill_many

    fill_many(gallery, 1000)
    build(gallery, tmp_path / "page")
    page = browser_page
    page.goto((tmp_path / "page" / "index.html").as_uri())
    page.get_by_role("status").get_by_text("1000 of 1000 shown").wait_for()
    page.evaluate(
        """() => {
          const words = document.getElementById("words");
          words.value = "pilot";
          words.dispatchEvent(new Event("input", {bubbles: true}));
        }"""
    )
    assert 0 < page.locator(".card:visible").count() < 1000
