"""The cutting plan on the page: what there is, what is laid out, printed and left over."""

from __future__ import annotations

import io
import json
import re
import threading
from html import unescape
from pathlib import Path

import pypdf
import pytest

from patterns.bench import stock_rows
from patterns.cutting import laying, stock, writing
from patterns.cutting.plan import Wish
from patterns.errors import MaterialError
from patterns.gallery import store
from patterns.gallery.summary import kept_of
from patterns.stock import materials
from patterns.stock import paper as papers
from tests.bench.benches import Asking

LOGBOOK = 2
BY_HAND = """# the drawer under the window
[[sheet]]
material = "kraft lining paper" # bought in spring
width = 700
length = "39 3/8 in"
grain = "length"
count = 3
price = 1.2

# the roll on the wall
[[roll]]
material = "fine cotton cloth"
width = 1400
"""
SHEET = {
    "form": "sheet",
    "material": "kraft lining paper",
    "width": "27 1/2 in",
    "length": "1000",
    "grain": "length",
    "count": "4",
    "from": "",
}


def keep(bench: Asking) -> int:
    """Keep a draft of the logbook and return the number of its pattern."""
    bench.post(f"/books/{LOGBOOK}/structures", names="hollow_tube", settings="")
    number: int = bench.post(f"/books/{LOGBOOK}/keep").json["pattern"]
    return number


def test_stock_is_put_in_and_taken_away_on_the_page(bench: Asking, folder: Path) -> None:
    """From nothing to two rows and back to one; what cannot stand is told and nothing is written."""
    assert "Nothing is said yet" in bench.get("/plan").json["html"]
    told = bench.post("/plan/stock", **SHEET)
    assert told.status == 200, told.body
    roll = {**SHEET, "form": "roll", "material": "fine cotton cloth", "width": "1400"}
    assert bench.post("/plan/stock", **{**roll, "length": ""}).status == 200
    there = stock.load(folder / "stock.toml")
    assert [(one.form, one.width_mm, one.count) for one in there] == [
        ("sheet", 698.5, 4),
        ("roll", 1400.0, 1),
    ]
    before = (folder / "stock.toml").read_text()
    for wrong in ({"width": "wide"}, {"count": "-1"}, {"form": "../plank"}, {"material": ""}):
        assert bench.post("/plan/stock", **{**SHEET, **wrong}).status == 422
    assert (folder / "stock.toml").read_text() == before
    assert bench.post("/plan/stock/0/gone", on="").status == 200
    assert [one.form for one in stock.load(folder / "stock.toml")] == ["roll"]
    assert bench.post("/plan/stock/7/gone", on="").status == 404


def test_what_was_written_by_hand_in_the_stock_stays(folder: Path) -> None:
    """A row added, another taken away: comments, prices and units of the others are as they were."""
    (folder / "stock.toml").write_text(BY_HAND)
    row = {key: words for key, words in SHEET.items() if key != "form"}
    stock_rows.add(folder, "sheet", {**row, "from": "the atlas, 2026-03-02"})
    text = (folder / "stock.toml").read_text()
    assert text.startswith(BY_HAND.rstrip())
    there = stock_rows.rows(folder)
    assert len(there) == 3
    stock_rows.remove(folder, 1, there[1])
    text = (folder / "stock.toml").read_text()
    assert '"39 3/8 in"' in text
    assert "# bought in spring" in text
    assert "the atlas" not in text
    with pytest.raises(MaterialError, match="changed since"):
        stock_rows.remove(folder, 0, there[1])
    assert (folder / "stock.toml").read_text() == text


def test_pieces_are_laid_out_shown_printed_and_their_offcuts_kept(
    bench: Asking, folder: Path
) -> None:
    """As the core lays them out; the stock is written anew when it is cut, the old one beside it."""
    (folder / "stock.toml").write_text(BY_HAND)
    number = keep(bench)
    asked = {"cuts": "through", "gap": "2", "margin": "5"}
    html = unescape(bench.get("/plan").json["html"])
    assert f'value="{number}"' in html
    assert bench.post("/plan/print", on="").status == 422
    told = bench.post("/plan", patterns=[number], **asked)
    assert told.status == 200, told.body
    (name,) = store.names(folder / "gallery")
    pattern = kept_of(store.newest(folder / "gallery" / name).files(), name)
    rows = stock.load(folder / "stock.toml")
    wish = Wish("through", 2, 5, 100)
    made, files = writing.make([(name, pattern)], rows, wish, materials.load(), papers.parse("A4"))
    count = sum(len(sheet.pieces) for sheet in made.sheets)
    assert count >= 1
    assert f"{count} pieces on {len(made.sheets)} of stock" in told.json["html"]
    assert len(told.json["pages"]) == len(pypdf.PdfReader(io.BytesIO(files["plan.pdf"])).pages)
    assert all(page.startswith("<?xml") or "<svg" in page[:200] for page in told.json["pages"])
    link = bench.post("/plan/print", on="").json["link"]
    assert bench.get(link).body == files["plan.pdf"]
    assert (folder / "stock.toml").read_text() == BY_HAND
    told = bench.post("/plan/cut", on="")
    assert "stock-before-1.toml" in told.json["said"]
    assert (folder / "stock-before-1.toml").read_text() == BY_HAND
    left = stock.load(folder / "stock.toml")
    assert sum(one.count for one in left if not one.source and one.form == "sheet") == 2
    assert any(one.source for one in left)
    assert bench.post("/plan/cut", on="").status == 422  # cut once


def test_a_plan_without_stock_or_patterns_says_what_is_missing(bench: Asking, folder: Path) -> None:
    """Nothing chosen, nothing there, a gap that is none, or a broken stock file: one line each."""
    number = keep(bench)
    asked = {"cuts": "through", "gap": "2", "margin": "5"}
    assert bench.post("/plan", patterns=[number], **asked).status == 422
    (folder / "stock.toml").write_text(BY_HAND)
    assert bench.post("/plan", patterns=[], **asked).status == 422
    told = bench.post("/plan", patterns=[number], **{**asked, "gap": "nan"})
    assert told.status == 422
    told = bench.post("/plan", patterns=[number], **{**asked, "gap": "two"})
    assert "“two”" in told.json["refused"]
    assert bench.post("/plan", patterns="1", **asked).status == 400
    assert bench.post("/plan", patterns=[999], **asked).status == 404
    (folder / "stock.toml").write_text("[[plank]]\n")
    assert "plank" in unescape(bench.get("/plan").json["html"])
    assert json.loads(bench.get("/plan").body)
    assert re.search(r'class="trouble"', bench.get("/plan").json["html"])


def test_a_plan_is_laid_out_beside_the_page(
    bench: Asking, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Never in the page's own process; while one is being laid out everything else is answered."""
    (folder / "stock.toml").write_text(BY_HAND)
    asked = {"patterns": [keep(bench)], "cuts": "through", "gap": "2", "margin": "5"}
    monkeypatch.setattr(laying, "make", None)
    found: list[int] = []
    waiting = threading.Thread(target=lambda: found.append(bench.post("/plan", **asked).status))
    with bench.started.bench.planner.looking:  # as if one took long
        waiting.start()
        bench.post(f"/books/{LOGBOOK}/field", name="book.note", words="meanwhile", visit="")
        assert bench.get(f"/books/{LOGBOOK}/look/pieces").json["svg"]
        assert bench.get("/plan").status == 200
        assert found == []
    waiting.join(timeout=60)
    assert found == [200]
    process = bench.started.bench.planner.process
    assert process is not None
    process.kill()
    assert bench.post("/plan", **asked).status == 200  # by a new one
