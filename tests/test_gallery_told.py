"""The gallery as one looks through it: books with their photographs, patterns beneath, own words."""

from __future__ import annotations

import io
import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from PIL import Image

from patterns.cli import main
from patterns.gallery.index import Query, search
from patterns.gallery.similar import nearest
from patterns.gallery.site import build
from patterns.gallery.store import add, keep
from tests.books import made as drafted
from tests.gallery_samples import pattern_files

if TYPE_CHECKING:
    from playwright.sync_api import Page

TREATMENT = """format = "mendfold-treatment/1"
[treatment]
by = "B.B."
[[step]]
text = "Lay the paper piece on the book before cutting."
note = "the brass corners were left"
[[material]]
name = "boilerplate paper"
[[photograph]]
file = "z.jpg"
shows = "as it came"
when = "before"
[[photograph]]
file = "a.jpg"
shows = "finished"
when = "after"
"""


def photograph(width: int = 800, height: int = 600) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (width, height), (170, 150, 120)).save(out, "JPEG")
    return out.getvalue()


@pytest.fixture
def gallery(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Two patterns of one book, photographed, and one of another, which is not."""
    monkeypatch.setenv("MENDFOLD_CACHE", str(tmp_path / "cache"))
    monkeypatch.chdir(tmp_path)
    place = tmp_path / "gallery"
    for name in ("hollow_tube", "spine_inlay"):
        keep(place, f"LOG-1-{name}", pattern_files("LOG-1", structures=(name,)))
    keep(place, "ALM-2-hollow_tube", pattern_files("ALM-2", title="Tide almanac", height=170.0))
    beside = {"treatment.toml": TREATMENT.encode(), "z.jpg": photograph(), "a.jpg": photograph()}
    add(place, "LOG-1-hollow_tube", beside)
    return place


def typed(*words: str) -> int:
    with pytest.raises(SystemExit) as ended:
        main(words)
    return int(ended.value.code or 0)


def cards(page: Path) -> list[str]:
    return re.findall(
        r'<li class="card".*?\n</ul>\n</li>', (page / "index.html").read_text("utf-8"), re.S
    )


def test_one_card_a_book_its_photograph_first_its_patterns_beneath(
    gallery: Path, tmp_path: Path
) -> None:
    """The photograph from before, with its caption, though another was entered first by name."""
    built = build(gallery, tmp_path / "page")
    assert len(built.entries) == 3
    almanac, logbook = cards(tmp_path / "page")
    assert 'src="LOG-1-hollow_tube/z.jpg" alt="Before treatment: as it came"' in logbook
    beneath = logbook.partition('<ul class="made">')[2]
    assert re.findall(r'<a href="([^"]*)">([^<]*)</a>', beneath) == [
        ("LOG-1-hollow_tube.html", "hollow tube"),
        ("LOG-1-spine_inlay.html", "spine inlay"),
    ]
    assert 'src="ALM-2-hollow_tube/pieces.svg" alt=""' in almanac
    assert "2 books, 3 patterns" in (tmp_path / "page" / "index.html").read_text("utf-8")


def test_a_patterns_page_begins_with_its_photographs_and_their_captions(
    gallery: Path, tmp_path: Path
) -> None:
    """Before, then after; the drawing of the pieces follows."""
    build(gallery, tmp_path / "page")
    text = (tmp_path / "page" / "LOG-1-hollow_tube.html").read_text("utf-8")
    captions = re.findall(r"<figcaption>([^<]*)</figcaption>", text)
    assert captions[:2] == ["Before treatment: as it came", "After treatment: finished"]
    assert text.index("z.jpg") < text.index("a.jpg") < text.index("pieces.svg")


def test_words_that_are_searched_are_those_of_the_book(gallery: Path, tmp_path: Path) -> None:
    """Title, id, note and what somebody entered; not the steps and materials of every pattern."""

    def found(text: str) -> list[str]:
        return [one.name for one in search(gallery, Query(text))[0]]

    assert found("brass corners") == ["LOG-1-hollow_tube"]
    assert found("logbook") == ["LOG-1-hollow_tube", "LOG-1-spine_inlay"]
    for boilerplate in ("cutting", "kraft", "boilerplate", "inlay"):
        assert found(boilerplate) == [], boilerplate
    build(gallery, tmp_path / "page")
    for one in cards(tmp_path / "page"):
        words = re.findall(r'data-words="([^"]*)"', one)[0]
        assert "kraft" not in words
        assert "tube" not in words
        assert "boards parted" in words


def test_similar_has_one_block_of_rows_a_book(
    gallery: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Both patterns of the logbook are named beneath it."""
    near = nearest({"height": 196.0}, search(gallery, Query())[0])
    assert [one.entry.id for one in near] == ["LOG-1", "ALM-2"]
    assert near[0].patterns == ("LOG-1-hollow_tube", "LOG-1-spine_inlay")
    (tmp_path / "new.toml").write_bytes(pattern_files("NEW")["record.toml"])
    assert typed("gallery", "similar", "new.toml") == 0
    out = capsys.readouterr().out
    assert out.count("LOG-1: distance") == 1
    assert "patterns: LOG-1-hollow_tube, LOG-1-spine_inlay" in out


def test_keep_takes_no_stray_picture(
    gallery: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """What the draft did not write is named and left; the folder itself is as it was."""
    made = drafted("chart_book", "hollow_tube")
    folder = tmp_path / made.folder
    folder.mkdir()
    for name, data in {**made.files, "holiday.jpg": photograph()}.items():
        (folder / name).write_bytes(data)
    assert typed("gallery", "keep", str(folder)) == 0
    said = capsys.readouterr()
    assert "holiday.jpg was not written by the draft and is not kept" in said.err
    kept = gallery / made.folder / "r0001"
    assert not (kept / "holiday.jpg").exists()
    assert (kept / "sheets.pdf").exists()
    assert (folder / "holiday.jpg").exists()


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b'format = "mendfold-treatment/1"\n[treatment]\nby = "\xe9"', "not UTF-8 text"),
        (b'format = "mendfold-treatment/1"\n[[photograph]]\nfile = "gone.jpg"', "gone.jpg is not"),
        (b'format = "mendfold-treatment/1"\n[[photograph]]\nfile = "n.txt"', "n.txt is not"),
        (b'format = "mendfold-treatment/1"\n[treatment]\nweight_after = "2 stone"', "weight in kg"),
        (b"format = 1", 'format must be "mendfold-treatment/1"'),
    ],
)
def test_a_treatment_is_checked_whole_before_it_is_kept(
    gallery: Path, tmp_path: Path, data: bytes, said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Whatever would leave it without a report is said now; nothing is added."""
    (tmp_path / "treatment.toml").write_bytes(data)
    before = sorted(gallery.rglob("*"))
    assert typed("gallery", "add", "ALM-2", "treatment.toml") == 1
    assert said in capsys.readouterr().err
    assert sorted(gallery.rglob("*")) == before


@pytest.mark.usefixtures("gallery")
def test_quoted_numbers_with_units_are_taken_as_in_a_record(tmp_path: Path) -> None:
    """2 lb 3 oz, 1,25 kg, 95°, 2 in × 19.4 cm."""
    text = (
        'format = "mendfold-treatment/1"\n[treatment]\nweight_before = "2 lb 3 oz"\n'
        'weight_after = "1,25 kg"\nopening_after = "95°"\n[[piece]]\nname = "a"\n'
        'cut_mm = ["2 in", "19.4 cm"]\n'
    )
    (tmp_path / "treatment.toml").write_text(text, "utf-8")
    assert typed("gallery", "add", "ALM-2", "treatment.toml") == 0
    assert typed("report", "ALM-2") == 0
    html = (tmp_path / "ALM-2-hollow_tube-report" / "report.html").read_text("utf-8")
    for told in ("0.992 kg", "1.25 kg", "95°", "50.8 × 194.0"):
        assert told in html


def test_the_girth_is_named_in_every_structures_pattern() -> None:
    """By the strip of each record, at head and tail; 18.0 is the album's."""
    import json

    for book, name, girth in (
        ("seaweed_album", "album_guards", 18.0),
        ("atlas", "text_block_support", None),
        ("signal_book", "joint_tacket", None),
        ("almanac", "tissue_hinge", None),
    ):
        quantities = json.loads(drafted(book, name).files["pattern.json"])["quantities"]
        assert {"girth_head_mm", "girth_tail_mm"} <= quantities.keys()
        if girth:
            assert quantities["girth_head_mm"] == girth


@pytest.mark.outside
@pytest.mark.parametrize("width", [1366, 768, 320])
def test_no_drawing_is_larger_than_a_photograph(
    gallery: Path, tmp_path: Path, browser_page: Page, width: int
) -> None:
    """On the first page and on a pattern's own; and nothing runs out at the side."""
    build(gallery, tmp_path / "page")
    browser_page.set_viewport_size({"width": width, "height": 900})
    for name in ("index.html", "LOG-1-hollow_tube.html"):
        browser_page.goto((tmp_path / "page" / name).as_uri())
        browser_page.eval_on_selector_all("img", "all => all.forEach(one => one.loading = 'eager')")
        browser_page.wait_for_function(
            "[...document.images].every(one => one.complete && one.naturalWidth > 0)"
        )
        assert browser_page.evaluate("document.documentElement.scrollWidth") <= width
        sizes = browser_page.eval_on_selector_all(
            "img",
            "all => all.map(o => [o.getAttribute('src'), o.getBoundingClientRect().width, "
            "o.getBoundingClientRect().height])",
        )
        shot = next(one for one in sizes if one[0].endswith("z.jpg"))
        for source, wide, high in sizes:
            if source.endswith("pieces.svg"):
                assert wide <= shot[1] + 0.5, (name, wide, shot)
                assert high <= shot[2] + 0.5, (name, high, shot)
