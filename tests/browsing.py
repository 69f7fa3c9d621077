"""Waiting in a browser on pages whose own policy lets no words become code."""

from __future__ import annotations

from playwright.sync_api import Page

PATIENCE_MS = 60_000
STEP_MS = 50


def wait_until(page: Page, condition: str) -> None:
    """Wait until a JavaScript expression holds; it is asked from outside, never polled inside.

    The pages allow no `eval`, which a browser's own polling needs from its second look on.
    """
    for _ in range(PATIENCE_MS // STEP_MS):
        if page.evaluate(condition):
            return
        page.wait_for_timeout(STEP_MS)
    raise AssertionError(f"not within {PATIENCE_MS} ms: {condition}")
