"""A treatment ticked off on the page: nothing of it is lost, kept or not."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

import pytest

from patterns.gallery import store
from tests.bench.benches import Asking
from tests.bench.paging import page_of
from tests.browsing import wait_until

pytestmark = pytest.mark.outside
STEP = "[data-table=step][data-row='0']"


def opened(chromium: Any, bench: Asking, complaints: list[str]) -> Any:
    """Keep a tube for the logbook and open its treatment."""
    bench.post("/books/2/structures", names="hollow_tube", settings="")
    bench.post("/books/2/keep")
    page = page_of(chromium, bench, "tablet", complaints)
    page.tap("[data-go=gallery]")
    again(page)
    return page


def again(page: Any) -> None:
    """Open the pattern's treatment from the gallery."""
    page.tap("#card-1")
    page.tap("#p-treat")
    page.wait_for_selector("#treated")


@pytest.mark.parametrize("away", ["gallery", "reload"])
def test_a_tick_is_there_after_leaving_without_keeping(
    chromium: Any, bench: Asking, folder: Path, away: str
) -> None:
    """Ticked with initials, and away at once: by the gallery's button or by a reload."""
    complaints: list[str] = []
    page = opened(chromium, bench, complaints)
    page.fill("[data-table=treatment][data-key=by]", "KL")
    page.tap("[data-done='0']")
    page.fill("[data-table=step][data-row='1'][data-key=note]", "in haste")
    if away == "gallery":
        page.tap("[data-go=gallery]")
        again(page)
    else:
        page.reload()
        page.wait_for_selector("#p-treat")
        page.tap("#p-treat")
        page.wait_for_selector("#treated")
    assert page.get_attribute("[data-done='0']", "aria-pressed") == "true"
    assert page.input_value(f"{STEP}[data-key=by]") == "KL"
    assert page.input_value(f"{STEP}[data-key=done]") == str(datetime.date.today())
    assert page.input_value("[data-table=step][data-row='1'][data-key=note]") == "in haste"
    assert "not kept" in page.inner_text("#t-stand")
    with page.expect_popup() as report:
        page.tap("#p-report")  # keeps it first
    wait_until(page, "() => document.querySelector('#said').textContent.includes('report')")
    report.value.close()
    (name,) = store.names(folder / "gallery")
    written = store.newest(folder / "gallery" / name).files()["treatment.toml"].decode()
    assert 'note = "in haste"' in written
    assert page.inner_text("#t-stand") == ""
    assert complaints == []
    page.context.close()
