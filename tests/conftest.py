"""Options of the test run."""

from __future__ import annotations

import os
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import settings

if TYPE_CHECKING:
    from playwright.sync_api import Page

# The same drawn examples in every run, however busy the machine; HYPOTHESIS_PROFILE=wide draws anew,
# and as many for a test that is content with fewer: HYPOTHESIS_EXAMPLES of them.
PROFILE = os.environ.get("HYPOTHESIS_PROFILE", "steady")
MANY = int(os.environ.get("HYPOTHESIS_EXAMPLES", "500"))
settings.register_profile("steady", derandomize=True, deadline=None)
settings.register_profile("wide", deadline=None, max_examples=MANY)
settings.load_profile(PROFILE)


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add `--update-golden`: write the golden drawings anew; and `--no-golden`: never compare with them."""
    parser.addoption("--update-golden", action="store_true", help="write golden drawings anew")
    parser.addoption(
        "--no-golden",
        action="store_true",
        help="leave out comparisons with files written by the project",
    )


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave out, with `--no-golden`, what the project's own files of yesterday are the measure of.

    Under the wide profile every test draws as many examples as the profile, whatever it says itself.
    """
    if config.getoption("--no-golden"):
        golden = [item for item in items if item.get_closest_marker("golden")]
        config.hook.pytest_deselected(items=golden)
        items[:] = [item for item in items if not item.get_closest_marker("golden")]
    if PROFILE == "wide":
        for item in items:
            _widen(getattr(item, "obj", None))


def _widen(test: Any) -> None:
    own = getattr(test, "_hypothesis_internal_use_settings", None)
    if own is not None and own.max_examples < MANY:
        test._hypothesis_internal_use_settings = settings(own, max_examples=MANY)


@pytest.fixture(scope="module")
def browser_page() -> Iterator[Page]:
    """A page of Chromium, 1100 wide, for the tests of one module."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        browser = play.chromium.launch(
            executable_path="/usr/bin/chromium", args=["--no-sandbox", "--disable-gpu"]
        )
        yield browser.new_page(viewport={"width": 1100, "height": 900})
        browser.close()
