"""Kept patterns on the page: found by words, structure and size, compared, used, and what is like them."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path

import pytest

from patterns.gallery import store
from tests.bench.benches import Asking

ATLAS, LOGBOOK, PAY_BOOK = 1, 2, 3


def keep(bench: Asking, book: int, structures: str, **settings: str) -> int:
    """Keep a draft of a book and return the number of its pattern."""
    bench.post(f"/books/{book}/structures", names=structures, settings="")
    for name, words in settings.items():
        told = bench.post(
            f"/books/{book}/setting", name=f"{structures}.{name}", words=words, visit=""
        )
        assert told.status == 200
    number: int = bench.post(f"/books/{book}/keep").json["pattern"]
    return number


def cards(bench: Asking, asked: str) -> list[str]:
    """Return the titles of what is found."""
    html = bench.get(f"/gallery?{asked}").json["html"]
    return [unescape(title) for title in re.findall(r'<span class="name">([^<]*)<', html)]


def test_patterns_are_found_by_words_structure_and_size(bench: Asking) -> None:
    """Each by itself and together; a height may be given in inches; what is no height is told."""
    keep(bench, ATLAS, "board_slot")
    keep(bench, LOGBOOK, "hollow_tube")
    assert len(cards(bench, "")) == 2
    assert cards(bench, "words=atl") == ["School atlas"]
    assert cards(bench, "structure=hollow_tube") == ["Harbour master's logbook"]
    assert cards(bench, "structure=hollow_tube&words=atlas") == []
    assert cards(bench, "least=329.5&most=330.5") == ["Harbour master's logbook"]
    assert cards(bench, "least=12+15/16+in&most=13+in") == ["Harbour master's logbook"]
    assert cards(bench, "most=1+in") == []
    told = bench.get("/gallery?least=tall")
    assert told.status == 422
    assert "“tall”" in told.json["refused"]


def test_two_revisions_are_compared(bench: Asking, folder: Path) -> None:
    """What was measured and set otherwise stands before and after, with the sheets that changed."""
    number = keep(bench, ATLAS, "board_slot")
    alone = bench.get(f"/gallery/{number}/compared")
    assert alone.status == 422
    assert "nothing to compare" in alone.json["refused"]
    assert "p-compare" not in bench.get(f"/gallery/{number}").json["html"]
    bench.post(f"/books/{ATLAS}/field", name="cover.board_height", words="372.5", visit="")
    keep(bench, ATLAS, "board_slot", depth="9")
    bench.post(f"/books/{ATLAS}/field", name="book.note", words="third", visit="")
    keep(bench, ATLAS, "board_slot", depth="9")
    assert len(store.revisions(folder / "gallery" / "atlas-board_slot")) == 3
    assert "p-compare" in bench.get(f"/gallery/{number}").json["html"]

    def rows(html: str) -> dict[str, tuple[str, str]]:
        found = re.findall(r'<th scope="row">(.*?)</th><td>(.*?)</td><td>(.*?)</td>', html)
        return {name: (before, after) for name, before, after in found}

    html = bench.get(f"/gallery/{number}/compared?first=1&second=2").json["html"]
    told = rows(html)
    assert told["cover: board height"][1] == "372.5 mm"
    assert told["board slot: depth"][1] == "9"
    pairs = re.findall(r'data-from="(/gallery/\d+/picture/\d+\?revision=(\d))"', html)
    assert {revision for _, revision in pairs} == {"1", "2"}
    drawn = [bench.get(path).body for path, _ in pairs[:2]]
    files = [one.files() for one in store.revisions(folder / "gallery" / "atlas-board_slot")[:2]]
    name = next(name for name, data in files[0].items() if data == drawn[0])
    assert files[1][name] == drawn[1] != drawn[0]
    portraits = [bench.get(f"/gallery/{number}/portrait?revision={one}").body for one in (1, 2, 3)]
    assert portraits[0] != portraits[1] == portraits[2]
    last = rows(bench.get(f"/gallery/{number}/compared").json["html"])
    assert last == {"book: note": (last["book: note"][0], "third")}
    other_way = rows(bench.get(f"/gallery/{number}/compared?first=2&second=1").json["html"])
    assert other_way == {key: (after, before) for key, (before, after) in told.items()}
    same = bench.get(f"/gallery/{number}/compared?first=2&second=2").json["html"]
    assert "the same" in same
    assert bench.get(f"/gallery/{number}/compared?first=7&second=2").status == 422


def test_the_owner_is_never_compared_or_shown(bench: Asking) -> None:
    """Of two revisions that differ in their owner alone, nothing of it stands on the page."""
    number = keep(bench, LOGBOOK, "hollow_tube")
    bench.post(f"/books/{LOGBOOK}/field", name="book.owner", words="Someone quiet", visit="")
    bench.post(f"/books/{LOGBOOK}/field", name="book.note", words="changed", visit="")
    keep(bench, LOGBOOK, "hollow_tube")
    html = bench.get(f"/gallery/{number}/compared").json["html"]
    assert "changed" in html
    assert "Someone quiet" not in html
    assert "Someone quiet" not in bench.get(f"/gallery/{number}").json["html"]


def test_a_pattern_is_used_for_the_book_on_the_desk(bench: Asking) -> None:
    """The book that was opened last is offered first; all the way back is one undo a change."""
    number = keep(bench, ATLAS, "board_slot", depth="9")
    bench.get(f"/books/{PAY_BOOK}")
    html = bench.get(f"/gallery/{number}").json["html"]
    assert f'data-use="{PAY_BOOK}"' in html
    assert f'<option value="{PAY_BOOK}"' not in html
    assert f'<option value="{LOGBOOK}"' in html
    assert bench.post(f"/gallery/{number}/use/{PAY_BOOK}").status == 200
    assert bench.get(f"/books/{PAY_BOOK}").json["structures"] == ["board_slot"]
    settings = bench.get(f"/books/{PAY_BOOK}/settings").json["html"]
    assert re.search(r'data-setting="board_slot.depth".*?value="9"', settings, re.DOTALL)
    undone = []
    while told := bench.post(f"/books/{PAY_BOOK}/undo").json["undone"]:
        undone.append(told)
    assert undone[-1] == "structures"
    assert bench.get(f"/books/{PAY_BOOK}").json["structures"] == []


@pytest.mark.parametrize("where", ["desk", "pattern"])
def test_books_that_are_alike_are_told(bench: Asking, where: str) -> None:
    """Beside a book on the desk and beside a kept pattern; a book is never like itself there."""
    atlas = keep(bench, ATLAS, "board_slot")
    logbook = keep(bench, LOGBOOK, "hollow_tube")
    path = f"/books/{LOGBOOK}/similar" if where == "desk" else f"/gallery/{logbook}"
    html = bench.get(path).json["html"]
    near = re.findall(r'data-pattern="(\d+)"', html)
    assert near == ([str(logbook), str(atlas)] if where == "desk" else [str(atlas)])
    assert "far in" in html
