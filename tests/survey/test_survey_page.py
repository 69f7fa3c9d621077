"""The survey's page in a browser: nothing that shuts anyone out, and a list that shows every book."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, sync_playwright

from patterns.survey.counts import Counts
from patterns.survey.page import Listed, Told, page
from tests.survey import harbour
from tests.survey.surveying import rows, surveyed

pytestmark = pytest.mark.outside


@pytest.fixture(scope="module")
def out(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The shipped collection as a sample of a larger one, with the studio's hours."""
    folder = tmp_path_factory.mktemp("page")
    (folder / "hours.toml").write_text("[hours]\ncover_widening = 6.5\n")
    options = ("--population", "2400", "--hours", str(folder / "hours.toml"))
    return surveyed(harbour.SHIPPED, folder / "survey", *options)


@pytest.fixture(params=[(1366, 768), (320, 640)], ids=["wide", "narrow"])
def shown(request: pytest.FixtureRequest, out: Path) -> Iterator[Page]:
    """The page, opened from the disk without a network."""
    width, height = request.param
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path="/usr/bin/chromium", args=["--no-sandbox", "--disable-gpu"]
        )
        opened = browser.new_page(viewport={"width": width, "height": height})
        opened.context.set_offline(True)
        failed: list[str] = []
        opened.on("console", lambda message: failed.append(message.text))
        opened.on("pageerror", lambda error: failed.append(str(error)))
        opened.goto((out / "survey.html").as_uri())
        yield opened
        browser.close()
        assert not failed


def test_axe_finds_nothing_and_nothing_runs_off_the_side(shown: Page) -> None:
    """By the rules of axe-core; wide tables scroll in themselves."""
    found = Axe().run(shown)
    assert found.violations_count == 0, found.generate_report()
    assert shown.evaluate("document.documentElement.scrollWidth <= window.innerWidth")


def test_the_list_shows_every_book_two_hundred_at_a_time(shown: Page, out: Path) -> None:
    """What books.csv holds, each once; filters choose by what was found."""
    books = rows(out / "books.csv")
    seen = shown.locator("#list tbody th").all_text_contents()
    assert len(seen) == 200
    while shown.locator("#next").is_enabled():
        shown.locator("#next").click()
        seen += shown.locator("#list tbody th").all_text_contents()
    assert sorted(seen) == sorted(row["id"] for row in books)
    shown.locator("#finding").select_option(label="brittle paper")
    wanted = sorted(row["id"] for row in books if "brittle_paper" in row["findings"].split())
    assert sorted(shown.locator("#list tbody th").all_text_contents()) == wanted


def test_fifty_thousand_books_are_five_megabytes_at_most() -> None:
    """Every one of them is in the page's own list."""
    told = {
        "id": "", "where": "row 2", "value": 3, "use": 2, "not_measured": [], "about": [], "state": "examined", "class": 3,
        "findings": ["spine_too_narrow", "union_weak", "brittle_paper", "moving_union_pasted"],
        "parts": {}, "first_way": "cover_widening", "structures": [], "cautions": [], "needs_measuring": ["spine.linings"],
    }  # fmt: skip
    counts, listed = Counts(), Listed()
    for number in range(50_000):
        one = {**told, "id": f"HARBOUR-OFFICE-{number:05d}"}
        counts.add(one)
        listed.add(one)
    made = page(counts, listed, Told("fifty.csv"))
    assert len(made) <= 5_000_000
    text = made.decode().partition('id="data">')[2].partition("</script>")[0]
    assert len(json.loads(text)["books"]) == 50_000
