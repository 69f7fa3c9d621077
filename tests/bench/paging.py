"""The bench in a browser's window: opened at a size, and turned to a part of the desk."""

from __future__ import annotations

from typing import Any

from tests.bench.benches import Asking
from tests.browsing import PATIENCE_MS, STEP_MS

QUIET_MS = 300
"""So long nothing is asked: longer than the page waits for the next key."""

SIZES = {
    "desk": (1366, 768, False),
    "zoomed to 200 %": (683, 384, False),
    "tablet": (768, 1024, True),
    "small": (320, 640, True),
}
"""Width and height in the page's own pixels, which a zoom makes fewer; whether it is touched."""


def page_of(chromium: Any, bench: Asking, size: str, complaints: list[str]) -> Any:
    """Open the bench in a window of a size; what the browser complains of is noted."""
    width, height, touch = SIZES[size]
    context = chromium.new_context(
        viewport={"width": width, "height": height}, has_touch=touch, reduced_motion="reduce"
    )
    page = context.new_page()
    page.under_way = 0
    page.on("request", lambda _: _count(page, 1))
    page.on("requestfinished", lambda _: _count(page, -1))
    page.on("requestfailed", lambda _: _count(page, -1))
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.on("console", lambda told: complaints.extend([told.text] * (told.type == "error")))
    page.goto(bench.started.door.address)
    page.wait_for_selector("#new-book")
    return page


def _count(page: Any, step: int) -> None:
    page.under_way += step


def still(page: Any) -> None:
    """Wait until the page asks for nothing more and everything that it was to draw is drawn."""
    quiet = 0
    for _ in range(PATIENCE_MS // STEP_MS):
        drawing = page.evaluate("document.querySelector('.sheet[aria-busy=true]') !== null")
        quiet = 0 if drawing or page.under_way else quiet + 1
        if quiet > QUIET_MS // STEP_MS:
            return
        page.wait_for_timeout(STEP_MS)
    raise AssertionError(f"not at rest within {PATIENCE_MS} ms")


def reach(page: Any, selector: str, key: str = "Tab") -> None:
    """Go to something by one key alone; fail where it does not lead there."""
    assert page.query_selector(selector), selector
    for _ in range(400):
        if page.evaluate("one => document.activeElement?.matches(one)", selector):
            return
        page.keyboard.press(key)
    raise AssertionError(f"{key} does not lead to {selector}")


def turn(page: Any, stop: str) -> None:
    """Go to a part of the desk by its place on the strip; where the strip is folded, unfold it first."""
    if stop == "sheets" and page.viewport_size["width"] > 1200:
        return  # the sheets lie beside every part there
    page.wait_for_selector(f"#stop-{stop}", state="attached")
    if not page.is_visible(f"#stop-{stop}"):
        page.click("#whole")
    page.click(f"#stop-{stop}")
    page.wait_for_selector(f".desk[data-stop={stop}]")
