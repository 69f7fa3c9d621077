"""The README's first picture: the page with a sheet on it. Run as  python -m tests.bench.picture."""

from __future__ import annotations

import io
import os
import tempfile
from pathlib import Path
from typing import Any

from PIL import Image

from patterns.commands import demo
from tests.bench.benches import Asking, opened
from tests.browsing import wait_until
from tests.test_gallery_examples import GALLERY

FILE = "bench.png"
WIDE, HIGH = 1366, 768
SHADES = 32
"""Black on white: a picture of so few shades of grey is a third as long."""
BOOK, SHEET = "chart_book", 4


def picture(chromium: Any) -> bytes:
    """Return the picture as PNG: a book of the demonstration, its cutting sheet in the middle."""
    with tempfile.TemporaryDirectory() as place:
        demo.books(Path(place), "A4")
        with opened(Path(place)) as bench:
            return _greys(_seen(chromium, bench))


def _seen(chromium: Any, bench: Asking) -> bytes:
    context = chromium.new_context(
        viewport={"width": WIDE, "height": HIGH}, reduced_motion="reduce"
    )
    page = context.new_page()
    page.goto(bench.started.door.address)
    page.get_by_text(_title()).click()
    wait_until(
        page,
        "() => { const all = [...document.querySelectorAll('#thumbs img')];"
        " return all.length > 2 && all.every(one => one.naturalWidth > 0); }",
    )
    page.click(f"#thumbs button[data-page='{SHEET}']")
    wait_until(
        page,
        f"() => document.querySelector('#sheet-words').textContent.startsWith('Sheet {SHEET} of')",
    )
    page.click("#stop-text_block")
    page.wait_for_selector(".desk[data-stop=text_block]")
    page.evaluate("scrollTo(0, 0)")
    page.evaluate(
        "document.querySelector('.sheet').scrollTop = document.querySelector('#shown').offsetTop - 8"
    )
    page.wait_for_selector(".sheet[aria-busy=false]")
    seen: bytes = page.screenshot()
    context.close()
    return seen


def _title() -> str:
    (first,) = {one.record.book.title for one in demo.orders() if one.record.book.id == BOOK}
    return str(first)


def _greys(png: bytes) -> bytes:
    out = io.BytesIO()
    grey = Image.open(io.BytesIO(png)).convert("L")
    grey.quantize(SHADES).save(out, "PNG", optimize=True)
    return out.getvalue()


def main() -> None:
    """Write the picture into the gallery."""
    from playwright.sync_api import sync_playwright

    with tempfile.TemporaryDirectory() as cache, sync_playwright() as play:
        os.environ["MENDFOLD_CACHE"] = cache
        browser = play.chromium.launch(
            executable_path="/usr/bin/chromium", args=["--no-sandbox", "--disable-gpu"]
        )
        (GALLERY / FILE).write_bytes(picture(browser))
        browser.close()


if __name__ == "__main__":
    main()
